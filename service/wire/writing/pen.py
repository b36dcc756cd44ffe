"""Wire: the records of a layout as plain dictionaries, in the contract's order (section 7).

The main entry is `Pen`. Most bays and numbers of a deck are alike, so the fill that several bays
share is written once, and numbers and tape readings are kept once made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, partial
from typing import Any, Final

from service.core.measure import (
    DECIMALS,
    TOUCH,
    Length,
    Point,
    ceil_to_mark,
    floor_to_mark,
    nearest_mark,
    tape_text,
    tidy,
)
from service.core.records.blocking import BlockingPiece
from service.core.records.deck import Deck
from service.core.records.infill import BayFill, Glass, Pickets, Rake
from service.core.records.kit import Kit
from service.core.records.layout import Bay, GateBuilt, OpeningBuilt, Post, Run
from service.core.records.orders import Piece
from service.core.records.seen import OutlineSeen
from service.rules.words import shop_text

Json = dict[str, Any]
ANGLE: Final = 4
"""Decimals of degrees."""
AMOUNT: Final = 3
"""Decimals of areas and masses."""


def tidy_keeping_marks(value: Length, step: Length, decimals: int) -> float | int:
    """A number rounded to `decimals`, but in full where it lies on a mark of `step`.

    For documents whose marks need more decimals than other numbers are written with.

    >>> tidy_keeping_marks(41.28125, 0.03125, 4), tidy_keeping_marks(41.2812507, 0.03125, 4)
    (41.28125, 41.28125)
    >>> tidy_keeping_marks(1.234567, 0.015625, 4)
    1.2346
    """
    mark = nearest_mark(value, step)
    return tidy(mark, 6) if abs(mark - value) <= TOUCH else tidy(value, decimals)


class Pen:
    """Writes the records of one layout."""

    def __init__(self, deck: Deck, kit: Kit) -> None:
        decimals = DECIMALS[deck.unit]
        self.deck, self.kit = deck, kit
        self.step = deck.step
        self.numbers = cache(partial(tidy, decimals=decimals))
        if tidy(deck.step, decimals) != deck.step:
            self.numbers = cache(partial(tidy_keeping_marks, step=deck.step, decimals=decimals))
        self.angles = cache(partial(tidy, decimals=ANGLE))
        self.texts = cache(partial(tape_text, unit=deck.unit, step=deck.step))
        self.panes = cache(self._pane)
        # Keyed by id(), as equal bays share one fill, which lives as long as the layout.
        self._fills: dict[int, Json] = {}

    def named(self, name: str, value: Length) -> Json:
        """A length that a person works to, with its tape reading."""
        return {name: self.numbers(value), f"{name}_text": self.texts(value)}

    def rounded_up(self, name: str, value: Length) -> Json:
        """A length that a piece is cut from, with its tape reading, rounded up to a mark.

        The number is rounded as it is written first, so that one on a mark reads as that mark.
        """
        number = self.numbers(value)
        return {name: number, f"{name}_text": self.texts(ceil_to_mark(number, self.step))}

    def listed(self, name: str, values: Sequence[Length]) -> Json:
        """A list of lengths that a person works to, with their tape readings."""
        return {name: [*map(self.numbers, values)], f"{name}_text": [*map(self.texts, values)]}

    def points(self, points: Iterable[Point]) -> list[list[float]]:
        """Points in plan, or corners of a panel."""
        numbers = self.numbers
        return [[numbers(x), numbers(y)] for x, y in points]

    def surveyed(self, outline: OutlineSeen) -> Json:
        """An outline that was measured by tape, with the lengths of its sides."""
        sides = enumerate(outline.sides())
        return {
            "level": outline.level,
            "corners": self.points(outline.corners),
            "sides": [{"edge": i, **self.named("length", length)} for i, length in sides],
        }

    def post(self, post: Post) -> Json:
        """A post."""
        written = {
            "id": post.id,
            "role": post.role,
            "level": post.level,
            "at": [self.numbers(post.at[0]), self.numbers(post.at[1])],
            "turned": self.angles(post.turned),
            **self.named("height", post.height),
        }
        if post.stock_height is not None:
            written |= self.named("stock_height", post.stock_height)
        written["base"] = self.points(post.base)
        if post.parts:
            written["parts"] = list(post.parts)
        if post.flight is not None:
            written["flight"] = post.flight
        if post.framing is not None:
            written["framing"] = {
                "lands_on": list(post.framing.lands_on),
                "blocking": [self.block(block) for block in post.framing.blocking],
            }
        return written

    def block(self, block: BlockingPiece) -> Json:
        """A piece of blocking, with its lengths floored to the mark."""
        lengths = [floor_to_mark(length, self.step) for length in block.lengths]
        return {
            "between": list(block.between),
            "at": self.numbers(block.at),
            **self.named("length", max(lengths)),
            **(self.listed("lengths", lengths) if len(set(lengths)) > 1 else {}),
            **self.ends(block),
            "direction": self.angles(block.direction),
            "plies": block.plies,
        }

    def ends(self, block: BlockingPiece) -> Json:
        """How the two ends of a block are cut and, where neither is square, which way they lean."""
        cuts = [self.angles(angle) for angle in block.end_cuts]
        if 90 in cuts:
            return {"end_cuts": cuts}
        return {"end_cuts": cuts, "ends_lean": block.lean}

    def run(self, run: Run) -> Json:
        """A run."""
        return {
            "id": run.id,
            "level": run.level,
            "edge": run.edge,
            **({"flight": run.flight} if run.flight is not None else {}),
            "from": run.start,
            "to": run.end,
            **self.named("length", run.length),
            **self.listed("marks", run.marks),
        }

    def bay(self, bay: Bay) -> Json:
        """A bay."""
        filled = self._fills.get(id(bay.fill))
        if filled is None:
            filled = self._fills[id(bay.fill)] = self.fill(bay.fill)
        return {
            "id": bay.id,
            "run": bay.run,
            **({"flight": bay.flight} if bay.flight is not None else {}),
            "from": bay.start,
            "to": bay.end,
            "infill": bay.infill,
            **self.named("height", bay.height),
            "centres": self.numbers(bay.centres),
            "clear": self.numbers(bay.clear),
            "measured": bay.measured,
            "ends": list(bay.ends),
            "pitch": 0,
            **filled,
        }

    def fill(self, fill: BayFill) -> Json:
        """The fill of a bay: its rails, rail supports, weep holes, and pickets or panel."""
        written: Json = {
            "top_rail": self.named("cut", fill.top_cut),
            "bottom_rail": self.named("cut", fill.bottom_cut),
        }
        if self.kit.rail_support is not None:
            written |= self.listed("rail_supports", fill.rail_supports)
        if self.kit.weep is not None:
            written |= self.listed("weep_holes", fill.weep_holes)
        written |= self.infill(fill)
        if fill.rake is not None:
            self.rake(fill.rake, written)
            written |= self.slope(fill.rake)
            if fill.rake.end_block is not None:
                written["parts"] = ["end_block"]
        return written

    def slope(self, rake: Rake) -> Json:
        """The members of a raked bay that are measured along its slope."""
        return {
            "pitch": self.angles(rake.pitch),
            "centres_slope": self.numbers(rake.centres_slope),
            "clear_slope": self.numbers(rake.clear_slope),
            "end_cut": self.angles(rake.end_cut),
            "falls": rake.falls,
        }

    def rake(self, rake: Rake, written: Json) -> None:
        """Add to `written`, the fill of a raked bay, the members that a level bay does not have."""
        end_cut = self.angles(rake.end_cut)
        written["top_rail"] |= self.rounded_up("blank", rake.top_blank)
        written["bottom_rail"] |= self.rounded_up("blank", rake.bottom_blank)
        if rake.picket_blank is not None and "pickets" in written:
            written["pickets"] |= {
                **self.rounded_up("blank", rake.picket_blank),
                "end_cut": end_cut,
            }
        if rake.end_block is not None and "glass" in written:
            written["glass"] |= self.named("end_block", rake.end_block)

    def infill(self, filled: BayFill | GateBuilt) -> Json:
        """The pickets or the panel of a bay or of a gate's leaf, as the member that it has."""
        if filled.glass is not None:
            return {"glass": self._glass(filled.glass)}
        return {} if filled.pickets is None else {"pickets": self._pickets(filled.pickets)}

    def _pickets(self, pickets: Pickets) -> Json:
        """The pickets of a bay."""
        written = {
            "count": pickets.count,
            **self.named("length", pickets.length),
            "gap": self.numbers(pickets.gap),
            **self.named("end_gap", pickets.end_gap),
            **self.listed("centres", pickets.centres),
        }
        if pickets.spacers:
            written["spacers"] = [
                {"rail": each.rail, **self.named("length", each.length), "count": each.count}
                for each in pickets.spacers
            ]
        return written

    def _glass(self, glass: Glass) -> Json:
        """The panel of a bay."""
        return {
            **self.named("width", glass.width),
            **self.named("height", glass.height),
            **self.panes(glass.pane),
            "corners": self.points(glass.corners),
            "area": tidy(glass.area, AMOUNT),
            "mass": tidy(glass.mass, AMOUNT),
            "side_gap": self.numbers(glass.side_gap),
            **self.listed("blocks", glass.blocks),
        }

    def _pane(self, pane: int) -> Json:
        """Thickness and type of a pane, by its number in the kit's list."""
        assert self.kit.glass is not None
        found = self.kit.glass.panes[pane]
        return {
            "thickness": self.numbers(found.nominal),
            "thickness_text": shop_text(found, self.kit.unit),
            "type": found.type,
        }

    def opening(self, opening: OpeningBuilt) -> Json:
        """An opening."""
        written = {
            "opening": opening.place,
            "level": opening.level,
            "edge": opening.edge,
            "use": opening.use,
            "asked_width": self.numbers(opening.asked),
            **self.named("clear_width", opening.clear_width),
            "from": opening.start,
            "to": opening.end,
            "hinge_post": opening.hinge_post,
            "latch_post": opening.latch_post,
            "opens": opening.opens,
        }
        return {name: value for name, value in written.items() if not _absent(name, value)}

    def piece(self, piece: Piece) -> Json:
        """A row of the cut list."""
        return {
            "part": piece.part,
            **self.named("length", piece.length),
            "count": piece.count,
            "end_cuts": [self.angles(angle) for angle in piece.end_cuts],
            **(self.rounded_up("blank", piece.blank) if piece.blank is not None else {}),
            "bays": list(piece.bays),
        }


def _absent(name: str, value: Any) -> bool:
    """Whether a member of an opening is left out; `from` and `to` are null at a wall instead."""
    return value is None and name not in ("from", "to")
