"""Core: the clear space beside what stands in a guard, in plan, for the rules to judge.

It is the distance between two bodies where they are nearest, through which a sphere would have to
pass. Clears and end gaps are measured along the line (methods 4 and 6); between posts that stand
square to the line they are the clear space too. It differs, and is worked out here, where a post is
turned, or where a wall or an obstruction stands at the end. Pickets and panels are taken to have no
thickness, as a kit gives none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, GuardLine, LineEnd
from service.core.finishing.infill import end_gap, infill_of_bay, point_along
from service.core.finishing.numbering import Ids
from service.core.flights.drafts import FlightDraft, RakedBay, SideDraft
from service.core.line.corners import Terminal, half_at
from service.core.line.openings import Jamb, OpeningDraft
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt
from service.core.records.seen import SmallStretchSeen, SpaceSeen
from service.core.runs.drafts import BayDraft, RunDraft

_TO_CORNER: Final[Degrees] = 45.0
"""The skew at which the middle line of a bay meets a post at the post's own corner."""


class _End(NamedTuple):
    """What stands at a mark of a run.

    half: from the mark to the face, along the run.
    beside: at an acute corner, the infill of the other bay there, which a sphere has to pass as
    well as the post; None elsewhere.
    """

    at: Point
    body: shapely.Geometry
    half: Length
    beside: shapely.Geometry | None = None


def see_spaces(about: Adjoining) -> Iterator[SpaceSeen]:
    """The clear space beside the infill of a level's bays, where it differs from the end gap.

    It can differ only in runs that end at a wall, an obstruction, or a post not square to them.
    """
    for line in about.lines:
        for run in line.runs:
            stretch = run.stretch
            if not (_is_square(stretch.start) and _is_square(stretch.end)):
                ends = _ends_of_run(line, run)
                for bay in run.bays:
                    yield from _see_space(about.ids.bays[run.key, bay.index], bay, ends)


def see_raked_spaces(kit: Kit, flight: FlightDraft, ids: Ids) -> Iterator[SpaceSeen]:
    """The clear space beside the infill of a flight's bays, where it differs from the end gap.

    Only the bay at the head is looked at: the head post belongs to a level, while all other posts
    of a flight stand square to it.
    """
    for side in flight.sides:
        if side.meets_head and side.bays[0].skews[0] > TOUCH:
            ends = _ends_of_side(kit, side)
            yield from _see_space(ids.bays[side.key, 0], side.bays[0], ends)


def see_leaf_spaces(about: Adjoining, gates: Mapping[str, GateBuilt]) -> Iterator[SpaceSeen]:
    """The clear space beside a level's shut gates, where it differs from the gap along the line.

    It can differ beside an obstruction, a post that is turned to the leaf, or a wall that is not
    square to the leaf. gates: all gates, by their places.
    """
    for line in about.lines if gates else ():
        for drawn in line.openings:
            gate = gates.get(about.opening_place(drawn))
            if gate is not None:
                yield from _beside_leaf(line, drawn, gate)


def _beside_leaf(line: GuardLine, drawn: OpeningDraft, gate: GateBuilt) -> Iterator[SpaceSeen]:
    """The clear space beside one shut gate."""
    swing, setback = gate.swing, line.about.kit.post.setback
    order = 1 if swing.at_start else -1
    ends = (swing.pivot, swing.tip(gate.width, 0.0))[::order]
    faces = [line.side.place(face, setback) for face in drawn.faces]
    gap = max(map(math.dist, ends, faces))
    stands = [_standing(*each) for each in zip(line.ends, drawn.jambs, faces, strict=True)]
    space = max(each.distance(shapely.Point(at)) for each, at in zip(stands, ends, strict=True))
    if abs(space - gap) > TOUCH:
        off = [
            each.distance(shapely.Point(face)) if jamb.beside() else 0.0
            for each, face, jamb in zip(stands, faces, drawn.jambs, strict=True)
        ]
        hinge, latch = off[::order]
        yield SpaceSeen(gate.place, round(space, 6), (hinge, latch))


def _standing(end: LineEnd, jamb: Jamb, at: Point) -> shapely.Geometry:
    """What stands at one side of an opening, in plan.

    A wall that is square to the line counts as the point at which the line meets it. Beside a
    fascia's line, which hangs outside the deck, other walls are taken to go on past their ends.

    end: the end of the line toward which it lies. at: where the jamb's face is in plan.
    """
    kit = end.about.kit
    if jamb.post is not None:
        return body(kit, jamb.post)
    columns = end.line.obstructions_touching(jamb.face)
    if not columns.is_empty:
        return columns
    wall = jamb.terminal.wall
    if not wall:
        return shapely.Point(at)
    goes_on = [end.gone_on(wall, at)] if kit.mounting == "fascia" else []
    return shapely.MultiLineString([wall, *goes_on])


