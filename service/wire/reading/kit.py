"""Wire: a kit document that fits its schema, to the record that the method reads."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.core.measure import TOUCH, Length, Unit, convert, plain_length
from service.core.problems import Problem
from service.core.records.deck import INFILLS, Infill
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
from service.wire.reading.kit_parts import read_kit_parts
from service.wire.reading.lengths import Lengths
from service.wire.reading.strength import check_strength, read_strength

Json = dict[str, Any]


def read_kit(document: Json, unit: Unit, pointer: str = "/kit") -> Kit:
    """The kit in `unit`, a number by 25.4 exactly and text by the unit that it names.

    pointer: where the document stands in what was sent. Refuses (Unbuildable) what only the
    value of a text or another member shows: rails without an infill, a setback of the wrong
    sign and the like.
    """
    lengths = Lengths(document["unit"], unit)
    kit = Kit(
        id=document["id"],
        title=document["title"],
        unit=unit,
        mounting=document["mounting"],
        post=_read_post(document["post"], f"{pointer}/post", lengths),
        max_centres={
            infill: lengths.above(document["max_centres"], infill, f"{pointer}/max_centres")
            for infill in INFILLS
            if infill in document["max_centres"]
        },
        straight_limit=float(document["straight_limit"]),
        square_limit=float(document["square_limit"]),
        swivel_greatest=float(document["swivel"]["greatest"]),
        bottom_gap=lengths.least(document, "bottom_gap", pointer),
        least_bay=lengths.least(document, "least_bay", pointer),
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
        stair_bottom_gap=lengths.least_or_none(document, "stair_bottom_gap", pointer),
        out_of_plumb=lengths.least_or_none(document, "out_of_plumb", pointer),
        handrail=_read_handrail(document, pointer, lengths),
        gate=_read_gate(document, pointer, lengths),
        pointer=pointer,
        strength=read_strength(document, pointer, lengths),
        own_unit=document["unit"],
    )
    kit = read_kit_parts(document, kit, lengths)
    lengths.problems.extend(_check_kit(kit, document))
    lengths.problems.extend(check_strength(kit))
    lengths.settle()
    return kit


def _read_post(node: Json, pointer: str, lengths: Lengths) -> PostKit:
    base, at = node["base"], f"{pointer}/base"
    return PostKit(
        width=lengths.above(node, "width", pointer),
        setback=lengths.least(node, "setback", pointer),
        heights=lengths.all_above(node, "heights", pointer),
        base=Base(
            width=lengths.above(base, "width", at),
            fixings=int(base["fixings"]),
            fixing_inset=lengths.least(base, "fixing_inset", at),
            fixing_edge_distance=lengths.least(base, "fixing_edge_distance", at),
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
        depth=lengths.above(node, "depth", pointer),
        stock=lengths.all_above(node, "stock", pointer),
        kerf=lengths.least(node, "kerf", pointer),
        trim=lengths.least(node, "trim", pointer),
        end_allowance={
            "socket": lengths.least(ends, "socket", at),
            "swivel": lengths.least(ends, "swivel", at),
            "wall": lengths.least(ends, "wall", at),
            "rake": lengths.least(ends, "rake", at),
        },
    )


def _read_engagement(node: Json, pointer: str, lengths: Lengths) -> Engagement:
    ends, at = node["engagement"], f"{pointer}/engagement"
    return Engagement(lengths.least(ends, "top", at), lengths.least(ends, "bottom", at))


def _read_picket(document: Json, pointer: str, lengths: Lengths) -> PicketKit | None:
    if "picket" not in document:
        return None
    node, at = document["picket"], f"{pointer}/picket"
    return PicketKit(
        width=lengths.above(node, "width", at),
        spacing=node["spacing"],
        gap=lengths.above(node, "gap", at),
        engagement=_read_engagement(node, at, lengths),
        stock=_read_picket_stock(node, at, lengths),
    )


def _read_picket_stock(node: Json, pointer: str, lengths: Lengths) -> Stock | None:
    if "stock" not in node:
        return None
    return Stock(
        lengths.all_above(node, "stock", pointer),
        lengths.least_or_none(node, "kerf", pointer) or 0.0,
        lengths.least_or_none(node, "trim", pointer) or 0.0,
    )


def _read_glass(document: Json, pointer: str, lengths: Lengths) -> GlassKit | None:
    if "glass" not in document:
        return None
    node, at = document["glass"], f"{pointer}/glass"
    block = node["block"]
    return GlassKit(
        panes=tuple(
            _read_pane(pane, f"{at}/panes/{i}", lengths) for i, pane in enumerate(node["panes"])
        ),
        side_gap=lengths.least(node, "side_gap", at),
        engagement=_read_engagement(node, at, lengths),
        top_channel_depth=lengths.above(node, "top_channel_depth", at),
        max_width=lengths.above(node, "max_width", at),
        max_height=lengths.above(node, "max_height", at),
        max_area=lengths.area(node["max_area"]),
        block=Block(
            lengths.least(block, "inset", f"{at}/block"),
            lengths.above(block, "length", f"{at}/block"),
        ),
        gasket_strips=int(node["gasket_strips"]) if "gasket_strips" in node else None,
        tolerance=node.get("tolerance", ""),
        edges=node.get("edges", ""),
    )


def _read_pane(node: Json, pointer: str, lengths: Lengths) -> Pane:
    return Pane(
        nominal=lengths.above(node, "nominal", pointer),
        nominal_mm=float(node["nominal_mm"]),
        minimum=lengths.above(node, "minimum", pointer),
        type=node["type"],
    )


def _read_support(document: Json, pointer: str, lengths: Lengths) -> RailSupport | None:
    if "rail_support" not in document:
        return None
    node, at = document["rail_support"], f"{pointer}/rail_support"
    return RailSupport(lengths.above(node, "max_interval", at), lengths.above(node, "width", at))


def _read_weep(document: Json, pointer: str, lengths: Lengths) -> Weep | None:
    if "weep" not in document:
        return None
    node, at = document["weep"], f"{pointer}/weep"
    return Weep(lengths.above(node, "diameter", at), lengths.above(node, "max_interval", at))


def _read_handrail(document: Json, pointer: str, lengths: Lengths) -> HandrailKit | None:
    if "handrail" not in document:
        return None
    node, at = document["handrail"], f"{pointer}/handrail"
    return HandrailKit(
        diameter=lengths.above(node, "diameter", at),
        height=lengths.above(node, "height", at),
        stock=lengths.all_above(node, "stock", at),
        kerf=lengths.least(node, "kerf", at),
        max_bracket_interval=lengths.above(node, "max_bracket_interval", at),
    )


def _read_gate(document: Json, pointer: str, lengths: Lengths) -> GateKit | None:
    if "gate" not in document:
        return None
    node, at = document["gate"], f"{pointer}/gate"
    return GateKit(
        hinge_gap=lengths.least(node, "hinge_gap", at),
        latch_gap=lengths.least(node, "latch_gap", at),
        max_leaf=lengths.above(node, "max_leaf", at),
    )


def _check_kit(kit: Kit, document: Json) -> Iterator[Problem]:
    """What one member says of another."""
    inward = kit.mounting == "surface"
    setback = kit.post.setback
    if (setback > 0) != inward or setback == 0:
        wanted = "above 0 (inward)" if inward else "below 0 (outside the deck edge)"
        message = (
            f"A setback of {_own(kit, setback)} is not taken: that of a {kit.mounting} kit has to"
            f" be {wanted}."
        )
        yield Problem(f"{kit.pointer}/post/setback", "setback_of_wrong_sign", message)
    if not inward and "corner" not in document["post"]:
        message = "A fascia kit has to say what it does at an outside corner: bracket or pair."
        yield Problem(f"{kit.pointer}/post/corner", "kit_incomplete", message)
    yield from _check_base(kit)
    for infill in INFILLS:
        yield from _check_infill(kit, infill)
    if kit.picket is not None and kit.picket.gap < kit.picket.width - TOUCH:
        gap, width = kit.picket.gap, kit.picket.width
        message = (
            f"A gap of {_own(kit, gap, width)} is not taken: it has to be at least what a picket is"
            f" wide, {_own(kit, width, gap)}."
        )
        yield Problem(f"{kit.pointer}/picket/gap", "gap_less_than_picket", message)


def _check_base(kit: Kit) -> Iterator[Problem]:
    base, post, at = kit.post.base, kit.post.width, f"{kit.pointer}/post/base"
    if base.width < post - TOUCH:
        message = (
            f"A base of {_own(kit, base.width, post)} is not taken: it has to be at least what the"
            f" post is wide, {_own(kit, post, base.width)}."
        )
        yield Problem(f"{at}/width", "base_less_than_post", message)
    half = base.width / 2
    if base.fixing_inset >= half - TOUCH:
        inset = base.fixing_inset
        message = (
            f"Fixings {_own(kit, inset, half)} in from the base's edges would meet or cross in its"
            f" middle; it has to be less than half the base, {_own(kit, half, inset)}."
        )
        yield Problem(f"{at}/fixing_inset", "fixings_past_the_middle", message)


def _own(kit: Kit, length: Length, beside: Length = 0.0) -> str:
    """A length of the kit in the unit of its document."""
    own = kit.own_unit or kit.unit
    return plain_length(convert(length, kit.unit, own), own, convert(beside, kit.unit, own))


def _check_infill(kit: Kit, infill: Infill) -> Iterator[Problem]:
    """An infill has its rails, its figures and its greatest spacing, or none of the three."""
    figures: PicketKit | GlassKit | None = kit.picket if infill == "picket" else kit.glass
    has = {
        f"/rails/{infill}": infill in kit.rails,
        f"/{infill}": figures is not None,
        f"/max_centres/{infill}": infill in kit.max_centres,
    }
    if any(has.values()):
        given = " and ".join(path[1:] for path, there in has.items() if there)
        for path, there in has.items():
            if not there:
                message = f"The kit has {given} but no {path[1:]}; give all three or none."
                yield Problem(kit.pointer + path, "kit_incomplete", message)
