"""Wire: the cautions of a reply, in plain words for the person who builds from it (`cautions`)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.records.code import Code
from service.core.records.figures import WIDER_OCCUPANCY
from service.core.records.kit import Kit
from service.core.records.layout import Layout

ALWAYS: Final = (
    "This layout is preliminary: it is worked out from the figures given and says nothing of what "
    "was not given. Check every measure on site before anything is cut.",
    "The local building authority decides what may be built; where the work needs a licensed "
    "professional, that person's word holds, and so do the maker's instructions.",
    "Falls kill. Keep everyone back from an open edge, or tied off, until its railing is fixed.",
)
GLASS: Final = (
    "Glass is heavy and its edges are sharp: lift panels with enough hands and suckers, wear "
    "gloves and eye protection, and never let glass rest on metal."
)
MEASURE_AGAIN: Final = (
    "Measure again after the posts stand, and before glass is ordered: a tempered panel cannot be "
    "cut."
)
STRENGTH: Final = (
    "The strength findings are a preliminary check, not engineering, and wind is not among their "
    "loads: whoever is licensed to works out the rest. Hand that person this layout, its loads, "
    "the alloys, sections and welds, the fixings, and the timber that they go into with what ties "
    "it to the frame."
)
TREATED_TIMBER: Final = (
    "Treated timber eats aluminium: keep bases off it with isolating pads and sleeves round their "
    "fixings, which are hot-dip galvanised or stainless, all as the maker's instructions say."
)
RAKED_GLASS: Final = (
    "A raked panel slides: fix an end block at its low end before it is let down, and let no panel "
    "stand on its setting blocks alone."
)


USES: Final = {
    "dwelling": "one dwelling's deck",
    "shared": "a shared deck",
    "house": "the deck of one dwelling in a house of no more than two",
    "shared_by_two": "a deck that two dwellings share and nobody else",
}
"""Words for a deck of each occupancy."""
OTHER: Final = {("dwelling",): "shared", ("shared",): "dwelling"}
"""The occupancy that a code is read for where none is given, by the occupancies for which the code
has figures of their own."""


_BUT: Final = {
    "house": ", not that of a house of no more than two",
    "shared_by_two": ", not one that two dwellings share and nobody else",
}
"""Words for a narrower occupancy that the code was not read for, though it has figures for it."""
SHARED: Final = (
    "The deck is said to be shared; the code has no heights or openings of its own for that: see "
    "that it is the code for it."
)


def cautions(kit: Kit, layout: Layout, code: Code | None) -> list[str]:
    """The cautions of a reply, in order.

    They are those of every job; the occupancy that the code was read for, where its figures depend
    on it; treated timber, where there are posts; glass, where there is any; and strength, where the
    kit gives it.
    """
    said = [*ALWAYS, *_read_for(code)]
    if layout.posts:
        said.append(TREATED_TIMBER)
    if layout.glass_order:
        said.append(GLASS)
        if any(bay.fill.glass is not None and bay.fill.rake is not None for bay in layout.bays):
            said.append(RAKED_GLASS)
        if kit.posts_before_glass and not all(panel.measured for panel in layout.glass_order):
            said.append(MEASURE_AGAIN)
    if kit.strength is not None:
        said.append(STRENGTH)
    return said


def _read_for(code: Code | None) -> Iterator[str]:
    """Cautions that say which occupancy the code was read for, where its figures depend on it.

    First SHARED, where the deck is said to be shared and the code has no heights or openings of its
    own for that.

    >>> list(_read_for(Code("town", "Town", "1", {}, told_apart=("shared",))))
    ["No occupancy is given: the code was read for one dwelling's deck, not a shared deck."]
    >>> list(_read_for(Code("town", "Town", "1", {}, "shared", ("shared",), ("shared",))))
    ['By the occupancy that is given, the code was read for a shared deck.']
    >>> list(_read_for(Code("town", "Town", "1", {}, "dwelling", ("dwelling", "house"))))[0][50:]
    "for one dwelling's deck, not that of a house of no more than two."
    """
    if code is None:
        return
    if (
        "shared" in (code.occupancy, WIDER_OCCUPANCY.get(code.occupancy or ""))
        and not code.sized_apart
    ):
        yield SHARED
    if not code.told_apart:
        return
    if code.occupancy is not None:
        yield f"By the occupancy that is given, the code was read for {_use(code, code.occupancy)}."
        return
    told = tuple(dict.fromkeys(WIDER_OCCUPANCY.get(word, word) for word in code.told_apart))
    if told not in OTHER:
        yield "No occupancy is given: the code was read without its figures for either."
        return
    taken, left = USES[OTHER[told]], USES[told[0]]
    yield f"No occupancy is given: the code was read for {taken}, not {left}."


def _use(code: Code, occupancy: str) -> str:
    """Words for the occupancy that the code was read for, in as much detail as the code has."""
    if occupancy not in code.told_apart:
        return USES[WIDER_OCCUPANCY.get(occupancy, occupancy)]
    apart = [
        word
        for word, also in WIDER_OCCUPANCY.items()
        if also == occupancy and word in code.told_apart
    ]
    return USES[occupancy] + "".join(_BUT[word] for word in apart)
