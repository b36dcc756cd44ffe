"""Wire: the forms of a figure's cases, which give another value or none (contract, section 5)."""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from service.core import limits
from service.core.records.figures import (
    COUNT_MEASURES,
    FIGURES,
    LENGTH_MEASURES,
    WORD_MEASURES,
    FigureKind,
)
from service.wire.forms.lengths import Length
from service.wire.forms.nested import HERE, Record
from service.wire.forms.strict import Choice, Fault, Number, Strict, Text, is_number
from service.wire.forms.values import twin_field, value_field

BASES: Final = ("seen", "near", "digest", "memory")
SUPPORT: Final = (
    "How well the figure is supported: `seen` in the text of this edition, `near` in a "
    "neighbouring one, in a `digest`, or from `memory`, which each finding then says."
)

_PLAIN: Final[frozenset[FigureKind]] = frozenset({"degrees", "count", "number"})
"""Kinds of figure whose values are numbers without twins."""
_TESTS: Final = ("above", "from", "is")
_NUMBER: Final = {"type": "number", "minimum": 0, "maximum": limits.NUMBER}
_MEASURES: Final = (*LENGTH_MEASURES, *COUNT_MEASURES, *WORD_MEASURES)
_WORDS: Final = tuple(word for words in WORD_MEASURES.values() for word in words)
_ACCEPTS: Final = (
    "exactly one of above, from and is: above or from for a drop, a height or a going (lengths) "
    "and for risers or occupants (numbers); is for "
    + "; ".join(f"{name} ({' or '.join(words)})" for name, words in WORD_MEASURES.items())
)


def _fits(case: dict[str, Any]) -> bool:
    """Whether a case has exactly one test, of the kind that suits its measure."""
    given = [name for name in _TESTS if name in case]
    if len(given) != 1:
        return False
    measure, (test,) = case.get("measure"), given
    if isinstance(measure, str) and measure in WORD_MEASURES:
        return test == "is" and case["is"] in WORD_MEASURES[measure]
    if measure in COUNT_MEASURES:
        return test != "is" and is_number(case[test])
    return test != "is"


def _suits() -> dict[str, Any]:
    """The JSON Schema of the same: exactly one test, of the kind that suits the measure."""
    no_word: dict[str, Any] = {"not": {"required": ["is"]}}
    numbers = {"properties": {"above": _NUMBER, "from": _NUMBER}, **no_word}
    asked: list[tuple[tuple[str, ...], dict[str, Any]]] = [
        (tuple(LENGTH_MEASURES), no_word),
        (tuple(COUNT_MEASURES), numbers),
        *(
            ((name,), {"properties": {"is": {"enum": list(words)}}, "required": ["is"]})
            for name, words in WORD_MEASURES.items()
        ),
    ]
    conditions = [
        {"if": {"properties": {"measure": {"enum": list(names)}}}, "then": asks}
        for names, asks in asked
    ]
    return {"allOf": [{"oneOf": [{"required": [name]} for name in _TESTS]}, *conditions]}


def camel(name: str) -> str:
    """A name as part of a form's name.

    >>> camel("line_load")
    'LineLoad'
    """
    return name.title().replace("_", "")


class CaseForm(Record):
    """A case of a figure. `above` is beyond a value, `from` at it or beyond."""

    constraint = _suits()

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """A fault where the case does not have exactly one test, or one that its measure lacks."""
        return {} if _fits(sent) else {HERE: Fault("not_one_form", _ACCEPTS)}


_HOLDS: Final = {
    "length": "`value` holds instead. The first case that applies counts.",
    "words": "another of the words holds.",
    "text": "another text holds.",
    "count": "another count or angle holds.",
}
"""How the description of a case ends, by the kind of figure; loads are not listed."""


def case_form(name: str) -> type[Record]:
    """The form of a case of the figure `name`, shared by figures of alike values."""
    kind = FIGURES[name].kind
    return _case_form(name if kind == "words" else "", "count" if kind in _PLAIN else kind)


@cache
def _case_form(name: str, kind: FigureKind) -> type[Record]:
    """The same. name: empty where all figures of the kind share a form."""
    about = "The figure there{}. Left out, there is none."
    about = about.format(", in the code's unit" if kind == "length" else "")
    value: Strict
    if kind == "count":
        about += " Degrees, a count or a factor."
        most = max(limits.RISERS, 90)
        value = Number(about, above=0, most=most, example=3, required=False)
    else:
        example = {"example": "a slope of 1 in 50 at most"} if kind == "text" else {}
        value = value_field(name, kind, about, **example)
    of = "" if kind == "length" else camel(name or kind)
    holds = _HOLDS.get(kind, "another load holds.")
    return CaseForm.named(f"{of}WhenForm", f"Where something is so, {holds}", _members(kind, value))


def _members(kind: FigureKind, value: Strict) -> dict[str, Any]:
    """The members of a case. value: the field of its value."""
    other = "as the code prints it in the other unit."
    return {
        "measure": Choice(
            "What decides: a drop, the `height` of the guard, the `going` or the number of "
            "`risers` of the flight, how many `occupants` the deck is for and of what `occupancy` "
            "it is, the `infill` there, and whether people can walk `beneath`.",
            *_MEASURES,
        ),
        "above": Length(
            "Beyond this it holds: a length in the code's unit, or a number.",
            "from 0",
            required=False,
        ),
        "above_twin": Length(f"`above` {other}", "from 0", title="Above, twin", required=False),
        "from_": Length(
            "At this or beyond it holds: a length in the code's unit, or a number.",
            "from 0",
            name="from",
            required=False,
        ),
        "from_twin": Length(f"`from` {other}", "from 0", title="From, twin", required=False),
        "is_": Choice("Where it is this, it holds.", *_WORDS, name="is", required=False),
        "value": value,
        **twin_field(kind, f"`value` {other}", title="Value, twin"),
        "cite": Text("Section and edition.", example="IRC 2021 R312.1.3, exception 1"),
        "basis": Choice("Left out, that of the figure.", *BASES, required=False),
    }
