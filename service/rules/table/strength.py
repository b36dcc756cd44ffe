"""Rules by name: the strength check, and how far rails grow as they warm."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import OF_STRENGTH, Rule, of_glass

_OF_POSTS: Final = (
    *OF_STRENGTH,
    "loads_concur",
    "guard_point_load",
    "guard_line_load",
    "infill_point_load",
    "infill_pressure",
)

STRENGTH: Final[dict[str, Rule]] = {
    "strength_post": Rule(
        "engineering",
        "Preliminary: the bending of each post at its foot, welded where it is, and how far its "
        "top moves.",
        (*_OF_POSTS, "guard_deflection"),
        subject="the strength of the posts",
    ),
    "strength_rail": Rule(
        "engineering",
        "Preliminary: the bending of top rails, bottom rails and handrails between what holds "
        "them, and how far the middle of a top rail moves.",
        (
            *OF_STRENGTH,
            "loads_concur",
            "guard_point_load",
            "guard_line_load",
            "guard_vertical_load",
            "infill_point_load",
            "infill_pressure",
            "handrail_point_load",
            "handrail_line_load",
            "guard_deflection",
        ),
        subject="the strength of the rails",
    ),
    "strength_infill": Rule(
        "engineering",
        "Preliminary: the bending of pickets between their rails, and how far one moves.",
        (
            *OF_STRENGTH,
            "infill_point_load",
            "infill_load_side",
            "infill_load_pickets",
            "infill_pressure",
            "guard_deflection",
        ),
        subject="the strength of the infill",
    ),
    "strength_glass": of_glass(
        "engineering",
        "Preliminary: the bending of glass between its rails, how far it moves where the code "
        "limits that, and how many people lift a panel.",
        (
            *OF_STRENGTH,
            "glass_load_factor",
            "infill_point_load",
            "infill_load_side",
            "infill_pressure",
            "guard_deflection",
            "glass_deflection_ratio",
        ),
        subject="the strength of the glass",
    ),
    "strength_base": Rule(
        "engineering",
        "Preliminary: the pull on the fixings of a base against what they hold, and how far they "
        "go into the timber and stand from its edge and from each other.",
        _OF_POSTS,
        subject="the strength of the bases",
    ),
    "thermal_growth": Rule(
        "engineering",
        "Preliminary: how far each rail grows as it warms, against the allowances at its ends.",
        subject="how far rails grow as they warm",
    ),
}
