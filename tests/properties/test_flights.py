"""Flights and gates of one deck described in other ways (contract, section 1 and method 9)."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest

from service.core.engine import lay_out
from service.core.measure import Point
from service.core.records.deck import Corners, Deck, Hand, Level
from service.core.records.layout import Layout
from tests.core import builders, sloping
from tests.core.sloping import DrawnFlight

SWAPPED: dict[Hand, Hand] = {"left": "right", "right": "left"}


def level_of(deck: Deck) -> tuple[Level, tuple[Point, ...]]:
    """The deck's only level, and its corners."""
    outline = deck.levels[0].outline
    assert isinstance(outline, Corners)
    return deck.levels[0], outline.points


def redrawn(deck: Deck, points: tuple[Point, ...], edge: Callable[[int], int]) -> Deck:
    """The deck with other corners. edge: an edge's new number, by its old one."""
    level, _ = level_of(deck)
    holes = tuple(replace(hole, edge=edge(hole.edge)) for hole in level.openings)
    edges = tuple(replace(one, number=edge(one.number)) for one in level.edges)
    outline = Corners(points, "/levels/0/outline")
    return replace(deck, levels=(replace(level, outline=outline, openings=holes, edges=edges),))


def mirrored(deck: Deck) -> Deck:
    """The deck's mirror image in the same order: left and right are exchanged, near stays near."""
    _, points = level_of(deck)
    twin = redrawn(deck, tuple((-x, y) for x, y in points), lambda number: number)
    stairs = tuple(
        replace(
            one,
            guards=tuple(SWAPPED[hand] for hand in one.guards),
            handrail=tuple(SWAPPED[hand] for hand in one.handrail),
        )
        for one in deck.stairs
    )
    return replace(twin, stairs=stairs)


def from_another_corner(deck: Deck, first: int) -> Deck:
    """The deck described from another corner on."""
    _, points = level_of(deck)
    return redrawn(
        deck, points[first:] + points[:first], lambda number: (number - first) % len(points)
    )


def raked(layout: Layout) -> Counter[tuple[object, ...]]:
    """The sizes and counts of each raked bay, without the way that it falls."""
    return Counter(
        (
            bay.fill.top_cut,
            bay.fill.bottom_cut,
            bay.fill.pickets and (bay.fill.pickets.count, bay.fill.pickets.length),
            bay.fill.glass and (bay.fill.glass.width, bay.fill.glass.height),
            len(bay.fill.rail_supports),
        )
        for bay in layout.bays
        if bay.flight is not None
    )


def cuts(layout: Layout) -> Counter[tuple[str, float]]:
    """The count of pieces of each part and length."""
    rows: Counter[tuple[str, float]] = Counter()
    for piece in layout.cut_list:
        rows[piece.part, piece.length] += piece.count
    return rows


def posts(layout: Layout) -> Counter[tuple[object, ...]]:
    """The posts by their places in plan, each with what is built there."""
    return Counter(
        (
            tuple(round(x, 4) for x in post.at),
            frozenset(tuple(round(x, 4) for x in corner) for corner in post.base),
            (post.role, post.flight, post.parts),
            (round(post.turned, 4), round(post.height, 4), post.stock_height),
        )
        for post in layout.posts
    )


def panels(layout: Layout) -> Counter[tuple[object, ...]]:
    """The count of panels of each kind in the glass order."""
    rows: Counter[tuple[object, ...]] = Counter()
    for row in layout.glass_order:
        rows[row.width, row.height, row.pane, row.corners, row.measured] += len(row.bays)
    return rows


def drawn(count: int, seed: int, use: str = "stair") -> list[tuple[DrawnFlight, Layout]]:
    """Random flights, each with its layout. use: of the opening, "stair" or "gate"."""
    rng = random.Random(seed)
    found: list[tuple[DrawnFlight, Layout]] = []
    while len(found) < count:
        one = replace(sloping.draw_flight(rng), use=use)
        layout = one.layout()
        if isinstance(layout, Layout):
            found.append((one, layout))
    return found


@pytest.mark.parametrize("use", ["stair", "gate"])
def test_mirrored(use: str) -> None:
    """A mirror image has the same raked bays, posts and heights.

    Its level bays are as many, with cuts within a step.
    """
    for one, layout in drawn(80, 41, use):
        image = lay_out(mirrored(one.deck()), one.kit, None)
        assert raked(image) == raked(layout)
        assert Counter(p.role for p in image.posts) == Counter(p.role for p in layout.posts)
        heights = [sorted(round(p.height, 6) for p in each.posts) for each in (layout, image)]
        assert heights[0] == heights[1]
        assert len(image.bays) == len(layout.bays)
        level = [
            sorted(bay.fill.top_cut for bay in each.bays if bay.flight is None)
            for each in (layout, image)
        ]
        assert level[0] == pytest.approx(level[1], abs=one.step + 1e-9)
        falls = [
            Counter(bay.fill.rake.falls for bay in each.bays if bay.fill.rake)
            for each in (layout, image)
        ]
        assert falls[0] == Counter({SWAPPED[hand]: n for hand, n in falls[1].items()})
        assert image.flights[0].triangle == layout.flights[0].triangle


def test_mirrored_gates() -> None:
    """In a mirror image a gate's leaf is the same and meets as much.

    Its hinge stays near or far.
    """
    for hinge in ("near", "far"):
        for opens in ("in", "out"):
            for start in (12.0, 60.0, 150.0):
                hole = replace(
                    builders.opening(0, start, 40.0, "gate", "o"), hinge=hinge, opens=opens
                )
                deck = builders.deck(builders.rectangle(240.0, 144.0), openings=(hole,))
                one = lay_out(deck, sloping.SURFACE, None).gates[0]
                two = lay_out(mirrored(deck), sloping.SURFACE, None).gates[0]
                assert (one.width, one.height) == (
                    two.width,
                    two.height,
                )
                assert len(one.hits) == len(two.hits)
                assert one.pickets == two.pickets


def test_renumbered() -> None:
    """A deck described from another corner has the same cuts and raked bays, the same posts in the
    same places, and as many panels of each size and shape in its glass order."""
    with_glass = 0
    for one, layout in drawn(60, 43):
        for first in (1, 2, 3):
            twin = lay_out(from_another_corner(one.deck(), first), one.kit, None)
            assert cuts(twin) == cuts(layout)
            assert raked(twin) == raked(layout)
            assert posts(twin) == posts(layout)
            assert panels(twin) == panels(layout)
            assert len(twin.glass_order) == len(layout.glass_order)
        with_glass += bool(panels(layout))
    assert with_glass > 20


@pytest.mark.parametrize("use", ["stair", "gate"])
def test_backwards_and_turned(use: str) -> None:
    """A deck described in the other direction, or turned by any angle, has the same cuts."""
    rng = random.Random(9)
    for one, layout in drawn(60, 47, use):
        for twin in (
            replace(one, backwards=not one.backwards),
            replace(one, turn=rng.uniform(0.0, 360.0)),
        ):
            other = twin.layout()
            assert isinstance(other, Layout)
            assert cuts(other) == cuts(layout)
            assert raked(other) == raked(layout)
            assert len(other.posts) == len(layout.posts)
            assert [g.width for g in other.gates] == [g.width for g in layout.gates]
            assert [len(g.hits) for g in other.gates] == [len(g.hits) for g in layout.gates]
