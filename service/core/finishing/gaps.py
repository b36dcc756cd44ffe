"""Core: what no rail closes, for the rules to judge: gaps beside posts, at corners and past the
ends of lines, and walls that end short of a rail.

In: a level as it was drawn (`draft`), what adjoins its edges (`about`), and the ids of its posts
(`post_ids`). Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.between import Between
from service.core.finishing.observing import PostIds
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.obstructions import interruptions_of
from service.core.line.openings import OpeningDraft
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, body
from service.core.line.strips import Strip
from service.core.measure import TOUCH, Length, Point
from service.core.records.deck import deepest
from service.core.records.kit import Kit
from service.core.records.seen import GapSeen, WallEndSeen, edge_place

CHORDS: Final = 32
"""Chords that stand for a bowed edge along an opening."""


class _End(NamedTuple):
    """What stands last on a line. t: how far along it that is, of a post its far face; columns: the
    obstructions there; shape: all of it in plan, with the rails that come to it as their middle
    lines, as not every kit says how wide they are."""

    t: Length
    post: PostDraft | None
    columns: shapely.Geometry
    shape: shapely.Geometry


class _InRow(NamedTuple):
    """One of a row past the end of a line. t: how far along it that reaches; next: where the next
    begins; onward: how far it is apart from that."""

    t: Length
    shape: shapely.Geometry
    next: Length = 0.0
    onward: Length = 0.0


class _Past(NamedTuple):
    """A way past what stands on a line. width: what fits through; parted_by: the obstructions off
    the line that leave no more, by name; whole: what would without any off the line."""

    width: Length
    whole: Length
    parted_by: tuple[str, ...] = ()


def see_gaps(
    kit: Kit, about: Adjoining, post_ids: PostIds, heads: Collection[PostDraft]
) -> Iterator[GapSeen]:
    """Gaps that no rail closes: between a post and a wall, between the pair of a corner, beyond
    obstructions that stand on a line's end, past the last post before an open edge, and round a
    post beside an opening. heads: the posts that raked rails come to."""
    half, draft = kit.post.width / 2, about.draft
    for line in draft.lines:
        if draft.level.obstructions:
            yield from _beyond(kit, about, line)
        yield from _past_the_last(kit, about, line, post_ids)
        if kit.mounting == "surface":
            yield from _round_openings(kit, about, line, post_ids, heads)
    for line in draft.lines:
        for terminal in dict.fromkeys(line.terminals()):
            if terminal.post is not None and terminal.against:
                wall = shapely.MultiLineString(terminal.against)
                width: Length = body(kit, terminal.post).distance(wall)
                face = terminal.t if terminal.wall_t is None else terminal.wall_t
                ends = terminal.t - half, terminal.t + half, face
                drops = draft.drops_between(line.side, min(ends), max(ends))
                where = (post_ids[terminal.post],)
                on = _going_on(kit, about, line, terminal)
                left = width if on is None else body(kit, terminal.post).distance(on)
                if on is not None and left < width - TOUCH:
                    yield GapSeen("wall", where, left, drops, whole=width, goes_on=on.length)
                else:
                    yield GapSeen("wall", where, width, drops)
    for first, second, side in draft.pairs:
        one, two = first.post, second.post
        if one is not None and two is not None and one in post_ids and two in post_ids:
            apart: Length = body(kit, one).distance(body(kit, two))
            drops = draft.drops_between(side, 0.0, second.t + half)
            yield GapSeen("pair", (post_ids[one], post_ids[two]), apart, drops)


def see_wall_ends(kit: Kit, about: Adjoining) -> Iterator[WallEndSeen]:
    """Walls that have to go on past their end to hold a rail, or to be the jamb of an opening: a
    fascia's line ends so at an outside corner, where the wall is taken as going on."""
    if kit.mounting == "surface":
        return
    draft = about.draft
    to_far_side = 1 + kit.post.width / 2 / abs(kit.post.setback)
    for line in draft.lines:
        side = line.side
        for way in (-1, 1):
            number = about.next_edge(side.edge_at(way > 0).number, way).number
            wall = about.walls.get(number)
            met = _met_without_post(line, way) if wall is not None else None
            if wall is None or met is None:
                continue
            t, is_rail = met
            at = shapely.Point(side.place(t, kit.post.setback))
            if wall.distance(at) > TOUCH and about.columns_at(kit, side, t).is_empty:
                end, (ux, uy) = _onward(wall, way)
                past = (at.x - end[0]) * ux + (at.y - end[1]) * uy
                past *= to_far_side if is_rail else 1.0
                reach = end[0] + past * ux, end[1] + past * uy
                yield WallEndSeen(draft.level.id, number, not is_rail, (end, reach))


