"""Core: what stands in flights' guards, and in the way of whoever goes down (`see_flight_ways`).

Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.numbering import Ids
from service.core.finishing.solids import (
    Solid,
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
    trimmed_depth,
)
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.line.neighbours import OVERHEAD
from service.core.line.obstructions import Obstructions
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Length, convert
from service.core.records.kit import Kit
from service.core.records.seen import WayKind, WaySeen

HEAD_POST_WIDTHS: Final = 2
"""In post widths: this near to a head post, the rails that meet it may lie side by side."""


class _Part(NamedTuple):
    """A part of a flight in plan: a post of its guards, a rail, or the way down.

    broad: its shape as broad as the rails. stands: the height above the deck of what a post stands
    on; infinity for all else.
    """

    kind: WayKind
    name: str
    shape: shapely.Polygon
    broad: shapely.Polygon
    stands: Length = math.inf


class _Around(NamedTuple):
    """Everything that may stand in the way of flights, looked up by place.

    solids: posts, rails and decks of levels, and the guards of flights. decks: those decks.
    """

    obstructions: Obstructions
    solids: Solids
    walls: Solids
    decks: Sequence[Solid]


def see_flight_ways(
    levels: Sequence[Adjoining], flights: Sequence[FlightDraft]
) -> Iterator[WaySeen]:
    """What stands in each post and rail of the flights' guards, then in each way down."""
    kit, ids = levels[0].kit, levels[0].ids
    decks = list(map(deck_of, levels))
    posts = [post for about in levels for post in level_posts(about)]
    rails = [rail for about in levels for rail in level_rails(about)]
    raked = [guard for flight in flights for guard in flight_guards(kit, ids, flight)]
    walls = Solids(wall for about in levels for wall in level_walls(about))
    obstructions = Obstructions([about.draft.level for about in levels])
    around = _Around(obstructions, Solids([*posts, *rails, *raked, *decks]), walls, decks)
    ways = [_FlightWays(kit, ids, flight, around) for flight in flights]
    for each in ways:
        yield from each.guards()
    for each in ways:
        yield each.way_down()


