"""Wire: flights, gates and blocking of a layout (contract, section 7)."""

from __future__ import annotations

from collections import Counter
from typing import TypeAlias

from service.core.measure import Length, floor_to_mark, nearest_mark
from service.core.records.layout import FlightBuilt, GateBuilt, Handrail, Layout
from service.wire.writing.pen import Json, Pen
from service.wire.writing.railing import write_ends, write_infill

BlockRow: TypeAlias = tuple[Length, tuple[float, ...], str]
"""What equal pieces of blocking share: their length, their end cuts and which way the ends lean."""


def write_flight(pen: Pen, flight: FlightBuilt) -> Json:
    """A flight."""
    written = {
        "id": flight.id,
        "level": flight.level,
        "opening": flight.opening,
        "pitch": pen.angles(flight.pitch),
        "rise": pen.numbers(flight.rise),
        "risers": flight.risers,
        "riser": pen.numbers(flight.riser),
        "going": pen.numbers(flight.going),
        "nosing": pen.numbers(flight.nosing),
        **pen.named("clear_width", flight.clear_width),
        **pen.named("outside_width", flight.outside_width),
        **pen.named("into_width", flight.into_width),
        "guards": list(flight.guards),
        **pen.named("height", flight.height),
        "posts": list(flight.posts),
        "bays": list(flight.bays),
        "handrails": [_handrail(pen, rail) for rail in flight.handrails],
    }
    if flight.triangle is not None:
        written["triangle"] = pen.numbers(flight.triangle)
    if flight.drop is not None:
        written["drop"] = pen.numbers(flight.drop)
    if flight.to_level is not None:
        written["to_level"] = flight.to_level
    return written


def _handrail(pen: Pen, rail: Handrail) -> Json:
    """A handrail. Both its ends have returns."""
    return {
        "side": rail.hand,
        **pen.named("length", floor_to_mark(rail.length, pen.step)),
        **pen.named("height", rail.height),
        **pen.listed("brackets", [nearest_mark(at, pen.step) for at in rail.brackets]),
        "returns": 2,
    }


def write_gate(pen: Pen, gate: GateBuilt) -> Json:
    """A gate and its leaf."""
    written: Json = {
        "opening": gate.place,
        "leaf": {**pen.named("width", gate.width), **pen.named("height", gate.height)},
        "rails": pen.named("cut", gate.width),
        "infill": gate.infill,
        **write_infill(pen, gate),
    }
    posts = {"hinge_post": gate.opening.hinge_post, "latch_post": gate.opening.latch_post}
    written |= {name: post for name, post in posts.items() if post is not None}
    written["opens"] = gate.opening.opens
    if gate.flight is not None:
        written["flight"] = gate.flight
    if gate.hits:
        written["swings_into"] = list(gate.hits)
    return written


def write_blocking(pen: Pen, layout: Layout) -> Json:
    """An object with the member `blocking`: a row for equal pieces, longest first.

    Each ply counts by itself, and a block that several posts share counts once. Empty where no
    level has framing.
    """
    if not any(post.framing for post in layout.posts):
        return {}
    counts: Counter[BlockRow] = Counter()
    under: dict[BlockRow, dict[str, None]] = {}
    for block, posts in layout.blocks():
        ends = write_ends(pen, block)
        cuts, lean = tuple(sorted(ends["end_cuts"])), ends.get("ends_lean", "")
        for length in block.lengths:
            row = floor_to_mark(length, pen.step), cuts, lean
            counts[row] += 1
            under.setdefault(row, {}).update(dict.fromkeys(posts))
    written = [
        {
            **pen.named("length", length),
            "count": counts[length, cuts, lean],
            "end_cuts": list(cuts),
            **({"ends_lean": lean} if lean else {}),
            "posts": list(posts),
        }
        for (length, cuts, lean), posts in sorted(under.items(), reverse=True)
    ]
    return {"blocking": written}
