"""Bowed decks described in other ways have the same cuts, and mirrored within one step."""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import replace

import pytest

from service.core.records.layout import Layout
from tests.core import builders
from tests.core.shapes import Drawn
from tests.properties import twins

RECTANGLE = builders.rectangle(217.0, 139.0)
HEXAGON = ((0.0, 0.0), (151.0, -10.0), (220.0, 60.0), (180.0, 170.0), (60.0, 190.0), (-40.0, 90.0))


ROUND_A_WINDOW = (
    *((0.0, 0.0), (240.0, 0.0), (240.0, 48.0), (180.0, 48.0)),
    *((150.0, -24.0), (90.0, -24.0), (60.0, 48.0), (0.0, 48.0)),
)
"""A deck round a bay window that stands out past the chord of edge 0.

Drawn straight, edge 0 would cross the window.
"""


def bowed_decks(count: int, seed: int) -> list[tuple[Drawn, Layout]]:
    """Random decks with one or two bowed edges and an edge that is a wall or open, with layouts."""
    rng = random.Random(seed)
    found: list[tuple[Drawn, Layout]] = []
    while len(found) < count:
        outline = rng.choice([RECTANGLE, HEXAGON])
        bows = rng.sample(range(len(outline)), rng.choice([1, 1, 2]))
        rises = [rng.choice([-1, 1]) * rng.randint(3, 30) for _ in bows]
        edges = tuple(builders.edge(n, arc_rise=r) for n, r in zip(bows, rises, strict=True))
        others = [n for n in range(len(outline)) if n not in bows]
        edges += (builders.edge(rng.choice(others), rng.choice(["wall", "open"])),)
        kit = rng.choice([builders.SURFACE, builders.FASCIA])
        drawn = Drawn(outline, kit, edges, (), rng.choice(["picket", "glass"]))
        layout = twins.layout_of(drawn)
        if layout is not None:
            found.append((drawn, layout))
    return found


def test_told_in_other_ways() -> None:
    """A bowed deck makes the same from another corner, in the other direction, turned or moved."""
    rng = random.Random(5)
    for drawn, layout in bowed_decks(80, 61):
        wanted = twins.made(layout)
        for twin in (
            twins.from_another_corner(drawn, rng.randint(1, len(drawn.outline) - 1)),
            twins.the_other_way(drawn),
            twins.turned(drawn, rng.uniform(0.0, 360.0), (rng.uniform(-500, 500), 77.0)),
        ):
            assert twins.made(twins.layout_of(twin)) == wanted


def test_round_a_bay_window_told_in_other_ways() -> None:
    """The same holds for an outline whose direction only its bow can tell."""
    for rise in (40.0, 90.0, 119.0):
        edges = (builders.edge(0, arc_rise=rise), *(builders.edge(n, "wall") for n in range(1, 8)))
        drawn = Drawn(ROUND_A_WINDOW, builders.SURFACE, edges, (), "picket")
        layout = twins.layout_of(drawn)
        assert layout is not None
        # The window leaves 16 in and more; the deck's sides and back are walls.
        assert {run.edge for run in layout.runs} == {0}
        assert all(post.at[1] < 48.0 for post in layout.posts)
        wanted = twins.made(layout)
        for twin in (
            *(twins.from_another_corner(drawn, first) for first in range(1, 8)),
            twins.the_other_way(drawn),
            twins.turned(twins.the_other_way(drawn), 77.0, (-300.0, 41.0)),
        ):
            assert twins.made(twins.layout_of(twin)) == wanted


def test_mirrored() -> None:
    """A mirror image has the same posts and bays, and cuts within one step."""
    for drawn, layout in bowed_decks(80, 67):
        if twins.tied(drawn):
            continue
        image = twins.layout_of(twins.mirrored(drawn))
        assert image is not None
        assert Counter(p.role for p in image.posts) == Counter(p.role for p in layout.posts)
        one, two = (sorted(bay.fill.top_cut for bay in each.bays) for each in (layout, image))
        assert one == pytest.approx(two, abs=0.0625 + 1e-9)
        one, two = (sorted(seen.middle for seen in each.arcs) for each in (layout, image))
        assert one == pytest.approx(two, abs=1e-6)


def test_openings_in_a_bow() -> None:
    """An opening in a bowed edge is as wide as asked, measured from either end of the edge.

    `from` goes along the edge's own arc: from one end of it to the opening's near side, or from the
    other end to its far side.
    """
    for rise in (18.0, -18.0):
        chord = 217.0
        radius = (chord**2 / 4 + rise**2) / (2 * abs(rise))
        # 2 asin((c / 2) / r) is the arc's angle up to half a circle.
        arc = radius * 2 * math.asin(chord / 2 / radius)
        edges = (builders.edge(0, arc_rise=rise), builders.edge(2, "wall"))
        hole = builders.opening(0, 70.0, 36.0, "passage", "o")
        # The posts stand along the tangents of the railing's own arc. They come nearest to each
        # other at their corners towards the centre, each (r - w/2) sin a - (w/2) cos a off the
        # middle, where 2a is the angle between their spokes. Halving finds the a that makes 36.
        line = radius - builders.SURFACE.post.setback * (1 if rise > 0 else -1)
        half = builders.SURFACE.post.width / 2
        low, high = 0.0, 1.0
        while high - low > 1e-12:
            a = (low + high) / 2
            low, high = (
                (a, high)
                if 2 * ((line - half) * math.sin(a) - half * math.cos(a)) < 36.0
                else (low, a)
            )
        between = 2 * low * line - 2 * half
        plain = Drawn(RECTANGLE, builders.SURFACE, edges, (hole,))
        twin = twins.the_other_way(replace(plain, openings=()))
        number = len(RECTANGLE) - 2
        far = 70.0 + between * radius / line
        other = replace(hole, edge=number, start=arc - far)
        one, two = twins.layout_of(plain), twins.layout_of(replace(twin, openings=(other,)))
        assert one is not None
        assert two is not None
        assert one.openings[0].clear_width == pytest.approx(36.0, abs=1e-6)
        assert two.openings[0].clear_width == pytest.approx(36.0, abs=1e-6)
        assert sorted(b.fill.top_cut for b in one.bays) == sorted(b.fill.top_cut for b in two.bays)
