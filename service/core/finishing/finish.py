"""Core: from levels and flights as drawn to the layout (`finish`).

Everything gets its id, gates are hung, what the rules are to judge is observed, and what is to be
cut and ordered is listed (methods 3, 9 and 12).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.alongside import see_ways_between
from service.core.finishing.bare_sides import see_beside
from service.core.finishing.clear_space import (
    see_leaf_spaces,
    see_raked_spaces,
    see_small_raked,
    see_small_stretches,
    see_spaces,
)
from service.core.finishing.feet import see_feet
from service.core.finishing.gaps import see_gaps, see_wall_ends
from service.core.finishing.hanging import hang_gates
from service.core.finishing.hung_corners import see_hung_corners
from service.core.finishing.joints import see_joints
from service.core.finishing.landings import see_landings
from service.core.finishing.numbering import Numbered
from service.core.finishing.observing import (
    see_arcs,
    see_bases,
    see_clashes,
    see_edges,
    see_flight_bases,
    see_heads,
    see_level_guards,
    see_measures,
    see_odd_size,
    see_outline,
)
from service.core.finishing.seats import see_seats
from service.core.finishing.standing_in import see_low_holds, see_low_walls, see_stand_ins
from service.core.finishing.ways import see_ways
from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.measure import Length, floor_to_mark
from service.core.order.lists import list_cuts, order_glass
from service.core.records.layout import Layout
from service.core.runs.bays import BayMaker

_all = chain.from_iterable
"""Chains what was seen of each level, line or flight into one sequence."""


def finish(maker: BayMaker, levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]) -> Layout:
    """The layout of the levels and flights that `maker` drew.

    Raises Unbuildable with every gate whose opening leaves no leaf to build.
    """
    kit = maker.kit
    numbered = Numbered(maker, levels, flights)
    ids, bays = numbered.ids, numbered.bays
    openings = {built.place: built for built in numbered.openings}
    adjoining = [Adjoining(kit, level, ids) for level in levels]
    gates = tuple(hang_gates(maker.filler, openings, adjoining, flights))
    hung = {gate.place: gate for gate in gates}
    surveys = [level.plan.survey for level in levels]
    edges = [see_edges(level) for level in levels]
    return Layout(
        posts=tuple(numbered.posts),
        runs=tuple(numbered.runs),
        bays=tuple(bays),
        openings=tuple(numbered.openings),
        cut_list=list_cuts(bays, gates, _handrail_lengths(flights, maker.step)),
        glass_order=order_glass(bays, gates),
        edges=tuple(_all(edges)),
        level_guards=tuple(_all(map(see_level_guards, levels, edges))) if levels[1:] else (),
        closures=tuple(s.closure for s in surveys if s.closure is not None),
        ties=tuple(tie for s in surveys for tie in s.ties),
        bases=(
            *_all(map(see_bases, adjoining)),
            *_all(see_flight_bases(kit, flight, levels, ids) for flight in flights),
        ),
        clashes=tuple(see_clashes(kit, flights, ids)),
        gaps=(
            *_all(map(see_gaps, adjoining)),
            *(see_joints(adjoining) if levels[1:] else ()),
            *(see_ways_between(adjoining) if levels[1:] else ()),
        ),
        small_stretches=(
            *_all(map(see_small_stretches, adjoining)),
            *_all(see_small_raked(kit, flight, ids) for flight in flights),
        ),
        flights=tuple(numbered.flights),
        heads=tuple(_all(see_heads(flight, ids) for flight in flights)),
        measures=tuple(see_measures(levels, flights, ids)) if maker.measures.given else (),
        arcs=tuple(_all(map(see_arcs, adjoining))),
        gates=gates,
        surveyed=tuple(_all(map(see_outline, levels))),
        odd_sizes=tuple(_all(see_odd_size(level, kit.unit) for level in levels)),
        ways=tuple(see_ways(adjoining, flights)),
        wall_ends=tuple(_all(map(see_wall_ends, adjoining))),
        stand_ins=(
            *_all(map(see_stand_ins, adjoining)),
            *_all(see_beside(kit, flight) for flight in flights),
        ),
        low_holds=(
            *_all(map(see_low_holds, adjoining)),
            *(see_low_walls(adjoining) if levels[1:] else ()),
        ),
        spaces=(
            *_all(map(see_spaces, adjoining)),
            *_all(see_leaf_spaces(about, hung) for about in adjoining),
            *_all(see_raked_spaces(kit, flight, ids) for flight in flights),
        ),
        hung_corners=tuple(_all(map(see_hung_corners, adjoining))),
        feet=tuple(see_feet(adjoining, flights)) if flights else (),
        seats=tuple(_all(map(see_seats, adjoining))),
        landings=tuple(see_landings(adjoining, flights)) if flights else (),
    )


def _handrail_lengths(flights: Sequence[FlightDraft], step: Length) -> list[Length]:
    rails = [rail for flight in flights for rail in flight.handrails]
    return [floor_to_mark(rail.length, step) for rail in rails]
