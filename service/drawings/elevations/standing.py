"""Drawings: where the posts and bays of a run stand along it, in the deck's unit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.core.line.corners import half_at
from service.core.measure import FromTo, Length
from service.core.records.kit import Kit, Rail
from service.core.records.layout import Bay, Run
from service.drawings.parts import Json

WhichRail: TypeAlias = Literal["top", "bottom"]
SaidBay: TypeAlias = tuple[Bay, Json]
"""A bay with the reply's record of it."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A bay at its place.

    said: the reply's record of it. start, end: its two faces along the run, in plan.
    """

    bay: Bay
    said: Json
    start: Length
    end: Length

    @property
    def middle(self) -> Length:
        """Half-way between its faces."""
        return (self.start + self.end) / 2

    @property
    def places(self) -> list[Length]:
        """Centres of its pickets, or of its setting blocks, along the run."""
        fill = self.bay.fill
        if fill.pickets is not None:
            return [self.start + at for at in fill.pickets.centres]
        if fill.glass is not None:
            return [self.start + fill.glass.side_gap + at for at in fill.glass.blocks]
        return []

    @property
    def places_text(self) -> list[str]:
        """What the reply says of each of these places, from the bay's face or the panel's end."""
        if "pickets" in self.said:
            return list(self.said["pickets"].get("centres_text", ()))
        return list(self.said["glass"]["blocks_text"]) if "glass" in self.said else []


@dataclass(frozen=True, slots=True)
class Upright:
    """A post, or the wall at an end of a run.

    id: None for a wall, "" where no bay names the post. index: that of its mark. at: the place of
    its mark, moved where bays before it were measured. low, high: its faces along the run.
    """

    id: str | None
    index: int
    at: Length
    low: Length
    high: Length


@dataclass(frozen=True, slots=True)
class StandingRun:
    """A run with all its uprights and bays at their places."""

    run: Run
    uprights: tuple[Upright, ...]
    spots: tuple[Spot, ...]


def stand(run: Run, bays: Sequence[SaidBay], kit: Kit, start: Length = 0.0) -> StandingRun:
    """The posts and bays of a run at their places along it. start: the place of its first mark.

    A measured bay is as wide as its wider measure, and all that follows it stands so much further
    on.
    """
    indexed = {bay.index: (bay, said) for bay, said in bays}
    places = [start]
    for i in range(len(run.marks) - 1):
        drawn = run.marks[i + 1] - run.marks[i]
        places.append(places[-1] + (indexed[i][0].centres if i in indexed else drawn))
    uprights = tuple(
        _upright(run, at, indexed.get(i - 1), indexed.get(i), i, kit) for i, at in enumerate(places)
    )
    spots = tuple(
        Spot(bay, said, uprights[i].high, uprights[i + 1].low) for i, (bay, said) in indexed.items()
    )
    return StandingRun(run, uprights, spots)


def _upright(
    run: Run, at: Length, before: SaidBay | None, after: SaidBay | None, i: int, kit: Kit
) -> Upright:
    ends = {0: run.start, len(run.marks) - 1: run.end}
    named = [before[0].end] if before else [after[0].start] if after else [""]
    post = ends.get(i, named[0])
    if post is None:
        return Upright(None, i, at, at, at)
    halves = [half_at(kit, before[0].skews[1])] if before else []
    halves += [half_at(kit, after[0].skews[0])] if after else []
    halves = halves or [kit.post.width / 2]
    return Upright(post, i, at, at - halves[0], at + halves[-1])


def rail_cut(
    spot: Spot, kit: Kit, which: WhichRail, cosine: float = 1.0
) -> tuple[Length, Length, str]:
    """From where to where a bay's rail lies along the run, in plan, and its cut as a tape reads it.

    cosine: of the bay's pitch.
    """
    rails, fill = kit.rails[spot.bay.infill], spot.bay.fill
    rail, cut = (rails.top, fill.top_cut) if which == "top" else (rails.bottom, fill.bottom_cut)
    return *rail_span(spot, rail, cut, cosine), spot.said[f"{which}_rail"]["cut_text"]


def rail_span(spot: Spot, rail: Rail, cut: Length, cosine: float = 1.0) -> FromTo:
    """From where to where a rail lies along the run, in plan.

    The rail lies off each face by its allowance there and half of any slack. cut: its length, along
    the slope in a flight; cosine: of its pitch.
    """
    first, last = (rail.end_allowance[end] * cosine for end in spot.bay.ends)
    taken = cut * cosine
    slack = spot.end - spot.start - first - last - taken
    low = spot.start + first + slack / 2
    return low, low + taken
