"""Rules: every rule by name, in the order in which they are run, and what each looks at.

The published list of rules is made from this table. A rule's bounds and clauses are not here:
they come from the code document, the kit, or the two survey figures below.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.rules.finding import Source

CLOSURE_RATIO: Final = 500
"""Perimeter over gap of a tape walk, below which it is measured again (common practice)."""
WEAK_TIE: Final = 30.0
"""Acute angle in degrees of two crossing tapes, under which their corner is poorly fixed
(contract, section 3)."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. figures: those of the code that it reads; looks_at: one sentence for readers."""

    source: Source
    looks_at: str
    figures: tuple[str, ...] = ()


RULES: Final[dict[str, Rule]] = {
    "guard_required": Rule(
        "code",
        "Whether an edge or a passage without a railing has a drop at which a guard is required.",
        ("guard_required_drop", "guard_drop_reach"),
    ),
    "guard_height": Rule(
        "code",
        "The height of each bay's guard above the walking surface.",
        ("guard_height", "geometry_applies_to", "guard_required_drop"),
    ),
    "opening_size": Rule(
        "code",
        "The gaps between pickets, at the ends of a bay, beside glass, between a post and a wall "
        "and between the two posts of a corner.",
        ("opening_sphere", "geometry_applies_to", "guard_required_drop"),
    ),
    "gap_under_rail": Rule(
        "code",
        "The gap from the walking surface to the underside of the bottom rail.",
        ("opening_sphere", "geometry_applies_to", "guard_required_drop"),
    ),
    "bay_size": Rule(
        "kit",
        "A stretch less than the kit's least bay, which stays unrailed: whether the code's "
        "opening limit lets it.",
        ("opening_sphere", "geometry_applies_to", "guard_required_drop"),
    ),
    "post_spacing": Rule(
        "kit", "The spacing of posts, centre to centre, against the kit's greatest of each infill."
    ),
    "glass_size": Rule(
        "kit", "The width, height and area of glass panels against the kit's greatest."
    ),
    "glass_fitting": Rule(
        "kit",
        "Whether the top channel is deep enough to lift a panel in: both engagements together.",
    ),
    "corner_angle": Rule(
        "kit", "The angle at which a rail meets a post or a wall against the swivel's reach."
    ),
    "post_height": Rule("kit", "Whether a stock post is as tall as the guard that it carries."),
    "weep_holes": Rule(
        "kit", "Whether the drain holes of a bottom rail keep the kit's greatest interval."
    ),
    "base_on_deck": Rule(
        "engineering", "Whether each post's base stands wholly on its deck or its rim."
    ),
    "bases_apart": Rule("engineering", "Whether the bases of two posts run into each other."),
    "walk_closure": Rule(
        "survey", "How far a tape walk misses its start, against 1:500 of its perimeter."
    ),
    "weak_tie": Rule("survey", "The angle at which two tapes cross at a corner, against 30°."),
}
