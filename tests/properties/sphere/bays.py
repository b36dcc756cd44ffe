"""The bays of a deck as bodies: where each begins, its rails and its infill (`stand`)."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from tests.properties.sphere.bodies import ENDLESS, Bodies, Surface
from tests.properties.sphere.plan import cuts, direction, end_of_chord, outward, square
from tests.properties.test_solid import Json, Point

FAR = 300
"""In inches: further than a wall that meets a bay's line lies off it."""


class UnplacedError(Exception):
    """A bay stands where this program cannot tell; its deck is left out."""


def stand(bodies: Bodies) -> None:
    """Put up all bays. A level's guard is as low as the lowest of its bays."""
    without_post: list[tuple[Surface, shapely.Point]] = []
    for bay in bodies.reply["bays"]:
        run = bodies.runs[bay["run"]]
        if "flight" in run:
            _raked(bodies, bay, run)
            continue
        level = bodies.levels[run["level"]]
        level.guard = min(level.guard, bay["height"])
        without_post += _level_bay(bodies, bay, run, level)
    _held(bodies, without_post)


def _half(bodies: Bodies, post: Json, end: str, ux: float, uy: float) -> float:
    """From a post's middle to the face that a bay in a direction meets, along the bay."""
    if end in ("socket", "rake"):
        return bodies.width / 2
    far = 3 * bodies.width
    x, y = post["at"]
    way = LineString([(x, y), (x + ux * far, y + uy * far)])
    return float(way.intersection(square(post["at"], post["turned"], bodies.width)).length)


def _level_bay(
    bodies: Bodies, bay: Json, run: Json, level: Surface
) -> Iterator[tuple[Surface, shapely.Point]]:
    """A bay's rails and its infill, each a line from face to face or as far as it reaches.

    Yields where it ends without a post.
    """
    start, (ux, uy) = _face(bodies, bay, run, level)

    def part(first: float, last: float) -> LineString:
        at = ((start[0] + ux * t, start[1] + uy * t) for t in (first, last))
        return LineString(at)

    whole, foot = part(0.0, bay["clear"]), level.height
    bodies.named[bay["id"]] = whole
    bodies.named[run["id"]] = shapely.union_all([bodies.named.get(run["id"], whole), whole])
    depths = bodies.kit["rails"][bay["infill"]]
    bottom, top = (bodies.in_unit(depths[rail]["depth"]) for rail in ("bottom", "top"))
    under, over = foot + bodies.bottom_gap, foot + bay["height"]
    bodies.add(_as_wide_as_pickets(bodies, whole), under, under + bottom, "rail")
    bodies.add(whole, over - top, over, "rail")
    off = _end_gap(bodies, bay)
    if off is not None:
        bodies.add(part(off, bay["clear"] - off), under, over, "infill")
    for end, at in zip(("from", "to"), whole.boundary.geoms, strict=True):
        if bay[end] is None:
            yield level, at


def _as_wide_as_pickets(bodies: Bodies, rail: LineString) -> BaseGeometry:
    """A bottom rail in plan: no kit says how wide it is, but its pickets go into it.

    So a sphere that comes partly under it, past a post, is held. Off the deck the gap to a rail is
    read to its middle, and so it is here.
    """
    if bodies.setback < 0:
        return rail
    return rail.buffer(bodies.in_unit(bodies.kit["picket"]["width"]) / 2, cap_style="flat")


def _held(bodies: Bodies, ends: Sequence[tuple[Surface, shapely.Point]]) -> None:
    """What of a column of unknown height holds the end of a line's rail, as a wall does (step 1).

    It is what lies as near to that end as a post there would reach, as high as any. Nothing of a
    column that rails end at on both sides counts: it stands in a railing's place.
    """
    for level in bodies.levels.values():
        for each in level.drawn["obstructions"]:
            shape = Polygon(each["points"])
            held = [at.buffer(0.75 * bodies.width) for own, at in ends if own is level]
            near = [disc for disc in held if disc.intersects(shape)]
            if "height" not in each and len(near) == 1:
                bodies.add(shape.intersection(near[0]), level.height, ENDLESS, "held")


def _end_gap(bodies: Bodies, bay: Json) -> float | None:
    """From the faces of a bay to its first picket or its panel; None if it has neither."""
    if "glass" in bay:
        return float(bay["clear"] - bay["glass"]["width"]) / 2
    pickets = bay["pickets"]
    if not pickets["count"]:
        return None
    if pickets["gap"] >= bodies.sphere:
        raise UnplacedError("pickets further apart than the sphere")
    return float(pickets["end_gap"])


