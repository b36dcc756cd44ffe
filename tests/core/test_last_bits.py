"""Levels whose corners are a last bit apart, as in outlines that were turned and turned back."""

from __future__ import annotations

from service.answer import answer_document
from tests.shipped import catalogue

WIDE = [
    [0.0, 0.0],
    [-3962.3999999999996, 4.852540476941472e-13],
    [-4470.4, -634.9999999999994],
    [-4470.400000000001, -6129.337499999999],
    [-7.506273550268839e-13, -6129.3375],
]
NEXT = [
    [1.8819147362497376e-13, 1536.6999999999998],
    [-2235.1999999999994, 1536.7000000000003],
    [-2235.2, 12.700000000000273],
    [1.5553014349171384e-15, 12.7],
]


def test_a_level_that_ends_a_last_bit_off_the_corner_of_another() -> None:
    """Two levels lie 1100 mm up, 12.7 mm apart, and end in one line to within a last bit; the wide
    one has two open bows.

    A code that looks 1200 mm beyond an edge asks for a guard at a drop of 1000: the bows have none.
    Nothing warns of a number that is none, as the test run takes warnings for errors.
    """
    edges = [{"edge": number, "condition": "open", "arc_rise": 203.2} for number in (1, 4)]
    wide = {"id": "wide", "drop": 1100, "outline": {"points": WIDE}, "edges": edges}
    after = {"id": "next", "drop": 1100, "outline": {"points": NEXT}}
    document = {
        **{"unit": "mm", "kit": "picket-glass-surface-in", "code": "nz-f4-as1"},
        **{"guard": {"infill": "glass"}, "levels": [wide, after]},
    }
    findings = answer_document(document, catalogue())["findings"]
    told = [each for each in findings if each["rule"] == "guard_required"]
    failed = [(each["where"], each["actual"]) for each in told if each["result"] == "fail"]
    assert failed == [(["wide/edge 1", "wide/edge 4"], 1100)]
