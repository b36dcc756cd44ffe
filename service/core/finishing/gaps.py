"""Core: gaps that no rail closes (`see_gaps`), walls that end short of a rail (`see_wall_ends`).

The gaps lie beside posts, at corners and past the ends of lines; the rules judge them. In: a level
as drawn and numbered, with what adjoins its edges. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import Final

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.between import Parted
from service.core.finishing.line_ends import InRow, LineEnd, ends_of, met_at, obstructions_at
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft, body
from service.core.line.sides import Side
from service.core.line.strips import Strip
from service.core.measure import TOUCH, Length, Point, toward
from service.core.records.deck import deepest
from service.core.records.seen import GapSeen, WallEndSeen, edge_place, opening_place

CHORDS: Final = 32
"""Chords that stand for a bowed edge along an opening."""


def see_gaps(about: Adjoining, heads: Collection[PostDraft]) -> Iterator[GapSeen]:
    """The gaps of a level that no rail closes.

    They lie between a post and a wall, between the pair of posts at a corner, beyond obstructions
    that stand on a line's end, past the last post before an open edge, and round a post beside an
    opening. heads: the posts that raked rails meet.
    """
    draft = about.draft
    before_open = any(spec.condition == "open" for spec in draft.specs)
    for line in draft.lines:
        if not (draft.level.obstructions or before_open or line.openings):
            continue
        ends = ends_of(about, line)
        if draft.level.obstructions:
            yield from _beyond(ends)
        if before_open:
            yield from _past_the_last(ends)
        if line.openings and about.kit.mounting == "surface":
            yield from _round_openings(ends, heads)
    for line in draft.lines:
        yield from _at_walls(about, line)
    if draft.pairs:
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
    to_far_side = 1 + post.width / 2 / abs(post.setback)
    for end in (end for line in about.draft.lines for end in ends_of(about, line)):
        number = end.next_edge.number
        wall = about.walls.get(number)
        met = end.met_without_post() if wall is not None else None
        if wall is None or met is None:
            continue
        t, is_rail = met
        at = shapely.Point(end.side.place(t, post.setback))
        if about.obstructions_touching(end.side, t).is_empty:
            tip, (ux, uy) = _end_of(wall, end.sense)
            if wall.distance(at) <= TOUCH:
                yield WallEndSeen(about.draft.level.id, number, not is_rail, (tip, tip), True)
                continue
            past = (at.x - tip[0]) * ux + (at.y - tip[1]) * uy
            if past <= TOUCH:
                continue  # The line passes it by.
            past *= to_far_side if is_rail else 1.0
            reach = tip[0] + past * ux, tip[1] + past * uy
            yield WallEndSeen(about.draft.level.id, number, not is_rail, (tip, reach))


def _end_of(wall: shapely.LineString, sense: int) -> tuple[Point, Point]:
    """The end of a wall at a line's corner, and the unit vector in which the wall would go on.

    sense: that of the line's end there.
    """
    tip, before = wall.coords[:2] if sense > 0 else wall.coords[:-3:-1]
    return tip, toward(before, tip)


def _at_walls(about: Adjoining, line: LineDraft) -> Iterator[GapSeen]:
    """The gap between each post that ends a line beside a wall or an obstruction, and that body."""
    half = about.kit.post.width / 2
    for terminal in dict.fromkeys(line.terminals()):
        if terminal.post is not None and terminal.against:
            post, wall = body(about.kit, terminal.post), shapely.MultiLineString(terminal.against)
            width: Length = post.distance(wall)
            face = terminal.t if terminal.wall_t is None else terminal.wall_t
            drops = about.drops_along(line.side, terminal.t - half, terminal.t + half, face)
            where, on = (about.ids.posts[terminal.post],), _going_on(about, line, terminal)
            left = width if on is None else post.distance(on)
            if on is not None and left < width - TOUCH:
                yield GapSeen("wall", where, left, drops, whole=width, goes_on=on.length)
            else:
                yield GapSeen("wall", where, width, drops)


def _going_on(about: Adjoining, line: LineDraft, terminal: Terminal) -> shapely.LineString | None:
    """The extension of the wall beside a fascia's end post, in plan.

    The wall is taken to go on past an outside corner, to the far side of the post. None elsewhere.
    """
    post = about.kit.post
    if about.kit.mounting == "surface":
        return None
    for end in ends_of(about, line):
        wall = about.walls.get(end.next_edge.number)
        if wall is not None and terminal.against == (tuple(wall.coords),):
            tip, (ux, uy) = _end_of(wall, end.sense)
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
    for (first, before), (second, after) in about.draft.pairs:
        one, two = first.post, second.post
        if one is not None and two is not None and one in names and two in names:
            apart: Length = body(kit, one).distance(body(kit, two))
            arriving = about.draft.drops_between(before, first.t - half, before.length)
            leaving = about.draft.drops_between(after, 0.0, second.t + half)
            yield GapSeen("pair", (names[one], names[two]), apart, deepest([arriving, leaving]))


def _beyond(ends: Sequence[LineEnd]) -> Iterator[GapSeen]:
    """The gaps beyond obstructions on a line's ends, as far as the next edge's wall or guard.

    Gaps between these obstructions are included. Where the next edge is open there is nothing to
    close.
    """
    for end in ends:
        last = end.last()
        if last is None or last.columns.is_empty:
            continue
        next_to = end.next_to()
        if next_to is None:
            continue
        *before, far = end.row_past(last.t, last.columns)
        yield from _between_columns(end, before)
        width: Length = far.shape.distance(next_to)
        if width > TOUCH:
            drops = end.about.drops_along(end.side, far.t, end.corner)
            yield GapSeen("beyond", (_place(end, end.edge.number),), width, drops)


def _past_the_last(ends: Sequence[LineEnd]) -> Iterator[GapSeen]:
    """The gaps past the last post or obstruction on a line, where the next edge is open.

    One is what is left of the guarded edge, along it. Another is what passes between what stands
    last and the open edge, unless the first says as much. Gaps between obstructions further on are
    included.
    """
    for end, other in (ends, ends[::-1]):
        last = end.last() if end.next_edge.condition == "open" else None
        if last is None:
            continue
        about, side = end.about, end.side
        *before, far = end.row_past(last.t, last.shape)
        yield from _between_columns(end, before)
        left = max(0.0, side.on_edge(end.sense * (end.corner - far.t)))
        drops = about.drops_along(side, far.t, end.corner)
        own = _place(end, end.edge.number) if last.post is None else about.ids.posts[last.post]
        if left > TOUCH:
            yield GapSeen("open", (own,), left, drops)
        open_edge = about.draft.edge_line(about.draft.specs.index(end.next_edge))
        past = _parted(end, last.shape, open_edge)
        told = max([left, *(one.onward for one in before)])
        along = drops
        if about.kit.mounting == "surface":
            # Whoever gets past a post on the deck can go along the whole edge, and on.
            whole = about.drops_along(side, 0.0, side.length)
            along = deepest([whole, *other.drops_beyond()])
        is_told = not past.parted_by and past.width <= told + TOUCH and along == drops
        if past.whole > TOUCH and not is_told:
            yield GapSeen("past", (own,), past.width, along, past.whole, past.parted_by)


def _between_columns(end: LineEnd, row: Sequence[InRow]) -> Iterator[GapSeen]:
    """The gaps between the obstructions of a row."""
    for one in row:
        if one.onward > TOUCH:
            drops = end.about.drops_along(end.side, one.t, one.next)
            number = end.side.edge_over(one.t).number
            yield GapSeen("beyond", (_place(end, number),), one.onward, drops)


def _place(end: LineEnd, number: int) -> str:
    return edge_place(end.about.draft.level.id, number)


def _round_openings(ends: Sequence[LineEnd], heads: Collection[PostDraft]) -> Iterator[GapSeen]:
    """The gaps round what stands beside an opening, to the strip of deck outside the railing.

    That strip reaches as far as the next opening or a wall. There is no gap at a post that a raked
    rail meets, as the rail goes down across it. heads: the posts that raked rails meet.
    """
    for drawn in ends[0].line.openings:
        for end, jamb, face in zip(ends, drawn.jambs, drawn.faces, strict=True):
            about, side = end.about, end.side
            post = None if jamb is None else jamb.post
            if jamb is None or post is None:
                where = opening_place(about.draft.level.id, drawn.opening.id)
                stands = _column_at(end, face)
            else:
                where = about.ids.posts[post]
                stands = shapely.union_all([*obstructions_at(jamb), body(about.kit, post)])
            if post in heads or stands.is_empty:
                continue
            past = _parted(end, stands, _edge_at(side, drawn))
            far, ends_there = _outside(end, face)
            room = side.on_edge(end.sense * (far - face)) if ends_there else math.inf
            width, whole = min(past.width, room), min(past.whole, room)
            if whole > TOUCH:
                found = [about.drops_along(side, face, far)]
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
    columns, terminals = end.about.obstructions_touching(end.side, face), list(end.line.terminals())
    t = end.ahead((each.t for each in terminals), face)
    if columns.is_empty or t is None:
        return columns
    next_one = next(each for each in terminals if each.t == t)
    return shapely.union_all([columns, *met_at(end.about.kit, end.line, next_one)])


def _outside(end: LineEnd, face: Length) -> tuple[Length, bool]:
    """How far along its side the strip of deck outside the railing reaches from an opening.

    It reaches to the next opening or to the corner. The second value says whether it ends there,
    which it does not at a corner whose next edge is guarded too. face: where the strip begins.
    """
    which = 1 if end.sense < 0 else 0
    far = end.ahead((drawn.faces[which] for drawn in end.line.openings), face)
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
