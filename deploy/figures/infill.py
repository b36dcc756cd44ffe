"""Figures of a bay: pickets and spacers, glass in its channels."""

from __future__ import annotations

from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import between, house, plain
from service.core.records.infill import Glass, Pickets
from service.core.records.kit import GlassKit, Kit, PicketKit, Rails
from service.core.records.layout import Bay


def pickets(kit: Kit) -> Sheet:
    """Step 6: a picket bay in elevation, and the first end of its bottom rail."""
    sheet = Sheet(
        760,
        560,
        "Pickets and spacers",
        "Elevation of a picket bay between two posts with its heights, and an enlarged end of the"
        " bottom rail with a cut end spacer, pickets and full spacers.",
    )
    bay = house(kit).bays[0]
    assert bay.fill.pickets is not None
    assert kit.picket is not None
    rails = kit.rails["picket"]
    view = View((150.0, 366.0), 8.2)
    _frame(sheet, view, kit, bay, rails)
    foot = kit.bottom_gap + rails.bottom.depth - kit.picket.engagement.bottom
    for centre in bay.fill.pickets.centres:
        half = kit.picket.width / 2
        sheet.box(
            "dash",
            *between(view, (centre - half, foot), (centre + half, foot + bay.fill.pickets.length)),
        )
        sheet.box(
            "blank",
            *between(
                view,
                (centre - half, kit.bottom_gap + rails.bottom.depth),
                (centre + half, bay.height - rails.top.depth),
            ),
        )
        sheet.box(
            "ink",
            *between(
                view,
                (centre - half, kit.bottom_gap + rails.bottom.depth),
                (centre + half, bay.height - rails.top.depth),
            ),
        )
    _heights(sheet, view, kit, bay, rails, (foot, bay.fill.pickets.length, "picket"))
    fifth, sixth = bay.fill.pickets.centres[4:6]
    half, mid = kit.picket.width / 2, 20.0
    sheet.dimension(
        *between(view, (fifth + half, mid), (sixth - half, mid)),
        f"gap {plain(bay.fill.pickets.gap)}",
        nudge=(0, -2),
    )
    sheet.dimension(
        *between(view, (0.0, bay.height), (bay.clear, bay.height)),
        f"clear {plain(bay.clear)}",
        off=18,
    )
    _spacer_detail(sheet, kit, bay, bay.fill.pickets, kit.picket)
    return sheet


def _frame(sheet: Sheet, view: View, kit: Kit, bay: Bay, rails: Rails) -> None:
    """Draw posts, walking surface and rails of a bay in elevation."""
    width = kit.post.width
    sheet.line("ink", *between(view, (-7.0, 0.0), (bay.clear + 7.0, 0.0)))
    for low in (-width, bay.clear):
        sheet.box("post", *between(view, (low, 0.0), (low + width, bay.height)))
    for rail, cut, low in (
        (rails.top, bay.fill.top_cut, bay.height - rails.top.depth),
        (rails.bottom, bay.fill.bottom_cut, kit.bottom_gap),
    ):
        start = rail.end_allowance[bay.ends[0]]
        sheet.box("rail", *between(view, (start, low), (start + cut, low + rail.depth)))


def _heights(
    sheet: Sheet, view: View, kit: Kit, bay: Bay, rails: Rails, part: tuple[float, float, str]
) -> None:
    """Draw the heights on the left of a bay, and the length of its infill on the right.

    part: the foot of a picket or a panel above the walking surface, its length, and its name.
    """
    left = -kit.post.width
    gap, low, high = (
        kit.bottom_gap,
        kit.bottom_gap + rails.bottom.depth,
        bay.height - rails.top.depth,
    )
    sheet.dimension(
        *between(view, (left, 0.0), (left, bay.height)), f"height {plain(bay.height)}", off=62
    )
    sheet.dimension(
        *between(view, (left, high), (left, bay.height)), plain(rails.top.depth), off=14
    )
    sheet.dimension(
        *between(view, (left, gap), (left, low)), plain(rails.bottom.depth), off=14, nudge=(0, -6)
    )
    sheet.dimension(*between(view, (left, 0.0), (left, gap)), plain(gap), off=14, nudge=(0, 2))
    foot, length, name = part
    right = bay.clear + kit.post.width
    sheet.dimension(
        *between(view, (right, foot), (right, foot + length)),
        f"{name} {plain(length)}",
        off=-22,
        side=-1,
    )


