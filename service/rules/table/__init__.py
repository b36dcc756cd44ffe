"""Rules: what is said of every rule beside its findings, by name; a module for each subject.

The published list of rules is made from `RULES`, in the order in which `judge` runs them. Limits
and clauses come from the code document and the kit; those of common practice stand with the checks.
"""

from __future__ import annotations

from typing import Final

from service.rules.table.glass import GLASS
from service.rules.table.guards import GUARDS
from service.rules.table.openings import OPENINGS
from service.rules.table.railing import RAILING
from service.rules.table.rule import Rule
from service.rules.table.stairs import STAIRS
from service.rules.table.strength import STRENGTH
from service.rules.table.survey import SURVEY

RULES: Final[dict[str, Rule]] = {
    **GUARDS,
    **OPENINGS,
    **STAIRS,
    **GLASS,
    **RAILING,
    **SURVEY,
    **STRENGTH,
}
