"""Gates: the leaf in its opening, and its swing by sampling (contract, sections 3 and 6)."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from typing import TypeAlias

import numpy as np
import pytest
import shapely
from shapely import affinity

from service.core.engine import lay_out
from service.core.finishing.hanging import leaf_hits
from service.core.finishing.solids import Solid, Solids
from service.core.levels.gates import swept
from service.core.line.posts import PostDraft
from service.core.measure import Point
from service.core.records.deck import Corners, Deck, Drops, Level, Obstruction
from service.core.records.layout import GateBuilt, Layout
from service.core.records.swing import Swing
from tests.core import builders, sloping
from tests.core.sloping import SURFACE

SIZE = (240.0, 144.0)


def sampled(hinge: Point, along: Point, into: Point, leaf: float) -> list[Point]:
    """Points of the quarter that a leaf sweeps, which lies along `along` shut and opens toward
    `into`."""
    grid = np.linspace(0.005, 0.995, 36)
    points = []
    for share in grid:
        for angle in grid * math.pi / 2:
            reach = leaf * share
            c, s = reach * math.cos(angle), reach * math.sin(angle)
            points.append(
                (hinge[0] + c * along[0] + s * into[0], hinge[1] + c * along[1] + s * into[1])
            )
    return points


def gate_deck(
    rng: random.Random, solids: tuple[Obstruction, ...], flight: bool
) -> tuple[Deck, float, float, bool, bool]:
    """A rectangle, given in either direction and now and then narrow, with a gate in its first
    edge; with the gate's start, its width, whether it is hinged at its start and whether it opens
    in."""
    width = rng.randint(30 * 16, 44 * 16) / 16
    start = rng.choice([12.0, 60.0, SIZE[0] - 12.0 - width, rng.randint(40, 120) * 1.0])
    backwards, near, inward = (rng.random() < 0.5 for _ in range(3))
    points = builders.rectangle(SIZE[0], rng.choice([SIZE[1], 28.0]))
    number, told = 0, start
    if backwards:
        points, number, told = points[::-1], 2, SIZE[0] - start - width
    hole = replace(
        builders.opening(number, told, width, "gate", "o"),
        hinge="near" if near else "far",
        opens="in" if inward else "out",
    )
    made = builders.deck(points, openings=(hole,), obstructions=solids)
    if flight:
        made = replace(made, stairs=(sloping.stair(49.0, 7, 10.5),))
    return made, start, width, near != backwards, inward


DrawnGate: TypeAlias = tuple[Layout, GateBuilt, list[Point], tuple[float, float]]


def drawn_gates(count: int) -> Iterator[tuple[DrawnGate, tuple[Obstruction, ...]]]:
    """Layouts with a gate and a few solids about it. With each come the gate, the points that its
    leaf sweeps, and the places along the edge of the post faces beside it; then the solids."""
    rng, made = random.Random(31), 0
    while made < count:
        solids = tuple(
            builders.obstruction(
                builders.block(
                    rng.uniform(20, 220), rng.choice([rng.uniform(12, 60), rng.uniform(-60, -12)]),
                    rng.uniform(2, 14),
                ).points,
                f"solid {n}",
            )
            for n in range(3)
        )  # fmt: skip
        deck, start, width, at_start, inward = gate_deck(rng, solids, rng.random() < 0.5)
        layout = builders.laid_or_refused(deck, SURFACE)
        if not isinstance(layout, Layout):
            continue
        made += 1
        gate = layout.gates[0]
        posts = {post.id: post for post in layout.posts}
        ends = [
            posts[str(name)].at[0] for name in (gate.opening.hinge_post, gate.opening.latch_post)
        ]
        half = SURFACE.post.width / 2
        faces = min(ends) + half, max(ends) - half
        assert (ends[0] < ends[1]) == at_start
        assert SURFACE.gate is not None
        gap = SURFACE.gate.hinge_gap
        hinge = faces[0] + gap if at_start else faces[1] - gap, SURFACE.post.setback
        along, into = (1.0 if at_start else -1.0, 0.0), (0.0, 1.0 if inward else -1.0)
        yield (layout, gate, sampled(hinge, along, into, gate.width), faces), solids


def test_leaf_and_gaps_fill_the_clear_width() -> None:
    """Leaf, hinge gap and latch gap come to the clear width, the leaf floored to a mark. The leaf
    has the fewest pickets that keep the kit's gap."""
    kit = SURFACE.gate
    assert kit is not None
    for (layout, gate, _, faces), _ in drawn_gates(60):
        clear = faces[1] - faces[0]
        assert layout.openings[0].clear_width == pytest.approx(clear, abs=1e-6)
        assert gate.opening.clear_width == pytest.approx(clear, abs=1e-6)
        over = clear - gate.width - kit.hinge_gap - kit.latch_gap
        assert -1e-4 <= over < 0.0625
        assert gate.width % 0.0625 == 0
        # A guard of 36 less the 2.5 under the leaf.
        assert gate.height == 33.5
        assert gate.pickets is not None
        assert SURFACE.picket is not None
        picket, count = SURFACE.picket, gate.pickets.count
        assert (gate.width - count * picket.width) / (count + 1) <= picket.gap + 1e-6
        assert (gate.width - (count - 1) * picket.width) / count > picket.gap


