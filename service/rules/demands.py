"""Rules: how every finding of the strength check is made and worded (`say_demands`).

A check gives demands, each with its capacity and the load that makes it. Each demand over its
capacity becomes a finding, and all that are within theirs become one, which shows the worst of
them. Each finding gives the formula and its source, and says that it is a preliminary check.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import attrgetter
from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.measure import DECIMALS, TOUCH, Length, Unit, number_text
from service.core.records.code import Figure
from service.core.records.strength import Strength
from service.rules.finding import FailSeverity, Finding
from service.rules.job import Job, Place
from service.rules.saying import Kind, Saying, say, say_by_kit, steady
from service.rules.strength.aluminium import RuleSet
from service.rules.strength.loads import Loads, usual_loads
from service.rules.strength.members import ReadyMember

Quantity: TypeAlias = Literal["stress", "force", "length"]

GREATEST: Final = 1e12
"""A demand, a capacity or a ratio greater than this is told as this."""
UNITS: Final[dict[tuple[Quantity, Unit], str]] = {
    ("stress", "in"): "psi",
    ("stress", "mm"): "MPa",
    ("force", "in"): "lbf",
    ("force", "mm"): "N",
    ("length", "in"): "in",
    ("length", "mm"): "mm",
}
_BASIS: Final[dict[RuleSet, str]] = {
    "US": "allowable stress, the lesser of yield/1.65 and ultimate/1.95 (Aluminum Construction "
    "Manual 1.3)",
    "EN": "partial factors, the lesser of f0/1.10 and fu/1.25 (EN 1999-1-1 table 3.2b; factors "
    "from memory)",
}
"""How the capacity of aluminium is worked out by each rule set, with its source."""
PRELIMINARY: Final = "a preliminary check, not engineering: "


class Demand(NamedTuple):
    """A stress, a force or a length that a load asks of a part, against what the part can take.

    words: the load case; a `{}` in them stands for the text of `length`, which is that of the rail
    under load. figure: the load's in the code, if any.
    """

    value: float
    capacity: float
    words: str
    figure: Figure | None = None
    length: Length | None = None

    @property
    def ratio(self) -> float:
        """Demand over capacity; 0 for no demand, infinity for a demand without a capacity."""
        if self.value <= 0:
            return 0.0
        return self.value / self.capacity if self.capacity > 0 else math.inf


class Topic(NamedTuple):
    """What a strength check compares, and the words for it.

    what, held: words before the demand and before the capacity. method: the formula with its
    source. leans_on: figures that decide beside the load's own. fails_as: what a fail is. cite: the
    clause, where it is not the load's. cure: words at the end of a fail's sentence. reads: figures
    of all the loads that are looked at. bound: words before the demand of a pass, as it is the
    greatest of several.
    """

    rule: str
    quantity: Quantity
    what: str
    held: str
    method: str
    leans_on: tuple[Figure, ...] = ()
    fails_as: FailSeverity = "violation"
    cite: str = ""
    cure: str = ""
    reads: tuple[Figure, ...] = ()
    bound: str = "at most "


def bending(
    rule: str,
    loads: Loads,
    ready: ReadyMember,
    what: str,
    formula: str,
    *,
    leans_on: tuple[Figure, ...],
    reads: tuple[Figure, ...],
) -> Topic:
    """Topic on the stress in a member that bends.

    formula: for the stress. The others are as in Topic.
    """
    return Topic(
        rule,
        "stress",
        what=what,
        held=f"{ready.name} may take",
        method=f"{formula}; {_BASIS[loads.rules]}; strengths {ready.mark}",
        leans_on=leans_on,
        reads=reads,
    )


def moving(
    rule: str, loads: Loads, what: str, formula: str, usual: str, reads: tuple[Figure, ...]
) -> Topic:
    """Topic on how far a part moves, against the code's limit or else the usual one, which only
    warns.

    usual: the latter with its source. formula: for the movement. The others are as in Topic.
    """
    stated = loads.deflection
    return Topic(
        rule,
        "length",
        what=what,
        held="it may move",
        method=f"{formula}; limit {usual if stated is None else stated.cite}",
        leans_on=() if stated is None else (stated,),
        fails_as="warning" if stated is None else "violation",
        reads=reads,
    )


def worst(demands: Sequence[Demand]) -> Demand | None:
    """The demand with the highest ratio, the first of equals; None if there are no demands."""
    if len(demands) == 1:
        return demands[0]
    return max(demands, key=_RATIO, default=None)


_RATIO: Final = attrgetter("ratio")


def say_demands(
    job: Job,
    topic: Topic,
    kinds: Iterable[tuple[Place, Kind]],
    demand_of: Callable[[Kind], Demand | None],
) -> Iterator[Saying]:
    """A finding for each demand that is over its capacity, then one for all places within theirs.

    The latter shows the demand with the highest ratio. demand_of: the demand at a place of a kind;
    where it is None, nothing is said of that kind.
    """
    kept: list[Place] = []
    over: dict[Finding, list[Place]] = {}
    known: dict[Kind, list[Place]] = {}
    most: Demand | None = None
    highest = -1.0
    for place, kind in kinds:
        if kind not in known:
            demand = demand_of(kind)
            known[kind] = kept
            if demand is None:
                known[kind] = []
            elif (ratio := demand.ratio) > 1 + TOUCH:
                known[kind] = over.setdefault(_finding(job, topic, demand, keeps=False), [])
            elif ratio > highest:
                most, highest = demand, ratio
        known[kind].append(place)
    yield from over.items()
    if most is not None:
        yield _finding(job, topic, most, keeps=True), kept


def _finding(job: Job, topic: Topic, demand: Demand, *, keeps: bool) -> Finding:
    words = demand.words if demand.length is None else demand.words.format(job.text(demand.length))
    decided = topic.leans_on if demand.figure is None else (demand.figure, *topic.leans_on)
    amended = [figure for figure in decided if figure.amended]
    value, capacity, ratio = _steady(demand.value), _steady(demand.capacity), demand.ratio
    remembered = ""
    for figure in topic.leans_on:
        if figure.basis == "memory" and not figure.amended:
            remembered += f"{',' if remembered else '; from memory:'} {figure.name} ({figure.cite})"
    return say(
        topic.rule,
        "pass" if keeps else topic.fails_as,
        f"{PRELIMINARY}{topic.what} {topic.bound if keeps else ''}{_amount(job, topic, value)}"
        f" {words}{'' if demand.figure is None else f' {job.clause(demand.figure)}'};"
        f" {topic.held} {_amount(job, topic, capacity)}, {_share(ratio)}"
        f"{'' if keeps else topic.cure}{_amended_text(job, topic)}",
        cite=topic.cite or (demand.figure.cite if demand.figure is not None else job.kit.id),
        limit=capacity,
        actual=value,
        amended=bool(amended),
        published=amended[0].published if amended else None,
        ratio=_steady(ratio),
        unit=UNITS[topic.quantity, job.deck.unit],
        case=words.removeprefix("under "),
        method=topic.method + remembered,
        figures=tuple(dict.fromkeys([figure.name for figure in (*decided, *topic.reads)])),
    )


def _amount(job: Job, topic: Topic, value: float) -> str:
    """A demand or a capacity with its unit."""
    unit, quantity = job.deck.unit, topic.quantity
    decimals = DECIMALS[unit] if quantity == "length" else 1
    return f"{number_text(value, decimals)} {UNITS[quantity, unit]}"


def _amended_text(job: Job, topic: Topic) -> str:
    """Words for the amended figures of `topic.leans_on`, each with its value and clause."""
    told = ""
    for figure in topic.leans_on:
        if figure.amended:
            value = figure.value
            if not isinstance(value, str):
                value = job.text(figure.number(), kind=figure.kind)
            told += f"; {figure.name} is {value} {job.clause(figure)}"
    return told


def _share(ratio: float) -> str:
    """How much of the capacity is used, or how many times it is asked for, in words."""
    if ratio <= 1 + TOUCH:
        return f"of which {number_text(100 * ratio, 1)} % is used"
    if ratio > 1000:
        return "which is far too little"
    return f"and {number_text(ratio, 3)} times that is asked of it"


def _steady(value: float) -> float:
    return steady(value if value < GREATEST else GREATEST)


def say_not_checked(
    job: Job, rule: str, subject: str, reason: str, figure: Figure | None = None
) -> Saying:
    """The saying that a check was not made, once for the whole kit.

    subject: what was not checked. reason: why, and what to give. figure: the code's figure that the
    subject names, if it names one.
    """
    sentence = f"{subject} was not checked: {reason}"
    finding = say_by_kit(job, rule, "not_checked", sentence)
    if figure is not None and figure.amended:
        finding = finding._replace(amended=True, published=figure.published)
    return finding, [(job.kit.id,)]


def with_strength(
    job: Job, rule: str, subject: str, check: Callable[[Job, Strength, Loads], Iterator[Saying]]
) -> Iterator[Saying]:
    """Findings of a strength check, or what it lacks of the kit's strength and the code's loads.

    check: given that strength, and the loads at a place of which nothing is known.
    """
    strength, code = job.kit.strength, job.code
    loads = None if code is None else usual_loads(code, job.deck.unit)
    if strength is not None and loads is not None:
        return check(job, strength, loads)
    reason = "name a code, which has the loads"
    if strength is None:
        reason = "the kit gives no strength: give it in the kit"
    elif code is not None:
        reason = f"{code.id} states no strength_method, or no load_factor for it; give them"
    return iter([say_not_checked(job, rule, subject, reason)])