def see_small_stretches(about: Adjoining) -> Iterator[SmallStretchSeen]:
    """The stretches of a level that are too small to rail."""
    for line in about.lines:
        for run in line.runs:
            if run.small:
                ends = _ends_of_run(line, run)
                drops = line.drops_along(run.stretch.start.t, run.stretch.end.t)
                for bay in run.small:
                    space = _between(ends[bay.index], ends[bay.index + 1])
                    yield SmallStretchSeen(about.ids.runs[run.key], bay.clear, space, drops)


def see_small_raked(kit: Kit, flight: FlightDraft, ids: Ids) -> Iterator[SmallStretchSeen]:
    """The stretches along a flight that are too small to rail, measured in plan."""
    for side in flight.sides:
        if side.small:
            ends = _ends_of_side(kit, side)
            for bay in side.small:
                space = _between(ends[bay.index], ends[bay.index + 1])
                yield SmallStretchSeen(ids.runs[side.key], bay.clear, space, flight.drops)


def _is_square(terminal: Terminal) -> bool:
    """Whether a post stands at a terminal, square to the line."""
    return terminal.post is not None and terminal.skew <= TOUCH


def _ends_of_run(line: GuardLine, run: RunDraft) -> list[_End]:
    """What stands at every mark of a run."""
    kit, stretch = line.about.kit, run.stretch
    half, (first, last) = kit.post.width / 2, stretch.axis(kit).coords
    start, end = line.ends
    return [
        _end(start, run, stretch.start, first),
        *(_End(post.at, body(kit, post), half) for post in run.inner),
        _end(end, run, stretch.end, last),
    ]


def _end(line_end: LineEnd, run: RunDraft, terminal: Terminal, at: Point) -> _End:
    """What stands at a terminal of a run.

    line_end: the end of the line that the terminal lies toward. at: the terminal's place in plan.
    """
    about, post = line_end.about, terminal.post
    if post is None:
        return _End(at, _solid(line_end, terminal, at), 0.0)
    # At a greater skew the middle line of the bay meets the face's plane outside the post.
    is_past = terminal.skew > _TO_CORNER + TOUCH
    beside = _infill_beside(about, run, post) if is_past else None
    return _End(at, body(about.kit, post), terminal.half(about.kit), beside)


def _infill_beside(about: Adjoining, run: RunDraft, post: PostDraft) -> shapely.Geometry | None:
    """The infill of the other bay that meets a post of a run, in plan; None where there is none."""
    kit = about.kit
    for other in about.runs_at[post]:
        starts_here = other.stretch.start.post is post
        terminal = other.stretch.start if starts_here else other.stretch.end
        bay = other.outer_bay(at_end=not starts_here)
        if other is not run and bay is not None and end_gap(bay.fill) is not None:
            at, toward = other.stretch.axis(kit).coords[:: 1 if starts_here else -1]
            return infill_of_bay(kit, at, toward, terminal.half(kit), bay.fill)
    return None


def _solid(line_end: LineEnd, terminal: Terminal, at: Point) -> shapely.Geometry:
    """The obstructions or the wall that a rail ends on, in plan.

    A wall that the rail meets past the wall's end is taken to go on to there.
    """
    if terminal.obstructions:
        return shapely.MultiPolygon([one.shape for one in terminal.obstructions])
    wall = line_end.about.walls[line_end.next_edge.number]
    tip, reach = line_end.gone_on(wall.coords, at)
    return wall if tip == reach else shapely.MultiLineString([wall, (tip, at)])


def _ends_of_side(kit: Kit, side: SideDraft) -> list[_End]:
    """The posts on a side of a flight. The bay at the head post gives the skew there."""
    skew = side.bays[0].skews[0] if side.meets_head else 0.0
    head, half = side.posts[0], kit.post.width / 2
    return [
        _End(head.at, body(kit, head), half_at(kit, skew)),
        *(_End(post.at, body(kit, post), half) for post in side.posts[1:]),
    ]


def _between(one: _End, other: _End) -> Length:
    apart: Length = one.body.distance(other.body)
    return apart


def _see_space(
    name: str, bay: BayDraft | RakedBay, all_ends: Sequence[_End]
) -> Iterator[SpaceSeen]:
    """The clear space in a bay, where it differs from the gap along the line.

    In a bay with infill it is the wider of the spaces at the two ends; in a bay that takes no
    infill it is the whole opening.
    """
    ends = all_ends[bay.index], all_ends[bay.index + 1]
    gap = end_gap(bay.fill)
    if gap is None:
        along = math.dist(ends[0].at, ends[1].at) - ends[0].half - ends[1].half
        gap, space = bay.clear, _between(*ends) + bay.clear - along
    else:
        space = max(_beside(one, other.at, gap) for one, other in (ends, ends[::-1]))
    if abs(space - gap) > TOUCH:
        yield SpaceSeen(name, round(space, 6))


def _beside(end: _End, toward: Point, gap: Length) -> Length:
    """The distance from what stands at an end of a bay to the bay's infill.

    gap: how far off the face the infill begins. At an acute corner the distance from the infill of
    the other bay counts instead, where it is less.
    """
    infill = shapely.Point(point_along(end.at, toward, end.half + gap))
    space: Length = end.body.distance(infill)
    return space if end.beside is None else min(space, end.beside.distance(infill))
