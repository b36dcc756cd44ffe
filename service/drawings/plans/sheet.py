"""Drawings: the plan, a view of each level: what stands where, and what a tape says of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import extent_of
from service.drawings.ground import outline_of
from service.drawings.marks import extent
from service.drawings.pages import room, set_out
from service.drawings.parts import Heading, Page, Subject, View
from service.drawings.plans.flags import Flagged, concerning, draw_flags, flagged_of, places_of
from service.drawings.plans.flight_names import name_flights
from service.drawings.plans.flights import Course, courses_of, draw_flight
from service.drawings.plans.lengths import measure_edges
from service.drawings.plans.lines import Lines
from service.drawings.plans.measures import measure_runs
from service.drawings.plans.openings import (
    PlacedOpening,
    draw_openings,
    name_openings,
    placed_openings,
)
from service.drawings.plans.panel import COLUMN, PanelRow, draw_rows, flow, least_height, rows_of
from service.drawings.plans.paper import Paper
from service.drawings.plans.railing import draw_railing, name_bays, name_posts
from service.drawings.plans.scene import Scene, scenes_of
from service.drawings.plans.surface import draw_ground, name_ground
from service.drawings.plans.tracks import Track, tracks_of
from service.drawings.scales import coarser, fit

AROUND: Final = 10.0
"""Room in mm that dimensions and names take on each side at the least."""
TRIES: Final = 16
"""Scales that are tried with all that stands beside a plan; beyond them its title and bar must do:
words reach no more than 60 mm from what they name, for which there is always room then."""
GAP: Final = 5.0
"""In mm, between a plan and what stands beside it."""


def draw_plan(subject: Subject, heading: Heading) -> tuple[Page, ...]:
    """A plan of every level, a level a page."""
    told = flagged_of(subject.reply)
    return set_out([_view(scene, told) for scene in scenes_of(subject)], heading)


def _view(scene: Scene, told: list[Flagged]) -> View:
    """The plan of a level at the largest scale at which it fits its page, words and all."""
    tracks, openings = tracks_of(scene), placed_openings(scene)
    courses = courses_of(scene, openings)
    places = places_of(scene, tracks, openings, courses)
    concerns = concerning(told, scene, places)
    unit = scene.subject.deck.unit
    wide, tall = room(unit)
    (x0, y0), (x1, y1) = extent(list(_reach(scene, courses)))
    scale = fit((x1 - x0, y1 - y0), (wide - 2 * AROUND, tall - 2 * AROUND), unit)
    tries = looked = 0
    while True:
        paper = Paper(scale, ((x0 + x1) / 2, (y0 + y1) / 2), looked)
        short = _measure(paper, scene, tracks, openings, courses)
        if _fits(paper, (wide, tall)):
            _name(paper, scene, tracks, openings)
            draw_flags(paper, concerns, places)
            rows = rows_of(scene, short, concerns, paper.left_out)
            placed = _beside(paper, rows if tries < TRIES else rows[:2], (wide, tall))
            if placed is not None:
                return _framed(scene, paper, *placed, (wide, tall))
        scale = coarser(scale)
        tries, looked = tries + 1, paper.looked


def _measure(
    paper: Paper,
    scene: Scene,
    tracks: dict[str, Track],
    openings: dict[str, PlacedOpening],
    courses: list[Course],
) -> list[str]:
    """What is there, and what it measures. Yields what is said of runs, flights and edges that have
    no room for it."""
    draw_ground(paper, scene)
    for course in courses:
        draw_flight(paper, course)
    draw_railing(paper, scene, tracks)
    draw_openings(paper, scene, openings)
    lines = Lines(paper.scale)
    taken, told = measure_runs(paper, scene, tracks, lines)
    told += measure_edges(paper, scene, taken, courses, lines)
    told += name_flights(paper, scene, courses)
    for leader in lines.leaders():
        paper.draw(leader)
    return told


def _name(
    paper: Paper, scene: Scene, tracks: dict[str, Track], openings: dict[str, PlacedOpening]
) -> None:
    """What everything else is called."""
    name_openings(paper, scene, openings)
    name_posts(paper, scene, tracks)
    name_bays(paper, scene, tracks)
    name_ground(paper, scene)


def _fits(paper: Paper, space: tuple[float, float]) -> bool:
    """Whether what is drawn so far is no larger than a page has room for."""
    (x0, y0), (x1, y1) = extent_of(paper.marks, paper.scale)
    k = paper.scale.per_unit
    return (x1 - x0) * k <= space[0] and (y1 - y0) * k <= space[1]


def _reach(scene: Scene, courses: Sequence[Course]) -> list[Point]:
    """Points around all that must be seen."""
    points = list(outline_of(tuple(scene.edges.values())))
    points += [corner for post in scene.posts.values() for corner in post.base]
    return points + [course.at(side, course.run) for course in courses for side in (0.0, 1.0)]


def _beside(
    paper: Paper, rows: list[PanelRow], space: tuple[float, float]
) -> tuple[list[list[PanelRow]], Point] | None:
    """Rows in columns to the right of a drawing, else below it, and their upper left corner in mm
    from that of the page's room; None where neither has room."""
    (wide, tall), k = space, paper.scale.per_unit
    (x0, y0), (x1, y1) = extent_of(paper.marks, paper.scale)
    width, height = (x1 - x0) * k, (y1 - y0) * k
    columns = flow(rows, tall)
    left = wide - len(columns) * COLUMN
    if width + GAP <= left and height <= tall:
        return columns, (left, 0.0)
    count = int(wide // COLUMN)
    deep = least_height(rows, count)
    if width <= wide and height + GAP + deep <= tall:
        return flow(rows, deep), (0.0, tall - deep)
    return None


def _framed(
    scene: Scene,
    paper: Paper,
    columns: list[list[PanelRow]],
    corner: Point,
    space: tuple[float, float],
) -> View:
    """A view as large as the page's room, the drawing in the middle of what its rows leave."""
    scale = paper.scale
    wide, tall = space
    heart = extent_of(paper.marks, scale)
    (x0, y0), (x1, y1) = heart
    across, down = corner[0] or wide, corner[1] or tall
    left = (x0 + x1) / 2 - scale.of_paper(across / 2)
    top = (y0 + y1) / 2 + scale.of_paper(down / 2)
    place = left + scale.of_paper(corner[0]), top - scale.of_paper(corner[1])
    marks = (*paper.marks, *draw_rows(columns, scale, place))
    low, high = (left, top - scale.of_paper(tall)), (left + scale.of_paper(wide), top)
    return View(f"Plan of {scene.level.id}", scale, low, high, marks, heart)
