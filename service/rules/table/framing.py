"""Rules by name: where bases stand and what their fixings go into."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import Rule

FRAMING: Final[dict[str, Rule]] = {
    "base_on_deck": Rule(
        "engineering",
        "Whether each post's base stands wholly on its deck, its rim or its tread, or at the foot "
        "of a flight on the level that it goes down to, and whether a flat one lies against a "
        "bowed rim.",
        subject="where bases stand",
    ),
    "bases_apart": Rule(
        "engineering",
        "Whether the bases of two posts run into each other.",
        subject="the room between bases",
    ),
    "fixing_into_framing": Rule(
        "engineering",
        "Whether each fixing of a base goes into rim or joist, and where blocking is needed.",
        subject="what the fixings go into",
    ),
}
