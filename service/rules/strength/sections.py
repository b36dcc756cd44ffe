"""Rules: section properties of tubes and bars, those with sharp corners and round ones.

Source: the ordinary formulas of any handbook (facts on engineering, 4.2).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from service.core.measure import Length


class Section(NamedTuple):
    """Second moment and section modulus about the axis that the load bends it about, in the fourth
    power and the cube of the unit of length.
    """

    moment: float
    modulus: float


def bar(along: Length, across: Length) -> Section:
    """A solid rectangle. along: its side in the direction of the load; across: the other.

    I = b d^3/12, S = b d^2/6.

    >>> bar(6.0, 2.0)
    Section(moment=36.0, modulus=12.0)
    """
    moment = across * along**3 / 12
    return Section(moment, 2 * moment / along)


def tube(along: Length, across: Length, wall: Length) -> Section:
    """A rectangular tube of even wall: the outer rectangle less the inner one.

    A wall of half a side or more leaves no hollow: then it is a bar.

    >>> section = tube(2.5, 2.5, 0.125)
    >>> round(section.moment, 4), round(section.modulus, 4)
    (1.1195, 0.8956)
    """
    whole = bar(along, across)
    inner_along, inner_across = along - 2 * wall, across - 2 * wall
    if inner_along <= 0 or inner_across <= 0:
        return whole
    moment = whole.moment - bar(inner_along, inner_across).moment
    return Section(moment, 2 * moment / along)


def rod(diameter: Length) -> Section:
    """A solid round. I = pi D^4/64, S = pi D^3/32.

    >>> section = rod(2.0)
    >>> round(section.moment, 4), round(section.modulus, 4)
    (0.7854, 0.7854)
    """
    moment = math.pi * diameter**4 / 64
    return Section(moment, 2 * moment / diameter)


def ring(diameter: Length, wall: Length) -> Section:
    """A round tube of even wall: the outer circle less the inner one; without a hollow, a rod.

    >>> section = ring(1.5, 0.125)
    >>> round(section.moment, 4), round(section.modulus, 4)
    (0.1287, 0.1716)
    """
    inner = diameter - 2 * wall
    if inner <= 0:
        return rod(diameter)
    moment = rod(diameter).moment - rod(inner).moment
    return Section(moment, 2 * moment / diameter)


def slenderness(side: Length, wall: Length) -> float:
    """Flat width over thickness of a tube's wall, between the walls beside it.

    >>> slenderness(2.5, 0.125)
    18.0
    """
    return (side - 2 * wall) / wall
