"""Outlines and decks drawn at random: ordinary ones, as builders measure them, and nasty ones.

The lengths of ordinary ones are drawn in whole sixteenths, so that a failing case reads well.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import shapely
from hypothesis import strategies as st

from service.core.measure import Point
from service.core.records.deck import Deck, Edge, NoPost, Obstruction, Opening
from service.core.records.kit import Kit
from tests.core import builders

Outline = tuple[Point, ...]


def sixteenths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths from `low` to `high` in whole sixteenths."""
    return st.integers(round(low * 16), round(high * 16)).map(lambda n: n / 16)


@st.composite
def rectangles(draw: st.DrawFn) -> Outline:
    """A rectangle."""
    return builders.rectangle(draw(sixteenths(40, 400)), draw(sixteenths(40, 300)))


@st.composite
def ells(draw: st.DrawFn) -> Outline:
    """An L: a rectangle less one corner."""
    width, depth = draw(sixteenths(120, 400)), draw(sixteenths(120, 300))
    x, y = draw(sixteenths(30, width - 30)), draw(sixteenths(30, depth - 30))
    return ((0.0, 0.0), (width, 0.0), (width, y), (x, y), (x, depth), (0.0, depth))


@st.composite
def cut_corners(draw: st.DrawFn) -> Outline:
    """A rectangle with none to four of its corners cut off."""
    width, depth = draw(sixteenths(160, 400)), draw(sixteenths(160, 300))
    points: list[Point] = []
    for x, y in builders.rectangle(width, depth):
        a = draw(st.sampled_from([0.0, 24.0, 36.5, 48.0]))
        b = draw(st.sampled_from([24.0, 30.25, 48.0]))
        toward_x, toward_y = (1 if x == 0 else -1), (1 if y == 0 else -1)
        along_x, along_y = (x + toward_x * a, y), (x, y + toward_y * b)
        if a == 0:
            points.append((x, y))
        elif (x == 0) == (y == 0):
            points += [along_y, along_x]
        else:
            points += [along_x, along_y]
    return tuple(points)


@st.composite
def convex(draw: st.DrawFn) -> Outline:
    """A convex outline: corners on a circle, no two neighbours close together."""
    count = draw(st.integers(3, 9))
    parts = [draw(st.integers(2, 9)) for _ in range(count)]
    radius = draw(sixteenths(70, 260))
    angle, points = 0.0, []
    for part in parts:
        points.append((radius * math.cos(angle), radius * math.sin(angle)))
        angle += 2 * math.pi * part / sum(parts)
    return tuple(points)


@st.composite
def stars(draw: st.DrawFn) -> Outline:
    """Corners at random distances from a centre: outer and inner corners of any turn."""
    count = draw(st.integers(4, 10))
    radii = [draw(sixteenths(60, 240)) for _ in range(count)]
    turn = 2 * math.pi / count
    return tuple((r * math.cos(turn * i), r * math.sin(turn * i)) for i, r in enumerate(radii))


@st.composite
def nearly_straight(draw: st.DrawFn) -> Outline:
    """A rectangle with one more corner in some of its edges, on the edge or a little off it."""
    width, depth = draw(sixteenths(160, 400)), draw(sixteenths(80, 300))
    points: list[Point] = []
    for i, corner in enumerate(builders.rectangle(width, depth)):
        points.append(corner)
        off = draw(st.sampled_from([None, 0.0, 0.0625, 0.5, 1.0, 2.5, -0.5, -2.5]))
        if off is not None:
            middle = draw(sixteenths(50, (width, depth)[i % 2] - 25))
            along = [(middle, -off), (width + off, middle)]
            far = [(width - middle, depth + off), (-off, depth - middle)]
            points.append((along + far)[i])
    return tuple(points)


real = st.sampled_from([points for _, points in builders.real_outlines()])

ordinary = st.one_of(
    rectangles(), ells(), cut_corners(), convex(), stars(), nearly_straight(), real
)


def length_of(outline: Outline, number: int) -> float:
    """Length of an edge of an outline."""
    return math.dist(outline[number], outline[(number + 1) % len(outline)])


@dataclass(frozen=True)
class Drawn:
    """The parts of a drawn deck, from which both the deck and a changed twin can be built."""

    outline: Outline
    kit: Kit
    edges: tuple[Edge, ...] = ()
    openings: tuple[Opening, ...] = ()
    infill: Any = "picket"
    no_post: tuple[NoPost, ...] = ()
    obstructions: tuple[Obstruction, ...] = ()

    def deck(self, **changes: Any) -> Deck:
        """The deck's record; changes: other arguments of `builders.deck`."""
        return builders.deck(
            self.outline,
            infill=self.infill,
            edges=self.edges,
            openings=self.openings,
            no_post=self.no_post,
            obstructions=self.obstructions,
            **changes,
        )


