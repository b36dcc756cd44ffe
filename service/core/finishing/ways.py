"""Core: what stands in the way of rails, and of who goes down a flight.

On the line itself obstructions are dealt with as it is cut (method 1). But a wall further round the
outline may stand in it, or another level, the chord of a bow leaves its arc and a flight leaves the
deck, so each is looked at here, against walls, obstructions, posts, rails and decks, once all has a
number. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import shapely

from service.core.finishing.crowding import see_crowded
from service.core.finishing.numbering import Ids
from service.core.finishing.solids import (
    ALONG,
    TRIMMED_DEPTH,
    Rises,
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
)
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.levels.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.neighbours import OVERHEAD, Brink
from service.core.line.obstructions import Obstructions
from service.core.line.posts import PostDraft, body
from service.core.line.sides import Side
from service.core.measure import TOUCH, Length, convert
from service.core.records.kit import Kit
from service.core.records.seen import WayKind, WaySeen, edge_place
from service.core.runs.drafts import RunDraft

HEAD_POST_WIDTHS: Final = 2
"""Within so many widths of a head post all rails that come to it may lie beside each other."""


def see_ways(
    kit: Kit,
    drafts: Sequence[LevelDraft],
    flights: Sequence[FlightDraft],
    ids: Ids,
) -> Iterator[WaySeen]:
    """Rails that walls, their own level's railing or other levels stand in; chords of bows, looked
    at where there are obstructions; then each flight's posts and rails, and the way down it."""
    for draft in drafts:
        yield from _walled(kit, draft, ids)
        yield from see_crowded(kit, draft, ids)
    if drafts[1:]:
        yield from _in_other_levels(kit, drafts, ids)
    obstructions = Obstructions(
        (draft.level.id, one) for draft in drafts for one in draft.level.obstructions
    )
    if obstructions:
        for draft in drafts:
            yield from _chords(kit, draft, obstructions, ids)
    if flights:
        solids = _InTheWay(kit, ids, drafts, flights, obstructions)
        for flight in flights:
            yield from solids.guards(flight)
        for flight in flights:
            yield solids.way_down(flight)


def _walled(kit: Kit, draft: LevelDraft, ids: Ids) -> Iterator[WaySeen]:
    """Rails of a level that a wall of its own stands in: one that comes out towards the edge, or
    lies across a narrow part of the deck."""
    walls = [
        (spec.number, draft.brink(j))
        for j, spec in enumerate(draft.specs)
        if spec.condition == "wall"
    ]
    for line in draft.lines:
        half = max(half_breadth(kit, line.side.spec.infill), ALONG)
        inward = kit.post.setback + half
        near = [number for number, wall in walls if not _keeps_off(line.side, wall, inward)]
        for run in line.runs if near else ():
            rail = _between_brackets(kit, run, half) if run.bays else None
            if rail is None:
                continue
            broad = rail.buffer(half, cap_style="flat")
            met = tuple(
                f"the wall of {edge_place(draft.level.id, number)}"
                for number, wall in draft.walls()
                if number in near and meets(broad, wall)
            )
            if met:
                yield WaySeen("rail", ids.runs[run.key], met)


def _keeps_off(side: Side, wall: Brink, inward: Length) -> bool:
    """Whether a straight wall plainly stands in no rail of a straight side: its line ends on it, or
    it stays further inward than that."""
    if wall.bow is not None or isinstance(side, ArcSide):
        return False
    if wall.start == side.end or wall.end == side.start:
        return True
    return min(side.locate(wall.start)[1], side.locate(wall.end)[1]) > inward


def _between_brackets(kit: Kit, run: RunDraft, half: Length) -> shapely.LineString | None:
    """The middle line of a run's rails, less a post's width and what is beside the walls that they
    end on; None where nothing is left."""
    (x0, y0), (x1, y1) = run.stretch.axis(kit).coords
    length = math.dist((x0, y0), (x1, y1))
    first, last = (
        0.0 if end.post is not None else half * math.tan(math.radians(end.skew)) + kit.post.width
        for end in (run.stretch.start, run.stretch.end)
    )
    if first + last >= length:
        return None
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    return shapely.LineString(
        [(x0 + first * ux, y0 + first * uy), (x1 - last * ux, y1 - last * uy)]
    )


