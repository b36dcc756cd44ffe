"""Figures of a raked bay: a rail's cut and blank, and a panel."""

from __future__ import annotations

import math

from deploy.figures.flights import drawn_flight
from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import between, plain, tape
from service.core.flights.drafts import RakedBay
from service.core.records.infill import Glass
from service.core.records.kit import Kit


def raked_cuts(kit: Kit) -> Sheet:
    """Step 9: the two ends of a raked rail, and a raked panel seen from outside."""
    sheet = Sheet(
        760,
        520,
        "Raked cuts",
        "A raked rail laid flat, with both plumb ends, its cut along either long edge and the"
        " longer blank that it is sawn from; and a raked panel with plumb sides, its corners, its"
        " setting blocks and the end block at its low end.",
    )
    picket = drawn_flight(kit).sides[1].bays[0]
    glass = drawn_flight(kit, "glass").sides[1].bays[0]
    _rail(sheet, kit, picket)
    assert glass.fill.glass is not None
    _panel(sheet, kit, glass, glass.fill.glass)
    return sheet


def _rail(sheet: Sheet, kit: Kit, bay: RakedBay) -> None:
    """Draw the top rail laid level, with a piece of its middle left out."""
    rail, rake = kit.rails["picket"].top, bay.fill.rake
    assert rake is not None
    depth, top, left, right = 58.0, 84.0, 70.0, 690.0
    lean = depth * math.tan(math.radians(rake.pitch))
    foot = top + depth
    gap = 14.0
    middle = (left + right) / 2
    for one, other in (((left, 0.0), (middle - gap, 8.0)), ((middle + gap, -8.0), (right, 0.0))):
        (x, _), (end, _) = one, other
        upper = x + lean if x == left else x - 10
        last = end if end == right else end - 10
        low = x if x == left else x + 10
        low_last = end - lean if end == right else end + 10
        sheet.shape("rail", [(upper, top), (last, top), (low_last, foot), (low, foot)])
    sheet.line("dash", (left, top), (left, foot))
    sheet.line("dash", (right, top), (right, foot))
    sheet.line("dash", (left, top), (left + lean, top))
    sheet.line("dash", (right - lean, foot), (right, foot))
    sheet.text(
        (12, 22),
        f"top rail of the upper bay, laid flat: cut = clear_slope {plain(rake.clear_slope)}"
        f" − 2·{plain(rail.end_allowance['rake'])}, down to a mark",
        "head",
        halo=False,
    )
    sheet.dimension(
        (left + lean, top),
        (right, top),
        f"cut {plain(bay.fill.top_cut)}  ({tape(bay.fill.top_cut)})",
        off=16,
        style="sum",
    )
    sheet.dimension(
        (left, foot),
        (right, foot),
        f"blank = cut + {plain(rail.depth)}·tan(pitch) = {plain(rake.top_blank)}",
        off=-24,
        side=-1,
    )
    sheet.dimension((middle + 70, foot), (middle + 70, top), f"depth {plain(rail.depth)}", side=-1)
    sheet.arc((left, foot), 34, 0, math.degrees(math.atan2(depth, lean)))
    sheet.text((left + 40, foot - 8), f"end_cut {plain(rake.end_cut)}°")
    sheet.text((right - lean - 10, top + 20), "both ends plumb as built", "small", "end")


def _panel(sheet: Sheet, kit: Kit, bay: RakedBay, panel: Glass) -> None:
    """Draw the panel as ordered; that of a right guard, seen from outside, falls to the left."""
    rake = bay.fill.rake
    assert rake is not None
    view = View((120.0, 490.0), 4.9)
    sheet.text(
        (12, 222),
        f"panel of a glass bay, right guard, from outside: falls {rake.falls}",
        "head",
        halo=False,
    )
    sheet.shape("glass", view.all(panel.corners))
    assert kit.glass is not None
    for at in panel.blocks:
        _block(sheet, view, panel, at, kit.glass.block.length)
    names = [f"({plain(x)}, {plain(y)})" for x, y in panel.corners]
    for name, corner, (dx, dy) in zip(
        names, panel.corners, ((-8, 18), (8, 14), (8, -4), (-8, -2)), strict=True
    ):
        x, y = view.at(corner)
        sheet.dot("fill", (x, y), 2)
        sheet.text((x + dx, y + dy), name, "small", "start" if dx > 0 else "end")
    (x0, y0), (x1, y1) = panel.corners[:2]
    low = (x0, y0) if y0 < y1 else (x1, y1)
    _end_block(sheet, view, low)
    words = [
        f"width {plain(panel.width)} = clear {plain(bay.clear)} − 2·side_gap",
        f"height {plain(panel.height)}, plumb",
        f"rise {plain(abs(y1 - y0))} = width·tan(pitch), down to a mark",
        f"blocks {plain(panel.blocks[0])} and {plain(panel.blocks[1])} along the lower edge",
        f"end_block {plain(rake.end_block or 0.0)}: from the upper end",
        "along the lower edge to the block at the low end,",
        "which keeps the panel from sliding down",
    ]
    sheet.lines((380, 282), words)
    sheet.leader(view.at((low[0] - 0.8, low[1] + 1.5)), (380, 430), "end block", "sum")


def _block(sheet: Sheet, view: View, panel: Glass, at: float, length: float) -> None:
    (x0, y0), (x1, y1) = panel.corners[:2]
    size = math.dist((x0, y0), (x1, y1))
    ux, uy = (x1 - x0) / size, (y1 - y0) / size

    def point(along: float, below: float) -> Point:
        return x0 + ux * along + uy * below, y0 + uy * along - ux * below

    ends = at - length / 2, at + length / 2
    corners = [point(ends[0], 0), point(ends[1], 0), point(ends[1], 1.4), point(ends[0], 1.4)]
    sheet.shape("mark", view.all(corners))


def _end_block(sheet: Sheet, view: View, low: Point) -> None:
    """Draw the end block, against the panel's plumb side at its low end."""
    sense = -1.0 if low[0] < 1 else 1.0
    sheet.box("mark", *between(view, low, (low[0] + sense * 1.6, low[1] + 4.0)))
