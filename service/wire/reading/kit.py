"""Wire: a kit document that fits its schema, read into the record that core takes (`read_kit`)."""

from __future__ import annotations

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
    lengths = Lengths(document["unit"], unit)
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
        picket=_read_picket(document, pointer, lengths),
        glass=_read_glass(document, pointer, lengths),
        rail_support=_read_support(document, pointer, lengths),
        weep=_read_weep(document, pointer, lengths),
        parts={},
        stair_bottom_gap=lengths.length_or_none(document, "stair_bottom_gap", pointer),
        out_of_plumb=lengths.length_or_none(document, "out_of_plumb", pointer),
        handrail=_read_handrail(document, pointer, lengths),
        gate=_read_gate(document, pointer, lengths),
        pointer=pointer,
        strength=read_strength(document, pointer, lengths),
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


def _read_picket(document: Json, pointer: str, lengths: Lengths) -> PicketKit | None:
    if "picket" not in document:
        return None
    node, at = document["picket"], f"{pointer}/picket"
    return PicketKit(
        width=lengths.positive(node, "width", at),
        spacing=node["spacing"],
        gap=lengths.positive(node, "gap", at),
        engagement=_read_engagement(node, at, lengths),
        stock=_read_picket_stock(node, at, lengths),
    )


def _read_picket_stock(node: Json, pointer: str, lengths: Lengths) -> Stock | None:
    if "stock" not in node:
        return None
    return Stock(
        lengths.all_positive(node, "stock", pointer),
        lengths.length_or_none(node, "kerf", pointer) or 0.0,
        lengths.length_or_none(node, "trim", pointer) or 0.0,
    )


def _read_glass(document: Json, pointer: str, lengths: Lengths) -> GlassKit | None:
    if "glass" not in document:
        return None
    node, at = document["glass"], f"{pointer}/glass"
    block = node["block"]
    return GlassKit(
        panes=lengths.each(_read_pane, node, "panes", at),
        side_gap=lengths.length(node, "side_gap", at),
        engagement=_read_engagement(node, at, lengths),
        top_channel_depth=lengths.positive(node, "top_channel_depth", at),
        max_width=lengths.positive(node, "max_width", at),
        max_height=lengths.positive(node, "max_height", at),
        max_area=lengths.area(node["max_area"]),
        block=Block(
            lengths.length(block, "inset", f"{at}/block"),
            lengths.positive(block, "length", f"{at}/block"),
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


def _read_support(document: Json, pointer: str, lengths: Lengths) -> RailSupport | None:
    if "rail_support" not in document:
        return None
    node, at = document["rail_support"], f"{pointer}/rail_support"
    return RailSupport(
        lengths.positive(node, "max_interval", at), lengths.positive(node, "width", at)
    )


def _read_weep(document: Json, pointer: str, lengths: Lengths) -> Weep | None:
    if "weep" not in document:
        return None
    node, at = document["weep"], f"{pointer}/weep"
    return Weep(lengths.positive(node, "diameter", at), lengths.positive(node, "max_interval", at))


def _read_handrail(document: Json, pointer: str, lengths: Lengths) -> HandrailKit | None:
    if "handrail" not in document:
        return None
    node, at = document["handrail"], f"{pointer}/handrail"
    return HandrailKit(
        diameter=lengths.positive(node, "diameter", at),
        height=lengths.positive(node, "height", at),
        stock=Stock(lengths.all_positive(node, "stock", at), lengths.length(node, "kerf", at)),
        max_bracket_interval=lengths.positive(node, "max_bracket_interval", at),
    )


def _read_gate(document: Json, pointer: str, lengths: Lengths) -> GateKit | None:
    if "gate" not in document:
        return None
    node, at = document["gate"], f"{pointer}/gate"
    return GateKit(
        hinge_gap=lengths.length(node, "hinge_gap", at),
        latch_gap=lengths.length(node, "latch_gap", at),
        max_leaf=lengths.positive(node, "max_leaf", at),
    )
