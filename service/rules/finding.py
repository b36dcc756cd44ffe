"""Rules: a finding, which is one thing that one rule says: pass, fail or not checked, where, by
which clause, and in a sentence. It is a value, never an exception."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from service.core.measure import Length

Source: TypeAlias = Literal["code", "kit", "engineering", "survey"]
Result: TypeAlias = Literal["pass", "fail", "not_checked"]
Severity: TypeAlias = Literal["violation", "warning", "note"]
Breach: TypeAlias = Literal["violation", "warning"]
"""What a fail means for the job: that a rule is broken, or that there is something to see to."""
Verdict: TypeAlias = Literal["pass", "not_checked"] | Breach
"""How a rule comes out: a result, and of a fail what it means."""
Amount: TypeAlias = Literal["length", "area", "degrees"]
"""What limit and actual are, except in the strength check, where `unit` says it. A count of things
goes as a length."""


class Finding(NamedTuple):
    """What one rule says. where: ids and places, in the layout's order; cite: the clause or the
    kit's id.

    severity: what it means for the job as it stands: `violation` or `warning` of a fail,
    `note` of a pass or a not_checked.
    limit, actual: lengths in the document's unit, areas in its square, degrees or a count, by
    the rule; None where there is none to name. A pass of several places has the worst of them
    as actual. amount: which of these they are.
    ratio, unit, case, method: of the strength check, where actual is a demand and limit a
    capacity: actual/limit, what both are in, the load that governs, and the formula with its
    source. Of a tape walk, ratio alone: its gap over its perimeter.
    amended: a figure that decided it is the local authority's; published: its limit as the
    code prints it. figures: the names of the code's figures that were read for it.
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
        """Limit and actual, where both are numbers."""
        limit, actual = self.limit, self.actual
        if isinstance(limit, float | int) and isinstance(actual, float | int):
            return limit, actual
        return None

    def at_places(self, where: tuple[str, ...], message: str) -> Finding:
        """The same with its places and its whole sentence."""
        rule, source, result, severity, _, _, *rest = self
        return Finding._make((rule, source, result, severity, where, message, *rest))
