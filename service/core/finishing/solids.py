"""Core: what stands on and around a deck, as shapes in plan from one height to another.

Posts, rails, walls, obstructions and raked guards become Solids, found by their place, to be asked
what a gate's leaf would swing into (`hanging`) and what is in a flight's way (`ways`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

import shapely

from service.core.finishing.numbering import Ids
from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, Length
from service.core.records.deck import Infill
from service.core.records.kit import Kit
from service.core.records.seen import edge_place
from service.core.runs.drafts import RunDraft

ALONG: Final = 1e-3
"""In the document's unit: so much of a line has to lie in an area to be in its way."""

TRIMMED_DEPTH: Final = 1 / 4
"""In inches: less of a deck beside what stands on another, or a flight, is trimmed."""


class Rises(NamedTuple):
    """How far every level lies above one of them; None where the drop of either is not given."""

    own: str
    above: Mapping[str, Length | None]

    @classmethod
    def over(cls, own: LevelDraft, drafts: Sequence[LevelDraft]) -> Rises:
        """How far every level lies above `own`."""
        return cls(own.level.id, {each.level.id: own.rise_to(each) for each in drafts})

    def to(self, level: str) -> Length:
        """How far that level lies above it; levels without drops count as level."""
        return self.above[level] or 0.0


class Solid(NamedTuple):
    """What stands somewhere: its name and its shape in plan.

    level: on which it stands. foot, top: from where to where it reaches, above that level; without
    a top it is in the way on its own level alone. post: which post it is, if it is one; flight:
    whose guard it is part of; is_deck: whether it is a level's walking surface.
    """

    name: str
    shape: shapely.Geometry
    level: str
    top: Length | None = None
    post: PostDraft | None = None
    foot: Length = 0.0
    flight: str | None = None
    is_deck: bool = False


class Solids:
    """Many of them, found by their place."""

    def __init__(self, solids: Iterable[Solid]) -> None:
        self._solids = tuple(solids)
        self._tree = shapely.STRtree([solid.shape for solid in self._solids])

    def about(self, area: shapely.Geometry) -> Iterator[Solid]:
        """Those that meet or touch an area, in the order that they were given in."""
        near = self._tree.query(area, predicate="dwithin", distance=TOUCH).tolist()
        return (self._solids[i] for i in sorted(near))


def meets(area: shapely.Geometry, shape: shapely.Geometry) -> bool:
    """Whether they share more than a touch: of a line a length, of all else an area.

    A line is the middle of a rail, which reaches to both sides of it, or the face of a wall: one
    along the area's edge, within TOUCH of it, is met; less than ALONG of it is a touch.
    """
    return is_more(shared_by(area, shape), shape)


def shared_by(area: shapely.Geometry, shape: shapely.Geometry) -> shapely.Geometry:
    """What `meets` goes by: of a line also what lies along the area's edge."""
    is_line = shape.geom_type == "LineString"
    return (area.buffer(TOUCH) if is_line else area).intersection(shape)


def is_more(shared: shapely.Geometry, shape: shapely.Geometry) -> bool:
    """Whether that much of a shape is more than a touch."""
    is_line = shape.geom_type == "LineString"
    return bool(shared.length > ALONG if is_line else shared.area > TOUCH)


def level_posts(kit: Kit, ids: Ids) -> Iterator[Solid]:
    """The posts of levels."""
    for post, (draft, height) in ids.on.items():
        yield Solid(ids.posts[post], body(kit, post), draft.level.id, height, post)


def deck_of(draft: LevelDraft, deep: Length) -> Solid:
    """A level's walking surface, less a strip along its edges."""
    name = f"the deck of level {draft.level.id}"
    return Solid(name, draft.outline.buffer(-deep), draft.level.id, 0.0, is_deck=True)


def stands_between(solid: Solid, rise: Length | None, low: Length, high: Length) -> bool:
    """Whether something stands between two heights above a level. rise: how far its own level lies
    above that one; None where nobody knows, and then it does not."""
    if rise is None:
        return False
    return rise + (solid.top or 0.0) > low + TOUCH and rise + solid.foot < high - TOUCH


def level_rails(
    kit: Kit,
    ids: Ids,
    draft: LevelDraft,
    *,
    least_half: Length | None = None,
    to_faces: bool = False,
) -> Iterator[Solid]:
    """The rails of a level, run by run, by the names of the runs: their middle lines, or where
    `least_half` is given with their breadth as far as the kit says it, and at least twice that.
    to_faces: from face to face of the posts at their ends, not from middle to middle."""
    for line in draft.lines:
        half = 0.0
        if least_half is not None:
            half = max(half_breadth(kit, line.side.spec.infill), least_half)
        for run in line.runs:
            if run.bays:
                top, shape = line.side.spec.height, run.stretch.axis(kit)
                if to_faces:
                    shape = _from_face_to_face(kit, run, shape)
                if half:
                    shape = shape.buffer(half, cap_style="flat")
                yield Solid(ids.runs[run.key], shape, draft.level.id, top)


def _from_face_to_face(kit: Kit, run: RunDraft, axis: shapely.LineString) -> shapely.LineString:
    """What of a run's middle line lies between the faces that its rails end at."""
    start, end = run.stretch.start.half(kit), run.stretch.end.half(kit)
    ends = shapely.line_interpolate_point(axis, [start, axis.length - end])
    return shapely.LineString(ends.tolist())


def half_breadth(kit: Kit, infill: Infill) -> Length:
    """Half the width of the broader of a level's two rails; 0 where the kit gives none."""
    return max(half_breadths(kit, infill))


def half_breadths(kit: Kit, infill: Infill) -> tuple[Length, Length]:
    """Half the widths of a level's top and bottom rail; 0 where the kit gives none."""
    members = {} if kit.strength is None else kit.strength.rails
    top, bottom = (members.get(f"{place}_rail_{infill}") for place in ("top", "bottom"))
    return (
        0.0 if top is None or top.width is None else top.width / 2,
        0.0 if bottom is None or bottom.width is None else bottom.width / 2,
    )


def level_walls(draft: LevelDraft) -> Iterator[Solid]:
    """The walls of a level, however high they may be."""
    for number, wall in draft.walls():
        yield Solid(edge_place(draft.level.id, number), wall, draft.level.id)


def level_surroundings(draft: LevelDraft) -> Iterator[Solid]:
    """The walls of a level and its obstructions, however high they may be."""
    yield from level_walls(draft)
    for one in draft.level.obstructions:
        yield Solid(one.name, one.shape, draft.level.id)


def flight_guards(kit: Kit, ids: Ids, flight: FlightDraft) -> Iterator[Solid]:
    """The posts of a flight but its heads, and its raked rails, each as high as it reaches."""
    name, level = flight.stair.id, flight.level_id
    for side in flight.sides:
        for post, foot, top in flight.uprights(side):
            yield Solid(ids.posts[post], body(kit, post), level, top, post, foot, name)
        falls = [u * flight.slope.tangent for u in side.places]
        for bay in side.bays:
            upper, lower = bay.index, bay.index + 1
            rail = shapely.LineString([side.posts[upper].at, side.posts[lower].at])
            top = flight.height - falls[upper]
            yield Solid(name, rail, level, top, foot=-falls[lower], flight=name)
