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
from service.rules.advice.lesser import agree_on_least
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import shorten_moves
from service.rules.advice.together import remarks
from service.rules.advice.trial import Trial
from service.rules.advice.work import work_left
from service.rules.finding import Finding
from service.rules.judge import judge
from service.rules.words import count_text, list_text

TOLD: Final = 3
"""How many reasons are told, at the most, against changes that were tried in vain."""


class Ordered(NamedTuple):
    """What the order of a layout shows.

    total: as money text, None where nothing is priced. whole: whether everything in the order has a
    price. proven: whether all plans of its sticks are proven the best.
    """

    sticks: tuple[SticksSeen, ...]
    total: str | None
    whole: bool
    proven: bool


OrderAmong: TypeAlias = Callable[[Layout, Deck, Kit, int], Ordered]
"""Makes the order of a layout. The number: how many orders share the work on plans."""
MakeOrder: TypeAlias = Callable[[Layout, Deck, Kit], Ordered]
"""An OrderAmong for which that number is settled."""


@dataclass(frozen=True, slots=True)
class CutChange:
    """How many more (or, negative, fewer) pieces of one part and length are cut."""

    part: str
    length: Length
    more: int


@dataclass(frozen=True, slots=True)
class Warned:
    """At how many places a rule warns: now, and with the change."""

    rule: str
    now: int
    then: int


@dataclass(frozen=True, slots=True)
class Advice:
    """What cures a rule that fails. steps: the change; empty where none that was tried passes.

    posts, bays, glass_panels, total: as the document stands, then with the change. still: rules
    that are violated with the change. brings: rules that warn or cannot be checked with it, but not
    now. warns_more: rules that warn now, and at more places with it.
    step: the smallest mark with the change, where the change is to another mark; else None.
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
    """Advice on each rule that fails and that some change may cure, in the findings' order.

    A rule that only warns gets advice only where a change was found. stands: the document as it is.
    was: its order.
    Each change is tried by itself, on the document as it stands, with the same method. Rules that
    are violated have the work first, and no rule has more than its share of what is left. Only the
    changes that are found share the work on plans.
    """
    trial = Trial(stands, code, bays=work_left(stands.attempt.deck, stands.layout))
    failing = [f for f in stands.findings if f.result == "fail" and f.rule in CURES]
    broken = {f.rule for f in failing if f.severity == "violation"}
    rules = dict.fromkeys(f.rule for f in failing)
    found: dict[str, Outcome | None] = {}
    for rule in sorted(rules, key=lambda rule: rule not in broken):
        trial.share_among(len(rules) - len(found))
        found[rule] = cure(trial, rule)
    found |= agree_on_least(trial, found, broken)
    found |= shorten_moves(trial, found)
    remarked = remarks(trial, found)
    make = _once(order, among=len({id(one.layout) for one in found.values() if one is not None}))
    return tuple(
        _advice(trial, rule, found[rule], make, was, remarked.get(rule, ""))
        for rule in rules
        if rule in broken or found[rule] is not None
    )


def _once(order: OrderAmong, among: int) -> MakeOrder:
    """A function that orders each layout once, as one change may cure several rules.

    among: how many layouts there are, to share the work on plans.
    """
    known: dict[int, Ordered] = {}

    def make(layout: Layout, deck: Deck, kit: Kit) -> Ordered:
        if id(layout) not in known:
            known[id(layout)] = order(layout, deck, kit, among)
        return known[id(layout)]

    return make


def _advice(
    trial: Trial,
    rule: str,
    outcome: Outcome | None,
    order: MakeOrder,
    was: Ordered,
    remark: str,
) -> Advice:
    """Advice on one rule.

    outcome: that of the change that cures it, None where there is none. was: the document's own
    order. remark: what is said of making it together with other changes; may be empty.
    """
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
        message=f"{_message(outcome, before, cost)} {remark}".rstrip(),
        steps=attempt.steps,
        posts=(len(before.posts), len(after.posts)),
        bays=(len(before.bays), len(after.bays)),
        glass_panels=(_panels(before), _panels(after)),
        cuts=_cut_changes(before.cut_list, after.cut_list),
        still=tuple(dict.fromkeys(f.rule for f in findings if f.severity == "violation")),
        brings=_brings(trial.findings, findings),
        warns_more=_warns_more(trial.findings, findings),
        total=total,
        step=attempt.deck.step if attempt.deck.step != trial.deck.step else None,
    )


def _cost(was: str, would: Ordered) -> str:
    """Words for what the total becomes; empty where it stays the same.

    A change shares the work on plans with other changes. Where its plan is not proven the best, the
    change may come cheaper when made alone, so the total is told as "at most".
    """
    most = "" if would.proven else "at most "
    return f"; the total goes from {was} to {most}{would.total}" if was != would.total else ""


def _message(outcome: Outcome, before: Layout, cost: str) -> str:
    """The change and what it takes, in a sentence."""
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
    """What was tried and why it does not pass: the first few reasons, each with its changes."""
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
    """The rows of the cut list that change: those with the change in their order, then the rest."""
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
