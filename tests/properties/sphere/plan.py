"""Shapes in plan that a deck's bodies are made of, and places along lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely import LineString, Polygon

from tests.properties.test_solid import Point

CHORDS = 64
"""How many chords stand for a bow."""


def chain(start: Point, end: Point, rise: float, is_ccw: bool) -> LineString:
    """An edge from corner to corner; a bow as chords, its rise outward of its level if positive."""
    if not rise:
        return LineString([start, end])
    chord, high = math.dist(start, end), abs(rise)
    radius = (chord**2 / 4 + high**2) / (2 * high)
    ux, uy = (end[0] - start[0]) / chord, (end[1] - start[1]) / chord
    outward = (1 if is_ccw else -1) * (1 if rise > 0 else -1)
    nx, ny = uy * outward, -ux * outward
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    half = math.asin(chord / 2 / radius)
    if high > chord / 2:
        raise ValueError("a bow of more than half a circle")
    points = [start]
    for number in range(1, CHORDS):
        angle = half * (2 * number / CHORDS - 1)
        along, out = radius * math.sin(angle), radius * math.cos(angle) - (radius - high)
        points.append((x + ux * along + nx * out, y + uy * along + ny * out))
    return LineString([*points, end])


def stretch(line: LineString, first: float, last: float) -> LineString:
    """The straight stretch between two places along a line."""
    return LineString([line.interpolate(first), line.interpolate(last)])


def direction(line: LineString) -> Point:
    """Unit vector from the start of a line to its end."""
    (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
    long = math.dist((ax, ay), (bx, by))
    return (bx - ax) / long, (by - ay) / long


def outward(line: LineString, is_ccw: bool) -> Point:
    """Unit vector square to a stretch of an outline, away from its level."""
    ux, uy = direction(line)
    return (uy, -ux) if is_ccw else (-uy, ux)


def square(at: Point, turned: float, width: float) -> Polygon:
    """The square of a post; turned: its angle in degrees."""
    far, angles = width / math.sqrt(2), [math.radians(turned + 45 + 90 * k) for k in range(4)]
    return Polygon((at[0] + far * math.cos(a), at[1] + far * math.sin(a)) for a in angles)


def end_of_chord(bow: LineString, at: Point, length: float, first: bool) -> Point:
    """Where a chord of a given length ends that has a post at its other end.

    It lies on a circle about the bow's centre. bow: the edge, counter-clockwise. first: whether it
    is the chord's first end, counter-clockwise, that is sought.
    """
    (ax, ay), (mx, my), (bx, by) = bow.coords[0], bow.coords[CHORDS // 2], bow.coords[-1]
    half, rise = (
        math.dist((ax, ay), (bx, by)) / 2,
        math.dist(((ax + bx) / 2, (ay + by) / 2), (mx, my)),
    )
    radius = (half**2 + rise**2) / (2 * rise)
    ux, uy = direction(LineString([((ax + bx) / 2, (ay + by) / 2), (mx, my)]))
    centre = complex(mx - ux * radius, my - uy * radius)
    arm = complex(*at) - centre
    turn = 2 * math.asin(length / 2 / abs(arm))
    is_left = (mx - ax) * (by - ay) - (my - ay) * (bx - ax) < 0
    if is_left != first:
        turn = -turn
    end = centre + arm * complex(math.cos(turn), math.sin(turn))
    return end.real, end.imag


def cuts(
    line: LineString, walls: Sequence[LineString], columns: Sequence[Polygon], width: float
) -> Iterator[float]:
    """The places along a long line where walls, taken further, and columns cut it.

    A column cuts it at the first and the last touch of a strip as wide as a post (step 1).
    """
    far = line.length
    for wall in walls:
        (x, y), (ux, uy) = wall.coords[0], direction(wall)
        longer = LineString([(x - ux * far, y - uy * far), (x + ux * far, y + uy * far)])
        at = longer.intersection(line)
        if at.geom_type == "Point":
            yield line.project(at)
    strip = line.buffer(width / 2, cap_style="flat")
    for column in columns:
        met = shapely.get_coordinates(column.intersection(strip))
        along = [line.project(shapely.Point(each)) for each in met]
        if along:
            yield from (min(along), max(along))
