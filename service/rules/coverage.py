"""Rules: which of the code's figures this reply judged by, and why not by the others (`cover`), so
that silence is not taken to mean that all is well."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from service.core.records.code import Code
from service.core.records.figures import FIGURES, LEFT
from service.rules.finding import Finding
from service.rules.judge import CHECKS
from service.rules.table import RULES

TAKEN_AS_GIVEN: Final = {
    "guard_drop_reach": "drops are taken as given; measure them so far out as the code says",
}
"""Figures that findings name but that no finding can judge, each with the reason."""
UNJUDGED: Final = {**{name: row.why_left for name, row in LEFT.items()}, **TAKEN_AS_GIVEN}
"""Every figure that no document can be judged by, with the reason."""
NOTHING_HERE: Final = "nothing here that it binds"
OTHER_USE: Final = (
    "holds for another use of the deck, or another number of people, than it was judged for; see"
    " occupancy and occupants"
)
READ_ALONG: Final = frozenset(
    {
        "geometry_applies_to", "opening_sphere_upper_from", "opening_not_required_guard_wide",
        "handrail_sides", "handrail_both_sides_width", "handrail_required_rise",
        "landing_no_deeper_than", "strength_method", "load_factor", "loads_concur",
        "infill_load_side", "infill_load_pickets",
    }
)  # fmt: skip
"""Figures that are read along with others, so that findings need not name them. They count as
judged where a rule that reads them passes or fails."""


def _readers() -> dict[str, tuple[str, ...]]:
    """The names of the rules that judge by each figure."""
    found: dict[str, list[str]] = {}
    for name in CHECKS:
        for figure in RULES[name].figures:
            found.setdefault(figure, []).append(name)
    return {figure: tuple(names) for figure, names in found.items()}


READERS: Final = _readers()
_NAMES: Final = {name: (name, *READERS.get(name, ())) for name in FIGURES}
"""For each figure, the names under which a finding may leave it unchecked: its own, and those of
the rules that judge by it."""


def cover(code: Code, findings: Iterable[Finding]) -> dict[str, str]:
    """By figure of the code, why no finding of this reply judged by it; empty where one did.

    Figures that hold for another use of the deck are among them. They come in the order of the
    vocabulary, as the order of members in a JSON object means nothing.
    """
    judged: set[str] = set()
    open_: dict[str, str] = {}
    rules: set[str] = set()
    for finding in findings:
        if finding.result == "not_checked":
            for name in (*finding.figures, finding.rule):
                open_.setdefault(name, finding.rule)
        else:
            rules.add(finding.rule)
            judged.update(finding.figures)
    for name in READ_ALONG & code.figures.keys():
        if not rules.isdisjoint(READERS[name]):
            judged.add(name)
    judged -= UNJUDGED.keys()
    covered: dict[str, str] = {}
    for name in FIGURES:
        if name in judged:
            covered[name] = ""
        elif name in code.figures:
            covered[name] = _why(name, open_)
        elif name in code.other_use:
            covered[name] = OTHER_USE
    return covered


def _why(name: str, open_: dict[str, str]) -> str:
    """Why a figure was not judged. open_: the rules of findings that left names unchecked."""
    if name in UNJUDGED:
        return UNJUDGED[name]
    for key in _NAMES[name]:
        if key in open_:
            return f"not checked: see the finding {open_[key]}"
    return NOTHING_HERE
