"""Core: the closed vocabulary of parts: what a kit numbers, a list counts and a price is for.

Each role is counted once. The cut list, the glass order and the list of blocking show where things
go; the list of parts shows what to buy.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple, TypeAlias

Sold: TypeAlias = Literal["each", "panel", "stick", "timber", "strip"]
"""How a role is sold: by the piece, as a panel of glass, by the stick, as pieces of timber of their
own lengths, or by length (`strip`)."""
Basis: TypeAlias = Literal["each", "per_pack", "per_height", "per_stick", "per_length", "per_area"]


class PartRole(NamedTuple):
    """One role. words: its description, where the kit gives none."""

    words: str
    sold: Sold = "each"


ROLES: Final[dict[str, PartRole]] = {
    "post_end": PartRole("End post"),
    "post_corner": PartRole("Corner post"),
    "post_line": PartRole("Line post"),
    "post_stair": PartRole("Post at the head or at the foot of a flight"),
    "post_gate": PartRole("Gate post"),
    "post_cap": PartRole("Cap on a post"),
    "base_plate": PartRole("Plate under a post that stands on a surface"),
    "base_cover": PartRole("Cover over a base plate"),
    "fascia_bracket": PartRole("Bracket behind a post that hangs on the rim"),
    "corner_bracket": PartRole("Bracket of a post on an outside corner of the rim"),
    "base_fixing": PartRole("Fixing of a base into the timber"),
    "bracket_socket": PartRole("Fixed bracket of a rail's end"),
    "bracket_swivel": PartRole("Swivel bracket of a rail's end"),
    "bracket_wall": PartRole("Wall bracket of a rail's end"),
    "bracket_rake": PartRole("Bracket of a raked rail's end"),
    "top_rail_picket": PartRole("Top rail, picket", "stick"),
    "bottom_rail_picket": PartRole("Bottom rail, picket", "stick"),
    "top_rail_glass": PartRole("Top rail, glass", "stick"),
    "bottom_rail_glass": PartRole("Bottom rail, glass", "stick"),
    "picket": PartRole("Picket"),
    "spacer": PartRole("Spacer between pickets, or one to cut for an end"),
    "glass_panel": PartRole("Glass panel", "panel"),
    "setting_block": PartRole("Setting block under a panel"),
    "end_block": PartRole("Block at the low end of a raked panel"),
    "gasket": PartRole("Gasket along the upper and the lower edge of a panel", "strip"),
    "rail_support": PartRole("Foot under a bottom rail"),
    "handrail": PartRole("Handrail", "stick"),
    "handrail_bracket": PartRole("Bracket of a handrail"),
    "handrail_return": PartRole("Returned end of a handrail"),
    "gate_frame": PartRole("Sides and corner pieces of a gate's leaf"),
    "gate_hinges": PartRole("Set of hinges for a gate's leaf"),
    "gate_latch": PartRole("Latch of a gate, both halves"),
    "blocking": PartRole("Blocking timber between joists", "timber"),
    "rail_screw": PartRole("Screw of a rail bracket"),
    "support_screw": PartRole("Screw of a rail support"),
    "handrail_screw": PartRole("Screw of a handrail bracket"),
    "blocking_fastener": PartRole("Fastener of blocking"),
    "base_shim": PartRole("Shim under a base"),
    "sealant": PartRole("Sealant for fixings"),
    "touch_up": PartRole("Touch-up paint"),
}
"""Every role, in the order in which parts are listed."""

EXTRAS: Final = (
    "rail_screw", "support_screw", "handrail_screw", "blocking_fastener",
    "base_shim", "sealant", "touch_up",
)  # fmt: skip
"""Roles that no drawing shows; a kit says how many of them go with which parts."""

POSTS: Final = ("post_end", "post_corner", "post_line", "post_stair", "post_gate")
CUT: Final = (
    "top_rail_picket", "bottom_rail_picket", "top_rail_glass", "bottom_rail_glass",
    "picket", "spacer", "handrail",
)  # fmt: skip
"""Roles of the cut list, in its order."""

STICKS: Final = tuple(role for role in CUT if role != "spacer")
"""Roles that may be cut from sticks; pickets only where the kit gives their stock."""

BASES: Final[dict[Sold, tuple[Basis, ...]]] = {
    "each": ("each", "per_pack"),
    "panel": ("each", "per_area"),
    "stick": ("per_stick", "per_length"),
    "timber": ("each", "per_length"),
    "strip": ("per_length", "per_pack"),
}
"""What a price may be by, for each way of selling; that of a post may also be `per_height`."""


def bases(role: str, *, by_stick: bool) -> tuple[Basis, ...]:
    """The bases that a role's price may have.

    by_stick: whether this kit sells the role by the stick.

    >>> bases("picket", by_stick=False), bases("picket", by_stick=True)
    (('each', 'per_pack'), ('per_stick', 'per_length'))
    >>> bases("post_line", by_stick=False)
    ('each', 'per_pack', 'per_height')
    """
    found = BASES["stick" if by_stick else ROLES[role].sold]
    return (*found, "per_height") if role in POSTS else found
