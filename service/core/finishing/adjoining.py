"""Core: a level as drawn and numbered, with what adjoins its edges (`Adjoining`).

A GuardLine is one of its lines of railing; a LineEnd is one of the two ends of such a line, with
what stands last there and what is next to it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

import shapely

from service.core.finishing.between import Between
from service.core.finishing.infill import infill_of
from service.core.finishing.numbering import Ids
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.obstructions import Interruption, interruptions_of
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft, body
from service.core.line.sides import EdgeSpec
from service.core.line.stretches import terminals_of
from service.core.measure import DRAWN, TOUCH, Length, Point, toward
from service.core.records.deck import Drops
from service.core.records.kit import Kit
from service.core.records.seen import edge_place, opening_place
from service.core.runs.drafts import RunDraft


class Body(NamedTuple):
    """Something that stands on a deck, in plan, by the name that findings give it."""

    name: str
    shape: shapely.Geometry


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


class Adjoining:
    """A level as drawn, with what adjoins its edges. ids: of all posts, runs and bays."""

    def __init__(self, kit: Kit, draft: LevelDraft, ids: Ids) -> None:
        self.kit, self.draft, self.ids = kit, draft, ids
        self.lines = [GuardLine(self, line) for line in draft.lines]

    @cached_property
    def walls(self) -> dict[int, shapely.LineString]:
        """The walls in plan, by the caller's numbers of their edges."""
        return dict(self.draft.walls())

    @cached_property
    def between(self) -> Between:
        """The level's obstructions, as what may stand between two things on it."""
        return Between(self.draft.level.obstructions)

    @cached_property
    def runs_at(self) -> dict[PostDraft, list[RunDraft]]:
        """The runs that begin or end at each post."""
        met: dict[PostDraft, list[RunDraft]] = {}
        for run in (run for line in self.lines for run in line.runs):
            for terminal in (run.stretch.start, run.stretch.end):
                if terminal.post is not None:
                    met.setdefault(terminal.post, []).append(run)
        return met

    @cached_property
    def is_open(self) -> bool:
        """Whether any of its edges is open."""
        return any(spec.condition == "open" for spec in self.draft.specs)

    @property
    def is_walled(self) -> bool:
        """Whether any of its edges is a wall."""
        return any(spec.condition == "wall" for spec in self.draft.specs)

    @cached_property
    def _places(self) -> dict[int, int]:
        return {spec.number: place for place, spec in enumerate(self.draft.specs)}

    def next_edge(self, number: int, sense: int) -> EdgeSpec:
        """The edge before (sense -1) or after (1) the one of that number, counter-clockwise."""
        specs = self.draft.specs
        return specs[(self._places[number] + sense) % len(specs)]

    def edge_line(self, spec: EdgeSpec) -> shapely.LineString:
        """An edge in plan, counter-clockwise round the level."""
        return self.draft.edge_line(self._places[spec.number])

    def line_along(self, spec: EdgeSpec) -> GuardLine | None:
        """The line along an edge; None where that is not guarded."""
        return next((line for line in self.lines if spec in line.side.edges), None)

    def edge_place(self, number: int) -> str:
        """The name of an edge in findings."""
        return edge_place(self.draft.level.id, number)

    def opening_place(self, drawn: OpeningDraft) -> str:
        """The name of an opening in findings."""
        return opening_place(self.draft.level.id, drawn.opening.id)


