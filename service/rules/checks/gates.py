"""Rules: gates: how wide their leaf is, what it swings into and opens over, and what holds it."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.measure import TOUCH, Length
from service.core.records.code import Figure
from service.core.records.deck import Drops
from service.core.records.layout import GateBuilt
from service.core.records.seen import FootSeen
from service.rules.checks.feet import closed_by, feet_of, flights_text, left_open
from service.rules.figure_words import required_text, stepped_text
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.kit_limits import KitLimit, by_kit
from service.rules.ruling import Ruling, guard_needed, stepped_figure
from service.rules.saying import Saying, say_by_figure, say_by_kit, steady
from service.rules.words import list_text


def gate_width(job: Job) -> Iterator[Saying]:
    """The leaf of each gate against the widest that the kit takes."""
    if job.kit.gate is None:
        sentence = "the gate's leaf was not checked: the kit has no gate; add one to the kit"
        unknown = say_by_kit(job, "gate_width", "not_checked", sentence)
        yield unknown, [(each.place,) for each in job.layout.openings if each.use == "gate"]
        return
    leaves = (((gate.place,), gate.width) for gate in job.layout.gates)
    widest = KitLimit("gate_width", job.kit.gate.max_leaf, "the leaf of the gate is {} wide")
    yield from by_kit(job, widest, leaves)


def gate_swing(job: Job) -> Iterator[Saying]:
    """What each gate swings into, what it opens over, and whether its line meets what holds it.

    A gate at the head of a flight must open away from the flight.
    """
    feet = feet_of(job)
    for gate in job.layout.gates:
        for finding in _swing(job, gate, feet.get(gate.place)):
            yield finding, [(gate.place,)]
    gates = {gate.place for gate in job.layout.gates}
    for seen in job.layout.spaces:
        if seen.place in gates and (passed_by := _passed_by(job, seen.off)):
            yield passed_by, [(seen.place,)]


def _passed_by(job: Job, off: tuple[Length, Length]) -> Finding | None:
    """Finding on a gate whose line passes by what its hinges or its latch are to be fixed to.

    off: how far off that line lies what is nearest to the hinges, and to the latch. None where both
    are within a mark.
    """
    parts = ("what its hinges are to be fixed to", "what its latch is to shut into")
    astray = [
        f"{part} lies {job.text(steady(far))} off"
        for part, far in zip(parts, off, strict=True)
        if far > job.deck.step + TOUCH
    ]
    if not astray:
        return None
    sentence = (
        f"the line of the gate passes by the wall beside it, so that {' and '.join(astray)}: "
        "settle on site what carries it there, or move the opening so that a post of its own "
        "stands there"
    )
    return say_by_kit(job, "gate_swing", "not_checked", sentence)


def _swing(job: Job, gate: GateBuilt, foot: FootSeen | None) -> Iterator[Finding]:
    """Findings on what one gate opens over and swings into. foot: flights that come down there."""
    over_flight = gate.flight is not None and gate.opening.opens == "out"
    hits = [name for name in gate.hits if not (over_flight and name == gate.flight)]
    if over_flight:
        sentence = (
            f"the gate opens out over flight {gate.flight}; at the head of a flight it must open "
            "in, away from the steps"
        )
        yield say_by_kit(job, "gate_swing", "violation", sentence)
    if hits:
        into = f"the gate swings into {list_text(hits)}"
        yield say_by_kit(job, "gate_swing", "violation", into)
    met = foot is not None and closed_by(job, foot, gate.opening.drops) is not None
    beyond = _beyond(job, gate, foot) if gate.flight is None and not met else None
    if beyond is not None:
        yield beyond
    if not over_flight and not hits and (beyond is None or beyond.result != "fail"):
        clear = "the gate swings clear of posts, rails, walls, flights and obstructions"
        yield say_by_kit(job, "gate_swing", "pass", clear)


def _beyond(job: Job, gate: GateBuilt, foot: FootSeen | None) -> Finding | None:
    """Finding on the drop at a gate that no flight goes down from; None where there is no drop.

    foot: flights that come down there and do not close the gate's opening.
    """
    drops, drop = gate.opening.drops, gate.opening.drops.drop
    if drop is not None and drop <= TOUCH:
        return None
    needed = guard_needed(job, drops)
    if drop is None or (needed is not None and needed.keeps is None):
        sentence = (
            "no flight goes down from the gate; give the drop of its edge or level to have that "
            "checked"
        )
        return say_by_kit(job, "gate_swing", "not_checked", sentence)
    what, sphere = _at_drop(job, drops, needed, foot)
    over = f"the gate opens over a drop of {job.text(drop)}{what}"
    if needed is None:
        return say_by_kit(job, "gate_swing", "violation", over, actual=drop)
    figure = needed.figure
    asks = required_text(job, figure)
    stepped = None if needed.keeps else stepped_figure(job, drops)
    if stepped is not None:
        sentence = (
            f"{over}; {asks}, and {stepped_text(job, stepped)}: settle with the local authority "
            "whether this is such a landing"
        )
        return say_by_figure("gate_swing", "not_checked", sentence, figure, drop, [stepped])
    verdict: Verdict = "violation" if needed.keeps else "pass"
    return say_by_figure("gate_swing", verdict, f"{over}; {asks}", figure, drop, [sphere])


def _at_drop(
    job: Job, drops: Drops, needed: Ruling | None, foot: FootSeen | None
) -> tuple[str, Figure | None]:
    """What is at the drop that a gate opens over, in words, and the figure for openings in them."""
    if foot is None:
        return " with no stair or landing", None
    if needed is not None and not needed.keeps:
        return f", at the foot of {flights_text(foot)}", None
    how, sphere = left_open(job, foot, drops, "gate")
    return f", {how}", sphere
