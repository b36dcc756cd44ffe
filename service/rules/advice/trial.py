"""Rules: a change to a deck or a kit, tried: laid out and judged as the document itself is.

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
"""Layouts tried for one document."""
TRIES_OF_RULE: Final = 32
"""Of these, layouts tried for one rule, so that it leaves some to the others."""
NO_WORK: Final = "it was not tried, for want of work left"
_OTHER_BAYS: Final = "the bays that were measured would not be the same"

OF_ROOM: Final = (
    "bay_size", "bases_apart", "base_on_deck", "rails_clear", "flight_clear", "gate_swing",
)  # fmt: skip
"""Rules of what stands where: a new place that breaks one counts, though others did before."""
STICKS: Final = "stick_length"
"""The rule of pieces that no stick holds, which an order alone tells; here it goes by the kit."""
ABSENT: Final = ("guard_required", "handrail_required")
"""Rules that are broken by what is not there, whatever their numbers."""


class Outcome(NamedTuple):
    """A change that was tried: what it gives, and what stands where in that."""

    attempt: Attempt
    layout: Layout
    findings: tuple[Finding, ...]
    places: Places

    @classmethod
    def of(cls, attempt: Attempt, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """What a change gives."""
        return cls(attempt, layout, tuple(findings), Places(layout))

    @classmethod
    def standing(cls, deck: Deck, kit: Kit, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """What a document gives as it stands."""
        return cls.of(Attempt((), deck, kit), layout, findings)

    def unguarded(self) -> set[str]:
        """Where a guard that is not there is required, or may be."""
        findings = (one for one in self.findings if one.rule == "guard_required")
        return {place for one in findings if one.result != "pass" for place in one.where}

    def amiss(self) -> Counter[str]:
        """At how many places each rule fails, or could not be checked."""
        count: Counter[str] = Counter()
        for one in self.findings:
            if one.result != "pass":
                count[one.rule] += len(one.where)
        return count


@dataclass(slots=True)
class Trial:
    """What changes are tried against: a document as it stands, and the work that is left, in tries
    and in bays or as much as they are. kept: of these bays, those kept for other rules.

    declined: of each rule the changes that were tried for it in vain, in words, and why. spent: the
    layouts that were tried for each.
    """

    stands: Outcome
    code: Code | None
    tries: int = TRIES
    bays: int = WORK
    kept: int = 0
    shared: Shared = field(default_factory=Shared)
    known: dict[str, Outcome | str] = field(default_factory=dict)
    declined: dict[str, dict[str, str]] = field(default_factory=dict)
    spent: Counter[str] = field(default_factory=Counter)

    def share(self, rules: int) -> None:
        """Keeps from the next rule what the others of so many may need."""
        self.kept = max(0, self.bays) * (rules - 1) // rules

    @property
    def base(self) -> Attempt:
        """No change yet."""
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
        """What is found of it."""
        return self.stands.findings

    def failing(self, rule: str) -> list[Finding]:
        """The findings of a rule that fail as the document stands."""
        return _failing(self.findings, rule)

    def named(self, rule: str) -> frozenset[str]:
        """Every place at which it fails."""
        return frozenset(place for finding in self.failing(rule) for place in finding.where)

    def limits(self, rule: str) -> list[float]:
        """What it asks where it fails, as far as that is a number."""
        limits = [finding.limit for finding in self.failing(rule)]
        return [limit for limit in limits if limit is not None and not isinstance(limit, str)]

    def passes(self, rule: str, attempt: Attempt, even_if: Collection[str] = ()) -> Outcome | None:
        """What the change gives, where no finding of the rule fails, and no other rule is broken
        where it was not, or further than it was. even_if: rules that may be broken all the same.

        None too where nothing can be built from it, or where the work is used up.
        """
        return self._weighed(rule, attempt, 0, even_if)

    def decline(self, rule: str, attempt: Attempt, why: str) -> None:
        """Keeps why a change that was tried for a rule is not offered."""
        self.declined.setdefault(rule, {})[attempt.words] = why

    def gives(self, rule: str, attempt: Attempt) -> Outcome | None:
        """What the change gives, whether it passes or not; None where there is nothing."""
        outcome = self._lay_out(rule, attempt)
        return None if isinstance(outcome, str) else outcome

    def betters(self, rule: str, attempt: Attempt, before: Outcome, place: str) -> Outcome | None:
        """What the change gives, where the rule fails in fewer places than before, and no more at
        the opening or in the flight of this one; and else as `passes` has it."""
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
        outcome = self._lay_out(rule, attempt)
        declined = outcome if isinstance(outcome, str) else ""
        if not isinstance(outcome, str):
            declined = self._why_not(rule, outcome, most, even_if)
            if not declined:
                return outcome._replace(attempt=attempt)
        self.decline(rule, attempt, declined)
        return None

    def _why_not(self, rule: str, outcome: Outcome, most: int, even_if: Collection[str]) -> str:
        """Why a change does not pass; empty where it does. most: in how many places the rule may
        fail."""
        left = _outgrown(outcome.layout, outcome.attempt.kit)
        if fails(rule, outcome) > most or (rule == STICKS and left):
            return f"{_rules([rule])} still fails"
        if not self._same_measured(outcome.layout):
            return _OTHER_BAYS
        if self._unrails(outcome):
            return "a stretch that has a railing would be left without one"
        others = [name for name in self._broken(outcome) if name not in (rule, *even_if)]
        before = _violations(self.stands)
        after = _violations(outcome, _railed(outcome.layout) - _railed(self.layout))
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

    def _broken(self, outcome: Outcome) -> list[str]:
        """The rules that a change breaks where they are not broken as the document stands. A guard
        where there was none may lack what the others do, but has to have room."""
        before, after, railed = _broken_at(self.stands), _broken_at(outcome), _railed(self.layout)
        of_old = _broken_at(outcome, _railed(outcome.layout) - railed)
        return [
            name
            for name, places in after.items()
            if (name in OF_ROOM and _broken_in(name, outcome) > _broken_in(name, self.stands))
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
        """Whether there are more stretches too small to rail where there is a railing now, as the
        rules may let them stay open: a railing that is left out fails nothing."""
        before, after, railed = _unrailed(self.stands), _unrailed(outcome), _railed(self.layout)
        return any(after[place] > before[place] for place in after if place in railed)

    def _same_measured(self, layout: Layout) -> bool:
        """Whether what was measured on site is of the same bays: posts that stand do not move."""
        if not self.deck.site_measures:
            return True
        were, are = _stood(self.layout), _stood(layout)
        return all(were[each.bay] == are.get(each.bay) for each in self.deck.site_measures)

    def _lay_out(self, rule: str, attempt: Attempt) -> Outcome | str:
        """What a change gives, or why there is nothing."""
        key = repr(attempt.steps)
        if key in self.known:
            return self.known[key]
        if self.tries <= 0 or self.bays <= self.kept or self.spent[rule] >= TRIES_OF_RULE:
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
    """In how many places a rule fails."""
    return sum(len(finding.where) for finding in _failing(outcome.findings, rule))


def _unbuilt(refusal: Refusal) -> str:
    """Why nothing can be built, by the first sentence on the first of the faults. A measure that
    fits no bay is no wrong one: it is of posts that stand."""
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
    """The parts of which a piece is longer than any stick of the kit; an order alone tells the
    rest."""
    return {
        piece.part
        for piece in layout.cut_list
        if piece.part in kit.stocks and piece.taken_up > kit.stocks[piece.part].longest + TOUCH
    }


def _failing(findings: Sequence[Finding], rule: str) -> list[Finding]:
    return [one for one in findings if one.rule == rule and one.result == "fail"]


def _violations(outcome: Outcome, new: Collection[str] = ()) -> dict[str, float]:
    """The rules that are broken, and by how much at most; 0 where that is no number. new: edges and
    flights of which all is left out but what has to have room."""
    found: dict[str, float] = {}
    for one in outcome.findings:
        if one.severity == "violation" and _places_but(outcome, one, new):
            limit, actual = one.numbers or (0.0, 0.0)
            by = 0.0 if one.rule in ABSENT else abs(actual - limit)
            found[one.rule] = max(by, found.get(one.rule, 0.0))
    return found


def _broken_at(outcome: Outcome, new: Collection[str] = ()) -> dict[str, set[str]]:
    """The rules that are broken, each with where, by names that other posts and bays leave. new: as
    `_violations` has it."""
    found: dict[str, set[str]] = {}
    for one in outcome.findings:
        if one.severity == "violation":
            at = found.setdefault(one.rule, set())
            for names in _places_but(outcome, one, new):
                at |= names
    return found


def _places_but(outcome: Outcome, finding: Finding, new: Collection[str]) -> list[set[str]]:
    """The places of a finding by lasting names, without those at edges or flights that are new, as
    their corner posts are; all of them where it is of room."""
    names = [outcome.places.lasting(place) for place in finding.where]
    if not new or finding.rule in OF_ROOM:
        return names
    return [each for each in names if each.isdisjoint(new)]


def _railed(layout: Layout) -> set[str]:
    """The edges and flights that have a railing."""
    return {bay.flight or edge_place(bay.level, bay.edge) for bay in layout.bays}


def _broken_in(rule: str, outcome: Outcome) -> int:
    """In how many places a rule is broken."""
    failing = _failing(outcome.findings, rule)
    return sum(len(one.where) for one in failing if one.severity == "violation")


def _unrailed(outcome: Outcome) -> Counter[str]:
    """How many stretches along each edge and flight are too small to rail."""
    runs = (stretch.where for stretch in outcome.layout.small_stretches)
    return Counter(place for run in runs for place in outcome.places.lasting(run))


def _stood(layout: Layout) -> dict[str, tuple[object, ...]]:
    """What each bay lies between, which a measure of it is of."""
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
