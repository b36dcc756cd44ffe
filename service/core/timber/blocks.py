"""Core: blocks in plan (method 11): each square to the joists, from joist or rim to joist or rim.

A block is as wide as its plies together, and its middle line is at its place along the joists; it
stands clear of a rim that runs beside it, where its fixings leave it the play to. An end that meets
a rim is cut to fit it, and the block's length is that of its longest edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Final, NamedTuple

import shapely

from service.core.measure import TOUCH, Degrees, FromTo, Length, Point
from service.core.records.layout import BlockingPiece
from service.core.timber.frame import Face, Frame

SQUARE: Final = 90.0


class Wanted(NamedTuple):
    """A block that is wanted beside a point. play: how far off it along the joists it may stand."""

    point: Point
    plies: int
    play: Length = 0.0


@dataclass(frozen=True, slots=True)
class _Gap:
    """The gap between joist `below` and the next, beside a point. faces: of those joists, measured
    across from the point; infinite on a side where there is no joist."""

    point: Point
    below: int
    faces: FromTo

    def has_point(self) -> bool:
        """Whether the point is in the gap, not in a joist."""
        return self.faces[0] < 0 < self.faces[1]

    def is_bound(self) -> bool:
        """Whether there is a joist on both sides, and room between them."""
        return -math.inf < self.faces[0] < self.faces[1] < math.inf


@dataclass(frozen=True, slots=True)
class _Room:
    """The space that a block fills. stops: where its middle line begins and ends, measured across
    from the gap's point; length: of its longest edge; end_cuts: angle of each end, 90 if square."""

    stops: FromTo
    length: Length
    end_cuts: tuple[Degrees, Degrees]

    @classmethod
    def square(cls, stops: FromTo) -> _Room:
        """With square ends, as long as its middle line; of no length if the stops leave no room."""
        return cls(stops, max(0.0, stops[1] - stops[0]), (SQUARE, SQUARE))


def half_of(frame: Frame, plies: int) -> Length:
    """Half the width of a block of so many plies."""
    return plies * frame.framing.joist_width / 2


def blocks_at(frame: Frame, wanted: Sequence[Wanted]) -> list[BlockingPiece]:
    """Each block, square to the joists, from a joist or the rim on one side to a joist or the rim
    on the other."""
    gaps = [_gap(frame, each.point) for each in wanted]
    halves = [half_of(frame, each.plies) for each in wanted]
    plays = [each.play for each in wanted]
    gaps = _clear_of_rims(frame, gaps, halves, plays)
    rooms = [_Room.square(gap.faces) for gap in gaps]
    rimmed = [i for i, is_open in enumerate(_are_open(frame, gaps)) if not is_open]
    cut = _rimmed(frame, [(gaps[i], halves[i]) for i in rimmed])
    for i, room in zip(rimmed, cut, strict=True):
        rooms[i] = room
    return [
        _block(frame, gap, room, each.plies)
        for gap, room, each in zip(gaps, rooms, wanted, strict=True)
    ]


def _clear_of_rims(
    frame: Frame, gaps: list[_Gap], halves: Sequence[Length], plays: Sequence[Length]
) -> list[_Gap]:
    """Each gap with its point moved along the joists, as far as its play lets it, so that the block
    there is clear of the rim beside it."""
    movable = [i for i, play in enumerate(plays) if play > TOUCH]
    if not movable:
        return gaps
    strips = _strips(frame, [(gaps[i], halves[i]) for i in movable])
    near: dict[int, list[Face]] = {}
    _, tree, faces = frame.rim_faces
    for place, face in zip(*tree.query(strips, predicate="intersects").tolist(), strict=True):
        near.setdefault(movable[place], []).append(faces[face])
    moved = list(gaps)
    for i, beside in near.items():
        move = _move_clear(frame, gaps[i], halves[i], beside)
        if abs(move) > TOUCH:
            move = math.copysign(min(abs(move), plays[i]), move)
            moved[i] = replace(gaps[i], point=off(frame, gaps[i].point, 0.0, move))
    return moved


