"""Marks, tape texts and lengths as text, against exact fractions and the check-value table."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.measure import (
    PRECISIONS,
    Unit,
    ceil_count,
    ceil_to_mark,
    convert,
    floor_to_mark,
    nearest_mark,
    parse_length,
    tape_text,
    tidy,
)
from tests.bounded import bounded

GRIDS: list[tuple[Unit, float]] = [
    *(("in", step) for step in PRECISIONS["in"]),
    *(("mm", step) for step in PRECISIONS["mm"]),
]
grids = st.sampled_from(GRIDS)
OTHER: dict[Unit, Unit] = {"in": "mm", "mm": "in"}


def test_the_precisions_are_those_of_the_contract() -> None:
    """The precisions are 1/2^k in with k = 0 to 6, and 0.5, 1, 2, 5, 10 mm."""
    assert sorted(PRECISIONS["in"]) == sorted(2.0**-k for k in range(7))
    assert sorted(PRECISIONS["mm"]) == [0.5, 1, 2, 5, 10]


@pytest.mark.parametrize(
    ("value", "mark"),
    [(35.30, 35.25), (1219.2 / 25.4, 48.0), (1219 / 25.4, 47.9375), (47.999, 47.9375)],
)
def test_floor_to_a_sixteenth(value: float, mark: float) -> None:
    """Rows 75 to 77 (35.30 in; 1219.2 mm is 48 in; 1219 mm is 47.992 in) and 47.999 in are
    floored."""
    assert floor_to_mark(value, 0.0625) == mark


@pytest.mark.parametrize(("below", "mark"), [(0.0009, 48.0), (0.0011, 47.9375)])
def test_a_thousandth_of_a_step_below_a_mark_is_on_it(below: float, mark: float) -> None:
    """A value within 1/1000 of a step below a mark is on it; one further below goes to the mark
    before."""
    assert floor_to_mark(48 - below * 0.0625, 0.0625) == mark


values = st.fractions(min_value=0, max_value=400, max_denominator=2000)


@bounded(200)
@given(values, grids)
def test_marks_against_fractions(value: Fraction, grid: tuple[Unit, float]) -> None:
    """Floor, ceiling and nearest mark are those of exact fractions, away from the tolerances."""
    step = Fraction(grid[1])
    steps = value / step
    part = steps - math.floor(steps)
    number = float(value)
    if part < Fraction(998, 1000):
        assert floor_to_mark(number, grid[1]) == math.floor(steps) * step
    if part == 0 or part > Fraction(1, 100_000):
        assert ceil_to_mark(number, grid[1]) == math.ceil(steps) * step
    if abs(part - Fraction(1, 2)) > Fraction(1, 100_000):
        assert nearest_mark(number, grid[1]) == math.floor(steps + Fraction(1, 2)) * step


@bounded(60)
@given(st.integers(0, 100_000), grids)
def test_between_two_marks_the_lesser(n: int, grid: tuple[Unit, float]) -> None:
    """A value exactly between two grid points goes to the lesser."""
    assert nearest_mark((n + 0.5) * grid[1], grid[1]) == n * grid[1]


@bounded(300)
@given(st.integers(0, 60_000), grids)
def test_a_tape_text_reads_back(n: int, grid: tuple[Unit, float]) -> None:
    """The tape text of every mark of every precision reads back as the same length in its own
    unit."""
    unit, step = grid
    assert parse_length(tape_text(n * step, unit, step), unit) == n * step


@bounded(100)
@given(st.integers(0, 60_000), grids)
def test_a_text_names_its_own_unit(n: int, grid: tuple[Unit, float]) -> None:
    """A text means the same length in a document of the other unit.

    Its number is 25.4 times or a 25.4th, to the last bit, and so is that of a length that is
    converted.
    """
    unit, step = grid
    text, other = tape_text(n * step, unit, step), OTHER[unit]
    exact = (
        Fraction(n) * Fraction(step) * (Fraction(254, 10) if unit == "in" else Fraction(10, 254))
    )
    assert parse_length(text, other) == float(exact)
    assert convert(n * step, unit, other) == float(exact)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, '0"'),
        (0.0625, '1/16"'),
        (11.5, '11 1/2"'),
        (12.0, "1'"),
        (12.0625, "1' 0 1/16\""),
        (150.5, "12' 6 1/2\""),
        (55.984375, "4' 7 63/64\""),
    ],
)
def test_inch_tape_texts(value: float, text: str) -> None:
    """Tape texts have feet, inches and the fraction in lowest terms, as a tape is read (common
    practice)."""
    assert tape_text(value, "in", 0.015625) == text


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12' 6 1/2\"", 150.5),
        ("6'", 72.0),
        ('78 3/8"', 78.375),
        ('3/4"', 0.75),
        ("0' 11 63/64\"", 11.984375),
        ('12.25"', 12.25),
        ("5'-6\"", 66.0),
    ],
)
def test_inch_texts(text: str, inches: float) -> None:
    """Inch texts are read as in the contract's examples and others like them."""
    assert parse_length(text, "in") == inches


@pytest.mark.parametrize(
    ("text", "millimetres"), [("2400 mm", 2400), ("2.4 m", 2400), ("0.5mm", 0.5), ("0.0005 m", 0.5)]
)
def test_metric_texts(text: str, millimetres: float) -> None:
    """Texts in millimetres and metres are read with or without a space."""
    assert parse_length(text, "mm") == millimetres


@pytest.mark.parametrize(
    "text",
    [
        "6' 13\"",
        '1/0"',
        '2/2"',
        '3/3"',
        "12",
        "",
        '-3"',
        "6' 6",
        "1e3 mm",
        "2400 mm\n",
        "\u0662 mm",
        " 6'",
        "6''",
        "1 m 20",
        "2,4 m",
        '1/128"',
    ],
)
def test_texts_that_name_no_length(text: str) -> None:
    """Refused: thirteen inches beside feet, a denominator of 0, a fraction of 1, no unit, a sign,
    an exponent, another script's digits, space or a line's end around the text, a comma, and
    1/128."""
    with pytest.raises(ValueError, match="not a length"):
        parse_length(text, "in")


@bounded(60)
@given(st.integers(0, 10_000_000))
def test_inches_and_back(n: int) -> None:
    """Lengths are converted at 25.4 mm to the inch both ways, to the last digit that matters."""
    assert convert(convert(n / 64, "in", "mm"), "mm", "in") == pytest.approx(n / 64, rel=1e-15)
    assert convert(n / 64, "in", "in") == n / 64


@pytest.mark.parametrize(
    ("value", "count"), [(2.0, 2), (2.0 + 9e-7, 2), (2.0 + 2e-6, 3), (0.0, 0), (1.5, 2)]
)
def test_counts_at_a_limit(value: float, count: int) -> None:
    """Counts are rounded up, but a value within 1e-6 above a whole number counts as that number."""
    assert ceil_count(value) == count


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(-0.0, 4, "0"), (-1e-9, 4, "0"), (36.0, 4, "36"), (0.00004, 4, "0"), (1.23456, 4, "1.2346")],
)
def test_tidy_numbers(value: float, decimals: int, text: str) -> None:
    """Numbers are written without a minus before 0 and without a point after whole numbers."""
    assert str(tidy(value, decimals)) == text
