"""Core: the glass panel of a bay and its setting blocks (method 7)."""

from __future__ import annotations

import math
from typing import Final

from service.core.measure import (
    MM_PER_IN,
    TOUCH,
    Area,
    Length,
    Mass,
    Unit,
    floor_to_mark,
    nearest_mark,
)
from service.core.records.infill import Glass
from service.core.records.kit import GlassKit
from service.core.runs.cuts import Clears

MASS_PER_MM: Final = 2.5
"""Mass of glass in kg/m2 for each mm of nominal thickness, from 2500 kg/m3."""
KG_PER_LB: Final = 0.45359237


def panel_width(clear: Length, kit: GlassKit, step: Length) -> Length:
    """Width of the panel for a clear opening, floored to a mark."""
    return floor_to_mark(clear - 2 * kit.side_gap, step)


def panel_fits(clear: Length, height: Length, kit: GlassKit, step: Length) -> bool:
    """Whether a panel for this clear, of this height, is within the kit's greatest width and
    area."""
    width = panel_width(clear, kit, step)
    return width <= kit.max_width + TOUCH and width * height <= kit.max_area + TOUCH


def place_blocks(width: Length, kit: GlassKit, step: Length, edge: Length) -> tuple[Length, Length]:
    """Centres of the two setting blocks along the panel's lower edge, from its first end.

    They are at the inset from each end, but at the quarter points where the panel is narrower than
    four insets. edge: length of the lower edge, which is `width` where the panel is not raked.
    """
    inset = kit.block.inset
    first = inset if width >= 4 * inset - TOUCH else edge / 4
    return nearest_mark(first, step), nearest_mark(edge - first, step)


def weigh(area_square_metres: Area, nominal_mm: float) -> float:
    """Mass of a panel in kg, by its nominal thickness.

    >>> weigh(1.2, 12.0)
    36.0
    """
    return area_square_metres * nominal_mm * MASS_PER_MM


def panel_area(width: Length, height: Length, nominal_mm: float, unit: Unit) -> tuple[Area, Mass]:
    """Area of a panel in sq ft or m2, and its mass in lb or kg.

    width: in plan, where the panel is raked.
    """
    mm = MM_PER_IN if unit == "in" else 1.0
    square_metres = width * height * mm * mm / 1e6
    mass = weigh(square_metres, nominal_mm)
    if unit == "in":
        return width * height / 144, mass / KG_PER_LB
    return square_metres, mass


def place_panel(
    clears: Clears,
    height: Length,
    kit: GlassKit,
    pane: int,
    unit: Unit,
    step: Length,
    climb: float = 0.0,
) -> Glass:
    """The panel of a bay: sized from the clear that its run shares, and centred in the bay's own.

    pane: which of the kit's panes. climb: of a raked panel, a parallelogram with plumb sides, how
    much its edges rise for their width in plan; below 0 where they fall. The corners go
    counter-clockwise from (0,0), as seen from outside. The area is in sq ft or m2, the mass in lb
    or kg.
    """
    width = panel_width(clears.shared, kit, step)
    rise = floor_to_mark(width * abs(climb), step)
    far = rise if climb >= 0 else -rise
    area, mass = panel_area(width, height, kit.panes[pane].nominal_mm, unit)
    return Glass(
        width=width,
        height=height,
        pane=pane,
        side_gap=(clears.own - width) / 2,
        corners=((0.0, 0.0), (width, far), (width, far + height), (0.0, height)),
        area=area,
        mass=mass,
        blocks=place_blocks(width, kit, step, math.hypot(width, rise)),
    )
