"""Core: what stands in the way of the rails of levels (`see_ways`), and of flights (`flight_ways`).

Obstructions on the line itself are dealt with as it is cut (method 1). But a wall further round the
outline, or another level, may stand in a rail too, and the chord of a bow leaves its arc. So rails
are looked at here against walls, obstructions, posts, rails and decks, once everything has an id.
Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.crowding import see_crowded
from service.core.finishing.flight_ways import see_flight_ways
from service.core.finishing.solids import (
    TOUCH_LENGTH,
    Solids,
    deck_of,
    half_breadth,
    level_posts,
    level_rails,
    level_walls,
    meets,
    stands_between,
)
from service.core.flights.drafts import FlightDraft
from service.core.line.arcs import ArcSide
from service.core.line.corners import Terminal
from service.core.line.neighbours import EdgeInPlan
from service.core.line.obstructions import Obstructions
from service.core.line.posts import PostDraft
from service.core.line.sides import Side
from service.core.measure import TOUCH, Length, toward
from service.core.records.deck import Infill
from service.core.records.kit import Kit, Rails
from service.core.records.seen import WaySeen
from service.core.runs.drafts import RunDraft


def see_ways(levels: Sequence[Adjoining], flights: Sequence[FlightDraft]) -> Iterator[WaySeen]:
    """What stands in the rails of levels, in the guards of flights, and in the ways down them.

    Rails of levels are yielded only if something stands in them. Chords of bows are yielded
    wherever the deck has obstructions; a flight's posts, rails and way down always are.
    """
    for about in levels:
        yield from _walled(about)
        if about.draft.level.obstructions:
            yield from _beside(about)
        yield from see_crowded(about)
    if levels[1:]:
        yield from _in_other_levels(levels)
    if any(about.draft.level.obstructions for about in levels):
        for about in levels:
            yield from _chords(about)
    if flights:
        yield from see_flight_ways(levels, flights)


def _walled(about: Adjoining) -> Iterator[WaySeen]:
    """Rails of a level that run into one of its own walls.

    Such a wall comes out toward the edge, or lies across a narrow part of the deck.
    """
    kit, draft = about.kit, about.draft
    edges = [
        draft.edge_in_plan(j) for j, spec in enumerate(draft.specs) if spec.condition == "wall"
    ]
    if not edges:
        return
    walls = list(zip(level_walls(about), edges, strict=True))
    for line in draft.lines:
        half = max(half_breadth(kit, line.side.spec.infill), TOUCH_LENGTH)
        inward = kit.post.setback + half
        near = [wall for wall, edge in walls if not _keeps_off(line.side, edge, inward)]
        for run in line.railed if near else ():
            broad = _between_brackets(kit, run, half).buffer(half, cap_style="flat")
            met = tuple(f"the wall of {wall.name}" for wall in near if meets(broad, wall.shape))
            if met:
                yield WaySeen("rail", about.ids.runs[run.key], met)


def _beside(about: Adjoining) -> Iterator[WaySeen]:
    """Rails broader than their posts that run into an obstruction of their level.

    The obstruction stands outside the strip, as wide as a post, in which it would cut the line. One
    that is known to end below the top rail counts only if it stands in the bottom rail, and one
    known to stay below that does not. One that a rail ends on counts only away from that end.
    """
    kit, obstructions = about.kit, Obstructions([about.draft.level])
    for line in about.draft.lines:
        spec = line.side.spec
        broader = half_breadth(kit, spec.infill)
        if isinstance(line.side, ArcSide) or broader <= kit.post.width / 2 + TOUCH:
            continue
        rails = kit.rails[spec.infill]
        feet = spec.height - rails.top.depth, kit.bottom_gap
        for run in line.railed:
            ends = [end for end in (run.stretch.start, run.stretch.end) if end.post is None]
            held = {one for end in ends for one in end.obstructions}
            between, whole = (_broad(kit, run, spec.infill, rails=each) for each in (None, rails))
            met = tuple(
                one.name
                for _, one in obstructions.met(shapely.union_all(whole))
                if any(
                    one.reaches_past(foot) and meets(rail, one.shape)
                    for rail, foot in zip(between if one in held else whole, feet, strict=True)
                )
            )
            if met:
                yield WaySeen("rail", about.ids.runs[run.key], met)


def _broad(
    kit: Kit, run: RunDraft, infill: Infill, *, rails: Rails | None
) -> list[shapely.Geometry]:
    """A run's top and bottom rail in plan, as wide as they are; empty where nothing is left.

    rails: as for `_between_brackets`.
    """
    line = _between_brackets(kit, run, half_breadth(kit, infill), rails)
    halves = kit.half_rail("top", infill), kit.half_rail("bottom", infill)
    return [line.buffer(half, cap_style="flat") for half in halves]


def _keeps_off(side: Side, wall: EdgeInPlan, inward: Length) -> bool:
    """Whether a straight wall plainly stands in no rail of a straight side.

    Either the side's line ends on the wall, or the whole wall lies further in than `inward`.
    """
    if wall.bow is not None or isinstance(side, ArcSide):
        return False
    if wall.start == side.end or wall.end == side.start:
        return True
    return min(side.locate(wall.start)[1], side.locate(wall.end)[1]) > inward


def _between_brackets(
    kit: Kit, run: RunDraft, half: Length, rails: Rails | None = None
) -> shapely.LineString:
    """The middle line of a run's rails, without its ends at walls and obstructions.

    At each wall or obstruction that the run ends on, a post's width is left out, and beside an
    oblique one what a rail of this half width takes up. Empty where nothing is left. rails: where
    given, they go on to where they are cut at obstructions.
    """
    (x0, y0), (x1, y1) = run.stretch.axis(kit).coords
    length = math.dist((x0, y0), (x1, y1))

    def left_out(end: Terminal) -> Length:
        if end.post is not None:
            return 0.0
        if rails is not None and end.obstructions:
            kind = end.end(kit)
            return min(rails.top.end_allowance[kind], rails.bottom.end_allowance[kind])
        return half * math.tan(math.radians(end.skew)) + kit.post.width

    first, last = left_out(run.stretch.start), left_out(run.stretch.end)
    if first + last >= length:
        return shapely.LineString()
    ux, uy = toward((x0, y0), (x1, y1))
    return shapely.LineString(
        [(x0 + first * ux, y0 + first * uy), (x1 - last * ux, y1 - last * uy)]
    )


def _in_other_levels(levels: Sequence[Adjoining]) -> Iterator[WaySeen]:
    """Rails that run into a deck, post or rail of another level, then posts that run into a deck.

    Only what stands within their height counts, and nothing where the drop of either level is not
    given. Against a deck a rail reaches from centre to centre of its end posts, else from face to
    face. Posts along rails that were yielded with the same deck are left out.
    """
    decks = list(map(deck_of, levels))
    lines = [rail for about in levels for rail in level_rails(about, to_faces=True)]
    posts = [post for about in levels for post in level_posts(about)]
    solids = Solids([*decks, *posts, *lines])
    known: set[tuple[PostDraft | None, str]] = set()
    for about in levels:
        own, runs = about.draft.level, [run for line in about.draft.lines for run in line.railed]
        whole, between = (
            level_rails(about, least_half=TOUCH_LENGTH, to_faces=to_faces)
            for to_faces in (False, True)
        )
        for run, rail, part in zip(runs, whole, between, strict=True):
            met = (
                solid.name
                for solid in solids.about(rail.shape)
                if solid.level is not own
                and stands_between(solid, own.rise_to(solid.level), 0.0, rail.top or 0.0)
                and meets((rail if solid.is_deck else part).shape, solid.shape)
            )
            found = tuple(dict.fromkeys(met))
            if found:
                known |= {(post, name) for post in run.posts for name in found}
                yield WaySeen("guard", rail.name, found)
    uprights = Solids(posts)
    for deck in decks:
        for solid in uprights.about(deck.shape):
            if (
                solid.level is not deck.level
                and (solid.post, deck.name) not in known
                and stands_between(deck, solid.level.rise_to(deck.level), 0.0, solid.top or 0.0)
                and meets(solid.shape, deck.shape)
            ):
                yield WaySeen("upright", solid.name, (deck.name,))


def _chords(about: Adjoining) -> Iterator[WaySeen]:
    """Every chord of a level's bows, with the obstructions of the level that it runs into."""
    obstructions = Obstructions([about.draft.level])
    for line in about.draft.lines:
        if isinstance(line.side, ArcSide):
            for run in line.railed:
                met = tuple(_in_chord(about.kit, run, obstructions))
                yield WaySeen("rail", about.ids.runs[run.key], met)


def _in_chord(kit: Kit, run: RunDraft, obstructions: Obstructions) -> Iterator[str]:
    """Names of the obstructions that a chord of a bow runs into.

    One on which the chord ends may reach into the chord's width, but not to its middle line.
    """
    ends, axis = (run.stretch.start, run.stretch.end), run.stretch.axis(kit)
    ended_on = {one for end in ends for one in end.obstructions}
    half = max(kit.post.width / 2, half_breadth(kit, run.stretch.side.spec.infill))
    for _, one in obstructions.met(axis.buffer(half, cap_style="flat")):
        if one not in ended_on or axis.intersection(one.shape).length > TOUCH:
            yield one.name
