"""Random decks of one to three levels, for the search of a sphere's way off them.

A deck follows from its number alone. Its levels are drawn in inches (`outlines`), then turned and
moved; some outlines are given clockwise, and some decks become millimetres.
"""

from __future__ import annotations

import copy
import math
import random
from collections.abc import Sequence
from typing import Any

from tests.properties.sphere.outlines import (
    Level,
    add_third,
    alone,
    down_to,
    in_a_notch,
    put_columns,
    side_by_side,
    stair_to,
)
from tests.properties.test_solid import Json, kit_of

CODES = (
    *("us-irc-2021", "us-irc-2024", "us-ibc-2021", "us-ibc-2024"),
    *("ca-nbc-2020", "gb-eng-adk-2013", "au-ncc-2022", "nz-f4-as1"),
)
SURFACE, FASCIA, METRIC = (
    "picket-glass-surface-in",
    "picket-glass-fascia-in",
    "glass-picket-surface-mm",
)


def document(rng: random.Random, levels: Sequence[Level], stairs: Sequence[Json]) -> Json:
    """The deck document of the levels, turned and moved, in a kit, a code and a unit."""
    turn, shift = 0.0, 0j
    if rng.random() < 0.6:
        turn, shift = rng.uniform(0, 6.28), complex(rng.uniform(-50, 50), rng.uniform(-50, 50))
    code, metric = rng.choice(CODES), rng.random() < 0.3
    scale = 25.4 if metric else 1.0

    def put(points: Sequence[Sequence[float]]) -> list[list[float]]:
        turned = [complex(*p) * complex(math.cos(turn), math.sin(turn)) + shift for p in points]
        return [[round(at.real * scale, 6), round(at.imag * scale, 6)] for at in turned]

    guard: Json = {"infill": rng.choice(["picket", "picket", "glass"])}
    if not code.startswith(("us", "ca")):
        guard["height"] = 1100 if metric else 44
    drawn = [_level(each, put, scale, "height" in guard, rng.random() < 0.3) for each in levels]
    kit: Any = METRIC if metric and rng.random() < 0.5 else _kit(rng)
    deck: Json = {"unit": "mm" if metric else "in", "kit": kit, "code": code, "guard": guard}
    deck["levels"] = drawn
    if code.startswith("us"):
        deck["occupancy"] = "dwelling"
    sizes = ("rise", "going", "nosing")
    if stairs:
        deck["stairs"] = [each | {k: round(each[k] * scale, 3) for k in sizes} for each in stairs]
    return deck


def _level(level: Level, put: Any, scale: float, one_height: bool, reverse: bool) -> Json:
    """A level's document; its outline clockwise where it is to be reversed."""
    count, edges = len(level.corners), []
    for number, drawn in enumerate(level.edges):
        edge = {**drawn, "edge": (count - 2 - number) % count if reverse else number}
        if one_height:
            edge.pop("height", None)
        edges.append(
            edge | {k: round(edge[k] * scale, 3) for k in ("arc_rise", "height") if k in edge}
        )
    parts: dict[str, list[Json]] = {"openings": [], "no_post": []}
    for part, found in parts.items():
        for each in copy.deepcopy(getattr(level, part)):
            if reverse:
                each["from"] = level.length(each["edge"]) - each["from"] - each["width"]
                each["edge"] = (count - 2 - each["edge"]) % count
            found.append(each | {k: round(each[k] * scale, 4) for k in ("from", "width")})
    columns = [
        {**each, "points": put(each["points"])}
        | ({"height": each["height"] * scale} if "height" in each else {})
        for each in level.obstructions
    ]
    points = put(level.corners[::-1] if reverse else level.corners)
    whole: Json = {"id": level.name, "drop": level.drop * scale, "outline": {"points": points}}
    return whole | {"edges": edges, "obstructions": columns, **parts}


def _kit(rng: random.Random) -> Any:
    """A shipped kit in inches by name, or one with other bases, setback and gap under its rails."""
    name = rng.choice([SURFACE, SURFACE, FASCIA])
    if rng.random() < 0.45:
        return name
    kit = copy.deepcopy(kit_of(name))
    kit["id"], base = "own", kit["post"]["base"]
    kit.pop("strength", None)
    if name == SURFACE:
        base["width"] = rng.choice([3, 3.5, 4, 4.5])
        least = base["width"] / 2
        kit["post"]["setback"] = max(least, rng.choice([least, least + 0.5, least + 1, 2, 3]))
        kit["bottom_gap"] = rng.choice([2, 2.5, 3, 3.9375])
    else:
        kit["post"]["corner"] = rng.choice(["bracket", "pair"])
        base["width"], kit["bottom_gap"] = rng.choice([2.5, 3, 4]), rng.choice([1, 1.5, 2, 2.5])
        kit["post"]["setback"] = -rng.choice([1.25, 1.5, 2, 2.25])
    base["fixing_inset"] = 0.6
    return kit


def make(number: int) -> Json:
    """The deck of a number."""
    rng = random.Random(number)
    kind = rng.choice(["beside", "beside", "notch", "alone", "down"])
    stairs: list[Json] = []
    if kind == "down":
        levels, stair = down_to(rng)
        stairs.append(stair)
    else:
        levels = {"beside": side_by_side, "notch": in_a_notch, "alone": alone}[kind](rng)
        if kind != "alone" and rng.random() < 0.5:
            add_third(rng, levels)
        stairs += _altered(rng, levels)
    if rng.random() < 0.6:
        places = [corner for level in levels for corner in level.corners]
        put_columns(rng, rng.choice(levels), places, rng.choice([1, 1, 2]))
    return document(rng, levels, stairs)


def _altered(rng: random.Random, levels: Sequence[Level]) -> list[Json]:
    """Bow edges of levels, and give one an opening; the flight down from it, if that has one."""
    for level in levels:
        guards = level.plain_guards(50)
        if guards and rng.random() < (0.5 if len(levels) == 1 else 0.15):
            edge = rng.choice(guards)
            rise = rng.choice([-1, 1, 1]) * rng.uniform(2, level.length(edge) / 8)
            level.edges[edge]["arc_rise"] = round(rise, 3)
        for edge in level.plain_guards(60) if rng.random() < 0.2 else []:
            start = round(rng.uniform(20, level.length(edge) - 40), 3)
            level.no_post.append({"edge": edge, "from": start, "width": 12, "why": "downpipe"})
    level = levels[-1]
    wide = level.plain_guards(56)
    if not wide or rng.random() > 0.35:
        return []
    edge = rng.choice(wide)
    room = level.length(edge) - 36
    start = rng.choice([rng.uniform(1, 12), room - rng.uniform(1, 12), rng.uniform(4, room - 4)])
    if len(levels) > 1:
        level.open(edge, start, 36, rng.choice(["gate", "passage"]))
        return []
    level.open(edge, start, 36, "stair")
    return [stair_to(level, 8, 10.5, level.drop)]
