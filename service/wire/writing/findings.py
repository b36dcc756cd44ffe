"""Wire: findings, and which figures of the code they judge by, as the reply has them (contract,
section 7)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from service.core.measure import DECIMALS, Unit, tidy
from service.core.records.code import Code
from service.rules.coverage import cover
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
    compared = {"limit": finding.limit, "actual": finding.actual, "published": finding.published}
    for name, value in compared.items():
        if value is not None:
            written[name] = value if isinstance(value, str) else tidy(value, decimals)
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


def _decimals(finding: Finding, unit: Unit) -> int:
    if finding.unit is not None and finding.unit != unit:
        return 3
    return OF_AMOUNT.get(finding.amount, DECIMALS[unit])


def write_coverage(code: Code | None, findings: Sequence[Finding]) -> Json:
    """An object with the member `coverage`; empty where the document names no code."""
    if code is None:
        return {}
    return {
        "coverage": [
            {"figure": figure, "judged": False, "why": why}
            if why
            else {"figure": figure, "judged": True}
            for figure, why in cover(code, findings).items()
        ]
    }
