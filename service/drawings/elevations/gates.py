"""Drawings: the leaf of a gate between what it hangs on and what it shuts against, from outside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.core.measure import Length
from service.core.records.layout import GateBuilt
from service.drawings.dimensions import dimension
from service.drawings.elevations.built import (
    LEVEL,
    RailHeights,
    depth_below,
    draw_infill,
    draw_post,
    draw_setting,
    draw_wall,
    panel_corners,
    rail_heights,
)
from service.drawings.elevations.kinds import Lookup, met_at
from service.drawings.elevations.notes import BLOCKS, fill_words, sentence
from service.drawings.elevations.rows import OFF, fits_turned, labels, row_name, spanned, turned
from service.drawings.elevations.standing import Upright
from service.drawings.elevations.views import Draft, Sketch
from service.drawings.marks import NORMAL, SMALL, Mark, Words, box, line, width_of
from service.drawings.parts import Json
from service.drawings.scales import Scale

AROUND = (40.0, 50.0)
"""In mm on paper, the room beside a gate, and over and under it, to begin with."""
BELOW = 1.6
"""In mm, from the places of pickets to the row under them."""


@dataclass(frozen=True, slots=True)
class Hung:
    """A gate in its opening, with x from the opening's left face.

    said: the reply's record of the gate. low: the leaf's left edge. hinged_left: whether the leaf
    hangs on the left.
    """

    gate: GateBuilt
    said: Json
    low: Length
    hinged_left: bool

    @property
    def high(self) -> Length:
        """The right edge of the leaf."""
        return self.low + self.gate.width


def hang(lookup: Lookup, gate: GateBuilt, said: Json) -> Hung:
    """A gate with its leaf in place, off its hinge side by the kit's gap."""
    kit = lookup.kit.gate
    assert kit is not None
    # From outside, what comes first counter-clockwise is on the left.
    left = gate.swing.at_start
    low = kit.hinge_gap if left else gate.opening.clear_width - kit.hinge_gap - gate.width
    return Hung(gate, said, low, left)


def sketch_gate(lookup: Lookup, hung: Hung, title: str, alike: str) -> Sketch:
    """The view of a gate. alike: a sentence that says which other gates are like it, or ""."""
    kit, opening = lookup.kit, hung.gate.opening
    size = opening.clear_width + 2 * kit.post.width, hung.gate.top + depth_below(kit)

    def draft(scale: Scale) -> Draft:
        marks = (
            *_built(lookup, hung, scale),
            *_over(lookup, hung, scale),
            *_under(lookup, hung, scale),
        )
        return Draft(title, alike, marks, _notes(lookup, hung, scale))

    return Sketch(draft, size, AROUND, lookup.deck.unit)


def leaf_heights(lookup: Lookup, hung: Hung) -> RailHeights:
    """The heights of a leaf's rails; the leaf hangs down from its top."""
    gate = hung.gate
    return rail_heights(lookup.kit, gate.infill, gate.top - gate.height, gate.top)


def _uprights(lookup: Lookup, hung: Hung) -> list[Upright]:
    """The post or wall on each side of the opening."""
    width, clear = lookup.kit.post.width, hung.gate.opening.clear_width
    start, end = hung.gate.opening.start, hung.gate.opening.end
    left = Upright(start, 0, -width / 2, -width, 0.0)
    right = Upright(end, 1, clear + width / 2, clear, clear + width)
    return [
        left if start else Upright(None, 0, 0.0, 0.0, 0.0),
        right if end else Upright(None, 1, clear, clear, clear),
    ]


def _built(lookup: Lookup, hung: Hung, scale: Scale) -> Iterator[Mark]:
    kit, gate, heights = lookup.kit, hung.gate, leaf_heights(lookup, hung)
    uprights = _uprights(lookup, hung)
    over = scale.of_paper(6.0)
    yield line("deck", (uprights[0].low - over, 0.0), (uprights[1].high + over, 0.0))
    for upright, outward in zip(uprights, (-1.0, 1.0), strict=True):
        if upright.id is None:
            yield draw_wall(upright.at, outward, gate.top, scale)
        else:
            yield from draw_post(kit, upright, 0.0, lookup.heights[upright.id], scale)
    yield from draw_infill(gate, hung.low, heights, LEVEL, kit)
    yield box("rail", (hung.low, heights.head), (hung.high, heights.top), filled=True)
    yield box("rail", (hung.low, heights.bottom), (hung.high, heights.sill), filled=True)
    if gate.glass is not None:
        corners = panel_corners(gate.glass, hung.low, heights, LEVEL, kit)
        yield from draw_setting(gate.glass, corners, heights, LEVEL, kit)
        middle = (hung.low + hung.high) / 2, (heights.sill + heights.head) / 2
        yield Words("words", middle, lookup.panels[gate.place]["mark"], NORMAL)
    yield box("gate", (hung.low, heights.bottom), (hung.high, heights.top))
    yield from _swing(hung, heights)


