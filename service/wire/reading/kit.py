"""Wire: a kit document that fits its schema, read into the record that core takes (`read_kit`)."""

from __future__ import annotations

import math

from service.core.measure import Unit
from service.core.records.deck import INFILLS
from service.core.records.kit import (
    Base,
    Block,
    Engagement,
    GateKit,
    GlassKit,
    HandrailKit,
    Kit,
    Pane,
    PicketKit,
    PostKit,
    Rail,
    Rails,
    RailSupport,
    Stock,
    Weep,
)
from service.wire.reading.kit_checks import check_kit
from service.wire.reading.kit_parts import read_kit_parts
from service.wire.reading.kit_strength import check_strength
from service.wire.reading.lengths import Json, Lengths
from service.wire.reading.strength import read_strength


def read_kit(document: Json, unit: Unit, pointer: str = "/kit") -> Kit:
    """The kit in `unit`; numbers are converted by 25.4 exactly, text from the unit that it names.

    pointer: where the kit stands in the document sent. Refuses (Unbuildable) faults that only the
    value of a text or another member shows: rails without an infill, a setback of the wrong sign
    and the like.
    """
    # Every comparison with NaN fails, so a faulty length contradicts no other member.
    lengths = Lengths(document["unit"], unit, stand_in=math.nan)
    kit = Kit(
        id=document["id"],
        title=document["title"],
        unit=unit,
        own_unit=document["unit"],
        mounting=document["mounting"],
        post=_read_post(document["post"], f"{pointer}/post", lengths),
        max_centres={
            infill: lengths.positive(document["max_centres"], infill, f"{pointer}/max_centres")
            for infill in INFILLS
            if infill in document["max_centres"]
        },
        straight_limit=float(document["straight_limit"]),
        square_limit=float(document["square_limit"]),
        swivel_greatest=float(document["swivel"]["greatest"]),
        bottom_gap=lengths.length(document, "bottom_gap", pointer),
        least_bay=lengths.length(document, "least_bay", pointer),
        rails={
            infill: _read_rails(document["rails"][infill], f"{pointer}/rails/{infill}", lengths)
            for infill in INFILLS
            if infill in document["rails"]
        },
        posts_before_glass=document.get("posts_before_glass", False),
        picket=lengths.one(_read_picket, document, "picket", pointer),
        glass=lengths.one(_read_glass, document, "glass", pointer),
        rail_support=lengths.one(_read_support, document, "rail_support", pointer),
        weep=lengths.one(_read_weep, document, "weep", pointer),
        parts={},
        stair_bottom_gap=lengths.length_or_none(document, "stair_bottom_gap", pointer),
        out_of_plumb=lengths.length_or_none(document, "out_of_plumb", pointer),
        handrail=lengths.one(_read_handrail, document, "handrail", pointer),
        gate=lengths.one(_read_gate, document, "gate", pointer),
        pointer=pointer,
        strength=lengths.one(read_strength, document, "strength", pointer),
    )
    kit = read_kit_parts(document, kit, lengths)
    faulty = bool(lengths.problems)
    lengths.problems.extend(check_kit(kit, says_corner="corner" in document["post"]))
    lengths.problems.extend(() if faulty else check_strength(kit))
    lengths.settle()
    return kit


def _read_post(node: Json, pointer: str, lengths: Lengths) -> PostKit:
    base, at = node["base"], f"{pointer}/base"
    return PostKit(
        width=lengths.positive(node, "width", pointer),
        setback=lengths.length(node, "setback", pointer),
        heights=lengths.all_positive(node, "heights", pointer),
        base=Base(
            width=lengths.positive(base, "width", at),
            fixings=int(base["fixings"]),
            fixing_inset=lengths.length(base, "fixing_inset", at),
            fixing_edge_distance=lengths.length(base, "fixing_edge_distance", at),
        ),
        corner=node.get("corner", "bracket"),
    )


def _read_rails(node: Json, pointer: str, lengths: Lengths) -> Rails:
    return Rails(
        top=_read_rail(node["top"], f"{pointer}/top", lengths),
        bottom=_read_rail(node["bottom"], f"{pointer}/bottom", lengths),
    )


