"""Core: the infill of bays in plan, along their lines (`infill_of`).

Pickets and panels are taken to have no thickness, as a kit gives none.
"""

from __future__ import annotations

import math

import shapely

from service.core.measure import Length, Point
from service.core.records.infill import BayFill
from service.core.records.kit import Kit
from service.core.runs.drafts import RunDraft


def infill_of(kit: Kit, run: RunDraft) -> shapely.GeometryCollection:
    """The infill of a run in plan, along its line, bay by bay."""
    axis, half = run.stretch.axis(kit), kit.post.width / 2
    (start, end), inner = axis.coords, [post.at for post in run.inner]
    places, halves = [start, *inner, end], [run.stretch.start.half(kit), *(half for _ in inner)]
    marks = list(zip(places, places[1:], halves, strict=False))
    filled = [bay for bay in run.bays if end_gap(bay.fill) is not None]
    return shapely.GeometryCollection(
        [infill_of_bay(kit, *marks[bay.index], bay.fill) for bay in filled]
    )


def infill_of_bay(
    kit: Kit, at: Point, toward: Point, half: Length, fill: BayFill
) -> shapely.MultiLineString:
    """The infill of a bay in plan, along its line.

    at, toward: the bay's two marks; the infill is set out from the first. half: from `at` to the
    face.
    """
    first = half + (end_gap(fill) or 0.0)
    if fill.glass is not None:
        stretches = [(first, first + fill.glass.width)]
    else:
        assert fill.pickets is not None
        assert kit.picket is not None
        pickets, width = fill.pickets, kit.picket.width
        starts = [first + i * (width + pickets.gap) for i in range(pickets.count)]
        stretches = [(start, start + width) for start in starts]
    return shapely.MultiLineString(
        [[point_along(at, toward, along) for along in each] for each in stretches]
    )


def end_gap(fill: BayFill) -> Length | None:
    """The gap between infill and face, along the bay; None where the bay takes no infill."""
    if fill.glass is not None:
        return fill.glass.side_gap
    return fill.pickets.end_gap if fill.pickets is not None and fill.pickets.count else None


def point_along(at: Point, toward: Point, along: Length) -> Point:
    """The point that lies `along` from one point toward another."""
    (x, y), share = at, along / math.dist(at, toward)
    return x + (toward[0] - x) * share, y + (toward[1] - y) * share
