"""Wire: a kit's `strength` and a deck's `site`, read into their records."""

from __future__ import annotations

from typing import Final

from service.core.records.deck import Site
from service.core.records.strength import Fixing, GlassMake, Member, Strength, Timber
from service.wire.reading.lengths import Json, Lengths

RAILS: Final = ("top_rail_picket", "bottom_rail_picket", "top_rail_glass", "bottom_rail_glass")


def read_strength(node: Json, pointer: str, lengths: Lengths) -> Strength:
    """The strength of a kit."""
    return Strength(
        post=lengths.one(_read_member, node, "post", pointer),
        rails={
            role: _read_member(node[role], f"{pointer}/{role}", lengths)
            for role in RAILS
            if role in node
        },
        picket=lengths.one(_read_member, node, "picket", pointer),
        handrail=lengths.one(_read_member, node, "handrail", pointer),
        panes=lengths.each(_read_make, node, "panes", pointer),
        fixing=lengths.one(_read_fixing, node, "fixing", pointer),
        timber=_read_timber(node),
        other_fixings=lengths.each(_read_fixing, node, "other_fixings", pointer),
    )


def _read_member(node: Json, pointer: str, lengths: Lengths) -> Member:
    return Member(
        alloy=node["alloy"],
        temper=node["temper"],
        shape=node.get("shape", "other"),
        wall=lengths.positive_or_none(node, "wall", pointer),
        width=lengths.positive_or_none(node, "width", pointer),
        modulus=_power(node, "section_modulus", 3, lengths),
        moment=_power(node, "second_moment", 4, lengths),
        modulus_down=_power(node, "section_modulus_down", 3, lengths),
        moment_down=_power(node, "second_moment_down", 4, lengths),
        welded=node.get("welded"),
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
