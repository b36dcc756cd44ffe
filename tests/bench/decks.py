"""Decks of any number of bays, to measure with."""

from __future__ import annotations

from typing import Any

Document = dict[str, Any]

STEP = 240
"""In inches, the length of each edge of a stepped outline: four bays, 60 in between centres."""

APART = 400
"""In inches, from one whole deck to the next."""


def typical() -> Document:
    """A deck of four runs, twelve bays: 20 ft by 12 ft, no wall."""
    return _deck([_level([[0, 0], [240, 0], [240, 144], [0, 144]])])


def uneven() -> Document:
    """A deck of four runs, fourteen bays, as measured: no sides alike and no square corner."""
    return _deck([_level([[0, 0], [251, 0], [243, 150], [3, 161]])])


def large() -> Document:
    """A deck of 40 corners, 152 bays."""
    return stepped(19, 1)


def largest() -> Document:
    """A deck with nearly as many bays as the limit allows: 16 levels of 152, 2432 of 2500."""
    return stepped(19, 16)


def whole() -> Document:
    """A real deck: two levels, a gate over a flight between them, a bowed front, framing."""
    return pairs(1)


def pairs(count: int) -> Document:
    """`count` whole decks in a row, APART from each other; 8 come to the limit of 16 levels."""
    decks = [_pair(number) for number in range(count)]
    levels = [level for deck in decks for level in deck["levels"]]
    return {**_deck(levels), "stairs": [deck["flight"] for deck in decks]}


def flights(count: int, risers: int) -> Document:
    """One deck with `count` flights of `risers` risers, guarded on both sides, down to the ground.

    Its front is as long as they need.
    """
    end = 120 * count + 120
    openings = [
        {"id": f"o{i}", "edge": 0, "from": 60 + 120 * i, "width": 48, "use": "stair"}
        for i in range(count)
    ]
    level = {
        **{"id": "main", "drop": 7 * risers, "openings": openings},
        **{"outline": {"points": [[0, 0], [end, 0], [end, 144], [0, 144]]}},
    }
    return {**_deck([level]), "stairs": [_flight(f"main/o{i}", risers) for i in range(count)]}


def _level(points: list[list[int]]) -> Document:
    return {"id": "main", "outline": {"points": points}, "drop": 48}


def _pair(number: int) -> Document:
    """Two levels that share an edge, 35 in between them, and five risers down it through a gate."""
    x = APART * number
    framing = {
        **{"joist_direction": 90, "joist_spacing": 16, "first_joist": 0.75},
        **{"joist_width": 1.5, "rim_width": 1.5},
    }
    gate = {"id": "head", "edge": 0, "from": 72, "width": 42, "use": "gate"}
    upper = {
        **{"id": f"upper{number}", "drop": 63, "openings": [gate], "framing": framing},
        **{"outline": {"points": [[x, 0], [x + 192, 0], [x + 192, 120], [x, 120]]}},
        "edges": [{"edge": 2, "condition": "wall"}],
    }
    lower = {
        **{"id": f"lower{number}", "drop": 28, "framing": framing},
        **{"outline": {"points": [[x, 0], [x, -144], [x + 192, -144], [x + 192, 0]]}},
        "edges": [{"edge": 3, "condition": "wall"}, {"edge": 1, "arc_rise": 24}],
    }
    down = {"rise": 35, "going": 12, "handrail": ["right"], "to_level": f"lower{number}"}
    return {"levels": [upper, lower], "flight": {**_flight(f"upper{number}/head", 5), **down}}


def _flight(opening: str, risers: int) -> Document:
    return {
        **{"id": f"to-{opening.replace('/', '-')}", "opening": opening, "rise": 7 * risers},
        **{"risers": risers, "going": 10.5, "nosing": 1, "guards": ["left", "right"]},
        "height": 36,
    }


def stepped(steps: int, levels: int) -> Document:
    """Outlines that climb `steps` steps of STEP by STEP: 2 steps + 2 corners, 8 bays a step.

    The two long sides are walls, so that every bay is of one size and the count is known. Levels
    stand apart: two at one height may not overlap.
    """
    return _deck([_stepped_level(number, steps) for number in range(levels)])


def _stepped_level(number: int, steps: int) -> Document:
    points = []
    x = number * (steps + 1) * STEP
    for step in range(steps):
        points += [[x + step * STEP, step * STEP], [x + (step + 1) * STEP, step * STEP]]
    top = steps * STEP
    points += [[x + top, top], [x, top]]
    # Edge 0 lies along y = 0 and the next climbs; the last two edges close the outline.
    walls = [{"edge": len(points) - 2, "condition": "wall"}]
    walls += [{"edge": len(points) - 1, "condition": "wall"}]
    return {"id": f"l{number}", "outline": {"points": points}, "drop": 48, "edges": walls}


def _deck(levels: list[Document]) -> Document:
    return {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "code": "us-irc-2021",
        "guard": {"infill": "picket"},
        "levels": levels,
    }
