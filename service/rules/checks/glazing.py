"""Rules: what glass a guard may have, by the code: its make, its top rail and its thickness."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import MM_PER_IN, Length
from service.core.records.code import Circumstances, Figure
from service.core.records.deck import Drops
from service.core.records.figures import (
    LAMINATED,
    LAMINATED_STRONG,
    SAFETY,
    SAFETY_OR_WIRED,
    STRONG_OR_TEMPERED,
)
from service.core.records.infill import Glass
from service.rules.alike import LeafKind, panels
from service.rules.code_limits import Criterion, Reading, by_figure
from service.rules.figure_words import bound_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.panes import STRONG_PLIES, Made, made_in
from service.rules.saying import Saying, say_by_figure, say_unstated, tell_by_kind


class Wanted(NamedTuple):
    """What a value of `glass_make` asks for, in words, and the makes of glass that are that.

    strong_plies: whether laminated glass must have tempered or heat-strengthened plies.
    """

    words: str
    makes: tuple[str, ...]
    strong_plies: bool = False

    def is_met_by(self, made: Made) -> bool:
        """Whether glass of this make is what is asked for."""
        weak = made.make == "laminated" and made.plies not in STRONG_PLIES
        return made.make in self.makes and not (weak and self.strong_plies)


_WANTED: Final = {
    LAMINATED: Wanted("laminated glass is required", ("laminated",)),
    LAMINATED_STRONG: Wanted(
        "laminated glass of tempered or heat-strengthened plies is required",
        ("laminated",),
        strong_plies=True,
    ),
    STRONG_OR_TEMPERED: Wanted(
        "tempered glass, or laminated of tempered or heat-strengthened plies, is required",
        ("laminated", "tempered"),
        strong_plies=True,
    ),
    SAFETY: Wanted("safety glass, laminated or tempered, is required", ("laminated", "tempered")),
    SAFETY_OR_WIRED: Wanted(
        "safety glass, laminated or tempered, or wired glass is required",
        ("laminated", "tempered", "wired"),
    ),
}
_NOMINAL: Final = {
    3.0: 1 / 8, 4.0: 5 / 32, 5.0: 3 / 16, 6.0: 1 / 4, 8.0: 5 / 16, 10.0: 3 / 8, 12.0: 1 / 2,
    16.0: 5 / 8, 19.0: 3 / 4,
}  # fmt: skip
"""Inches by which the trade names each nominal thickness in mm (common practice, from memory)."""


def glass_type(job: Job) -> Iterator[Saying]:
    """The make of each panel against what the code allows over what lies beneath it."""
    figure = job.figure("glass_make")
    if figure is None:
        yield say_unstated(job, "glass_type", "glass_make"), [each.place for each in panels(job)]
        return
    kinds = (
        (each.place, (each.glass.pane, each.kind.drops, each.kind.here)) for each in panels(job)
    )
    yield from tell_by_kind(kinds, lambda kind: _make(job, figure, *kind))


def _make(job: Job, figure: Figure, pane: int, drops: Drops, here: Circumstances) -> Finding | None:
    """Finding on the make of one kind of glass against every figure that may hold over it.

    None where no figure holds.
    """
    may = [one for one in figure.over(drops, here) if one is not None]
    if not may:
        return None
    wanted = [_WANTED[str(one.value)] for one in may]
    asked = zip(wanted, may, strict=True)
    asks = " or ".join(dict.fromkeys(f"{each.words} {job.clause(one)}" for each, one in asked))
    made = made_in(job.kit, pane)
    unsaid = _unsaid(made, by_plies=any(each.strong_plies for each in wanted))
    if isinstance(made, str) or unsaid:
        sentence = f"the kit {unsaid}: {asks}"
        return say_by_figure("glass_type", "not_checked", sentence, may[-1], None)
    keeps = {each.is_met_by(made) for each in wanted}
    if len(keeps) > 1:
        sentence = f"the glass is {made.make}; {asks}, by the drop, which is not given: give it"
        return say_by_figure("glass_type", "not_checked", sentence, may[0], None)
    return _told(job, may[-1], made.words, drops, asks, kept=keeps == {True})


def _unsaid(made: Made | str, *, by_plies: bool) -> str:
    """What the kit does not say of a pane, and what to write there; empty where it says enough.

    by_plies: whether a figure depends on the plies of laminated glass.
    """
    if isinstance(made, str):
        return f"{made}; name it laminated, tempered, wired or annealed"
    if by_plies and made == Made("laminated"):
        return (
            "calls the glass laminated and does not say of what plies; name them tempered, "
            "heat-strengthened or annealed"
        )
    return ""


def _told(job: Job, figure: Figure, make: str, drops: Drops, asks: str, *, kept: bool) -> Finding:
    verdict: Verdict = "pass" if kept else "violation"
    sentence = f"the glass is {make}; {asks}"
    asked = job.figure("glass_make")
    by_beneath = asked is not None and any(case.measure == "beneath" for case in asked.when)
    if by_beneath and drops.beneath == "shielded":
        sentence += ", as nobody can walk beneath it or is shielded from falling glass"
    elif by_beneath and not kept:
        sentence += (
            ", as people can walk beneath it; say beneath: shielded where nobody can, or where "
            "they are shielded from falling glass"
        )
    return say_by_figure("glass_type", verdict, sentence, figure, make)


def glass_top_rail(job: Job) -> Iterator[Saying]:
    """Whether glass has the top rail that the code asks for.

    It always has: the posts hold that rail, or the frame of a leaf, so it stays when a pane goes.
    """
    figure = job.figure("glass_top_rail")
    if figure is None:
        if job.code is None:
            unknown = say_unstated(job, "glass_top_rail", "glass_top_rail")
            yield unknown, [each.place for each in panels(job)]
        return
    kinds = (
        (each.place, (each.kind.drops, each.kind.here, isinstance(each.kind, LeafKind)))
        for each in panels(job)
    )
    yield from tell_by_kind(kinds, lambda kind: _railed(job, figure, *kind))


def _railed(
    job: Job, asked: Figure, drops: Drops, here: Circumstances, in_leaf: bool
) -> Finding | None:
    over = asked.over(drops, here)
    figure = next((one for one in over if one is not None), None)
    if figure is None:
        return None
    holder = "the frame of the leaf holds" if in_leaf else "the posts hold"
    wanted = "is required" if None not in over else "may be required, by the drop"
    sentence = (
        f"the glass stands under a top rail that {holder}, not the glass, so the rail stays "
        f"if a pane goes; such a rail {wanted} {job.clause(figure)}"
    )
    return say_by_figure("glass_top_rail", "pass", sentence, figure, None)


def glass_thickness(job: Job) -> Iterator[Saying]:
    """Nominal thickness of each panel against the code's least.

    A pane that is named in mm counts by its name in inches, where that is the thicker.
    """
    name = "glass_thickness_min"
    if job.code is not None and job.figure(name) is None:
        return
    what = "the glass is nominally {} thick"
    readings = (
        (place, Reading(what, _nominal(job, glass), kind.drops, kind.here))
        for place, glass, kind in panels(job)
    )
    criterion = Criterion("glass_thickness", name, bound_asks, always=True)
    yield from by_figure(job, criterion, readings)


def _nominal(job: Job, glass: Glass) -> Length:
    assert job.kit.glass is not None
    pane = job.kit.glass.panes[glass.pane]
    named = _NOMINAL.get(pane.nominal_mm, 0.0)
    return max(pane.nominal, named if job.deck.unit == "in" else named * MM_PER_IN)
