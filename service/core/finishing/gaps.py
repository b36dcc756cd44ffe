"""Core: gaps that no rail closes (`see_gaps`), walls that end short of a rail (`see_wall_ends`).

The gaps lie beside posts, at corners and past the ends of lines; the rules judge them. In: a level
as drawn and numbered, with what adjoins its edges. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import shapely

from service.core.finishing.adjoining import (
    Adjoining,
    GuardLine,
    InRow,
    LineEnd,
    obstructions_at,
)
from service.core.finishing.between import Parted
from service.core.finishing.infill import point_along
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.posts import body
from service.core.line.sides import Side
from service.core.line.strips import Strip
from service.core.measure import TOUCH, Length
from service.core.records.deck import deepest
from service.core.records.seen import GapSeen, WallEndSeen

CHORDS: Final = 32
"""Chords that stand for a bowed edge along an opening."""


def see_gaps(about: Adjoining) -> Iterator[GapSeen]:
    """The gaps of a level that no rail closes.

    They lie between a post and a wall, between the pair of posts at a corner, beyond obstructions
    that stand on a line's end, past the last post before an open edge, and round a post beside an
    opening.
    """
    for line in about.lines:
        if about.draft.level.obstructions:
            yield from _beyond(line)
        if about.is_open:
            yield from _past_the_last(line)
        if line.openings and about.kit.mounting == "surface":
            yield from _round_openings(line)
    if about.is_walled or about.draft.level.obstructions:
        for line in about.lines:
            yield from _at_walls(line)
    if about.draft.pairs:
        yield from _between_pairs(about)


def see_wall_ends(about: Adjoining) -> Iterator[WallEndSeen]:
    """Walls that a fascia's line meets past their own end, or on their outer face.

    At an outside corner the line meets the wall past its end. The wall is taken to go on there, and
    has to, if it is to hold a rail or to be the jamb of an opening. At an inner corner the line
    meets the wall outside the deck, where the body of the wall stands. Nothing with a surface kit.
    """
    post = about.kit.post
    if about.kit.mounting == "surface":
        return
    far_side = 1 + post.width / 2 / abs(post.setback)
    for end in (end for line in about.lines for end in line.ends):
        number = end.next_edge.number
        wall = about.walls.get(number)
        met = end.met_without_post() if wall is not None else None
        if wall is None or met is None:
            continue
        t, is_rail = met
        at, level = end.side.place(t, post.setback), about.draft.level.id
        if end.line.obstructions_touching(t).is_empty:
            tip, reach = end.gone_on(wall.coords, at)
            if wall.distance(shapely.Point(at)) <= TOUCH:
                yield WallEndSeen(level, number, not is_rail, (tip, tip), True)
            elif math.dist(tip, reach) > TOUCH:  # Else the line passes it by.
                to = point_along(tip, reach, math.dist(tip, reach) * (far_side if is_rail else 1.0))
                yield WallEndSeen(level, number, not is_rail, (tip, to))


def _at_walls(line: GuardLine) -> Iterator[GapSeen]:
    """The gap between each post that ends a line beside a wall or an obstruction, and that body."""
    about, half = line.about, line.about.kit.post.width / 2
    for terminal in dict.fromkeys(line.terminals):
        beside = terminal.beside()
        if terminal.post is not None and beside:
            post = body(about.kit, terminal.post)
            width: Length = min(map(post.distance, beside))
            face = terminal.t if terminal.wall_t is None else terminal.wall_t
            drops = line.drops_along(terminal.t - half, terminal.t + half, face)
            where, on = (about.ids.posts[terminal.post],), _going_on(line, terminal)
            left = width if on is None else post.distance(on)
            if on is not None and left < width - TOUCH:
                yield GapSeen("wall", where, left, drops, whole=width, goes_on=on.length)
            else:
                yield GapSeen("wall", where, width, drops)


def _going_on(line: GuardLine, terminal: Terminal) -> shapely.LineString | None:
    """The extension of the wall beside a fascia's end post, in plan.

    The wall is taken to go on past an outside corner, to the far side of the post. None elsewhere.
    """
    post = line.about.kit.post
    if line.about.kit.mounting == "surface":
        return None
    for end in line.ends:
        wall = line.about.walls.get(end.next_edge.number)
        if wall is not None and terminal.wall == tuple(wall.coords):
            tip, (ux, uy) = end.wall_end(wall.coords)
            heading = math.radians(end.side.heading_at(end.corner))
            outward = ux * math.sin(heading) - uy * math.cos(heading)
            if outward > TOUCH:
                far = (post.width / 2 - post.setback) / outward
                return shapely.LineString([tip, (tip[0] + far * ux, tip[1] + far * uy)])
    return None


def _between_pairs(about: Adjoining) -> Iterator[GapSeen]:
    """The gap between the two posts of each corner that has a pair, where both stand.

    It goes by the deepest of what lies below both edges, from the corner past each post.
    """
    kit, names = about.kit, about.ids.posts
    half = kit.post.width / 2
    for one, two in ((first.post, second.post) for first, second in about.draft.pairs):
        if one in names and two in names and one.beside and two.beside:
            apart: Length = body(kit, one).distance(body(kit, two))
            (before, last), (after, first) = one.beside, two.beside
            arriving = about.draft.drops_between(before, last - half, before.length)
            leaving = about.draft.drops_between(after, 0.0, first + half)
            yield GapSeen("pair", (names[one], names[two]), apart, deepest([arriving, leaving]))


def _beyond(line: GuardLine) -> Iterator[GapSeen]:
    """The gaps beyond obstructions on a line's ends, as far as the next edge's wall or guard.

    Gaps between these obstructions are included. Where the next edge is open there is nothing to
    close.
    """
    for end in line.ends:
        last = end.last
        if last is None or last.columns.is_empty:
            continue
        next_to = end.next_to()
        if next_to is None:
            continue
        *before, far = end.row_past(last.t, last.columns)
        yield from _between_columns(end, before)
        width: Length = far.shape.distance(next_to)
        if width > TOUCH:
            drops = line.drops_along(far.t, end.corner)
            yield GapSeen("beyond", (end.name_of(None),), width, drops)


def _past_the_last(line: GuardLine) -> Iterator[GapSeen]:
    """The gaps past the last post or obstruction on a line, where the next edge is open.

    One is what is left of the guarded edge, along it. Another is what passes between what stands
    last and the open edge, unless the first says as much. Gaps between obstructions further on are
    included.
    """
    for end in line.ends:
        last = end.last if end.next_edge.condition == "open" else None
        if last is None:
            continue
        side = end.side
        *before, far = end.row_past(last.t, last.shape)
        yield from _between_columns(end, before)
        left = max(0.0, side.on_edge(end.sense * (end.corner - far.t)))
        drops, own = line.drops_along(far.t, end.corner), end.name_of(last.post)
        if left > TOUCH:
            yield GapSeen("open", (own,), left, drops)
        past = _parted(end, last.shape, end.next_edge_line())
        told = max([left, *(one.onward for one in before)])
        along = drops
        if end.about.kit.mounting == "surface":
            # Whoever gets past a post on the deck can go along the whole edge, and on.
            whole = line.drops_along(0.0, side.length)
            along = deepest([whole, *end.other.drops_beyond()])
        is_told = not past.parted_by and past.width <= told + TOUCH and along == drops
        if past.whole > TOUCH and not is_told:
            yield GapSeen("past", (own,), past.width, along, past.whole, past.parted_by)


def _between_columns(end: LineEnd, row: Sequence[InRow]) -> Iterator[GapSeen]:
    """The gaps between the obstructions of a row."""
    for one in row:
        if one.onward > TOUCH:
            drops = end.line.drops_along(one.t, one.next)
            place = end.about.edge_place(end.side.edge_over(one.t).number)
            yield GapSeen("beyond", (place,), one.onward, drops)


def _round_openings(line: GuardLine) -> Iterator[GapSeen]:
    """The gaps round what stands beside an opening, to the strip of deck outside the railing.

    That strip reaches as far as the next opening or a wall. There is no gap at a post that a raked
    rail meets, as the rail goes down across it.
    """
    for drawn in line.openings:
        for end, jamb in zip(line.ends, drawn.jambs, strict=True):
            about, side, face, post = end.about, end.side, jamb.face, jamb.post
            if post is None:
                where = about.opening_place(drawn)
                stands = _column_at(end, face)
            else:
                where = about.ids.posts[post]
                stands = shapely.union_all([*obstructions_at(jamb.terminal), body(about.kit, post)])
            if stands.is_empty or (post and about.ids.on[post].is_raked):
                continue
            past = _parted(end, stands, _edge_at(side, drawn))
            far, ends_there = _outside(end, face)
            room = side.on_edge(end.sense * (far - face)) if ends_there else math.inf
            width, whole = min(past.width, room), min(past.whole, room)
            if whole > TOUCH:
                found = [line.drops_along(face, far)]
                drops = deepest(found if ends_there else [*found, *end.drops_beyond()])
                yield GapSeen("round", (where,), width, drops, whole, past.parted_by)


def _parted(end: LineEnd, start: shapely.Geometry, to: shapely.Geometry) -> Parted:
    """What passes between what stands on a line and something else, past obstructions.

    Obstructions in the railing's own place count whatever their height, as `standing_in` observes
    them. Others have to be as high as the guard.
    """
    about, side = end.about, end.side
    width, by = about.between.clearance(start, to)
    if not by:
        return Parted(width, width)
    obstructions, post = about.draft.level.obstructions, about.kit.post
    strip = Strip(side, post.setback - post.width / 2, post.setback + post.width / 2)
    on_line = [
        one
        for one, reach in zip(obstructions, strip.reaches(obstructions), strict=True)
        if reach is not None and reach[1] > TOUCH and reach[0] < side.length - TOUCH
    ]
    high = [one for one in obstructions if one.reaches(end.edge.height)]
    return about.between.parted([*on_line, *high], start, to)


def _column_at(end: LineEnd, face: Length) -> shapely.Geometry:
    """The obstructions that are an opening's jamb, with what comes next on the line past them.

    The latter may be nearer to the edge. face: where the jamb's face is, along the side. Empty
    where a wall is the jamb.
    """
    columns, terminals = end.line.obstructions_touching(face), end.line.terminals
    t = end.ahead((each.t for each in terminals), face)
    if columns.is_empty or t is None:
        return columns
    next_one = next(each for each in terminals if each.t == t)
    return shapely.union_all([columns, *end.line.met_at(next_one)])


def _outside(end: LineEnd, face: Length) -> tuple[Length, bool]:
    """How far along its side the strip of deck outside the railing reaches from an opening.

    It reaches to the next opening or to the corner. The second value says whether it ends there,
    which it does not at a corner whose next edge is guarded too. face: where the strip begins.
    """
    far = end.ahead((drawn.faces[end.sense < 0] for drawn in end.line.openings), face)
    return (end.corner, end.next_edge.condition != "guard") if far is None else (far, True)


def _edge_at(side: Side, drawn: OpeningDraft) -> shapely.LineString:
    """The edge of the deck along an opening, from face to face, by short chords.

    Only this part of the edge counts: it is here that people get past what stands beside the
    opening, however near the edge comes to that further on. At an inner corner a face may lie past
    the edge's end.
    """
    first, last = max(drawn.faces[0], 0.0), min(drawn.faces[1], side.length)
    parts = [i / CHORDS for i in range(CHORDS + 1)]
    return shapely.LineString([side.place(first + part * (last - first), 0.0) for part in parts])