def _face(bodies: Bodies, bay: Json, run: Json, level: Surface) -> tuple[Point, Point]:
    """The face at which a bay begins, and its heading.

    Where one end is at a wall, the post at the other end tells; where both are, the wall does.
    """
    first, last = (bodies.posts.get(bay[end] or "") for end in ("from", "to"))
    if first is not None and last is not None:
        (ax, ay), (bx, by) = first["at"], last["at"]
        long = math.dist(first["at"], last["at"])
        ux, uy = (bx - ax) / long, (by - ay) / long
        halves = (
            _half(bodies, first, bay["ends"][0], ux, uy),
            _half(bodies, last, bay["ends"][1], -ux, -uy),
        )
        if abs(bay["clear"] + sum(halves) - long) > 0.02 * bodies.inch:
            raise UnplacedError(f"{bay['id']} does not fit between its posts")
        return (ax + ux * halves[0], ay + uy * halves[0]), (ux, uy)
    heading = level.heading(run["edge"])
    line = level.edges[run["edge"]]
    known = first or last
    if known is None:
        return _between_walls(bodies, run, level), heading
    if len(line.coords) > 2:
        line = line if level.is_ccw else line.reverse()
        far = end_of_chord(line, known["at"], run["length"], first is None)
        ends = (known["at"], far) if last is None else (far, known["at"])
        heading = direction(LineString(ends))
    (x, y), (ux, uy) = known["at"], heading
    if first is not None:
        off = _half(bodies, first, bay["ends"][0], ux, uy)
    else:
        off = -_half(bodies, known, bay["ends"][1], -ux, -uy) - bay["clear"]
    return (x + ux * off, y + uy * off), (ux, uy)


def _between_walls(bodies: Bodies, run: Json, level: Surface) -> Point:
    """Where a run begins that has walls or obstructions at both its ends.

    Of all places where such things cut its line, two lie as far apart as the run is long.
    """
    if len(run["marks"]) != 2 or len(level.edges[run["edge"]].coords) > 2:
        raise UnplacedError("several bays between walls")
    line = level.edges[run["edge"]] if level.is_ccw else level.edges[run["edge"]].reverse()
    ox, oy = outward(line, is_ccw=True)
    (x, y), (ux, uy), far = line.coords[0], level.heading(run["edge"]), FAR * bodies.inch
    x, y = x - ox * bodies.setback - ux * far, y - oy * bodies.setback - uy * far
    long = LineString(
        [(x, y), (x + ux * (line.length + 2 * far), y + uy * (line.length + 2 * far))]
    )
    walls = [each for number, each in level.edges.items() if level.condition(number) == "wall"]
    columns = [Polygon(each["points"]) for each in level.drawn["obstructions"]]
    places = sorted(cuts(long, walls, columns, bodies.width))
    starts = [
        one
        for one in places
        for two in places
        if abs(two - one - run["length"]) < 0.01 * bodies.inch
    ]
    if not starts or starts[-1] - starts[0] > 0.02 * bodies.inch:
        raise UnplacedError("a bay between walls")
    at = long.interpolate(starts[0])
    return at.x, at.y


def _raked(bodies: Bodies, bay: Json, run: Json) -> None:
    """A bay of a flight, in pieces 3 in long, each closed from below up to its rail."""
    first, last = (bodies.posts.get(bay[end] or "") for end in ("from", "to"))
    if first is None or last is None:
        raise UnplacedError("a raked bay at a wall")
    course = bodies.courses[run["flight"]]
    flight = next(each for each in bodies.reply["flights"] if each["id"] == run["flight"])
    slope, foot = flight["riser"] / flight["going"], course.level.height
    whole = LineString([first["at"], last["at"]])
    bodies.named[bay["id"]] = bodies.named[run["id"]] = whole
    count = max(2, int(whole.length / (3 * bodies.inch)))
    ends = [whole.interpolate(number / count, normalized=True) for number in range(count + 1)]
    for one, two in itertools.pairwise(ends):
        down = (course.along(one.x, one.y) + course.along(two.x, two.y)) / 2
        top = foot - max(down, -bodies.width) * slope + bay["height"]
        bodies.add(LineString([one, two]), foot if down <= 0 else -ENDLESS, top, "raked")
