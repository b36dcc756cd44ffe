"""Rules: glass held along its top and bottom edges, taken as a strip that spans between them.

Elementary beam cases on a strip of unit breadth (facts on engineering, 2). They leave out the
plate's own stiffness and its tension as a membrane, which is on the safe side. Units are in and
psi, or mm and MPa.
"""

from __future__ import annotations

from service.core.measure import Force, Length
from service.rules.strength.beams import span_deflection_of_patch, span_moment_of_patch


def pressure_stress(pressure: float, span: Length, thickness: Length) -> float:
    """Stress 0.75 p (H/t)^2 under a pressure on the whole strip.

    >>> round(pressure_stress(0.001, 914.4, 5.56), 2)
    20.29
    """
    return 0.75 * pressure * (span / thickness) ** 2


def pressure_deflection(
    pressure: float, span: Length, thickness: Length, elasticity: float
) -> Length:
    """Deflection 5 p H^4/(32 E t^3) under a pressure on the whole strip.

    >>> round(pressure_deflection(0.001, 914.4, 5.56, 71_700.0), 2)
    8.86
    """
    return 5 * pressure * span**4 / (32 * elasticity * thickness**3)


def patch_stress(
    force: Force, span: Length, patch: Length, thickness: Length, breadth: Length
) -> float:
    """Stress 6 M/(b t^2) under a force on a patch of height c at mid-height.

    M = P (2 H - c)/8. breadth: of the strip that takes the force; the breadth of the patch itself
    is the least, and so the safe one.

    >>> round(patch_stress(50.0, 36.0, 12.0, 0.219, 12.0))
    3909
    """
    return 6 * span_moment_of_patch(force, span, patch) / (breadth * thickness**2)


def patch_deflection(
    force: Force,
    span: Length,
    patch: Length,
    thickness: Length,
    breadth: Length,
    elasticity: float,
) -> Length:
    """Deflection P (8 H^3 - 4 H c^2 + c^3)/(384 E I) under a force on a patch, with I = b t^3/12.

    >>> round(patch_deflection(50.0, 36.0, 12.0, 0.219, 12.0, 10.4e6), 3)
    0.422
    """
    moment = breadth * thickness**3 / 12
    return span_deflection_of_patch(force, span, patch, elasticity, moment)
