"""Figures in plan: the railing line, corners, and the ends of lines."""

from __future__ import annotations

import math
from collections.abc import Sequence

from deploy.figures.pen import Anchor, Point, Sheet, View, polar
from deploy.figures.scene import (
    clip,
    column,
    draft,
    draw_plan,
    draw_wall,
    edge,
    end_clip,
    far,
    line_ends,
    plain,
)
from service.core.levels.level import LevelDraft
from service.core.records.deck import Edge
from service.core.records.kit import Kit


def railing_line(kit: Kit) -> Sheet:
    """Step 1: edges moved in by the setback, and where they meet."""
    sheet = Sheet(
        760,
        430,
        "The railing line",
        "Plan of a small L-shaped deck against a wall. Every guarded edge is moved inward by the"
        " setback; neighbours meet on the bisector of their corner, outside and inside corners"
        " alike.",
    )
    points = ((0.0, 0.0), (72.0, 0.0), (72.0, 30.0), (40.0, 30.0), (40.0, 58.0), (0.0, 58.0))
    drawn = draft(kit, points, edges=(edge(5, "wall"),))
    view = View((78.0, 374.0), 5.7)
    sheet.shape("deck", view.all(points))
    draw_wall(sheet, view, [(-4.0, -4.0), (0.0, -4.0), (0.0, 62.0), (-4.0, 62.0)])
    draw_plan(sheet, view, kit, drawn)
    for number, at in enumerate(
        ((36.0, -2.6), (73, 15), (52, 31.2), (41, 46), (20, 59.2), (-6, 29))
    ):
        level = number in (0, 2, 4)
        sheet.text(
            view.at(at),
            f"edge {number}",
            "small",
            "middle" if level else "start",
            turn=90 if number == 5 else 0,
        )
    for number, at in enumerate(
        ((1.0, -2.6), (73.0, -2.6), (72.0, 31.2), (33.5, 26.0), (41.0, 59.2))
    ):
        anchor: Anchor = "end" if number in (2, 3) else "start"
        sheet.text(view.at(at), f"corner {number}", "small", anchor)
    setback = kit.post.setback
    sheet.dimension(view.at((25.0, 0.0)), view.at((25.0, setback)), "", style="sum")
    sheet.leader(
        view.at((25.0, setback / 2)), view.at((27.0, 9.0)), f"setback s = {plain(setback)}"
    )
    _bisectors(sheet, view, drawn)
    _axes(sheet)
    sheet.lines(
        (536, 60),
        ["each guarded edge", "moves in by s;", "two neighbours meet at"],
    )
    sheet.text((536, 118), "corner + bisector · s / cos(turn/2)", "sum", halo=False)
    sheet.lines((536, 148), ["at a wall the line runs", "to the wall's own line"])
    sheet.lines((536, 196), ["edge i runs from corner i", "to corner i + 1"], "small")
    return sheet


def _bisectors(sheet: Sheet, view: View, drawn: LevelDraft) -> None:
    """Draw a line from each corner of the deck to its post."""
    for line in drawn.lines:
        first, _ = line_ends(line)
        if first.post is not None:
            sheet.line("accent", view.at(line.side.start), view.at(first.post.at))
            sheet.dot("mark", view.at(line.side.start))


def _axes(sheet: Sheet) -> None:
    origin = (560.0, 360.0)
    for tip, name, at in (
        ((620.0, 360.0), "x", (626.0, 364.0)),
        ((560.0, 300.0), "y", (556.0, 292.0)),
    ):
        sheet.line("ink", origin, tip)
        sheet.arrow(tip, origin)
        sheet.text(at, name)
    sheet.arc(origin, 34, 8, 80, "thin")
    sheet.arrow(polar(origin, 34, 84), polar(origin, 34, 68))
    sheet.text((598, 336), "angles and turns", "small")
    sheet.text((570, 384), "plan, seen from above", "small")


def corner_stance(kit: Kit) -> Sheet:
    """Step 2: how a post stands at a corner, at a turn of less than 60 degrees, and of more."""
    sheet = Sheet(
        760,
        400,
        "How a corner post stands",
        "Two corners in plan. At a turn of 45 degrees the post stands half-way and both bays come"
        " in 22.5 degrees off square. At a turn of 75 degrees it stands square to the longer edge"
        " and the other bay comes in 15 degrees off square.",
    )
    for i, (turn, title) in enumerate(
        ((45.0, "turn below 60°: half-way"), (75.0, "turn from 60° up: square to the longer edge"))
    ):
        _stance(sheet, kit, (380.0 * i, 0.0), turn, title)
    return sheet


