"""Wire: the form of the code document and of amendments to one (contract, section 5).

Figures of one kind that may read in the same ways at their limit (`reads`) share a form. A figure
whose value is one of a few words has a form of its own.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from marshmallow import ValidationError, validates_schema

from service.core import limits
from service.core.records.figures import FIGURES, LOAD_KINDS, WORDS, FigureKind, Reads
from service.wire.forms.lengths import Length
from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.strict import Choice, Count, Fault, Name, Number, Strict, Text
from service.wire.forms.when import (
    BASES,
    SUPPORT,
    CountWhenForm,
    WhenForm,
    load_number,
    load_twin,
    load_when,
    text_when,
    words_when,
)

_KINDS: Final[dict[FigureKind, str]] = {
    "length": "a length",
    "degrees": "an angle",
    "count": "a count",
    "number": "a factor",
    "text": "text",
    "force": "a force",
    "line_load": "a load along a line",
    "pressure": "a load all over",
}
_TWIN: Final = (
    "The value that the code prints in the other unit; it is used there, not a conversion."
)
WORDED: Final = "a slope of 1 in 48 at most"
"""An example of a figure whose value is text."""
NO_VALUE: Final = "a value, or else the cases in which it has one (when)"


class FigureForm(Record):
    """A figure, with a value or with cases that have one."""

    constraint = {"anyOf": [{"required": ["value"]}, {"required": ["when"]}]}

    @validates_schema(skip_on_field_errors=False, pass_original=True)
    def some_value(self, _: Any, original: Any, **__: Any) -> None:
        """Check that the figure has a value or cases."""
        if isinstance(original, dict) and "value" not in original and "when" not in original:
            raise ValidationError({"value": [Fault("missing_member", NO_VALUE)]})


def _reads(reads: tuple[Reads, ...]) -> Choice:
    about = (
        "How the text reads at its figure: `more_than` 30 means that 30 itself is not over; "
        "`binds` compares nothing."
    )
    return Choice("Reads", about, *reads, default=reads[0])


def _supported(reads: tuple[Reads, ...], when: type[Record]) -> dict[str, Strict]:
    cases = "Where another value holds, or none; the first case that applies counts."
    return {
        "when": Items(Inner(when, "When"), "When", cases, most=limits.KIT_LIST, required=False),
        "reads": _reads(reads),
        "cite": Text("Cite", "Section and edition.", example="IRC 2021 R312.1.2"),
        "basis": Choice("Basis", SUPPORT, *BASES, default="seen"),
    }


def _length_figure() -> dict[str, Strict]:
    value = "In the code's unit. Left out, the figure holds in its cases alone."
    return {
        "value": Length("Value", value, required=False),
        "twin": Length("Twin", _TWIN, required=False),
    }


def _load_figure(kind: FigureKind) -> dict[str, Strict]:
    return {
        "value": load_number(kind, "Value", "", required=False),
        "twin": load_twin(kind, "Twin", _TWIN),
    }


def _plain_number(kind: FigureKind, title: str, about: str, **more: Any) -> Strict:
    """The field of degrees, a count or a factor, which are the same in every unit."""
    if kind == "degrees":
        return Number(
            title, f"{about} In degrees.", above=0, most=90, example=42, unit="in degrees", **more
        )
    if kind == "number":
        return Number(title, f"{about} Without a unit.", above=0, most=100, example=1.5, **more)
    return Count(title, about, least=1, most=limits.RISERS, **more)


def _value(kind: FigureKind) -> tuple[dict[str, Strict], type[Record]]:
    """The fields of the value (and twin) of a figure of a kind, and the form of its cases."""
    if kind == "length":
        return _length_figure(), WhenForm
    if kind == "text":
        text = Text("Value", "In a few words.", example=WORDED, required=False)
        return {"value": text}, text_when()
    if kind in LOAD_KINDS:
        return _load_figure(kind), load_when(kind)
    about = "The figure. Left out, it holds in its cases alone."
    return {"value": _plain_number(kind, "Value", about, required=False)}, CountWhenForm


@cache
def _shared_form(kind: FigureKind, reads: tuple[Reads, ...]) -> type[Record]:
    """The form shared by figures of a kind that may read in these ways, such as
    LengthAtLeastFigure."""
    value, when = _value(kind)
    read = "" if reads == ("binds",) else f"_{reads[0]}"
    # A figure that reads in one way only is not one that may read in two, so the names differ.
    only = "_only" if read and len(reads) == 1 else ""
    about = f"A figure that is {_KINDS[kind]}"
    about += f"; its text reads `{reads[0]}` unless it says otherwise." if len(reads) > 1 else "."
    name = f"{_joined(f'{kind}{read}{only}')}FigureForm"
    return FigureForm.named(name, about, {**value, **_supported(reads, when)})


def _words_form(name: str) -> type[Record]:
    about = "In the words of the list. Left out, the figure holds in its cases alone."
    value = Choice("Value", about, *WORDS[name], required=False)
    row, when = FIGURES[name], words_when(name, WORDS[name])
    members = {"value": value, **_supported(row.reads, when)}
    return FigureForm.named(f"{_joined(name)}FigureForm", f"A figure: {row.what}.", members)


def _figure_form(name: str) -> type[Record]:
    row = FIGURES[name]
    return _words_form(name) if row.kind == "words" else _shared_form(row.kind, row.reads)


def _joined(name: str) -> str:
    return name.title().replace("_", "")


def _sentence(name: str) -> str:
    return FIGURES[name].what.capitalize() + "."


def _title(name: str) -> str:
    return name.capitalize().replace("_", " ")


def _amendment(name: str) -> Strict:
    about = f"{_sentence(name)[:-1]}, as the local authority has it."
    kind = FIGURES[name].kind
    if kind == "length":
        return Length(_title(name), about, required=False)
    if kind == "words":
        return Choice(_title(name), about, *WORDS[name], required=False)
    if kind == "text":
        return Text(_title(name), about, example=WORDED, required=False)
    if kind in LOAD_KINDS:
        return load_number(kind, _title(name), about, of="deck document", required=False)
    return _plain_number(kind, _title(name), about, required=False)


FiguresForm = Record.named(
    "FiguresForm",
    "The figures of a code, by name. The vocabulary is closed.",
    {
        name: Inner(_figure_form(name), _title(name), _sentence(name), required=False)
        for name in FIGURES
    },
)
AmendmentsForm = Record.named(
    "AmendmentsForm",
    "Figures that the local authority has changed, in the deck document's unit. An amended figure "
    "takes the place of the published one with all its conditions, and findings say so.",
    {name: _amendment(name) for name in FIGURES},
)


class CodeForm(Record):
    """A building code's published figures as data, one document for each code and edition.

    Those that are loaded are whole examples: `/v1/codes/{id}`.
    """

    id = Name("Id", "Names the code and its edition.", example="us-irc-2021")
    title = Text("Title", "The code's own title.", example="International Residential Code")
    edition = Text("Edition", "Which edition, and the amendments taken in.", example="2021")
    applies_to = Text(
        "Applies to",
        "What it is a code for.",
        required=False,
        example="one- and two-family dwellings",
    )
    unit = Choice("Unit", "Unit of every figure here but the twins.", "in", "mm")
    figures = Inner(FiguresForm, "Figures", "Its figures, by name.")
