"""Rules: glass as it is sold: its least thickness, its strength by make, how many lift it."""

from __future__ import annotations

from typing import Final

from service.core.measure import TOUCH, Length, Mass, Unit
from service.core.records.strength import Make

MINIMUMS: Final[dict[float, tuple[float, float]]] = {
    3.0: (0.115, 2.92),
    4.0: (0.149, 3.78),
    5.0: (0.180, 4.57),
    6.0: (0.219, 5.56),
    8.0: (0.292, 7.42),
    10.0: (0.355, 9.02),
    12.0: (0.469, 11.91),
    16.0: (0.595, 15.09),
    19.0: (0.719, 18.26),
}
"""Least thickness in inches and in mm, by nominal thickness in mm.

ASTM C1036 as E1300 repeats it; seen, but 16 mm from memory.
"""
RUPTURE: Final[dict[Make, float]] = {
    "annealed": 6_000.0,
    "heat_strengthened": 12_000.0,
    "tempered": 24_000.0,
}
"""Mean modulus of rupture in psi at 60 s, of the surface and not of an edge.

Technical bulletin ATS-129; seen.
"""
DESIGN: Final[dict[Make, tuple[float, float]]] = {
    "annealed": (2_800.0, 19.0),
    "heat_strengthened": (5_600.0, 39.0),
    "tempered": (11_200.0, 77.0),
}
"""Design stress in psi and in MPa at 8 breakages in 1000 (the same bulletin; seen)."""
ELASTICITY_PSI: Final = 10.4e6
"""Elasticity of glass; 71.7 GPa (the same bulletin; seen)."""
ONE_LIFTS: Final = 23.0
"""Mass in kg that one person lifts where all else is well (NIOSH, 51 lb; seen)."""
TWO_LIFT: Final = 33.0
"""Mass in kg that two people lift: two thirds of two times 25 kg (from memory)."""


def minimum_thickness(nominal_mm: float, unit: Unit) -> Length | None:
    """The standard's least thickness of glass by its nominal one; None where it lists none.

    >>> minimum_thickness(6.0, "mm"), minimum_thickness(6.0, "in"), minimum_thickness(7.0, "mm")
    (5.56, 0.219, None)
    """
    row = MINIMUMS.get(nominal_mm)
    return None if row is None else row[unit == "mm"]


def laminate_for_deflection(ply: Length, plies: int) -> Length:
    """Thickness (sum of t^3)^(1/3) that a laminate has for deflection.

    That of plies that slide on one another, the safe bound.

    >>> round(laminate_for_deflection(5.56, 2), 3)
    7.005
    """
    return float(plies ** (1 / 3) * ply)


def laminate_for_stress(ply: Length, plies: int) -> Length:
    """Thickness t sqrt(n) that a laminate of equal plies has for stress.

    That of plies that slide on one another, the safe bound.

    >>> round(laminate_for_stress(5.56, 2), 3)
    7.863
    """
    return float(ply * plies**0.5)


def rupture_over(make: Make, factor: float) -> float:
    """Modulus of rupture in psi, divided by the code's glass load factor.

    >>> rupture_over("tempered", 4.0)
    6000.0
    """
    return RUPTURE[make] / factor


def lifters(mass_kg: Mass) -> int:
    """How many people lift a panel: 1 or 2; 3 stands for more than two, or a lifting aid.

    >>> lifters(16.7), lifters(23.0), lifters(30.0), lifters(36.0)
    (1, 1, 2, 3)
    """
    if mass_kg <= ONE_LIFTS + TOUCH:
        return 1
    return 2 if mass_kg <= TWO_LIFT + TOUCH else 3
