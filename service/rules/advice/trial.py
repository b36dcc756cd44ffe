"""Rules: changes to a deck or a kit, tried: each laid out and judged as the document itself is
(`Trial`).

A Trial says whether a change passes, or goes some of the way, and keeps why others did not. Work is
counted, so that advice is bounded and is the same on every machine.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from service.core.engine import Shared, lay_out
from service.core.measure import TOUCH
from service.core.problems import Refusal, TooLarge
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.seen import edge_place
from service.rules.advice.attempts import Attempt
from service.rules.advice.places import Places
from service.rules.advice.work import WORK, work_of
from service.rules.finding import Finding
from service.rules.judge import judge
from service.rules.table import RULES
from service.rules.words import list_text

TRIES: Final = 96
"""The most layouts that are tried for one document."""
TRIES_OF_RULE: Final = 32
"""The most of these that are tried for one rule, so that it leaves some to the others."""
NO_WORK: Final = "it was not tried, for want of work left"
_OTHER_BAYS: Final = "the bays that were measured would not be the same"

OF_ROOM: Final = (
    "bay_size", "bases_apart", "base_on_deck", "rails_clear", "flight_clear", "gate_swing",
)  # fmt: skip
"""Rules about what stands where. No change may violate one at a new place, even where the document
violates it elsewhere."""
STICKS: Final = "stick_length"
"""The rule on pieces that no stick holds. Its findings need an order; a trial goes by the kit's
sticks."""
ABSENT: Final = ("guard_required", "handrail_required")
"""Rules that are violated by what is not there, so that their numbers do not say by how much."""


class Outcome(NamedTuple):
    """A change that was tried: its layout, the findings on that, and what stands where in it."""

    attempt: Attempt
    layout: Layout
    findings: tuple[Finding, ...]
    places: Places

    @classmethod
    def of(cls, attempt: Attempt, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """The outcome of a change, from its layout and findings."""
        return cls(attempt, layout, tuple(findings), Places(layout))

    @classmethod
    def standing(cls, deck: Deck, kit: Kit, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """The outcome of the document as it stands, without a change."""
        return cls.of(Attempt((), deck, kit), layout, findings)

    def unguarded(self) -> set[str]:
        """The places where a guard is required, or may be, and none stands."""
        findings = (one for one in self.findings if one.rule == "guard_required")
        return {place for one in findings if one.result != "pass" for place in one.where}

    def not_passing(self) -> Counter[str]:
        """At how many places each rule fails, or could not be checked."""
        count: Counter[str] = Counter()
        for one in self.findings:
            if one.result != "pass":
                count[one.rule] += len(one.where)
        return count


@dataclass(slots=True)
class Trial:
    """What changes are tried against: the document as it stands, and the work that is left.

    stands: the outcome of the document. tries, bays: how many layouts may still be tried, and how
    much work, in bays. held_back: how much of that work is held back for other rules. shared: what
    all the layouts have in common. known: outcomes, or why there is none, by the steps of the
    change. declined: by rule, the changes that were tried in vain, in words, each with the reason.
    spent: how many layouts were tried for each rule.
    """

    stands: Outcome
    code: Code | None
    tries: int = TRIES
    bays: int = WORK
    held_back: int = 0
    shared: Shared = field(default_factory=Shared)
    known: dict[str, Outcome | str] = field(default_factory=dict)
    declined: dict[str, dict[str, str]] = field(default_factory=dict)
    spent: Counter[str] = field(default_factory=Counter)

    def share_among(self, rules: int) -> None:
        """Holds work back for the rules after the next one. rules: how many there are with it."""
        self.held_back = max(0, self.bays) * (rules - 1) // rules

    @property
    def base(self) -> Attempt:
        """The document as it stands, to which changes are made."""
        return self.stands.attempt

    @property
    def deck(self) -> Deck:
        """The deck as it stands."""
        return self.base.deck

    @property
    def kit(self) -> Kit:
        """The kit as it stands."""
        return self.base.kit

    @property
    def layout(self) -> Layout:
        """The layout as it stands."""
        return self.stands.layout

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings on the document as it stands."""
        return self.stands.findings

    def failing(self, rule: str) -> list[Finding]:
        """The failing findings of a rule as the document stands."""
        return _failing(self.findings, rule)

    def named(self, rule: str) -> frozenset[str]:
        """Every place at which a rule fails as the document stands."""
        return frozenset(place for finding in self.failing(rule) for place in finding.where)

    def limits(self, rule: str) -> list[float]:
        """The limits of a rule's failing findings, as far as they are numbers."""
        limits = [finding.limit for finding in self.failing(rule)]
        return [limit for limit in limits if limit is not None and not isinstance(limit, str)]

    def passes(self, rule: str, attempt: Attempt, even_if: Collection[str] = ()) -> Outcome | None:
        """Outcome of a change that cures the rule without breaking another; else None.

        No finding of `rule` may fail, and no other rule may be newly violated, or violated by more
        than in the document as it stands. even_if: rules exempt from that. Bays measured on site
        must stay as they are, and no stretch that has a railing may become too small to rail. None
        also where nothing can be built, or no work is left.
        """
        return self._weighed(rule, attempt, 0, even_if)

    def decline(self, rule: str, attempt: Attempt, why: str) -> None:
        """Keeps why a change that was tried for a rule is not offered."""
        self.declined.setdefault(rule, {})[attempt.words] = why

    def gives(self, rule: str, attempt: Attempt) -> Outcome | None:
        """Outcome of a change, whether it passes or not; None where it gives no layout.

        It gives none where nothing can be built, or no work is left.
        """
        outcome = self._lay_out(rule, attempt)
        return None if isinstance(outcome, str) else outcome

    def improves(self, rule: str, attempt: Attempt, before: Outcome, place: str) -> Outcome | None:
        """Outcome of a change with which the rule fails at fewer places than `before`; else None.

        The rule must not fail any more in the flight, or at the opening, that `place` belongs to.
        For all else the change must pass as in `passes`.
        """
        outcome = self._weighed(rule, attempt, fails(rule, before) - 1, ())
        if outcome is None or not (whole := before.places.whole(place)):
            return outcome
        places = outcome.places
        left = [each for one in _failing(outcome.findings, rule) for each in one.where]
        if any(whole & places.whole(each) for each in left):
            self.decline(rule, attempt, f"{_rules([rule])} still fails")
            return None
        return outcome

    def _weighed(
        self, rule: str, attempt: Attempt, most: int, even_if: Collection[str]
    ) -> Outcome | None:
        """Outcome of a change with which the rule fails at no more than `most` places; else None.

        Why a change does not pass is kept. even_if: as in `passes`.
        """
        outcome = self._lay_out(rule, attempt)
        declined = outcome if isinstance(outcome, str) else ""
        if not isinstance(outcome, str):
            declined = self._why_not(rule, outcome, most, even_if)
            if not declined:
                return outcome._replace(attempt=attempt)
        self.decline(rule, attempt, declined)
        return None

    def _why_not(self, rule: str, outcome: Outcome, most: int, even_if: Collection[str]) -> str:
        """Why a change does not pass, in words; empty where it passes.

        most: at how many places the rule may still fail.
        """
        left = _outgrown(outcome.layout, outcome.attempt.kit)
        if fails(rule, outcome) > most or (rule == STICKS and left):
            return f"{_rules([rule])} still fails"
        if not self._same_measured(outcome.layout):
            return _OTHER_BAYS
        if self._unrails(outcome):
            return "a stretch that has a railing would be left without one"
        others = [name for name in self._newly_violated(outcome) if name not in (rule, *even_if)]
        before = _worst_violations(self.stands)
        after = _worst_violations(outcome, _railed(outcome.layout) - _railed(self.layout))
        further = [n for n in after if n in before and after[n] > before[n] + TOUCH]
        further = [name for name in further if name not in (*others, *even_if)]
        outgrown = _outgrown(self.layout, self.kit)
        if left - outgrown and rule != STICKS:
            (further if outgrown else others).append(STICKS)
        told = [
            f"{_rules(names)} would be {how}"
            for names, how in ((others, "broken"), (further, "further off"))
            if names
        ]
        return " and ".join(told)

    def _newly_violated(self, outcome: Outcome) -> list[str]:
        """The rules that a change violates, where the document as it stands does not.

        A new guard may violate a rule that other guards violate already, but none of OF_ROOM.
        """
        before, after = _violated_places(self.stands), _violated_places(outcome)
        railed = _railed(self.layout)
        of_old = _violated_places(outcome, _railed(outcome.layout) - railed)
        return [
            name
            for name, places in after.items()
            if (
                name in OF_ROOM
                and _violated_count(name, outcome) > _violated_count(name, self.stands)
            )
            or (
                (fresh := places - before.get(name, set()))
                and (
                    name not in before
                    or name in OF_ROOM
                    or fresh & railed & of_old.get(name, set())
                )
            )
        ]

    def _unrails(self, outcome: Outcome) -> bool:
        """Whether more stretches are too small to rail at an edge or flight that has a railing now.

        The rules would not tell: they may let such a stretch stay open, and a railing that is
        missing fails nothing.
        """
        before, after, railed = _unrailed(self.stands), _unrailed(outcome), _railed(self.layout)
        return any(after[place] > before[place] for place in after if place in railed)

    def _same_measured(self, layout: Layout) -> bool:
        """Whether the bays measured on site are still the same: posts that stand do not move."""
        if not self.deck.site_measures:
            return True
        were, are = _stood(self.layout), _stood(layout)
        return all(were[each.bay] == are.get(each.bay) for each in self.deck.site_measures)

    def _lay_out(self, rule: str, attempt: Attempt) -> Outcome | str:
        """The outcome of a change, or why there is none; every change is laid out only once."""
        key = repr(attempt.steps)
        if key in self.known:
            return self.known[key]
        if self.tries <= 0 or self.bays <= self.held_back or self.spent[rule] >= TRIES_OF_RULE:
            return NO_WORK
        self.tries -= 1
        self.spent[rule] += 1
        try:
            layout = lay_out(attempt.deck, attempt.kit, self.code, self.shared)
        except Refusal as refusal:
            self.bays -= work_of(self.deck, self.layout)
            why = NO_WORK if isinstance(refusal, TooLarge) else _unbuilt(refusal)
            self.known[key] = why
            return why
        self.bays -= work_of(attempt.deck, layout)
        findings = judge(layout, attempt.deck, attempt.kit, self.code)
        outcome = self.known[key] = Outcome.of(attempt, layout, findings)
        return outcome


