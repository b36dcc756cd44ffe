"""Core: how much may still be laid out of a document: bays, places along them, and the work of
proving marks best. It is counted, so that an answer never depends on the clock."""

from __future__ import annotations

from dataclasses import dataclass, field

from service.core import limits
from service.core.problems import Problem, TooLarge
from service.core.records.layout import BayFill
from service.core.runs.marks import check_bays
from service.core.runs.rows import MarkWork


@dataclass(slots=True)
class Budget:
    """What is left to a document. places: pickets, supports, weep holes and handrail brackets;
    pointer: the kit's, whose gap and intervals ask for them."""

    pointer: str
    work: MarkWork = field(default_factory=MarkWork)
    bays: int = limits.BAYS
    places: int = limits.PLACES

    def spend_bays(self, count: int) -> None:
        """Take `count` bays off the document's share. Refuses it where fewer are left."""
        check_bays(count, self.bays)
        self.bays -= count

    def spend_places(self, count: int) -> None:
        """Take `count` places off the document's share. Refuses it where fewer are left."""
        self.places -= count
        if self.places < 0:
            raise TooLarge(
                [
                    Problem(
                        self.pointer,
                        "too_many_places",
                        f"The deck needs over {limits.PLACES} pickets, supports, weep holes and"
                        " handrail brackets; check the kit's gap and intervals, or send the deck in"
                        " parts.",
                    )
                ]
            )

    def spend_fill(self, fill: BayFill) -> None:
        """Take a bay's places off the document's share."""
        pickets = 0 if fill.pickets is None else fill.pickets.count
        self.spend_places(pickets + len(fill.rail_supports) + len(fill.weep_holes))
