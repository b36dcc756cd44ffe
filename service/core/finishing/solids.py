"""Core: what stands on and around a deck, as shapes in plan that reach from one height to another.

Posts, rails, walls, obstructions, decks and raked guards become Solids, which are looked up by
their place: for what a gate's leaf would swing into (`hanging`), and what stands in the way of
rails and of flights (`ways`, `crowding`, `flight_ways`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.numbering import Ids
from service.core.flights.drafts import FlightDraft
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, Length, convert
from service.core.records.deck import Infill, Level
from service.core.records.kit import Kit
from service.core.runs.drafts import RunDraft

TOUCH_LENGTH: Final = 1e-3
"""In the document's unit: a line of which no more than this lies in an area only touches it."""

TRIMMED_DEPTH: Final = 1 / 4
"""In inches: a deck that reaches less than this into a flight, or into what stands on another deck,
is trimmed."""


class Solid(NamedTuple):
    """Something solid on or around a deck: its name and its shape in plan.

    level: the one that it stands on.
    foot, top: the heights above that level from which and to which it reaches. Without a top it is
    in the way on its own level alone.
    post: the post that it is, if it is one.
    flight: id of the flight whose guard it is part of, if any.
    is_deck: whether it is a level's walking surface.
    """

    name: str
    shape: shapely.Geometry
    level: Level
    top: Length | None = None
    post: PostDraft | None = None
    foot: Length = 0.0
    flight: str | None = None
    is_deck: bool = False


class Solids:
    """Many solids, looked up by place."""

    def __init__(self, solids: Iterable[Solid]) -> None:
        self._solids = tuple(solids)
        self._tree = shapely.STRtree([solid.shape for solid in self._solids])

    def about(self, area: shapely.Geometry) -> Iterator[Solid]:
        """The solids that meet or touch an area, in the order in which they were given."""
        near = self._tree.query(area, predicate="dwithin", distance=TOUCH).tolist()
        return (self._solids[i] for i in sorted(near))


def meets(area: shapely.Geometry, shape: shapely.Geometry) -> bool:
    """Whether an area and a shape share more than a touch: a length of a line, an area of all else.

    A line is the middle of a rail, which reaches to both sides of it, or the face of a wall. So a
    line along the area's edge, within TOUCH of it, is met; up to TOUCH_LENGTH of a line is only a
    touch.
    """
    return is_more(shared_by(area, shape), shape)


def shared_by(area: shapely.Geometry, shape: shapely.Geometry) -> shapely.Geometry:
    """What an area and a shape share by `meets`: of a line also what is along the area's edge."""
    is_line = shape.geom_type == "LineString"
    return (area.buffer(TOUCH) if is_line else area).intersection(shape)


def is_more(shared: shapely.Geometry, shape: shapely.Geometry) -> bool:
    """Whether `shared`, a part of `shape`, is more than a touch."""
    is_line = shape.geom_type == "LineString"
    return bool(shared.length > TOUCH_LENGTH if is_line else shared.area > TOUCH)


def trimmed_depth(kit: Kit) -> Length:
    """TRIMMED_DEPTH in the document's unit."""
    return convert(TRIMMED_DEPTH, "in", kit.unit)


def deck_of(about: Adjoining) -> Solid:
    """A level's walking surface, less a strip along its edges as broad as may be trimmed."""
    level, surface = about.draft.level, about.draft.outline.buffer(-trimmed_depth(about.kit))
    return Solid(f"the deck of level {level.id}", surface, level, 0.0, is_deck=True)


def level_posts(about: Adjoining) -> Iterator[Solid]:
    """The posts of a level, without their bases."""
    ids, level = about.ids, about.draft.level
    for post in ids.posts_on(about.draft):
        yield Solid(ids.posts[post], body(about.kit, post), level, ids.on[post].height, post)


def stands_between(solid: Solid, rise: Length | None, low: Length, high: Length) -> bool:
    """Whether a solid reaches into the range between two heights above a level.

    rise: how far the solid's own level lies above that level; where it is not known (None), the
    answer is no.
    """
    if rise is None:
        return False
    return rise + (solid.top or 0.0) > low + TOUCH and rise + solid.foot < high - TOUCH


def level_rails(
    about: Adjoining, *, least_half: Length | None = None, to_faces: bool = False
) -> Iterator[Solid]:
    """The rails of a level, one solid for each run, named by the run's id.

    least_half: where given, a rail is as broad as the kit says, and at least twice this; else it is
    its middle line.
    to_faces: whether a rail reaches from face to face of the posts at its ends, not from centre to
    centre.
    """
    kit = about.kit
    for line in about.draft.lines:
        half = 0.0
        if least_half is not None:
            half = max(half_breadth(kit, line.side.spec.infill), least_half)
        for run in line.railed:
            shape = run.stretch.axis(kit)
            if to_faces:
                shape = _from_face_to_face(kit, run, shape)
            if half:
                shape = shape.buffer(half, cap_style="flat")
            yield Solid(about.ids.runs[run.key], shape, about.draft.level, line.side.spec.height)


def _from_face_to_face(kit: Kit, run: RunDraft, axis: shapely.LineString) -> shapely.LineString:
    """The part of a run's middle line between the faces at which its rails end."""
    start, end = run.stretch.start.half(kit), run.stretch.end.half(kit)
    ends = shapely.line_interpolate_point(axis, [start, axis.length - end])
    return shapely.LineString(ends.tolist())


def half_breadth(kit: Kit, infill: Infill) -> Length:
    """Half the width of the broader of a level guard's two rails; 0 where the kit gives none."""
    return max(kit.half_rail("top", infill), kit.half_rail("bottom", infill))


def level_walls(about: Adjoining) -> Iterator[Solid]:
    """The walls of a level. They have no top, as their heights are not given."""
    for number, wall in about.walls.items():
        yield Solid(about.edge_place(number), wall, about.draft.level)


def level_surroundings(about: Adjoining) -> Iterator[Solid]:
    """The walls and the obstructions of a level. They have no top, however high they are."""
    yield from level_walls(about)
    for one in about.draft.level.obstructions:
        yield Solid(one.name, one.shape, about.draft.level)


def flight_guards(kit: Kit, ids: Ids, flight: FlightDraft) -> Iterator[Solid]:
    """The posts of a flight, except its heads, and its raked rails, each with its own heights."""
    name, level = flight.stair.id, flight.course.level.level
    for side in flight.sides:
        for post, foot, top in flight.uprights(side):
            yield Solid(ids.posts[post], body(kit, post), level, top, post, foot, name)
        falls = [u * flight.slope.tangent for u in side.places]
        for bay in side.bays:
            upper, lower = bay.index, bay.index + 1
            rail = shapely.LineString([side.posts[upper].at, side.posts[lower].at])
            top = flight.height - falls[upper]
            yield Solid(name, rail, level, top, foot=-falls[lower], flight=name)