def judged(shape: shapely.Polygon, points: shapely.MultiPoint, spacing: float) -> bool | None:
    """Whether sampled points lie in a shape; None where the grid is too coarse to say."""
    if shape.buffer(-0.02).intersects(points):
        return True
    return None if shape.distance(points) < spacing else False


def test_swing_by_sampling() -> None:
    """A leaf hits a post, but for the gate's own, a solid on the deck or off it, or a flight where
    a sampled point of its swing lies in it."""
    told = {of: {True: 0, False: 0} for of in ("post", "solid", "flight")}
    for (layout, gate, sweep, faces), solids in drawn_gates(150):
        points = shapely.MultiPoint(sweep)
        half = SURFACE.post.width / 2
        shapes = {f"solid {n}": shapely.Polygon(solid.points) for n, solid in enumerate(solids)}
        for post in layout.posts:
            if post.id not in (gate.opening.hinge_post, gate.opening.latch_post):
                (x, y), width = post.at, half
                assert post.turned == pytest.approx(0.0)
                shapes[post.id] = shapely.box(x - width, y - width, x + width, y + width)
        if layout.flights:
            shapes["f"] = shapely.box(faces[0], -63.0, faces[1], 0.0)
        for name, shape in shapes.items():
            wanted = judged(shape, points, 2.2)
            if wanted is not None:
                of = "flight" if name == "f" else name.split()[0] if " " in name else "post"
                told[of][wanted] += 1
                assert (name in gate.hits) == wanted
    for counts in told.values():
        assert counts[True] > 10
        assert counts[False] > 25
    assert sum(counts[True] for counts in told.values()) > 50
    assert sum(counts[False] for counts in told.values()) > 2000


def test_obstructions_by_sampling() -> None:
    """The same holds for obstructions, which are named as the caller named them."""
    rng, hit, missed = random.Random(77), 0, 0
    for _ in range(150):
        solid = builders.obstruction(
            builders.block(rng.uniform(30, 200), rng.uniform(14, 50), rng.uniform(8, 20)).points,
            "tub",
        )
        deck, start, width, at_start, inward = gate_deck(rng, (solid,), flight=False)
        layout = builders.laid_or_refused(deck, SURFACE)
        if not isinstance(layout, Layout):
            continue
        gate = layout.gates[0]
        posts = {post.id: post for post in layout.posts}
        x = posts[str(gate.opening.hinge_post)].at[0]
        way = 1.0 if at_start else -1.0
        assert SURFACE.gate is not None
        hinge = x + way * (SURFACE.post.width / 2 + SURFACE.gate.hinge_gap), SURFACE.post.setback
        into = (0.0, 1.0 if inward else -1.0)
        points = shapely.MultiPoint(sampled(hinge, (way, 0.0), into, gate.width))
        wanted = judged(shapely.Polygon(solid.points), points, 2.2)
        if wanted is not None:
            hit, missed = hit + wanted, missed + (not wanted)
            assert ("tub" in gate.hits) == wanted
    assert hit > 8
    assert missed > 30