@st.composite
def said_of_edges(draw: st.DrawFn, count: int) -> tuple[Edge, ...]:
    """Edge records for some of the edges: walls, open edges, other heights and infills."""
    said = []
    for number in range(count):
        kind = draw(st.sampled_from(["guard"] * 6 + ["wall", "post at wall", "open", "other"]))
        if kind == "wall":
            said.append(builders.edge(number, "wall"))
        elif kind == "open":
            said.append(builders.edge(number, "open"))
        elif kind == "post at wall":
            said.append(builders.edge(number, "guard", wall_end="post"))
        elif kind == "other":
            infill, height = draw(st.sampled_from([("glass", 36.0), ("picket", 42.0)]))
            said.append(builders.edge(number, "guard", infill=infill, height=height))
    return tuple(said)


@st.composite
def drawn_decks(draw: st.DrawFn, outlines: st.SearchStrategy[Outline] = ordinary) -> Drawn:
    """An ordinary deck: some walls, up to two openings, either mounting, either infill."""
    outline = draw(outlines)
    edges = draw(said_of_edges(len(outline)))
    bare = {said.number for said in edges if said.condition != "guard"}
    openings: list[Opening] = []
    for name in draw(st.sampled_from([(), (), ("steps",), ("steps", "side")])):
        number = draw(st.integers(0, len(outline) - 1))
        room = length_of(outline, number)
        if number in bare or room < 30 or any(o.edge == number for o in openings):
            continue
        width = draw(sixteenths(20, min(room - 4, 60)))
        # Rounded up, the opening could end past its edge, and its twin would begin before it.
        furthest = math.floor((room - width) * 16) / 16
        start = draw(st.one_of(st.just(0.0), sixteenths(0, furthest)))
        use = draw(st.sampled_from(["stair", "gate", "passage"]))
        openings.append(builders.opening(number, start, width, use, name))
    kit = draw(st.sampled_from([builders.SURFACE, builders.FASCIA, builders.PAIR]))
    infill = draw(st.sampled_from(["picket", "glass"]))
    return Drawn(outline, kit, edges, tuple(openings), infill)


@st.composite
def spikes(draw: st.DrawFn) -> Outline:
    """A triangle with one corner of a few degrees or less."""
    length, angle = draw(sixteenths(20, 600)), draw(st.sampled_from([0.01, 0.5, 1, 3, 10, 20]))
    return ((0.0, 0.0), (length, 0.0), (length, length * math.tan(math.radians(angle))))


@st.composite
def notched(draw: st.DrawFn) -> Outline:
    """A rectangle with a notch or a tongue, of any size down to a sixteenth."""
    width, depth = draw(sixteenths(60, 300)), draw(sixteenths(60, 300))
    wide, deep = draw(sixteenths(0.0625, 12)), draw(sixteenths(0.0625, 30))
    at = draw(sixteenths(0, width - 20))
    way = draw(st.sampled_from([-1, 1]))
    notch = [(at, 0.0), (at, way * deep), (at + wide, way * deep), (at + wide, 0.0)]
    start: list[Point] = [] if at == 0 else [(0.0, 0.0)]
    return (*start, *notch, (width, 0.0), (width, depth), (0.0, depth))


@st.composite
def anything(draw: st.DrawFn) -> Outline:
    """Corners anywhere at all; most of these outlines cross themselves."""
    size = draw(st.sampled_from([1.0, 10.0, 200.0, 1e6]))
    number = st.one_of(
        st.integers(-4, 4).map(lambda n: n * size / 4), st.floats(-size, size, width=32)
    )
    count = draw(st.integers(3, 7))
    return tuple((draw(number), draw(number)) for _ in range(count))


nasty = st.one_of(ordinary, spikes(), notched(), anything())


@st.composite
def nasty_kits(draw: st.DrawFn) -> Kit:
    """A kit of which up to three figures are as small or as great as the schema lets through."""
    kit = draw(st.sampled_from([builders.SURFACE, builders.FASCIA, builders.PAIR]))
    small = st.sampled_from([1e-6, 1e-3, 0.0625, 1.0, 30.0, 1e6])
    for change in draw(st.lists(st.sampled_from(sorted(CHANGES)), max_size=3, unique=True)):
        kit = CHANGES[change](kit, draw(small))
    return kit


def _block(kit: Kit, size: float) -> Kit:
    assert kit.glass is not None
    return builders.with_glass(kit, block=replace(kit.glass.block, inset=size))


