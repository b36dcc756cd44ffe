"""Rules: moments and deflections of posts and rails, and how far an old standard lets them move.

Elementary beam cases (American Wood Council, design aid no. 6; facts on engineering, 4.2, 4.3). P
is a force, w a force for each unit of length, E the elasticity in psi or MPa, I the second moment
in the fourth power of the unit of length.
"""

from __future__ import annotations

import math

from service.core.measure import Degrees, Force, Length


def cantilever_moment(force: Force, height: Length) -> float:
    """Moment M = P h at the foot of a post.

    >>> cantilever_moment(200.0, 42.0)
    8400.0
    """
    return force * height


def skew_factor(skew: Degrees) -> float:
    """How many times more a push off square to a post's faces bends it than one square to them.

    A post that is alike both ways is bent by M cos about one axis and by M sin about the other; the
    two add up at a corner of the post, and at a fixing in a corner of its base. skew: how far off
    square.

    >>> skew_factor(0.0), round(skew_factor(22.5), 4), round(skew_factor(45.0), 4)
    (1.0, 1.3066, 1.4142)
    """
    return math.cos(math.radians(skew)) + math.sin(math.radians(skew))


def cantilever_deflection(
    force: Force, height: Length, elasticity: float, second_moment: float
) -> Length:
    """Deflection P h^3/(3 E I) at the top of a post that is held fast at its foot.

    >>> round(cantilever_deflection(200.0, 42.0, 10.1e6, 1.11947), 4)
    0.4368
    """
    return force * height**3 / (3 * elasticity * second_moment)


def span_moment_of_line(line: float, span: Length) -> float:
    """Moment M = w L^2/8 in the middle of a simple span under a line load.

    >>> span_moment_of_line(50 / 12, 72.0)
    2700.0
    """
    return line * span**2 / 8


def overhang_moment_of_line(line: float, overhang: Length) -> float:
    """Moment M = w a^2/2 at the last support of a rail whose end hangs over by a.

    >>> overhang_moment_of_line(50 / 12, 12.0)
    300.0
    """
    return line * overhang**2 / 2


def span_moment_of_point(force: Force, span: Length) -> float:
    """Moment M = P L/4 under a force in the middle of a simple span.

    >>> span_moment_of_point(200.0, 72.0)
    3600.0
    """
    return force * span / 4


def span_moment_of_patch(force: Force, span: Length, patch: Length) -> float:
    """Moment M = P (2 L - c)/8 under a force spread over c in the middle of a simple span.

    Where c is longer than the span, only the part of the force on the span counts.

    >>> span_moment_of_patch(50.0, 36.0, 12.0)
    375.0
    """
    if patch >= span:
        return force / patch * span**2 / 8
    return force * (2 * span - patch) / 8


def span_deflection_of_line(
    line: float, span: Length, elasticity: float, second_moment: float
) -> Length:
    """Deflection 5 w L^4/(384 E I) in the middle of a simple span under a line load.

    >>> round(span_deflection_of_line(50 / 12, 72.0, 10.1e6, 0.55176), 3)
    0.262
    """
    return 5 * line * span**4 / (384 * elasticity * second_moment)


def span_deflection_of_point(
    force: Force, span: Length, elasticity: float, second_moment: float
) -> Length:
    """Deflection P L^3/(48 E I) under a force in the middle of a simple span.

    >>> round(span_deflection_of_point(200.0, 72.0, 10.1e6, 0.55176), 4)
    0.2791
    """
    return force * span**3 / (48 * elasticity * second_moment)


def span_deflection_of_patch(
    force: Force, span: Length, patch: Length, elasticity: float, second_moment: float
) -> Length:
    """Deflection P (8 L^3 - 4 L c^2 + c^3)/(384 E I) under a force spread over c in mid-span.

    Where c is longer than the span, only the part of the force on the span counts.

    >>> round(span_deflection_of_patch(50.0, 36.0, 12.0, 10.4e6, 12 * 0.219**3 / 12), 3)
    0.422
    """
    if patch >= span:
        return span_deflection_of_line(force / patch, span, elasticity, second_moment)
    spread = 8 * span**3 - 4 * span * patch**2 + patch**3
    return force * spread / (384 * elasticity * second_moment)


def post_top_limit(height: Length) -> Length:
    """Greatest deflection h/12 at the top of a post, as ASTM E985 is quoted (withdrawn in 2015).

    >>> post_top_limit(42.0)
    3.5
    """
    return height / 12


def middle_limit(height: Length, span: Length) -> Length:
    """Greatest deflection h/24 + L/96 sideways in the middle of a rail whose posts move too.

    E985, as for `post_top_limit`.

    >>> middle_limit(42.0, 72.0)
    2.5
    """
    return height / 24 + span / 96


def sag_limit(span: Length) -> Length:
    """Greatest deflection L/96 down in the middle of a rail; E985, as for `post_top_limit`.

    >>> sag_limit(72.0)
    0.75
    """
    return span / 96