def _in_other_levels(kit: Kit, drafts: Sequence[LevelDraft], ids: Ids) -> Iterator[WaySeen]:
    """Rails that the deck, a post or a rail of another level stands in, in their height; a level of
    no given drop stands nobody knows where. In a deck the posts at their ends count as they do.
    Then posts that stand in a deck beside no such rail."""
    deep = convert(TRIMMED_DEPTH, "in", kit.unit)
    decks = [deck_of(draft, deep) for draft in drafts]
    lines = [rail for draft in drafts for rail in level_rails(kit, ids, draft, to_faces=True)]
    solids = Solids([*decks, *level_posts(kit, ids), *lines])
    told: set[str] = set()
    for draft in drafts:
        rises = Rises.over(draft, drafts)
        whole, between = (
            level_rails(kit, ids, draft, least_half=ALONG, to_faces=to_faces)
            for to_faces in (False, True)
        )
        for rail, part in zip(whole, between, strict=True):
            met = (
                solid.name
                for solid in solids.about(rail.shape)
                if solid.level != rises.own
                and stands_between(solid, rises.above[solid.level], 0.0, rail.top or 0.0)
                and meets((rail if solid.is_deck else part).shape, solid.shape)
            )
            found = tuple(dict.fromkeys(met))
            if found:
                told.add(rail.name)
                yield WaySeen("guard", rail.name, found)
    yield from _posts_in_decks(kit, drafts, decks, ids, told)


def _posts_in_decks(
    kit: Kit, drafts: Sequence[LevelDraft], decks: Sequence[Solid], ids: Ids, told: set[str]
) -> Iterator[WaySeen]:
    """Posts that the deck of another level stands in, in their height, but those along runs of
    which that is told."""
    runs = [run for draft in drafts for line in draft.lines for run in line.runs]
    known = {
        post
        for run in runs
        if ids.runs[run.key] in told
        for post in (run.stretch.start.post, *run.inner, run.stretch.end.post)
    }
    reach = kit.post.width / math.sqrt(2)
    left = [(post, standing) for post, standing in ids.on.items() if post not in known]
    for draft, deck in zip(drafts, decks, strict=True):
        shapely.prepare(deck.shape)
        others = [(post, on) for post, on in left if on.level is not draft]
        if not others:
            continue
        places = shapely.points([post.at for post, _ in others])
        near = shapely.dwithin(deck.shape, places, reach).nonzero()[0].tolist()
        for post, on in (others[i] for i in near):
            in_height = stands_between(deck, on.level.rise_to(draft), 0.0, on.height)
            if in_height and meets(body(kit, post), deck.shape):
                yield WaySeen("upright", ids.posts[post], (deck.name,))


def _chords(kit: Kit, draft: LevelDraft, obstructions: Obstructions, ids: Ids) -> Iterator[WaySeen]:
    for line in draft.lines:
        if isinstance(line.side, ArcSide):
            for run in line.runs:
                if run.bays:
                    met = tuple(_in_chord(kit, draft.level.id, run, obstructions))
                    yield WaySeen("rail", ids.runs[run.key], met)


def _in_chord(kit: Kit, level: str, run: RunDraft, obstructions: Obstructions) -> Iterator[str]:
    """Names of the level's obstructions in a chord. Those that it ends on may reach into it by its
    width, but not to its middle."""
    ends, axis = (run.stretch.start, run.stretch.end), run.stretch.axis(kit)
    ended_on = {path for end in ends for path in end.against}
    for where, one in obstructions.met(axis.buffer(kit.post.width / 2, cap_style="flat")):
        if where != level:
            continue
        ends_on = (*one.points, one.points[0]) in ended_on
        if not ends_on or axis.intersection(one.shape).length > TOUCH:
            yield one.name


