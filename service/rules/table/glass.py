"""Rules by name: panels of glass, their top rail and what they stand on."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import Rule, of_glass

GLASS: Final[dict[str, Rule]] = {
    "glass_type": of_glass(
        "code",
        "The make of each panel, by the words of the kit's pane, over what lies beneath it.",
        ("glass_make",),
        subject="the make of the glass",
    ),
    "glass_top_rail": of_glass(
        "code",
        "Whether glass that must have a top rail has one that stays if a pane goes.",
        ("glass_top_rail",),
        subject="whether the glass needs a top rail",
    ),
    "glass_thickness": of_glass(
        "code",
        "The nominal thickness of each panel.",
        ("glass_thickness_min",),
        subject="the thickness of the glass",
    ),
    "glass_size": of_glass(
        "kit",
        "The width, height and area of glass panels against the kit's greatest.",
        subject="the size of the glass",
    ),
    "glass_fitting": of_glass(
        "kit",
        "Whether the top channel is deep enough to lift a panel in (both engagements together), "
        "and whether two setting blocks have room under it.",
        subject="room to lift the glass in",
    ),
    "setting_blocks": of_glass(
        "engineering",
        "Whether setting blocks are as long as the trade has them for the area of their panel, and "
        "off its quarter points as far from its corners; a warning, as the glass stands on them.",
        subject="the setting blocks",
    ),
}