def _move_clear(frame: Frame, gap: _Gap, half: Length, faces: Sequence[Face]) -> Length:
    """How far along the joists a block has to move to be clear of the faces of the rim that lie
    beside its middle line, between its ends; 0 with some on both sides."""
    x, y = frame.place_across(gap.point), frame.place_along(gap.point)
    placed = [sorted((x0 - x, y0 - y) for x0, y0 in face) for face in faces]
    low, high = gap.faces
    beside = []
    for (x0, y0), (x1, y1) in placed:
        met = x0 + (x1 - x0) * y0 / (y0 - y1) if y0 * y1 < 0 else math.inf
        if not gap.faces[0] < met < gap.faces[1]:
            beside.append(((x0, y0), (x1, y1)))
        elif met < 0:
            low = max(low, met)
        else:
            high = min(high, met)
    below = above = 0.0
    for (x0, y0), (x1, y1) in beside:
        first, last = max(low, x0), min(high, x1)
        if last > first + TOUCH:
            pace = (y1 - y0) / (x1 - x0)
            ends = y0 + (first - x0) * pace, y0 + (last - x0) * pace
            if sum(ends) < 0:
                below = max(below, half + max(ends))
            else:
                above = max(above, half - min(ends))
    return 0.0 if below > TOUCH and above > TOUCH else below - above


def _gap(frame: Frame, point: Point) -> _Gap:
    here, half = frame.place_across(point), frame.framing.joist_width / 2
    # Before the first joist there is one gap, however wide.
    below = max(-1, math.floor((here - frame.first) / frame.framing.joist_spacing + TOUCH))
    low, high = -math.inf, math.inf
    if 0 <= below <= frame.last:
        low = frame.joist_centre(below) + half - here
    if 0 <= below + 1 <= frame.last:
        high = frame.joist_centre(below + 1) - half - here
    return _Gap(point, below, (low, high))


def _block(frame: Frame, gap: _Gap, room: _Room, plies: int) -> BlockingPiece:
    (low, high), here = room.stops, frame.place_across(gap.point)
    return BlockingPiece(
        between=(
            gap.below if low == gap.faces[0] else None,
            gap.below + 1 if high == gap.faces[1] else None,
        ),
        at=frame.place_along(gap.point),
        across=(here + low, here + max(low, high)),
        length=room.length,
        end_cuts=room.end_cuts,
        direction=frame.square,
        plies=plies,
    )


def _rimmed(frame: Frame, asked: Sequence[tuple[_Gap, Length]]) -> list[_Room]:
    """The rooms of blocks in gaps that a rim crosses. asked: each gap, half its block's width."""
    if not asked:
        return []
    sides, tree, faces = frame.rim_faces
    strips = _strips(frame, asked)
    near: list[list[int]] = [[] for _ in asked]
    for i, face in zip(*tree.query(strips, predicate="intersects").tolist(), strict=True):
        near[i].append(face)
    points = shapely.points([gap.point for gap, _ in asked])
    in_room = shapely.contains_properly(frame.inner, points).tolist()
    found = []
    for i, (gap, half) in enumerate(asked):
        is_in = in_room[i] and gap.has_point()
        room = _between(frame, gap, half, [faces[face] for face in near[i]]) if is_in else None
        if room is None:
            lines = [strips[i].exterior, *(sides[face] for face in near[i])]
            place = points[i] if is_in else _place_beside(frame, gap)
            room = _cut_room(frame, gap, half, lines, place)
        found.append(room)
    return found