class _InTheWay:
    """The obstructions, posts, rails, decks and walls of levels and the guards of flights, found by
    their place.

    A part of a flight is asked about by what of it lies past the edge of its deck.
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
        """The posts and rails of a flight against obstructions, and past the deck's edge against
        its own deck, but where that is overhead, the decks of other levels, and railings."""
        past, rises = flight.course.past_the_edge(), Rises.over(flight.course.level, self._drafts)
        over = (self._kit.post.base.width - self._kit.post.width) / 2
        for side in flight.sides:
            for kind, name, shape, stands in self._parts(flight, side):
                held = self._held(flight, kind, name, shape)
                part = shape.intersection(past)
                # A base lies at a post's foot alone, and a deck is met higher up.
                upright = part.buffer(-over, join_style="mitre") if kind == "post" else part
                decks = (
                    *self._own_deck(flight, part),
                    *self._other_decks(flight, rises, upright, stands),
                )
                guards = tuple(self._railings(flight, rises, part, side.posts[0], stands))
                walls = tuple(self._walls_met(flight, part))
                yield replace(held, met=held.met + decks + guards, doubtful=held.doubtful + walls)

    def way_down(self, flight: FlightDraft) -> WaySeen:
        """The way down a flight against all that stands in it."""
        whole = flight.course.way_in_plan()
        held = self._held(flight, "way", flight.stair.id, whole)
        across = tuple(dict.fromkeys(self._across(flight)))
        walls = tuple(self._walls_met(flight, whole.intersection(flight.course.past_the_edge())))
        return replace(held, met=held.met + across, doubtful=held.doubtful + walls)

    def _parts(
        self, flight: FlightDraft, side: SideDraft
    ) -> Iterator[tuple[WayKind, str, shapely.Polygon, Length]]:
        """The posts of a side of a flight but its head, then its rails: names, shapes, and what a
        post stands on, above the deck."""
        for post, foot, _ in flight.uprights(side):
            yield "post", self._ids.posts[post], shapely.Polygon(post.base), foot
        for bay in side.bays:
            ends = [post.at for post in side.posts[bay.index : bay.index + 2]]
            rail = shapely.LineString(ends).buffer(self._kit.post.width / 2, cap_style="flat")
            yield "rail", self._ids.bays[side.key, bay.index], rail, math.inf

    def _held(
        self, flight: FlightDraft, kind: WayKind, name: str, shape: shapely.Geometry
    ) -> WaySeen:
        """The obstructions that a part of a flight meets: those of its own level, and those of
        others, which may reach up to it."""
        own: list[str] = []
        others: list[str] = []
        for level, one in self._obstructions.met(shape):
            (own if level == flight.level_id else others).append(one.name)
        return WaySeen(kind, name, tuple(own), tuple(others))

    def _across(self, flight: FlightDraft) -> Iterator[str]:
        """Names of those that stand between the steps of a flight and as high above them as one
        who goes down needs."""
        whole, slope = flight.course.way_in_plan(), flight.slope
        asked, rises = flight.course.way_asked(), Rises.over(flight.course.level, self._drafts)
        for solid in self._solids.about(whole):
            if solid.flight == flight.stair.id:
                continue
            is_deck = solid is self._decks[solid.level]
            way = asked if is_deck and solid.level == rises.own else whole
            if not meets(way, solid.shape) or (is_deck and rises.above[solid.level] is None):
                continue
            first, last = _steps(flight, shared_by(way, solid.shape))
            high, low = (-step * slope.riser for step in (first, last))
            rise = rises.to(solid.level)
            # Where a flight comes down to a deck, riser_evenness tells of a little that it misses.
            spare = slope.riser / 2 if is_deck and last == flight.stair.risers else TOUCH
            top = rise + (solid.top or 0.0)
            if top > low + spare and rise + solid.foot < high + self._headroom - TOUCH:
                yield solid.name

    def _own_deck(self, flight: FlightDraft, part: shapely.Geometry) -> Iterator[str]:
        """The flight's own deck, where a part of its guard stands in it, or passes less than a
        headroom under it."""
        deck = self._decks[flight.level_id]
        if meets(part, deck.shape):
            first, _ = _steps(flight, part.intersection(deck.shape))
            if first * flight.slope.riser < self._headroom - TOUCH:
                yield deck.name

    def _other_decks(
        self, flight: FlightDraft, rises: Rises, part: shapely.Geometry, stands: Length
    ) -> Iterator[str]:
        """The decks of other levels that a part of a flight's guard meets in its height. stands:
        what it stands on; of the deck that it comes down to, riser_evenness tells of a little that
        it misses."""
        landing = None if flight.landing is None else flight.landing.level.id
        for deck in self._decks.values():
            rise = rises.above[deck.level]
            if deck.level != flight.level_id and rise is not None and meets(part, deck.shape):
                low, top = flight.guard_over(part.intersection(deck.shape))
                spare = flight.slope.riser / 2 if deck.level == landing else 0.0
                if stands_between(deck, rise, min(low, stands + spare), top):
                    yield deck.name

    def _walls_met(self, flight: FlightDraft, part: shapely.Geometry) -> Iterator[str]:
        """The walls of other levels that a part of a flight meets, less a strip along its sides:
        nobody says how high they reach."""
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
        """The posts and rails of levels that a part of a flight's guard meets in its height. Those
        of its own level count too, as a fascia's hang out over what an inner corner leaves; but not
        the head post, nor, near it, the rails that come to it."""
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


def _steps(flight: FlightDraft, shape: shapely.Geometry) -> tuple[int, int]:
    """The first and the last step of a flight that a shape in plan lies over, counted from the
    deck; the last is its foot."""
    going, risers = flight.stair.going, flight.stair.risers
    side, corners = flight.course.side, shapely.get_coordinates(shape).tolist()
    places = [-side.locate(corner)[1] for corner in corners]
    first = math.ceil(min(places) / going + TOUCH)
    last = math.ceil(max(places) / going - TOUCH)
    return min(max(1, first), risers), min(max(1, last), risers)
