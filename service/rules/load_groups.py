"""Rules: the places of a layout grouped by the loads that the code has for them (`by_loads`), as a
flight may have other loads than a deck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

from service.rules.alike import bay_kinds, leaves
from service.rules.job import Job, Place, once
from service.rules.ruling import circumstances_of
from service.rules.strength.loads import (
    Loads,
    Spot,
    hang_on_places,
    holding,
    read_loads,
    with_handrail,
)

T = TypeVar("T")


def by_loads(
    job: Job, usual: Loads, kinds: Sequence[tuple[Place, T]]
) -> Iterator[tuple[Loads, list[tuple[Place, T]]]]:
    """Places in groups under the same loads, in the order of each group's first place.

    Each group comes with its loads. A place for which the code states no strength method takes the
    loads of a place of which nothing is known (`usual`). Guards of flights whose tops are their
    handrails take the handrail's loads too.
    """
    if job.code is None or not (tops_as_handrails(job) or hang_on_places(job.code)):
        yield usual, list(kinds)
        return
    loads = _loads(job, usual)
    parted: dict[int, tuple[Loads, list[tuple[Place, T]]]] = {}
    for place, kind in kinds:
        mine = loads.get(place[0]) or usual
        _, alike = parted.setdefault(id(mine), (mine, []))
        alike.append((place, kind))
    yield from parted.values()


@once
def _loads(job: Job, usual: Loads) -> dict[str, Loads | None]:
    """The loads at every place by its id; places with equal loads share one record.

    None where the code states no strength method. usual: the loads at a place of which nothing is
    known; places with equal loads share this record.
    """
    assert job.code is not None
    known: dict[frozenset[Spot], Loads | None] = {}
    alike: dict[object, Loads | None] = {tuple(holding(job.code, ()).items()): usual}
    found: dict[str, Loads | None] = {}
    for place, spots in _spots(job).items():
        over = frozenset(spots)
        if over not in known:
            held = holding(job.code, spots)
            figures = tuple(held.items())
            if figures not in alike:
                alike[figures] = read_loads(held, job.deck.unit)
            known[over] = alike[figures]
        found[place] = known[over]
    _add_handrails(job, found)
    return found


@once
def tops_as_handrails(job: Job) -> set[str]:
    """Ids of the flights on which the tops of the guards are meant to be the handrails."""
    return {stair.id for stair in job.deck.stairs if stair.top_as_handrail}


def _add_handrails(job: Job, found: dict[str, Loads | None]) -> None:
    """Adds the handrail's loads at places on flights whose guards' tops are their handrails."""
    tops = tops_as_handrails(job)
    bays = [bay for bay in job.layout.bays if bay.flight in tops]
    more: dict[int, Loads] = {}
    for place in {place for bay in bays for place in (bay.id, bay.start, bay.end)}:
        loads = None if place is None else found[place]
        if place is not None and loads is not None:
            if id(loads) not in more:
                more[id(loads)] = with_handrail(loads)
            found[place] = more[id(loads)]


def _spots(job: Job) -> dict[str, list[Spot]]:
    """What the loads may depend on at every bay, leaf and flight; and at every post, for all that
    meets it."""
    layout = job.layout
    spots: dict[str, list[Spot]] = {
        each.id: [(each.drops, circumstances_of(each))] for each in layout.flights
    }
    for bay, (_, kind) in zip(layout.bays, bay_kinds(job), strict=True):
        for place in (bay.id, bay.start, bay.end):
            if place is not None:
                spots.setdefault(place, []).append((kind.drops, kind.here))
    for _, leaf in leaves(job):
        opening = leaf.gate.opening
        for place in (opening.place, opening.hinge_post, opening.latch_post):
            if place is not None:
                spots.setdefault(place, []).append((leaf.drops, leaf.here))
    return spots