def _stance(sheet: Sheet, kit: Kit, corner: Point, turn: float, title: str) -> None:
    lengths = (110.0, 90.0)
    start = (-lengths[0], 0.0)
    end = far((0.0, 0.0), turn, lengths[1])
    drawn = draft(
        kit, (start, (0.0, 0.0), end, (-lengths[0], 90.0)), edges=(edge(2, "wall"), edge(3, "wall"))
    )
    arriving, leaving = drawn.lines
    at = line_ends(leaving)[0].post
    assert at is not None
    scale = 24.0
    spot = corner[0] + 205.0, corner[1] + 220.0
    view = View((spot[0] - at.at[0] * scale, spot[1] + at.at[1] * scale), scale)
    frame = (corner[0] + 8, corner[1] + 34), (corner[0] + 372, corner[1] + 330)
    clip(sheet, f"stance{turn:.0f}", *frame)
    sheet.shape("slab", view.all((start, (0.0, 0.0), end, (-lengths[0], 90.0))))
    sheet.line("ink", *view.all((start, (0.0, 0.0), end)))
    draw_plan(sheet, view, kit, drawn)
    end_clip(sheet)
    middle = view.at(at.at)
    skews = line_ends(arriving)[1].skew, line_ends(leaving)[0].skew
    if skews[0]:
        _skew_mark(sheet, middle, 180.0, skews[0], 1)
    _skew_mark(sheet, middle, turn, skews[1], -1)
    if not skews[0]:
        sheet.text((middle[0] - 150, middle[1] - 26), "skew 0", "sum")
    half = kit.post.width / 2 / math.cos(math.radians(skews[1]))
    sheet.dot("mark", middle, 3)
    sheet.leader(polar(middle, half * scale / 2, turn), polar(middle, 128, turn + 38), "half")
    sheet.arc(view.at((0.0, 0.0)), 46, 0, turn, "thin")
    sheet.line("dash", view.at((0.0, 0.0)), view.at((3.4, 0.0)))
    sheet.text(polar(view.at((0.0, 0.0)), 52, turn / 2 - 8), f"turn {plain(turn)}°")
    sheet.text((corner[0] + 16, corner[1] + 24), title, "head", halo=False)
    _stance_words(sheet, (corner[0] + 16, corner[1] + 352), kit, skews)


def _skew_mark(sheet: Sheet, centre: Point, bay: float, skew: float, way: float) -> None:
    """Draw the normal of a post's face, and the skew between it and the bay.

    bay: the bay's direction in degrees. way: 1 where the normal lies counter-clockwise of the bay,
    -1 where clockwise.
    """
    normal = bay + way * skew
    sheet.line("dash", centre, polar(centre, 142, normal))
    sheet.arc(centre, 118, bay, normal)
    sheet.text(polar(centre, 142, normal + way * 12), f"skew {plain(skew)}°", "sum", "middle")


def _stance_words(sheet: Sheet, at: Point, kit: Kit, skews: tuple[float, float]) -> None:
    half = kit.post.width / 2
    reach = half / math.cos(math.radians(skews[1]))
    if skews[0]:
        words = [
            f"skew = turn/2 = {plain(skews[0])}° on both sides",
            f"half = (width/2)/cos(skew) = {plain(half)}/cos {plain(skews[1])}° = {plain(reach)}",
        ]
    else:
        words = [
            f"skew = min(turn, |90 − turn|) = {plain(skews[1])}° on the other side",
            f"half there = {plain(half)}/cos {plain(skews[1])}° = {plain(reach)}",
        ]
    sheet.lines(at, words, "", 18)


