"""Core: what stands in the guards of flights, and in the way of whoever goes down (`FlightWays`).

Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import shapely

from service.core.finishing.numbering import Ids
from service.core.finishing.solids import (
    TRIMMED_DEPTH,
    Rises,
    Solids,
    deck_of,
    flight_guards,
    half_breadth,
    is_more,
    level_posts,
    level_rails,
    level_walls,
    meets,
    shared_by,
    stands_between,
)
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.levels.level import LevelDraft
from service.core.line.neighbours import OVERHEAD
from service.core.line.obstructions import Obstructions
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Length, convert
from service.core.records.deck import Obstruction
from service.core.records.kit import Kit
from service.core.records.seen import WayKind, WaySeen

HEAD_POST_WIDTHS: Final = 2
"""In post widths: this near to a head post, the rails that meet it may lie side by side."""


class FlightWays:
    """Everything that may stand in the way of flights, looked up by place.

    It holds the obstructions, posts, rails, decks and walls of levels, and the guards of flights.
    """

    def __init__(
        self,
        kit: Kit,
        ids: Ids,
        drafts: Sequence[LevelDraft],
        flights: Sequence[FlightDraft],
        obstructions: Obstructions,
    ) -> None:
        self._kit, self._ids, self._drafts, self._obstructions = kit, ids, drafts, obstructions
        self._deep = convert(TRIMMED_DEPTH, "in", kit.unit)
        self._headroom = convert(OVERHEAD, "in", kit.unit)
        self._decks = {draft.level.id: deck_of(draft, self._deep) for draft in drafts}
        rails = [rail for draft in drafts for rail in level_rails(kit, ids, draft)]
        raked = [guard for flight in flights for guard in flight_guards(kit, ids, flight)]
        self._solids = Solids([*level_posts(kit, ids), *rails, *raked, *self._decks.values()])
        self._walls = Solids(wall for draft in drafts for wall in level_walls(draft))

    def guards(self, flight: FlightDraft) -> Iterator[WaySeen]:
        """Each post and rail of a flight's guards, with what stands in it.

        Obstructions are looked for in all of a post or rail. Other things are looked for only in
        what lies past the deck's edge: the flight's own deck, unless it is overhead, the decks and
        walls of other levels, and railings.
        """
        past, rises = flight.course.past_the_edge(), Rises.over(flight.course.level, self._drafts)
        over = (self._kit.post.base.width - self._kit.post.width) / 2
        for side in flight.sides:
            for kind, name, shape, broad, stands in self._parts(flight, side):
                way = self._obstructions_in(flight, rises, kind, name, broad, stands)
                part = shape.intersection(past)
                # The base is at the post's foot alone; a deck is met by the post above it.
                upright = part.buffer(-over, join_style="mitre") if kind == "post" else part
                decks = (
                    *self._own_deck(flight, part),
                    *self._other_decks(flight, rises, upright, stands),
                )
                guards = tuple(self._railings(flight, rises, part, side.posts[0], stands))
                walls = tuple(self._walls_met(flight, part))
                yield replace(way, met=way.met + decks + guards, doubtful=way.doubtful + walls)

    def way_down(self, flight: FlightDraft) -> WaySeen:
        """The way down a flight, with everything that stands in it."""
        whole, rises = flight.course.way_in_plan(), Rises.over(flight.course.level, self._drafts)
        way = self._obstructions_in(flight, rises, "way", flight.stair.id, whole, math.inf)
        overhead = tuple(dict.fromkeys(self._in_headroom(flight, rises)))
        walls = tuple(self._walls_met(flight, whole.intersection(flight.course.past_the_edge())))
        return replace(way, met=way.met + overhead, doubtful=way.doubtful + walls)

    def _parts(
        self, flight: FlightDraft, side: SideDraft
    ) -> Iterator[tuple[WayKind, str, shapely.Polygon, shapely.Polygon, Length]]:
        """The posts of one side of a flight, but for its head post, then its rails.

        Each comes as its kind, its id, its shape in plan, the shape as broad as the rails, and the
        height above the deck at which it stands; infinity for a rail.
        """
        for post, foot, _ in flight.uprights(side):
            base = shapely.Polygon(post.base)
            yield "post", self._ids.posts[post], base, base, foot
        half = self._kit.post.width / 2
        widest = max(half, half_breadth(self._kit, flight.infill))
        for bay in side.bays:
            ends = [post.at for post in side.posts[bay.index : bay.index + 2]]
            rail, broad = (
                shapely.LineString(ends).buffer(reach, cap_style="flat") for reach in (half, widest)
            )
            yield "rail", self._ids.bays[side.key, bay.index], rail, broad, math.inf

    def _obstructions_in(
        self,
        flight: FlightDraft,
        rises: Rises,
        kind: WayKind,
        name: str,
        shape: shapely.Geometry,
        stands: Length,
    ) -> WaySeen:
        """The obstructions that stand in a part of a flight, and those that may.

        The former are of the flight's own level, whatever their height, or of another level that is
        no higher and known to reach up to the part. Doubtful are those of a higher level, and those
        of other levels whose height, or whose level's height, is not given. stands: the height
        above the deck of what a post stands on.
        """
        met: list[str] = []
        doubtful: list[str] = []
        for level, one in self._obstructions.met(shape):
            rise = rises.above[level]
            if level == flight.level_id:
                met.append(one.name)
            elif one.height is None or rise is None or rise > TOUCH:
                doubtful.append(one.name)
            elif rise + one.height > _least(flight, kind, shape, one, stands) + TOUCH:
                met.append(one.name)
        return WaySeen(kind, name, tuple(met), tuple(doubtful))

    def _in_headroom(self, flight: FlightDraft, rises: Rises) -> Iterator[str]:
        """Names of what stands over a flight's steps within the headroom that is needed there.

        The posts beside the opening do not: where one is turned, its edge bounds the clear width.
        What is on the flight's own level may stand beside the width that was asked for.
        """
        whole, slope = flight.course.way_in_plan(), flight.slope
        asked, jambs = flight.course.way_asked(), flight.course.opening.jambs
        beside = {jamb.post for jamb in jambs if jamb is not None} - {None}
        for solid in self._solids.about(whole):
            if solid.flight == flight.stair.id or solid.post in beside:
                continue
            is_deck = solid is self._decks[solid.level]
            way = asked if solid.level == rises.own else whole
            if not meets(way, solid.shape) or (is_deck and rises.above[solid.level] is None):
                continue
            first, last = _steps(flight, shared_by(way, solid.shape))
            high, low = (-step * slope.riser for step in (first, last))
            rise = rises.to(solid.level)
            # If a flight misses the deck that it comes down to by a little, riser_evenness says so.
            spare = slope.riser / 2 if is_deck and last == flight.stair.risers else TOUCH
            top = rise + (solid.top or 0.0)
            if top > low + spare and rise + solid.foot < high + self._headroom - TOUCH:
                yield solid.name

    def _own_deck(self, flight: FlightDraft, part: shapely.Geometry) -> Iterator[str]:
        """The name of a flight's own deck, if a part of the guard runs into it.

        The part stands in the deck then, or passes less than a headroom under it.
        """
        deck = self._decks[flight.level_id]
        if meets(part, deck.shape):
            first, _ = _steps(flight, part.intersection(deck.shape))
            if first * flight.slope.riser < self._headroom - TOUCH:
                yield deck.name

    def _other_decks(
        self, flight: FlightDraft, rises: Rises, part: shapely.Geometry, stands: Length
    ) -> Iterator[str]:
        """Names of other levels' decks that a part of a flight's guard meets within its height.

        stands: the height above the deck of what the part stands on. The deck that the flight comes
        down to may lie half a riser higher than that, as a small misfit is for `riser_evenness` to
        judge.
        """
        landing = None if flight.landing is None else flight.landing.level.id
        for deck in self._decks.values():
            rise = rises.above[deck.level]
            if deck.level != flight.level_id and rise is not None and meets(part, deck.shape):
                low, top = flight.guard_over(part.intersection(deck.shape))
                spare = flight.slope.riser / 2 if deck.level == landing else 0.0
                if stands_between(deck, rise, min(low, stands + spare), top):
                    yield deck.name

    def _walls_met(self, flight: FlightDraft, part: shapely.Geometry) -> Iterator[str]:
        """Names of the walls of other levels that a part of a flight meets.

        A strip along the sides of the part does not count. How high the walls reach is not given.
        """
        inner = part.buffer(-self._deep)
        for wall in self._walls.about(inner):
            if wall.level != flight.level_id and meets(inner, wall.shape):
                yield wall.name

    def _railings(
        self,
        flight: FlightDraft,
        rises: Rises,
        part: shapely.Geometry,
        head: PostDraft,
        stands: Length,
    ) -> Iterator[str]:
        """Names of the posts and rails that a part of a flight's guard meets within its height.

        Those of its own level count too, as a fascia's hang out into the space that an inner corner
        leaves. Left out are the flight's own guard, its head post, and its level's rails near that
        post.
        """
        near = HEAD_POST_WIDTHS * self._kit.post.width
        for solid in self._solids.about(part):
            rise = rises.above[solid.level]
            if solid is self._decks[solid.level] or solid.post is head or rise is None:
                continue
            if solid.flight == flight.stair.id:
                continue
            shared = shared_by(part, solid.shape)
            if solid.post is None and solid.level == rises.own and solid.flight is None:
                shared = shared.difference(shapely.Point(head.at).buffer(near))
            if not is_more(shared, solid.shape):
                continue
            low, top = flight.guard_over(shared)
            if stands_between(solid, rise, min(low, stands), top):
                yield solid.name


def _least(
    flight: FlightDraft, kind: WayKind, shape: shapely.Geometry, one: Obstruction, stands: Length
) -> Length:
    """The least height above the deck of a part of a flight over an obstruction.

    The way down reaches to the lowest step there; a rail or a post to the line of nosings, or to
    what it stands on, where that is lower.
    """
    shared = shape.intersection(one.shape)
    if kind == "way":
        return -_steps(flight, shared)[1] * flight.slope.riser
    return min(flight.guard_over(shared)[0], stands)


def _steps(flight: FlightDraft, shape: shapely.Geometry) -> tuple[int, int]:
    """The first and the last step of a flight under a shape in plan.

    Steps are counted from 1 at the deck. The last one, `risers`, is the foot of the flight.
    """
    going, risers = flight.stair.going, flight.stair.risers
    side, corners = flight.course.side, shapely.get_coordinates(shape).tolist()
    places = [-side.locate(corner)[1] for corner in corners]
    first = math.ceil(min(places) / going + TOUCH)
    last = math.ceil(max(places) / going - TOUCH)
    return min(max(1, first), risers), min(max(1, last), risers)
