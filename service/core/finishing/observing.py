"""Core: what is observed of levels and flights as drawn, for the rules to judge.

In: drafts, and the ids of posts, runs and bays. Out: one record for each thing observed. Nothing
here changes a draft. Gaps have modules of their own: `gaps`, `joints`, `alongside`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from operator import attrgetter
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.numbering import Ids
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.levels.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.neighbours import BEYOND
from service.core.line.posts import PostDraft, clashes, overhangs, past_outline
from service.core.line.specs import length_along
from service.core.measure import TOUCH, Area, Length, Unit, convert
from service.core.records.kit import Kit
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    ClashSeen,
    EdgeSeen,
    HeadSeen,
    MeasureSeen,
    OutlineSeen,
    SizeSeen,
)
from service.core.runs.drafts import RunDraft

SIZES: Final[dict[Unit, tuple[Area, Area]]] = {
    "in": (6 * 144.0, 20_000 * 144.0),
    "mm": (0.56 * 1000**2, 1860.0 * 1000**2),
}
"""The least and the greatest area of a level that is not questioned, in the square of each unit.

They are 6 and 20,000 sq ft, or as much in square metres (common practice, no source). A deck of 10
ft by 10 ft whose feet are sent as inches has 0.7 sq ft; one of 2 m by 2 m whose millimetres are
sent as inches has 27,778.
"""


def see_edges(draft: LevelDraft) -> list[EdgeSeen]:
    """Every edge of a level, in the order of the caller's numbers.

    An edge comes as several stretches where what lies below changes along it.
    """
    seen = []
    for j, spec in enumerate(draft.specs):
        whole = length_along(draft.plan, draft.specs, j)
        reaches = draft.reaches[spec.number]
        for reach in reaches:
            length = whole if len(reaches) == 1 else reach.end - reach.start
            seen.append(EdgeSeen(draft.level.id, spec.number, spec.condition, reach.drops, length))
    return sorted(seen, key=attrgetter("edge"))


def see_level_guards(draft: LevelDraft, edges: Sequence[EdgeSeen]) -> Iterator[EdgeSeen]:
    """Guarded edges of a level beyond which another level lies as high or higher.

    Where only a stretch of an edge has such a level beyond it, that stretch is yielded. The edge
    itself has a drop, of which nothing is left there. edges: all of the level, from `see_edges`.
    """
    own = {spec.number: spec.drops.drop for spec in draft.specs}
    for edge in edges:
        drop = edge.drops.drop
        if edge.condition == "guard" and own[edge.edge] and drop is not None and drop <= TOUCH:
            yield edge


def see_outline(draft: LevelDraft) -> Iterator[OutlineSeen]:
    """The corners that a level measured by tape comes to; nothing for any other level."""
    survey = draft.plan.survey
    if survey.closure is not None or survey.ties:
        yield OutlineSeen(draft.level.id, survey.points)


def see_odd_size(draft: LevelDraft, unit: Unit) -> Iterator[SizeSeen]:
    """The area of a level, where it is outside SIZES by more than a millionth."""
    least, most = SIZES[unit]
    area = draft.plan.area
    for bow in draft.bows.values():
        area += bow.segment
    if not least * (1 - TOUCH) <= area <= most * (1 + TOUCH):
        yield SizeSeen(draft.level.id, area, least if area < least else most)


def see_bases(about: Adjoining) -> Iterator[BaseSeen]:
    """How far each base of a level's posts reaches past what it stands on, or lies off its rim."""
    ids, posts = about.ids, about.ids.posts_on(about.draft)
    past = overhangs(about.kit, about.draft.outline, posts)
    off = _off_rims(about)
    for post, over in zip(posts, past, strict=True):
        yield BaseSeen(ids.posts[post], over, off_rim=off.get(post, 0.0))


def _off_rims(about: Adjoining) -> dict[PostDraft, Length]:
    """How far the flat bases of a fascia's posts on bowed rims lie off them.

    Corner brackets are left out.
    """
    off: dict[PostDraft, Length] = {}
    for line in about.lines if about.kit.mounting == "fascia" else ():
        if isinstance(line.side, ArcSide):
            behind = line.side.off_plate(about.kit.post.base.width)
            posts = (post for run in line.runs for post in run.posts)
            off |= {post: behind for post in posts if post is not None and not post.bracketed}
    return off


