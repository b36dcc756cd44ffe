"""Core: the records of a flight and of a bay, each made from one draft and its ids.

Nothing is decided here: each function fills a record, member by member.
"""

from __future__ import annotations

from typing import NamedTuple

from service.core.finishing.bare_sides import gap_beside
from service.core.flights.drafts import FlightDraft, RakedBay
from service.core.line.sides import EdgeSpec
from service.core.measure import Degrees
from service.core.records.deck import Drops
from service.core.records.kit import Kit
from service.core.records.layout import Bay, FlightBuilt
from service.core.runs.drafts import BayDraft


def built_flight(
    kit: Kit, flight: FlightDraft, posts: tuple[str, ...], bays: tuple[str, ...]
) -> FlightBuilt:
    """The record of a flight, from its draft and the ids of its posts and bays."""
    course, stair, slope = flight.course, flight.stair, flight.slope
    guards = tuple(side.hand for side in flight.sides)
    width, base = kit.post.width, kit.post.base.width
    return FlightBuilt(
        id=stair.id,
        level=flight.level_id,
        opening=stair.opening,
        rise=stair.rise,
        risers=stair.risers,
        riser=slope.riser,
        going=stair.going,
        nosing=stair.nosing,
        pitch=slope.pitch,
        clear_width=course.opening.way_through(kit, course.side),
        guards=guards,
        walled=flight.walled,
        infill=flight.infill,
        height=flight.height,
        posts=tuple(dict.fromkeys(posts)),
        bays=bays,
        handrails=flight.handrails,
        outside_width=(width + base) / 2 if guards else 0.0,
        into_width=max(0.0, (base - width) / 2) if guards else 0.0,
        triangle=flight.triangle(kit) if bays else None,
        over_deck=flight.over_deck(kit),
        past_foot=flight.past_foot(kit),
        beside=gap_beside(kit, flight),
        unrailed=tuple(side.hand for side in flight.sides if side.small),
        drop=flight.drop,
        to_level=flight.goes_down_to,
        foot_off=flight.foot_off,
        drops=flight.drops,
    )


class BayIds(NamedTuple):
    """The ids of a bay, of its run and of the posts at its ends; None at a wall's face."""

    bay: str
    run: str
    start: str | None
    end: str | None


def raked_bay(ids: BayIds, flight: FlightDraft, draft: RakedBay) -> Bay:
    """The record of a bay of a flight."""
    return Bay(
        id=ids.bay,
        run=ids.run,
        index=draft.index,
        level=flight.level_id,
        edge=flight.edge,
        start=ids.start,
        end=ids.end,
        infill=flight.infill,
        height=flight.height,
        drops=flight.drops,
        centres=draft.centres,
        clear=draft.clear,
        ends=("rake", "rake"),
        skews=draft.skews,
        fill=draft.fill,
        measured=draft.measured is not None,
        wider=0.0 if draft.measured is None else draft.measured.wider * flight.slope.cosine,
        flight=flight.stair.id,
    )


def level_bay(
    ids: BayIds,
    level: str,
    spec: EdgeSpec,
    draft: BayDraft,
    skews: tuple[Degrees, Degrees],
    drops: Drops,
) -> Bay:
    """The record of a bay of a level. drops: those of the deepest stretch below it."""
    return Bay(
        id=ids.bay,
        run=ids.run,
        index=draft.index,
        level=level,
        edge=spec.number,
        start=ids.start,
        end=ids.end,
        infill=spec.infill,
        height=spec.height,
        drops=drops,
        centres=draft.centres,
        clear=draft.clear,
        ends=draft.ends,
        skews=skews,
        fill=draft.fill,
        measured=draft.measured is not None,
        wider=0.0 if draft.measured is None else draft.measured.wider,
    )
