"""Figures in plan: openings, and a fascia kit's corners."""

from __future__ import annotations

import math

from deploy.figures.pen import Sheet, View
from deploy.figures.scene import clip, draft, draw_plan, draw_wall, edge, end_clip, opening, plain
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.records.kit import Kit


def openings(kit: Kit) -> Sheet:
    """Step 1: an opening with its own posts, with a wall as its jamb, and with a corner post."""
    sheet = Sheet(
        760,
        500,
        "Openings",
        "Three plans of steps in an edge: with posts of their own, faces flush with the clear"
        " width; hard against a wall, which is the jamb; and so near a corner that the corner"
        " post serves.",
    )
    points = ((0.0, 0.0), (118.0, 0.0), (118.0, 60.0), (0.0, 60.0))
    asked = ((37.0, 42.0), (1.5, 42.0), (73.0, 38.0))
    for i, (start, width) in enumerate(asked):
        drawn = draft(kit, points, edges=(edge(3, "wall"),), openings=(opening(0, start, width),))
        _opening_strip(sheet, kit, i, drawn, (start, width))
    return sheet


def _opening_strip(
    sheet: Sheet, kit: Kit, i: int, drawn: LevelDraft, asked: tuple[float, float]
) -> None:
    titles = ("a: posts of its own", "b: the wall is its jamb", "c: the corner post serves")
    top = 166.0 * i
    view = View((34.0, top + 122.0), 5.6)
    points = drawn.plan.points
    clip(sheet, f"opening{i}", (8, top + 30), (752, top + 160))
    sheet.shape("slab", view.all(points))
    sheet.line("ink", *view.all(points[:3]))
    draw_wall(sheet, view, [(0.0, -2.0), (0.0, 60.0), (-4.0, 60.0), (-4.0, -2.0)])
    draw_plan(sheet, view, kit, drawn)
    end_clip(sheet)
    sheet.text((12, top + 22), titles[i], "head", halo=False)
    line = next(line for line in drawn.lines if line.side.spec.number == 0)
    _opening_sizes(sheet, view, kit, line, i, asked)


def _opening_sizes(
    sheet: Sheet, view: View, kit: Kit, line: LineDraft, i: int, asked: tuple[float, float]
) -> None:
    node = line.openings[0]
    start, width = asked
    s = kit.post.setback
    low, high = node.faces
    sheet.dimension(
        view.at((low, s + 2.4)),
        view.at((high, s + 2.4)),
        f"clear width {plain(high - low)}",
        off=12,
    )
    sheet.dimension(
        view.at((0.0, 0.0)),
        view.at((start, 0.0)),
        f"from {plain(start)}",
        off=-18,
        side=-1,
        nudge=(30.0, 0.0) if i == 1 else (0.0, 0.0),
    )
    sheet.dimension(
        view.at((start, 0.0)),
        view.at((start + width, 0.0)),
        f"width {plain(width)}",
        off=-18,
        side=-1,
    )
    if i == 0:
        sheet.leader(
            view.at((low - kit.post.width / 2, s)),
            view.at((low - 5, s + 9.5)),
            f"centre {plain(kit.post.width / 2)} beyond",
        )
    within = kit.post.width / 2 + kit.post.base.width / 2
    words = (
        "post faces flush with what was asked",
        f"within one post width ({plain(kit.post.width)}) of a wall: no post, no run",
        f"a post within {plain(within)} of the line's own post is that post",
    )[i]
    sheet.text((752, view.origin[1] - 100), words, "small", "end", halo=False)


def fascia_corners(bracket: Kit, pair: Kit) -> Sheet:
    """Step 1: the two outside corners of a fascia kit."""
    sheet = Sheet(
        760,
        390,
        "Outside corners of a fascia kit",
        "Two plans of an outside corner with posts hung outside the rim: one post on the corner"
        " point in a corner bracket, or an end post on each rim with a gap between them.",
    )
    points = ((0.0, 0.0), (0.0, 90.0), (-90.0, 90.0), (-90.0, 0.0))
    for i, (kit, title) in enumerate(((bracket, "corner: bracket"), (pair, "corner: pair"))):
        drawn = draft(kit, points, edges=(edge(1, "wall"), edge(2, "wall")))
        view = View((380.0 * i + 250.0, 246.0), 14.0)
        clip(sheet, f"fascia{i}", (380 * i + 8, 34), (380 * i + 372, 330))
        sheet.shape("slab", view.all(points))
        sheet.line("ink", *view.all(((0.0, 90.0), (0.0, 0.0), (-90.0, 0.0))))
        draw_plan(sheet, view, kit, drawn, 1.25)
        end_clip(sheet)
        sheet.text((380 * i + 16, 24), title, "head", halo=False)
        _fascia_sizes(sheet, view, kit, i)
    return sheet


def _fascia_sizes(sheet: Sheet, view: View, kit: Kit, i: int) -> None:
    s, half = kit.post.setback, kit.post.base.width / 2
    sheet.dimension(
        view.at((-13.0, s)), view.at((-13.0, 0.0)), f"s {plain(s)}", off=0, nudge=(0.0, -26.0)
    )
    sheet.text(view.at((-14.0, 2.0)), "deck", "small")
    foot = (380 * i + 16, 362)
    if i == 0:
        sheet.dot("mark", view.at((-s, s)))
        sheet.lines(foot, ["one post where the two lines meet, held by", "part corner_bracket"])
        return
    sheet.dimension(
        view.at((-half, s - 2)),
        view.at((0.0, s - 2)),
        f"half a base {plain(half)}",
        off=-16,
        side=-1,
        nudge=(-12.0, 0.0),
    )
    reach = kit.post.width / 2
    near, past = (-half + reach, s + reach), (-s - reach, half - reach)
    sheet.line("accent", *view.all((near, past)))
    sheet.leader(
        view.at(((near[0] + past[0]) / 2, (near[1] + past[1]) / 2)),
        view.at((2.2, -3.4)),
        f"gap {plain(math.dist(near, past))}",
        "sum",
    )
    sheet.lines(
        foot,
        ["an end post on each rim, half a base in; the gap", "between is judged by opening_size"],
    )
