"""Random decks with mistakes that are made on paper: openings at corners, low guards, edges left
open, steep flights, gates that swing into things."""

from __future__ import annotations

from random import Random
from typing import Any

Json = dict[str, Any]

CODES = ("us-irc-2021", "us-ibc-2024", "ca-nbc-2020", "gb-eng-adk-2013", "au-ncc-2022", None)
KITS = ("picket-glass-surface-in", "picket-glass-fascia-in", "glass-picket-surface-mm")
SHAPES = (
    ((0, 0), (240, 0), (240, 144), (0, 144)),
    ((0, 0), (200, 0), (200, 90), (110, 90), (110, 190), (0, 190)),
    ((0, 0), (180, 0), (240, 60), (240, 150), (0, 150)),
    ((0, 0), (220, 0), (120, 120), (0, 120)),
)
SIDES: tuple[list[str], ...] = ([], ["left"], ["right"], ["left", "right"])


def drawn(seed: int) -> Json:
    """A deck document in inches; the same for the same seed. Many of them cannot be built."""
    chance = Random(seed)
    level = _level(chance, "main", chance.choice(SHAPES), chance.choice((20, 36, 48, 100)))
    levels = [level]
    if chance.random() < 0.3:
        away = chance.choice((0, 30))
        low = ((-20, -200), (230, -200), (230, -away), (-20, -away))
        levels.append(_level(chance, "low", low, chance.choice((4, 20))))
    document: Json = {
        **{"unit": "in", "kit": chance.choice(KITS), "levels": levels, "advise": True},
        "guard": {"infill": chance.choice(("picket", "picket", "glass"))},
    }
    code = chance.choice(CODES)
    if code is not None:
        document["code"] = code
    if chance.random() < 0.5:
        document["guard"]["height"] = chance.choice((30, 36, 42, 49))
    if chance.random() < 0.2:
        document["precision"] = chance.choice((0.015625, 0.125, 1))
    stairs = [
        _flight(chance, level, opening)
        for opening in level["openings"]
        if opening["use"] == "stair" and chance.random() < 0.8
    ]
    if stairs:
        document["stairs"] = stairs
    return document


def _level(chance: Random, name: str, shape: tuple[tuple[int, int], ...], drop: int) -> Json:
    edges: list[Json] = []
    for number in range(len(shape)):
        edge: Json = {"edge": number}
        condition = chance.choice(("guard", "guard", "guard", "wall", "open"))
        if condition != "guard":
            edge["condition"] = condition
        elif chance.random() < 0.15:
            edge["height"] = chance.choice((30, 36, 42))
        elif chance.random() < 0.15:
            edge["infill"] = chance.choice(("picket", "glass"))
        if len(edge) > 1:
            edges.append(edge)
    openings = [_opening(chance, i, len(shape)) for i in range(chance.randrange(3))]
    columns = [
        {"name": f"column {i}", "points": [[x, y], [x + 4, y], [x + 4, y + 4], [x, y + 4]]}
        for i in range(chance.randrange(2))
        for x, y in [(chance.randrange(2, 200), chance.choice((1, 2, 40)))]
    ]
    level: Json = {"id": name, "drop": drop, "outline": {"points": [list(one) for one in shape]}}
    return {**level, "edges": edges, "openings": openings, "obstructions": columns}


def _opening(chance: Random, number: int, edges: int) -> Json:
    use = chance.choice(("stair", "stair", "gate", "passage"))
    opening: Json = {
        **{"id": f"o{number}", "edge": chance.randrange(edges), "use": use},
        **{"from": chance.randrange(0, 120) + chance.choice((0, 0.5)), "width": 34},
    }
    opening["width"] = chance.choice((34, 36, 40, 48))
    if use == "gate":
        opening |= {"opens": chance.choice(("in", "out")), "hinge": chance.choice(("near", "far"))}
    return opening


def _flight(chance: Random, level: Json, opening: Json) -> Json:
    risers = chance.randrange(1, 9)
    return {
        **{"id": f"f{opening['id']}", "opening": f"{level['id']}/{opening['id']}"},
        **{"rise": chance.choice((level["drop"], level["drop"] - 1)), "risers": risers},
        **{"going": chance.choice((4, 9, 10, 11)), "guards": chance.choice(SIDES)},
        **{"handrail": chance.choice(SIDES), "foot_post": chance.choice(("tread", "ground"))},
        **{"nosing": chance.choice((0, 1)), "top_as_handrail": chance.random() < 0.1},
    }
