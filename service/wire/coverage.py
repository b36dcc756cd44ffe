"""Wire: which figures of the code were judged: its form and its writer (contract, section 7)."""

from __future__ import annotations

from collections.abc import Sequence

from service.core.code import Code
from service.rules.coverage import cover
from service.rules.finding import Finding
from service.wire.pen import Json
from service.wire.reply import Reply, text
from service.wire.strict import Flag


class CoverageForm(Reply):
    """One figure of the code, and whether a finding of this reply judged by it."""

    figure = text("Figure", "Its name.", example="guard_height")
    judged = Flag("Judged", "Whether a pass or a fail of this reply rests on its rule.")
    why = text(
        "Why",
        "Of one that was not judged: why not.",
        required=False,
        example="nothing here that it binds",
    )


def write_coverage(code: Code | None, findings: Sequence[Finding]) -> Json:
    """The member `coverage`; left out without a code."""
    if code is None:
        return {}
    return {"coverage": [_write(*one) for one in cover(code, findings)]}


def _write(figure: str, judged: bool, why: str) -> Json:
    written: Json = {"figure": figure, "judged": judged}
    if why:
        written["why"] = why
    return written
