"""Wire: a kit's `strength` and a deck's `site`, read into their records."""

from __future__ import annotations

from typing import Final

from service.core.records.deck import Site
from service.core.records.strength import Fixing, GlassMake, Member, Strength, Timber
from service.wire.reading.lengths import Json, Node

RAILS: Final = ("top_rail_picket", "bottom_rail_picket", "top_rail_glass", "bottom_rail_glass")


def read_strength(node: Node) -> Strength:
    """The strength of a kit."""
    return Strength(
        post=node.one(_read_member, "post"),
        rails={role: _read_member(node.at(role)) for role in RAILS if role in node.sent},
        picket=node.one(_read_member, "picket"),
        handrail=node.one(_read_member, "handrail"),
        panes=node.each(_read_make, "panes"),
        fixing=node.one(_read_fixing, "fixing"),
        timber=_read_timber(node.sent),
        other_fixings=node.each(_read_fixing, "other_fixings"),
    )


def _read_member(node: Node) -> Member:
    return Member(
        alloy=node.sent["alloy"],
        temper=node.sent["temper"],
        shape=node.sent.get("shape", "other"),
        wall=node.positive_or_none("wall"),
        width=node.positive_or_none("width"),
        modulus=_power(node, "section_modulus", 3),
        moment=_power(node, "second_moment", 4),
        modulus_down=_power(node, "section_modulus_down", 3),
        moment_down=_power(node, "second_moment_down", 4),
        welded=node.sent.get("welded"),
    )


def _power(node: Node, name: str, power: int) -> float | None:
    return node.lengths.power(node.sent[name], power) if name in node.sent else None


def _read_make(node: Node) -> GlassMake:
    return GlassMake(
        pane=int(node.sent["pane"]),
        make=node.sent["make"],
        plies=int(node.sent.get("plies", 1)),
        ply_minimum=node.positive_or_none("ply_minimum"),
    )


def _read_fixing(node: Node) -> Fixing:
    capacity = node.sent.get("tension_capacity")
    return Fixing(
        kind=node.sent["kind"],
        diameter=node.positive("diameter"),
        in_tension=int(node.sent["in_tension"]),
        length=node.positive_or_none("length"),
        thread=node.positive_or_none("thread"),
        tip=node.length_or_none("tip") or 0.0,
        side_member=node.length_or_none("side"),
        lever=node.positive_or_none("lever_arm"),
        below=node.length_or_none("below"),
        capacity=None if capacity is None else node.lengths.load(capacity, "force"),
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