def _swing(hung: Hung, heights: RailHeights) -> Iterator[Mark]:
    """The lines that show which way a leaf swings: they meet at the middle of its hinged edge."""
    hinge, free = (hung.low, hung.high) if hung.hinged_left else (hung.high, hung.low)
    middle = hinge, (heights.bottom + heights.top) / 2
    yield line("gate", (free, heights.top), middle, pattern="chain")
    yield line("gate", (free, heights.bottom), middle, pattern="chain")


def _over(lookup: Lookup, hung: Hung, scale: Scale) -> Iterator[Mark]:
    """Rows over a gate: the width of the leaf and of its rails, and what stands on each side."""
    uprights, paper = _uprights(lookup, hung), scale.of_paper
    top = max([hung.gate.top, *[lookup.heights[each.id] for each in uprights if each.id]])
    width = hung.said["leaf"]["width_text"]
    yield from spanned([((hung.low, top), (hung.high, top), width)], -4.0, scale)
    left = uprights[0].low
    yield row_name("leaf, rails", left, top + paper(3.2), scale)
    sides = ("hinge", "latch") if hung.hinged_left else ("latch", "hinge")
    opening, names = hung.gate.opening, []
    for upright, what, jamb in zip(uprights, sides, opening.ends, strict=True):
        name = upright.id or met_at(lookup, opening.level, jamb)
        names.append((upright.at, f"{name} ({what})"))
    yield from labels(names, top + paper(8.0), SMALL, scale)[0]


def _under(lookup: Lookup, hung: Hung, scale: Scale) -> Iterator[Mark]:
    """The places of pickets, the clear width, and the heights beside the gate."""
    kit, deck, paper = lookup.kit, lookup.deck, scale.of_paper
    left, y = _uprights(lookup, hung)[0].low, -depth_below(kit) - paper(2.5)
    pickets, clear = hung.gate.pickets, hung.gate.opening.clear_width
    if pickets is not None and _roomy(hung, scale):
        texts = hung.said["pickets"].get("centres_text", [])
        places = [hung.low + at for at in pickets.centres]
        yield from turned(list(zip(places, texts, strict=True)), y, scale)
        yield row_name("pickets", left, y - paper(SMALL), scale)
        y -= paper(max((width_of(text, SMALL) for text in texts), default=0.0) + BELOW)
    at, y = y, y - paper(OFF)
    text = deck.tape(clear)
    yield from spanned([((0.0, at), (clear, at), text)], OFF, scale)
    yield row_name("clear", left, y - paper(0.8), scale)
    x, heights = _uprights(lookup, hung)[1].high + paper(8.0), leaf_heights(lookup, hung)
    height = hung.said["leaf"]["height_text"]
    yield from dimension((x, heights.bottom), (x, heights.top), height, 2.5, scale)
    gap = deck.tape(heights.bottom)
    yield from dimension((x, 0.0), (x, heights.bottom), gap, 7.5, scale)


def _roomy(hung: Hung, scale: Scale) -> bool:
    pickets = hung.gate.pickets
    return pickets is None or fits_turned(pickets.centres, scale)


def _notes(lookup: Lookup, hung: Hung, scale: Scale) -> tuple[str, ...]:
    kit, deck, said = lookup.kit.gate, lookup.deck, hung.said
    assert kit is not None
    gap = deck.tape(kit.hinge_gap)
    rest = hung.gate.opening.clear_width - hung.gate.width - kit.hinge_gap
    latch = deck.tape(rest)
    parts = [
        f"opens {said['opens']}",
        f"gap {gap} at the hinge, {latch} at the latch",
        f"rails {said['rails']['cut_text']}",
    ]
    glass = "glass" in said
    panel, places = lookup.panels.get(hung.gate.place), glass or not _roomy(hung, scale)
    parts += fill_words(said, panel, deck, places=places)
    if hung.gate.flight is not None:
        parts.append(f"at the head of flight {hung.gate.flight}")
    if hung.gate.hits:
        parts.append(f"swings into {', '.join(hung.gate.hits)}")
    return (sentence(parts), f"Places from the leaf's left edge{BLOCKS if glass else ''}.")
