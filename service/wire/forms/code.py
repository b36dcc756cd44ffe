"""Wire: the form of the code document and of amendments to one (contract, section 5).

Figures of one kind that may read in the same ways at their limit (`reads`) share a form. A figure
whose value is one of a few words has a form of its own.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

from service.core import limits
from service.core.records.figures import FIGURES, FigureKind, Reads
from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.strict import Choice, Fault, Name, Strict, Text
from service.wire.forms.values import twin_field, value_field
from service.wire.forms.when import BASES, SUPPORT, camel, case_form

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
_IN_CASES: Final = "Left out, the figure holds in its cases alone."
_VALUES: Final[dict[FigureKind, str]] = {
    "length": f"In the code's unit. {_IN_CASES}",
    "words": f"In the words of the list. {_IN_CASES}",
    "text": "In a few words.",
    **dict.fromkeys(("force", "line_load", "pressure"), ""),
    **dict.fromkeys(
        ("degrees", "count", "number"), "The figure. Left out, it holds in its cases alone."
    ),
}
"""The description of a figure's value by its kind; that of a load has its unit added."""
_TWIN: Final = (
    "The value that the code prints in the other unit; it is used there, not a conversion."
)


class FigureForm(Record):
    """A figure, with a value or with cases that have one."""

    constraint = {"anyOf": [{"required": ["value"]}, {"required": ["when"]}]}

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """A fault where the figure has neither a value nor cases."""
        if "value" in sent or "when" in sent:
            return {}
        accepts = "a value, or else the cases in which it has one (when)"
        return {"value": Fault("missing_member", accepts)}


def _figure_form(name: str) -> type[Record]:
    """The form of the figure `name`."""
    row = FIGURES[name]
    if row.kind == "words":
        about = f"A figure: {row.what}."
        return FigureForm.named(f"{camel(name)}FigureForm", about, _members(name))
    return _shared_form(row.kind, row.reads)


@cache
def _shared_form(kind: FigureKind, reads: tuple[Reads, ...]) -> type[Record]:
    """The form shared by figures of a kind that may read in these ways, such as
    LengthAtLeastFigure."""
    read = "" if reads == ("binds",) else f"_{reads[0]}"
    # A figure that reads in one way only is not one that may read in two, so the names differ.
    only = "_only" if read and len(reads) == 1 else ""
    about = f"A figure that is {_KINDS[kind]}"
    about += f"; its text reads `{reads[0]}` unless it says otherwise." if len(reads) > 1 else "."
    alike = next(name for name, row in FIGURES.items() if (row.kind, row.reads) == (kind, reads))
    return FigureForm.named(f"{camel(f'{kind}{read}{only}')}FigureForm", about, _members(alike))


def _members(name: str) -> dict[str, Strict]:
    """The members of the figure `name`."""
    row = FIGURES[name]
    when = Inner(case_form(name), title="When")
    cases = "Where another value holds, or none; the first case that applies counts."
    ways = (
        "How the text reads at its figure: `more_than` 30 means that 30 itself is not over; "
        "`binds` compares nothing."
    )
    return {
        "value": value_field(name, row.kind, _VALUES[row.kind]),
        **twin_field(row.kind, _TWIN),
        "when": Items(when, cases, most=limits.KIT_LIST, required=False),
        "reads": Choice(ways, *row.reads, default=row.reads[0]),
        "cite": Text("Section and edition.", example="IRC 2021 R312.1.2"),
        "basis": Choice(SUPPORT, *BASES, default="seen"),
    }


def _amendment(name: str) -> Strict:
    row = FIGURES[name]
    about = f"{row.what.capitalize()}, as the local authority has it."
    return value_field(name, row.kind, about, of="deck document")


FiguresForm = Record.named(
    "FiguresForm",
    "The figures of a code, by name. The vocabulary is closed.",
    {
        name: Inner(_figure_form(name), f"{row.what.capitalize()}.", required=False)
        for name, row in FIGURES.items()
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

    id = Name("Names the code and its edition.", example="us-irc-2021")
    title = Text("The code's own title.", example="International Residential Code")
    edition = Text("Which edition, and the amendments taken in.", example="2021")
    applies_to = Text(
        "What it is a code for.", required=False, example="one- and two-family dwellings"
    )
    unit = Choice("Unit of every figure here but the twins.", "in", "mm")
    figures = Inner(FiguresForm, "Its figures, by name.")
