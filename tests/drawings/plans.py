"""Plans to look into: drawn from documents, their marks sorted by kind."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from service.answer import answer_with_records
from service.data.catalogue import load_catalogue
from service.drawings.marks import Mark, Stroke, Words
from service.drawings.parts import Subject, View
from service.drawings.plans.sheet import draw_plan
from service.drawings.sheets import head

Json = dict[str, Any]
ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLES = sorted(
    path.name.removesuffix(".request.json")
    for path in (ROOT / "schema" / "examples").glob("*.request.json")
    if not path.name.startswith("cannot-")
)


@cache
def _catalogue() -> Any:
    return load_catalogue()


def subject_of(document: Json) -> Subject:
    """A document laid out."""
    reply, answered = answer_with_records(document, _catalogue())
    return Subject(reply, answered.deck, answered.kit, answered.layout)


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
    return [view if view.in_model is None else view.in_model[0] for view in views_of(subject)]


def plan_of(document: Json) -> View:
    """The plan of a document's first level."""
    return views_of(subject_of(document))[0]


def request(name: str) -> Json:
    """A published example, as it is sent."""
    path = ROOT / "schema" / "examples" / f"{name}.request.json"
    document: Json = json.loads(path.read_text("utf-8"))
    return document


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
