"""Rules: cures by what fills a bay: another pane, pickets in place of glass or glass in place of
pickets, either closer together, all of it cut to a finer mark, or glass on other setting blocks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length, Unit, ceil_count, floor_to_mark
from service.core.records.deck import INFILL_WORDS, Infill
from service.core.records.kit import Block, PicketKit
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import (
    change_edges,
    change_flights,
    edges_text,
    flights_text,
    marked_up,
    tape,
)
from service.rules.advice.lesser import PICKET_GAP, PRECISION, SIDE_GAP, with_less
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import greatest, in_turn
from service.rules.advice.trial import Trial
from service.rules.checks.glass_fit import length_asked, trade_of
from service.rules.job import Job
from service.rules.words import list_text, shop_text

FINER: Final[dict[Unit, tuple[Length, ...]]] = {
    "in": (1 / 4, 1 / 8, 1 / 16, 1 / 32),
    "mm": (5.0, 2.0, 1.0, 0.5),
}
"""Marks that a deck may be laid out to, the coarsest first and the finest that is cut to last."""
_GLASS: Final = "strength_glass"


class Filled(NamedTuple):
    """Edges, by level and number, and flights that have some infill."""

    edges: set[tuple[str, int]]
    flights: set[str]

    def changed(self, base: Attempt, what: str, member: str, value: object) -> Attempt:
        """A change that gives one member of all of them another value. what: words for it."""
        told = [f"along {edges_text(self.edges)}"] if self.edges else []
        told += [f"at {flights_text(self.flights)}"] if self.flights else []
        attempt = change_edges(base, "", self.edges, member, value)
        attempt = change_flights(attempt, "", {name: {member: value} for name in self.flights})
        return attempt.called(f"{what} {list_text(told)}")


@in_turn
def other_pane(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by another of the kit's panes, the thinnest that passes."""
    glass = trial.kit.glass
    filled = _filled(trial, rule, "glass")
    if glass is None or not any(filled):
        return
    panes = sorted(enumerate(glass.panes), key=lambda pane: (pane[1].nominal_mm, pane[0]))
    for i, pane in panes:
        thick = shop_text(pane, trial.kit.unit)
        what = f"{thick} {pane.type} glass, pane {i} of the kit,"
        yield filled.changed(trial.base, what, "glass", i)


def pickets_for_glass(trial: Trial, rule: str) -> Outcome | None:
    """Cure by pickets in place of the glass that fails."""
    return _other_infill(trial, rule, "picket")


def glass_for_pickets(trial: Trial, rule: str) -> Outcome | None:
    """Cure by glass in place of the pickets that fail, if all of its strength can be checked."""
    outcome = _other_infill(trial, rule, "glass")
    if outcome is None or outcome.not_passing()[_GLASS] <= trial.stands.not_passing()[_GLASS]:
        return outcome
    trial.decline(rule, outcome.attempt, "the strength of that glass could not be checked")
    return None


def _other_infill(trial: Trial, rule: str, infill: Infill) -> Outcome | None:
    old: Infill = "glass" if infill == "picket" else "picket"
    filled = _filled(trial, rule, old)
    broken = any(finding.severity == "violation" for finding in trial.failing(rule))
    if infill not in trial.kit.rails or not broken or not any(filled):
        return None
    what = f"{INFILL_WORDS[infill]} in place of the {INFILL_WORDS[old]}"
    return trial.passes(rule, filled.changed(trial.base, what, "infill", infill))


def _filled(trial: Trial, rule: str, infill: Infill) -> Filled:
    """The edges and the flights at which a rule fails in bays or leaves of an infill."""
    bays = [bay for bay in trial.failing_bays(rule) if bay.infill == infill]
    edges = {(bay.level, bay.edge) for bay in bays if bay.flight is None}
    gates = {gate.place for gate in trial.layout.gates if gate.infill == infill}
    leaves = gates & trial.named(rule)
    edges |= {edge for name in leaves for edge in trial.stands.places.edges[name]}
    return Filled(edges, {bay.flight for bay in bays if bay.flight is not None})


@in_turn
def closer_pickets(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the greatest gap between pickets, on a mark, that the opening limit lets pass."""
    picket, limits = trial.kit.picket, trial.limits(rule)
    if picket is None or not limits or not any(bay.fill.pickets for bay in trial.layout.bays):
        return
    # The next mark below comes second, as the limit itself may be too much.
    most, step = floor_to_mark(min(limits), trial.deck.step), trial.deck.step
    yield from closer(trial.base, picket, (most, most - step))


def closer(base: Attempt, picket: PicketKit, gaps: Sequence[Length]) -> Iterator[Attempt]:
    """Changes to each of these gaps between pickets that is less than the kit's."""
    for gap in gaps:
        if 0 < gap < picket.gap:
            yield with_less(base, {PICKET_GAP: gap})


def closer_glass(trial: Trial, rule: str) -> Outcome | None:
    """Cure by the greatest gap between glass and its posts that passes, by halving."""
    glass, step = trial.kit.glass, trial.deck.step
    if glass is None or not any(_filled(trial, rule, "glass")):
        return None

    def attempt(marks: int) -> Attempt:
        return with_less(trial.base, {SIDE_GAP: marks * step})

    return greatest(trial, rule, 0, ceil_count(glass.side_gap / step), attempt)


@in_turn
def as_set_closer(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by pickets a few marks closer together, as what is loose in a row adds to one gap."""
    picket, step = trial.kit.picket, trial.deck.step
    if picket is not None:
        most = floor_to_mark(picket.gap, step)
        yield from closer(trial.base, picket, [most - i * step for i in range(4)])


@in_turn
def finer_marks(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by laying the deck out to a finer mark: the coarsest that passes."""
    for step in FINER[trial.deck.unit]:
        if step < trial.deck.step:
            yield with_less(trial.base, {PRECISION: step})


@in_turn
def usual_blocks(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by setting blocks as long as is asked, then also as far from the corners of the glass.

    What is as the trade has it is left.
    """
    glass, base = trial.kit.glass, trial.base
    if glass is None:
        return
    old = glass.block
    asked = length_asked(Job(trial.layout, trial.deck, trial.kit, trial.code))
    length = marked_up(base, asked) if asked > old.length + TOUCH else old.length
    inset = marked_up(base, trade_of(trial.kit).corner + length / 2)
    for place in (old.inset, inset):
        steps, words = list[Step](), list[str]()
        if length != old.length:
            steps.append(Step("/kit/glass/block/length", tape(base, length)))
            words.append(f"setting blocks {tape(base, length)} long")
        if place != old.inset:
            steps.append(Step("/kit/glass/block/inset", tape(base, place)))
            whose = "their middles" if words else "the middles of setting blocks"
            words.append(f"{whose} {tape(base, place)} from the ends of the glass")
        if steps:
            kit = replace(base.kit, glass=replace(glass, block=Block(place, length)))
            yield base.also(list_text(words), steps, kit=kit)
