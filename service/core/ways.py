"""Core: what stands in the way of rails that leave the line, and of who goes down a flight.

Obstructions cut the line of an edge (method 1). A chord of a bow leaves its arc, and flights leave
the deck: those are looked at here, once they are numbered. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import shapely

from service.core.flights.drafts import FlightDraft
from service.core.gates import Solid
from service.core.hanging import level_rails
from service.core.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.neighbours import OVERHEAD
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, Length, Unit, convert
from service.core.records.deck import Obstruction
from service.core.records.kit import Kit
from service.core.records.seen import WayKind, WaySeen
from service.core.runs.drafts import BayKey, RunDraft, RunKey


class Named(NamedTuple):
    """The numbers that posts, runs and bays have been given. on: the posts of levels, with them."""

    on: Mapping[PostDraft, LevelDraft]
    posts: Mapping[PostDraft, str]
    runs: Mapping[RunKey, str]
    bays: Mapping[BayKey, str]


class _Blocks:
    """Every obstruction of the deck, found by its place."""

    def __init__(self, drafts: Sequence[LevelDraft]) -> None:
        self._held = [(draft.level.id, one) for draft in drafts for one in draft.level.obstructions]
        self._tree = shapely.STRtree([shapely.Polygon(one.points) for _, one in self._held])

    def __bool__(self) -> bool:
        return bool(self._held)

    def met(self, shape: shapely.Geometry) -> Iterator[tuple[str, Obstruction]]:
        """Those that share more than a touch with a shape of some area, with their levels."""
        for i in sorted(self._tree.query(shape, predicate="intersects").tolist()):
            if shape.intersection(self._tree.geometries[i]).area > TOUCH:
                yield self._held[i]


def see_ways(
    kit: Kit,
    unit: Unit,
    drafts: Sequence[LevelDraft],
    flights: Sequence[FlightDraft],
    named: Named,
) -> Iterator[WaySeen]:
    """Chords of bows, then each flight's posts and rails, and the way down it.

    Rails and posts are looked at where the deck has obstructions.
    """
    blocks = _Blocks(drafts)
    if blocks:
        for draft in drafts:
            yield from _chords(kit, draft, blocks, named)
        for flight in flights:
            yield from _guards(kit, flight, blocks, named)
    if flights:
        solids = _Solids(kit, drafts, named)
        headroom = convert(OVERHEAD, "in", unit)
        for flight in flights:
            yield _way_down(flight, blocks, solids, headroom)


def _chords(kit: Kit, draft: LevelDraft, blocks: _Blocks, named: Named) -> Iterator[WaySeen]:
    for line in draft.lines:
        if isinstance(line.side, ArcSide):
            for run in line.runs:
                if run.bays:
                    met = tuple(_in_chord(kit, line.side, draft.level.id, run, blocks))
                    yield WaySeen("rail", named.runs[run.key], met)


def _in_chord(kit: Kit, side: ArcSide, level: str, run: RunDraft, blocks: _Blocks) -> Iterator[str]:
    """Names of the level's obstructions in a chord. Those that it ends on may reach into it by its
    width, but not to its middle."""
    ends = run.stretch.start, run.stretch.end
    axis = shapely.LineString([side.place(end.t, kit.post.setback) for end in ends])
    ended_on = {path for end in ends for path in end.against}
    for where, one in blocks.met(axis.buffer(kit.post.width / 2, cap_style="flat")):
        if where != level:
            continue
        ends_on = (*one.points, one.points[0]) in ended_on
        if not ends_on or axis.intersection(shapely.Polygon(one.points)).length > TOUCH:
            yield one.name


def _guards(kit: Kit, flight: FlightDraft, blocks: _Blocks, named: Named) -> Iterator[WaySeen]:
    for side in flight.sides:
        for post in side.posts[1:]:
            yield _held(flight, "post", named.posts[post], shapely.Polygon(post.base), blocks)
        for bay in side.bays:
            ends = side.posts[bay.index].at, side.posts[bay.index + 1].at
            rail = shapely.LineString(ends).buffer(kit.post.width / 2, cap_style="flat")
            name = named.bays[(flight.stair.id, side.hand, 0), bay.index]
            yield _held(flight, "rail", name, rail, blocks)


def _held(
    flight: FlightDraft, kind: WayKind, name: str, shape: shapely.Geometry, blocks: _Blocks
) -> WaySeen:
    """What obstructions are to a part of a flight: those of its own level, and of others."""
    own: list[str] = []
    others: list[str] = []
    for level, one in blocks.met(shape):
        (own if level == flight.level.level.id else others).append(one.name)
    return WaySeen(kind, name, tuple(own), tuple(others))


class _Solids:
    """The posts and rails of levels, found by their place."""

    def __init__(self, kit: Kit, drafts: Sequence[LevelDraft], named: Named) -> None:
        self._held = [
            (draft, Solid(named.posts[post], body(kit, post), draft.level.id, post.height, post))
            for post, draft in named.on.items()
        ]
        self._held += [(one, rail) for one in drafts for rail in level_rails(kit, named.runs, one)]
        self._tree = shapely.STRtree([solid.shape for _, solid in self._held])

    def across(self, flight: FlightDraft, headroom: Length) -> Iterator[str]:
        """Names of those that stand between the steps of a flight and as high above them as one
        who goes down needs."""
        way, slope, risers = flight.way_in_plan(), flight.slope, flight.stair.risers
        for i in sorted(self._tree.query(way, predicate="intersects").tolist()):
            draft, solid = self._held[i]
            shared = way.intersection(solid.shape)
            if max(shared.length, shared.area) <= TOUCH or not _is_within(shared, solid.shape):
                continue
            places = [-flight.side.locate(p)[1] for p in shapely.get_coordinates(shared).tolist()]
            steps = [
                min(risers, max(1, math.ceil(u / flight.stair.going + way_off)))
                for u, way_off in ((min(places), TOUCH), (max(places), -TOUCH))
            ]
            lift = flight.level.below(draft)
            high, low = (-step * slope.riser for step in steps)
            top = lift + (solid.top or 0.0)
            if top > low + TOUCH and lift + solid.foot < high + headroom - TOUCH:
                yield solid.name


def _is_within(shared: shapely.Geometry, shape: shapely.Geometry) -> bool:
    """Whether a part of the same kind is shared: of a post an area, of a rail a length."""
    return bool(shared.area > TOUCH if shape.area > 0 else shared.length > TOUCH)


def _way_down(flight: FlightDraft, blocks: _Blocks, solids: _Solids, headroom: Length) -> WaySeen:
    held = _held(flight, "way", flight.stair.id, flight.way_in_plan(), blocks)
    across = tuple(dict.fromkeys(solids.across(flight, headroom)))
    return WaySeen("way", held.place, held.met + across, held.doubtful)
