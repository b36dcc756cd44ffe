"""Drawings: what is told of a bay in words under its view. The texts are the reply's own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import number_text
from service.core.records.deck import HANDS, Deck
from service.core.records.kit import End, Kit
from service.core.records.layout import Bay
from service.core.records.seen import MeasureSeen
from service.drawings.naming import exact, measured_text, reading
from service.drawings.parts import Json

END_BLOCK: Final = "a block at its low end"
BLOCKS: Final = "; of blocks from the panel's left end"
RAKED_BLOCKS: Final = "; of blocks along the lower edge from the panel's upper end"
"""Added to a note on places in a level bay or a leaf, or in a raked bay, that has a panel."""


HELD: Final[dict[End, str]] = {
    "socket": "in a socket",
    "swivel": "in a swivel bracket",
    "wall": "in a wall bracket",
}
"""What holds the end of a level rail, in words."""


def bay_note(said: Json, panel: Json | None, deck: Deck, measures: str, *, places: bool) -> str:
    """A sentence of what is built into a bay apart from its rails.

    said: the reply's record of the bay. panel: its row of the glass order. measures: its two
    measures in words, where it was measured. places: whether to tell the places of its pickets or
    blocks, as the drawing has no room for them.
    """
    parts = [*fill_words(said, panel, deck, places=places), *_under(said)]
    raked = _raked(said) if "falls" in said else []
    measured = [f"sizes as measured on site, {measures}"] if measures else []
    return f"{said['id']}: {'; '.join([*raked, *parts, *measured])}."


def measures_words(measure: MeasureSeen, reply: Json) -> str:
    """The measures of a bay, face to face along its rails, as they were sent."""
    top, bottom = (measured_text(reply, each) for each in (measure.clear_top, measure.clear_bottom))
    if top == bottom:
        return f"{top} at both rails"
    return f"{top} at the top rail and {bottom} at the bottom rail"


def swivels_note(bays: Sequence[Json]) -> list[str]:
    """Which ends of which bays have a swivel bracket; empty where none has."""
    swivels = []
    for said in bays:
        hands = [h for h, end in zip(HANDS, said["ends"], strict=True) if end == "swivel"]
        if hands:
            swivels.append(f"{said['id']} {' and '.join(hands)}")
    return [f"Swivel brackets: {', '.join(swivels)}."] if swivels else []


def begins_note(bays: Sequence[Bay], kit: Kit, reply: Json) -> str:
    """How far off their left faces the rails of level bays begin, by what holds them there.

    Whoever drills a rail at the bench takes this off the places that are told from that face.
    """
    told = {}
    for bay in bays:
        end, rails = bay.ends[0], kit.rails[bay.infill]
        top, bottom = (exact(reply, rail.end_allowance[end]) for rail in (rails.top, rails.bottom))
        told[end] = f"{HELD[end]}: {top if top == bottom else f'top {top}, bottom {bottom}'}"
    return f"Rails begin off a bay's left face, {'; '.join(told.values())}."


def drilled_note(bays: Sequence[Bay], kit: Kit, reply: Json) -> list[str]:
    """Where the weep holes of raked bays are along their bottom rails; empty where there are none.

    They are told to the nearest mark, from the upper end of either long edge, as a rail lies on the
    bench; the reply has them in plan, from the bay's upper face.
    """
    told = []
    for bay in bays:
        if bay.fill.weep_holes and bay.fill.rake is not None:
            cosine = math.cos(math.radians(bay.fill.rake.pitch))
            start = kit.rails[bay.infill].bottom.end_allowance["rake"]
            at = (reading(reply, place / cosine - start) for place in bay.fill.weep_holes)
            told.append(f"{bay.id} {', '.join(at)}")
    if not told:
        return []
    return [f"Weep holes along the bottom rail, from its upper end: {'; '.join(told)}."]


def fill_words(said: Json, panel: Json | None, deck: Deck, *, places: bool) -> Iterator[str]:
    """The pickets or the panel of a bay or of a gate's leaf, in words."""
    if "pickets" in said:
        yield from _pickets(said["pickets"], deck, places=places)
    if "glass" in said and panel is not None:
        yield from _glass(said["glass"], panel, deck, places=places)


def _pickets(pickets: Json, deck: Deck, *, places: bool) -> Iterator[str]:
    count = pickets["count"]
    if not count:
        yield "no pickets"
        return
    blank = f" from {pickets['blank_text']}" if "blank" in pickets else ""
    yield f"{count} picket{'s' if count > 1 else ''} {pickets['length_text']}{blank}"
    gap = deck.tape(pickets["gap"])
    yield f"gap {gap}, end gaps {pickets['end_gap_text']}"
    if places:
        yield f"centres {', '.join(pickets['centres_text'])}"
    for rail in ("top", "bottom"):
        pieces = [each for each in pickets.get("spacers", ()) if each["rail"] == rail]
        texts = [f"{each['count']} x {each['length_text']}" for each in pieces]
        # Where the end spacers of a rail are not alike, the reply has them last.
        if [each["count"] for each in pieces[-2:]] == [1, 1] and len(pieces) == 1 + (count > 1) + 1:
            texts[-2:] = [f"{text} {hand}" for text, hand in zip(texts[-2:], HANDS, strict=True)]
        if texts:
            yield f"spacers {rail} {', '.join(texts)}"


def _glass(glass: Json, panel: Json, deck: Deck, *, places: bool) -> Iterator[str]:
    yield (
        f"{panel['mark']} {glass['width_text']} x {glass['height_text']}, {made_text(glass)},"
        f" {mass_text(glass['mass'], deck)}"
    )
    if "edge_rise_text" in panel:
        yield f"raked by {panel['edge_rise_text']}, lower edge {panel['lower_edge_text']}"
    yield f"side gaps {deck.tape(glass['side_gap'])}"
    if places:
        yield f"blocks at {', '.join(glass['blocks_text'])} of its lower edge"
    if "end_block_text" in glass:
        yield END_BLOCK


def made_text(glass: Json) -> str:
    """What glass a panel is of, by its thickness as a glass shop names it."""
    return f"{glass['thickness_text']} {glass['type']}"


def mass_text(mass: float, deck: Deck) -> str:
    """A mass to a tenth, as precisely as a person who lifts it needs."""
    return f"{number_text(mass, 1)} {'lb' if deck.unit == 'in' else 'kg'}"


def _under(said: Json) -> Iterator[str]:
    """The places of feet and weep holes, from the bay's first face."""
    for member, one, more in (
        ("rail_supports_text", "foot", "feet"),
        ("weep_holes_text", "weep hole", "weep holes"),
    ):
        places = said.get(member, ())
        if places:
            yield f"{more if len(places) > 1 else one} at {', '.join(places)}"


def _raked(said: Json) -> list[str]:
    """The cuts of a raked bay's rails, and the blanks that they come from."""
    return [
        f"{rail} rail {said[member]['cut_text']} from {said[member]['blank_text']}"
        for rail, member in (("top", "top_rail"), ("bottom", "bottom_rail"))
    ]


def sentence(parts: Sequence[str]) -> str:
    """Parts joined to one sentence; ids in them keep their capitals.

    >>> sentence(["opens in", "swings into P3"])
    'Opens in; swings into P3.'
    """
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."


def angle_words(angle: float) -> str:
    """An angle in degrees, to the hundredth.

    >>> angle_words(32.0054)
    '32.01°'
    """
    return f"{number_text(angle, 2)}°"