def _onward(wall: shapely.LineString, way: int) -> tuple[Point, Point]:
    """Where the wall that follows a line (1) or comes before it (-1) ends at the line's corner, and
    the direction, one long, in which it would go on."""
    end, before = wall.coords[:2] if way > 0 else wall.coords[:-3:-1]
    apart = math.dist(end, before)
    return end, ((end[0] - before[0]) / apart, (end[1] - before[1]) / apart)


def _going_on(
    kit: Kit, about: Adjoining, line: LineDraft, terminal: Terminal
) -> shapely.LineString | None:
    """The wall beside a fascia's end post as it is taken to go on past an outside corner, from
    there to the post's far side; None elsewhere."""
    if kit.mounting == "surface":
        return None
    side = line.side
    for way in (-1, 1):
        wall = about.walls.get(about.next_edge(side.edge_at(way > 0).number, way).number)
        if wall is not None and terminal.against == (tuple(wall.coords),):
            end, (ux, uy) = _onward(wall, way)
            corner = side.length if way > 0 else 0.0
            heading = math.radians(side.heading_at(corner))
            outward = ux * math.sin(heading) - uy * math.cos(heading)
            if outward > TOUCH:
                far = (kit.post.width / 2 - kit.post.setback) / outward
                return shapely.LineString([end, (end[0] + far * ux, end[1] + far * uy)])
    return None


def _met_without_post(line: LineDraft, way: int) -> tuple[Length, bool] | None:
    """Where a line ends on a wall with no post there, and whether a rail does (else an opening,
    whose jamb the wall is); None where a post or an obstruction ends it."""
    last = _last(line, way)
    if last is not None:
        return None if last.post is not None or last.against else (last.t, True)
    which = 0 if way < 0 else 1
    faces = [drawn.faces[which] for drawn in line.openings if drawn.jambs[which] is None]
    return (max(faces, key=lambda t: way * t), False) if faces else None


def _beyond(kit: Kit, about: Adjoining, line: LineDraft) -> Iterator[GapSeen]:
    """What is open past each end of a line that an obstruction has taken, to the wall or to the
    guard of the next edge; past an open edge there is nothing to close."""
    side = line.side
    for way in (-1, 1):
        end = _end_of(kit, about, line, way)
        if end is None or end.columns.is_empty:
            continue
        edge = side.edge_at(way > 0)
        next_to = _next_to(kit, about, edge.number, way)
        if next_to is None:
            continue
        *before, last = _row_past(kit, about, line, end._replace(shape=end.columns), way)
        yield from _between_columns(about, side, before)
        width: Length = last.shape.distance(next_to)
        if width > TOUCH:
            corner = side.length if way > 0 else 0.0
            drops = about.draft.drops_between(side, min(last.t, corner), max(last.t, corner))
            yield GapSeen("beyond", (edge_place(about.draft.level.id, edge.number),), width, drops)


def _past_the_last(
    kit: Kit, about: Adjoining, line: LineDraft, post_ids: PostIds
) -> Iterator[GapSeen]:
    """What is open past the last post or obstruction on the line of a guarded edge where the next
    edge is open: what is left of the guarded edge, along it, and the way past between what stands
    there and the open edge."""
    side, draft = line.side, about.draft
    for way in (-1, 1):
        edge = side.edge_at(way > 0)
        beyond = about.next_edge(edge.number, way)
        end = _end_of(kit, about, line, way) if beyond.condition == "open" else None
        if end is None:
            continue
        *before, last = _row_past(kit, about, line, end, way)
        yield from _between_columns(about, side, before)
        corner = side.length if way > 0 else 0.0
        left = max(0.0, side.on_edge(way * (corner - last.t)))
        drops = draft.drops_between(side, min(last.t, corner), max(last.t, corner))
        of_edge = edge_place(draft.level.id, edge.number)
        where = (of_edge if end.post is None else post_ids[end.post],)
        if left > TOUCH:
            yield GapSeen("open", where, left, drops)
        open_edge = draft.edge_line(draft.specs.index(beyond))
        past = _past(kit, about, side, end.shape, open_edge)
        told = max([left, *(one.onward for one in before)])
        along = drops
        if kit.mounting == "surface":
            # Who is past a post that stands on the deck may go along the edge, and on.
            further = about.drops_past(side.edge_at(way < 0).number, -way)
            along = deepest([draft.drops_between(side, 0.0, side.length), *further])
        is_told = not past.parted_by and past.width <= told + TOUCH and along == drops
        if past.whole > TOUCH and not is_told:
            yield GapSeen("past", where, past.width, along, past.whole, past.parted_by)


