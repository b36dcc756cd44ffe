"""What counts as told: the places in plan that findings of a reply speak of (`told`).

A sphere's way through such a place is no news, so the search takes it as closed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations, product
from typing import Final

import shapely
from shapely import Point
from shapely.geometry.base import BaseGeometry

from tests.properties.sphere.bodies import Bodies
from tests.properties.test_solid import Json

WHOLE: Final = ("guard_required", "obstruction_height", "holds_high_enough")
"""Rules that say that something named does not guard: it counts as closed as far as it goes."""
GAPS: Final = ("opening_size", "gap_under_rail", "stair_opening_size", "bay_size", "gate_swing")
"""Rules that say that a sphere passes, or may: beside what is named, or between two such things."""
UNSOUND: Final = (
    *("guard_height", "corner_angle", "base_on_deck", "wall_goes_on", "rails_clear"),
    *("bases_apart", "clear_width", "arc_over_edge"),
)
"""Rules that say that something named cannot be built as drawn, or is too low, told alike."""
NEAR: Final = 16
"""In inches: things further apart are not named for the gap between them."""
ALONG, ROUND, ACROSS, PAST = 2.0, 2.5, 0.3, 8.0
"""In inches, how far a place that is told of reaches: off a bay or a run, off a post that is named
alone, and off the shortest line between two things; and how far at most past such a post."""


def told(bodies: Bodies, silent: Collection[str] = ()) -> list[BaseGeometry]:
    """The places that findings tell of. silent: rules whose findings are left out."""
    places: list[BaseGeometry] = []
    for finding in bodies.reply["findings"]:
        rule = finding["rule"]
        if finding["result"] == "pass" or rule in silent:
            continue
        if rule in WHOLE:
            places += [bodies.named[name] for name in finding["where"] if name in bodies.named]
            places += _columns(bodies, finding)
        elif rule in (*GAPS, *UNSOUND):
            places += _beside(bodies, finding)
            places += _columns(bodies, finding)
    return places


def _columns(bodies: Bodies, finding: Json) -> list[BaseGeometry]:
    """The columns that a finding's sentence names."""
    return [
        shape
        for name, shape in bodies.named.items()
        if name.startswith("column") and name in finding["message"]
    ]


def _beside(bodies: Bodies, finding: Json) -> Iterator[BaseGeometry]:
    """The places beside each thing that a finding names, and between any two of them."""
    rule, where, inch = finding["rule"], finding["where"], bodies.inch
    unrailed = (bodies.runs[each] for each in where if each in bodies.runs.keys() - bodies.named)
    yield from (_unrailed(bodies, run) for run in unrailed)
    found = [(name, bodies.named[name]) for name in where if name in bodies.named]
    for name, shape in found:
        if name in bodies.bays or name in bodies.runs:
            yield from _along_rails(bodies, finding, name)
        elif name in bodies.posts and rule != "base_on_deck":
            yield from _round_post(bodies, finding, name)
        elif rule == "gate_swing":
            yield shape
        elif name in bodies.feet and rule == "stair_opening_size":
            yield from _past_foot_posts(bodies, name, finding["actual"])
        elif rule == "opening_size" and len(where) == 1:
            yield from _past_columns(bodies, name, finding["actual"])
    if rule == "opening_size":
        found += [(name, each) for name, _ in found for each in _columns_along(bodies, name)]
    for (one_name, one), (two_name, two) in combinations(found, 2):
        if one_name != two_name:
            yield from _between(one, two, inch)


def _along_rails(bodies: Bodies, finding: Json, name: str) -> Iterator[BaseGeometry]:
    """The place beside a bay or a run; what its rails leave open off the deck is a part of it."""
    rule, shape = finding["rule"], bodies.named[name]
    under = finding["actual"] if rule == "gap_under_rail" else 0.0
    yield shape.buffer(max(ALONG * bodies.inch, under))
    if rule == "arc_over_edge":
        run = bodies.runs[name]
        yield shape.union(bodies.levels[run["level"]].edges[run["edge"]]).convex_hull


