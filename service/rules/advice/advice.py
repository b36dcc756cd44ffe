"""Rules: advice on each rule that fails: a change that cures it and what that takes, or which
changes were tried in vain (`advise`)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.measure import Length
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.orders import Piece, SticksSeen
from service.rules.advice.attempts import Step
from service.rules.advice.cures import CURES, cure
from service.rules.advice.lesser import agreed
from service.rules.advice.searches import shortened
from service.rules.advice.trial import Outcome, Trial
from service.rules.advice.work import work_left
from service.rules.finding import Finding
from service.rules.judge import judge
from service.rules.words import count_text, list_text

TOLD: Final = 3
"""Reasons against changes tried in vain that are told with them."""


class Ordered(NamedTuple):
    """What the order of a layout shows. total: as money text, None where nothing is priced; whole:
    whether all that is in it has a price; proven: whether no plan of its sticks could be better."""

    sticks: tuple[SticksSeen, ...]
    total: str | None
    whole: bool
    proven: bool


OrderAmong: TypeAlias = Callable[[Layout, Deck, Kit, int], Ordered]
"""Orders a layout of that deck and that kit, one of at most so many that share work on plans."""
MakeOrder: TypeAlias = Callable[[Layout, Deck, Kit], Ordered]
"""The same among as many as there are."""


@dataclass(frozen=True, slots=True)
class CutChange:
    """How many more (or fewer) pieces of one part and length are cut."""

    part: str
    length: Length
    more: int


@dataclass(frozen=True, slots=True)
class Warned:
    """At how many places a rule warns: now, and with a change."""

    rule: str
    now: int
    then: int


@dataclass(frozen=True, slots=True)
class Advice:
    """What cures a rule that fails. steps: the change; empty where none that was tried passes.

    posts, bays, glass_panels: as it is and as it would be. still: the rules that would be
    broken then; brings: the rules that would warn then, or could not be checked, and do not now;
    warns_more: those that warn now, and would at more places.
    step: the smallest mark then, where the change is to another.
    """

    rule: str
    where: tuple[str, ...]
    message: str
    steps: tuple[Step, ...] = ()
    posts: tuple[int, int] = (0, 0)
    bays: tuple[int, int] = (0, 0)
    glass_panels: tuple[int, int] = (0, 0)
    cuts: tuple[CutChange, ...] = ()
    still: tuple[str, ...] = ()
    brings: tuple[str, ...] = ()
    warns_more: tuple[Warned, ...] = ()
    total: tuple[str, str] | None = None
    step: Length | None = None

    @property
    def result(self) -> Literal["cured", "not_found"]:
        """Whether a change was found."""
        return "cured" if self.steps else "not_found"


def advise(
    stands: Outcome, code: Code | None, was: Ordered, order: OrderAmong
) -> tuple[Advice, ...]:
    """Advice for each rule that fails and that a change here could cure, in the findings' order; of
    what only warns, where a change was found. stands: the document as it is; was: its order.

    Each change is tried by itself, on the document as it stands, with the same method. What is
    broken has the work first, and no rule more than its share of what is left. The changes that
    are found, no others, share the work on plans.
    """
    trial = Trial(stands, code, bays=work_left(stands.attempt.deck, stands.layout))
    failing = [f for f in stands.findings if f.result == "fail" and f.rule in CURES]
    broken = {f.rule for f in failing if f.severity == "violation"}
    rules = dict.fromkeys(f.rule for f in failing)
    found: dict[str, Outcome | None] = {}
    for rule in sorted(rules, key=lambda rule: rule not in broken):
        trial.share(len(rules) - len(found))
        found[rule] = cure(trial, rule)
    found |= agreed(trial, found, broken)
    found |= shortened(trial, found)
    make = _once(order, among=len({id(one.layout) for one in found.values() if one is not None}))
    told = ((rule, found[rule]) for rule in rules)
    return tuple(
        _advice(trial, rule, outcome, make, was)
        for rule, outcome in told
        if rule in broken or outcome is not None
    )


def _once(order: OrderAmong, among: int) -> MakeOrder:
    """Each layout ordered once, as one change may cure several rules. among: as many as there
    are."""
    known: dict[int, Ordered] = {}

    def make(layout: Layout, deck: Deck, kit: Kit) -> Ordered:
        if id(layout) not in known:
            known[id(layout)] = order(layout, deck, kit, among)
        return known[id(layout)]

    return make


def _advice(
    trial: Trial, rule: str, outcome: Outcome | None, order: MakeOrder, was: Ordered
) -> Advice:
    """Advice on one rule. outcome: of the change that cures it; was: the order as the document
    stands."""
    failing = trial.failing(rule)
    where = tuple(dict.fromkeys(place for finding in failing for place in finding.where))
    if outcome is None:
        return Advice(rule, where, _in_vain(trial.declined.get(rule, {})))
    before, after, attempt = trial.layout, outcome.layout, outcome.attempt
    would = order(after, attempt.deck, attempt.kit)
    findings = judge(after, attempt.deck, attempt.kit, trial.code, would.sticks)
    total, cost = None, ""
    if was.total is not None and would.total is not None:
        total = was.total, would.total
        cost = _cost(was.total, would) if was.whole and would.whole else ""
    return Advice(
        rule=rule,
        where=where,
        message=_message(outcome, before, cost),
        steps=attempt.steps,
        posts=(len(before.posts), len(after.posts)),
        bays=(len(before.bays), len(after.bays)),
        glass_panels=(_panels(before), _panels(after)),
        cuts=_cut_changes(before.cut_list, after.cut_list),
        still=_still(findings),
        brings=_brings(trial.findings, findings),
        warns_more=_warns_more(trial.findings, findings),
        total=total,
        step=attempt.deck.step if attempt.deck.step != trial.deck.step else None,
    )


def _cost(was: str, would: Ordered) -> str:
    """What a total becomes, in words; empty where it stays. A change shares the work on plans with
    others, so that made alone it may come cheaper where its plan is not proven the best."""
    most = "" if would.proven else "at most "
    return f"; the total goes from {was} to {most}{would.total}" if was != would.total else ""


def _message(outcome: Outcome, before: Layout, cost: str) -> str:
    """What to do, and what it takes, in a sentence."""
    after = outcome.layout
    counts = (
        ("post", len(after.posts) - len(before.posts)),
        ("glass panel", _panels(after) - _panels(before)),
    )
    takes = [
        f"{count_text(abs(more), what)} {'more' if more > 0 else 'fewer'}"
        for what, more in counts
        if more
    ]
    told = f"; it takes {list_text(takes)}" if takes else ""
    return f"Tried, and it passes: {outcome.attempt.words}{told}{cost}."


def _in_vain(declined: Mapping[str, str]) -> str:
    """What was tried and why it does not pass, alike reasons together: the first few of each."""
    if not declined:
        return "There is no change here to try."
    reasons: dict[str, list[str]] = {}
    for words, why in declined.items():
        reasons.setdefault(why, []).append(words)
    told = [f"with {_first_of(words)}, {why}" for why, words in islice(reasons.items(), TOLD)]
    if len(reasons) > TOLD:
        told.append(f"and {sum(len(each) for each in list(reasons.values())[TOLD:])} more")
    return f"None of the changes that were tried passes: {'; '.join(told)}."


def _first_of(words: Sequence[str]) -> str:
    """The first and the last of several changes, which mostly go from the least to the most.

    >>> _first_of(["6 risers"]), _first_of(["6 risers", "8 risers"])
    ('6 risers', '6 risers or with 8 risers')
    >>> _first_of(["6 risers", "7 risers", "8 risers", "9 risers"])
    '6 risers, with 9 risers or with any of 2 more'
    """
    if len(words) <= 2:
        return " or with ".join(words)
    rest = len(words) - 2
    more = f"any of {rest} more" if rest > 1 else words[1]
    return f"{words[0]}, with {words[-1]} or with {more}"


def _panels(layout: Layout) -> int:
    return sum(len(panel.bays) for panel in layout.glass_order)


def _cut_changes(before: Sequence[Piece], after: Sequence[Piece]) -> tuple[CutChange, ...]:
    """The rows of the cut list that change, in the order of the parts as they would be."""
    was: Counter[tuple[str, Length]] = Counter()
    now: Counter[tuple[str, Length]] = Counter()
    for count, pieces in ((was, before), (now, after)):
        for piece in pieces:
            count[piece.part, round(piece.length, 6)] += piece.count
    rows = dict.fromkeys((*now, *was))
    return tuple(
        CutChange(part, length, now[part, length] - was[part, length])
        for part, length in rows
        if now[part, length] != was[part, length]
    )


def _brings(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[str, ...]:
    known = {(f.rule, f.result) for f in before if f.severity != "violation"}
    fresh = (
        f.rule
        for f in after
        if f.severity != "violation" and f.result != "pass" and (f.rule, f.result) not in known
    )
    return tuple(dict.fromkeys(fresh))


def _warns_more(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Warned, ...]:
    now, then = _warnings(before), _warnings(after)
    return tuple(Warned(rule, now[rule], then[rule]) for rule in now if then[rule] > now[rule])


def _warnings(findings: Sequence[Finding]) -> Counter[str]:
    """At how many places each rule warns."""
    count: Counter[str] = Counter()
    for finding in findings:
        if finding.severity == "warning":
            count[finding.rule] += len(finding.where)
    return count


def _still(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.rule for f in findings if f.severity == "violation"))
