"""Drawings, plans: the line that a run may be measured on, its marks, and places for its name."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import middle_of
from service.drawings.dimensions import slash
from service.drawings.marks import SMALL, Disc, Mark, Words, line, width_of
from service.drawings.plans.lines import Piece
from service.drawings.plans.paper import ExtraCost, Paper, no_extra_cost
from service.drawings.plans.placed import Track
from service.drawings.plans.placing import Aside, Label, along, around, beside, square_to
from service.drawings.plans.scene import Scene
from service.drawings.points import between
from service.drawings.scales import Scale

TICK: Final = 0.9
"""In mm, half the length of the slash at a mark, along the line and across it."""
GAP: Final = 1.2
"""In mm, from a line to the words at its end."""
PAST: Final = 1.0
"""In mm, from the base of a post to the line from it to the measured line."""
DOT: Final = 0.7
"""In mm, the radius of the dot at a run's origin."""
SHIFTS: Final = (0.0, 1.5, -1.5, 2.8, 3.6)
"""In mm along a run, how far off its line the text of a mark is tried."""
CLOSE: Final = 2.4
"""In mm, the least distance of two marks whose texts can be told apart."""
ROW: Final = 3.0
"""In mm, the height of a row of words."""
OUTER: Final = 3
"""Places outside its marks where a run's length is tried."""
CLEAN: Final = 10
"""The most that a name by its line may cost before other places are looked for."""
LED: Final = 20
"""What it costs that a line leads to a name."""


@dataclass(frozen=True, slots=True)
class RunLine:
    """A line that a run may be measured on.

    track: the run, turned so that its outer side is the one that the line is on. away: mm on paper
    from the run to the line.
    """

    scale: Scale
    track: Track
    away: float

    def at(self, point: Point, along: float = 0.0, further: float = 0.0) -> Point:
        """The place on the line square to a point of the run.

        along, further: mm by which it is moved along the run and away from it.
        """
        mm = self.scale.of_paper
        return self.track.off(point, mm(along), mm(self.away + further))

    @property
    def ends(self) -> Piece:
        """Its ends, square to the run's first mark and its last."""
        return self.at(self.track.points[0]), self.at(self.track.points[-1])


def draw_dimension(scene: Scene, own: RunLine) -> Iterator[Mark]:
    """The line that a run is measured on, its origin, and at each mark a slash and a line to it."""
    scale, track = own.scale, own.track
    yield line("dimension", *own.ends)
    for point, ends in zip(track.points, leads_to(scene, own), strict=True):
        yield line("dimension", *ends)
        yield slash(own.at(point), track.along, track.outward, scale.of_paper(TICK))
    yield Disc("dimension", own.ends[0], scale.of_paper(DOT))


def leads_to(scene: Scene, own: RunLine) -> Iterator[Piece]:
    """A line from each mark of a run to the line that it is measured on, and a little past it."""
    begin = scene.subject.kit.post.base.width / 2 + own.scale.of_paper(PAST)
    for point in own.track.points:
        yield own.track.off(point, 0.0, begin), own.at(point, 0.0, TICK)


def places_of_marks(own: RunLine, texts: Sequence[str]) -> Iterator[list[Words]]:
    """For each mark, the places that its text may take: in line with it, else a little aside."""
    for i, (point, text) in enumerate(zip(own.track.points, texts, strict=False)):
        sense = 1.0 if i == 0 else -1.0
        places = (own.at(point, sense * shift, GAP) for shift in SHIFTS)
        yield [square_to(own.scale, place, own.track.outward, text) for place in places]


def write_marks(
    paper: Paper, track: Track, places: Sequence[list[Words]], extra_cost: ExtraCost
) -> list[Words]:
    """Write the texts of the first and the last mark, then of those between that can be told apart.

    places: for each mark, as `places_of_marks` gives them. extra_cost: what a place costs beside
    what it covers. Returns the words written, those of the last mark last.
    """
    if not places:
        return []
    k = paper.scale.per_unit
    last = len(places) - 1
    first, end = paper.write(places[0], extra_cost), paper.write(places[last], extra_cost)
    written, kept = [first], 0
    for i in range(1, last):
        ends = (track.points[kept], track.points[last])
        if min(math.dist(track.points[i], each) for each in ends) * k < CLOSE:
            paper.left_out += 1
            continue
        written.append(paper.write(places[i], extra_cost))
        kept = i
    return [words for words in (*written, end) if words is not None]


