"""Wire: the forms of a figure's cases, which give another value or none (contract, section 5)."""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from marshmallow import ValidationError, validates_schema

from service.core import limits
from service.core.records.figures import COUNT_MEASURES, LENGTH_MEASURES, WORD_MEASURES, FigureKind
from service.wire.forms.lengths import Length
from service.wire.forms.nested import HERE, Record
from service.wire.forms.strict import Choice, Fault, Number, Strict, Text, is_number

BASES: Final = ("seen", "near", "digest", "memory")
SUPPORT: Final = (
    "How well the figure is supported: `seen` in the text of this edition, `near` in a "
    "neighbouring one, in a `digest`, or from `memory`, which each finding then says."
)

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


class CaseForm(Record):
    """A case of a figure. `above` is beyond a value, `from` at it or beyond."""

    constraint = _suits()

    @validates_schema(skip_on_field_errors=False, pass_original=True)
    def one_test(self, _: Any, original: Any, **__: Any) -> None:
        """Check that the case has exactly one test, of the kind that suits its measure."""
        if isinstance(original, dict) and not _fits(original):
            raise ValidationError({HERE: [Fault("not_one_form", _ACCEPTS)]})


def _case(**value: Strict) -> dict[str, Any]:
    """The members of a case. value: those of its value, which depend on the kind of figure."""
    other = "as the code prints it in the other unit."
    return {
        "measure": Choice(
            "Measure",
            "What decides: a drop, the `height` of the guard, the `going` or the number of "
            "`risers` of the flight, how many `occupants` the deck is for and of what `occupancy` "
            "it is, the `infill` there, and whether people can walk `beneath`.",
            *_MEASURES,
        ),
        "above": Length(
            "Above",
            "Beyond this it holds: a length in the code's unit, or a number.",
            "from 0",
            required=False,
        ),
        "above_twin": Length("Above, twin", f"`above` {other}", "from 0", required=False),
        "from_": Length(
            "From",
            "At this or beyond it holds: a length in the code's unit, or a number.",
            "from 0",
            name="from",
            required=False,
        ),
        "from_twin": Length("From, twin", f"`from` {other}", "from 0", required=False),
        "is_": Choice("Is", "Where it is this, it holds.", *_WORDS, name="is", required=False),
        **value,
        "cite": Text("Cite", "Section and edition.", example="IRC 2021 R312.1.3, exception 1"),
        "basis": Choice("Basis", "Left out, that of the figure.", *BASES, required=False),
    }


_VALUE: Final = "The figure there. Left out, there is none."
WhenForm = CaseForm.named(
    "WhenForm",
    "Where something is so, `value` holds instead. The first case that applies counts.",
    _case(
        value=Length(
            "Value",
            "The figure there, in the code's unit. Left out, there is none.",
            required=False,
        ),
        twin=Length(
            "Value, twin", "`value` as the code prints it in the other unit.", required=False
        ),
    ),
)
CountWhenForm = CaseForm.named(
    "CountWhenForm",
    "Where something is so, another count or angle holds.",
    _case(
        value=Number(
            "Value",
            f"{_VALUE} Degrees, a count or a factor.",
            above=0,
            most=max(limits.RISERS, 90),
            example=3,
            required=False,
        )
    ),
)


@cache
def words_when(name: str, words: tuple[str, ...]) -> type[Record]:
    """The form of a case of the figure `name`, whose value is one of `words`."""
    title = name.title().replace("_", "")
    about = "Where something is so, another of the words holds."
    members = _case(value=Choice("Value", _VALUE, *words, required=False))
    return CaseForm.named(f"{title}WhenForm", about, members)


@cache
def text_when() -> type[Record]:
    """The form of a case of a figure whose value is text."""
    about = "Where something is so, another text holds."
    members = _case(
        value=Text("Value", _VALUE, example="a slope of 1 in 50 at most", required=False)
    )
    return CaseForm.named("TextWhenForm", about, members)


LOAD_EXAMPLES: Final[dict[FigureKind, float]] = {"force": 200, "line_load": 50, "pressure": 25}
LOAD_WORDS: Final[dict[FigureKind, tuple[str, str]]] = {
    "force": ("lbf", "N"),
    "line_load": ("lbf to a foot", "kN to a metre"),
    "pressure": ("lbf to a square foot", "kPa"),
}
"""Units of each kind of load, in a document in inches and in one in millimetres."""


def load_number(
    kind: FigureKind, title: str, about: str, of: str = "code document", **more: Any
) -> Number:
    """The field of a load. of: names the document whose unit decides the unit of the load."""
    units = _load_unit(*LOAD_WORDS[kind], of)
    told = f"{about} I{units[1:]}.".strip()
    return Number(title, told, above=0, unit=units, example=LOAD_EXAMPLES[kind], **more)


def load_twin(kind: FigureKind, title: str, about: str) -> Number:
    """The field of a load as a code prints it in the other unit."""
    inch, metric = LOAD_WORDS[kind]
    units = _load_unit(metric, inch, "code document")
    return Number(title, about, above=0, unit=units, example=0.74, required=False)


def _load_unit(inch: str, metric: str, of: str) -> str:
    """Words for the unit of a load, by the unit of the document `of`."""
    return f"in {inch} where the {of} is in inches, in {metric} where it is in millimetres"


@cache
def load_when(kind: FigureKind) -> type[Record]:
    """The form of a case of a figure that is a load."""
    members = _case(
        value=load_number(kind, "Value", _VALUE, required=False),
        twin=load_twin(kind, "Value, twin", "`value` as the code prints it in the other unit."),
    )
    title = kind.title().replace("_", "")
    return CaseForm.named(f"{title}WhenForm", "Where something is so, another load holds.", members)