def fails(rule: str, outcome: Outcome) -> int:
    """At how many places a rule fails."""
    return sum(len(finding.where) for finding in _failing(outcome.findings, rule))


def _unbuilt(refusal: Refusal) -> str:
    """Why nothing can be built: the first sentence of the first problem.

    A measure that fits no bay is told as a bay that has changed, since it was taken between posts
    that stand.
    """
    first = refusal.problems[0]
    if first.code in ("measure_too_long", "no_such_bay"):
        return _OTHER_BAYS
    return f"it cannot be built ({first.message.partition('. ')[0].rstrip('.')})"


def _rules(names: Sequence[str]) -> str:
    """Rules by what they are about, as a person calls them.

    >>> _rules(["guard_height"])
    'the rule on the height of the guard'
    >>> _rules(["riser_height", "stair_pitch"])
    'the rules on the height of the risers and the pitch of the flight'
    """
    about = list_text([RULES[name].subject for name in names])
    return f"the rule{'s' if len(names) > 1 else ''} on {about}"


def _outgrown(layout: Layout, kit: Kit) -> set[str]:
    """The parts of which a piece is longer than any stick of the kit.

    Whether a stick on hand holds it only an order can tell.
    """
    return {
        piece.part
        for piece in layout.cut_list
        if piece.part in kit.stocks and piece.taken_up > kit.stocks[piece.part].longest + TOUCH
    }


