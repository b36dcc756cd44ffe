"""Rules by name: how well a deck was measured."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import Rule

SURVEY: Final[dict[str, Rule]] = {
    "deck_size": Rule(
        "survey",
        "The area of a level in plan, where it is less than 6 sq ft or more than 20,000 (0.56 m2, "
        "1,860 m2), as numbers sent in another unit make it.",
        subject="the size of the deck",
        needs_in_layout="odd_sizes",
    ),
    "framing_size": Rule(
        "survey",
        "The thickness of a level's joists and rim, where it is over 12 in (300 mm), as numbers "
        "sent in another unit make it.",
        subject="the size of the framing",
    ),
    "without_effect": Rule(
        "survey",
        "What a document asks for where it can have no effect: how a gate hangs on an opening that "
        "is none, and what a railing is like on an edge or a flight that has none.",
        subject="what has no effect",
    ),
    "walk_closure": Rule(
        "survey",
        "How far a tape walk misses its start, against 1:500 of its perimeter.",
        subject="how well the walk closes",
        needs_in_layout="closures",
    ),
    "weak_tie": Rule(
        "survey",
        "The angle at which two tapes cross at a corner, against 30°.",
        subject="how the two tapes cross",
        needs_in_layout="ties",
    ),
    "out_of_plumb": Rule(
        "survey",
        "How far the measured openings at the top and the bottom rail differ, against the kit's "
        "greatest.",
        subject="openings out of plumb",
        needs_in_layout="measures",
    ),
    "measured_as_drawn": Rule(
        "survey",
        "How far measured openings, or all those of a run together, differ from the drawn ones, "
        "against 1/2 in (12.7 mm).",
        subject="openings measured otherwise than drawn",
        needs_in_layout="measures",
    ),
    "order_before_posts": Rule(
        "survey",
        "Whether glass is sized by measured openings, where the kit wants its posts set first.",
        subject="when the glass is ordered",
    ),
}
