"""Kits, decks and outlines for the engine's tests, made without the wire room.

A kit is read from its JSON member by member, so that a test can change any figure in it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from service.core.engine import lay_out
from service.core.line.sides import EdgeSpec
from service.core.measure import Point
from service.core.problems import Refusal
from service.core.records.deck import (
    Corners,
    Deck,
    Drops,
    Edge,
    Guard,
    Level,
    NoPost,
    Obstruction,
    Opening,
    Outline,
    Ties,
    Walk,
)
from service.core.records.kit import (
    Base,
    Block,
    Engagement,
    GlassKit,
    Kit,
    Pane,
    Part,
    PicketKit,
    PostKit,
    Rail,
    Rails,
    RailSupport,
    Stock,
    Weep,
)
from service.core.records.layout import Layout

ROOT = Path(__file__).parents[2]
KITS = ROOT / "service" / "data" / "kits"
OUTLINES = ROOT / "tests" / "data" / "outlines_in.json"

NO_LENGTHS = frozenset(
    {"fixings", "straight_limit", "square_limit", "greatest", "nominal_mm", "mass_per_length"}
)
"""Number members of a kit document that are not lengths."""


@cache
def _text(name: str) -> str:
    return (KITS / f"{name}.json").read_text(encoding="utf-8")


def kit_document(name: str) -> dict[str, Any]:
    """A shipped kit's document; a test may change it freely."""
    document: dict[str, Any] = json.loads(_text(name))
    return document