class GuardLine:
    """One line of a level's railing. about: the level."""

    def __init__(self, about: Adjoining, draft: LineDraft) -> None:
        self.about, self.side = about, draft.side
        self.runs, self.openings = draft.runs, draft.openings

    @cached_property
    def path(self) -> shapely.LineString:
        """The edges that it stands along, in plan."""
        return shapely.LineString(self.side.path())

    @cached_property
    def ends(self) -> tuple[LineEnd, LineEnd]:
        """Its start, then its end."""
        return LineEnd(self, -1), LineEnd(self, 1)

    def end(self, sense: int) -> LineEnd:
        """Its start (sense -1) or its end (1)."""
        return self.ends[sense > 0]

    @cached_property
    def terminals(self) -> list[Terminal]:
        """Every terminal in use: those of runs, then those of openings."""
        return list(terminals_of((run.stretch for run in self.runs), self.openings))

    @cached_property
    def cuts(self) -> list[Interruption]:
        """The cuts that the level's obstructions make in it, in order along it."""
        return interruptions_of(self.about.kit, self.side, self.about.draft.level.obstructions)

    def drops_along(self, *places: Length) -> Drops:
        """The drops of the deepest stretch beyond it between the outermost of some places."""
        return self.about.draft.drops_between(self.side, min(places), max(places))

    def obstructions_touching(self, face: Length) -> shapely.Geometry:
        """The obstructions that it touches at a place, as one shape in plan.

        The line is taken to be as wide as a post. face: the place along the side; where an opening
        ends there, these obstructions are its jamb. Empty where the line touches none.
        """
        half, setback = self.about.kit.post.width / 2, self.about.kit.post.setback
        across = shapely.LineString([self.side.place(face, setback + off) for off in (-half, half)])
        shapes = (one.shape for one in self.about.draft.level.obstructions)
        return shapely.union_all([each for each in shapes if each.distance(across) <= DRAWN])

    def met_at(self, terminal: Terminal) -> list[shapely.Geometry]:
        """The post at a terminal, and the rails that come to it as their middle lines, in plan."""
        rails: list[shapely.Geometry] = [
            run.stretch.axis(self.about.kit)
            for run in self.runs
            if run.bays and terminal in (run.stretch.start, run.stretch.end)
        ]
        return rails if terminal.post is None else [*rails, body(self.about.kit, terminal.post)]

    def middle_lines(self) -> shapely.GeometryCollection:
        """Its rails in plan as middle lines, with the posts and obstructions at its terminals."""
        kit = self.about.kit
        parts: list[shapely.Geometry] = [run.stretch.axis(kit) for run in self.runs if run.bays]
        for terminal in self.terminals:
            parts += [] if terminal.post is None else [body(kit, terminal.post)]
            parts += obstructions_at(terminal)
        return shapely.GeometryCollection(parts)

    @cached_property
    def railing(self) -> list[Body]:
        """All the parts of its railing in plan.

        They are posts, the infill of runs, as a sphere would have to pass between the rails, and
        obstructions at which the line ends. Beside a post, one known to be lower than the guard
        closes nothing, as a sphere gets out over it.
        """
        return list(self.railing_from(1, -math.inf))

    def railing_from(self, sense: int, start: Length) -> Iterator[Body]:
        """The parts of its railing from `start` on, toward its end (sense 1) or its start (-1).

        Runs that begin before `start` are left out whole.
        """
        kit, ids = self.about.kit, self.about.ids
        for terminal in self.terminals:
            if sense * (terminal.t - start) < -TOUCH:
                continue
            columns: Sequence[shapely.Geometry] = obstructions_at(terminal)
            if terminal.post is not None:
                yield Body(ids.posts[terminal.post], body(kit, terminal.post))
                columns = self.about.between.not_below(self.side.spec.height, columns)
            edge = self.about.edge_place(self.side.edge_over(terminal.t).number)
            yield from (Body(edge, column) for column in columns)
        for run in self.runs:
            ends = run.stretch.start, run.stretch.end
            if any(sense * (each.t - start) < -TOUCH for each in ends):
                continue
            yield from (Body(ids.posts[post], body(kit, post)) for post in run.inner)
            infill = infill_of(kit, run)
            if not infill.is_empty:
                yield Body(ids.runs[run.key], infill)


