"""Figures of a flight: from the side, and its head in plan."""

from __future__ import annotations

import math
from itertools import pairwise

from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import (
    between,
    clip,
    draft_flight,
    draw_plan,
    edge,
    end_clip,
    flight_down,
    opening,
    plain,
)
from service.core.flights.drafts import FlightDraft, RakedBay, SideDraft
from service.core.records.kit import Kit, Rail

POINTS = ((0.0, 0.0), (140.0, 0.0), (140.0, 60.0), (0.0, 60.0))
STEPS = (50.0, 40.0)
"""Where the opening begins along the edge, and its width."""
NOSING = 1.0


def drawn_flight(kit: Kit, infill: str = "picket") -> FlightDraft:
    """The sample flight: seven risers of 7 on a going of 10 1/2, with guards on both sides."""
    stair = flight_down(49.0, 7, 10.5, nosing=NOSING, guards=("left", "right"), height=36.0)
    said = {"edges": (edge(2, "wall"),), "openings": (opening(0, *STEPS),)}
    return draft_flight(kit, POINTS, stair, infill, **said)


def flight(kit: Kit) -> Sheet:
    """Step 9: a flight from the side, with u to the right and heights above the deck."""
    sheet = Sheet(
        760,
        616,
        "A flight from the side",
        "A flight of seven risers with its left guard, from outside: the head post on the deck, a"
        " post in the middle of a tread and one on the lowest tread, raked rails parallel to the"
        " line of nosings, plumb pickets, and the largest circle between riser, tread and bottom"
        " rail.",
    )
    drawn = drawn_flight(kit)
    side = drawn.sides[0]
    view = View((178.0, 258.0), 5.4)
    _steps(sheet, view, drawn)
    for bay, (upper, lower) in zip(side.bays, pairwise(side.places), strict=True):
        _raked_bay(sheet, view, kit, drawn, bay, (upper, lower))
    _posts(sheet, view, kit, drawn, side)
    _level_rail(sheet, view, kit)
    _circle(sheet, view, kit, drawn)
    _sizes(sheet, view, kit, drawn, side)
    return sheet


def _steps(sheet: Sheet, view: View, drawn: FlightDraft) -> None:
    """Draw the deck and the treads in section, and the line of nosings."""
    riser, going, count = drawn.slope.riser, drawn.slope.going, drawn.stair.risers
    shape: list[Point] = [(-30.0, 0.0), (0.0, 0.0)]
    for j in range(1, count + 1):
        shape += [((j - 1) * going, -(j - 1) * riser - 1.2)]
        shape += [((j - 1) * going - NOSING, -(j - 1) * riser - 1.2)]
        shape += [((j - 1) * going - NOSING, -j * riser)]
        shape += [(j * going, -j * riser)] if j < count else [((j - 1) * going + 34, -j * riser)]
    bottom = -count * riser - 6
    sheet.shape("slab", view.all([*shape, ((count - 1) * going + 34, bottom), (-30.0, bottom)]))
    sheet.line("ink", *view.all(shape))
    last = (count - 1) * going
    sheet.line("dash", *view.all([(-9.0, 6.0), (last + 9, -(last + 9) * drawn.slope.tangent)]))


def _raked_bay(
    sheet: Sheet, view: View, kit: Kit, drawn: FlightDraft, bay: RakedBay, span: tuple[float, float]
) -> None:
    """Draw rails and pickets of one bay. span: u of its upper and its lower post's centre."""
    rails = kit.rails["picket"]
    slope, start = drawn.slope, span[0] + kit.post.width / 2
    assert kit.stair_bottom_gap is not None
    assert kit.picket is not None
    assert bay.fill.pickets is not None
    foot = kit.stair_bottom_gap + rails.bottom.depth / slope.cosine
    head = drawn.height - rails.top.depth / slope.cosine
    half = kit.picket.width / 2
    for centre in bay.fill.pickets.centres:
        low, high = start + centre - half, start + centre + half
        corners = [(low, foot), (high, foot), (high, head), (low, head)]
        sheet.shape("thin", view.all([(u, z - u * slope.tangent) for u, z in corners]))
    for rail, top in ((rails.top, drawn.height), (rails.bottom, foot)):
        _rail(sheet, view, drawn, rail, top, (start, start + bay.clear))


