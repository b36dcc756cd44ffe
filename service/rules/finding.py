"""Rules: a finding, which is one thing that a rule says of a layout: pass, fail or not checked,
where, by which clause, and in a sentence. It is a value, never an exception."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from service.core.measure import Length

Source: TypeAlias = Literal["code", "kit", "engineering", "survey"]
Result: TypeAlias = Literal["pass", "fail", "not_checked"]
Severity: TypeAlias = Literal["violation", "warning", "note"]
FailSeverity: TypeAlias = Literal["violation", "warning"]
"""What a fail means for the job: a broken rule (`violation`) or something to see to (`warning`)."""
Verdict: TypeAlias = Literal["pass", "not_checked"] | FailSeverity
"""How a rule comes out: `pass`, `not_checked`, or what a fail means."""
Amount: TypeAlias = Literal["length", "area", "degrees"]
"""What `limit` and `actual` of a finding are, except in the strength check, where `unit` says it. A
count of things goes as a length."""


class Finding(NamedTuple):
    """What one rule says of one or more places.

    where: ids and places, in the layout's order. cite: the clause, or the kit's id.
    severity: what the finding means for the job as it stands: `violation` or `warning` for a fail,
    `note` for a pass or a not_checked.
    limit, actual: lengths in the document's unit, areas in its square, degrees or a count, as
    `amount` says; None where the rule has none to name. A pass at several places has the worst of
    them as `actual`.
    ratio, unit, case, method: in the strength check, where `actual` is a demand and `limit` a
    capacity: actual/limit, the unit of both, the load case that governs, and the formula with its
    source. For a tape walk, `ratio` alone: its gap over its perimeter.
    amended: whether a figure that decided the finding is the local authority's. published: what the
    code itself prints for the limit, where that is amended; in the strength check for the first
    amended figure. figures: names of the code's figures that were read for the finding.
    """

    rule: str
    source: Source
    result: Result
    severity: Severity
    where: tuple[str, ...]
    message: str
    cite: str = ""
    limit: Length | str | None = None
    actual: Length | str | None = None
    amended: bool = False
    published: Length | str | None = None
    ratio: float | None = None
    unit: str | None = None
    case: str | None = None
    method: str | None = None
    figures: tuple[str, ...] = ()
    amount: Amount = "length"

    @property
    def numbers(self) -> tuple[float, float] | None:
        """Limit and actual; None unless both are numbers."""
        limit, actual = self.limit, self.actual
        if isinstance(limit, float | int) and isinstance(actual, float | int):
            return limit, actual
        return None

    @property
    def excess(self) -> float:
        """How far actual is off the limit, either way; 0 unless both are numbers."""
        limit, actual = self.numbers or (0.0, 0.0)
        return abs(actual - limit)

    def at_places(self, where: tuple[str, ...], message: str) -> Finding:
        """The finding with its places and its whole sentence."""
        rule, source, result, severity, _, _, *rest = self
        return Finding._make((rule, source, result, severity, where, message, *rest))
