"""Mistakes in a kit that would let weak glass or a weak member pass: refused, with their place.

Thicknesses are as the trade names them (facts on engineering, 1.2): 1/4 in is 6 mm and 0.219 in at
the least. The section modulus of a solid bar of sides b and d is b d^2/6, that of a round one pi
d^3/32.
"""

from __future__ import annotations

from typing import Any

import pytest

from service.wire.reading.kit import read_kit

from .documents import kit, problems, put, reply, small

Json = dict[str, Any]
INCH, METRIC = "picket-glass-surface-in", "glass-picket-surface-mm"
PANE = "/glass/panes/0"
PLIES = [{"pane": 0, "make": "tempered", "plies": 2, "ply_minimum": 0.115}]


def sent(name: str, pointer: str, value: Any) -> Json:
    """A deck with that kit, one member of which is replaced."""
    document = small(kit=kit(name), unit="in" if name == INCH else "mm", code="us-irc-2021")
    if name == METRIC:
        points = [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]
        document["levels"][0]["outline"] = {"points": points}
    changed: Json = put(document, f"/kit{pointer}", value)
    return changed


def test_two_thicknesses_are_told_with_what_would_be_one() -> None:
    """The message gives a thickness that would be accepted: 10 mm is 10 / 25.4 = 0.3937 in."""
    _, (problem,) = problems(sent(INCH, f"{PANE}/nominal_mm", 10))
    assert problem.message == (
        "Nominally 0.25 in and 10 mm are not one thickness: nominal has to be within 15 % of "
        "nominal_mm, 0.3937 in."
    )


@pytest.mark.parametrize(
    ("name", "pointer", "value", "code"),
    [
        (INCH, f"{PANE}/nominal_mm", 10, "pane_of_two_thicknesses"),  # 1/4 in and 10 mm
        (METRIC, f"{PANE}/nominal_mm", 12, "pane_of_two_thicknesses"),
        (INCH, f"{PANE}/minimum", 5.56, "more_than_there_is"),  # mm in a kit of inches
        (INCH, f"{PANE}/minimum", 0.26, "more_than_there_is"),
        (METRIC, f"{PANE}/minimum", 10.5, "more_than_there_is"),
        # A solid post of 2.25 in has 1.898 in3; one of 60 mm has 36,000 mm3.
        (INCH, "/strength/post/section_modulus", 2.0, "more_than_there_is"),
        (METRIC, "/strength/post/section_modulus", 40_000, "more_than_there_is"),
        # A solid picket of 3/4 in has 0.0703 in3.
        (INCH, "/strength/picket/section_modulus", 0.08, "more_than_there_is"),
        # A solid round of 1 1/2 in has 0.3313 in3; the kit's handrail has 0.19.
        (INCH, "/strength/handrail/section_modulus", 0.35, "more_than_there_is"),
        # A rail 1.5 wide, as its kit says, and no more than 1.5 deep has 0.5625 in3 at the most.
        (INCH, "/strength/bottom_rail_picket/section_modulus", 6_000, "more_than_there_is"),
        (INCH, "/strength/bottom_rail_picket/section_modulus_down", 0.6, "more_than_there_is"),
    ],
)
def test_a_slip(name: str, pointer: str, value: Any, code: str) -> None:
    """The mistake is one problem, in the kit's own unit."""
    _, found = problems(sent(name, pointer, value))
    assert [(each.pointer, each.code) for each in found] == [(f"/kit{pointer}", code)]
    unit = "in" if name == INCH else "mm"
    assert f" {unit}" in found[0].message


@pytest.mark.parametrize(
    ("name", "pointer", "value"),
    [
        (INCH, PANE, {"nominal": 0.5, "nominal_mm": 12, "minimum": 0.469, "type": "tempered"}),
        (INCH, f"{PANE}/minimum", 0.25),
        (METRIC, f"{PANE}/minimum", 10),
        (INCH, "/strength/post/section_modulus", 1.89),
        (INCH, "/strength/handrail/section_modulus", 0.331),
        (INCH, "/strength/panes", PLIES),  # 2 x 0.115 in 1/4 in
    ],
)
def test_what_may_be(name: str, pointer: str, value: Any) -> None:
    """Values up to these bounds are taken: 12 mm is named 1/2 in, and a solid bar is a bar."""
    assert reply(sent(name, pointer, value))["findings"]


def test_plies_thicker_than_their_pane() -> None:
    """Two plies of 0.219 in do not fit a pane of 1/4 in, half of which is 1/8."""
    _, (found,) = problems(sent(INCH, "/strength/panes", [{**PLIES[0], "ply_minimum": 0.219}]))
    assert found.pointer == "/kit/strength/panes/0/ply_minimum"
    assert "0.219 in for 2 plies" in found.message
    assert "0.125 in each" in found.message


def test_a_member_in_a_deck_of_the_other_unit() -> None:
    """A kit in inches serves a deck in millimetres: 2 in is 50.8 mm, 0.3 in3 is 0.3 x 25.4^3 =
    4916.119 mm3, 0.2 in4 is 0.2 x 25.4^4 = 83246.285 mm4."""
    member = {
        **{"alloy": "6063", "temper": "T6", "shape": "tube", "width": 2, "wall": 0.125},
        **{"section_modulus": 0.3, "second_moment": 0.2},
        **{"section_modulus_down": 0.6, "second_moment_down": 0.4},
    }
    strength = read_kit(put(kit(INCH), "/strength/top_rail_picket", member), "mm").strength
    assert strength is not None
    rail = strength.rails["top_rail_picket"]
    assert rail.width == pytest.approx(50.8)
    assert rail.wall == pytest.approx(3.175)
    assert rail.modulus == pytest.approx(4916.119)
    assert rail.moment == pytest.approx(83246.285)
    assert rail.modulus_down == pytest.approx(2 * 4916.119)
    assert rail.moment_down == pytest.approx(2 * 83246.285)
