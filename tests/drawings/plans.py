"""Helpers to look into plans: views drawn from documents, and their marks by kind."""

from __future__ import annotations

from service.drawings.marks import Mark, Stroke, Words
from service.drawings.parts import Subject, View
from service.drawings.plans.sheet import draw_plan
from service.drawings.sheets import head
from tests.drawings.subjects import Json, subject_of


def all_views_of(subject: Subject) -> list[View]:
    """The plan of each level, followed by those of its parts, which are in no model."""
    pages = draw_plan(subject, head(subject, "Plan"))
    return [placed.view for page in pages for placed in page.views]


def views_of(subject: Subject) -> list[View]:
    """The plan of each level."""
    return [view for view in all_views_of(subject) if view.in_model != ()]


def wholes_of(subject: Subject) -> list[View]:
    """The drawing of each level that has all its words.

    Where a level is drawn in parts, it is the drawing that they are cut from.
    """
    return [whole(view) for view in views_of(subject)]


def whole(view: View) -> View:
    """The drawing that a level's parts are cut from, or the view itself where it has no parts."""
    return view if view.in_model is None else view.in_model[0]


def plan_of(document: Json) -> View:
    """The plan of a document's first level."""
    return views_of(subject_of(document))[0]


def strokes(view: View, layer: str) -> list[Stroke]:
    """The lines of one layer in the drawing itself, without those of the key and the scale bar
    beside it."""
    (x0, y0), (x1, y1) = view.drawing_box or view.box
    return [
        mark
        for mark in view.marks
        if isinstance(mark, Stroke)
        and mark.layer == layer
        and all(x0 - 1e-6 <= x <= x1 + 1e-6 and y0 - 1e-6 <= y <= y1 + 1e-6 for x, y in mark.points)
    ]


def texts(view: View) -> list[str]:
    """Everything that is written on a view."""
    return [mark.text for mark in view.marks if isinstance(mark, Words)]


def words(view: View, text: str) -> Words:
    """The words of a text that stands at one place only."""
    (found,) = [mark for mark in view.marks if isinstance(mark, Words) and mark.text == text]
    return found


def numbers_of(mark: Mark) -> list[float]:
    """Every coordinate of a mark."""
    if isinstance(mark, Stroke):
        return [each for point in mark.points for each in point]
    return list(mark.at)