class LineEnd:
    """One of the two ends of a line.

    sense: -1 at the line's start, 1 at its end. Of two places along the line, the one with the
    greater `sense * t` is nearer to this end.
    """

    def __init__(self, line: GuardLine, sense: int) -> None:
        self.about, self.line, self.side, self.sense = line.about, line, line.side, sense

    @property
    def other(self) -> LineEnd:
        """The other end of its line."""
        return self.line.end(-self.sense)

    @property
    def corner(self) -> Length:
        """The corner at which the line's side ends, as a place along that side."""
        return self.side.length if self.sense > 0 else 0.0

    @property
    def corner_at(self) -> Point:
        """The same corner in plan."""
        return self.side.place(self.corner, 0.0)

    @cached_property
    def edge(self) -> EdgeSpec:
        """The edge of the line's own side that ends here."""
        return self.side.edge_at(self.sense > 0)

    @cached_property
    def next_edge(self) -> EdgeSpec:
        """The next edge, past the corner."""
        return self.about.next_edge(self.edge.number, self.sense)

    @property
    def next_line(self) -> GuardLine | None:
        """The line along the next edge; None where that is not guarded."""
        return self.about.line_along(self.next_edge)

    def next_edge_line(self) -> shapely.LineString:
        """The next edge in plan, from the corner on."""
        line = self.about.edge_line(self.next_edge)
        return line if self.sense > 0 else line.reverse()

    def name_of(self, post: PostDraft | None) -> str:
        """The name of what stands here in findings: that of a post; None: that of the edge."""
        return self.about.ids.posts[post] if post else self.about.edge_place(self.edge.number)

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
        last = self._last_terminal()
        if last is not None:
            return None if last.post is not None or last.obstructions else (last.t, True)
        faces = [drawn.faces[self.sense > 0] for drawn in self.line.openings]
        return (max(faces, key=lambda t: self.sense * t), False) if faces else None

    @cached_property
    def last(self) -> Last | None:
        """What stands last toward this end, including the jamb of an opening.

        None where nothing stands there, or where a wall is the jamb.
        """
        terminal = self._last_terminal()
        if terminal is None:
            met = self.met_without_post()
            if met is None:
                return self._last_cut()
            columns = self.line.obstructions_touching(met[0])
            return None if columns.is_empty else Last(met[0], None, columns, columns)
        columns, t = shapely.union_all(obstructions_at(terminal)), terminal.t
        if terminal.post is not None:
            t += self.sense * self.about.kit.post.width / 2
        shape = shapely.union_all([columns, *self.line.met_at(terminal)])
        return Last(t, terminal.post, columns, shape)

    def _last_cut(self) -> Last | None:
        """The obstruction nearest to this end of a line that has neither railing nor opening.

        None where it has no obstruction either.
        """
        if not self.line.cuts:
            return None
        cut = self.line.cuts[-1 if self.sense > 0 else 0]
        columns = shapely.union_all([one.shape for one in cut.obstructions])
        return Last(cut.last if self.sense > 0 else cut.first, None, columns, columns)

    def _last_terminal(self) -> Terminal | None:
        """The last terminal toward this end, of a run or an opening.

        None where the line has none, or where an opening goes on past it to a wall or an
        obstruction.
        """
        if not self.line.terminals:
            return None
        last = max(self.line.terminals, key=lambda terminal: self.sense * terminal.t)
        for drawn in self.line.openings:
            end = drawn.far if self.sense > 0 else drawn.near
            if drawn.jambs[self.sense > 0].post is None and self.sense * (end - last.t) > TOUCH:
                return None
        return last

    def row_past(self, t: Length, shape: shapely.Geometry) -> list[InRow]:
        """What stands last, then the obstructions in the line past it, up to the corner.

        t, shape: how far along the line what stands last reaches, and its shape in plan.
        """
        row, sense = [InRow(t, shape)], self.sense
        for cut in self.line.cuts[::sense]:
            near, far = (cut.first, cut.last)[::sense]
            if sense * (far - row[-1].t) > TOUCH and sense * (self.corner - near) > TOUCH:
                columns = shapely.union_all([one.shape for one in cut.obstructions])
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
        line = self.next_line
        last = None if line is None else line.end(-self.sense).last
        if line is None or last is None:
            return None
        return shapely.GeometryCollection([line.middle_lines(), last.columns])

    def wall_end(self, wall: Sequence[Point]) -> tuple[Point, Point]:
        """The end of a wall at this corner, and the unit vector in which the wall would go on.

        wall: that of the next edge, as a path in plan, counter-clockwise round the level.
        """
        tip, before = wall[:2] if self.sense > 0 else wall[:-3:-1]
        return tip, toward(before, tip)

    def gone_on(self, wall: Sequence[Point], at: Point) -> tuple[Point, Point]:
        """The extension of a wall past its end at this corner, to be beside a place; in plan.

        It has no length where the wall need not go on. wall: as for `wall_end`.
        """
        tip, (ux, uy) = self.wall_end(wall)
        past = max(0.0, (at[0] - tip[0]) * ux + (at[1] - tip[1]) * uy)
        return tip, (tip[0] + past * ux, tip[1] + past * uy)


def obstructions_at(terminal: Terminal) -> list[shapely.Polygon]:
    """The obstructions that a terminal ends at, in plan."""
    return [one.shape for one in terminal.obstructions]
