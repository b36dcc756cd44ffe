"""Core: the method from end to end: a deck, a kit and a code in, the layout out (`lay_out`).

What has to be ordered for a layout is worked out from it, in `order/ordering`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Final

from service.core.finishing.finish import finish
from service.core.finishing.hanging import check_leaves
from service.core.finishing.numbering import name_bays
from service.core.flights.drafts import FlightDraft
from service.core.flights.straight import draw_flights
from service.core.levels.level import LevelDraft, check_alone, draw_level, see_neighbours
from service.core.line.references import check_deck, check_measures, stray_stairs
from service.core.measure import Length
from service.core.problems import Problem, Unbuildable, raise_any
from service.core.records.code import Code
from service.core.records.deck import Deck, SiteMeasure
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.runs.bays import BayMaker
from service.core.runs.budget import Budget, MarkWork
from service.core.runs.drafts import BayKey
from service.core.runs.measures import Measures
from service.core.timber.framing import Framed

FATAL_PROBLEMS: Final = ("infill_not_in_kit", "glass_not_in_kit")
"""Codes of problems that end the work at once: bays cannot be made of what the kit lacks."""


@dataclass(frozen=True, slots=True)
class Shared:
    """What the layouts of one deck and of changed versions of it share.

    work: what they may still spend, together, on proving marks best.
    framed: what rows of posts were found to land in, kept so that no row is framed twice.
    """

    work: MarkWork = field(default_factory=MarkWork)
    framed: Framed = field(default_factory=dict)


def lay_out(deck: Deck, kit: Kit, code: Code | None, shared: Shared | None = None) -> Layout:
    """The layout of a deck by the method (contract, section 6).

    Where bays were measured, the deck is laid out twice: once to find the bays, once to cut them by
    their measures. Measures of no bay, and those that prove impossible as their bay is cut, are
    refused together, after that.

    shared: what is shared with other layouts of the same deck; None shares nothing. Raises
    Unbuildable with every problem that can be found, and TooLarge over a published limit.
    """
    problems = list(check_deck(deck, kit))
    if any(problem.code in FATAL_PROBLEMS for problem in problems):
        raise Unbuildable([*problems, *check_alone(deck)])
    shared = Shared() if shared is None else shared
    budget, measures = Budget(kit.pointer, shared.work), Measures(deck.unit, kit.post.width)
    maker = BayMaker(kit, deck.step, budget, measures, shared.framed)
    with _refusing_also(lambda: check_measures(deck)):
        drafts = _draw(deck, code, maker, problems)
    if not deck.site_measures:
        return finish(maker, *drafts)
    given, strays = _match_measures(deck, name_bays(*drafts))
    measured = maker.measured(given)
    impossible = measured.measures.problems
    with _refusing_also(lambda: [*strays, *impossible]):
        layout = finish(measured, *_draw(deck, code, measured, before=drafts[0]))
    raise_any([*strays, *impossible])
    return layout


@contextmanager
def _refusing_also(more: Callable[[], Iterable[Problem]]) -> Iterator[None]:
    """Add the problems of `more` to an Unbuildable from the block: no fault hides another."""
    try:
        yield
    except Unbuildable as refusal:
        raise Unbuildable([*refusal.problems, *more()]) from None


def _draw(
    deck: Deck,
    code: Code | None,
    maker: BayMaker,
    known: Sequence[Problem] = (),
    before: Sequence[LevelDraft] = (),
) -> tuple[list[LevelDraft], list[FlightDraft]]:
    """Every level and every flight as drafts, before anything has an id.

    known: problems found with the deck already. before: its levels as drawn without site measures;
    what lies beyond their edges is the same and is taken over. Raises Unbuildable with every
    problem that can be found.
    """
    problems = list(known)
    levels = []
    for level in deck.levels:
        try:
            levels.append(draw_level(deck, level, code, maker))
        except Unbuildable as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Unbuildable([*problems, *stray_stairs(deck)])
    with _refusing_also(lambda: stray_stairs(deck)):
        reach = _drop_reach(code)
        seen = (
            [replace(one, reaches=other.reaches) for one, other in zip(levels, before, strict=True)]
            if before
            else see_neighbours(levels, deck.unit, reach)
        )
    with _refusing_also(lambda: check_leaves(maker.filler, seen)):
        height = None if code is None else code.figure("guard_height_stair")
        return seen, draw_flights(deck, seen, maker, height, reach)


def _drop_reach(code: Code | None) -> Length:
    """How far out from an edge the code looks for the drop; 0 where it gives no such figure."""
    figure = code.stated("guard_drop_reach") if code is not None else None
    return 0.0 if figure is None else figure.number()


def _match_measures(
    deck: Deck, names: dict[BayKey, str]
) -> tuple[dict[BayKey, SiteMeasure], list[Problem]]:
    """The measure of each bay, and problems with measures of missing bays or of one bay twice."""
    problems = list(check_measures(deck))
    again = {problem.pointer for problem in problems}
    matched: dict[BayKey, SiteMeasure] = {}
    keys = {name: key for key, name in names.items()}
    for measure in deck.site_measures:
        key = keys.get(measure.bay)
        pointer = f"{measure.pointer}/bay"
        if pointer in again:
            continue
        if key is None:
            has = f"B1 to B{len(keys)}" if keys else "none"
            message = f"There is no bay {measure.bay[:40]}; this deck has {has}."
            problems.append(Problem(pointer, "no_such_bay", message))
        else:
            matched[key] = measure
    return matched, problems
