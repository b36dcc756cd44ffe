"""Strength findings exactly at their limit, and a hair past it."""

from __future__ import annotations

import pytest

from service.core.records.strength import Member
from service.rules.finding import Finding

from .strong import RAILS, said, spans, strong_kit


def _stresses(findings: list[Finding]) -> list[Finding]:
    return [each for each in findings if each.unit == "psi"]


@pytest.mark.parametrize(("modulus", "result"), [(0.86625, "pass"), (0.8662, "fail")])
def test_a_post_that_is_just_strong_enough(modulus: float, result: str) -> None:
    """200 lbf at 42 in is 8400 lb in; 6063-T5 allows 16 000/1.65 = 9696.97 psi (facts on
    engineering, 4.4). A section modulus of 8400 x 1.65/16 000 = 0.86625 in3 just takes it."""
    tube = Member("6063", "T5", modulus=modulus, moment=1.0, welded=False)
    (bends,) = _stresses(said("strength_post", with_kit=strong_kit(post=tube), **spans(72.0)))
    assert bends.result == result
    assert bends.limit == pytest.approx(16000 / 1.65)
    assert bends.actual == pytest.approx(8400 / modulus)


@pytest.mark.parametrize(("modulus", "result"), [(0.0594, "pass"), (0.0593, "fail")])
def test_a_bottom_rail_that_is_just_strong_enough(modulus: float, result: str) -> None:
    """50 lbf in the middle of 72 in is 50 x 72/4 = 900 lb in; 6063-T6 allows 25 000/1.65 psi. A
    section modulus of 900 x 1.65/25 000 = 0.0594 in3 just takes it."""
    rails = {**RAILS, "bottom_rail_picket": Member("6063", "T6", modulus=modulus, moment=0.2)}
    found = _stresses(said("strength_rail", with_kit=strong_kit(rails=rails), **spans(72.0)))
    (bends,) = [each for each in found if each.actual == pytest.approx(900 / modulus)]
    assert bends.result == result


@pytest.mark.parametrize(("modulus", "result"), [(0.018046875, "pass"), (0.018, "fail")])
def test_a_picket_that_is_just_strong_enough(modulus: float, result: str) -> None:
    """The 50 lbf of the infill, on a square of 12 in, lie on two pickets 4.5 apart, 25 lbf each.

    Over 42 - 8 = 34 in, with the load on the middle 12: 25 x (2 x 34 - 12)/8 = 175 lb in. 6063-T5
    allows 16 000/1.65 psi, so 175 x 1.65/16 000 = 0.018046875 in3 just take it.
    """
    picket = Member("6063", "T5", modulus=modulus, moment=1.0)
    (bends,) = _stresses(said("strength_infill", with_kit=strong_kit(picket=picket), **spans(72.0)))
    assert bends.result == result
    assert bends.actual == pytest.approx(175 / modulus)
