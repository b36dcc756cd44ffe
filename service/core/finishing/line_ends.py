"""Core: the two ends of a line of railing, and what is there (`LineEnd`).

That is the next edge past each end, what stands last on the line, and what is next to it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.posts import PostDraft, body
from service.core.line.sides import EdgeSpec
from service.core.measure import TOUCH, Length
from service.core.records.deck import Drops
from service.core.records.kit import Kit


class Last(NamedTuple):
    """What stands last on a line, toward one of its ends.

    t: how far along the line it reaches; for a post, the far face.
    columns: the obstructions there, as one shape in plan.
    shape: all that stands there in plan, with the rails that meet it as middle lines, since not
    every kit gives their width.
    """

    t: Length
    post: PostDraft | None
    columns: shapely.Geometry
    shape: shapely.Geometry


class InRow(NamedTuple):
    """One of the bodies in a row, from what stands last on a line to the corner.

    t: how far along the line it reaches. next: where the next body begins. onward: the distance to
    that body. The last one of the row has 0 for both.
    """

    t: Length
    shape: shapely.Geometry
    next: Length = 0.0
    onward: Length = 0.0


class LineEnd:
    """One of the two ends of a line.

    sense: -1 at the line's start, 1 at its end. Of two places along the line, the one with the
    greater `sense * t` is nearer to this end.
    """

    def __init__(self, about: Adjoining, line: LineDraft, sense: int) -> None:
        self.about, self.line, self.side, self.sense = about, line, line.side, sense

    @property
    def corner(self) -> Length:
        """The corner at which the line's side ends, as a place along that side."""
        return self.side.length if self.sense > 0 else 0.0

    @cached_property
    def edge(self) -> EdgeSpec:
        """The edge of the line's own side that ends here."""
        return self.side.edge_at(self.sense > 0)

    @cached_property
    def next_edge(self) -> EdgeSpec:
        """The next edge, past the corner."""
        return self.about.next_edge(self.edge.number, self.sense)

    def next_line(self) -> LineDraft | None:
        """The line along the next edge; None where that is not guarded."""
        lines = self.about.draft.lines
        return next((line for line in lines if self.next_edge in line.side.edges), None)

    def next_edge_line(self) -> shapely.LineString:
        """The next edge in plan, from the corner on."""
        draft = self.about.draft
        line = draft.edge_line(draft.specs.index(self.next_edge))
        return line if self.sense > 0 else line.reverse()

    def ahead(self, places: Iterable[Length], t: Length) -> Length | None:
        """The first of some places past `t`, toward this end; None if there is none."""
        past = (each for each in places if self.sense * (each - t) > TOUCH)
        return min(past, key=lambda each: self.sense * each, default=None)

    def drops_beyond(self) -> list[Drops]:
        """What lies below the guarded edges past this end, up to the first that is not guarded."""
        drops: list[Drops] = []
        spec, about = self.next_edge, self.about
        while spec.condition == "guard" and spec.number != self.edge.number:
            drops += [reach.drops for reach in about.draft.reaches[spec.number]]
            spec = about.next_edge(spec.number, self.sense)
        return drops

    def met_without_post(self) -> tuple[Length, bool] | None:
        """Where the line ends without a post, and whether a rail ends there.

        If no rail does, an opening does, with a wall or an obstruction for its jamb. None where a
        post ends the line, where a rail ends on an obstruction, or where nothing ends here at all.
        """
        last, which = self._last_terminal(), 0 if self.sense < 0 else 1
        if last is not None:
            return None if last.post is not None or last.against else (last.t, True)
        faces = [drawn.faces[which] for drawn in self.line.openings]
        return (max(faces, key=lambda t: self.sense * t), False) if faces else None

    def last(self) -> Last | None:
        """What stands last toward this end, including the jamb of an opening.

        None where nothing stands there, or where a wall is the jamb.
        """
        terminal, kit = self._last_terminal(), self.about.kit
        if terminal is None:
            met = self.met_without_post()
            if met is None:
                return None
            columns = self.about.obstructions_touching(self.side, met[0])
            return None if columns.is_empty else Last(met[0], None, columns, columns)
        columns, post = shapely.union_all(obstructions_at(terminal)), terminal.post
        t = terminal.t if post is None else terminal.t + self.sense * kit.post.width / 2
        return Last(
            t, post, columns, shapely.union_all([columns, *met_at(kit, self.line, terminal)])
        )

    def _last_terminal(self) -> Terminal | None:
        """The last terminal toward this end, of a run or an opening.

        None where the line has none, or where an opening goes on past it to a wall or an
        obstruction.
        """
        terminals = list(self.line.terminals())
        if not terminals:
            return None
        last = max(terminals, key=lambda terminal: self.sense * terminal.t)
        for drawn in self.line.openings:
            end, jamb = (
                (drawn.near, drawn.jambs[0]) if self.sense < 0 else (drawn.far, drawn.jambs[1])
            )
            if jamb is None and self.sense * (end - last.t) > TOUCH:
                return None
        return last

    def row_past(self, t: Length, shape: shapely.Geometry) -> list[InRow]:
        """What stands last, then the obstructions in the line past it, up to the corner.

        t, shape: how far along the line what stands last reaches, and its shape in plan.
        """
        row, sense = [InRow(t, shape)], self.sense
        for cut in self.about.cuts(self.side)[::sense]:
            near, far = (cut.first, cut.last)[::sense]
            if sense * (far - row[-1].t) > TOUCH and sense * (self.corner - near) > TOUCH:
                columns = shapely.union_all([shapely.Polygon(path) for path in cut.outlines])
                before = row.pop()
                row += [before._replace(next=near, onward=before.shape.distance(columns))]
                row += [InRow(far, columns)]
        return row

    def next_to(self) -> shapely.Geometry | None:
        """The wall of the next edge, or all of its guard, in plan.

        None where the next edge is open, or where nothing stands beside an opening with which it
        begins.
        """
        if self.next_edge.condition == "wall":
            return self.about.walls[self.next_edge.number]
        line = self.next_line()
        last = None if line is None else LineEnd(self.about, line, -self.sense).last()
        if line is None or last is None:
            return None
        return shapely.GeometryCollection([_railing(self.about.kit, line), last.columns])


def ends_of(about: Adjoining, line: LineDraft) -> tuple[LineEnd, LineEnd]:
    """The two ends of a line: its start, then its end."""
    return LineEnd(about, line, -1), LineEnd(about, line, 1)


def obstructions_at(terminal: Terminal) -> list[shapely.Polygon]:
    """The obstructions that a terminal ends at, in plan."""
    return [shapely.Polygon(path) for path in terminal.against if path[0] == path[-1]]


def met_at(kit: Kit, line: LineDraft, terminal: Terminal) -> list[shapely.Geometry]:
    """The post at a terminal, and the rails that come to it as their middle lines, in plan."""
    rails: list[shapely.Geometry] = [
        run.stretch.axis(kit)
        for run in line.runs
        if run.bays and terminal in (run.stretch.start, run.stretch.end)
    ]
    return rails if terminal.post is None else [*rails, body(kit, terminal.post)]


def _railing(kit: Kit, line: LineDraft) -> shapely.GeometryCollection:
    """The railing of a line in plan: rails as middle lines, posts, and obstructions on the line."""
    parts: list[shapely.Geometry] = [run.stretch.axis(kit) for run in line.runs if run.bays]
    for terminal in line.terminals():
        parts += [] if terminal.post is None else [body(kit, terminal.post)]
        parts += obstructions_at(terminal)
    return shapely.GeometryCollection(parts)