def _between(frame: Frame, gap: _Gap, half: Length, faces: Sequence[Face]) -> _Room | None:
    """The room between faces of the rim that all cross the block's whole width; None where a face
    ends at a corner within that width, or where a side has neither face nor joist."""
    x, y = frame.place_across(gap.point), frame.place_along(gap.point)
    places = (-half, 0.0, half)
    lows, highs = [gap.faces[0]] * 3, [gap.faces[1]] * 3
    for one, two in faces:
        (x0, y0), (x1, y1) = (one, two) if one[1] < two[1] else (two, one)
        if y1 <= y - half + TOUCH or y0 >= y + half - TOUCH:
            continue
        if y0 > y - half + TOUCH or y1 < y + half - TOUCH:
            return None
        pace = (x1 - x0) / (y1 - y0)
        met = [x0 - x + (y + at - y0) * pace for at in places]
        if met[1] > 0:
            highs = [min(pair) for pair in zip(highs, met, strict=True)]
        else:
            lows = [max(pair) for pair in zip(lows, met, strict=True)]
    if not (math.isfinite(lows[1]) and math.isfinite(highs[1])):
        return None
    stops = _left_by_joists(gap, [(lows[1], highs[1])])
    length = max(highs[0], highs[2]) - min(lows[0], lows[2])
    cuts = [_end_cut(abs(ends[0] - ends[2]), half) for ends in (lows, highs)]
    return _Room(stops, length, (cuts[0], cuts[1]))


def _end_cut(off: Length, half: Length) -> Degrees:
    """The angle of an end that reaches `off` further on one edge of its block than on the other."""
    return SQUARE - math.degrees(math.atan2(off, 2 * half))


def _place_beside(frame: Frame, gap: _Gap) -> Any:
    """A place in a block's room where the gap's own point is in timber: the middle of the room
    beside that timber."""
    return shapely.Point(off(frame, gap.point, sum(_between_rims(frame, gap)) / 2, 0.0))


def _part_at(frame: Frame, lines: Sequence[Any], place: Any) -> Any:
    """The polygon inside the rim, among those the lines enclose, that contains `place`; None if
    none does or the rim covers it."""
    if not shapely.intersects(frame.inner, place):
        return None
    parts = shapely.get_parts(shapely.polygonize([shapely.union_all(lines)]))
    # A place on the rim's face, as between it and a joist against it, is of the part behind it too.
    about = [part for part in parts if shapely.intersects(part, place)]
    return next((p for p in about if shapely.intersects(frame.inner, p.point_on_surface())), None)


def _strips(frame: Frame, asked: Iterable[tuple[_Gap, Length]]) -> Any:
    """For each gap the rectangle from face to face of it, so far either way from its point along
    the joists."""
    (ux, uy), (vx, vy), far = frame.across, frame.along, _far(frame)
    rings = []
    for gap, half in asked:
        (x, y), dx, dy = gap.point, half * vx, half * vy
        low, high = max(gap.faces[0], -far), min(gap.faces[1], far)
        (x0, y0), (x1, y1) = (x + low * ux, y + low * uy), (x + high * ux, y + high * uy)
        rings.append(
            ((x0 - dx, y0 - dy), (x1 - dx, y1 - dy), (x1 + dx, y1 + dy), (x0 + dx, y0 + dy))
        )
    return shapely.polygons(rings)


def off(frame: Frame, point: Point, across: Length, along: Length) -> Point:
    """The point moved so far across the joists and along them."""
    (ux, uy), (vx, vy) = frame.across, frame.along
    return point[0] + across * ux + along * vx, point[1] + across * uy + along * vy


def _cut_room(frame: Frame, gap: _Gap, half: Length, lines: Sequence[Any], place: Any) -> _Room:
    """The room that the lines enclose about `place`, its ends cut by how far its edges reach; if
    they enclose none, that between rims. An end that meets a corner of the rim is square; where the
    corner reaches into the block's way it ends there."""
    part = _part_at(frame, lines, place)
    if part is None:
        return _Room.square(_between_rims(frame, gap))
    corners = shapely.get_coordinates(part.simplify(TOUCH))
    across = (corners @ frame.across - frame.place_across(gap.point)).tolist()
    along = (corners @ frame.along - frame.place_along(gap.point)).tolist()
    low, high = _left_by_joists(gap, _on_middle(across, along))
    middle = (low + high) / 2
    before, first = _end(half, [(middle - x, y) for x, y in zip(across, along, strict=True)])
    after, last = _end(half, [(x - middle, y) for x, y in zip(across, along, strict=True)])
    if middle - before > low + TOUCH:
        low = middle - before
    if middle + after < high - TOUCH:
        high = middle + after
    return _Room((low, high), before + after, (first, last))


