"""Wire: a kit's `strength` and a deck's `site`, read into their records."""

from __future__ import annotations

from typing import Final

from service.core.records.deck import Site
from service.core.records.strength import Fixing, GlassMake, Member, Strength, Timber
from service.wire.reading.lengths import Json, Lengths

RAILS: Final = ("top_rail_picket", "bottom_rail_picket", "top_rail_glass", "bottom_rail_glass")


def read_strength(document: Json, pointer: str, lengths: Lengths) -> Strength | None:
    """The strength of a kit; None where the document has no `strength`."""
    if "strength" not in document:
        return None
    node, at = document["strength"], f"{pointer}/strength"
    return Strength(
        post=_read_member(node, "post", at, lengths),
        rails={
            role: member
            for role in RAILS
            if (member := _read_member(node, role, at, lengths)) is not None
        },
        picket=_read_member(node, "picket", at, lengths),
        handrail=_read_member(node, "handrail", at, lengths),
        panes=lengths.each(_read_make, node, "panes", at),
        fixing=_read_fixing(node["fixing"], f"{at}/fixing", lengths) if "fixing" in node else None,
        timber=_read_timber(node),
        other_fixings=lengths.each(_read_fixing, node, "other_fixings", at),
    )


def _read_member(node: Json, role: str, pointer: str, lengths: Lengths) -> Member | None:
    if role not in node:
        return None
    member, at = node[role], f"{pointer}/{role}"
    return Member(
        alloy=member["alloy"],
        temper=member["temper"],
        shape=member.get("shape", "other"),
        wall=lengths.positive_or_none(member, "wall", at),
        width=lengths.positive_or_none(member, "width", at),
        modulus=_power(member, "section_modulus", 3, lengths),
        moment=_power(member, "second_moment", 4, lengths),
        modulus_down=_power(member, "section_modulus_down", 3, lengths),
        moment_down=_power(member, "second_moment_down", 4, lengths),
        welded=member.get("welded"),
    )


def _power(node: Json, name: str, power: int, lengths: Lengths) -> float | None:
    return lengths.power(node[name], power) if name in node else None


def _read_make(node: Json, pointer: str, lengths: Lengths) -> GlassMake:
    return GlassMake(
        pane=int(node["pane"]),
        make=node["make"],
        plies=int(node.get("plies", 1)),
        ply_minimum=lengths.positive_or_none(node, "ply_minimum", pointer),
    )


def _read_fixing(node: Json, pointer: str, lengths: Lengths) -> Fixing:
    capacity = node.get("tension_capacity")
    return Fixing(
        kind=node["kind"],
        diameter=lengths.positive(node, "diameter", pointer),
        in_tension=int(node["in_tension"]),
        length=lengths.positive_or_none(node, "length", pointer),
        thread=lengths.positive_or_none(node, "thread", pointer),
        tip=lengths.length_or_none(node, "tip", pointer) or 0.0,
        side_member=lengths.length_or_none(node, "side", pointer),
        lever=lengths.positive_or_none(node, "lever_arm", pointer),
        below=lengths.length_or_none(node, "below", pointer),
        capacity=None if capacity is None else lengths.load(capacity, "force"),
    )


def _read_timber(node: Json) -> Timber | None:
    timber = node.get("timber")
    if timber is None:
        return None
    return Timber(timber.get("species"), timber.get("specific_gravity"), timber.get("grade"))


def read_site(document: Json) -> Site:
    """The site of a deck, with defaults for members that the document leaves out."""
    node = document.get("site", {})
    return Site(
        temperature_range=node.get("temperature_range"),
        wet_service=node.get("wet_service", True),
        load_duration=node.get("load_duration", "live"),
        timber=_read_timber(node),
    )
