"""Rules: a change to a deck or a kit, laid out and judged as the document itself is.

What is advised is tried here and not guessed. Work is counted, so that advice is bounded and
is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from service.core.code import Code
from service.core.deck import Deck
from service.core.engine import lay_out
from service.core.kit import Kit
from service.core.layout import Layout
from service.core.marks import Work
from service.core.problems import Refusal
from service.rules.finding import Finding
from service.rules.judge import judge

TRIES: Final = 64
"""Layouts tried for one document."""
BAYS: Final = 10_000
"""Bays laid out for one document's advice, all tries together."""


class Step(NamedTuple):
    """One step of a change, as a JSON Patch (RFC 6902): where, and what stands there then.

    source: where that is copied from, where it is in the document already.
    """

    path: str
    value: object = None
    source: str | None = None


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
    """What changes are tried against: a document as it stands, and the work that is left."""

    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout
    findings: Sequence[Finding]
    tries: int = TRIES
    bays: int = BAYS
    work: Work = field(default_factory=Work)
    known: dict[str, Outcome | None] = field(default_factory=dict)

    def failing(self, rule: str) -> list[Finding]:
        """The findings of a rule that fail as the document stands."""
        return _failing(self.findings, rule)

    def passes(self, rule: str, attempt: Attempt) -> Outcome | None:
        """What the change gives, where no finding of the rule fails and none fails worse.

        None too where nothing can be built from it, or where the work is used up.
        """
        outcome = self._lay_out(attempt)
        if outcome is None or _failing(outcome.findings, rule):
            return None
        before, after = _violations(self.findings), _violations(outcome.findings)
        return outcome if after <= before else None

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


def _failing(findings: Sequence[Finding], rule: str) -> list[Finding]:
    return [one for one in findings if one.rule == rule and one.result == "fail"]


def _violations(findings: Sequence[Finding]) -> set[str]:
    """The rules that are broken."""
    return {one.rule for one in findings if one.result == "fail" and one.severity == "violation"}