def _round_post(bodies: Bodies, finding: Json, name: str) -> Iterator[BaseGeometry]:
    """The place round a post; where it is named alone, as far as the gap past it is wide."""
    is_alone = len(finding["where"]) == 1
    is_gap = is_alone and finding["rule"] == "opening_size"
    past = min(finding["actual"], PAST * bodies.inch) if is_gap else 0.0
    yield bodies.named[name].buffer(max((ROUND if is_alone else 0.5) * bodies.inch, past))
    if is_gap:
        yield from _to_walls(bodies, name, finding["actual"])


def _to_walls(bodies: Bodies, post: str, width: float) -> Iterator[BaseGeometry]:
    """The place between a post and each wall that is as near to it as a gap is wide."""
    level, shape = bodies.levels[bodies.posts[post]["level"]], bodies.named[post]
    for edge, line in level.edges.items():
        if level.condition(edge) == "wall" and shape.distance(line) < width + ACROSS * bodies.inch:
            yield shapely.shortest_line(shape, line).buffer(ACROSS * bodies.inch)


def _columns_along(bodies: Bodies, name: str) -> list[shapely.Polygon]:
    """The columns that the railing of an edge may end at. name: of the edge; of nothing else."""
    own, _, number = name.partition("/edge ")
    if not number:
        return []
    level, reach = bodies.levels[own], abs(bodies.setback) + bodies.width
    columns = [shapely.Polygon(each["points"]) for each in level.drawn["obstructions"]]
    return [each for each in columns if each.distance(level.edges[int(number)]) < reach]


def _past_columns(bodies: Bodies, edge: str, width: float) -> Iterator[BaseGeometry]:
    """The places beyond the columns that an edge's railing ends at.

    They reach to the walls of its level, and to others of these columns, that are as near to them
    as the gap is wide.
    """
    columns = _columns_along(bodies, edge)
    if columns:
        level = bodies.levels[edge.partition("/")[0]]
        walls = [line for each, line in level.edges.items() if level.condition(each) == "wall"]
        for column, other in product(columns, [*walls, *columns]):
            if 0.0 < column.distance(other) < width + ACROSS * bodies.inch:
                yield shapely.shortest_line(column, other).buffer(ACROSS * bodies.inch)


def _past_foot_posts(bodies: Bodies, flight: str, width: float) -> Iterator[BaseGeometry]:
    """The places past a flight's posts, on to the nosing of its lowest tread."""
    foot = bodies.feet[flight]
    for name, post in bodies.posts.items():
        shape = bodies.named[name]
        if post.get("flight") == flight and shape.distance(foot) < width + ACROSS * bodies.inch:
            yield shapely.shortest_line(shape, foot).buffer(ACROSS * bodies.inch)


def _between(one: BaseGeometry, two: BaseGeometry, inch: float) -> Iterator[BaseGeometry]:
    """The place between two things: along their shortest line, and to the ends of a line."""
    if one.distance(two) >= NEAR * inch:
        return
    yield shapely.shortest_line(one, two).buffer(ACROSS * inch)
    if one.geom_type != "LineString":
        one, two = two, one
    if one.geom_type == "LineString":
        ends = [Point(one.coords[0]), Point(one.coords[-1])]
        for end in ends:
            if two.distance(end) < NEAR * inch:
                yield shapely.shortest_line(two, end).buffer(ACROSS * inch)


def _unrailed(bodies: Bodies, run: Json) -> BaseGeometry:
    """The place of a run that has no bay: from its posts on, as long as it is."""
    first, last = (bodies.posts.get(run[end] or "") for end in ("from", "to"))
    level, half = bodies.levels.get(run.get("level", "")), 0.5 * bodies.inch
    if first is not None and last is not None:
        return shapely.LineString([first["at"], last["at"]]).buffer(half)
    if level is None:
        return shapely.LineString()
    known, (ux, uy) = first or last, level.heading(run["edge"])
    if known is None:
        return level.edges[run["edge"]].buffer(max(bodies.setback, 0.0) + bodies.inch)
    (x, y), along = known["at"], run["length"] if last is None else -run["length"]
    return shapely.LineString([(x, y), (x + ux * along, y + uy * along)]).buffer(half)