def _rail(
    sheet: Sheet, view: View, drawn: FlightDraft, rail: Rail, top: float, span: tuple[float, float]
) -> None:
    slope = drawn.slope
    gap = rail.end_allowance["rake"] * slope.cosine
    low, high = span[0] + gap, span[1] - gap
    plumb = rail.depth / slope.cosine
    corners = [(low, top - plumb), (high, top - plumb), (high, top), (low, top)]
    sheet.shape("rail", view.all([(u, z - u * slope.tangent) for u, z in corners]))


def _posts(sheet: Sheet, view: View, kit: Kit, drawn: FlightDraft, side: SideDraft) -> None:
    half, base = kit.post.width / 2, kit.post.base.width / 2
    heights = side.raked_head, *side.heights
    for i, (u, height) in enumerate(zip(side.places, heights, strict=True)):
        tread = math.ceil(u / drawn.slope.going) if i else 0
        stands = -tread * drawn.slope.riser
        sheet.box("post", *between(view, (u - half, stands), (u + half, stands + height)))
        sheet.box("base", *between(view, (u - base, stands), (u + base, stands + 0.6)))


def _level_rail(sheet: Sheet, view: View, kit: Kit) -> None:
    """Draw the level railing behind the head post, cut short."""
    rails = kit.rails["picket"]
    end = -kit.post.setback - kit.post.width / 2 - 0.2
    for top, depth in ((36.0, rails.top.depth), (kit.bottom_gap + rails.bottom.depth, 1.25)):
        sheet.box("rail", *between(view, (-22.0, top - depth), (end, top)))


def _circle(sheet: Sheet, view: View, kit: Kit, drawn: FlightDraft) -> None:
    """Draw the triangle's largest circle on the fifth tread."""
    riser, going = drawn.slope.riser, drawn.slope.going
    size = drawn.triangle(kit)
    at = (4 * going - NOSING + size / 2, -5 * riser + size / 2)
    sheet.arc(view.at(at), size / 2 * view.scale, 0, 360)
    sheet.leader(
        view.at((at[0] - size * 0.3, at[1] - size * 0.3)),
        view.at((20.0, -46.0)),
        f"largest circle {plain(size)}",
        "sum",
    )


def _sizes(sheet: Sheet, view: View, kit: Kit, drawn: FlightDraft, side: SideDraft) -> None:
    slope, going, riser = drawn.slope, drawn.slope.going, drawn.slope.riser
    tan = slope.tangent
    u = 3 * going
    nosing = -3 * riser
    sheet.dimension(
        view.at((u, nosing)),
        view.at((u, nosing + drawn.height)),
        f"height {plain(drawn.height)}, plumb",
        nudge=(0, -40),
        side=-1,
    )
    sheet.dimension(view.at((going, -riser)), view.at((2 * going, -riser)), "", off=0)
    sheet.leader(view.at((1.5 * going, -riser)), view.at((2.0, -24.0)), f"going {plain(going)}")
    assert kit.stair_bottom_gap is not None
    gap = kit.stair_bottom_gap
    sheet.leader(
        view.at((36.0, gap / 2 - 36.0 * tan)),
        view.at((6.0, -38.0)),
        f"stair_bottom_gap {plain(gap)}, plumb",
    )
    right = 6 * going + 12
    sheet.dimension(
        view.at((right, -7 * riser)), view.at((right, -6 * riser)), f"riser {plain(riser)}", side=-1
    )
    sheet.line("thin", *view.all([(6 * going, -6 * riser), (right + 3, -6 * riser)]))
    upper, lower = side.places[0] + kit.post.width / 2, side.places[1] - kit.post.width / 2
    one, other = ((p, drawn.height - p * tan) for p in (upper, lower))
    rake = side.bays[0].fill.rake
    assert rake is not None
    sheet.dimension(
        view.at(one),
        view.at(other),
        f"clear_slope {plain(rake.clear_slope)}",
        off=20,
        nudge=(60, -6),
    )
    foot = view.at((0.0, -7 * riser - 9))[1]
    for place, name in zip(side.places, ("head", "line", "foot"), strict=True):
        x = view.at((place, 0.0))[0]
        sheet.line("dash", (x, view.at((0.0, -7 * riser))[1] + 4), (x, foot))
        sheet.text((x, foot + 14), f"u = {plain(place)}", "sum", "middle")
        sheet.text((x, foot + 29), name, "small", "middle")
    x = view.at((0.0, 0.0))[0]
    sheet.text((x - 4, view.at((0.0, 0.0))[1] + 18), "u = 0", "small", "end")
    sheet.text(
        (12, 22), f"pitch = atan({plain(riser)}/{plain(going)}) = {slope.pitch:.4g}°", "head"
    )
    sheet.lines(
        (488, 60),
        ["rails run parallel to the line of nosings", "(dashed); the guard's height is plumb"],
    )
    sheet.lines(
        (488, 108),
        [
            "raked top at the head post",
            f"= {plain(drawn.height)} + setback·tan(pitch)",
            f"= {plain(side.raked_head)}; here the level rail's",
            "top is at 36: head_heights says so",
        ],
        "sum",
    )


