"""Decks of any number of bays, to measure with."""

from __future__ import annotations

from typing import Any

Document = dict[str, Any]

STEP = 240
"""One edge of a flight-of-steps outline, in inches: 60 in centres, four bays."""


def typical() -> Document:
    """Four runs of three bays: 17 ft square, no wall."""
    return _deck([{"id": "main", "outline": {"points": _square(204)}, "drop": 48}])


def large() -> Document:
    """40 corners, 152 bays."""
    return stepped(19, 1)


def largest() -> Document:
    """As many bays as the limit lets through: 16 levels of 152, 2432 of 2500."""
    return stepped(19, 16)


def stepped(steps: int, levels: int) -> Document:
    """Outlines that climb `steps` steps of STEP by STEP: 2 steps + 2 corners, 8 bays a step.

    The two long sides are walls, so that every bay is of one size and the count is known.
    """
    return _deck([_stepped_level(f"l{number}", steps) for number in range(levels)])


def _stepped_level(name: str, steps: int) -> Document:
    points = []
    for step in range(steps):
        points += [[step * STEP, step * STEP], [(step + 1) * STEP, step * STEP]]
    top = steps * STEP
    points += [[top, top], [0, top]]
    # Edge 0 lies along y = 0 and the next climbs; the last two edges close the outline.
    walls = [{"edge": len(points) - 2, "condition": "wall"}]
    walls += [{"edge": len(points) - 1, "condition": "wall"}]
    return {"id": name, "outline": {"points": points}, "drop": 48, "edges": walls}


def _square(side: int) -> list[list[int]]:
    return [[0, 0], [side, 0], [side, side], [0, side]]


def _deck(levels: list[Document]) -> Document:
    return {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "code": "us-irc-2021",
        "guard": {"infill": "picket"},
        "levels": levels,
    }
