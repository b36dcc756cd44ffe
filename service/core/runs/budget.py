"""Core: how much of a document may still be laid out.

Bays, places along them, and the work of proving marks best are counted, so that an answer never
depends on the clock.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from service.core import limits
from service.core.problems import Problem, TooLarge
from service.core.records.infill import BayFill


def check_bays(count: int, left: int) -> None:
    """Refuse a document that needs more bays than are left."""
    if count > left:
        message = f"The deck needs over {limits.BAYS} bays; send it in parts."
        raise TooLarge([Problem("/levels", "too_many_bays", message)])


class MarkWork:
    """Counted work on the marks of a document."""

    def __init__(self, most: int = limits.MARK_WORK) -> None:
        self.left = most

    def spend(self, amount: int) -> None:
        """Take an amount from what is left. Refuses the document where too little is left."""
        self.left -= amount
        if self.left < 0:
            message = (
                f"Proving the best marks weighs over {limits.MARK_WORK} places; give fewer or"
                " narrower no_post stretches, a coarser precision, or send the levels apart."
            )
            raise TooLarge([Problem("/levels", "too_much_to_prove", message)])


@dataclass(slots=True)
class Budget:
    """What is left for a document.

    places: pickets, supports, weep holes and handrail brackets, together. pointer: to the kit,
    whose gap and intervals ask for these.
    """

    pointer: str
    work: MarkWork = field(default_factory=MarkWork)
    bays: int = limits.BAYS
    places: int = limits.PLACES

    def spend_bays(self, count: int) -> None:
        """Take `count` bays off what is left. Refuses the document where fewer are left."""
        check_bays(count, self.bays)
        self.bays -= count

    def spend_places(self, count: int) -> None:
        """Take `count` places off what is left. Refuses the document where fewer are left."""
        self.places -= count
        if self.places < 0:
            message = (
                f"The deck needs over {limits.PLACES} pickets, supports, weep holes and handrail"
                " brackets; check the kit's gap and intervals, or send the deck in parts."
            )
            raise TooLarge([Problem(self.pointer, "too_many_places", message)])

    def spend_fill(self, fill: BayFill) -> None:
        """Take the places of a bay off what is left. Refuses the document where fewer are left."""
        pickets = 0 if fill.pickets is None else fill.pickets.count
        self.spend_places(pickets + len(fill.rail_supports) + len(fill.weep_holes))
