"""Plans to look into: drawn from documents, their marks sorted by kind."""

from __future__ import annotations

from service.drawings.marks import Mark, Stroke, Words
from service.drawings.parts import Subject, View
from service.drawings.plans.sheet import draw_plan
from service.drawings.sheets import head
from tests.drawings.subjects import Json, subject_of


def all_views_of(subject: Subject) -> list[View]:
    """The plan of each level, and after it those of its parts, which are in no model."""
    pages = draw_plan(subject, head(subject, "Plan"))
    return [placed.view for page in pages for placed in page.views]


def views_of(subject: Subject) -> list[View]:
    """The plan of each level."""
    return [view for view in all_views_of(subject) if view.in_model != ()]


def wholes_of(subject: Subject) -> list[View]:
    """The drawing of each level that has all its words: where it is drawn in parts, that which they
    are cut from."""
    return [whole(view) for view in views_of(subject)]


def whole(view: View) -> View:
    """What a plan of a level is cut from, where it is drawn in parts, else itself."""
    return view if view.in_model is None else view.in_model[0]


def plan_of(document: Json) -> View:
    """The plan of a document's first level."""
    return views_of(subject_of(document))[0]


def strokes(view: View, layer: str) -> list[Stroke]:
    """Lines of one kind, without those of the key beside the plan."""
    return [mark for mark in view.marks if isinstance(mark, Stroke) and mark.layer == layer]


def texts(view: View) -> list[str]:
    """Everything that is written."""
    return [mark.text for mark in view.marks if isinstance(mark, Words)]


def words(view: View, text: str) -> Words:
    """The one place where a text stands."""
    (found,) = [mark for mark in view.marks if isinstance(mark, Words) and mark.text == text]
    return found


def numbers_of(mark: Mark) -> list[float]:
    """Every coordinate of a mark."""
    if isinstance(mark, Stroke):
        return [each for point in mark.points for each in point]
    return list(mark.at)
