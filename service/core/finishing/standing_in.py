"""Core: obstructions that stand in a railing's place (method 1), or that hold a rail or a gate.

Walls that may be too low to hold a rail are observed here, too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from service.core.finishing.adjoining import Adjoining, GuardLine, LineEnd
from service.core.finishing.infill import infill_of
from service.core.finishing.meeting import lies_at
from service.core.line.obstructions import Interruption
from service.core.line.sides import EdgeSpec
from service.core.measure import DRAWN, TOUCH, FromTo, Length, Point, convert
from service.core.records.deck import Obstruction
from service.core.records.seen import LowHoldSeen, StandInSeen


def see_stand_ins(about: Adjoining) -> Iterator[StandInSeen]:
    """The obstructions that take the railing's place along each guarded edge.

    The railing ends at them on both sides; at a corner, on one side only.
    """
    for line in about.lines if about.draft.level.obstructions else ():
        side = line.side
        for cut in line.cuts:
            whole = max(cut.first, 0.0), min(cut.last, side.length)
            edge = side.edge_over(whole[0], toward=1)
            for span, alike in _kinds(cut, edge.height):
                within = max(span[0], whole[0]), min(span[1], whole[1])
                if within[1] > within[0] + TOUCH:
                    yield _stand_in(line, edge, alike, cut, within, whole)


def _stand_in(
    line: GuardLine,
    edge: EdgeSpec,
    obstructions: Sequence[Obstruction],
    cut: Interruption,
    span: FromTo,
    whole: FromTo,
) -> StandInSeen:
    """The record of obstructions of one kind.

    span: from where to where along the line they take the railing's place. whole: the same for all
    obstructions of the cut. Of those of no given height low ones beside them count, too: what is
    open without the former is open over both.
    """
    length = line.side.on_edge(span[1] - span[0])
    heights = [one.height for one in obstructions if one.height is not None]
    open_ = span
    if not heights:
        first, last = _with_low_ones(cut, edge.height, span)
        open_ = max(first, whole[0]), min(last, whole[1])
    over = _open_without(line, open_, whole, of_rails=True)
    if heights:
        under_rail = edge.height - line.about.kit.rails[edge.infill].top.depth
        over = _over(over, under_rail - max(heights))
    return StandInSeen(
        line.about.edge_place(edge.number),
        " and ".join(one.name for one in obstructions),
        length,
        line.drops_along(*span),
        _open_without(line, open_, whole),
        min(heights, default=None),
        low=bool(heights) and min(heights) < edge.height - TOUCH,
        count=len(obstructions),
        over=over,
    )


def _over(between: Length, room: Length) -> Length:
    """The diameter of the greatest sphere that gets over an obstruction past the ends of two rails.

    between: these ends; room: from the top of the obstruction to the underside of the rails. A
    sphere that lies on the obstruction, its middle below that underside, goes up between the rails
    as far as it is no wider there than what is between them.

    >>> _over(30.0, 155.0), _over(6.0, 0.5), round(_over(0.0, 4.0), 6)
    (156.4516129032258, 6.0, 4.0)
    """
    return between if between >= 2 * room else room + between**2 / (4 * room)


def _kinds(cut: Interruption, height: Length) -> Iterator[tuple[FromTo, Sequence[Obstruction]]]:
    """The obstructions of a cut by kind, each kind with its span along the line.

    First those as high as the guard; then those of no given height; then, where none of these
    stands, lower ones. height: of the guard.
    """
    high = [part for part in cut.parts if part[1].reaches(height)]
    unknown = [part for part in cut.parts if part[1].height is None]
    for parts in (high, unknown):
        if parts:
            starts, ends = zip(*(span for span, _ in parts), strict=True)
            yield (min(starts), max(ends)), [one for _, one in parts]
    lower = [part for part in cut.parts if part not in high and part not in unknown]
    if lower:
        left = shapely.union_all([_along(span) for span, _ in lower]).difference(
            shapely.union_all([_along(span) for span, _ in high + unknown])
        )
        for piece in shapely.get_parts(shapely.line_merge(left)):
            start, _, end, _ = piece.bounds
            yield (start, end), [one for (a, b), one in lower if min(b, end) > max(a, start)]


def _with_low_ones(cut: Interruption, height: Length, span: FromTo) -> FromTo:
    """From where to where a cut is open if the obstructions of no given height in it are low.

    That is `span`, where these stand, and low ones next to it, up to others as high as the guard.
    """
    high = [_along(each) for each, one in cut.parts if one.reaches(height)]
    others = [_along(each) for each, one in cut.parts if not one.reaches(height)]
    row = shapely.union_all(others).difference(shapely.union_all(high))
    if row.geom_type == "MultiLineString":
        row = shapely.line_merge(row)
    here = _along(span)
    found = [each for each in shapely.get_parts(row) if each.intersection(here).length > TOUCH]
    if not found:
        return span
    start, _, end, _ = max(found, key=lambda each: each.length).bounds
    return min(start, span[0]), max(end, span[1])


def _along(span: FromTo) -> shapely.LineString:
    return shapely.LineString([(t, 0.0) for t in span])


def see_low_holds(about: Adjoining) -> Iterator[LowHoldSeen]:
    """Ends of rails, and gates, that are held by obstructions known to be lower than they are."""
    level = about.draft.level
    for line in about.lines if level.obstructions else ():
        cuts = {cut.obstructions: cut for cut in line.cuts}
        for place, holding, after in _held_without_post(line):
            cut = cuts.get(holding)
            height = line.side.spec.height
            holds = [] if cut is None else _at_face(cut, after=after)
            stands = [one.height for one in holds if one.height is not None]
            if len(stands) == len(holds) and max(stands, default=math.inf) < height - TOUCH:
                name = " and ".join(one.name for one in holds)
                yield LowHoldSeen(place, name, height, max(stands))


def see_low_walls(levels: Sequence[Adjoining]) -> Iterator[LowHoldSeen]:
    """Ends of rails on walls that may be no more than the face below another level's deck.

    That deck lies along the wall where the rail ends, less far up than the rail is high, and has no
    wall of its own there.
    """
    for about in levels if any(each.walls for each in levels) else ():
        for end in (end for line in about.lines for end in line.ends):
            wall = about.walls.get(end.next_edge.number)
            met = None if wall is None else end.met_without_post()
            if met is None or not met[1]:
                continue
            rise, deck = max(_decks_along(end, met[0], levels), default=(math.inf, ""))
            if rise < end.edge.height - TOUCH:
                place, name = (about.edge_place(each.number) for each in (end.edge, end.next_edge))
                yield LowHoldSeen(place, name, end.edge.height, rise, deck)


def _decks_along(
    end: LineEnd, t: Length, levels: Sequence[Adjoining]
) -> Iterator[tuple[Length, str]]:
    """The higher levels along a wall where a line meets it: how far up each lies, and its id.

    A level with a wall of its own there counts as endlessly far up. t: the place along the line. A
    fascia's line meets the wall past its end; then the place on the wall is an inch from there.
    """
    setback, inch = end.about.kit.post.setback, convert(1.0, "in", end.about.kit.unit)
    wall = end.next_edge_line()
    along = wall.project(shapely.Point(end.side.place(t, setback)))
    place = wall.interpolate(max(along, min(inch, wall.length)))
    for other in levels:
        rise = end.about.draft.rise_to(other.draft) or 0.0
        if rise > TOUCH and lies_at(other, place):
            walled = any(each.distance(place) <= inch + DRAWN for each in other.walls.values())
            yield math.inf if walled else rise, other.draft.level.id


def _held_without_post(line: GuardLine) -> Iterator[tuple[str, tuple[Obstruction, ...], bool]]:
    """The ends of a line's rails and gates that have no post.

    Each comes with its place, the obstructions that hold it, and whether the rail or gate comes
    after these along the line.
    """
    for run in line.runs:
        for terminal, after in ((run.stretch.start, True), (run.stretch.end, False)):
            if run.bays and terminal.post is None:
                number = line.side.edge_over(terminal.t, toward=1 if after else -1).number
                yield line.about.edge_place(number), terminal.obstructions, after
    for drawn in line.openings:
        if drawn.opening.use == "gate":
            for jamb, after in zip(drawn.jambs, (True, False), strict=True):
                if jamb.post is None:
                    yield line.about.opening_place(drawn), jamb.terminal.obstructions, after


def _at_face(cut: Interruption, *, after: bool) -> list[Obstruction]:
    """The obstructions of a cut that reach to its last face (after), or to its first."""
    which, t = (1, cut.last) if after else (0, cut.first)
    return [one for span, one in cut.parts if abs(span[which] - t) <= DRAWN]


def _open_without(
    line: GuardLine, span: FromTo, whole: FromTo, *, of_rails: bool = False
) -> Length:
    """The length, in plan, that would be open along a line without what stands in a span of it.

    A rail that ends on what cuts the line closes nothing before its infill begins. Infinity where
    no railing is left on one side of the cut. whole: the cut, whose other parts stay. of_rails:
    what is open between the rails themselves, at their own height.
    """
    setback = line.about.kit.post.setback
    last = span[0] <= whole[0] + TOUCH, span[1] >= whole[1] - TOUCH
    before, after = (
        _railing_resumes_at(end, t, of_rails=of_rails) if is_last else line.side.place(t, setback)
        for end, t, is_last in zip(line.ends, span, last, strict=True)
    )
    return math.inf if before is None or after is None else math.dist(before, after)


def _railing_resumes_at(end: LineEnd, t: Length, *, of_rails: bool) -> Point | None:
    """The place, in plan, where a railing goes on or an opening begins, from `t` toward an end.

    Past the last of them on the line it is looked for round the corner, or is the corner itself if
    the next edge is not guarded. None where the next edge has no railing left.
    """
    setback, near = end.about.kit.post.setback, _next_on(end, t, of_rails=of_rails)
    if near is not None:
        return end.side.place(near, setback)
    other = end.next_line
    if other is None:
        return end.side.place(end.corner, setback)
    near = _next_on(other.end(end.sense), -end.sense * math.inf, of_rails=of_rails)
    return None if near is None else other.side.place(near, setback)


def _next_on(end: LineEnd, t: Length, *, of_rails: bool) -> Length | None:
    """The place along a line of its next post, infill or opening from `t` toward an end.

    None if there is none. of_rails: that of its next rail in place of its next infill.
    """
    sense, line, kit = end.sense, end.line, end.about.kit
    to_face = -sense * kit.post.width / 2
    found = [drawn.faces[sense < 0] for drawn in line.openings]
    for run in line.runs:
        # Before a post within the run may be a bay that is too small to rail.
        found += [run.stretch.start.t + mark + to_face for mark in run.marks[1:-1]]
        for terminal, at_end in ((run.stretch.start, False), (run.stretch.end, True)):
            if terminal.post is not None:
                found.append(terminal.t + to_face)
            elif of_rails and run.outer_bay(at_end=at_end) is not None:
                found.append(terminal.t)
            elif run.bays and sense * (terminal.t - t) >= -TOUCH:
                face = shapely.Point(end.side.place(terminal.t, kit.post.setback))
                infill = infill_of(kit, run)
                if not infill.is_empty:
                    found.append(terminal.t + sense * infill.distance(face))
    ahead = [each for each in found if sense * (each - t) >= -TOUCH]
    return min(ahead, key=lambda each: sense * each, default=None)
