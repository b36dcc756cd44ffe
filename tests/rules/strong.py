"""Small layouts for the tests of strength: one bay between two posts, of a kit with strength."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Unpack

from service.core.measure import Unit
from service.core.records.code import Code, Figure
from service.core.records.deck import Site
from service.core.records.kit import Kit
from service.core.records.strength import Fixing, Member, Strength, Timber
from service.rules.finding import Finding
from service.rules.judge import judge

from .small import IRC, Parts, bay, deck, kit, layout, pickets, post

TUBE = Member("6063", "T5", "tube", 0.125, welded=False)
RAIL = Member("6063", "T6", "tube", 0.125, width=2.0)
PLAIN = Member("6063", "T6", modulus=0.3, moment=0.2)
LAG = Fixing(
    "lag_screw", 0.375, 2, length=5.0, thread=3.0, tip=0.21875, side_member=1.5, lever=4.25
)
RAILS = {
    "top_rail_picket": RAIL,
    "bottom_rail_picket": PLAIN,
    "top_rail_glass": RAIL,
    "bottom_rail_glass": PLAIN,
}
STRONG = Strength(
    post=TUBE,
    rails=RAILS,
    picket=Member("6063", "T5", "tube", 0.0625),
    handrail=PLAIN,
    panes=(),
    fixing=LAG,
    timber=Timber("southern_pine"),
)
"""The members of the worked post and rail of the facts on engineering, 4.4."""


def strong_kit(**changes: Any) -> Kit:
    """The inch kit of the other tests with `STRONG` as its strength, apart from these changes."""
    return replace(kit(), strength=replace(STRONG, **changes))


def loads(unit: Unit = "in", /, **figures: float | str) -> Code:
    """A code that states these figures alone, beside its strength method.

    The method is allowable stress in inches, and partial factors with a load factor of 1.5 in mm.
    """
    method = "allowable stress" if unit == "in" else "partial factors"
    given: dict[str, float | str] = {"strength_method": method}
    if unit == "mm":
        given["load_factor"] = 1.5
    figures = given | figures
    named = {name: Figure(value, "binds", name, "seen") for name, value in figures.items()}
    return Code("code", "A code", "2020", named)


def said(
    rule: str,
    code: Code | None = IRC,
    with_kit: Kit | None = None,
    unit: Unit = "in",
    site: Site | None = None,
    **parts: Unpack[Parts],
) -> list[Finding]:
    """Findings of one rule on these parts.

    Parts that are left out are two posts and a bay between them, 42 in high, at 72 in centres.
    """
    ends: Parts = {
        "posts": (post(1, 42.0, 42.0), post(2, 42.0, 42.0)),
        "bays": (bay(height=42.0, centres=72.0, clear=69.5),),
    }
    asked = replace(deck(unit), site=site or Site())
    every = judge(layout(**(ends | parts)), asked, with_kit or strong_kit(), code)
    return [finding for finding in every if finding.rule == rule]


def ratio(findings: list[Finding], unit: str) -> float:
    """The greatest ratio of demand to capacity among the findings in this unit."""
    return max(f.ratio for f in findings if f.unit == unit and f.ratio is not None)


def worst(findings: list[Finding]) -> float:
    """The greatest stress among the findings, in psi."""
    return max(float(f.actual) for f in findings if f.unit == "psi" and f.actual is not None)


def spans(length: float, height: float = 42.0, unit: Unit = "in") -> Parts:
    """Three posts and two bays of this length and height; the middle post carries half of
    either."""
    clear = length - (2.5 if unit == "in" else 60.0)
    posts = tuple(post(i, height, height) for i in (1, 2, 3))
    filled = replace(pickets(3.75, 3.5), length=max(height - 8.0, 1.0))
    shape: dict[str, Any] = {"height": height, "centres": length, "clear": clear, "pickets": filled}
    return {"posts": posts, "bays": (bay(1, **shape), bay(2, **shape))}
