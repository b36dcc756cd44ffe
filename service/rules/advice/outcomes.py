"""Rules: a change that was tried (`Outcome`): its layout, the findings on that, and what of them
counts against the change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from typing import Final, NamedTuple

from service.core.measure import TOUCH
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.seen import edge_place
from service.rules.advice.attempts import Attempt
from service.rules.advice.places import Places
from service.rules.finding import Finding

OF_ROOM: Final = (
    "bay_size", "bases_apart", "base_on_deck", "rails_clear", "flight_clear", "gate_swing",
)  # fmt: skip
"""Rules about what stands where. No change may violate one at a new place, even where the document
violates it elsewhere."""
ABSENT: Final = ("guard_required", "handrail_required")
"""Rules that are violated by what is not there, so that their numbers do not say by how much."""


class Outcome(NamedTuple):
    """A change that was tried: its layout, the findings on that, and what stands where in it."""

    attempt: Attempt
    layout: Layout
    findings: tuple[Finding, ...]
    places: Places

    @classmethod
    def of(cls, attempt: Attempt, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """The outcome of a change, from its layout and findings."""
        return cls(attempt, layout, tuple(findings), Places(layout))

    @classmethod
    def standing(cls, deck: Deck, kit: Kit, layout: Layout, findings: Sequence[Finding]) -> Outcome:
        """The outcome of the document as it stands, without a change."""
        return cls.of(Attempt((), deck, kit), layout, findings)

    def failing(self, rule: str) -> list[Finding]:
        """The failing findings of a rule."""
        return [one for one in self.findings if one.rule == rule and one.result == "fail"]

    def fails(self, rule: str) -> int:
        """At how many places a rule fails."""
        return sum(len(one.where) for one in self.failing(rule))

    def violates(self, rule: str) -> int:
        """At how many places a rule is violated."""
        return sum(len(one.where) for one in self.failing(rule) if one.severity == "violation")

    def not_passing(self) -> Counter[str]:
        """At how many places each rule fails, or could not be checked."""
        count: Counter[str] = Counter()
        for one in self.findings:
            if one.result != "pass":
                count[one.rule] += len(one.where)
        return count

    def unguarded(self) -> set[str]:
        """The places where a guard is required, or may be, and none stands."""
        findings = (one for one in self.findings if one.rule == "guard_required")
        return {place for one in findings if one.result != "pass" for place in one.where}

    def worst_violations(self, new: Collection[str] = ()) -> dict[str, float]:
        """The rules that are violated, with the greatest amount by which each is; 0 where none is
        told.

        new: edges and flights that have a railing only with the change; at these, only rules of
        OF_ROOM count.
        """
        found: dict[str, float] = {}
        for one in self.findings:
            if one.severity == "violation" and self._places_but(one, new):
                by = 0.0 if one.rule in ABSENT else one.excess
                found[one.rule] = max(by, found.get(one.rule, 0.0))
        return found

    def violated_places(self, new: Collection[str] = ()) -> dict[str, set[str]]:
        """The rules that are violated, each with its places by lasting names (`Places.lasting`).

        new: as in `worst_violations`.
        """
        found: dict[str, set[str]] = {}
        for one in self.findings:
            if one.severity == "violation":
                found.setdefault(one.rule, set()).update(*self._places_but(one, new))
        return found

    def _places_but(self, finding: Finding, new: Collection[str]) -> list[set[str]]:
        """The places of a finding, each as its lasting names, without those at `new` edges or
        flights.

        A corner post shared with a new railing is among those left out. For rules of OF_ROOM
        nothing is left out.
        """
        names = [self.places.lasting(place) for place in finding.where]
        if not new or finding.rule in OF_ROOM:
            return names
        return [each for each in names if each.isdisjoint(new)]

    def railed(self) -> set[str]:
        """The edges and flights that have a railing, as findings name them."""
        return {bay.flight or edge_place(bay.level, bay.edge) for bay in self.layout.bays}

    def unrailed(self) -> Counter[str]:
        """How many stretches along each edge and flight are too small to rail."""
        runs = (stretch.where for stretch in self.layout.small_stretches)
        return Counter(place for run in runs for place in self.places.lasting(run))

    def outgrown(self) -> set[str]:
        """The parts of which a piece is longer than any stick of the kit.

        Whether a stick on hand holds it only an order can tell.
        """
        stocks = self.attempt.kit.stocks
        return {
            piece.part
            for piece in self.layout.cut_list
            if piece.part in stocks and piece.taken_up > stocks[piece.part].longest + TOUCH
        }

    def stood(self) -> dict[str, tuple[object, ...]]:
        """What each bay stands between, which is what a site measure of it goes by."""
        at = {post.id: post.at for post in self.layout.posts}
        return {
            bay.id: (
                bay.level,
                bay.edge,
                bay.flight,
                *(at.get(end or "") for end in (bay.start, bay.end)),
            )
            for bay in self.layout.bays
        }
