"""Core: from levels and flights as they were drawn to the layout.

Everything gets its number, gates are hung, what stands in the way is seen, and what is to be cut
and ordered is listed (methods 3, 9 and 12).
"""

from __future__ import annotations

from collections.abc import Sequence

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.clear_space import (
    see_leaf_spaces,
    see_raked_spaces,
    see_small_raked,
    see_small_stretches,
    see_spaces,
)
from service.core.finishing.gaps import see_gaps, see_wall_ends
from service.core.finishing.hanging import hang_gates
from service.core.finishing.hung_corners import see_hung_corners
from service.core.finishing.numbering import number
from service.core.finishing.observing import (
    see_arcs,
    see_bases,
    see_clashes,
    see_edges,
    see_heads,
    see_measures,
    see_odd_sizes,
    see_outline,
    see_treads,
    uprights,
)
from service.core.finishing.standing_in import see_beside, see_stand_ins
from service.core.finishing.ways import see_ways
from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.measure import Length, floor_to_mark
from service.core.order.lists import list_cuts, order_glass
from service.core.records.layout import Layout
from service.core.runs.bays import BayMaker


def finish(maker: BayMaker, levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]) -> Layout:
    """The layout of levels and flights that `maker` drew. Refuses every gate that leaves no leaf to
    build."""
    kit = maker.kit
    numbered = number(maker, levels, flights)
    ids, bays = numbered.ids, numbered.bays
    openings = {built.place: built for built in numbered.openings}
    gates = tuple(hang_gates(maker.filler, ids, openings, levels, flights))
    hung = {gate.opening: gate for gate in gates}
    surveys = [level.plan.survey for level in levels]
    lines = [line for level in levels for line in level.lines]
    bases = [seen for level in levels for seen in see_bases(kit, level, ids)]
    bases += [seen for flight in flights for seen in see_treads(kit, flight, ids.posts)]
    adjoining = [Adjoining(level) for level in levels]
    standing = tuple(uprights(ids.on, flights))
    heads = {side.posts[0] for flight in flights for side in flight.sides if side.meets_head}
    return Layout(
        posts=numbered.posts,
        runs=numbered.runs,
        bays=bays,
        openings=numbered.openings,
        cut_list=list_cuts(bays, gates, _handrail_lengths(flights, maker.step)),
        glass_order=order_glass(bays, gates),
        edges=tuple(seen for level in levels for seen in see_edges(level)),
        closures=tuple(s.closure for s in surveys if s.closure is not None),
        ties=tuple(tie for s in surveys for tie in s.ties),
        bases=tuple(bases),
        clashes=tuple(see_clashes(kit, standing, ids.posts)),
        gaps=tuple(seen for about in adjoining for seen in see_gaps(kit, about, ids.posts, heads)),
        small_stretches=(
            *(seen for about in adjoining for seen in see_small_stretches(kit, about, ids)),
            *(seen for flight in flights for seen in see_small_raked(kit, flight, ids)),
        ),
        flights=numbered.flights,
        heads=tuple(seen for flight in flights for seen in see_heads(flight, ids.posts)),
        measures=tuple(see_measures(levels, flights, ids)),
        arcs=tuple(seen for line in lines for seen in see_arcs(kit, line, ids.runs)),
        gates=gates,
        surveyed=tuple(seen for level in levels for seen in see_outline(level)),
        odd_sizes=see_odd_sizes(levels, kit.unit),
        ways=tuple(see_ways(kit, levels, flights, ids)),
        wall_ends=tuple(seen for about in adjoining for seen in see_wall_ends(kit, about)),
        stand_ins=(
            *(seen for about in adjoining for seen in see_stand_ins(kit, about)),
            *(seen for flight in flights for seen in see_beside(kit, flight)),
        ),
        spaces=(
            *(seen for about in adjoining for seen in see_spaces(kit, about, ids)),
            *(seen for about in adjoining for seen in see_leaf_spaces(kit, about, hung)),
            *(seen for flight in flights for seen in see_raked_spaces(kit, flight, ids)),
        ),
        hung_corners=tuple(
            seen for about in adjoining for seen in see_hung_corners(kit, about, ids.posts)
        ),
    )


def _handrail_lengths(flights: Sequence[FlightDraft], step: Length) -> list[Length]:
    rails = [rail for flight in flights for rail in flight.handrails]
    return [floor_to_mark(rail.length, step) for rail in rails]
