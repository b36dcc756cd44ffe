"""Drawings, plans: what each flight is called, how it rises and where it leads or comes from.

The words of a flight stand nearer to it than to any other flight, with a line to it where they are
far off. Where there is no such place its name stands on it, and the rest is told beside the plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import shapely

from service.core.measure import Point
from service.core.records.layout import FlightBuilt
from service.drawings.boxes import box_of, extent_of
from service.drawings.marks import SMALL, Stroke, Words, clipped, lines_in, most_width
from service.drawings.plans.flights import Landing
from service.drawings.plans.lines import FAR
from service.drawings.plans.paper import LATER, LEADER, MOST, RAIL, Paper
from service.drawings.plans.placed import Course
from service.drawings.plans.placing import PARTS, Aside, Label, along, around, beside, nearest, tag
from service.drawings.plans.scene import Scene
from service.drawings.points import points_of
from service.drawings.scales import Scale

NAME: Final = 30.0
"""In mm, the width of a name that is written on one row."""
ROW: Final = 2.9
"""In mm, from one row to the next."""
CLEAR: Final = 1.2
"""In mm, from a flight's foot or a post's base to the words beyond it."""
NEARER: Final = 1.0
"""In mm, how much nearer words are to their own flight than to any other, at the least."""
APART: Final = 1.6
"""In mm, the room kept between the words of a flight and others, where there is room elsewhere."""
INTO: Final = 1.5
"""In mm, how far the line from its words reaches into a flight."""
SIDES: Final = (0.25, 0.75, 0.5)
"""Where across a flight its name is tried on it, as shares of its width."""


@dataclass(frozen=True, slots=True)
class Nearest:
    """The flights of a level in plan, to tell which one words are nearest to."""

    shapes: tuple[shapely.Polygon, ...]
    tree: shapely.STRtree

    def is_own(self, i: int, words: Words, scale: Scale) -> bool:
        """Whether words are nearer to flight i than to any other, by at least NEARER."""
        place = shapely.Polygon(box_of(words, scale))
        within = self.shapes[i].distance(place) + scale.of_paper(NEARER)
        return len(self.tree.query(place, predicate="dwithin", distance=within)) == 1


def name_flights(paper: Paper, scene: Scene) -> list[str]:
    """Write the name, rise and going of each flight.

    Returns what is to be said beside the plan of the flights with room for no more than a name.
    """
    # What a flight takes up, its arrow included.
    corners = [course.corners(course.reach(paper.scale)) for course in scene.courses]
    shapes = tuple(map(shapely.Polygon, corners))
    near = Nearest(shapes, shapely.STRtree(shapes))
    notes = []
    for i, course in enumerate(scene.courses):
        said = _said(scene, course.flight)
        if _write_rows(paper, near, i, course, _rows(said, course.flight)):
            continue
        name = clipped(course.flight.id, SMALL, NAME)
        places = _upon(paper, course, name)
        words = paper.write(each for each in places if near.is_own(i, each, paper.scale))
        if words is not None:
            _lead(paper, near.shapes[i], [words])
        notes.append(", ".join(said))
    return notes


def name_landing(paper: Paper, landing: Landing) -> None:
    """Write the flight's name beyond its foot, and the ids of its posts away from its treads.

    Names wider than NAME stand on several rows, and are cut short where these find no room.
    """
    course, (ux, uy) = landing.course, landing.course.down
    names = course.flight.id, landing.above
    if max(most_width(each, SMALL) for each in names) <= NAME or not _write_landing(paper, landing):
        name, above = (clipped(each, SMALL, NAME) for each in names)
        foot = Aside(course.foot(0.5), course.down, CLEAR)
        tag(paper, foot, Label(f"({name}, down from {above})"))
    for post in landing.posts:
        (x, y), (a, b) = post.at, course.at(0.5, 0.0)
        left = (x - a) * uy - (y - b) * ux
        direction = (uy, -ux) if left > 0 else (-uy, ux)
        clear = max(abs(c[0] - x) for c in post.base) * paper.scale.per_unit + CLEAR
        tag(paper, Aside(post.at, direction, clear), Label(f"({post.id})"))


def _write_landing(paper: Paper, landing: Landing) -> bool:
    """Write the name of a flight from another level in rows; return whether they found room."""
    course = landing.course
    shapes = (shapely.Polygon(course.corners(course.reach(paper.scale))),)
    near = Nearest(shapes, shapely.STRtree(shapes))
    rows = lines_in(f"({course.flight.id}, down from {landing.above})", NAME)
    return _write_rows(paper, near, 0, course, rows)


def _rows(said: Sequence[str], flight: FlightBuilt) -> list[str]:
    """The rows of what is said of a flight: one for each text, more for a name wider than NAME."""
    names = (flight.id, "", flight.to_level or "")
    rows: list[str] = []
    for each, name in zip(said, names, strict=False):
        wide = most_width(name, SMALL) > NAME
        rows += lines_in(each.replace("to ", "to\u00a0", 1), NAME) if wide else [each]
    return rows


def _said(scene: Scene, flight: FlightBuilt) -> list[str]:
    """What is said of a flight: its name and how it goes down, how steep, and where to."""
    deck = scene.subject.deck
    said = [
        f"{flight.id}: down, {flight.risers} riser{'s' if flight.risers > 1 else ''}",
        f"rise {deck.tape(flight.rise)}, going {deck.tape(flight.going)}",
    ]
    return said if flight.to_level is None else [*said, f"to {flight.to_level}"]


def _upon(paper: Paper, course: Course, name: str) -> Iterator[Words]:
    """Places on a flight for its name: beside its arrow, then along it, then round its middle."""
    places = [course.at(side, course.reach(paper.scale) * part) for part in PARTS for side in SIDES]
    for at in places:
        yield beside(paper.scale, Aside(at, (0.0, 1.0), -SMALL / 2), Label(name))
    for at in places:
        yield replace(along(paper.scale, at, course.down, 0.0, name), layer="words")
    middle = Aside(course.at(0.5, course.flight.total_going / 2), course.down, 0.0)
    yield from around(paper.scale, middle, Label(name))


def _write_rows(paper: Paper, near: Nearest, i: int, course: Course, rows: list[str]) -> bool:
    """Write rows of words beyond a flight's foot or beside it; return whether they were written.

    The longest row is used to find a place for all of them; a line leads to them where they are far
    off. Nothing is written where every place would cover other words or a rail.
    """
    scale = paper.scale
    foot = Aside(course.at(0.5, course.reach(scale)), course.down, CLEAR)
    best: list[Words] = []
    least = math.inf
    for j, lead in enumerate(around(scale, foot, Label(max(rows, key=len)))):
        if j * LATER >= least or (j and paper.looked >= MOST):
            break
        paper.looked += 1
        block = _block(scale, lead, course, rows)
        cost = sum(paper.cost(each) for each in block) + j * LATER
        if cost >= least or not all(near.is_own(i, each, scale) for each in block):
            continue
        leader = _leader(scale, near.shapes[i], block)
        cost += paper.cost_along(leader) if leader else 0
        if cost < least:
            best, least = block, cost
    if least >= RAIL:
        return False
    for words in best:
        paper.draw(words)
    paper.fill(_around(scale, best))
    _lead(paper, near.shapes[i], best)
    return True


def _around(scale: Scale, block: list[Words]) -> Sequence[Point]:
    """The rectangle that rows of words take up, with room around it.

    The room keeps words beside or below from being read as part of these rows.
    """
    return extent_of(block, scale).grown(scale.of_paper(APART)).corners


def _lead(paper: Paper, shape: shapely.Polygon, block: list[Words]) -> None:
    """Draw the line from words to their flight, where they need one."""
    leader = _leader(paper.scale, shape, block)
    if leader:
        paper.draw(Stroke("dimension", leader, leads_to=block[0]), LEADER)


def _block(scale: Scale, lead: Words, course: Course, rows: list[str]) -> list[Words]:
    """Rows of words, one below the other from the place found for them.

    They are lifted by their depth where that place lies above the flight, and by half of it beside
    the flight.
    """
    deep = ROW * (len(rows) - 1)
    rise = deep / 2 + max(-1.0, min(1.0, 3 * course.down[1])) * deep / 2
    x, y = lead.at
    return [
        Words("words", (x, y + scale.of_paper(rise - k * ROW)), row, SMALL, lead.anchor)
        for k, row in enumerate(rows)
    ]


def _leader(scale: Scale, shape: shapely.Polygon, block: list[Words]) -> tuple[Point, Point] | None:
    """The line from words into their flight; None where they are as near as was wanted."""
    words = extent_of(block, scale).corners
    place = shapely.Polygon(words)
    if place.distance(shape) * scale.per_unit <= CLEAR * math.sqrt(2) + FAR:
        return None
    inner = shape.buffer(-scale.of_paper(INTO))
    ends = shapely.shortest_line(shape if inner.is_empty else inner, place)
    start, _ = points_of(ends)
    return start, nearest(words, start)
