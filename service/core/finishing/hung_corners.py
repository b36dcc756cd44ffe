"""Core: what fits between the corner of a deck and the rails that hang off it round it, in plan.

Along a fascia's edges that is how far the rails hang off. Past a corner it is more: a disc that
leans on the corner itself has both rails before it. The post there takes up some of that.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, deepest
from service.core.finishing.observing import Ids
from service.core.levels.railing import LineDraft
from service.core.line.arcs import ArcSide
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, body
from service.core.measure import Length, Point
from service.core.records.deck import Drops
from service.core.records.kit import Kit
from service.core.records.seen import HungCornerSeen
from service.core.runs.drafts import RunDraft

CLOSE: Final = 1e-4
"""Of the setback: how closely the disc is looked for."""
ROUND: Final = 64
"""Chords that stand for a quarter circle about what a disc leans on."""
SHORT: Final = 16
"""Chords that stand for a bowed edge beside a run."""


class _Arm(NamedTuple):
    """A run that comes to the post of a corner. edge: the deck's beside it, as far as the corner;
    rail: its middle line, as far as the post; half: of the bottom rail's width."""

    edge: tuple[Point, ...]
    rail: tuple[Point, ...]
    half: Length
    drops: Drops


def see_hung_corners(kit: Kit, about: Adjoining, ids: Ids) -> Iterator[HungCornerSeen]:
    """The corners of a level of a fascia kit past which more fits than along their edges."""
    meeting: dict[PostDraft, list[_Arm]] = defaultdict(list)
    for line in about.draft.lines:
        for run in line.runs:
            for post, arm in _arms(kit, about, line, run):
                meeting[post].append(arm)
    for post, arms in meeting.items():
        room = _room(kit, post, arms) if len(arms) == 2 else None
        if room is not None:
            drops = deepest([arm.drops for arm in arms])
            yield HungCornerSeen(ids[post], round(room, 6), drops)


def _arms(
    kit: Kit, about: Adjoining, line: LineDraft, run: RunDraft
) -> Iterator[tuple[PostDraft, _Arm]]:
    """The posts of corners that a run has a bay at."""
    side, ends = line.side, (run.stretch.start, run.stretch.end)
    railed, rail = {bay.index for bay in run.bays}, tuple(run.stretch.axis(kit).coords)
    at_start = ends[0].post, 0, 0.0, ends[1].t, rail[::-1]
    at_end = ends[1].post, len(run.marks) - 2, side.length, ends[0].t, rail
    for post, index, corner, far, toward in (at_start, at_end):
        if post is not None and post.role == "corner" and index in railed:
            edge = _edge(side, min(max(far, 0.0), side.length), corner)
            back = corner + kit.post.setback if corner else -kit.post.setback
            drops = about.draft.drops_between(side, min(back, corner), max(back, corner))
            yield post, _Arm(edge, toward, _half_rail(kit, line), drops)


def _edge(side: Side, far: Length, corner: Length) -> tuple[Point, ...]:
    """The deck's edge from one place along its side to another."""
    count = SHORT if isinstance(side, ArcSide) else 1
    places = (far + i / count * (corner - far) for i in range(count + 1))
    return tuple(side.place(at, 0.0) for at in places)


def _half_rail(kit: Kit, line: LineDraft) -> Length:
    """Half of the bottom rail's width; 0 where the kit does not say it."""
    rails = {} if kit.strength is None else kit.strength.rails
    rail = rails.get(f"bottom_rail_{line.side.spec.infill}")
    return 0.0 if rail is None or rail.width is None else rail.width / 2


def _room(kit: Kit, post: PostDraft, arms: Sequence[_Arm]) -> Length | None:
    """The diameter of the greatest disc between the edges and the rails that come to a post; None
    where it is that along the edges."""
    one, two = arms
    corner, hung = one.edge[-1], -kit.post.setback
    between = shapely.Polygon([*one.edge, *two.edge[::-1], *two.rail, *one.rail[::-1]])
    (x, y), reach = corner, math.dist(corner, post.at) + 2 * hung
    left = between if between.is_valid else shapely.make_valid(between)
    left = left.intersection(shapely.box(x - reach, y - reach, x + reach, y + reach))
    left = left.difference(body(kit, post))
    for arm in arms:
        if arm.half:
            left = left.difference(shapely.LineString(arm.rail).buffer(arm.half, cap_style="flat"))

    def takes(radius: Length) -> bool:
        return not left.buffer(-radius, quad_segs=ROUND).is_empty

    close = CLOSE * hung
    low, high = max(hung - arm.half for arm in arms) / 2 + close, hung
    if not takes(low):
        return None
    while high - low > close:
        middle = (low + high) / 2
        low, high = (middle, high) if takes(middle) else (low, middle)
    return 2 * high
