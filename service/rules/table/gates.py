"""Rules by name: the leaves of gates and what they swing into."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import Rule

GATES: Final[dict[str, Rule]] = {
    "gate_width": Rule(
        "kit",
        "The width of a gate's leaf against the kit's greatest.",
        subject="the width of the gate's leaf",
    ),
    "gate_swing": Rule(
        "kit",
        "What a gate swings into, whether it opens over a flight or over a drop with no stair or "
        "landing, and whether its line passes by what it hangs on or shuts against.",
        ("guard_required_drop", "guard_required_risers"),
        subject="the swing of the gate",
        needs_in_layout="gates",
    ),
}