def best_name(
    paper: Paper,
    own: RunLine,
    reach: float,
    texts: tuple[str, str],
    extra_cost: ExtraCost = no_extra_cost,
) -> tuple[Words | None, float]:
    """The best place for a run's id and length, and what it costs.

    Places are tried in turn until one costs less than CLEAN: by the run's line, for the id with the
    length and then for the id alone; past the ends of the line; at last anywhere, with a line that
    leads to the words. reach: how far in mm the texts of marks reach off the run's line. texts: the
    id with the length, and the id alone where marks tell the length, else "". extra_cost: what that
    leading line costs; nothing while the run may still be measured elsewhere.
    """
    full, few = texts
    is_own = paper.lines.owned_by(own.ends)
    tries = [_inner_places(own, full), _past_ends(own, full)]
    if few:
        tries.insert(1, _inner_places(own, few))
    found: list[tuple[Words | None, float]] = [(None, math.inf)]
    for places in tries:
        if found[-1][1] >= CLEAN:
            found.append(paper.best(filter(is_own, places)))
    if found[-1][1] >= CLEAN:
        further = _further(own, reach, full)
        words, cost = paper.best(filter(paper.lines.free_of(own.ends), further), extra_cost)
        found.append((words, cost + LED))
    return min(found, key=lambda each: each[1])


def cost_of_leader(paper: Paper, own: Piece) -> ExtraCost:
    """A cost for words: that of the line that leads to them from the run's own line."""

    def cost(words: Words) -> int:
        middle = middle_of(words, paper.scale)
        return paper.cost_to_lead(_foot(own, middle), middle)

    return cost


def _foot(own: Piece, at: Point) -> Point:
    """The point of a line that is nearest to another point."""
    (x0, y0), (x1, y1) = own
    dx, dy = x1 - x0, y1 - y0
    part = ((at[0] - x0) * dx + (at[1] - y0) * dy) / (dx * dx + dy * dy)
    return between(*own, min(1.0, max(0.0, part)))


def _inner_places(own: RunLine, text: str) -> Iterator[Words]:
    """Places between the deck and the line, in each bay that is long enough, the middle first."""
    scale, track = own.scale, own.track
    wide = scale.of_paper(width_of(text, SMALL) + 0.3)
    middles = sorted(
        (between(a, b) for a, b in pairwise(track.points) if math.dist(a, b) >= wide),
        key=lambda point: math.dist(point, track.middle),
    )
    for point in middles:
        yield along(scale, own.at(point), track.along, track.out * (SMALL / 2 + 0.8), text)


def _past_ends(own: RunLine, text: str) -> Iterator[Words]:
    """Places past the ends of the line; on a flight past its foot alone, as its head is the deck.

    By an upright line, level words come first, beside the line too: a page is wider than it is
    high.
    """
    scale, track, (ux, uy) = own.scale, own.track, own.track.along
    ends, label = [(track.points[-1], 1.0)], Label(text, layer="dimension")
    if track.run.flight is None:
        ends.append((track.points[0], -1.0))
    if abs(uy) > abs(ux):
        for point, sense in ends:
            yield beside(scale, Aside(own.at(point), (ux * sense, uy * sense), GAP), label)
        for pair in pairwise(track.points):
            yield beside(scale, Aside(own.at(between(*pair)), track.outward, GAP), label)
    for point, sense in ends:
        yield square_to(scale, own.at(point, sense * 2 * TICK), (ux * sense, uy * sense), text)


def _further(own: RunLine, reach: float, text: str) -> Iterator[Words]:
    """Places outside of all marks, and at last wherever there is room.

    reach: how far the texts of marks reach off the line, in mm.
    """
    scale, track = own.scale, own.track
    outer = own.away + max(GAP, reach) + SMALL / 2 + 0.8
    for row in range(OUTER):
        place = track.off(track.middle, 0.0, scale.of_paper(outer + row * ROW))
        yield along(scale, place, track.along, 0.0, text)
    middle, label = own.at(track.middle), Label(text, layer="dimension")
    yield beside(scale, Aside(middle, track.outward, max(GAP, reach)), label)
    yield from around(scale, Aside(middle, track.outward, 1.0), label)
