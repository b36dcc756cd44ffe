"""Facts that every layout must show, checked by separate arithmetic on drawn and real decks."""

from __future__ import annotations

import math
from collections import defaultdict

import pytest
import shapely

from service.core.line.outline import read_outline
from service.core.measure import Point
from service.core.records.kit import Kit
from service.core.records.layout import Bay, Layout, Run
from tests.core import builders
from tests.core.shapes import Drawn


def half_at(kit: Kit, bay: Bay, which: int) -> float:
    """Distance from a post's centre to the face that the bay meets; 0 at a wall."""
    if (bay.start, bay.end)[which] is None:
        return 0.0
    if bay.ends[which] == "swivel":
        return kit.post.width / 2 / math.cos(math.radians(bay.skews[which]))
    return kit.post.width / 2


def check_ends(layout: Layout, kit: Kit) -> None:
    """An end is a socket up to the kit's square limit of skew, a swivel beyond it, and a wall end
    where there is no post."""
    for bay in layout.bays:
        for post, end, skew in zip((bay.start, bay.end), bay.ends, bay.skews, strict=True):
            if skew > kit.square_limit + 2e-6:
                assert end == "swivel"
            elif skew < kit.square_limit:
                assert end == ("wall" if post is None else "socket")


def check_sums(layout: Layout, kit: Kit) -> None:
    """A bay's clear opening and halves add up to its spacing, and a run's spacings to its
    length."""
    of_run = defaultdict(list)
    for bay in layout.bays:
        halves = half_at(kit, bay, 0) + half_at(kit, bay, 1)
        assert bay.clear + halves == pytest.approx(bay.centres, abs=1e-6)
        of_run[bay.run].append(bay)
    small = {seen.where for seen in layout.small_stretches}
    for run in layout.runs:
        spacings = [b - a for a, b in zip(run.marks, run.marks[1:], strict=False)]
        assert run.marks[0] == 0
        assert run.marks[-1] == pytest.approx(run.length, abs=1e-9)
        assert math.fsum(spacings) == pytest.approx(run.length, abs=1e-6)
        if run.id not in small:
            assert [bay.centres for bay in of_run[run.id]] == pytest.approx(spacings)


def check_spacing(layout: Layout, kit: Kit, step: float) -> None:
    """No spacing exceeds the kit's greatest, and every mark between two terminals is on the
    grid."""
    for bay in layout.bays:
        assert bay.centres <= kit.max_centres[bay.infill] + 1e-6
    for run in layout.runs:
        for mark in run.marks[1:-1]:
            assert mark / step == pytest.approx(round(mark / step), abs=1e-9)


def check_numbers(layout: Layout) -> None:
    """Posts, runs and bays are numbered from 1 without a gap, runs by edge and bays by run."""
    for letter, things in (("P", layout.posts), ("R", layout.runs), ("B", layout.bays)):
        assert [thing.id for thing in things] == [f"{letter}{n + 1}" for n in range(len(things))]
    edges = [run.edge for run in layout.runs]
    assert edges == sorted(edges)
    order = {run.id: n for n, run in enumerate(layout.runs)}
    assert [order[bay.run] for bay in layout.bays] == sorted(order[bay.run] for bay in layout.bays)


def check_cuts(layout: Layout, kit: Kit, step: float) -> None:
    """Each rail is its run's least clear less the rail's two allowances, floored to a mark.

    Where a limit keeps a run's bays at more than one size, each cut is only checked not to exceed
    what its own bay allows; the rest is left to other tests.
    """
    clears = defaultdict(list)
    for bay in layout.bays:
        clears[bay.run].append(bay.clear)
    for bay in layout.bays:
        least = min(clears[bay.run])
        if max(clears[bay.run]) > least + 2 * step:
            least = bay.clear
        rails = kit.rails[bay.infill]
        for cut, rail in ((bay.fill.top_cut, rails.top), (bay.fill.bottom_cut, rails.bottom)):
            room = least - rail.end_allowance[bay.ends[0]] - rail.end_allowance[bay.ends[1]]
            if max(clears[bay.run]) <= min(clears[bay.run]) + 2 * step:
                assert room - step * 0.9991 <= cut <= room + step * 1.1e-3
            assert cut <= room + step * 1.1e-3
            assert cut / step == pytest.approx(round(cut / step), abs=1e-9)


