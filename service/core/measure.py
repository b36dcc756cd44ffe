"""Core: lengths, the grid of the smallest mark, tape readings and directions (contract, section 1).

Every length inside the engine is a float in the document's own unit. A mark is a whole
multiple of the document's precision, the step.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Final, Literal, TypeAlias, TypeVar

Unit: TypeAlias = Literal["in", "mm"]
Length: TypeAlias = float
Degrees: TypeAlias = float
Area: TypeAlias = float
Mass: TypeAlias = float
Force: TypeAlias = float
Point: TypeAlias = tuple[float, float]
T = TypeVar("T")
FromTo: TypeAlias = tuple[Length, Length]
"""A stretch along something: where it begins and where it ends."""

MM_PER_IN: Final = 25.4
PER_UNIT: Final[dict[Unit, float]] = {"in": 5.0, "mm": 127.0}
"""127 mm are 5 in. Lengths are converted by these whole numbers because no double is exactly 25.4:
3 in would not come to 76.2 mm to the last bit."""
N_PER_LBF: Final = 4.4482216152605
"""Exact: the weight of 0.45359237 kg at 9.80665 m/s2."""
TOUCH: Final = 1e-6
"""Two lengths closer than this are equal, and "at a limit" means within this of it."""
DRAWN: Final = 1e-3
"""Two things drawn closer together than this, in the document's unit, touch, because callers give
the corners of a turned deck no more exactly."""

PRECISIONS: Final[dict[Unit, tuple[float, ...]]] = {
    "in": (1.0, 0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625),
    "mm": (0.5, 1.0, 2.0, 5.0, 10.0),
}
DEFAULT_PRECISION: Final[dict[Unit, float]] = {"in": 0.0625, "mm": 1.0}
DECIMALS: Final[dict[Unit, int]] = {"in": 4, "mm": 3}
OTHER_UNIT: Final[dict[Unit, Unit]] = {"in": "mm", "mm": "in"}

LENGTH_TEXT: Final = (
    (
        r"^(?:"
        r"[0-9]{1,5}'"
        r"(?:[ -]?(?:(?:[0-9]|1[01])(?:\.[0-9]{1,6})?|(?:(?:[0-9]|1[01])[ -])?FRACTION)INCH)?"
        r"|(?:[0-9]{1,6}(?:\.[0-9]{1,6})?|(?:[0-9]{1,6}[ -])?FRACTION)INCH"
        r"|[0-9]{1,7}(?:\.[0-9]{1,6})? ?mm"
        r"|[0-9]{1,4}(?:\.[0-9]{1,9})? ?m"
        r")$"
    )
    .replace("INCH", '"')
    .replace(
        "FRACTION",
        r"(?:1/2|[1-3]/4|[1-7]/8|(?:[1-9]|1[0-5])/16"
        r"|(?:[1-9]|[12][0-9]|3[01])/32|(?:[1-9]|[1-5][0-9]|6[0-3])/64)",
    )
)
"""The pattern of a length as text. It is published, and `parse_length` accepts exactly its matches.
"""

_TEXT = re.compile(LENGTH_TEXT.removeprefix("^").removesuffix("$"))
_IMPERIAL = re.compile(
    r"(?:(?P<feet>[0-9]+)')?[ -]?(?:(?P<inches>[0-9.]+)(?![0-9.]*/))?"
    r"[ -]?(?:(?P<top>[0-9]+)/(?P<under>[0-9]+))?\"?"
)


def parse_length(text: str, unit: Unit) -> Length:
    """The length that a text names, in `unit`.

    Raises ValueError where the text does not match LENGTH_TEXT.

    >>> parse_length("12' 6 1/2\\"", "in"), parse_length('78 3/8"', "in")
    (150.5, 78.375)
    >>> parse_length("2.4 m", "mm"), parse_length("635 mm", "in")
    (2400.0, 25.0)
    """
    if _TEXT.fullmatch(text) is None:
        raise ValueError(f"not a length: {text[:40]!r}")
    if text.endswith("m"):
        millimetres = float(text[:-2]) if text.endswith("mm") else float(f"{text[:-1].strip()}e3")
        return convert(millimetres, "mm", unit)
    found = _IMPERIAL.fullmatch(text)
    assert found is not None
    inches = 12.0 * int(found["feet"] or 0) + float(found["inches"] or 0)
    if found["top"]:
        inches += int(found["top"]) / int(found["under"])
    return convert(inches, "in", unit)


def all_least(found: Iterable[T], of: Callable[[T], float]) -> list[T]:
    """Those for which a value is the least, within TOUCH, in order; empty only for none.

    >>> all_least([3, -2, 2.0000001, 5], abs)
    [-2, 2.0000001]
    """
    valued = [(each, of(each)) for each in found]
    most = min((value for _, value in valued), default=0.0) + TOUCH
    return [each for each, value in valued if value <= most]


def toward(start: Point, end: Point) -> Point:
    """The direction from one point to another, as a unit vector.

    >>> toward((0.0, 0.0), (0.0, 5.0))
    (0.0, 1.0)
    """
    apart = math.dist(start, end)
    return (end[0] - start[0]) / apart, (end[1] - start[1]) / apart


def convert(value: Length, unit: Unit, to: Unit) -> Length:
    """A length in another unit, by 25.4 exactly.

    >>> convert(3.0, "in", "mm"), convert(60.0, "mm", "mm"), convert(76.2, "mm", "in")
    (76.2, 60.0, 3.0)
    """
    return value if unit == to else value * PER_UNIT[to] / PER_UNIT[unit]


def floor_to_mark(value: Length, step: Length) -> Length:
    """The greatest mark not above `value`; within 1/1000 of a step below a mark counts as on it.

    >>> floor_to_mark(35.30, 0.0625), floor_to_mark(1219.2 / 25.4, 0.0625)
    (35.25, 48.0)
    >>> floor_to_mark(421.349 - 6.35, 1.0), floor_to_mark(1265.174 - 3.175, 1.0)
    (415.0, 1262.0)
    """
    return math.floor(value / step + 1e-3 + TOUCH) * step


def ceil_to_mark(value: Length, step: Length) -> Length:
    """The least mark not below `value`; within 1e-6 of a step above a mark counts as on it.

    >>> ceil_to_mark(35.30, 0.0625), ceil_to_mark(35.25, 0.0625)
    (35.3125, 35.25)
    """
    return math.ceil(value / step - TOUCH) * step


def nearest_mark(value: Length, step: Length) -> Length:
    """The nearest mark; one exactly between two marks goes to the lesser.

    >>> nearest_mark(29.21875, 0.0625), nearest_mark(29.22, 0.0625)
    (29.1875, 29.25)
    """
    return math.floor(value / step + 0.5 - TOUCH) * step


def ceil_count(value: float) -> int:
    """The least whole number not below `value`; within 1e-6 above a whole number counts as on it.

    >>> ceil_count(2.0000001), ceil_count(2.1)
    (2, 3)
    """
    return math.ceil(value - TOUCH)


def tidy(value: float, decimals: int) -> float | int:
    """A number as replies write it: rounded, an int where it is whole, never minus zero.

    >>> tidy(36.0, 4), tidy(-0.00001, 4), tidy(55.87504, 4)
    (36, 0, 55.875)
    """
    rounded = round(value, decimals)
    whole = int(rounded)
    return whole if whole == rounded else rounded


def tape_text(value: Length, unit: Unit, step: Length) -> str:
    """The tape reading of the mark nearest to `value`.

    >>> tape_text(55.5, "in", 0.0625), tape_text(0.75, "in", 0.0625), tape_text(72.0, "in", 0.0625)
    ('4\\' 7 1/2"', '3/4"', "6'")
    >>> tape_text(1410.6, "mm", 1.0), tape_text(48.22, "in", 0.0625)
    ('1411 mm', '4\\' 0 1/4"')
    """
    mark = nearest_mark(value, step)
    return f"{tidy(mark, 1)} mm" if unit == "mm" else _inch_text(mark)


@lru_cache(maxsize=1 << 16)
def _inch_text(mark: Length) -> str:
    """The tape reading of a mark in inches, which is a whole number of sixty-fourths."""
    sixty_fourths = round(mark * 64)
    sign = "-" if sixty_fourths < 0 else ""
    feet, rest = divmod(abs(sixty_fourths), 12 * 64)
    inches, part = divmod(rest, 64)
    words = []
    if feet:
        words.append(f"{feet}'")
    if inches or (part and feet) or not (feet or part):
        words.append(f"{inches}")
    if part:
        common = math.gcd(part, 64)
        words.append(f"{part // common}/{64 // common}")
    if len(words) > bool(feet):
        words[-1] += '"'
    return sign + " ".join(words)


def number_text(value: float, decimals: int) -> str:
    """A number as plain text, without an exponent or trailing zeros.

    >>> number_text(22.5, 4), number_text(1400000.0, 3), number_text(0.00004, 6)
    ('22.5', '1400000', '0.00004')
    """
    text = f"{round(value, decimals) + 0.0:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def decimals_apart(value: float, beside: float, decimals: int) -> int:
    """How many decimals to write a value with, so that it does not read like the one beside it.

    decimals: how many to begin with; two are added at a time until the two values read differently.
    None are added where they are equal within TOUCH.

    >>> decimals_apart(4.1, 4.0, 4), decimals_apart(4.00002, 4.0, 4), decimals_apart(4.0, 4.0, 4)
    (4, 6, 4)
    """
    while abs(value - beside) > TOUCH and round(value, decimals) == round(beside, decimals):
        decimals += 2
    return decimals


def plain_length(value: Length, unit: Unit, beside: Length = 0.0) -> str:
    """A length as refusals write it: a decimal number and its unit.

    beside: the length that it is compared with; the two read differently wherever they differ.

    >>> plain_length(3900000.0, "mm"), plain_length(240.00002, "in", beside=240.0)
    ('3900000 mm', '240.00002 in')
    >>> plain_length(100 / 3, "in"), plain_length(0.00002, "mm")
    ('33.3333 in', '0.00002 mm')
    """
    return f"{number_text(value, decimals_apart(value, beside, DECIMALS[unit]))} {unit}"


def least_length(value: Length, unit: Unit, beside: Length = 0.0) -> str:
    """A length that something has to be at least, as `plain_length`, but never below `value`.

    So what a refusal tells is taken when it is sent.

    >>> least_length(2.53125, "in"), plain_length(2.53125, "in")
    ('2.5313 in', '2.5312 in')
    """
    decimals = decimals_apart(value, beside, DECIMALS[unit])
    return f"{number_text(ceil_to_mark(value, 10.0**-decimals), decimals)} {unit}"


def angle_text(value: float, beside: float | None = None) -> str:
    """An angle to 0.0001 degrees; to 0.000001 where it would read like the limit beside it.

    >>> angle_text(22.5), angle_text(70.0), angle_text(42.00002, beside=42.0)
    ('22.5°', '70°', '42.00002°')
    """
    near = beside is not None and round(value, 4) == round(beside, 4)
    return number_text(value, 6 if near else 4) + "°"


def area_text(value: float, unit: Unit) -> str:
    """An area in the square of the document's unit.

    >>> area_text(2300.0, "in"), area_text(1400000.0, "mm")
    ('2300 sq in', '1400000 sq mm')
    """
    return f"{number_text(value, decimals_apart(value, 0.0, 3))} sq {unit}"
