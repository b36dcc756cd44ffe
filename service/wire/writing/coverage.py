"""Wire: which figures of the code were judged, as the reply has it (contract, section 7)."""

from __future__ import annotations

from collections.abc import Sequence

from service.core.records.code import Code
from service.rules.coverage import Covered, cover
from service.rules.finding import Finding
from service.wire.writing.pen import Json


def write_coverage(code: Code | None, findings: Sequence[Finding]) -> Json:
    """An object with the member `coverage`; empty where the document names no code."""
    if code is None:
        return {}
    return {"coverage": [_write(one) for one in cover(code, findings)]}


def _write(covered: Covered) -> Json:
    written: Json = {"figure": covered.figure, "judged": covered.judged}
    if covered.why:
        written["why"] = covered.why
    return written
