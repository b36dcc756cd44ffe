"""Obstructions at the end of a railing that are lower than it, beside another level, by hand.

Posts are 2.25 wide on lines 3.5 in, and guards 36 high. A sphere gets out over what is lower.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Edge, Level
from service.core.records.layout import Layout
from tests.core import builders
from tests.core.builders import edge, opening, rectangle
from tests.core.sloping import SURFACE

HEIGHTS = [(12.0, False), (35.0, False), (36.0, True), (96.0, True), (None, True)]
"""Heights of an obstruction, and whether it closes what it stands in. One that is not given is
taken as high enough, as the line ends at it as at a wall."""


def beside(
    block: tuple[Length, Length, Length, Length],
    height: Length | None,
    low: Level,
    outline: Sequence[Point],
    **parts: Any,
) -> Layout:
    """The layout of a deck with an obstruction, and of another level. block: where the obstruction
    begins and ends along x, then along y."""
    left, right, bottom, top = block
    corners = (left, bottom), (right, bottom), (right, top), (left, top)
    column = replace(builders.obstruction(corners), height=height)
    deck = builders.deck(outline, obstructions=(column,), **parts)
    return lay_out(replace(deck, levels=(*deck.levels, low)), SURFACE, None)


def level(left: Length, bottom: Length, right: Length, top: Length, *edges: Edge) -> Level:
    """A level 42 over the ground, by its sides."""
    corners = (left, bottom), (right, bottom), (right, top), (left, top)
    return Level("low", Corners(corners, "/levels/1"), "/levels/1", Drops(42.0), edges=edges)


@pytest.mark.parametrize(("height", "closes"), HEIGHTS)
def test_beside_an_open_edge(height: Length | None, closes: bool) -> None:
    """The line of edge 1 ends in a post at (96.5, 25), with its corner at (97.625, 26.125), before
    an obstruction up to (99, 29.25). The other level's post is at (102.25, 33.5), with its corner
    at (101.125, 32.375). So it is 2.125 by 3.125 from the obstruction, and 3.5 by 6.25 from post to
    post."""
    sides = edge(1, wall_end="post"), edge(2, "open"), edge(3, open_end="edge"), edge(4, "wall")
    other = edge(0, open_end="edge"), edge(2, open_end="edge"), edge(3, "open")
    layout = beside(
        (96.5, 99.0, 27.25, 29.25),
        height,
        level(100.0, 30.0, 160.0, 80.0, *other),
        outline=((0, 0), (100, 0), (100, 30), (100, 80), (0, 80)),
        edges=sides,
    )
    widest = max(gap.width for gap in layout.gaps if gap.kind == "joint" and "P3" in gap.where)
    assert widest == pytest.approx(math.hypot(2.125, 3.125) if closes else math.hypot(3.5, 6.25))


@pytest.mark.parametrize(("height", "closes"), HEIGHTS)
def test_along_the_other_level_s_railing(height: Length | None, closes: bool) -> None:
    """People get in between the two railings along x = 200 by a gate. An obstruction, up to (199.5,
    6), takes the corner post's place, and the line of edge 1 ends in a post at (196.5, 8.25), 2.25
    wide. The other level's corner post, at (203.5, 3.5), is 202.375 - 199.5 = 2.875 from the
    obstruction, and 4.75 by 7.125 - 4.625 = 2.5 from the post. At the far end the two corner posts
    are 4.75 apart."""
    layout = beside(
        (194.0, 199.5, 1.0, 6.0),
        height,
        level(200.0, 0.0, 300.0, 120.0),
        outline=rectangle(200, 120),
        edges=(edge(0, wall_end="post"), edge(1, wall_end="post")),
        openings=(opening(1, 40, 36, "gate"),),
    )
    near = 2.875 if closes else math.hypot(4.75, 2.5)
    found = sorted(gap.width for gap in layout.gaps if gap.kind == "along")
    assert found == pytest.approx(sorted([4.75, near]))
