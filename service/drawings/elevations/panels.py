"""Drawings: what is written on panels, and raked panels by themselves, as a glass shop cuts
them."""

from __future__ import annotations

from collections.abc import Iterator

from service.drawings.boxes import extent_of
from service.drawings.dimensions import dimension
from service.drawings.elevations.built import Pitch, RailHeights, draw_setting
from service.drawings.elevations.kinds import Lookup
from service.drawings.elevations.notes import END_BLOCK, made_text, mass_text
from service.drawings.elevations.standing import Spot
from service.drawings.elevations.views import Draft, Sketch
from service.drawings.marks import NORMAL, SMALL, Mark, Stroke, Words, width_of
from service.drawings.parts import Json
from service.drawings.scales import Scale

AROUND = (30.0, 40.0)
"""In mm on paper, the room beside a panel, and over and under it, to begin with."""
PLUMB_LINE = 5 / 6
"""Where along a raked bay with a panel the line of a height stands, as a share of the bay.

There it is clear of what is written on the panel.
"""
CLEAR = 1.8
"""In mm, from the place of a height to words on the panel."""
WIDE = 68.0
"""In mm on paper, the least width of a panel's title and notes."""


def panel_words(
    lookup: Lookup, spot: Spot, heights: RailHeights, pitch: Pitch, scale: Scale
) -> Iterator[Words]:
    """The mark, size and mass of a panel, written on it as far as they fit.

    A size too long for one line takes two. On a raked panel the words keep to the side of the plumb
    line of a height.
    """
    glass, panel = spot.said["glass"], lookup.panels[spot.bay.id]
    x, y = pitch.at(spot.middle, (heights.sill + heights.head) / 2)
    wide, high = glass["width_text"], glass["height_text"]
    room = glass["width"] * scale.per_unit - 1.0
    if pitch.tangent:
        off = (PLUMB_LINE - 0.5) * (spot.end - spot.start) * scale.per_unit
        room = min(room, 2 * (off - CLEAR))
    size = [f"{wide} x {high}"]
    if width_of(size[0], SMALL) > room:
        size = [f"{wide} x", high]
    texts = [panel["mark"], *size, mass_text(glass["mass"], lookup.deck)]
    fitting = [text for text in texts if width_of(text, SMALL) <= room]
    if len(fitting) < len(texts):
        fitting = [text for text in fitting if text not in size]
    for i, text in enumerate(fitting):
        height = NORMAL if i == 0 else SMALL
        yield Words("words", (x, y + scale.of_paper(2.0 - 3.0 * i)), text, height)


def sketch_panel(lookup: Lookup, spot: Spot, pitch: Pitch) -> Sketch:
    """The panel of a raked bay by itself, with its rise and its lower edge."""
    glass, panel = spot.bay.fill.glass, lookup.panels[spot.bay.id]
    assert glass is not None
    xs, ys = zip(*glass.corners, strict=True)
    size = max(xs) - min(xs), max(ys) - min(ys)

    def draft(scale: Scale) -> Draft:
        marks = tuple(_marks(lookup, spot, pitch, panel, scale))
        title = f"{panel['mark']} of {spot.bay.id}, from outside"
        return Draft(title, "", marks, _notes(lookup, spot, panel), least_width=WIDE)

    return Sketch(draft, size, AROUND, lookup.deck.unit)


def _marks(lookup: Lookup, spot: Spot, pitch: Pitch, panel: Json, scale: Scale) -> Iterator[Mark]:
    glass = spot.bay.fill.glass
    assert glass is not None
    assert lookup.kit.glass is not None
    corners = glass.corners
    yield Stroke("glass", corners, closed=True, filled=True)
    # Blocks are as thick as the panel reaches into its rail, since no rail is drawn for them to lie
    # in.
    into = lookup.kit.glass.engagement.bottom / pitch.cosine
    heights = RailHeights(0.0, 3 * into, 0.0, 0.0)
    yield from draw_setting(glass, corners, heights, pitch, lookup.kit)
    (a, b, c, d), (low, _) = corners, extent_of([Stroke("glass", corners)], scale)
    yield from dimension(d, a, panel["height_text"], 3.0, scale)
    # Where the right corner is the upper one, the line of the lower edge ends beside it.
    low_right, high_right = (b[0], min(a[1], b[1])), (b[0], max(a[1], b[1]))
    off = 3.0 if pitch.sense > 0 else 7.5
    yield from dimension(low_right, high_right, panel["edge_rise_text"], off, scale)
    yield from dimension(a, b, panel["lower_edge_text"], 4.0, scale)
    yield from dimension((a[0], low[1]), (b[0], low[1]), panel["width_text"], 10.0, scale)
    middle = (a[0] + c[0]) / 2, (a[1] + c[1]) / 2
    yield Words("words", middle, panel["mark"], NORMAL)


def _notes(lookup: Lookup, spot: Spot, panel: Json) -> tuple[str]:
    glass = spot.said["glass"]
    parts = [
        f"{panel['count']} of {made_text(glass)}, {mass_text(glass['mass'], lookup.deck)}",
        f"blocks at {', '.join(glass['blocks_text'])} of the lower edge from its upper end",
        *([END_BLOCK] if "end_block_text" in glass else []),
    ]
    return (f"{'; '.join(parts)}.",)
