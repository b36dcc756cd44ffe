"""Drawings: how each layer looks on paper, in one table for every writer that has ink."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.drawings.marks import Layer, Pattern

INK: Final = "#1b2126"
GREY: Final = "#68727a"
PAPER: Final = "#ffffff"
CAPITAL: Final = 0.72
"""Height of a capital as a share of the font's size."""
DASHES: Final[dict[Pattern, tuple[float, ...]]] = {
    "full": (),
    "dashed": (2.0, 1.0),
    "chain": (5.0, 1.0, 1.0, 1.0),
}
"""Lengths in mm on paper of a line's dashes and gaps, in turn."""


@dataclass(frozen=True, slots=True)
class Look:
    """The look of a layer.

    stroke, disc, words: the colours of lines, discs and text; fill: the colour of filled shapes,
    empty where they are not filled. width: of lines, in mm on paper. covers: how opaque a fill is,
    from 0 to 1.
    """

    stroke: str = INK
    width: float = 0.25
    fill: str = ""
    disc: str = INK
    words: str = INK
    covers: float = 1.0


LOOKS: Final[dict[Layer, Look]] = {
    "deck": Look(width=0.5, fill="#f6f3ec"),
    "wall": Look(width=0.35, fill="#c8ced3"),
    "joist": Look("#a98f5d", 0.15),
    "base": Look(GREY, fill=PAPER),
    "post": Look(fill="#39444d"),
    "rail": Look(fill="#dfe4e8"),
    "picket": Look(width=0.15, fill="#eef1f3"),
    "glass": Look("#3d7488", fill="#e3eff2"),
    "block": Look("#8a4b1f", 0.15, "#e2b48f", disc="#8a4b1f"),
    "stair": Look(fill="#f6f3ec"),
    "handrail": Look("#5b3f8c", 0.4),
    "gate": Look("#8c2f5b", fill="#f6e7ef"),
    "dimension": Look(GREY, 0.13, disc=GREY, words="#323b42"),
    "words": Look(fill=PAPER),
    "paper": Look(width=0.35),
    "veil": Look(PAPER, 0.0, PAPER, covers=0.75),
}
