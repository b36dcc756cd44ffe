"""Core: fixed posts may stand neither in a `no_post` stretch nor in an obstruction (method 1).

FixedPosts takes the lines of a level, one after another, and refuses every post that does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import shapely

from service.core.line.along import no_post_spans
from service.core.line.corners import Terminal
from service.core.line.obstructions import Obstructions
from service.core.line.posts import PostDraft, base_span
from service.core.line.sides import Side
from service.core.line.stretches import Line
from service.core.measure import TOUCH
from service.core.problems import Problem, raise_any
from service.core.records.deck import Level
from service.core.records.kit import Kit


class FixedPosts:
    """The check of the fixed posts of a level.

    Each post is checked once against obstructions, since a corner's post is on two sides.
    """

    def __init__(self, level: Level) -> None:
        self.level = level
        self._obstructions = Obstructions([level])
        self._checked: set[PostDraft] = set()

    def check(self, kit: Kit, line: Line) -> None:
        """Refuse the fixed posts of a line that stand where no post may."""
        fixed = {end.post: end for end in line.terminals() if end.post is not None}
        kept_out = self._kept_out(kit, line.side, fixed)
        raise_any([*kept_out, *self._obstructed(kit, line.side, fixed)])

    def _kept_out(
        self, kit: Kit, side: Side, fixed: Mapping[PostDraft, Terminal]
    ) -> Iterator[Problem]:
        spans = no_post_spans(self.level, side)
        for post in fixed:
            low, high = base_span(post, side)
            for near, far, place in spans:
                if low < far - TOUCH and high > near + TOUCH:
                    yield Problem(
                        place.pointer,
                        "fixed_post_in_no_post",
                        f"The base of a fixed post lies {side.stretch_text(low, high, kit.unit)};"
                        f" no post may stand {side.stretch_text(near, far, kit.unit)}.",
                    )

    def _obstructed(
        self, kit: Kit, side: Side, fixed: Mapping[PostDraft, Terminal]
    ) -> Iterator[Problem]:
        for post, terminal in fixed.items():
            if not self._obstructions or post in self._checked:
                continue
            self._checked.add(post)
            for _, obstruction in self._obstructions.met(shapely.Polygon(post.base)):
                yield Problem(
                    obstruction.pointer,
                    "post_obstructed",
                    f"{obstruction.name} stands in the base of the fixed post"
                    f" {side.place_text(terminal.t, kit.unit)}.",
                )
