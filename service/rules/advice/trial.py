"""Rules: changes to a deck or a kit, tried: each laid out and judged as the document itself is
(`Trial`).

A Trial says whether a change passes, or goes some of the way, and keeps why others did not. Work is
counted, so that advice is bounded and is the same on every machine.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Final

from service.core.engine import Shared, lay_out
from service.core.measure import TOUCH
from service.core.problems import Refusal, TooLarge
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Bay, Layout
from service.rules.advice.attempts import Attempt
from service.rules.advice.outcomes import OF_ROOM, Outcome
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

STICKS: Final = "stick_length"
"""The rule on pieces that no stick holds. Its findings need an order; a trial goes by the kit's
sticks."""


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
        return self.stands.failing(rule)

    def named(self, rule: str) -> frozenset[str]:
        """Every place at which a rule fails as the document stands."""
        return frozenset(place for finding in self.failing(rule) for place in finding.where)

    def failing_edges(self, rule: str) -> set[tuple[str, int]]:
        """The edges of the places at which a rule fails as the document stands."""
        edges = self.stands.places.edges
        return {edge for name in self.named(rule) for edge in edges.get(name, ())}

    def failing_bays(self, rule: str) -> list[Bay]:
        """The bays of the places at which a rule fails as the document stands."""
        bays = self.stands.places.bays
        return [bay for name in self.named(rule) for bay in bays.get(name, ())]

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

    def why_not_all(
        self, rules: Sequence[str], attempt: Attempt, even_if: Collection[str] = ()
    ) -> str:
        """Why a change does not pass that is to cure several rules, in words; empty where it does.

        rules: the last of them is the one whose tries it counts among. even_if: as in `passes`.
        """
        outcome = self._lay_out(rules[-1], attempt)
        if isinstance(outcome, str):
            return outcome
        found = (self._why_not(rule, outcome, 0, even_if) for rule in rules)
        return next((why for why in found if why), "")

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
        outcome = self._weighed(rule, attempt, before.fails(rule) - 1, ())
        if outcome is None or not (whole := before.places.whole(place)):
            return outcome
        places = outcome.places
        left = [each for one in outcome.failing(rule) for each in one.where]
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
        left = outcome.outgrown()
        if outcome.fails(rule) > most or (rule == STICKS and left):
            return f"{_rules([rule])} still fails"
        if not self._same_measured(outcome):
            return _OTHER_BAYS
        if self._unrails(outcome):
            return "a stretch that has a railing would be left without one"
        others = [name for name in self._newly_violated(outcome) if name not in (rule, *even_if)]
        before = self.stands.worst_violations()
        after = outcome.worst_violations(outcome.railed() - self.stands.railed())
        further = [
            name
            for name in after
            if name in before and after[name] > before[name] + TOUCH
            if name not in (*others, *even_if)
        ]
        outgrown = self.stands.outgrown()
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
        before, after = self.stands.violated_places(), outcome.violated_places()
        railed = self.stands.railed()
        of_old = outcome.violated_places(outcome.railed() - railed)
        found = []
        for name, places in after.items():
            fresh = places - before.get(name, set())
            if name in OF_ROOM:
                newly = bool(fresh) or outcome.violates(name) > self.stands.violates(name)
            else:
                of_railings = fresh & railed & of_old.get(name, set())
                newly = bool(of_railings if name in before else fresh)
            if newly:
                found.append(name)
        return found

    def _unrails(self, outcome: Outcome) -> bool:
        """Whether more stretches are too small to rail at an edge or flight that has a railing now.

        The rules would not tell: they may let such a stretch stay open, and a railing that is
        missing fails nothing.
        """
        before, after, railed = self.stands.unrailed(), outcome.unrailed(), self.stands.railed()
        return any(after[place] > before[place] for place in after if place in railed)

    def _same_measured(self, outcome: Outcome) -> bool:
        """Whether the bays measured on site are still the same: posts that stand do not move."""
        if not self.deck.site_measures:
            return True
        were, are = self.stands.stood(), outcome.stood()
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
