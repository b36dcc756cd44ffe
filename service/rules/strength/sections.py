"""Rules: section properties of tubes and bars, rectangular with sharp corners, and round.

Source: the ordinary formulas of any handbook (facts on engineering, 4.2).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from service.core.measure import Length


class Section(NamedTuple):
    """Second moment and section modulus about the axis that a load bends a member about.

    They are in the fourth power and in the cube of the unit of length.
    """

    moment: float
    modulus: float


def bar(along: Length, across: Length) -> Section:
    """Section of a solid rectangle.

    I = b d^3/12, S = b d^2/6. along: the side d in the direction of the load. across: the other
    side, b.

    >>> bar(6.0, 2.0)
    Section(moment=36.0, modulus=12.0)
    """
    moment = across * along**3 / 12
    return Section(moment, 2 * moment / along)


def tube(along: Length, across: Length, wall: Length) -> Section:
    """Section of a rectangular tube of even wall: the outer rectangle less the inner one.

    A wall of half a side or more leaves no hollow: the section is then that of a bar.

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
    """Section of a solid round. I = pi D^4/64, S = pi D^3/32.

    >>> section = rod(2.0)
    >>> round(section.moment, 4), round(section.modulus, 4)
    (0.7854, 0.7854)
    """
    moment = math.pi * diameter**4 / 64
    return Section(moment, 2 * moment / diameter)


def ring(diameter: Length, wall: Length) -> Section:
    """Section of a round tube of even wall: the outer circle less the inner one.

    Where the wall leaves no hollow, the section is that of a rod.

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
    """Flat width of a tube's wall, between the walls beside it, over its thickness.

    >>> slenderness(2.5, 0.125)
    18.0
    """
    return (side - 2 * wall) / wall