def _spacer_detail(sheet: Sheet, kit: Kit, bay: Bay, row: Pickets, picket: PicketKit) -> None:
    rail = kit.rails["picket"].bottom
    view = View((90.0, 492.0), 34.0)
    width, start = picket.width, rail.end_allowance[bay.ends[0]]
    shown = row.centres[3] - width
    sheet.text((12, 412), "first end of the bottom rail, from above", "head", halo=False)
    sheet.box("post", *between(view, (-1.4, -0.7), (0.0, 1.6)))
    sheet.box("rail", *between(view, (start, -0.1), (shown, 1.0)))
    faces = [start]
    for centre in row.centres[:3]:
        faces += [centre - width / 2, centre + width / 2]
        sheet.box("blank", *between(view, (centre - width / 2, 0.08), (centre + width / 2, 0.83)))
        sheet.box("accent", *between(view, (centre - width / 2, 0.08), (centre + width / 2, 0.83)))
    faces.append(shown)
    for i, (low, high) in enumerate(zip(faces[::2], faces[1::2], strict=True)):
        sheet.box("thin", *between(view, (low + 0.02, 0.2), (high - 0.02, 0.7)))
        if 0 < i < 3:
            sheet.dimension(
                *between(view, (low, -0.1), (high, -0.1)),
                f"spacer {plain(row.gap)}",
                off=-14,
                side=-1,
            )
    cut = next(s.length for s in row.spacers if s.rail == "bottom" and s.length != row.gap)
    sheet.dimension(
        *between(view, (start, -0.1), (faces[1], -0.1)),
        f"end spacer {plain(cut)}",
        off=-14,
        side=-1,
    )
    sheet.dimension(
        *between(view, (0.0, 1.0), (faces[1], 1.0)), f"end gap {plain(row.end_gap)}", off=12
    )
    sheet.text(
        (12, 552),
        "n = ceil((clear − gap)/(width + gap)) ="
        f" ceil(({plain(bay.clear)} − {plain(row.gap)})/{plain(width + row.gap)}) = {row.count};"
        f"  end gap = (clear − n·width − (n−1)·gap)/2 = {plain(row.end_gap)}",
        "",
        halo=False,
    )


def glass(kit: Kit) -> Sheet:
    """Step 7: a panel lifted in and let down, and a bay with its setting blocks."""
    sheet = Sheet(
        760,
        440,
        "Glass in its channels",
        "Two sections: the panel goes up into the top channel, then down into the bottom one. An"
        " elevation of a bay with the panel, its side gaps and two setting blocks.",
    )
    bay = house(kit, "glass").bays[0]
    assert bay.fill.glass is not None
    assert kit.glass is not None
    rails = kit.rails["glass"]
    for i, title in enumerate(("lifted in", "let down")):
        _section(sheet, kit.glass, rails, (22.0 + 132.0 * i, 0.0), title, seated=i == 1)
    _glass_bay(sheet, kit, bay, bay.fill.glass, rails)
    return sheet


