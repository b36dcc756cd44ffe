"""Figure of a bowed edge in plan."""

from __future__ import annotations

import math

from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import clip, draft, draw_plan, edge, end_clip, far, plain
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.line.arcs import ArcSide
from service.core.records.kit import Kit

POINTS = ((0.0, 0.0), (168.0, 0.0), (168.0, 60.0), (0.0, 60.0))
RISE = 28.0


def arc(kit: Kit) -> Sheet:
    """Step 10: an edge bent outward, its railing in equal chords."""
    sheet = Sheet(
        760,
        450,
        "A bowed edge",
        "Plan of a deck whose front edge is bent outward. The railing line is the concentric arc at"
        " the setback; equal straight bays run between posts that face along its tangent.",
    )
    bent = edge(0, "guard", arc_rise=RISE)
    drawn = draft(kit, POINTS, edges=(bent, edge(2, "wall")))
    line = next(line for line in drawn.lines if line.side.spec.number == 0)
    side = line.side
    assert isinstance(side, ArcSide)
    view = View((44.0, 276.0), 4.0)
    _plan(sheet, view, kit, drawn, side)
    _sizes(sheet, view, kit, side, line)
    return sheet


def _plan(sheet: Sheet, view: View, kit: Kit, drawn: LevelDraft, side: ArcSide) -> None:
    outline = [*side.outline(), POINTS[1], POINTS[2], POINTS[3]]
    clip(sheet, "arc", (8, 56), (752, 438))
    sheet.shape("slab", view.all(outline))
    sheet.line("ink", *view.all([POINTS[3], *side.outline(), POINTS[1], POINTS[2]]))
    sheet.line("dash", *view.all([POINTS[0], POINTS[1]]))
    draw_plan(sheet, view, kit, drawn)
    end_clip(sheet)


def _sizes(sheet: Sheet, view: View, kit: Kit, side: ArcSide, line: LineDraft) -> None:
    first, second = line.runs[0].stretch.end, line.runs[1].stretch.end
    one, other = (side.place(each.t, kit.post.setback) for each in (first, second))
    chord = math.dist(one, other)
    sheet.dimension(view.at(one), view.at(other), f"chord {plain(chord)}", off=16, nudge=(-56, 0))
    sheet.dimension(
        view.at((84.0, 0.0)),
        view.at((84.0, -RISE)),
        f"arc_rise {plain(RISE)}",
        nudge=(0, -34),
        side=1,
    )
    sheet.text(view.at((120.0, 2.0)), f"chord of the edge {plain(168.0)}", "small")
    _skew(sheet, view, side, one, first.skew)
    sheet.text(
        (12, 22),
        f"radius = (c² + 4h²)/8h = {plain(side.radius)}; railing line at"
        f" {plain(side.radius)} − {plain(kit.post.setback)} = {plain(side.line_radius)}",
        "head",
        halo=False,
    )
    sheet.text(
        (12, 432),
        "the fewest equal chords that keep spacing and skew, each a run of one bay; inner posts"
        " face along the tangent",
        "sum",
        halo=False,
    )


def _skew(sheet: Sheet, view: View, side: ArcSide, at: Point, skew: float) -> None:
    """Draw the tangent at an inner post, and the angle from it to the chord."""
    t = side.locate(at)[0]
    heading = side.heading_at(t)
    tangent = far(at, heading + 180, 38.0)
    sheet.line("dash", view.at(at), view.at(tangent))
    centre = view.at(at)
    sheet.arc(centre, 116, heading + 180 - skew, heading + 180)
    end = far(at, heading + 180 - skew / 2, 29.0)
    x, y = view.at(end)
    sheet.leader((x, y), (x + 24, y - 16), f"skew {plain(skew)}°: half a chord's angle")
    sheet.text(view.at(tangent), "tangent", "small", "end")
