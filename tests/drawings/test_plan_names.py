"""The plan: what a name stands beside is what it names."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
import shapely

from service.drawings.marks import Words, width_of
from service.drawings.parts import Subject, View
from service.drawings.plans.flights import Course, courses_of
from service.drawings.plans.openings import placed_openings
from service.drawings.plans.scene import scenes_of
from tests.bench.decks import flights
from tests.cases.test_cases import FILES, request_of
from tests.drawings.plans import subject_of, views_of

INCH_KIT = "picket-glass-surface-in"


def case(name: str) -> Subject:
    """A worked case of a flight."""
    (path,) = (each for each in FILES if each.parent.name == "flights" and each.stem == name)
    return subject_of(request_of(json.loads(path.read_text("utf-8"))))


def two_on_one_side(apart: int) -> Subject:
    """Two flights of 36 in off one edge, from 40 and from `apart` past the end of the first."""
    openings = [
        {"id": name, "edge": 0, "from": start, "width": 36, "use": "stair"}
        for name, start in (("left", 40), ("right", 76 + apart))
    ]
    stairs = [
        {
            **{"id": name, "opening": f"main/{name}", "rise": 49, "risers": 7, "going": 10},
            **{"nosing": 1, "guards": ["left", "right"], "height": 36},
        }
        for name in ("left", "right")
    ]
    outline = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    level = {"id": "main", "outline": outline, "drop": 49, "openings": openings}
    kit = {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "picket"}}
    return subject_of({**kit, "levels": [level], "stairs": stairs})


def drawn(view: View) -> Iterator[Words]:
    """The words of a plan without those beside it."""
    assert view.heart is not None
    (x0, y0), (x1, y1) = view.heart
    for mark in view.marks:
        if isinstance(mark, Words) and x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1:
            yield mark


def room_of(mark: Words, per_unit: float) -> shapely.Polygon:
    """What words take up from their line to the tops of their capitals."""
    width, rise = width_of(mark.text, mark.size) / per_unit, mark.size / per_unit
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    (x, y) = mark.at
    level = shapely.box(x + start, y, x + start + width, y + rise)
    return shapely.affinity.rotate(level, mark.turn, origin=(x, y))


def shape_of(course: Course) -> shapely.Polygon:
    """A flight's treads, from the deck's edge to its lowest nosing."""
    foot = max(course.run, 1.0)
    return shapely.Polygon([*course.head, course.at(1.0, foot), course.at(0.0, foot)])


@pytest.mark.parametrize(
    ("subject", "told"),
    [
        pytest.param(case("two_side_by_side"), 2, id="side by side"),
        pytest.param(case("one_over_another"), 1, id="of two levels"),
        pytest.param(two_on_one_side(12), 2, id="a foot apart"),
        pytest.param(two_on_one_side(48), 2, id="four feet apart"),
        pytest.param(two_on_one_side(90), 2, id="far apart"),
        pytest.param(flights(2, 7), 2, id="long names"),
        pytest.param(flights(5, 7), 5, id="five in a row"),
    ],
)
def test_a_flights_words_are_nearest_to_their_own_flight(subject: object, told: int) -> None:
    """Its text, or its id alone, of each flight of a level, stands once and nearer to its own
    treads than to all others."""
    made = subject if isinstance(subject, Subject) else subject_of(subject)  # type: ignore[arg-type]
    for scene, view in zip(scenes_of(made), views_of(made), strict=True):
        courses = courses_of(scene, placed_openings(scene))
        assert len(courses) in (0, told)
        for own in courses:
            name = own.flight.id
            texts = (name, f"{name}: down, {own.flight.risers} risers")
            (said,) = [mark for mark in drawn(view) if mark.text in texts and mark.layer == "words"]
            room = room_of(said, view.scale.per_unit)
            near = sorted(courses, key=lambda course: shape_of(course).distance(room))
            assert near[0] is own