def _end(half: Length, corners: Sequence[Point]) -> tuple[Length, Degrees]:
    """How far a block reaches at most from its middle to the end that corners of its room are
    counted to, and the angle that the end is cut at."""
    sides = [[x for x, y in corners if abs(y - edge) <= TOUCH] for edge in (-half, half)]
    reached = [max(side) for side in sides if side]
    inside = [x for x, y in corners if x > 0 and abs(y) < half - TOUCH]
    if len(reached) < 2:
        return max([*inside, *reached], default=0.0), SQUARE
    if not inside:
        return max(reached), _end_cut(abs(reached[0] - reached[1]), half)
    reaches_in = min(inside) < max(reached) - TOUCH
    return (min if reaches_in else max)([*inside, *reached]), SQUARE


def _on_middle(across: Sequence[Length], along: Sequence[Length]) -> list[FromTo]:
    """The stretches of the middle line inside a polygon with these corners, the first repeated
    last."""
    met = []
    for (x0, x1), (y0, y1) in zip(pairwise(across), pairwise(along), strict=True):
        if (y0 < 0) != (y1 < 0):
            met.append(x0 + (x1 - x0) * y0 / (y0 - y1))
    met.sort()
    return list(zip(met[::2], met[1::2], strict=True))


def _are_open(frame: Frame, gaps: Sequence[_Gap]) -> list[bool]:
    """Whether each gap, across at its point, runs from joist to joist clear of the rim."""
    found = [False] * len(gaps)
    asked = [i for i, gap in enumerate(gaps) if gap.is_bound()]
    if asked:
        ways = _ways(frame, ((gaps[i].point, gaps[i].faces) for i in asked))
        for i, is_open in zip(asked, shapely.covers(frame.inner, ways).tolist(), strict=True):
            found[i] = is_open
    return found


def _between_rims(frame: Frame, gap: _Gap) -> FromTo:
    """The stretch nearest to a gap's point, across the joists, that is clear of the rim and of the
    gap's joists; of two equally near, the one at the lesser place. If all the way across is in a
    rim, the stretch between the deck's edges less the rim's width at each."""
    rooms, rim = _crossed(frame, frame.inner, gap.point), frame.framing.rim_width
    if not rooms:
        around = _crossed(frame, frame.outline, gap.point) or [(-rim, rim)]
        rooms = [(low + rim, high - rim) for low, high in around]
    return _left_by_joists(gap, rooms)


def _left_by_joists(gap: _Gap, rooms: Sequence[FromTo]) -> FromTo:
    """The nearest of the rooms, less what the gap's joists take of it; nothing if there is none."""
    low, high = gap.faces
    first, last = min(rooms, key=_nearness, default=(0.0, 0.0))
    return low if low >= first - TOUCH else first, high if high <= last + TOUCH else last


def _crossed(frame: Frame, shape: Any, point: Point) -> list[FromTo]:
    """The stretches of a line across the joists that lie inside a shape, measured from a point on
    it."""
    far, here = _far(frame), frame.place_across(point)
    way = _ways(frame, [(point, (-far, far))])
    crossed = []
    for part in shapely.get_parts(shapely.intersection(way, shape)):
        across = (shapely.get_coordinates(part) @ frame.across).tolist()
        if across:
            crossed.append((min(across) - here, max(across) - here))
    return crossed


def _far(frame: Frame) -> Length:
    """A length greater than that between any two points of the deck."""
    x0, y0, x1, y1 = frame.outline.bounds
    return math.hypot(x1 - x0, y1 - y0) + 1


def _ways(frame: Frame, spans: Iterable[tuple[Point, FromTo]]) -> Any:
    """Lines across the joists. spans: for each line a point on it, and how far from that point it
    begins and ends."""
    ux, uy = frame.across
    return shapely.linestrings([[(x + w * ux, y + w * uy) for w in s] for (x, y), s in spans])


def _nearness(span: FromTo) -> tuple[Length, Length]:
    """How far off a stretch lies, rounded so that equally near ones tie; then where it begins."""
    return round(max(span[0], -span[1], 0.0), 6), span[0]
