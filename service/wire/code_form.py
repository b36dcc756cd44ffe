"""Wire: the form of the code document and of amendments to one (contract, section 5).

A form is made for every figure of the closed vocabulary, with the ways in which its text may
read at its limit.
"""

from __future__ import annotations

from typing import Any, Final

from service.core import limits
from service.core.code import FIGURES, LOADS, WORDS, FigureKind, Reads
from service.wire.nested import Inner, Items, Record
from service.wire.strict import Choice, Count, Length, Name, Number, Strict, Text

READS: Final[dict[str, tuple[Reads, ...]]] = {
    "guard_required_drop": ("more_than", "at_least"),
    "guard_drop_reach": ("binds",),
    "guard_height": ("at_least", "more_than"),
    "opening_sphere": ("less_than", "at_most"),
    "geometry_applies_to": ("binds",),
    "guard_height_stair": ("at_least", "more_than"),
    "opening_sphere_stair": ("less_than", "at_most"),
    "stair_triangle_sphere": ("less_than", "at_most"),
    "riser_min": ("at_least", "more_than"),
    "riser_max": ("at_most", "less_than"),
    "riser_uniformity": ("at_most", "less_than"),
    "going_min": ("at_least", "more_than"),
    "going_max": ("at_most", "less_than"),
    "risers_and_going_min": ("at_least", "more_than"),
    "risers_and_going_max": ("at_most", "less_than"),
    "pitch_max": ("at_most", "less_than"),
    "stair_width": ("at_least", "more_than"),
    "handrail_required_risers": ("at_least", "more_than"),
    "handrail_both_sides_width": ("at_least", "more_than"),
    "handrail_height_min": ("at_least", "more_than"),
    "handrail_height_max": ("at_most", "less_than"),
    "strength_method": ("binds",),
    "load_factor": ("binds",),
    "loads_concur": ("binds",),
    "guard_line_load": ("binds",),
    "guard_point_load": ("binds",),
    "guard_vertical_load": ("binds",),
    "infill_point_load": ("binds",),
    "infill_load_side": ("binds",),
    "infill_pressure": ("binds",),
    "handrail_point_load": ("binds",),
    "glass_load_factor": ("binds",),
    "guard_deflection": ("at_most",),
}
"""How each figure's text may read at its limit; the first is meant where none is given."""

BASES: Final = ("seen", "near", "digest", "memory")
LOAD_UNITS: Final[dict[FigureKind, str]] = {
    "force": "In lbf in inch documents, in N in millimetre ones.",
    "line_load": "In lbf to a foot in inch documents, in kN to a metre in millimetre ones.",
    "pressure": "In lbf to a square foot in inch documents, in kPa in millimetre ones.",
}


class WhenForm(Record):
    """Where `measure` is above `above`, `value` holds instead. The first that applies counts."""

    measure = Choice(
        "Measure", "Which drop decides.", "drop", "drop_to_ground", "drop_to_next_level"
    )
    above = Length("Above", "The drop beyond which it holds, in the code's unit.", "from 0")
    above_twin = Length(
        "Above, twin", "`above` as the code prints it in the other unit.", "from 0", required=False
    )
    value = Length("Value", "The figure there, in the code's unit.")
    twin = Length("Value, twin", "`value` as the code prints it in the other unit.", required=False)
    cite = Text("Cite", "Section and edition.")


def _reads(name: str) -> Choice:
    about = (
        "How the text reads at its figure: `more_than` 30 means that 30 itself is not over; "
        "`binds` compares nothing."
    )
    default = {"default": READS[name][0]}
    return Choice("Reads", about, *READS[name], required=False, metadata=default)


def _supported(name: str) -> dict[str, Strict]:
    about = (
        "How well the figure is supported: `seen` in the text of this edition, `near` in a "
        "neighbouring one, in a `digest`, or from `memory`, which each finding then says."
    )
    return {
        "reads": _reads(name),
        "cite": Text("Cite", "Section and edition.", metadata={"examples": ["IRC 2021 R312.1.2"]}),
        "basis": Choice("Basis", about, *BASES, required=False, metadata={"default": "seen"}),
    }


def _length_figure(name: str) -> dict[str, Strict]:
    twin = "The value that the code prints in the other unit; it is used there, not a conversion."
    when = "Other values over greater drops, the greatest first."
    return {
        "value": Length("Value", "In the code's unit."),
        "twin": Length("Twin", twin, required=False),
        "when": Items(Inner(WhenForm, "When"), "When", when, most=limits.KIT_LIST, required=False),
        **_supported(name),
    }


def _words_figure(name: str) -> dict[str, Strict]:
    value = Choice("Value", "In the words of the list.", *WORDS[name])
    return {"value": value, **_supported(name)}


def _load(kind: FigureKind, title: str, about: str, **more: Any) -> Number:
    return Number(title, f"{about} {LOAD_UNITS[kind]}".strip(), above=0, **more)


def _load_figure(name: str) -> dict[str, Strict]:
    twin = "The value that the code prints in the other unit; it is used there, not a conversion."
    return {
        "value": _load(FIGURES[name][0], "Value", ""),
        "twin": Number("Twin", twin, above=0, required=False),
        **_supported(name),
    }


def _plain_number(kind: FigureKind, title: str, about: str, **more: Any) -> Strict:
    """Degrees, a count or a factor: the same in every unit."""
    if kind == "degrees":
        return Number(title, f"{about} In degrees.", above=0, most=90, **more)
    if kind == "number":
        return Number(title, about, above=0, most=100, **more)
    return Count(title, about, least=1, most=limits.RISERS, **more)


def _plain_figure(name: str) -> dict[str, Strict]:
    value = _plain_number(FIGURES[name][0], "Value", "The figure.")
    return {"value": value, **_supported(name)}


def _figure_form(name: str) -> type[Record]:
    kind, what = FIGURES[name]
    makers = {"length": _length_figure, "words": _words_figure}
    other = _load_figure if kind in LOADS else _plain_figure
    members: dict[str, Any] = makers.get(kind, other)(name)
    title = name.title().replace("_", "")
    return Record.named(f"{title}FigureForm", f"A figure: {what}.", members)


def _sentence(name: str) -> str:
    return FIGURES[name][1].capitalize() + "."


def _title(name: str) -> str:
    return name.capitalize().replace("_", " ")


def _amendment(name: str) -> Strict:
    about = f"{_sentence(name)[:-1]}, as the local authority has it."
    kind = FIGURES[name][0]
    if kind == "length":
        return Length(_title(name), about, required=False)
    if kind == "words":
        return Choice(_title(name), about, *WORDS[name], required=False)
    if kind in LOADS:
        return _load(kind, _title(name), about, required=False)
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
    """A building code's published figures as data, one document for each code and edition."""

    id = Name("Id", "Names the code and its edition.", metadata={"examples": ["us-irc-2021"]})
    title = Text("Title", "The code's own title.")
    edition = Text("Edition", "Which edition, and the amendments taken in.")
    applies_to = Text("Applies to", "What it is a code for.", required=False)
    unit = Choice("Unit", "Unit of every figure here but the twins.", "in", "mm")
    figures = Inner(FiguresForm, "Figures", "Its figures, by name.")
