"""Core: what adjoins the edges of a level that was drawn: the edge before or after each, its wall
in plan, and what may stand between an edge and something else."""

from __future__ import annotations

from functools import cached_property

import shapely

from service.core.finishing.between import Between
from service.core.levels.level import LevelDraft
from service.core.line.outline import EdgeSpec


class Adjoining:
    """The edges of a level, by the caller's numbers."""

    def __init__(self, draft: LevelDraft) -> None:
        self.draft = draft

    @cached_property
    def walls(self) -> dict[int, shapely.LineString]:
        """Every wall in plan, by its edge's number."""
        return dict(self.draft.walls())

    @cached_property
    def between(self) -> Between:
        """What may stand between two things on the level."""
        return Between(self.draft.level.obstructions)

    @cached_property
    def _places(self) -> dict[int, int]:
        return {spec.number: place for place, spec in enumerate(self.draft.specs)}

    def next_edge(self, number: int, way: int) -> EdgeSpec:
        """The edge before (-1) or after (1) that one, counter-clockwise."""
        specs = self.draft.specs
        return specs[(self._places[number] + way) % len(specs)]
