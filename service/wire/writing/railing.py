"""Wire: posts, runs, bays, openings, blocks and cut pieces of a layout (contract, section 7)."""

from __future__ import annotations

from collections.abc import Sequence

from service.core.measure import floor_to_mark, tidy
from service.core.records.blocking import BlockingPiece
from service.core.records.infill import BayFill, Glass, Pickets, Rake
from service.core.records.layout import Bay, GateBuilt, OpeningBuilt, Post, Run
from service.core.records.orders import Piece
from service.core.records.seen import OutlineSeen
from service.wire.writing.pen import AMOUNT, Json, Pen


def write_surveyed(pen: Pen, outline: OutlineSeen) -> Json:
    """An outline that was measured by tape, with the lengths of its sides."""
    sides = enumerate(outline.sides())
    return {
        "level": outline.level,
        "corners": pen.points(outline.corners),
        "sides": [{"edge": i, **pen.named("length", length)} for i, length in sides],
    }


def write_post(pen: Pen, post: Post) -> Json:
    """A post."""
    written = {
        "id": post.id,
        "role": post.role,
        "level": post.level,
        "at": [pen.numbers(post.at[0]), pen.numbers(post.at[1])],
        "turned": pen.angles(post.turned),
        **pen.named("height", post.height),
    }
    if post.stock_height is not None:
        written |= pen.named("stock_height", post.stock_height)
    written["base"] = pen.points(post.base)
    if post.parts:
        written["parts"] = list(post.parts)
    if post.flight is not None:
        written["flight"] = post.flight
    if post.framing is not None:
        written["framing"] = {
            "lands_on": list(post.framing.lands_on),
            "blocking": [write_block(pen, block) for block in post.framing.blocking],
        }
    return written


def write_block(pen: Pen, block: BlockingPiece) -> Json:
    """A piece of blocking, with its lengths floored to the mark."""
    lengths = [floor_to_mark(length, pen.step) for length in block.lengths]
    return {
        "between": list(block.between),
        "at": pen.numbers(block.at),
        **pen.named("length", max(lengths)),
        **(pen.listed("lengths", lengths) if len(set(lengths)) > 1 else {}),
        **write_ends(pen, block),
        "direction": pen.angles(block.direction),
        "plies": block.plies,
    }


def write_ends(pen: Pen, block: BlockingPiece) -> Json:
    """How the two ends of a block are cut and, where neither is square, which way they lean."""
    cuts = [pen.angles(angle) for angle in block.end_cuts]
    if 90 in cuts:
        return {"end_cuts": cuts}
    return {"end_cuts": cuts, "ends_lean": block.lean}


def write_run(pen: Pen, run: Run) -> Json:
    """A run."""
    return {
        "id": run.id,
        "level": run.level,
        "edge": run.edge,
        **({"flight": run.flight} if run.flight is not None else {}),
        "from": run.start,
        "to": run.end,
        **pen.named("length", run.length),
        **pen.listed("marks", run.marks),
    }


def write_bays(pen: Pen, bays: Sequence[Bay]) -> list[Json]:
    """The bays. Most are alike, so the fill that several bays share is written once."""
    # Keyed by id(), as equal bays share one fill, which lives as long as the layout.
    fills: dict[int, Json] = {}
    for bay in bays:
        if id(bay.fill) not in fills:
            fills[id(bay.fill)] = _fill(pen, bay.fill)
    return [
        {
            "id": bay.id,
            "run": bay.run,
            **({"flight": bay.flight} if bay.flight is not None else {}),
            "from": bay.start,
            "to": bay.end,
            "infill": bay.infill,
            **pen.named("height", bay.height),
            "centres": pen.numbers(bay.centres),
            "clear": pen.numbers(bay.clear),
            "measured": bay.measured,
            "ends": list(bay.ends),
            "pitch": 0,
            **fills[id(bay.fill)],
        }
        for bay in bays
    ]