def line_ends_figure(kit: Kit) -> Sheet:
    """Step 1: how a line ends at a wall, an open edge and an obstruction."""
    sheet = Sheet(
        760,
        520,
        "How a railing line ends",
        "Six plans: at a wall by a bracket; at a wall by a post half a base off it; where a wall"
        " goes on in line with the edge, and at an inner corner, by a post half a base back; at an"
        " open edge; at a column in the line.",
    )
    half = kit.post.base.width / 2
    for i, (title, foot, points, edges, spot) in enumerate(_ends(half)):
        corner = (253.0 * (i % 3), 258.0 * (i // 3))
        pillar = column(((-3.0, 0.0), (4.0, 0.0), (4.0, 7.0), (-3.0, 7.0)))
        drawn = draft(kit, points, edges=edges, obstructions=(pillar,) if i == 5 else ())
        view = View((corner[0] + spot[0], corner[1] + spot[1]), 8.0)
        clip(sheet, f"end{i}", (corner[0] + 8, corner[1] + 34), (corner[0] + 245, corner[1] + 208))
        sheet.shape("slab", view.all(points))
        sheet.line("ink", *view.all((*points, points[0])))
        for said in edges:
            if said.condition == "wall":
                _wall_along(sheet, view, points, said.number)
        if i == 5:
            draw_wall(sheet, view, pillar.points)
        draw_plan(sheet, view, kit, drawn)
        end_clip(sheet)
        sheet.text((corner[0] + 12, corner[1] + 24), f"{'abcdef'[i]}: {title}", "head", halo=False)
        sheet.lines((corner[0] + 12, corner[1] + 226), foot, "small", 14)
        _end_dimensions(sheet, view, kit, i)
    return sheet


def _ends(
    half: float,
) -> list[tuple[str, list[str], Sequence[Point], tuple[Edge, ...], Point]]:
    square = ((-90.0, 0.0), (0.0, 0.0), (0.0, 80.0), (-90.0, 80.0))
    flush = ((-90.0, 0.0), (0.0, 0.0), (60.0, 0.0), (60.0, 80.0), (-90.0, 80.0))
    inner = ((-90.0, 0.0), (0.0, 0.0), (0.0, -60.0), (60.0, -60.0), (60.0, 80.0), (-90.0, 80.0))
    back = f"half a base, {plain(half)}, back"
    return [
        (
            "wall, bracket",
            ["the line runs to the wall's own", "line; the rail ends in a bracket"],
            square,
            (edge(1, "wall"),),
            (178.0, 168.0),
        ),
        (
            "wall, post",
            ["wall_end: post; its centre stands", "half a base off the wall"],
            square,
            (edge(0, "guard", wall_end="post"), edge(1, "wall")),
            (178.0, 168.0),
        ),
        (
            "wall in line with the edge",
            ["no point of the wall to run to:", f"a post, {back}"],
            flush,
            (edge(1, "wall"),),
            (150.0, 168.0),
        ),
        (
            "wall at an inner corner",
            ["the line misses the wall itself:", f"a post, {back}"],
            inner,
            (edge(1, "wall"),),
            (150.0, 130.0),
        ),
        (
            "open edge",
            ["the line ends where it meets", "the open edge's line moved in by s"],
            square,
            (edge(1, "open"),),
            (178.0, 168.0),
        ),
        (
            "column in the line",
            ["cut at the first and last touch", "of a strip one post wide"],
            ((-90.0, 0.0), (80.0, 0.0), (80.0, 80.0), (-90.0, 80.0)),
            (),
            (124.0, 152.0),
        ),
    ]


def _wall_along(sheet: Sheet, view: View, points: Sequence[Point], number: int) -> None:
    """Draw a wall outside an edge."""
    (ax, ay), (bx, by) = points[number], points[(number + 1) % len(points)]
    size = math.hypot(bx - ax, by - ay)
    nx, ny = (by - ay) / size * 4, -(bx - ax) / size * 4
    draw_wall(sheet, view, [(ax, ay), (bx, by), (bx + nx, by + ny), (ax + nx, ay + ny)])


def _end_dimensions(sheet: Sheet, view: View, kit: Kit, i: int) -> None:
    s, half = kit.post.setback, kit.post.base.width / 2
    if i == 1:
        sheet.dimension(view.at((-half, s)), view.at((0.0, s)), plain(half), off=26)
    elif i == 2 or i == 3:
        sheet.dimension(view.at((-half, s)), view.at((0.0, s)), plain(half), off=28)
        sheet.line("thin", view.at((0.0, 0.0)), view.at((0.0, s + 4)))
    elif i == 4:
        sheet.dimension(view.at((-s, s)), view.at((0.0, s)), f"s {plain(s)}", off=30)
        sheet.line("line", view.at((-s, -2.0)), view.at((-s, 16.0)))
    elif i == 5:
        width = kit.post.width / 2
        for way in (-1, 1):
            sheet.line("dash", view.at((-14.0, s + way * width)), view.at((14.0, s + way * width)))
