"""Wire: findings, and which figures of the code they judge by, as the reply has them (contract,
section 7)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from service.core.measure import DECIMALS, Length, Unit, tidy
from service.core.records.code import Code
from service.rules.coverage import Covered, cover
from service.rules.finding import Amount, Finding
from service.wire.writing.pen import Json

RATIO: Final = 4
"""Decimals of the ratio of a demand to its capacity."""
CLOSURE: Final = 6
"""Decimals of the ratio of `walk_closure`: a tape walk's gap over its perimeter."""
OF_AMOUNT: Final[dict[Amount, int]] = {"degrees": 4, "area": 3}
"""Decimals of amounts that are not lengths."""


def write_finding(finding: Finding, unit: Unit) -> Json:
    """A finding, without the members that it has no value for. unit: the document's."""
    decimals = _decimals(finding, unit)
    written: Json = {"rule": finding.rule}
    if finding.cite:
        written["cite"] = finding.cite
    written["source"] = finding.source
    written["result"] = finding.result
    written["severity"] = finding.severity
    if finding.limit is not None:
        written["limit"] = _value(finding.limit, decimals)
    if finding.actual is not None:
        written["actual"] = _value(finding.actual, decimals)
    if finding.published is not None:
        written["published"] = _value(finding.published, decimals)
    if finding.ratio is not None:
        written["ratio"] = tidy(finding.ratio, CLOSURE if finding.rule == "walk_closure" else RATIO)
    if finding.unit is not None:
        written["unit"] = finding.unit
    if finding.case is not None:
        written["case"] = finding.case
    if finding.method is not None:
        written["method"] = finding.method
    written["amended"] = finding.amended
    written["where"] = list(finding.where)
    written["message"] = finding.message
    return written


def _value(value: Length | str, decimals: int) -> float | str:
    return value if isinstance(value, str) else tidy(value, decimals)


def _decimals(finding: Finding, unit: Unit) -> int:
    if finding.unit is not None and finding.unit != unit:
        return 3
    return OF_AMOUNT.get(finding.amount, DECIMALS[unit])


def write_coverage(code: Code | None, findings: Sequence[Finding]) -> Json:
    """An object with the member `coverage`; empty where the document names no code."""
    if code is None:
        return {}
    return {"coverage": [_covered(one) for one in cover(code, findings)]}


def _covered(covered: Covered) -> Json:
    written: Json = {"figure": covered.figure, "judged": covered.judged}
    if covered.why:
        written["why"] = covered.why
    return written
