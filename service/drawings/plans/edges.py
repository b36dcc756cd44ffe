"""Drawings, plans: each edge's number and length, outside all that its runs' measures take up.

An edge that has no room for its length has its number alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from service.core.measure import Length, Point, toward
from service.drawings.dimensions import slash
from service.drawings.ground import Edge
from service.drawings.marks import SMALL, Stroke, Words, line, width_of
from service.drawings.naming import together
from service.drawings.plans.lines import LineWords, Piece
from service.drawings.plans.measures import ON_DECK, PER_MM
from service.drawings.plans.paper import MEASURED, Paper
from service.drawings.plans.placed import Course
from service.drawings.plans.placing import PARTS, Among, Aside, Label, along, among, beside, tag
from service.drawings.plans.run_lines import TICK
from service.drawings.plans.scene import Scene
from service.drawings.points import between, moved
from service.drawings.scales import Scale

TIER: Final = 3.6
"""In mm, from the measures of an edge's runs to the line of its whole length.

The words of that line lie between.
"""
TIERS: Final = (0.0, 3.6, 7.2, 10.8)
"""In mm, how much further out that line is tried."""
INWARD: Final = (8.0, 12.0, 16.0, 20.0, 24.0, 28.0, 32.0)
"""In mm, how far off its edge the line is tried on the deck's side."""
CROWDED: Final = 300
"""The most that a line and its words may cost."""
BEYOND: Final = 5.0
"""In mm, from an edge without runs, or from the top of its bow, to the line of its length."""
NUMBER: Final = 1.5
"""In mm, from an edge to its number."""
SHORT: Final = 10.0
"""In mm, the length below which an edge has its number alone beside it, without the word."""
BREAK: Final = 1.0
"""In mm, the room beside a flight's guards where they break a line, and past their foot."""


@dataclass(frozen=True, slots=True)
class _Measure:
    """An edge and what is to be said along a line beside it.

    taken: how far out of the edge, in mm, its runs' measures reach. flights: those that go down
    from it and break the line, as far as `past` beyond their clear sides and their feet. others:
    the other edges, to none of which the line may be nearer.
    """

    edge: Edge
    text: str
    taken: float
    flights: Sequence[Course]
    past: Length
    others: Sequence[shapely.LineString]


@dataclass(frozen=True, slots=True)
class _Line:
    """A line beside an edge, from corner to corner.

    pieces: those that flights leave of it. side: 1 where it lies off the deck, -1 where it lies
    over it.
    """

    ends: Piece
    pieces: Sequence[Piece]
    side: float


def measure_edges(paper: Paper, scene: Scene, taken: Mapping[int, float]) -> list[str]:
    """Write each edge's number, its condition unless that is `guard`, and its length.

    Lengths run from corner to corner, as taken by tape where they were. taken: by edge, how far out
    of it its runs' measures reach, in mm. Returns what is to be said beside the plan of edges
    without room for it.
    """
    kit = scene.subject.kit
    down: dict[int, list[Course]] = {}
    for course in scene.courses:
        edge_number = scene.openings[course.flight.opening].opening.edge
        down.setdefault(edge_number, []).append(course)
    drawn = {edge.number: shapely.LineString(edge.points) for edge in scene.edges.values()}
    written = _numbers_of(paper.scale, scene.edges.values())
    short: dict[str, list[int]] = {}
    for edge in scene.edges.values():
        kind = "" if edge.condition == "guard" else f" {edge.condition}"
        rest = f"{kind}: {_length_words(scene, edge)}"
        text = f"edge {edge.number}{rest}"
        measure = _Measure(
            edge=edge,
            text=text,
            taken=taken.get(edge.number, 0.0),
            flights=down.get(edge.number, ()),
            past=(kit.post.width + kit.post.base.width) / 2 + paper.scale.of_paper(BREAK),
            others=[each for number, each in drawn.items() if number != edge.number],
        )
        if not _span(paper, measure):
            _write_number(paper, edge, written)
            short.setdefault(rest, []).append(edge.number)
    return [f"{named_edges(numbers)}{rest}" for rest, numbers in short.items()]


def _length_words(scene: Scene, edge: Edge) -> str:
    """The length of an edge, in words.

    A bowed edge has the length from corner to corner, as its line is drawn and a tape runs, then
    how far it is bowed, then its length along the arc.
    """
    deck = scene.subject.deck
    taped = scene.lengths.get(edge.number)
    if not edge.rise:
        return taped or deck.tape(edge.length)
    chord = taped or deck.tape(math.dist(edge.points[0], edge.points[-1]))
    bowed = "out" if edge.rise > 0 else "in"
    rise, length = deck.tape(abs(edge.rise)), deck.tape(edge.length)
    return f"{chord} straight, bowed {bowed} {rise}, {length} along"


def named_edges(numbers: Sequence[int]) -> str:
    """Edges by their numbers in order, three or more that follow on each other drawn together.

    >>> named_edges([4]), named_edges([3, 0, 1, 2, 7])
    ('edge 4', 'edges 0-3, 7')
    """
    ranges = together(map(str, sorted(numbers)), lambda one, other: int(one) + 1 == int(other))
    return f"edge{'s' if len(numbers) > 1 else ''} {ranges}"


