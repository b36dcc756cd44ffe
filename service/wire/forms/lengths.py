"""Wire: the field of a length, with reasons for the most common mistakes in lengths as text."""

from __future__ import annotations

import re
from typing import Any, Final, Literal, TypeAlias

from service.core import limits
from service.core.measure import LENGTH_TEXT
from service.wire.forms.strict import NEWLINE, QUOTED, Number, Strict, is_number, reference

Floor: TypeAlias = Literal["above 0", "from 0", "any sign"]
LENGTHS: Final[dict[Floor, str]] = {
    "above 0": "Length",
    "from 0": "LengthOrNought",
    "any sign": "SignedLength",
}
"""The name of the component that publishes each kind of length."""
_NUMBERS: Final[dict[Floor, Number]] = {
    "above 0": Number(above=0),
    "from 0": Number(least=0),
    "any sign": Number(least=-limits.NUMBER),
}
"""The field of each kind of length as a number."""

_LENGTH = re.compile(LENGTH_TEXT[1:-1])
_SLIPS: Final = (
    QUOTED,
    (re.compile("[\u2018\u2019\u201b\u2032\u201c\u201d\u2033\xb4`]"), "its marks are not ' and \""),
    (re.compile("[\xbc-\xbe\u2150-\u215e]"), "a fraction takes a slash, as in 1/2"),
    (re.compile("[0-9],[0-9]"), "decimals take a point"),
    (re.compile(r"[0-9] +[\"']"), "a mark follows its number without a space"),
    (re.compile("(?i)(ft|feet|foot|in|inch|inches)\\b"), "feet take ' and inches \""),
    (re.compile(r"\A\s|\s\Z"), "a space stands before or after it"),
    (re.compile(r"\A[-+]"), "text takes no sign"),
    (re.compile("''"), 'inches take one "'),
    (re.compile(r"\A([0-9]+[ -])?[0-9]+/[0-9]+\Z"), 'inches take "'),
    (re.compile("' -|- [0-9]"), "a dash takes no spaces"),
    (re.compile("[.][0-9]*'"), "feet take no decimals"),
    (re.compile("(?i:[cd]m|met(re|er))|MM"), "metric units are mm and m"),
    (re.compile(r"\A[0-9]+'[ -]?[0-9][0-9 ./]*\Z"), 'after feet, inches take "'),
    (
        re.compile("[0-9]+'[ -]?(1[2-9]|[2-9][0-9]|[0-9]{3,})(?![0-9]*/)"),
        "after feet, inches are under 12",
    ),
)


class Length(Strict):
    """A length: a number in its document's unit, or text that names its own unit."""

    def __init__(self, about: str, floor: Floor = "above 0", **more: Any) -> None:
        super().__init__(about, **more)
        self.number = _NUMBERS[floor]
        self.json_schema = reference(LENGTHS[floor])
        self.accepts = (
            f"{self.number.accepts} in the unit of its own document (deck, kit or code), or "
            'text with its own unit, such as 12\' 6 1/2", 78 3/8", 2400 mm or 2.4 m'
        )

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, str):
            if _LENGTH.fullmatch(value) is None:
                raise self.fault("not_a_length", _slip(value))
        elif not is_number(value):
            raise self.fault("wrong_type")
        elif not self.number.allows(value):
            raise self.fault("out_of_range")
        return value


def _slip(text: str) -> str:
    """The reason why a text is no length, where it has one of the common mistakes; else empty.

    >>> _slip("2,4 m"), _slip("6' 1\u00bd"), _slip("x")
    ('decimals take a point', 'a fraction takes a slash, as in 1/2', '')
    """
    return next((why for slip, why in _SLIPS if slip.search(text)), "")


def length_form(floor: Floor) -> dict[str, Any]:
    """The JSON Schema of one kind of length."""
    return {
        "title": f"Length, {floor}",
        "description": (
            "A length. A number is in the unit of its document; text names its own unit: feet "
            "and inches, inches, mm or m."
        ),
        "anyOf": [
            dict(_NUMBERS[floor].json_schema),
            {"type": "string", "pattern": LENGTH_TEXT, "not": NEWLINE},
        ],
        "examples": [48, "12' 6 1/2\"", '78 3/8"', "2400 mm", "2.4 m"],
    }
