"""Core: a level as drawn and numbered, with what adjoins its edges (`Adjoining`).

It answers which edge is next to which, where walls are in plan, which runs meet at a post, and
where obstructions cut a line.
"""

from __future__ import annotations

from functools import cached_property

import shapely

from service.core.finishing.between import Between
from service.core.finishing.numbering import Ids
from service.core.levels.level import LevelDraft
from service.core.line.obstructions import Interruption, interruptions_of
from service.core.line.posts import PostDraft
from service.core.line.sides import EdgeSpec, Side
from service.core.measure import DRAWN, Length
from service.core.records.deck import Drops
from service.core.records.kit import Kit
from service.core.runs.drafts import RunDraft


class Adjoining:
    """A level as drawn, with what adjoins its edges. ids: of all posts, runs and bays."""

    def __init__(self, kit: Kit, draft: LevelDraft, ids: Ids) -> None:
        self.kit, self.draft, self.ids = kit, draft, ids
        self._cuts: dict[int, list[Interruption]] = {}

    @cached_property
    def walls(self) -> dict[int, shapely.LineString]:
        """The walls in plan, by the caller's numbers of their edges."""
        return dict(self.draft.walls())

    @cached_property
    def between(self) -> Between:
        """The level's obstructions, as what may stand between two things on it."""
        return Between(self.draft.level.obstructions)

    def cuts(self, side: Side) -> list[Interruption]:
        """The cuts that the level's obstructions make in a side's line, in order along it."""
        number = side.spec.number
        if number not in self._cuts:
            found = interruptions_of(self.kit, side, self.draft.level.obstructions)
            self._cuts[number] = found
        return self._cuts[number]

    @cached_property
    def runs_at(self) -> dict[PostDraft, list[RunDraft]]:
        """The runs that begin or end at each post."""
        met: dict[PostDraft, list[RunDraft]] = {}
        for run in (run for line in self.draft.lines for run in line.runs):
            for terminal in (run.stretch.start, run.stretch.end):
                if terminal.post is not None:
                    met.setdefault(terminal.post, []).append(run)
        return met

    def obstructions_touching(self, side: Side, face: Length) -> shapely.Geometry:
        """The obstructions that a side's railing line touches at a place, as one shape in plan.

        The line is taken to be as wide as a post. face: the place along the side; where an opening
        ends there, these obstructions are its jamb. Empty where the line touches none.
        """
        half, setback = self.kit.post.width / 2, self.kit.post.setback
        across = shapely.LineString([side.place(face, setback + off) for off in (-half, half)])
        shapes = (one.shape for one in self.draft.level.obstructions)
        return shapely.union_all([each for each in shapes if each.distance(across) <= DRAWN])

    def drops_along(self, side: Side, *places: Length) -> Drops:
        """The drops of the deepest stretch beyond a side between the outermost of some places."""
        return self.draft.drops_between(side, min(places), max(places))

    @cached_property
    def _places(self) -> dict[int, int]:
        return {spec.number: place for place, spec in enumerate(self.draft.specs)}

    def next_edge(self, number: int, sense: int) -> EdgeSpec:
        """The edge before (sense -1) or after (1) the one of that number, counter-clockwise."""
        specs = self.draft.specs
        return specs[(self._places[number] + sense) % len(specs)]
