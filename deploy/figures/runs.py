"""Figures along a run: marks, rail cuts, supports and weep holes."""

from __future__ import annotations

from collections.abc import Sequence

from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import between, house, plain, tape
from service.core.records.kit import Kit
from service.core.records.layout import Bay, Run


def bays(kit: Kit) -> Sheet:
    """Step 4: two runs with their bays: between corner posts, and from a corner post to a wall."""
    sheet = Sheet(
        760,
        365,
        "Bays and marks",
        "Two runs in plan. The first has corner posts at both ends, the second ends at a wall."
        " Marks are post centres from the run's start; the clear openings are equal but for the"
        " grid.",
    )
    laid = house(kit)
    for i, run in enumerate(laid.runs[:2]):
        _run_strip(sheet, kit, run, [bay for bay in laid.bays if bay.run == run.id], 190.0 * i)
    return sheet


def _run_strip(sheet: Sheet, kit: Kit, run: Run, railed: Sequence[Bay], top: float) -> None:
    view = View((36.0, top + 92.0), 2.9)
    width = kit.post.width
    title = "between two corner posts" if run.end else "from a corner post to a wall"
    sheet.text(
        (12, top + 22),
        f"run {run.id}, {title}: L = {plain(run.length)},"
        f" spacing at most {plain(kit.max_centres['picket'])}",
        "head",
        halo=False,
    )
    for bay, (low, high) in zip(railed, _faces(kit, run), strict=True):
        sheet.box("rail", *between(view, (low, -1.2), (high, 1.2)))
        sheet.dimension(
            *between(view, (low, 2.4), (high, 2.4)), f"clear {plain(bay.clear)}", off=14
        )
    for i, mark in enumerate(run.marks):
        at = view.at((mark, 0.0))
        wall = run.end is None and i == len(run.marks) - 1
        if wall:
            sheet.box("wall", *between(view, (mark, -8.0), (mark + 4, 10.0)))
        else:
            sheet.box(
                "post",
                *between(view, (mark - width / 2, -width / 2), (mark + width / 2, width / 2)),
            )
        sheet.line("dash", at, (at[0], at[1] + 30))
        sheet.text((at[0], at[1] + 44), plain(mark), "sum", "middle")
    sheet.text((12, top + 158), _bay_sum(kit, run, len(railed)), "", halo=False)


def _faces(kit: Kit, run: Run) -> list[tuple[float, float]]:
    half = kit.post.width / 2
    last = len(run.marks) - 2
    spans = []
    for i, (low, high) in enumerate(zip(run.marks, run.marks[1:], strict=False)):
        near = low + (half if i or run.start else 0.0)
        far = high - (half if i < last or run.end else 0.0)
        spans.append((near, far))
    return spans


def _bay_sum(kit: Kit, run: Run, count: int) -> str:
    half, width = kit.post.width / 2, kit.post.width
    ends = (half if run.start else 0.0) + (half if run.end else 0.0)
    even = (run.length - ends - (count - 1) * width) / count
    second = plain(half) if run.end else "0"
    return (
        f"n = {count}: clear = (L − half a − half b − (n−1)·width)/n"
        f" = ({plain(run.length)} − {plain(half)} − {second} − {count - 1}·{plain(width)})/{count}"
        f" = {plain(even)}"
    )


def rail_cut(kit: Kit) -> Sheet:
    """Step 5: a rail's two ends, with their allowances, and its cut."""
    sheet = Sheet(
        760,
        300,
        "A rail's cut",
        "Elevation of the two ends of a top rail: a gap to the post face at a socket, a smaller"
        " one at a wall. The cut is the shared clear opening less both, rounded down to a mark.",
    )
    bays_of_house = house(kit).bays
    bay = next(bay for bay in bays_of_house if bay.ends[1] == "wall")
    shared = min(each.clear for each in bays_of_house if each.run == bay.run)
    rail = kit.rails["picket"].top
    allowances = rail.end_allowance["socket"], rail.end_allowance["wall"]
    scale, low, high = 56.0, 168.0, 168.0 - rail.depth * 56.0
    left, right = 150.0, 610.0
    inner = left + allowances[0] * scale, right - allowances[1] * scale
    sheet.box("post", (left - 63, 40), (left, 196))
    sheet.box("wall", (right, 40), (right + 70, 196))
    _broken_rail(sheet, inner, (high, low), 380.0)
    sheet.dimension(
        (left, low),
        (inner[0], low),
        f"socket {plain(allowances[0])}",
        off=-22,
        side=-1,
        nudge=(-20, 8),
    )
    sheet.dimension(
        (inner[1], low),
        (right, low),
        f"wall {plain(allowances[1])}",
        off=-22,
        side=-1,
        nudge=(24, 8),
    )
    sheet.dimension((left, high), (right, high), f"shared clear {plain(shared)}", off=40)
    sheet.dimension(
        (inner[0], high),
        (inner[1], high),
        f"cut {plain(bay.fill.top_cut)}  ({tape(bay.fill.top_cut)})",
        off=16,
        style="sum",
        nudge=(-150, 0),
    )
    words = (
        "cut = shared clear − allowance at one end − allowance at the other, down to a mark",
        f"{plain(shared)} − {plain(allowances[0])} − {plain(allowances[1])} ="
        f" {plain(bay.fill.top_cut)}; the bottom rail has allowances of its own",
    )
    sheet.text((380, 252), words[0], "sum", "middle", halo=False)
    sheet.text((380, 272), words[1], "", "middle", halo=False)
    return sheet


