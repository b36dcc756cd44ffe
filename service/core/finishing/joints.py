"""Core: gaps between the railings of two levels, beside an open edge between them.

In: levels as they were drawn and numbered. Nothing here changes a draft.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.between import Between
from service.core.finishing.line_ends import Last, LineEnd, obstructions_at
from service.core.finishing.solids import half_breadth
from service.core.levels.railing import LineDraft
from service.core.line.neighbours import BEYOND
from service.core.line.posts import body
from service.core.measure import TOUCH, Length, convert
from service.core.records.deck import deepest
from service.core.records.seen import GapSeen, edge_place


class _Beside(NamedTuple):
    """A line of another level beside the corner that a line ends at. t: how far along it that
    corner is; ends: whether it ends there beside an open edge, too."""

    about: Adjoining
    line: LineDraft
    t: Length
    ends: bool


def see_joints(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """Gaps from what stands last on a line, beside an open edge, to the nearest of the railing of
    another level that lies along that edge; where guards stand in each other's height."""
    told: set[frozenset[str]] = set()
    for one, last, others in _met(levels):
        over = [other for other in others if _go_over(one, other)]
        found = [gap for other in over for gap in _nearest(one, last, other)]
        if found:
            gap = min(found, key=lambda each: each.width)
            if gap.width > TOUCH and frozenset(gap.where) not in told:
                told.add(frozenset(gap.where))
                yield gap


def _met(levels: Sequence[Adjoining]) -> Iterator[tuple[LineEnd, Last, list[_Beside]]]:
    """Each end of a line beside an open edge, what stands last there, and the lines of another
    level beside its corner, a level at a time: no further off than railings stand from their edge,
    as one deck may lie a little under the other."""
    ends = [end for about in levels for end in _open_ends(about)]
    if not ends:
        return
    kit = ends[0].about.kit
    near = max(convert(BEYOND, "in", kit.unit), abs(kit.post.setback))
    lines = [(about, line) for about in levels for line in about.draft.lines]
    edges = [_edge(line) for _, line in lines]
    corners = [shapely.Point(end.side.place(end.corner, 0.0)) for end in ends]
    pairs = shapely.STRtree(edges).query(corners, predicate="dwithin", distance=near).T.tolist()
    beside: dict[tuple[int, str], list[_Beside]] = {}
    for i, j in sorted(pairs):
        about, line = lines[j]
        if about is not ends[i].about:
            key = i, about.draft.level.id
            beside.setdefault(key, []).append(_beside(about, line, corners[i], near))
    for (i, _), others in beside.items():
        last = ends[i].last()
        if last is not None:
            yield ends[i], last, others


def _open_ends(about: Adjoining) -> list[LineEnd]:
    """The ends of a level's lines that are beside open edges."""
    if all(spec.condition != "open" for spec in about.draft.specs):
        return []
    ends = [LineEnd(about, line, sense) for line in about.draft.lines for sense in (-1, 1)]
    return [end for end in ends if end.beyond.condition == "open"]


def _edge(line: LineDraft) -> shapely.LineString:
    """The deck's edge along a line."""
    side = line.side
    return shapely.LineString([*side.outline(), side.place(side.length, 0.0)])


def _beside(about: Adjoining, line: LineDraft, corner: shapely.Point, near: Length) -> _Beside:
    t, _ = line.side.locate(corner.coords[0])
    ends = any(
        corner.distance(shapely.Point(line.side.place(end.corner, 0.0))) <= near
        and end.beyond.condition == "open"
        for end in (LineEnd(about, line, -1), LineEnd(about, line, 1))
    )
    return _Beside(about, line, t, ends)


def _go_over(one: LineEnd, other: _Beside) -> bool:
    """Whether two levels stand in the height of each other's guards, and the other lies along the
    open edge of the first, next to its corner, and has no opening there. Where drops are not given,
    two open edges are taken to be for going over."""
    rise, unit = one.about.draft.rise_to(other.about.draft), one.about.kit.unit
    if rise is None:
        if not other.ends:
            return False
    elif not TOUCH - other.line.side.spec.height < rise < one.edge.height - TOUCH:
        return False
    if any(drawn.faces[0] < other.t < drawn.faces[1] for drawn in other.line.openings):
        return False
    edge = one.open_edge()
    place = edge.interpolate(min(convert(1.0, "in", unit), edge.length / 2))
    return bool(other.about.draft.outline.distance(place) <= convert(BEYOND, "in", unit))


def _nearest(one: LineEnd, last: Last, other: _Beside) -> Iterator[GapSeen]:
    """The gap from what stands last on a line to the nearest of the other's railing, if any is."""
    bodies = [(last.shape.distance(shape), shape, name) for shape, name in _bodies(other)]
    if not bodies:
        return
    whole, shape, name = min(bodies, key=lambda each: each[0])
    levels = one.about.draft.level, other.about.draft.level
    width, by = Between([each for level in levels for each in level.obstructions]).clearance(
        last.shape, shape
    )
    own = one.about.ids.posts[last.post] if last.post else edge_place(levels[0].id, one.edge.number)
    drops = [
        one.about.drops_along(one.side, last.t, one.corner),
        other.about.drops_along(other.line.side, other.t),
    ]
    names = tuple([each.name for each in by])
    yield GapSeen("joint", (own, name), width, deepest(drops), whole, names)


def _bodies(other: _Beside) -> Iterator[tuple[shapely.Geometry, str]]:
    """What a line's railing is made of in plan, each with its name: posts, rails as wide as the kit
    says that the broader is, and obstructions that end it."""
    about, line = other.about, other.line
    kit, ids = about.kit, about.ids
    half = half_breadth(kit, line.side.spec.infill)
    for terminal in line.terminals():
        if terminal.post is not None:
            yield body(kit, terminal.post), ids.posts[terminal.post]
        edge = edge_place(about.draft.level.id, line.side.edge_over(terminal.t).number)
        for column in obstructions_at(terminal):
            yield column, edge
    for run in line.runs:
        for post in run.inner:
            yield body(kit, post), ids.posts[post]
        if run.bays:
            axis = run.stretch.axis(kit)
            yield axis.buffer(half, cap_style="flat") if half else axis, ids.runs[run.key]