def _failing(findings: Sequence[Finding], rule: str) -> list[Finding]:
    return [one for one in findings if one.rule == rule and one.result == "fail"]


def _worst_violations(outcome: Outcome, new: Collection[str] = ()) -> dict[str, float]:
    """The rules that are violated, with the greatest amount by which each is; 0 where none is told.

    new: edges and flights that have a railing only with the change; at these, only rules of OF_ROOM
    count.
    """
    found: dict[str, float] = {}
    for one in outcome.findings:
        if one.severity == "violation" and _places_but(outcome, one, new):
            limit, actual = one.numbers or (0.0, 0.0)
            by = 0.0 if one.rule in ABSENT else abs(actual - limit)
            found[one.rule] = max(by, found.get(one.rule, 0.0))
    return found


def _violated_places(outcome: Outcome, new: Collection[str] = ()) -> dict[str, set[str]]:
    """The rules that are violated, each with its places by lasting names (`Places.lasting`).

    new: as in `_worst_violations`.
    """
    found: dict[str, set[str]] = {}
    for one in outcome.findings:
        if one.severity == "violation":
            at = found.setdefault(one.rule, set())
            for names in _places_but(outcome, one, new):
                at |= names
    return found


def _places_but(outcome: Outcome, finding: Finding, new: Collection[str]) -> list[set[str]]:
    """The places of a finding, each as its lasting names, without those at `new` edges or flights.

    A corner post shared with a new railing is among those left out. For rules of OF_ROOM nothing is
    left out.
    """
    names = [outcome.places.lasting(place) for place in finding.where]
    if not new or finding.rule in OF_ROOM:
        return names
    return [each for each in names if each.isdisjoint(new)]


def _railed(layout: Layout) -> set[str]:
    """The edges and flights that have a railing, as findings name them."""
    return {bay.flight or edge_place(bay.level, bay.edge) for bay in layout.bays}


def _violated_count(rule: str, outcome: Outcome) -> int:
    """At how many places a rule is violated."""
    failing = _failing(outcome.findings, rule)
    return sum(len(one.where) for one in failing if one.severity == "violation")


def _unrailed(outcome: Outcome) -> Counter[str]:
    """How many stretches along each edge and flight are too small to rail."""
    runs = (stretch.where for stretch in outcome.layout.small_stretches)
    return Counter(place for run in runs for place in outcome.places.lasting(run))


def _stood(layout: Layout) -> dict[str, tuple[object, ...]]:
    """What each bay stands between, which is what a site measure of it goes by."""
    at = {post.id: post.at for post in layout.posts}
    return {
        bay.id: (
            bay.level,
            bay.edge,
            bay.flight,
            *(at.get(end or "") for end in (bay.start, bay.end)),
        )
        for bay in layout.bays
    }