def _broken_rail(sheet: Sheet, ends: Point, depths: Point, middle: float) -> None:
    """Draw a rail with a piece of its middle left out. ends, depths: x and y in pixels."""
    (first, last), (top, foot) = ends, depths
    sheet.shape(
        "rail",
        [
            (first, top),
            (middle - 14, top),
            (middle - 26, (top + foot) / 2),
            (middle - 8, (top + foot) / 2),
            (middle - 20, foot),
            (first, foot),
        ],
    )
    sheet.shape(
        "rail",
        [
            (middle + 20, top),
            (last, top),
            (last, foot),
            (middle + 14, foot),
            (middle + 26, (top + foot) / 2),
            (middle + 8, (top + foot) / 2),
        ],
    )


def underside(kit: Kit) -> Sheet:
    """Step 8: supports and weep holes of a picket bay and of a glass bay."""
    sheet = Sheet(
        760,
        330,
        "Rail supports and weep holes",
        "Two bottom rails seen from below: a support in the middle and weep holes moved to the"
        " nearest marks clear of pickets, supports and setting blocks.",
    )
    for i, infill in enumerate(("picket", "glass")):
        _underside_strip(sheet, kit, house(kit, infill).bays[0], 158.0 * i)
    return sheet


def _underside_strip(sheet: Sheet, kit: Kit, bay: Bay, top: float) -> None:
    view = View((70.0, top + 92.0), 620.0 / bay.clear)
    rail = kit.rails[bay.infill].bottom
    assert kit.rail_support is not None
    assert kit.weep is not None
    start = rail.end_allowance[bay.ends[0]]
    what = "pickets" if bay.infill == "picket" else "setting blocks"
    sheet.text(
        (12, top + 22),
        f"{bay.infill} bay, clear {plain(bay.clear)}: bottom rail from below, {what} dashed",
        "head",
        halo=False,
    )
    for low in (-kit.post.width, bay.clear):
        sheet.box("post", *between(view, (low, -1.4), (low + kit.post.width, 1.4)))
    sheet.box("rail", *between(view, (start, -0.9), (start + bay.fill.bottom_cut, 0.9)))
    for centre, half in _seats(kit, bay):
        sheet.box("dash", *between(view, (centre - half, -0.4), (centre + half, 0.4)))
    for at in bay.fill.rail_supports:
        half = kit.rail_support.width / 2
        sheet.box("wall", *between(view, (at - half, -1.1), (at + half, 1.1)))
        sheet.dimension(*between(view, (0.0, 1.4), (at, 1.4)), f"support {plain(at)}", off=12)
    for i, at in enumerate(bay.fill.weep_holes):
        sheet.dot("mark", view.at((at, 0.0)), max(2.5, kit.weep.diameter / 2 * view.scale))
        sheet.dimension(
            *between(view, (0.0, -1.4), (at, -1.4)),
            f"weep hole {plain(at)}",
            off=-12 - 20 * i,
            side=-1,
            nudge=((at - bay.fill.weep_holes[0]) / 2 * view.scale if i else 0, 0),
        )


def _seats(kit: Kit, bay: Bay) -> list[tuple[float, float]]:
    """Centre and half width of each picket or setting block that stands in the bottom rail."""
    if bay.fill.pickets is not None and kit.picket is not None:
        return [(centre, kit.picket.width / 2) for centre in bay.fill.pickets.centres]
    assert bay.fill.glass is not None
    assert kit.glass is not None
    return [
        (bay.fill.glass.side_gap + at, kit.glass.block.length / 2) for at in bay.fill.glass.blocks
    ]
