"""Wire: the fields of a figure's value and of its twin, wherever these stand: at the figure of a
code, in one of its cases, or in an amendment."""

from __future__ import annotations

from typing import Any, Final

from service.core import limits
from service.core.records.figures import LOAD_KINDS, WORDS, FigureKind
from service.wire.forms.lengths import Length
from service.wire.forms.strict import Choice, Count, Number, Strict, Text

_LOADS: Final[dict[FigureKind, tuple[str, str, float]]] = {
    "force": ("lbf", "N", 200),
    "line_load": ("lbf to a foot", "kN to a metre", 50),
    "pressure": ("lbf to a square foot", "kPa", 25),
}
"""The unit of each kind of load in a document in inches, that in one in millimetres, and an
example."""


def value_field(
    name: str, kind: FigureKind, about: str, *, of: str = "code document", **more: Any
) -> Strict:
    """The field of a figure's value, which may be left out.

    name: the figure's, which decides its words. of: names the document whose unit decides the unit
    of a load.
    """
    more["required"] = False
    if kind == "length":
        return Length(about, **more)
    if kind == "words":
        return Choice(about, *WORDS[name], **more)
    if kind == "text":
        return Text(about, **{"example": "a slope of 1 in 48 at most", **more})
    if kind in LOAD_KINDS:
        inch, metric, example = _LOADS[kind]
        unit = _load_unit(inch, metric, of)
        about = f"{about} I{unit[1:]}.".strip()
        return Number(about, above=0, unit=unit, example=example, **more)
    if kind == "degrees":
        about = f"{about} In degrees."
        return Number(about, above=0, most=90, example=42, unit="in degrees", **more)
    if kind == "number":
        return Number(f"{about} Without a unit.", above=0, most=100, example=1.5, **more)
    return Count(about, least=1, most=limits.RISERS, **more)


def twin_field(kind: FigureKind, about: str, **more: Any) -> dict[str, Strict]:
    """The member `twin` of a length or a load, as the code prints it in the other unit; none of
    other kinds."""
    if kind == "length":
        return {"twin": Length(about, required=False, **more)}
    if kind in LOAD_KINDS:
        inch, metric, _ = _LOADS[kind]
        unit = _load_unit(metric, inch, "code document")
        return {"twin": Number(about, above=0, unit=unit, example=0.74, required=False, **more)}
    return {}


def _load_unit(inch: str, metric: str, of: str) -> str:
    """Words for the unit of a load, by the unit of the document `of`."""
    return f"in {inch} where the {of} is in inches, in {metric} where it is in millimetres"