def _section(
    sheet: Sheet, glass: GlassKit, rails: Rails, corner: Point, title: str, *, seated: bool
) -> None:
    """Draw a section of both channels at 40 px an inch, with the panel, its middle left out.

    seated: whether the panel is let down onto its setting block, or still lifted into the top.
    """
    x, scale = corner[0] + 52.0, 40.0
    top, foot = 60.0, 352.0
    roof, floor = top + rails.top.depth * scale, foot - rails.bottom.depth * scale
    half, wall = 10.0, 7.0
    depth = glass.top_channel_depth * scale
    for sense in (-1, 1):
        sheet.box("rail", (x + sense * half, roof - depth), (x + sense * (half + wall), roof))
        sheet.box("rail", (x + sense * half, floor), (x + sense * (half + wall), foot - 5))
    sheet.box("rail", (x - half - wall, top), (x + half + wall, roof - depth))
    sheet.box("rail", (x - half - wall, foot - 5), (x + half + wall, foot))
    both = (glass.engagement.top + glass.engagement.bottom) * scale
    up = glass.engagement.top * scale if seated else both
    low = floor + (glass.engagement.bottom * scale if seated else 0.0)
    middle = (roof + floor) / 2
    sheet.shape(
        "glass", [(x - 6, roof - up), (x + 6, roof - up), (x + 6, middle - 12), (x - 6, middle - 6)]
    )
    sheet.shape("glass", [(x - 6, middle + 6), (x + 6, middle), (x + 6, low), (x - 6, low)])
    sheet.text((x, 38), title, "head", "middle", halo=False)
    side = x + half + wall
    sheet.dimension((side, roof - up), (side, roof), plain(up / scale), off=14)
    if seated:
        sheet.box("fill", (x - 6, low), (x + 6, foot - 5))
        sheet.dimension((side, floor), (side, low), plain(glass.engagement.bottom), off=14)
        sheet.leader((x, (low + foot - 5) / 2), (x + 38, 372), "block")
    else:
        sheet.dimension(
            (x - half - wall, roof - depth),
            (x - half - wall, roof),
            plain(glass.top_channel_depth),
            off=-14,
            side=-1,
        )


def _glass_bay(sheet: Sheet, kit: Kit, bay: Bay, panel: Glass, rails: Rails) -> None:
    assert kit.glass is not None
    scale = 6.6
    view = View((360.0, 340.0), scale)
    _frame(sheet, view, kit, bay, rails)
    low = kit.bottom_gap + rails.bottom.depth - kit.glass.engagement.bottom
    gap = panel.side_gap
    sheet.box("glass", *between(view, (gap, low), (gap + panel.width, low + panel.height)))
    for rail, cut, foot in (
        (rails.top, bay.fill.top_cut, bay.height - rails.top.depth),
        (rails.bottom, bay.fill.bottom_cut, kit.bottom_gap),
    ):
        start = rail.end_allowance[bay.ends[0]]
        sheet.box("ink", *between(view, (start, foot), (start + cut, foot + rail.depth)))
    for block in panel.blocks:
        half = kit.glass.block.length / 2
        sheet.box(
            "mark", *between(view, (gap + block - half, low - 0.5), (gap + block + half, low))
        )
    sheet.dimension(
        *between(view, (gap, low), (gap + panel.blocks[0], low)),
        plain(panel.blocks[0]),
        off=-40,
        side=-1,
    )
    sheet.dimension(
        *between(view, (gap, low), (gap + panel.blocks[1], low)),
        f"blocks {plain(panel.blocks[1])}",
        off=-62,
        side=-1,
    )
    sheet.dimension(
        *between(view, (gap, 22.0), (gap + panel.width, 22.0)), f"width {plain(panel.width)}"
    )
    sheet.dimension(
        *between(view, (gap + panel.width / 3, low), (gap + panel.width / 3, low + panel.height)),
        f"height {plain(panel.height)}",
        side=-1,
        nudge=(0, 40),
    )
    sheet.dimension(
        *between(view, (0.0, 30.0), (gap, 30.0)), f"side gap {plain(gap)}", nudge=(46, 0)
    )
    sheet.dimension(
        *between(view, (0.0, bay.height), (bay.clear, bay.height)),
        f"clear {plain(bay.clear)}",
        off=16,
    )
    sheet.text((360, 428), "width = shared clear − 2·side_gap, down to a mark", "sum", halo=False)
    sheet.lines(
        (16, 412), ["top_channel_depth must be at least", "both engagements together"], "sum"
    )