def _row_past(kit: Kit, about: Adjoining, line: LineDraft, end: _End, way: int) -> list[_InRow]:
    """What stands last on a line, and the obstructions that stand in it further on, as far as the
    corner, each with how far it is from there to the next."""
    side, row = line.side, [_InRow(end.t, end.shape)]
    corner = side.length if way > 0 else 0.0
    for cut in interruptions_of(kit, side, about.draft.level.obstructions)[::way]:
        near, far = (cut.first, cut.last)[::way]
        if way * (far - row[-1].t) > TOUCH and way * (corner - near) > TOUCH:
            columns = shapely.union_all([shapely.Polygon(path) for path in cut.outlines])
            last = row.pop()
            row += [last._replace(next=near, onward=last.shape.distance(columns))]
            row += [_InRow(far, columns)]
    return row


def _between_columns(about: Adjoining, side: Side, row: Sequence[_InRow]) -> Iterator[GapSeen]:
    """The gaps between the obstructions of a row."""
    for one in row:
        if one.onward > TOUCH:
            drops = about.draft.drops_between(side, min(one.t, one.next), max(one.t, one.next))
            number = side.edge_over(one.t).number
            yield GapSeen("beyond", (edge_place(about.draft.level.id, number),), one.onward, drops)


def _round_openings(
    kit: Kit, about: Adjoining, line: LineDraft, post_ids: PostIds, heads: Collection[PostDraft]
) -> Iterator[GapSeen]:
    """The gap round a post or an obstruction beside an opening, from the opening to what of the
    deck lies outside the railing, as far as the next opening or a wall. At a post that a raked rail
    comes to there is none: the rail goes down across it."""
    side, draft = line.side, about.draft
    for drawn in line.openings:
        for way, jamb, face in zip((-1, 1), drawn.jambs, drawn.faces, strict=True):
            post = None if jamb is None else jamb.post
            if jamb is None or post is None:
                where = f"{draft.level.id}/{drawn.opening.id}"
                stands = _column_at(kit, about, line, way, face)
            else:
                where = post_ids[post]
                stands = shapely.union_all([*_obstructions_at(jamb), body(kit, post)])
            if post in heads or stands.is_empty:
                continue
            past = _past(kit, about, side, stands, _edge_at(side, drawn))
            far, ends_there = _outside(about, line, way, face)
            room = side.on_edge(way * (far - face)) if ends_there else math.inf
            width, whole = min(past.width, room), min(past.whole, room)
            if whole > TOUCH:
                found = [draft.drops_between(side, min(face, far), max(face, far))]
                if not ends_there:
                    found += about.drops_past(side.edge_at(way > 0).number, way)
                drops = deepest(found)
                yield GapSeen("round", (where,), width, drops, whole, past.parted_by)


def _past(
    kit: Kit, about: Adjoining, side: Side, start: shapely.Geometry, end: shapely.Geometry
) -> _Past:
    """The way from what stands on a side's line to something else. Obstructions that are in the
    place of the railing along the side are told of there."""
    width, by = about.between.way(start, end)
    if not by:
        return _Past(width, width)
    obstructions = about.draft.level.obstructions
    half, setback = kit.post.width / 2, kit.post.setback
    reaches = Strip(side, setback - half, setback + half).reaches(obstructions)
    on_line = [
        one
        for one, reach in zip(obstructions, reaches, strict=True)
        if reach is not None and reach[1] > TOUCH and reach[0] < side.length - TOUCH
    ]
    parted_by = tuple(one.name for one in by if one not in on_line)
    return _Past(width, Between(on_line).way(start, end).width, parted_by)


def _column_at(
    kit: Kit, about: Adjoining, line: LineDraft, way: int, face: Length
) -> shapely.Geometry:
    """The obstructions that are the jamb of an opening, and what the line goes on with past them,
    which may be nearer to the edge; empty of a wall."""
    columns = about.columns_at(kit, line.side, face)
    ahead = [end for end in line.terminals() if way * (end.t - face) > TOUCH]
    if columns.is_empty or not ahead:
        return columns
    next_end = min(ahead, key=lambda end: way * end.t)
    return shapely.union_all([columns, *_at_end(kit, line, next_end)])