def head(kit: Kit) -> Sheet:
    """Step 9: the head of a flight in plan."""
    sheet = Sheet(
        760,
        430,
        "The head of a flight",
        "Plan of an opening with a flight going down from it. Left and right are as seen going up;"
        " each guard runs through the centre of the opening's post on its side, square to the"
        " edge, and the bases of its posts reach a little into the clear width.",
    )
    drawn = drawn_flight(kit)
    view = View((-56.0, 128.0), 6.2)
    riserless = drawn.stair.risers - 1
    low, high = drawn.course.opening.faces
    clip(sheet, "head", (8, 30), (752, 396))
    sheet.shape("slab", view.all(POINTS))
    half = kit.post.width / 2
    reach = half + kit.post.base.width / 2
    for j in range(riserless):
        top, foot = -j * drawn.slope.going, -(j + 1) * drawn.slope.going
        sheet.box("deck", *between(view, (low - reach, top), (high + reach, foot)))
    sheet.line("ink", *view.all([(0.0, 0.0), (140.0, 0.0)]))
    draw_plan(sheet, view, kit, drawn.course.level)
    for side in drawn.sides:
        for post, u in zip(side.posts, side.places, strict=True):
            sheet.shape("base", view.all(post.base))
            x = post.at[0]
            sheet.box("post", *between(view, (x - half, -u - half), (x + half, -u + half)))
        x = side.posts[0].at[0]
        sheet.line("line", *view.all([(x, -side.places[0]), (x, -side.places[-1])]))
    end_clip(sheet)
    _head_sizes(sheet, view, kit, drawn)
    return sheet


def _head_sizes(sheet: Sheet, view: View, kit: Kit, drawn: FlightDraft) -> None:
    low, high = drawn.course.opening.faces
    middle = (low + high) / 2
    up, down = view.at((middle, -12.0)), view.at((middle, -33.0))
    sheet.line("accent", up, down)
    sheet.arrow(up, down, "mark")
    sheet.text((up[0] + 8, down[1] - 4), "up", "sum")
    sheet.text(view.at((low + 3.0, -24.0)), "left", "head")
    sheet.text(view.at((high - 3.0, -24.0)), "right", "head", "end")
    sheet.dimension(
        view.at((low, kit.post.setback + 3)),
        view.at((high, kit.post.setback + 3)),
        f"clear_width {plain(high - low)}",
        off=12,
    )
    half, base = kit.post.width / 2, kit.post.base.width / 2
    foot = -37.5
    sheet.dimension(
        view.at((high, foot)),
        view.at((high + half + base, foot)),
        f"outside_width {plain(half + base)}",
        side=-1,
        nudge=(92, -10),
    )
    sheet.dimension(
        view.at((low, foot)),
        view.at((low + base - half, foot)),
        f"into_width {plain(base - half)}",
        side=-1,
        nudge=(70, -10),
    )
    sheet.text(view.at((14.0, 12.0)), "deck", "small")
    sheet.leader(view.at((low - half, -20.0)), view.at((41.0, -24.0)), "guard line: through")
    x, y = view.at((41.0, -24.0))
    sheet.text((x, y + 16), "the post's centre,", anchor="end")
    sheet.text((x, y + 32), "square to the edge", anchor="end")
    sheet.leader(
        view.at((high + half + 1, kit.post.setback)),
        view.at((104.0, 13.0)),
        "head post of both rails",
    )
    sheet.text((12, 22), "the head of a flight in plan; treads go down the sheet", "head")
