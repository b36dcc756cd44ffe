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
from service.wire.reading.lengths import Json, Lengths, Node
from service.wire.reading.strength import read_strength


def read_kit(document: Json, unit: Unit, pointer: str = "/kit") -> Kit:
    """The kit in `unit`; numbers are converted by 25.4 exactly, text from the unit that it names.

    pointer: where the kit stands in the document sent. Refuses (Unbuildable) faults that only the
    value of a text or another member shows: rails without an infill, a setback of the wrong sign
    and the like.
    """
    # Every comparison with NaN fails, so a faulty length contradicts no other member.
    lengths = Lengths(document["unit"], unit, stand_in=math.nan)
    root = Node(document, pointer, lengths)
    centres, rails = root.at("max_centres"), root.at("rails")
    kit = Kit(
        id=document["id"],
        title=document["title"],
        unit=unit,
        own_unit=document["unit"],
        mounting=document["mounting"],
        post=_read_post(root.at("post")),
        max_centres={
            infill: centres.positive(infill) for infill in INFILLS if infill in centres.sent
        },
        straight_limit=float(document["straight_limit"]),
        square_limit=float(document["square_limit"]),
        swivel_greatest=float(document["swivel"]["greatest"]),
        bottom_gap=root.length("bottom_gap"),
        least_bay=root.length("least_bay"),
        rails={infill: _read_rails(rails.at(infill)) for infill in INFILLS if infill in rails.sent},
        posts_before_glass=document.get("posts_before_glass", False),
        picket=root.one(_read_picket, "picket"),
        glass=root.one(_read_glass, "glass"),
        rail_support=root.one(_read_support, "rail_support"),
        weep=root.one(_read_weep, "weep"),
        parts={},
        stair_bottom_gap=root.length_or_none("stair_bottom_gap"),
        out_of_plumb=root.length_or_none("out_of_plumb"),
        handrail=root.one(_read_handrail, "handrail"),
        gate=root.one(_read_gate, "gate"),
        pointer=pointer,
        strength=root.one(read_strength, "strength"),
    )
    kit = read_kit_parts(document, kit, lengths)
    faulty = bool(lengths.problems)
    lengths.problems.extend(check_kit(kit, says_corner="corner" in document["post"]))
    lengths.problems.extend(() if faulty else check_strength(kit))
    lengths.settle()
    return kit


def _read_post(node: Node) -> PostKit:
    base = node.at("base")
    return PostKit(
        width=node.positive("width"),
        setback=node.length("setback"),
        heights=node.all_positive("heights"),
        base=Base(
            width=base.positive("width"),
            fixings=int(base.sent["fixings"]),
            fixing_inset=base.length("fixing_inset"),
            fixing_edge_distance=base.length("fixing_edge_distance"),
        ),
        corner=node.sent.get("corner", "bracket"),
    )


def _read_rails(node: Node) -> Rails:
    return Rails(top=_read_rail(node.at("top")), bottom=_read_rail(node.at("bottom")))


def _read_rail(node: Node) -> Rail:
    ends = node.at("end_allowance")
    return Rail(
        depth=node.positive("depth"),
        stock=_read_stock(node),
        end_allowance={
            "socket": ends.length("socket"),
            "swivel": ends.length("swivel"),
            "wall": ends.length("wall"),
            "rake": ends.length("rake"),
        },
    )


def _read_engagement(node: Node) -> Engagement:
    ends = node.at("engagement")
    return Engagement(ends.length("top"), ends.length("bottom"))


def _read_picket(node: Node) -> PicketKit:
    return PicketKit(
        width=node.positive("width"),
        spacing=node.sent["spacing"],
        gap=node.positive("gap"),
        engagement=_read_engagement(node),
        stock=_read_stock(node) if "stock" in node.sent else None,
    )


def _read_stock(node: Node) -> Stock:
    """The sticks of a rail, of pickets or of a handrail, as far as their form has kerf and trim."""
    return Stock(
        node.all_positive("stock"),
        node.length_or_none("kerf") or 0.0,
        node.length_or_none("trim") or 0.0,
    )


def _read_glass(node: Node) -> GlassKit:
    block = node.at("block")
    return GlassKit(
        panes=node.each(_read_pane, "panes"),
        side_gap=node.length("side_gap"),
        engagement=_read_engagement(node),
        top_channel_depth=node.positive("top_channel_depth"),
        max_width=node.positive("max_width"),
        max_height=node.positive("max_height"),
        max_area=node.lengths.area(node.sent["max_area"]),
        block=Block(block.length("inset"), block.positive("length")),
        gasket_strips=int(node.sent["gasket_strips"]) if "gasket_strips" in node.sent else None,
        tolerance=node.sent.get("tolerance", ""),
        edges=node.sent.get("edges", ""),
    )


def _read_pane(node: Node) -> Pane:
    return Pane(
        nominal=node.positive("nominal"),
        nominal_mm=float(node.sent["nominal_mm"]),
        minimum=node.positive("minimum"),
        type=node.sent["type"],
    )


def _read_support(node: Node) -> RailSupport:
    return RailSupport(node.positive("max_interval"), node.positive("width"))


def _read_weep(node: Node) -> Weep:
    return Weep(node.positive("diameter"), node.positive("max_interval"))


def _read_handrail(node: Node) -> HandrailKit:
    return HandrailKit(
        diameter=node.positive("diameter"),
        height=node.positive("height"),
        stock=_read_stock(node),
        max_bracket_interval=node.positive("max_bracket_interval"),
    )


def _read_gate(node: Node) -> GateKit:
    return GateKit(
        hinge_gap=node.length("hinge_gap"),
        latch_gap=node.length("latch_gap"),
        max_leaf=node.positive("max_leaf"),
    )
