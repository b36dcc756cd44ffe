"""Rules: least strengths of aluminium extrusions, welded and not, and what may be used of them.

There are two rule sets, never mixed: US tables with safety factors (ksi), and EN 1999-1-1 with
partial factors (MPa). "6063-T6" yields at 172 MPa in the one and at 160 MPa in the other, so
strengths are keyed by alloy, temper and rule set.
"""

from __future__ import annotations

import math
from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.measure import MM_PER_IN, N_PER_LBF, Length, Unit

RuleSet: TypeAlias = Literal["US", "EN"]
BucklingClass: TypeAlias = Literal["A", "B"]

YIELD_SAFETY: Final = 1.65
ULTIMATE_SAFETY: Final = 1.95
"""Safety factors for buildings (Aluminum Construction Manual 1967, 1.3; seen)."""
YIELD_PARTIAL: Final = 1.10
ULTIMATE_PARTIAL: Final = 1.25
"""EN 1999-1-1 partial factors on f0 and on fu (from memory)."""
ELASTICITY: Final[dict[RuleSet, float]] = {"US": 10_100.0, "EN": 70_000.0}
"""Elasticity of aluminium in ksi and in MPa (both from memory)."""
EXPANSION_PER_F: Final = 13e-6
"""Expansion of aluminium for each degree Fahrenheit; exactly 23.4e-6 for each kelvin (seen)."""
MPA_PER_KSI: Final = 1000 * N_PER_LBF / MM_PER_IN**2


class Minimum(NamedTuple):
    """Least strengths of an extrusion up to a thickness, in ksi and inches (US) or MPa and mm (EN).

    up_to: the thickness.
    proof, ultimate: where it is not welded.
    welded: both of them where it is welded; None where they are not held.
    mark: how well the strengths are supported.
    buckling: its class by EN 1999-1-1 table 3.2b (from memory).
    """

    up_to: Length
    proof: float
    ultimate: float
    welded: tuple[float, float] | None
    mark: str
    buckling: BucklingClass = "A"


_NO_END: Final = math.inf
_SEEN: Final = "seen; welded from memory"
MINIMUMS: Final[dict[tuple[str, str, RuleSet], tuple[Minimum, ...]]] = {
    ("6063", "T5", "US"): (Minimum(0.5, 16.0, 22.0, (8.0, 17.0), _SEEN),),
    ("6063", "T6", "US"): (Minimum(_NO_END, 25.0, 30.0, (8.0, 17.0), _SEEN),),
    ("6061", "T6", "US"): (Minimum(_NO_END, 35.0, 38.0, (15.0, 24.0), _SEEN),),
    ("6005A", "T61", "US"): (Minimum(_NO_END, 35.0, 38.0, (13.0, 24.0), _SEEN),),
    ("6005A", "T5", "US"): (Minimum(_NO_END, 31.0, 38.0, None, "seen"),),
    ("6005", "T5", "US"): (Minimum(_NO_END, 35.0, 38.0, (13.0, 24.0), "from memory"),),
    ("6063", "T5", "EN"): (
        Minimum(3.0, 130.0, 175.0, (60.0, 100.0), "seen", "B"),
        Minimum(25.0, 110.0, 160.0, (60.0, 100.0), "seen", "B"),
    ),
    ("6063", "T6", "EN"): (Minimum(25.0, 160.0, 195.0, (65.0, 110.0), "seen"),),
    ("6063", "T66", "EN"): (Minimum(10.0, 200.0, 245.0, (75.0, 130.0), "seen"),),
    ("6061", "T6", "EN"): (Minimum(20.0, 240.0, 260.0, (115.0, 175.0), "seen"),),
    ("6005A", "T6", "EN"): (Minimum(5.0, 215.0, 255.0, (115.0, 165.0), "seen"),),
}
"""Least strengths by alloy, temper and rule set, thinnest first. US: an extruder's table of minimum
limits and 49 CFR 178.46; EN: EN 1999-1-1 table 3.2b (6005A-T6: hollow sections)."""
_CLASS_3: Final[dict[tuple[BucklingClass, bool], float]] = {
    ("A", False): 22.0,
    ("A", True): 18.0,
    ("B", False): 18.0,
    ("B", True): 15.0,
}
"""beta_3 over epsilon of an inner part by EN 1999-1-1 table 6.2 (from memory).

Keyed by buckling class and whether the part is welded.
"""


