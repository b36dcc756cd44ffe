"""Rules: screws pulled out of timber, by partial factors (EN 1995-1-1, 8.7.2).

Units are mm, N and kg/m3 alone, as the standard prints them. The equations were seen in an open
library that numbers them; the range in which they hold, k_mod and the partial factor are from
memory.
"""

from __future__ import annotations

from typing import Final

from service.core.measure import Force, Length
from service.core.records.strength import LoadDuration

DENSITIES: Final[dict[str, float]] = {
    "C14": 290.0,
    "C16": 310.0,
    "C18": 320.0,
    "C24": 350.0,
    "C30": 380.0,
}
"""Characteristic density in kg/m3 by strength class of EN 338 (those not in SEEN from memory)."""
SEEN: Final = frozenset({"C16", "C24"})
PARTIAL: Final = 1.3
"""Partial factor gamma_M of a connection."""
MODIFICATION: Final[dict[tuple[LoadDuration, bool], float]] = {
    ("live", True): 0.70,
    ("ten_minutes", True): 0.90,
    ("live", False): 0.90,
    ("ten_minutes", False): 1.10,
}
"""k_mod of solid timber by duration (short-term, instantaneous) and wet service (class 3)."""
THINNEST: Final = 6.0
THICKEST: Final = 12.0
"""Outer diameters between which (8.39) holds."""


def withdrawal_strength(diameter: Length, thread: Length, density: float) -> float:
    """Withdrawal strength (8.39) f_ax = 0.52 d^-0.5 l^-0.1 rho^0.8 in N/mm2.

    >>> round(withdrawal_strength(8.0, 60.0, 350.0), 2)
    13.24
    """
    return float(0.52 * diameter**-0.5 * thread**-0.1 * density**0.8)


def withdrawal(diameter: Length, thread: Length, density: float, count: int) -> Force:
    """Withdrawal resistance (8.38) n_ef f_ax d l k_d of screws square to the grain.

    (8.40) k_d = min(d/8, 1). thread: its length l in the timber.

    >>> round(withdrawal(8.0, 60.0, 350.0, 1))
    6355
    """
    strength = withdrawal_strength(diameter, thread, density)
    slimness = min(diameter / 8, 1.0)
    return acting(count) * strength * diameter * thread * slimness


def acting(count: int) -> float:
    """Effective number n_ef = n^0.9 of a group of n screws.

    >>> round(acting(2), 4)
    1.8661
    """
    return float(count**0.9)


def design_force(characteristic: Force, duration: LoadDuration, *, wet: bool) -> Force:
    """Design resistance F_Rk k_mod/gamma_M.

    >>> [round(design_force(6355.0, load, wet=True)) for load in ("live", "ten_minutes")]
    [3422, 4400]
    """
    return characteristic * MODIFICATION[duration, wet] / PARTIAL


def holds_for(diameter: Length, thread: Length) -> bool:
    """Whether (8.39) holds: 6 <= d <= 12 mm, and a thread of at least 6 d (memory)."""
    return THINNEST <= diameter <= THICKEST and thread >= 6 * diameter


def least_edge(diameter: Length) -> Length:
    """Least edge distance of a screw, 4 d (EN 1995-1-1 table 8.6; memory)."""
    return 4 * diameter


def least_spacing(diameter: Length) -> Length:
    """Least spacing of screws along the grain, 7 d; across it 5 d would do.

    EN 1995-1-1 table 8.6; memory.
    """
    return 7 * diameter
