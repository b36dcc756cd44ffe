"""Rules: what is said of a rule beside its findings (`Rule`), and figures that many rules read."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import Final

from service.rules.finding import Source

OF_GUARDS: Final = ("geometry_applies_to", "guard_required_drop", "guard_required_risers")
"""Figures that say whether the figures of height and openings bind a guard."""
OF_STRENGTH: Final = ("strength_method", "load_factor")
"""Figures that say how strength is worked out."""


@dataclass(frozen=True, slots=True)
class Rule:
    """What is said of one rule beside its findings.

    description: what the rule looks at, in one sentence for readers. figures: names of the code's
    figures that it reads. subject: what it is about, as it stands in "the rule on the height of the
    guard".
    needs_in_layout: the member of a layout that it looks at; where that member is empty the rule is
    not run.
    """

    source: Source
    description: str
    figures: tuple[str, ...] = ()
    subject: str = field(kw_only=True)
    needs_in_layout: str = ""


of_flights: Final = partial(Rule, needs_in_layout="flights")
of_glass: Final = partial(Rule, needs_in_layout="glass_order")
"""Rules that are not run on a layout without flights, or without panels of glass."""