def minimum(alloy: str, temper: str, rules: RuleSet, wall: Length | None) -> Minimum | None:
    """The row of strengths for a wall; None where none is held for it.

    wall: in inches (US) or mm (EN); where it is None, the row of the thickest walls is taken.

    >>> minimum("6063", "T6", "EN", 3.0).proof, minimum("6063", "T66", "US", 0.125)
    (160.0, None)
    """
    rows = MINIMUMS.get((alloy, temper, rules), ())
    if wall is None:
        return rows[-1] if rows else None
    return next((row for row in rows if wall <= row.up_to), None)


def allowable(proof: float, ultimate: float) -> float:
    """The allowable stress: the lesser of proof/1.65 and ultimate/1.95, in the unit of these.

    No shape factor is taken.

    >>> round(allowable(25.0, 30.0), 3), round(allowable(35.0, 38.0), 3)
    (15.152, 19.487)
    """
    return min(proof / YIELD_SAFETY, ultimate / ULTIMATE_SAFETY)


def design_stress(proof: float, ultimate: float) -> float:
    """The design value by EN 1999-1-1: the lesser of f0/1.10 and fu/1.25, in the unit of these.

    >>> round(design_stress(160.0, 195.0), 1)
    145.5
    """
    return min(proof / YIELD_PARTIAL, ultimate / ULTIMATE_PARTIAL)


def usable_stress(row: Minimum, rules: RuleSet, unit: Unit, *, welded: bool) -> float | None:
    """What may be used of a row's strength, in psi or MPa by the document's unit.

    None for a welded member where the row holds no welded strengths.
    """
    strengths = row.welded if welded else (row.proof, row.ultimate)
    if strengths is None:
        return None
    usable = allowable(*strengths) if rules == "US" else design_stress(*strengths)
    return to_unit(usable, rules, unit)


def to_unit(stress: float, rules: RuleSet, unit: Unit) -> float:
    """A stress of a rule set (ksi or MPa) in the document's unit (psi or MPa).

    >>> to_unit(15.0, "US", "in"), round(to_unit(10_100.0, "US", "mm"))
    (15000.0, 69637)
    """
    if rules == "US":
        return stress * 1000 if unit == "in" else stress * MPA_PER_KSI
    return stress if unit == "mm" else stress / MPA_PER_KSI * 1000


def slender_limit(row: Minimum, rules: RuleSet, *, welded: bool) -> float:
    """Flat width over thickness up to which a wall held on both edges does not buckle early.

    US: (Bp - Fcy)/(1.6 Dp), Bp = Fcy (1 + (Fcy/1500)^(1/3)), Dp = (Bp/10) sqrt(Bp/E) in ksi
    (Aluminum Design Manual, from memory). EN: beta_3 of the row's buckling class times
    sqrt(250/f0).

    >>> round(slender_limit(MINIMUMS["6061", "T6", "US"][0], "US", welded=False), 2)
    20.81
    >>> round(slender_limit(MINIMUMS["6063", "T6", "EN"][0], "EN", welded=False), 2)
    27.5
    """
    proof = row.proof
    if rules == "EN":
        return _CLASS_3[row.buckling, welded] * math.sqrt(250.0 / proof)
    begin: float = proof * (1 + (proof / 1500.0) ** (1 / 3))
    slope: float = begin / 10 * math.sqrt(begin / ELASTICITY["US"])
    return (begin - proof) / (1.6 * slope)