def test_gate_over_its_flight() -> None:
    """A gate that opens out over its own flight hits it; one that opens in does not."""
    for opens in ("in", "out"):
        hole = replace(builders.opening(0, 96.0, 40.0, "gate", "o"), opens=opens)
        made = builders.deck(builders.rectangle(*SIZE), openings=(hole,))
        layout = lay_out(replace(made, stairs=(sloping.stair(49.0, 7, 10.5),)), SURFACE, None)
        assert layout.gates[0].flight == "f"
        assert ("f" in layout.gates[0].hits) == (opens == "out")


def test_what_stands_in_the_height_of_a_leaf() -> None:
    """A leaf over level "own" goes from 2.5 (this kit's bottom gap) up to 36; worked by hand.

    In its square stand, of its own level, a post of its own opening, another post, a rail that
    reaches 1 into it and one that only touches it. Of a level 7 below there is a rail 36 high (29
    above the leaf's level) and a wall, which counts for its own level alone; of one 36 above, a
    post; of one 34 below, a rail 36 high (2 above). The flights are its own level's, one from 36
    above down to it, one from 34 below whose guard ends 2 above, and one from 100 above that ends
    36 above.
    """
    square = shapely.box(0, 0, 10, 10)
    jamb, other = (PostDraft("gate", (1, 1), 0.0, (), None) for _ in range(2))
    line, corners = shapely.LineString, Corners(tuple(builders.rectangle(*SIZE)), "")
    own, low, high, deep, top = (
        Level(name, corners, "", Drops(drop))
        for name, drop in (
            ("own", 40.0),
            ("low", 33.0),
            ("high", 76.0),
            ("deep", 6.0),
            ("top", 140.0),
        )
    )
    solids = Solids(
        [
            Solid("jamb", shapely.box(0, 0, 2, 2), own, 36.0, jamb),
            Solid("post", shapely.box(4, 4, 6, 6), own, 36.0, other),
            Solid("rail", line([(9, 5), (30, 5)]), own, 36.0),
            Solid("touching", line([(10, 5), (30, 5)]), own, 36.0),
            Solid("step down", line([(5, 5), (5, 30)]), low, 36.0),
            Solid("wall of it", line([(5, 5), (5, 30)]), low),
            Solid("over it", shapely.box(4, 4, 6, 6), high, 36.0),
            Solid("far under", line([(5, 5), (5, 30)]), deep, 36.0),
            Solid("flight", shapely.box(5, 5, 50, 50), own, 36.0, foot=-49.0),
            Solid("down to it", shapely.box(5, 5, 50, 50), high, 36.0, foot=-36.0),
            Solid("under it", shapely.box(5, 5, 50, 50), deep, 36.0, foot=-49.0),
            Solid("from far above", shapely.box(5, 5, 50, 50), top, 36.0, foot=-64.0),
            Solid("off", shapely.box(11, 11, 12, 12), own, 36.0),
        ]
    )
    kit = replace(SURFACE, bottom_gap=2.5)
    hit = leaf_hits(kit, solids, square, [jamb], 36.0, own, "")
    assert hit == ("post", "rail", "step down", "flight", "down to it")


def test_a_rail_along_a_leaf_wide_open_is_met_however_the_deck_is_turned() -> None:
    """A leaf of 40 from (10, 3.5), wide open, lies along x = 10. A rail on that line is met, as a
    rail has breadth; one whose line, y = 43.5, its tip just reaches is not, nor one a hair off the
    leaf."""
    swing = Swing(True, (10.0, 3.5), (1.0, 0.0), (0.0, 1.0))
    lines = {
        "along": shapely.LineString([(10, 20), (10, 90)]),
        "reached": shapely.LineString([(-30, 43.5), (90, 43.5)]),
        "off": shapely.LineString([(9.99999, 20), (9.99999, 90)]),
    }
    own = Level("own", Corners(tuple(builders.rectangle(*SIZE)), ""), "")
    for angle in range(360):
        turned = {name: affinity.rotate(line, angle, origin=(0, 0)) for name, line in lines.items()}
        solids = Solids([Solid(name, line, own, 36.0) for name, line in turned.items()])
        sweep = affinity.rotate(swept(swing, 40.0), angle, origin=(0, 0))
        met = leaf_hits(SURFACE, solids, sweep, (), 36.0, own, "")
        assert met == ("along",)
