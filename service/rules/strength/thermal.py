"""Rules: how much a rail grows as it warms."""

from __future__ import annotations

from typing import Final

from service.core.measure import Length, Unit
from service.rules.strength.aluminium import EXPANSION_PER_F

DEFAULT_RANGE: Final[dict[Unit, float]] = {"in": 90.0, "mm": 50.0}
"""Range of temperature in degrees Fahrenheit, and in kelvins (common practice, no source)."""


def expansion(unit: Unit) -> float:
    """Expansion of aluminium for each degree of the document's range, in F or K.

    >>> expansion("in"), round(expansion("mm"), 9)
    (1.3e-05, 2.34e-05)
    """
    return EXPANSION_PER_F if unit == "in" else EXPANSION_PER_F * 9 / 5


def growth(length: Length, degrees: float, coefficient: float) -> Length:
    """Growth of a length: coefficient times range times length. degrees: the range.

    >>> round(growth(240.0, 100.0, 13e-6), 4), round(growth(4000.0, 50.0, 23e-6), 2)
    (0.312, 4.6)
    """
    return coefficient * degrees * length