def _read_rail(node: Json, pointer: str, lengths: Lengths) -> Rail:
    ends, at = node["end_allowance"], f"{pointer}/end_allowance"
    return Rail(
        depth=lengths.positive(node, "depth", pointer),
        stock=Stock(
            lengths.all_positive(node, "stock", pointer),
            lengths.length(node, "kerf", pointer),
            lengths.length(node, "trim", pointer),
        ),
        end_allowance={
            "socket": lengths.length(ends, "socket", at),
            "swivel": lengths.length(ends, "swivel", at),
            "wall": lengths.length(ends, "wall", at),
            "rake": lengths.length(ends, "rake", at),
        },
    )


def _read_engagement(node: Json, pointer: str, lengths: Lengths) -> Engagement:
    ends, at = node["engagement"], f"{pointer}/engagement"
    return Engagement(lengths.length(ends, "top", at), lengths.length(ends, "bottom", at))


def _read_picket(node: Json, pointer: str, lengths: Lengths) -> PicketKit:
    return PicketKit(
        width=lengths.positive(node, "width", pointer),
        spacing=node["spacing"],
        gap=lengths.positive(node, "gap", pointer),
        engagement=_read_engagement(node, pointer, lengths),
        stock=_read_picket_stock(node, pointer, lengths),
    )


def _read_picket_stock(node: Json, pointer: str, lengths: Lengths) -> Stock | None:
    if "stock" not in node:
        return None
    return Stock(
        lengths.all_positive(node, "stock", pointer),
        lengths.length_or_none(node, "kerf", pointer) or 0.0,
        lengths.length_or_none(node, "trim", pointer) or 0.0,
    )


def _read_glass(node: Json, pointer: str, lengths: Lengths) -> GlassKit:
    block = node["block"]
    return GlassKit(
        panes=lengths.each(_read_pane, node, "panes", pointer),
        side_gap=lengths.length(node, "side_gap", pointer),
        engagement=_read_engagement(node, pointer, lengths),
        top_channel_depth=lengths.positive(node, "top_channel_depth", pointer),
        max_width=lengths.positive(node, "max_width", pointer),
        max_height=lengths.positive(node, "max_height", pointer),
        max_area=lengths.area(node["max_area"]),
        block=Block(
            lengths.length(block, "inset", f"{pointer}/block"),
            lengths.positive(block, "length", f"{pointer}/block"),
        ),
        gasket_strips=int(node["gasket_strips"]) if "gasket_strips" in node else None,
        tolerance=node.get("tolerance", ""),
        edges=node.get("edges", ""),
    )


def _read_pane(node: Json, pointer: str, lengths: Lengths) -> Pane:
    return Pane(
        nominal=lengths.positive(node, "nominal", pointer),
        nominal_mm=float(node["nominal_mm"]),
        minimum=lengths.positive(node, "minimum", pointer),
        type=node["type"],
    )


def _read_support(node: Json, pointer: str, lengths: Lengths) -> RailSupport:
    return RailSupport(
        lengths.positive(node, "max_interval", pointer), lengths.positive(node, "width", pointer)
    )


def _read_weep(node: Json, pointer: str, lengths: Lengths) -> Weep:
    return Weep(
        lengths.positive(node, "diameter", pointer), lengths.positive(node, "max_interval", pointer)
    )


def _read_handrail(node: Json, pointer: str, lengths: Lengths) -> HandrailKit:
    return HandrailKit(
        diameter=lengths.positive(node, "diameter", pointer),
        height=lengths.positive(node, "height", pointer),
        stock=Stock(
            lengths.all_positive(node, "stock", pointer), lengths.length(node, "kerf", pointer)
        ),
        max_bracket_interval=lengths.positive(node, "max_bracket_interval", pointer),
    )


def _read_gate(node: Json, pointer: str, lengths: Lengths) -> GateKit:
    return GateKit(
        hinge_gap=lengths.length(node, "hinge_gap", pointer),
        latch_gap=lengths.length(node, "latch_gap", pointer),
        max_leaf=lengths.positive(node, "max_leaf", pointer),
    )