def _span(paper: Paper, measure: _Measure) -> bool:
    """Draw the line of an edge's length and its words at the cheapest place; return whether drawn.

    Nothing is drawn where the edge is too short for its words, or where every place costs too much.
    """
    best, least = None, float(CROWDED)
    for tried, dear in _tries(paper.scale, measure):
        cost = dear + sum(map(paper.cost_along, tried.pieces))
        if cost >= least or not paper.lines.keeps_off(tried.pieces):
            continue
        words, covered = _cheapest(paper, tried, measure.text, least - cost)
        if words is not None:
            best, least = (words, tried), cost + covered
    if best is None:
        return False
    words, chosen = best
    paper.draw(words)
    paper.lines.draw(chosen.pieces)
    paper.lines.line_words.append(LineWords(words, chosen.ends, f"edge {measure.edge.number}"))
    for mark in _corner_to_corner(paper.scale, chosen):
        paper.draw(mark)
    return True


def _tries(scale: Scale, measure: _Measure) -> Iterator[tuple[_Line, float]]:
    """Lines for an edge's length, each with what its distance and side alone cost.

    They lie off the deck first, further and further out, then over it. There are none where the
    edge is too short for its words. A line is left out that lies nearer to another edge, or of
    which flights leave nothing.
    """
    edge = measure.edge
    start, end = edge.points[0], edge.points[-1]
    direction = toward(start, end)
    if width_of(measure.text, SMALL) + 2 * TICK > math.dist(start, end) * scale.per_unit:
        return
    bulge = max(0.0, edge.rise) * scale.per_unit
    away = max(measure.taken + TIER if measure.taken else 0.0, bulge + BEYOND)
    outward = [(away + step, step * PER_MM) for step in TIERS]
    inward = [(-far, ON_DECK + far * PER_MM) for far in INWARD]
    for far, dear in [*outward, *inward]:
        over = scale.of_paper(far)
        ends = moved(start, direction, 0.0, over), moved(end, direction, 0.0, over)
        middle = shapely.Point(between(*ends))
        if shapely.distance(measure.others, middle).min() < abs(over):
            continue
        crossed = [each for each in measure.flights if 0 < over < each.reach(scale) + measure.past]
        if pieces := list(_whole(*ends, crossed, measure.past)):
            yield _Line(ends, pieces, math.copysign(1.0, far)), dear


def _cheapest(paper: Paper, tried: _Line, text: str, most: float) -> tuple[Words | None, float]:
    """The cheapest words along a piece of a line, with the cost of what they cover.

    None where none costs less than `most`.
    """
    direction, rise = toward(*tried.ends), tried.side * (SMALL / 2 + 0.8)
    places = [between(*tried.ends, part) for part in PARTS]
    if len(tried.pieces) > 1:
        places += [between(*piece) for piece in tried.pieces]
    best: Words | None = None
    for place in places:
        words = along(paper.scale, place, direction, rise, text)
        if _is_over(tried.pieces, words, paper.scale) and (cost := paper.cost(words, most)) < most:
            best, most = words, cost
    return best, most


def _is_over(pieces: Sequence[Piece], words: Words, scale: Scale) -> bool:
    """Whether words lie along one piece of a line, not over a gap."""
    half = scale.of_paper(width_of(words.text, SMALL) / 2)
    for start, end in pieces:
        (ux, uy), (x, y) = toward(start, end), start
        middle = (words.at[0] - x) * ux + (words.at[1] - y) * uy
        if half <= middle <= math.dist(start, end) - half:
            return True
    return False


def _corner_to_corner(scale: Scale, drawn: _Line) -> Iterator[Stroke]:
    """A line with a slash at each end, in the pieces that flights across it leave."""
    ux, uy = (each * drawn.side for each in toward(*drawn.ends))
    t = scale.of_paper(TICK)
    for piece in drawn.pieces:
        yield line("dimension", *piece)
    for end in drawn.ends:
        yield line("dimension", moved(end, (ux, uy), 0.0, t), moved(end, (ux, uy), 0.0, -3 * t))
        yield slash(end, (ux, uy), (-uy, ux), t)


def _whole(
    start: Point, end: Point, broken: Sequence[Course], past: Length
) -> Iterator[tuple[Point, Point]]:
    """The pieces of a line that flights across it leave.

    past: the room on each side of a flight.
    """
    size, (ux, uy) = math.dist(start, end), toward(start, end)
    cuts = []
    for course in broken:
        places = [(x - start[0]) * ux + (y - start[1]) * uy for x, y in course.head]
        cuts.append((min(places) - past, max(places) + past))
    low = 0.0
    for left, right in [*sorted(cuts), (size, size)]:
        if left > low:
            yield between(start, end, low / size), between(start, end, min(left, size) / size)
        low = max(low, right)


def _numbers_of(scale: Scale, edges: Iterable[Edge]) -> Among:
    """All edges by the text beside each, to tell which edge words are nearest to."""
    return among({_number_text(scale, edge): shapely.LineString(edge.points) for edge in edges})


def _write_number(paper: Paper, edge: Edge, numbers: Among) -> None:
    """Write an edge's number close by it, nearest to no other edge; else with a line to its middle.

    numbers: as `_numbers_of` gives it.
    """
    ux, uy = toward(edge.points[0], edge.points[-1])
    label = Label(_number_text(paper.scale, edge), layer="dimension")
    asides = [
        Aside(edge.place(part), (uy * side, -ux * side), NUMBER)
        for side in (1.0, -1.0)
        for part in PARTS
    ]
    places = (beside(paper.scale, each, label) for each in asides)
    words, cost = paper.best(places, lambda each: numbers.mistaken(each, paper.scale))
    if words is not None and cost < 2 * MEASURED:
        paper.draw(words)
        return
    led = paper.led
    tag(paper, asides[0], label, numbers)
    # The edge is told of beside the plan, and counted there.
    paper.led = led


def _number_text(scale: Scale, edge: Edge) -> str:
    """The text beside an edge: its number, without the word "edge" where it is short."""
    is_short = edge.length * scale.per_unit < SHORT
    return str(edge.number) if is_short else f"edge {edge.number}"