def _fill(pen: Pen, fill: BayFill) -> Json:
    """The fill of a bay: its rails, rail supports, weep holes, and pickets or panel."""
    written: Json = {
        "top_rail": pen.named("cut", fill.top_cut),
        "bottom_rail": pen.named("cut", fill.bottom_cut),
    }
    if pen.kit.rail_support is not None:
        written |= pen.listed("rail_supports", fill.rail_supports)
    if pen.kit.weep is not None:
        written |= pen.listed("weep_holes", fill.weep_holes)
    written |= write_infill(pen, fill)
    if fill.rake is not None:
        _rake(pen, fill.rake, written)
    return written


def _rake(pen: Pen, rake: Rake, written: Json) -> None:
    """Add to the fill of a bay what a raked bay has besides."""
    end_cut = pen.angles(rake.end_cut)
    written["top_rail"] |= pen.rounded_up("blank", rake.top_blank)
    written["bottom_rail"] |= pen.rounded_up("blank", rake.bottom_blank)
    if rake.picket_blank is not None and "pickets" in written:
        written["pickets"] |= {**pen.rounded_up("blank", rake.picket_blank), "end_cut": end_cut}
    if rake.end_block is not None and "glass" in written:
        written["glass"] |= pen.named("end_block", rake.end_block)
    written |= {
        "pitch": pen.angles(rake.pitch),
        "centres_slope": pen.numbers(rake.centres_slope),
        "clear_slope": pen.numbers(rake.clear_slope),
        "end_cut": end_cut,
        "falls": rake.falls,
    }
    if rake.end_block is not None:
        written["parts"] = ["end_block"]


def write_infill(pen: Pen, filled: BayFill | GateBuilt) -> Json:
    """The pickets or the panel of a bay or of a gate's leaf, as the member that it has."""
    if filled.glass is not None:
        return {"glass": _glass(pen, filled.glass)}
    return {} if filled.pickets is None else {"pickets": _pickets(pen, filled.pickets)}


def _pickets(pen: Pen, pickets: Pickets) -> Json:
    """The pickets of a bay."""
    written = {
        "count": pickets.count,
        **pen.named("length", pickets.length),
        "gap": pen.numbers(pickets.gap),
        **pen.named("end_gap", pickets.end_gap),
        **pen.listed("centres", pickets.centres),
    }
    if pickets.spacers:
        written["spacers"] = [
            {"rail": each.rail, **pen.named("length", each.length), "count": each.count}
            for each in pickets.spacers
        ]
    return written


def _glass(pen: Pen, glass: Glass) -> Json:
    """The panel of a bay."""
    return {
        **pen.named("width", glass.width),
        **pen.named("height", glass.height),
        **pen.panes(glass.pane),
        "corners": pen.points(glass.corners),
        "area": tidy(glass.area, AMOUNT),
        "mass": tidy(glass.mass, AMOUNT),
        "side_gap": pen.numbers(glass.side_gap),
        **pen.listed("blocks", glass.blocks),
    }


def write_opening(pen: Pen, opening: OpeningBuilt) -> Json:
    """An opening."""
    written = {
        "opening": opening.place,
        "level": opening.level,
        "edge": opening.edge,
        "use": opening.use,
        "asked_width": pen.numbers(opening.asked),
        **pen.named("clear_width", opening.clear_width),
        "from": opening.start,
        "to": opening.end,
        "hinge_post": opening.hinge_post,
        "latch_post": opening.latch_post,
        "opens": opening.opens,
    }
    # `from` and `to` are null at a wall; other members without a value are left out.
    kept = ("from", "to")
    return {name: value for name, value in written.items() if value is not None or name in kept}


def write_piece(pen: Pen, piece: Piece) -> Json:
    """A row of the cut list."""
    return {
        "part": piece.part,
        **pen.named("length", piece.length),
        "count": piece.count,
        "end_cuts": [pen.angles(angle) for angle in piece.end_cuts],
        **(pen.rounded_up("blank", piece.blank) if piece.blank is not None else {}),
        "bays": list(piece.bays),
    }
