"""Core: a stretch of a bowed side, divided into equal chords (method 10).

Each chord is a run of one bay. How many chords a stretch needs, and where a bracket on an
obstruction must give way to a post, is worked out here as well, as the corners of a bow (`joins`)
depend on it.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from service.core.limits import BAYS
from service.core.line.arcs import ArcSide
from service.core.line.corners import Terminal, half_at, skew_between
from service.core.line.nodes import post_beside_obstruction
from service.core.line.obstructions import post_reaches
from service.core.line.posts import post_on_side
from service.core.line.stretches import Line, Stretch
from service.core.measure import TOUCH, Degrees, FromTo, Length, least_length, plain_length
from service.core.problems import unbuildable
from service.core.records.deck import Obstruction
from service.core.runs.bays import BayMaker, limits_text
from service.core.runs.budget import check_bays
from service.core.runs.drafts import RunDraft, RunKey
from service.core.runs.spans import Span


@dataclass(frozen=True, slots=True)
class Chords:
    """Divides the stretches of a bowed side into equal chords.

    forbidden: from where to where along the side no post's centre may lie. In its methods, `least`
    is the fewest chords that a stretch may have.
    """

    maker: BayMaker
    side: ArcSide
    forbidden: Sequence[FromTo]

    def runs(self, key: RunKey, stretch: Stretch, least: int) -> Iterator[RunDraft]:
        """The runs of a stretch, one for each chord.

        An inner post's face normal is along the tangent, so its skew is half a chord's angle on
        both sides. Refuses a stretch that no number of chords suits.
        """
        kit, side = self.maker.kit, self.side
        count = self.count(stretch, least)
        if count is None:
            raise unbuildable(
                stretch.pointer,
                "no_place_for_posts",
                f"No row of equal chords {stretch.extent_text(kit)} keeps"
                f" {limits_text(kit, side.spec.infill)}, and its posts where posts may stand.",
            )
        check_bays(count, self.maker.budget.bays)
        pitch = stretch.length / count
        skew = side.half_angle(pitch)
        start, end = self._ends(stretch, skew)
        places = [stretch.start.t + i * pitch for i in range(1, count)]
        inner = [Terminal(t, post_on_side(kit, side, t, "line"), skew) for t in places]
        for index, pair in enumerate(pairwise([start, *inner, end])):
            # Keys are numbered by stretch, then by chord.
            run_key: RunKey = (key[0], key[1], key[2] * (BAYS + 1) + index)
            run = self._run(run_key, Stretch(side, *pair, stretch.pointer))
            yield replace(run, bow=key[2])

    def _run(self, key: RunKey, chord: Stretch) -> RunDraft:
        """One chord as a run of one bay, with marks 0 and the chord, off the grid.

        Refuses a chord too short for the posts at its ends.
        """
        kit, length = self.maker.kit, self.side.chord(chord.length)
        span = Span(length, chord.halves(kit), kit.post.width, kit.post.base.width)
        least = sum(span.halves)
        if length < least - TOUCH:
            raise unbuildable(
                chord.pointer,
                "too_short_for_posts",
                f"A chord of {plain_length(length, kit.unit, least)} {chord.extent_text(kit)} is"
                " too short for the posts at its ends; they need"
                f" {least_length(least, kit.unit, length)}.",
            )
        return self.maker.fill_run(key, chord, span)

    def swap_brackets(
        self, line: Line, obstructions: Sequence[Obstruction], least: tuple[int, int]
    ) -> Line:
        """The side's line with a post in place of each bracket that is out of reach.

        Those are brackets on obstructions that cannot turn as far as the chord that meets them
        requires. least: fewest chords of the line's first and of its last stretch.
        """
        held = [
            self._swap_brackets(stretch, obstructions, few)
            for stretch, few in zip_chords(line, least)
        ]
        return replace(line, stretches=tuple(held))

    def _swap_brackets(
        self, stretch: Stretch, obstructions: Sequence[Obstruction], least: int
    ) -> Stretch:
        """A stretch with a post in place of each bracket that is out of reach.

        A post shortens the stretch, so fewer chords may do; these meet the other end at another
        angle. Both ends are therefore looked at again until nothing changes.
        """
        kit, side = self.maker.kit, self.side
        while _is_bracket(stretch.start) or _is_bracket(stretch.end):
            count = self.count(stretch, least)
            if count is None:
                break
            met = self._ends(stretch, side.half_angle(stretch.length / count))
            far = [_is_bracket(each) and each.skew > kit.swivel_greatest + TOUCH for each in met]
            if not any(far):
                break
            reaches = post_reaches(kit, side, obstructions)
            start, end = (
                post_beside_obstruction(kit, side, each, reaches, after=after) if is_far else own
                for each, is_far, own, after in zip(
                    met, far, (stretch.start, stretch.end), (True, False), strict=True
                )
            )
            stretch = replace(stretch, start=start, end=end)
        return stretch

    def count(self, stretch: Stretch, least: int) -> int | None:
        """The fewest equal chords, no fewer than `least`, that a stretch can be divided into.

        Their posts keep every limit of the kit and stand where posts may. None where no number will
        do.
        """
        kit, spec = self.maker.kit, self.side.spec
        span = stretch.length
        count = max(least, self.side.chords(span, kit, kit.max_centres[spec.infill]))
        check_bays(count, BAYS)
        most = min(BAYS, max(count, int(span / kit.post.base.width)))
        fits = self.maker.filler.panel_test(spec)

        def wide_enough(chords: int) -> bool:
            return all(fits(clear) for clear in self._clears(stretch, chords))

        # The more chords, the shorter each and the smaller its panel: if panels fit, they fit with
        # more.
        if not wide_enough(count):
            count += bisect_left(range(count, most + 1), x=True, key=wide_enough)
        while count <= most:
            if self._is_free(stretch.start.t, span / count, count):
                return count
            count += 1
        return None

    def _clears(self, stretch: Stretch, count: int) -> set[Length]:
        """The clear openings of the first bay, of the last, and of those between."""
        kit, pitch = self.maker.kit, stretch.length / count
        chord, skew = self.side.chord(pitch), self.side.half_angle(pitch)
        start, end = (each.half(kit) for each in self._ends(stretch, skew))
        if count == 1:
            return {chord - start - end}
        inner = half_at(kit, skew)
        clears = {chord - start - inner, chord - inner - end}
        return clears if count == 2 else {*clears, chord - 2 * inner}

    def _ends(self, stretch: Stretch, skew: Degrees) -> tuple[Terminal, Terminal]:
        """Both ends of a stretch, as its first and its last chord meet them.

        skew: the angle of a chord to the tangents at its ends.
        """
        start, end = stretch.start, stretch.end
        first, last = self.side.chord_headings(start.t, end.t, (skew, skew))
        return _as_met(start, first), _as_met(end, last)

    def _is_free(self, start: Length, pitch: Length, count: int) -> bool:
        """Whether no inner post's centre lies in a forbidden stretch."""
        for low, high in self.forbidden:
            first = max(1, math.floor((low + TOUCH - start) / pitch) + 1)
            if first < count and start + first * pitch < high - TOUCH:
                return False
        return True


def zip_chords(line: Line, least: tuple[int, int]) -> Iterator[tuple[Stretch, int]]:
    """Each stretch of a line, with the fewest chords that it may have.

    least: that number for the line's first and for its last stretch; it is 1 for the others.
    """
    last = len(line.stretches) - 1
    for i, stretch in enumerate(line.stretches):
        yield stretch, max(least[0] if i == 0 else 1, least[1] if i == last else 1)


def _is_bracket(terminal: Terminal) -> bool:
    """Whether a rail ends on an obstruction here.

    A rail that ends on a wall was settled with its corner, so that terminal has no
    `normal_heading`.
    """
    return terminal.post is None and terminal.normal_heading is not None


def _as_met(terminal: Terminal, heading: Degrees) -> Terminal:
    """A terminal as a bay of this heading meets it.

    A terminal without `normal_heading`, a corner's post or a wall at the line's end, already has
    its skew.
    """
    if terminal.normal_heading is None:
        return terminal
    return replace(terminal, skew=skew_between(heading, terminal.normal_heading))