def check_infill(layout: Layout, kit: Kit, step: float) -> None:
    """Pickets with their gaps, or a panel with its side gaps, fill the clear opening; picket
    lengths and panel heights follow from the guard's height."""
    for bay in layout.bays:
        rails = kit.rails[bay.infill]
        opening = bay.height - rails.top.depth - rails.bottom.depth - kit.bottom_gap
        if bay.fill.pickets is not None:
            assert kit.picket is not None
            held, found = kit.picket.engagement, bay.fill.pickets.length
            taken = bay.fill.pickets.count * kit.picket.width + 2 * bay.fill.pickets.end_gap
            if bay.fill.pickets.count:
                taken += (bay.fill.pickets.count - 1) * bay.fill.pickets.gap
                assert taken == pytest.approx(bay.clear, abs=1e-6)
            assert bay.fill.pickets.gap <= kit.picket.gap + 2 * step
        else:
            assert bay.fill.glass is not None
            assert kit.glass is not None
            held, found = kit.glass.engagement, bay.fill.glass.height
            assert bay.fill.glass.width + 2 * bay.fill.glass.side_gap == pytest.approx(
                bay.clear, abs=1e-6
            )
            assert bay.fill.glass.side_gap >= kit.glass.side_gap - step * 1.1e-3
            assert bay.fill.glass.width <= kit.glass.max_width + 1e-6
            assert bay.fill.glass.area * 144 <= kit.glass.max_area + 1e-3
        room = opening + held.top + held.bottom
        assert room - step * 0.9991 <= found <= room + step * 1.1e-3


def check_lists(layout: Layout) -> None:
    """The cut list and the glass order hold every piece of every bay, and no other."""
    wanted: dict[tuple[str, float], int] = defaultdict(int)
    for bay in layout.bays:
        wanted[f"top_rail_{bay.infill}", bay.fill.top_cut] += 1
        wanted[f"bottom_rail_{bay.infill}", bay.fill.bottom_cut] += 1
        if bay.fill.pickets and bay.fill.pickets.count:
            wanted["picket", bay.fill.pickets.length] += bay.fill.pickets.count
        for spacer in bay.fill.pickets.spacers if bay.fill.pickets else ():
            wanted["spacer", spacer.length] += spacer.count
    assert {(p.part, p.length): p.count for p in layout.cut_list} == wanted
    panels = [bay.id for bay in layout.bays if bay.fill.glass]
    assert sorted(n for row in layout.glass_order for n in row.bays) == sorted(panels)


def check_places(layout: Layout, drawn: Drawn) -> None:
    """The posts of a run stand on its marks along its edge, and no two bays' clear stretches
    meet."""
    level = drawn.deck().levels[0]
    plan = read_outline(level, "in")
    ways = {}
    for j, number in enumerate(plan.numbers):
        a, b = plan.points[j], plan.points[(j + 1) % len(plan.points)]
        size = math.dist(a, b)
        ways[number] = ((b[0] - a[0]) / size, (b[1] - a[1]) / size)
    places = {post.id: post.at for post in layout.posts}
    lines = []
    for run in layout.runs:
        origin = _origin(run, layout, places, ways[run.edge])
        if origin is None:
            continue
        ux, uy = ways[run.edge]
        of_run = [bay for bay in layout.bays if bay.run == run.id]
        for bay in of_run:
            at = run.marks[of_run.index(bay)] if len(of_run) == len(run.marks) - 1 else None
            if at is None:
                continue
            near, far = (
                at + half_at(drawn.kit, bay, 0),
                at + bay.centres - half_at(drawn.kit, bay, 1),
            )
            ends = [(origin[0] + ux * t, origin[1] + uy * t) for t in (near, far)]
            lines.append(shapely.LineString(ends))
    if not lines:
        return
    tree = shapely.STRtree(lines)
    first, second = tree.query(lines, predicate="intersects")
    assert all(i == j for i, j in zip(first, second, strict=True))


def _origin(run: Run, layout: Layout, places: dict[str, Point], way: Point) -> Point | None:
    """Where a run begins, worked back from each of its posts by the post's mark; None without any
    post."""
    bays = [bay for bay in layout.bays if bay.run == run.id]
    row: list[str | None] = [run.start, *(bay.end for bay in bays)]
    if len(row) != len(run.marks):
        row = [run.start, *[None] * (len(run.marks) - 2), run.end]
    known = [(places[n], m) for n, m in zip(row, run.marks, strict=True) if n is not None]
    if not known:
        return None
    starts = [(at[0] - way[0] * mark, at[1] - way[1] * mark) for at, mark in known]
    for start in starts:
        # Edges in one line within 0.05 degrees make one run, whose direction is then only nearly
        # that of its first edge.
        assert math.dist(start, starts[0]) <= 2e-3 * max(run.length, 1.0)
    return starts[0]


def check_all(drawn: Drawn, layout: Layout, step: float = 0.0625) -> None:
    """All of the checks above."""
    check_ends(layout, drawn.kit)
    check_sums(layout, drawn.kit)
    check_spacing(layout, drawn.kit, step)
    check_numbers(layout)
    check_cuts(layout, drawn.kit, step)
    check_infill(layout, drawn.kit, step)
    check_lists(layout)
    check_places(layout, drawn)


def drawn_real(points: tuple[Point, ...], kit: Kit, infill: str, wall: int | None) -> Drawn:
    """A deck on a real outline, with one edge a wall or none."""
    edges = () if wall is None else builders.walls(wall)
    return Drawn(points, kit, edges, (), infill)