class _FlightWays:
    """What stands in the way of one flight."""

    def __init__(self, kit: Kit, ids: Ids, flight: FlightDraft, around: _Around) -> None:
        self._kit, self._ids, self._flight, self._around = kit, ids, flight, around
        self._level = flight.course.level.level
        self._past = flight.course.past_the_edge()
        self._headroom = convert(OVERHEAD, "in", kit.unit)

    def guards(self) -> Iterator[WaySeen]:
        """Each post and rail of the flight's guards, with what stands in it.

        Obstructions are looked for in all of a post or rail. Other things are looked for only in
        what lies past the deck's edge: the flight's own deck, unless it is overhead, the decks and
        walls of other levels, and railings.
        """
        over = (self._kit.post.base.width - self._kit.post.width) / 2
        for side in self._flight.sides:
            for part in self._parts(side):
                way, past = self._obstructions_in(part), part.shape.intersection(self._past)
                # The base is at the post's foot alone; a deck is met by the post above it.
                upright = past.buffer(-over, join_style="mitre") if part.kind == "post" else past
                met = (
                    *self._own_deck(past),
                    *self._other_decks(upright, part.stands),
                    *self._railings(past, side.posts[0], part.stands),
                )
                doubtful = tuple(self._walls_met(past))
                yield replace(way, met=way.met + met, doubtful=way.doubtful + doubtful)

    def way_down(self) -> WaySeen:
        """The way down the flight, with everything that stands in it."""
        whole = self._flight.course.way_in_plan()
        way = self._obstructions_in(_Part("way", self._flight.stair.id, whole, whole))
        overhead = tuple(dict.fromkeys(self._in_headroom(whole)))
        walls = tuple(self._walls_met(whole.intersection(self._past)))
        return replace(way, met=way.met + overhead, doubtful=way.doubtful + walls)

    def _parts(self, side: SideDraft) -> Iterator[_Part]:
        """The posts of one side of the flight, but for its head post, then its rails."""
        for post, foot, _ in self._flight.uprights(side):
            base = shapely.Polygon(post.base)
            yield _Part("post", self._ids.posts[post], base, base, foot)
        half = self._kit.post.width / 2
        widest = max(half, half_breadth(self._kit, self._flight.infill))
        for bay in side.bays:
            axis = shapely.LineString([post.at for post in side.posts[bay.index : bay.index + 2]])
            rail, broad = (axis.buffer(reach, cap_style="flat") for reach in (half, widest))
            yield _Part("rail", self._ids.bays[side.key, bay.index], rail, broad)

    def _obstructions_in(self, part: _Part) -> WaySeen:
        """The obstructions that stand in a part of the flight, and those that may.

        The former are of the flight's own level, whatever their height, or of another level that is
        no higher and known to reach up to the part. Doubtful are those of a higher level, and those
        of other levels whose height, or whose level's height, is not given.
        """
        met: list[str] = []
        doubtful: list[str] = []
        for level, one in self._around.obstructions.met(part.broad):
            rise = self._level.rise_to(level)
            if level is self._level:
                met.append(one.name)
            elif one.height is None or rise is None or rise > TOUCH:
                doubtful.append(one.name)
            elif rise + one.height > self._least(part, one.shape) + TOUCH:
                met.append(one.name)
        return WaySeen(part.kind, part.name, tuple(met), tuple(doubtful))

    def _least(self, part: _Part, shape: shapely.Polygon) -> Length:
        """The least height above the deck of a part of the flight over an obstruction.

        The way down reaches to the lowest step there; a rail or a post to the line of nosings, or
        to what it stands on, where that is lower. shape: of the obstruction.
        """
        shared = part.broad.intersection(shape)
        if part.kind == "way":
            return -_steps(self._flight, shared)[1] * self._flight.slope.riser
        return min(self._flight.guard_over(shared)[0], part.stands)

    def _in_headroom(self, whole: shapely.Polygon) -> Iterator[str]:
        """Names of what stands over the flight's steps within the headroom that is needed there.

        The posts beside the opening do not: where one is turned, its edge bounds the clear width.
        What is on the flight's own level may stand beside the width that was asked for. whole: the
        way down in plan.
        """
        flight, course = self._flight, self._flight.course
        asked, riser = course.way_asked(), flight.slope.riser
        for solid in self._around.solids.about(whole):
            if solid.flight == flight.stair.id or solid.post in course.opening.posts:
                continue
            way = asked if solid.level is self._level else whole
            rise = self._level.rise_to(solid.level)
            if not meets(way, solid.shape) or (solid.is_deck and rise is None):
                continue
            first, last = _steps(flight, shared_by(way, solid.shape))
            # If a flight misses the deck that it comes down to by a little, riser_evenness says so.
            at_foot = solid.is_deck and last == flight.stair.risers
            low = -last * riser + (riser / 2 if at_foot else 0.0)
            if stands_between(solid, rise or 0.0, low, self._headroom - first * riser):
                yield solid.name

    def _own_deck(self, part: shapely.Geometry) -> Iterator[str]:
        """The name of the flight's own deck, if a part of the guard runs into it.

        The part stands in the deck then, or passes less than a headroom under it.
        """
        for deck in self._around.decks:
            if deck.level is self._level and meets(part, deck.shape):
                first, _ = _steps(self._flight, part.intersection(deck.shape))
                if first * self._flight.slope.riser < self._headroom - TOUCH:
                    yield deck.name

    def _other_decks(self, part: shapely.Geometry, stands: Length) -> Iterator[str]:
        """Names of other levels' decks that a part of the guard meets within its height.

        stands: as in _Part. The deck that the flight comes down to may lie half a riser higher than
        that, as a small misfit is for `riser_evenness` to judge.
        """
        flight, landing = self._flight, self._flight.landing
        for deck in self._around.decks:
            if deck.level is not self._level and meets(part, deck.shape):
                low, top = flight.guard_over(part.intersection(deck.shape))
                is_landing = landing is not None and landing.level is deck.level
                spare = flight.slope.riser / 2 if is_landing else 0.0
                rise = self._level.rise_to(deck.level)
                if stands_between(deck, rise, min(low, stands + spare), top):
                    yield deck.name

    def _walls_met(self, part: shapely.Geometry) -> Iterator[str]:
        """Names of the walls of other levels that a part of the flight meets.

        A strip along the sides of the part does not count. How high the walls reach is not given.
        """
        inner = part.buffer(-trimmed_depth(self._kit))
        for wall in self._around.walls.about(inner):
            if wall.level is not self._level and meets(inner, wall.shape):
                yield wall.name

    def _railings(self, part: shapely.Geometry, head: PostDraft, stands: Length) -> Iterator[str]:
        """Names of the posts and rails that a part of the guard meets within its height.

        Those of its own level count too, as a fascia's hang out into the space that an inner corner
        leaves. Left out are the flight's own guard, its head post, and its level's rails near that
        post. stands: as in _Part.
        """
        near = HEAD_POST_WIDTHS * self._kit.post.width
        for solid in self._around.solids.about(part):
            if solid.is_deck or solid.post is head or solid.flight == self._flight.stair.id:
                continue
            shared = shared_by(part, solid.shape)
            if solid.post is None and solid.level is self._level and solid.flight is None:
                shared = shared.difference(shapely.Point(head.at).buffer(near))
            if is_more(shared, solid.shape):
                low, top = self._flight.guard_over(shared)
                rise = self._level.rise_to(solid.level)
                if stands_between(solid, rise, min(low, stands), top):
                    yield solid.name


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
