"""Tables of strength as they are printed, row by row: the project's facts on engineering, sections
1.2, 1.3, 3.1, 3.2 and 5.2, whose sources they name, and standards named beside their rows."""

from __future__ import annotations

import math

import pytest

from service.rules.strength import screws, timber
from service.rules.strength.aluminium import RuleSet, minimum
from service.rules.strength.glazing import DESIGN, MINIMUMS, RUPTURE

Strengths = tuple[float, float]

ALUMINIUM: list[tuple[str, str, RuleSet, float, Strengths, Strengths | None]] = [
    ("6063", "T5", "US", 0.5, (16, 22), (8, 17)),
    ("6063", "T6", "US", math.inf, (25, 30), (8, 17)),
    ("6061", "T6", "US", math.inf, (35, 38), (15, 24)),
    ("6005A", "T61", "US", math.inf, (35, 38), (13, 24)),
    ("6005A", "T5", "US", math.inf, (31, 38), None),
    ("6005", "T5", "US", math.inf, (35, 38), (13, 24)),
    ("6063", "T5", "EN", 3, (130, 175), (60, 100)),
    ("6063", "T5", "EN", 25, (110, 160), (60, 100)),
    ("6063", "T6", "EN", 25, (160, 195), (65, 110)),
    ("6063", "T66", "EN", 10, (200, 245), (75, 130)),
    ("6061", "T6", "EN", 20, (240, 260), (115, 175)),
    ("6005A", "T6", "EN", 5, (215, 255), (115, 165)),
]
"""The thickest wall of each row, then proof and ultimate strength, and those where welded: in
inches and ksi by US, in mm and MPa by EN."""


@pytest.mark.parametrize(("alloy", "temper", "rules", "most", "plain", "welded"), ALUMINIUM)
def test_a_row_of_aluminium(
    alloy: str, temper: str, rules: RuleSet, most: float, plain: Strengths, welded: Strengths | None
) -> None:
    """Each row of facts, 3.1 and 3.2, has its strengths at the thickest wall that it holds for."""
    row = minimum(alloy, temper, rules, most)
    assert row is not None
    assert ((row.proof, row.ultimate), row.welded) == (plain, welded)


@pytest.mark.parametrize(
    ("alloy", "temper", "rules", "wall"),
    [
        ("6063", "T5", "US", 0.51),
        ("6063", "T5", "EN", 25.1),
        ("6063", "T6", "EN", 25.1),
        ("6063", "T66", "EN", 10.1),
        ("6061", "T6", "EN", 20.1),
        ("6005A", "T6", "EN", 5.1),
    ],
)
def test_a_thicker_wall_than_is_printed_has_no_strength(
    alloy: str, temper: str, rules: RuleSet, wall: float
) -> None:
    """A wall thicker than any that facts, 3.1, give a row for has no strength in the tables."""
    assert minimum(alloy, temper, rules, wall) is None


def test_least_thicknesses_of_glass() -> None:
    """Least thicknesses in inches and in mm, by nominal mm: facts, 1.2."""
    assert MINIMUMS == {
        3: (0.115, 2.92),
        4: (0.149, 3.78),
        5: (0.180, 4.57),
        6: (0.219, 5.56),
        8: (0.292, 7.42),
        10: (0.355, 9.02),
        12: (0.469, 11.91),
        16: (0.595, 15.09),
        19: (0.719, 18.26),
    }


def test_strengths_of_glass() -> None:
    """Facts, 1.3: strength at rupture in psi; and at 8 breakages in 1000, in psi and MPa."""
    assert RUPTURE == {"annealed": 6_000, "heat_strengthened": 12_000, "tempered": 24_000}
    assert DESIGN == {
        "annealed": (2_800, 19),
        "heat_strengthened": (5_600, 39),
        "tempered": (11_200, 77),
    }


def test_specific_gravities() -> None:
    """Specific gravities of timber: facts, 5.2, NDS table 12.3.3A."""
    assert timber.GRAVITIES == {
        "douglas_fir_larch": 0.50,
        "douglas_fir_larch_north": 0.49,
        "douglas_fir_south": 0.46,
        "hem_fir": 0.43,
        "hem_fir_north": 0.46,
        "redwood": 0.37,
        "southern_pine": 0.55,
        "spruce_pine_fir": 0.42,
        "spruce_pine_fir_south": 0.36,
        "western_cedars": 0.36,
    }


def test_densities_and_modification_of_timber() -> None:
    """Densities rho_k by EN 338 table 1, and factors for solid timber by EN 1995-1-1 table 3.1.

    The factors for short-term and instantaneous loads are 0.9 and 1.1 in service classes 1 and 2,
    0.7 and 0.9 in class 3. All are from memory but C16 and C24.
    """
    assert screws.DENSITIES == {"C14": 290, "C16": 310, "C18": 320, "C24": 350, "C30": 380}
    assert screws.MODIFICATION == {
        ("live", False): 0.9,
        ("ten_minutes", False): 1.1,
        ("live", True): 0.7,
        ("ten_minutes", True): 0.9,
    }