def in_millimetres(document: dict[str, Any]) -> dict[str, Any]:
    """An inch kit's document with every length times 25.4 and every area times 25.4 squared."""

    def grown(name: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {key: grown(key, member) for key, member in value.items()}
        if isinstance(value, list):
            return [grown(name, member) for member in value]
        if isinstance(value, str | bool) or name in NO_LENGTHS:
            return value
        return value * (25.4**2 if name == "max_area" else 25.4)

    twin: dict[str, Any] = grown("", {k: v for k, v in document.items() if k != "parts"})
    return twin | {"unit": "mm"}


def kit_of(document: dict[str, Any]) -> Kit:
    """The record of a kit document."""
    post, swivel = document["post"], document["swivel"]
    support, weep = document.get("rail_support"), document.get("weep")
    return Kit(
        id=document["id"],
        title=document["title"],
        unit=document["unit"],
        own_unit=document["unit"],
        mounting=document["mounting"],
        post=PostKit(
            post["width"],
            post["setback"],
            tuple(post["heights"]),
            Base(**post["base"]),
            post.get("corner", "bracket"),
        ),
        max_centres=document["max_centres"],
        straight_limit=document["straight_limit"],
        square_limit=document["square_limit"],
        swivel_greatest=swivel["greatest"],
        bottom_gap=document["bottom_gap"],
        least_bay=document["least_bay"],
        rails={
            name: Rails(_rail(pair["top"]), _rail(pair["bottom"]))
            for name, pair in document["rails"].items()
        },
        posts_before_glass=document["posts_before_glass"],
        picket=_pickets(document.get("picket")),
        glass=_glass(document.get("glass")),
        rail_support=RailSupport(**support) if support else None,
        weep=Weep(**weep) if weep else None,
        parts={role: Part(**part) for role, part in document.get("parts", {}).items()},
    )


def _rail(rail: dict[str, Any]) -> Rail:
    stock = Stock(tuple(rail["stock"]), rail["kerf"], rail["trim"])
    return Rail(rail["depth"], stock, rail["end_allowance"])


def _pickets(picket: dict[str, Any] | None) -> PicketKit | None:
    if picket is None:
        return None
    return PicketKit(**{**picket, "engagement": Engagement(**picket["engagement"])})


def _glass(glass: dict[str, Any] | None) -> GlassKit | None:
    if glass is None:
        return None
    panes = tuple(Pane(**pane) for pane in glass["panes"])
    parts = {"engagement": Engagement(**glass["engagement"]), "block": Block(**glass["block"])}
    return GlassKit(**{**glass, **parts, "panes": panes})


SURFACE = kit_of(kit_document("picket-glass-surface-in"))
FASCIA = kit_of(kit_document("picket-glass-fascia-in"))
MILLIMETRE = kit_of(kit_document("glass-picket-surface-mm"))
PAIR = replace(FASCIA, id="pair", post=replace(FASCIA.post, corner="pair"))
"""The fascia kit with an end post on each rim of an outside corner."""


def with_post(kit: Kit, **changes: Any) -> Kit:
    """The kit with other figures for its post."""
    return replace(kit, post=replace(kit.post, **changes))


def with_picket(kit: Kit, **changes: Any) -> Kit:
    """The kit with other figures for its pickets."""
    assert kit.picket is not None
    return replace(kit, picket=replace(kit.picket, **changes))


def with_glass(kit: Kit, **changes: Any) -> Kit:
    """The kit with other figures for its glass."""
    assert kit.glass is not None
    return replace(kit, glass=replace(kit.glass, **changes))


def edge(number: int, condition: Any = "guard", **said: Any) -> Edge:
    """An edge as a caller describes it."""
    return Edge(number, f"/levels/0/edges/{number}", condition, **said)


def walls(*numbers: int) -> tuple[Edge, ...]:
    """Edges where a wall stands."""
    return tuple(edge(number, "wall") for number in numbers)


def opening(
    number: int, start: float, width: float, use: Any = "stair", name: str = "o"
) -> Opening:
    """An opening in an edge."""
    return Opening(name, number, start, width, use, f"/levels/0/openings/{name}")


def no_post(number: int, start: float, width: float) -> NoPost:
    """A stretch of an edge that no base may touch."""
    return NoPost(number, start, width, "downpipe", "/levels/0/no_post/0")


def obstruction(points: Sequence[Point], name: str = "column") -> Obstruction:
    """An obstruction, by its corners."""
    return Obstruction(name, tuple(points), "/levels/0/obstructions/0")


def block(x: float, y: float, width: float, depth: float | None = None) -> Obstruction:
    """An obstruction: a rectangle centred at (x, y)."""
    a, b = width / 2, (width if depth is None else depth) / 2
    return obstruction([(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)])


def level(outline: Sequence[Point] | Outline, **parts: Any) -> Level:
    """A level over a drop of 48. outline: its corners, or an outline of another form."""
    if not isinstance(outline, Corners | Walk | Ties):
        outline = Corners(tuple(outline), "/levels/0/outline")
    return Level("main", outline, "/levels/0", Drops(48.0), **parts)


def deck(
    outline: Sequence[Point] | Outline,
    *,
    unit: Any = "in",
    step: float | None = None,
    infill: Any = "picket",
    height: float | None = None,
    **parts: Any,
) -> Deck:
    """A deck of one level. height: 36 in or 1000 mm where left out."""
    step = step or (0.0625 if unit == "in" else 1.0)
    height = height or (36.0 if unit == "in" else 1000.0)
    return Deck(unit, step, Guard(infill, height), (level(outline, **parts),))


def laid(outline: Sequence[Point] | Outline, kit: Kit = SURFACE, **parts: Any) -> Layout:
    """The layout of a deck of one level."""
    return lay_out(deck(outline, **parts), kit, None)


def laid_or_refused(deck: Deck, kit: Kit) -> Layout | Refusal:
    """The layout, or the refusal where the deck is refused."""
    try:
        return lay_out(deck, kit, None)
    except Refusal as refusal:
        return refusal


def rectangle(width: float, depth: float) -> tuple[Point, ...]:
    """A rectangle from the origin, counter-clockwise: edge 0 along +x."""
    return ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))


def turned(points: Sequence[Point], degrees: float, by: Point = (0.0, 0.0)) -> tuple[Point, ...]:
    """Points turned about the origin, then moved."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple((x * c - y * s + by[0], x * s + y * c + by[1]) for x, y in points)


def dot(a: Point, b: Point) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def shoelace(points: Sequence[Point]) -> float:
    """Signed area, counter-clockwise positive."""
    after = (*points[1:], points[0])
    return math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, after, strict=True)) / 2


@cache
def real_outlines() -> tuple[tuple[str, tuple[Point, ...]], ...]:
    """Outlines of real decks: id and corners, counter-clockwise, in inches."""
    found = json.loads(OUTLINES.read_text(encoding="utf-8"))
    return tuple(
        (one["id"], tuple((float(x), float(y)) for x, y in one["points"]))
        for one in found["outlines"]
    )


def guard_spec(number: int = 0, **said: Any) -> EdgeSpec:
    """A guarded picket edge with every default resolved."""
    usual = EdgeSpec(number, "/levels/0/edges/0", "guard", "picket", 0, 36.0, Drops(), "bracket")
    return replace(usual, **said)