def _outside(about: Adjoining, line: LineDraft, way: int, face: Length) -> tuple[Length, bool]:
    """How far along its side the edge beside an opening goes, to the next opening or to the corner,
    and whether it ends there: it goes on where the next edge is guarded, too."""
    side, which = line.side, 1 if way < 0 else 0
    faces = [drawn.faces[which] for drawn in line.openings]
    ahead = [t for t in faces if way * (t - face) > TOUCH]
    if ahead:
        return min(ahead, key=lambda t: way * t), True
    corner = side.length if way > 0 else 0.0
    after = about.next_edge(side.edge_at(way > 0).number, way)
    return corner, after.condition != "guard"


def _edge_at(side: Side, drawn: OpeningDraft) -> shapely.LineString:
    """The edge of the deck along an opening, from one of its faces to the other, by short chords:
    what is beside the opening is passed there, however near the edge comes to it further on. At an
    inner corner a face may lie past the edge's end."""
    first, last = max(drawn.faces[0], 0.0), min(drawn.faces[1], side.length)
    parts = [i / CHORDS for i in range(CHORDS + 1)]
    return shapely.LineString([side.place(first + part * (last - first), 0.0) for part in parts])


def _end_of(kit: Kit, about: Adjoining, line: LineDraft, way: int) -> _End | None:
    """What stands last on a line toward its start (-1) or its end (1), an opening's jamb too; None
    where nothing does, or a wall is the jamb."""
    last, side = _last(line, way), line.side
    if last is None:
        met = _met_without_post(line, way)
        columns = shapely.Point() if met is None else about.columns_at(kit, side, met[0])
        return None if met is None or columns.is_empty else _End(met[0], None, columns, columns)
    columns, post = shapely.union_all(_obstructions_at(last)), last.post
    t = last.t if post is None else last.t + way * kit.post.width / 2
    return _End(t, post, columns, shapely.union_all([columns, *_at_end(kit, line, last)]))


def _at_end(kit: Kit, line: LineDraft, terminal: Terminal) -> list[shapely.Geometry]:
    """The post at a terminal and the rails that come to it, as their middle lines."""
    rails: list[shapely.Geometry] = [
        run.stretch.axis(kit)
        for run in line.runs
        if run.bays and terminal in (run.stretch.start, run.stretch.end)
    ]
    return rails if terminal.post is None else [*rails, body(kit, terminal.post)]


def _last(line: LineDraft, way: int) -> Terminal | None:
    """The last terminal of a line toward its start (-1) or its end (1), an opening's among them;
    None where there is none, or an opening goes on past it to a wall or an obstruction."""
    terminals = list(line.terminals())
    if not terminals:
        return None
    last = max(terminals, key=lambda terminal: way * terminal.t)
    for drawn in line.openings:
        end, jamb = (drawn.near, drawn.jambs[0]) if way < 0 else (drawn.far, drawn.jambs[1])
        if jamb is None and way * (end - last.t) > TOUCH:
            return None
    return last


def _obstructions_at(terminal: Terminal) -> list[shapely.Polygon]:
    """The obstructions that a terminal ends at."""
    return [shapely.Polygon(path) for path in terminal.against if path[0] == path[-1]]


def _next_to(kit: Kit, about: Adjoining, number: int, way: int) -> shapely.Geometry | None:
    """The wall of the edge before (-1) or after that one, or what its guard is made of; None of an
    open one, and of one that begins with an opening between no posts."""
    spec = about.next_edge(number, way)
    if spec.condition == "wall":
        return about.walls[spec.number]
    for line in about.draft.lines:
        if any(edge.number == spec.number for edge in line.side.edges):
            end = _end_of(kit, about, line, -way)
            if end is None:
                return None
            return shapely.GeometryCollection([_railing(kit, line), end.columns])
    return None


def _railing(kit: Kit, line: LineDraft) -> shapely.GeometryCollection:
    """The rails of a line in plan, as their middle lines, and the posts and obstructions on it."""
    parts: list[shapely.Geometry] = [run.stretch.axis(kit) for run in line.runs if run.bays]
    for terminal in line.terminals():
        parts += [] if terminal.post is None else [body(kit, terminal.post)]
        parts += _obstructions_at(terminal)
    return shapely.GeometryCollection(parts)
