"""Rules: lag screws and wood screws pulled out of timber, by allowable stress (NDS).

Units are inches and lbf alone, as the specification prints them. Clauses are those of the NDS 2018.
"""

from __future__ import annotations

from typing import Final

from service.core.measure import Force, Length
from service.core.records.strength import LoadDuration

GRAVITIES: Final[dict[str, float]] = {
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
"""Specific gravity by species (NDS table 12.3.3A; seen)."""
DURATIONS: Final[dict[LoadDuration, float]] = {"live": 1.0, "ten_minutes": 1.6}
"""Factor C_D for the duration of a load.

A live load of ten years in sum (NDS 2.3.2; seen), or the ten minutes that the wood council's deck
guide is reported to use (seen at second hand).
"""
WET: Final = 0.7
"""Factor C_M of withdrawal where the wood is over 19 % moist (NDS table 11.3.3; memory)."""


def lag_withdrawal(gravity: float, diameter: Length) -> float:
    """Withdrawal W = 1800 G^1.5 D^0.75 of a lag screw in side grain (NDS 12.2.1; seen).

    In lbf for each inch of thread. gravity: specific gravity G of the timber.

    >>> round(lag_withdrawal(0.42, 0.375)), round(lag_withdrawal(0.55, 0.5))
    (235, 437)
    """
    return float(1800 * gravity**1.5 * diameter**0.75)


def wood_screw_withdrawal(gravity: float, diameter: Length) -> float:
    """Withdrawal W = 2850 G^2 D of a wood screw in side grain (NDS 12.2.2; seen).

    In lbf for each inch of thread. gravity: specific gravity G of the timber.

    >>> round(wood_screw_withdrawal(0.42, 0.242), 2)
    121.66
    """
    return 2850 * gravity**2 * diameter


def adjusted(withdrawal: float, duration: LoadDuration, *, wet: bool) -> float:
    """W' = W C_D C_M: W adjusted for how long the load lasts, and for wet service.

    >>> round(adjusted(lag_withdrawal(0.42, 0.375), "ten_minutes", wet=True), 2)
    262.96
    """
    return withdrawal * DURATIONS[duration] * (WET if wet else 1.0)


def thread_held(length: Length, thread: Length, tip: Length, side_member: Length) -> Length:
    """Length of thread in the framing: what is past the side member, without the tapered tip.

    It is not more than the thread itself, and 0 where none of it reaches the framing.

    >>> thread_held(4.0, 4.0, 0.3125, 1.5), thread_held(5.0, 3.0, 0.21875, 1.5)
    (2.1875, 2.78125)
    """
    return max(0.0, min(thread, length - side_member) - tip)


def least_penetration(kind: str, diameter: Length) -> Length:
    """Least length of thread in the timber.

    4 D for a lag screw, the tip not counted (NDS 12.1.4; seen); 6 D for a wood screw (seen).

    >>> least_penetration("lag_screw", 0.375)
    1.5
    """
    return (4 if kind == "lag_screw" else 6) * diameter


def least_edge(diameter: Length) -> Length:
    """Least edge distance of a lag screw in withdrawal, 1.5 D (NDS table 12.5.1E; memory)."""
    return 1.5 * diameter


def least_spacing(diameter: Length) -> Length:
    """Least spacing of lag screws in withdrawal, 4 D (NDS table 12.5.1E; memory)."""
    return 4 * diameter


def row_tension(moment: float, lever: Length) -> Force:
    """Pull T = M/z on the row of fixings in tension.

    lever: z, from that row to the far edge of a stiff plate, or to the far row, which is safer.

    >>> row_tension(8400.0, 3.5)
    2400.0
    """
    return moment / lever