CHANGES: dict[str, Any] = {
    "gap": lambda kit, size: builders.with_picket(kit, gap=size),
    "picket": lambda kit, size: builders.with_picket(kit, width=size),
    "equal": lambda kit, size: builders.with_picket(kit, spacing="equal"),
    "centres": lambda kit, size: replace(kit, max_centres={"picket": size, "glass": size}),
    "post": lambda kit, size: builders.with_post(kit, width=size),
    "setback": lambda kit, size: builders.with_post(
        kit, setback=math.copysign(size, kit.post.setback)
    ),
    "base": lambda kit, size: builders.with_post(kit, base=replace(kit.post.base, width=size)),
    "side gap": lambda kit, size: builders.with_glass(kit, side_gap=size),
    "panel": lambda kit, size: builders.with_glass(kit, max_width=size),
    "area": lambda kit, size: builders.with_glass(kit, max_area=size),
    "inset": _block,
    "weep": lambda kit, size: replace(kit, weep=kit.weep and replace(kit.weep, diameter=size)),
    "weeps": lambda kit, size: replace(kit, weep=kit.weep and replace(kit.weep, max_interval=size)),
    "feet": lambda kit, size: replace(
        kit, rail_support=kit.rail_support and replace(kit.rail_support, max_interval=size)
    ),
    "no feet": lambda kit, size: replace(kit, rail_support=None),
    "least bay": lambda kit, size: replace(kit, least_bay=size),
    "straight": lambda kit, size: replace(kit, straight_limit=min(size, 45.0)),
    "square": lambda kit, size: replace(kit, square_limit=min(size, 45.0)),
    "swivel": lambda kit, size: replace(kit, swivel_greatest=min(size, 89.0)),
}


@st.composite
def nasty_decks(draw: st.DrawFn) -> Drawn:
    """A deck of anything that the schema lets through, placed where decks go wrong."""
    outline = draw(nasty)
    count = len(outline)
    edges = draw(said_of_edges(count))
    names = draw(st.sampled_from([(), ("a",), ("a", "b"), ("a", "b", "c")]))
    bare = {said.number for said in edges if said.condition != "guard"}
    railed = [number for number in range(count) if number not in bare] or [0]
    openings = tuple(builders.opening(*draw(_stretches(outline, railed)), name=n) for n in names)
    kept = tuple(
        builders.no_post(*draw(_stretches(outline, railed))[:3])
        for _ in range(draw(st.sampled_from([0, 0, 0, 1, 2])))
    )
    solid = tuple(draw(_solids(outline)) for _ in range(draw(st.sampled_from([0, 0, 1, 2]))))
    infill = draw(st.sampled_from(["picket", "glass"]))
    return Drawn(outline, draw(nasty_kits()), edges, openings, infill, kept, solid)


@st.composite
def _stretches(
    draw: st.DrawFn, outline: Outline, railed: list[int]
) -> tuple[int, float, float, Any]:
    """A stretch of an edge, with a use: anywhere on the edge, from its first corner, up to its
    last, or the whole of it."""
    number = draw(st.sampled_from(railed))
    room = length_of(outline, number)
    start = draw(st.one_of(st.just(0.0), st.floats(0, max(room, 1e-3))))
    rest = max(room - start, 1e-3)
    width = draw(st.one_of(st.just(rest), *(st.floats(share * rest / 4, rest) for share in (0, 3))))
    width = max(width, 1e-6)
    return number, start, width, draw(st.sampled_from(["stair", "gate", "passage"]))


@st.composite
def _solids(draw: st.DrawFn, outline: Outline) -> Obstruction:
    """An obstruction at a corner or along an edge, from a speck to one larger than the deck: a
    square, a triangle, a diamond, or an outline that crosses itself."""
    number = draw(st.integers(0, len(outline) - 1))
    (x0, y0), (x1, y1) = outline[number], outline[(number + 1) % len(outline)]
    share = draw(st.sampled_from([0.0, 0.03, 0.5, 0.97, 1.0]))
    x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
    size = draw(st.sampled_from([0.01, 1.0, 6.0, 40.0, 2000.0]))
    kind = draw(st.sampled_from(["block", "tangle", "slim", "diamond"]))
    if kind == "tangle":
        points = [(x, y), (x + size, y + size), (x + size, y), (x, y + size)]
        return builders.obstruction(points)
    if kind == "slim":
        return builders.obstruction([(x, y), (x + size, y), (x + size / 2, y)])
    if kind == "diamond":
        return builders.obstruction([(x - size, y), (x, y - size), (x + size, y), (x, y + size)])
    return builders.block(x, y, size)


def simple(outline: Outline) -> bool:
    """Whether an outline neither crosses nor touches itself."""
    return bool(shapely.Polygon(outline).is_valid)
