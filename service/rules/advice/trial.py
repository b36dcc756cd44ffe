"""Rules: a change to a deck or a kit, tried: laid out and judged as the document itself is.

A Trial says whether a change passes and keeps why others did not. Work is counted, so that advice
is bounded and is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from service.core.engine import lay_out
from service.core.measure import TOUCH
from service.core.problems import Refusal
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.runs.rows import MarkWork
from service.rules.finding import Finding
from service.rules.judge import judge
from service.rules.table import RULES
from service.rules.words import list_text

TRIES: Final = 64
"""Layouts tried for one document."""
BAYS: Final = 10_000
"""Bays laid out for one document's advice, all tries together."""

ABSENT: Final = ("guard_required", "handrail_required")
"""Rules that are broken by what is not there, whatever their numbers."""


class Step(NamedTuple):
    """One step of a change, as a JSON Patch (RFC 6902): where, and what stands there then.

    source: where that is copied from, where it is in the document already. removes: that what
    stands there goes.
    """

    path: str
    value: object = None
    source: str | None = None
    removes: bool = False


class Attempt(NamedTuple):
    """A change to try. words: what it is, to follow "with"."""

    words: str
    steps: tuple[Step, ...]
    deck: Deck
    kit: Kit


class Outcome(NamedTuple):
    """A change that was tried: what it gives."""

    attempt: Attempt
    layout: Layout
    findings: tuple[Finding, ...]


@dataclass(slots=True)
class Trial:
    """What changes are tried against: a document as it stands, and the work that is left.

    declined: of each rule the changes that were tried for it in vain, in words, and why.
    """

    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout
    findings: Sequence[Finding]
    tries: int = TRIES
    bays: int = BAYS
    work: MarkWork = field(default_factory=MarkWork)
    known: dict[str, Outcome | None] = field(default_factory=dict)
    declined: dict[str, dict[str, str]] = field(default_factory=dict)

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
        that was not, or further than it was. even_if: rules that may be broken all the same.

        None too where nothing can be built from it, or where the work is used up.
        """
        outcome = self._lay_out(attempt)
        declined = self._why_not(rule, attempt, outcome, even_if)
        if declined:
            self.declined.setdefault(rule, {})[attempt.words] = declined
            return None
        return outcome

    def _why_not(
        self, rule: str, attempt: Attempt, outcome: Outcome | None, even_if: Collection[str]
    ) -> str:
        """Why a change does not pass; empty where it does."""
        if outcome is None:
            tried = repr(attempt.steps) in self.known
            return "it cannot be built" if tried else "it was not tried, for want of work left"
        if _failing(outcome.findings, rule):
            return f"{_rules([rule])} still fails"
        before, after = _violations(self.findings), _violations(outcome.findings)
        others = {name: by for name, by in after.items() if name not in even_if}
        broken = [name for name in others if name not in before]
        further = [n for n, by in others.items() if n in before and by > before[n] + TOUCH]
        outgrown = _outgrown(self.layout, self.kit)
        if _outgrown(outcome.layout, outcome.attempt.kit) - outgrown:
            (further if outgrown else broken).append("stick_length")
        told = [
            f"{_rules(names)} would be {how}"
            for names, how in ((broken, "broken"), (further, "further off"))
            if names
        ]
        return " and ".join(told)

    def _lay_out(self, attempt: Attempt) -> Outcome | None:
        key = repr(attempt.steps)
        if key in self.known:
            return self.known[key]
        if self.tries <= 0 or self.bays <= 0:
            return None
        self.tries -= 1
        try:
            layout = lay_out(attempt.deck, attempt.kit, self.code, self.work)
        except Refusal:
            self.bays -= len(self.layout.bays)
            self.known[key] = None
            return None
        self.bays -= len(layout.bays)
        findings = judge(layout, attempt.deck, attempt.kit, self.code)
        outcome = self.known[key] = Outcome(attempt, layout, findings)
        return outcome


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


def _violations(findings: Sequence[Finding]) -> dict[str, float]:
    """The rules that are broken, and by how much at most; 0 where that is no number."""
    found: dict[str, float] = {}
    for one in findings:
        if one.result == "fail" and one.severity == "violation":
            by = 0.0
            actual, limit = one.actual, one.limit
            if isinstance(actual, float | int) and isinstance(limit, float | int):
                by = 0.0 if one.rule in ABSENT else abs(actual - limit)
            found[one.rule] = max(by, found.get(one.rule, 0.0))
    return found
