"""Core: from levels and flights as they were drawn to the layout.

Everything gets its number, gates are hung, what stands in the way is seen, and what is to be cut
and ordered is listed (methods 3, 9 and 12).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.core.built import edges_seen
from service.core.flights.drafts import FlightDraft
from service.core.hanging import hang_gates
from service.core.level import LevelDraft
from service.core.measure import Length, floor_to_mark
from service.core.numbering import Numbering
from service.core.observing import see_clashes, see_wall_ends, uprights
from service.core.order.lists import list_cuts, order_glass
from service.core.records.layout import Layout
from service.core.records.seen import SurveyedSeen
from service.core.runs.bays import BayMaker
from service.core.solids import Names
from service.core.ways import see_ways


def finish(maker: BayMaker, drafts: Sequence[LevelDraft], flights: Sequence[FlightDraft]) -> Layout:
    """The layout of levels and flights that `maker` drew. Refuses every gate that leaves no leaf to
    build."""
    numbered = Numbering(maker, drafts, flights).number()
    upright = tuple(uprights(numbered.on, flights))
    names = Names(numbered.on, numbered.ids, numbered.run_ids, numbered.bay_names)
    openings = {built.place: built for built in numbered.openings}
    gates = tuple(hang_gates(maker.filler, names, openings, drafts, flights))
    bays = tuple(numbered.bays)
    surveys = [draft.plan.survey for draft in drafts]
    return Layout(
        posts=tuple(numbered.posts),
        runs=tuple(numbered.runs),
        bays=bays,
        openings=tuple(numbered.openings),
        cut_list=list_cuts(bays, gates, _handrail_lengths(flights, maker.step)),
        glass_order=order_glass(bays, gates),
        edges=tuple(seen for draft in drafts for seen in edges_seen(draft)),
        closures=tuple(s.closure for s in surveys if s.closure is not None),
        ties=tuple(tie for s in surveys for tie in s.ties),
        bases=tuple(numbered.bases),
        clashes=tuple(see_clashes(maker.kit, upright, numbered.ids)),
        gaps=tuple(numbered.gaps),
        small_stretches=tuple(numbered.small),
        flights=tuple(numbered.flights),
        heads=tuple(numbered.heads),
        measures=tuple(numbered.measured),
        arcs=tuple(numbered.arcs),
        gates=gates,
        surveyed=tuple(_surveyed(drafts)),
        ways=tuple(see_ways(maker.kit, drafts, flights, names)),
        wall_ends=tuple(seen for draft in drafts for seen in see_wall_ends(maker.kit, draft)),
    )


def _handrail_lengths(flights: Sequence[FlightDraft], step: Length) -> list[Length]:
    rails = [rail for flight in flights for rail in flight.handrails]
    return [floor_to_mark(rail.length, step) for rail in rails]


def _surveyed(drafts: Sequence[LevelDraft]) -> Iterator[SurveyedSeen]:
    """Of levels that were taken by tape, the corners that they come to."""
    for draft in drafts:
        survey = draft.plan.survey
        if survey.closure is not None or survey.ties:
            yield SurveyedSeen(draft.level.id, survey.points)