def see_flight_bases(
    kit: Kit, flight: FlightDraft, levels: Sequence[LevelDraft], ids: Ids
) -> Iterator[BaseSeen]:
    """How far each base of a flight's posts reaches past what it stands on.

    That is its tread or, for a foot post off the treads, the ground, or the level that the flight
    goes down to if it lies above the ground. A base may reach past that level as far as a flight
    may end off it: so much counts as 0.
    """
    past = max(0.0, (kit.post.base.width - flight.stair.going) / 2)
    landing, least = flight.landing, convert(BEYOND, "in", kit.unit) + TOUCH
    if landing is not None and (flight.foot_on_tread or landing.drop == 0):
        landing = None
    parts = [] if landing is None else _surfaces(landing, levels)
    for side in flight.sides:
        for post in side.posts[1:]:
            if post.role == "line" or flight.foot_on_tread:
                yield BaseSeen(ids.posts[post], past)
            elif landing is None:
                yield BaseSeen(ids.posts[post], 0.0)
            else:
                base = shapely.Polygon(post.base)
                off = min(past_outline(part, base) for part in parts)
                yield BaseSeen(ids.posts[post], off if off > least else 0.0, landing.level.id)


def _surfaces(level: LevelDraft, levels: Sequence[LevelDraft]) -> list[shapely.Polygon]:
    """The surfaces that people walk on at the height of a level.

    Levels of one height that lie beside each other make one surface.
    """
    alike = [one.outline for one in levels if one is level or one.drop == level.drop is not None]
    parts: list[shapely.Polygon] = shapely.get_parts(shapely.union_all(alike)).tolist()
    return parts


def see_heads(flight: FlightDraft, ids: Ids) -> Iterator[HeadSeen]:
    """Each raked rail that meets a head post, with each level rail that does."""
    for side in flight.sides:
        for level_head in side.level_heads if side.meets_head else ():
            yield HeadSeen(flight.stair.id, ids.posts[side.posts[0]], level_head, side.raked_head)


def see_measures(
    levels: Sequence[LevelDraft], flights: Sequence[FlightDraft], ids: Ids
) -> Iterator[MeasureSeen]:
    """Every bay that was measured on site, with its clear opening as drawn."""
    runs = (run for draft in levels for line in draft.lines for run in line.runs)
    sides = (side for flight in flights for side in flight.sides)
    for each in chain[RunDraft | SideDraft](runs, sides):
        for bay in each.bays:
            if (made := bay.measured) is not None:
                name, run = ids.bays[each.key, bay.index], ids.runs[each.key]
                yield MeasureSeen(name, run, made.top, made.bottom, made.drawn)


class Upright(NamedTuple):
    """A post of a level, or of a flight down from it. foot, top: their heights above that level."""

    post: PostDraft
    level: LevelDraft
    foot: Length
    top: Length

    def meets(self, other: Upright) -> bool:
        """Whether two posts overlap in height. Levels without drops count as equally high."""
        rise = self.level.rise_to(other.level) or 0.0
        low, high = max(self.foot, other.foot + rise), min(self.top, other.top + rise)
        return low < high - TOUCH


def _uprights(ids: Ids, flights: Sequence[FlightDraft]) -> Iterator[Upright]:
    """Every post with its foot and its top."""
    for post, standing in ids.on.items():
        yield Upright(post, standing.level, 0.0, standing.height)
    for flight in flights:
        for side in flight.sides:
            for post, foot, top in flight.uprights(side):
                yield Upright(post, flight.course.level, foot, top)


def see_clashes(kit: Kit, flights: Sequence[FlightDraft], ids: Ids) -> Iterator[ClashSeen]:
    """The pairs of bases that meet, on one level, on levels beside each other, or on flights."""
    standing = tuple(_uprights(ids, flights))
    posts = [each.post for each in standing]
    for i, j, depth in clashes(kit, posts, lambda i, j: standing[i].meets(standing[j])):
        yield ClashSeen((ids.posts[posts[i]], ids.posts[posts[j]]), depth)


def see_arcs(about: Adjoining) -> Iterator[ArcSeen]:
    """How far the middle of each chord lies from the deck's edge, toward the railing's side of it.

    That side is over the deck with a surface kit, and off the deck with a fascia kit.
    """
    kit = about.kit
    away = 1.0 if kit.mounting == "surface" else -1.0
    for line in about.lines:
        for run in line.runs if isinstance(line.side, ArcSide) else ():
            (x0, y0), (x1, y1) = run.stretch.axis(kit).coords
            inward = line.side.locate(((x0 + x1) / 2, (y0 + y1) / 2))[1]
            yield ArcSeen(about.ids.runs[run.key], away * inward, kit.post.width / 2)
