"""Rules: whether panels of glass fit: their size by the kit, room to lift them in, and whether the
setting blocks under them are as the trade has them (engineering facts, 1.5)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Area, Length, Unit, convert
from service.core.records.infill import Glass
from service.core.records.kit import Kit
from service.rules.alike import panels
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.kit_limits import KitLimit, by_kit
from service.rules.saying import Saying, say_by_kit, steady, tell_all_by_kind, tell_by_kind

_RULE: Final = "setting_blocks"


class Trade(NamedTuple):
    """What the trade asks of a setting block, in one unit.

    for_area: length of the block for each square of that unit of glass. least: its least length.
    corner: from its outer end to the corner of the glass, where it is not at a quarter point.
    long, clear: that length and that distance in words.
    """

    for_area: float
    least: Length
    corner: Length
    long: str
    clear: str


TRADE: Final[dict[Unit, Trade]] = {
    "in": Trade(
        0.1 / 144, 4.0, 6.0, "0.1 in for each sq ft of glass and at least 4 in", "at least 6 in"
    ),
    "mm": Trade(
        27e-6, 100.0, 150.0, "27 mm for each m2 of glass and at least 100 mm", "at least 150 mm"
    ),
}
"""As trade guides have it; 100 mm stands for 4 in, as their 150 mm stands for 6 in."""


class Blocked(NamedTuple):
    """What alike panels share: their area, and the centres of their two blocks."""

    area: Area
    blocks: tuple[Length, ...]


def glass_size(job: Job) -> Iterator[Saying]:
    """Width, height and area of every panel, each against the kit's greatest."""
    glass, rule = job.kit.glass, "glass_size"
    assert glass is not None
    sizes = [(place, panel.width, panel.height) for place, panel, _ in panels(job)]
    wide = KitLimit(rule, glass.max_width, "the glass is {} wide")
    yield from by_kit(job, wide, [(place, width) for place, width, _ in sizes])
    high = KitLimit(rule, glass.max_height, "the glass is {} high")
    yield from by_kit(job, high, [(place, height) for place, _, height in sizes])
    large = KitLimit(rule, glass.max_area, "the area of the glass is {}", amount="area")
    yield from by_kit(job, large, [(place, width * height) for place, width, height in sizes])


def glass_fitting(job: Job) -> Iterator[Saying]:
    """Whether a panel can be lifted in, and whether its setting blocks have room under it.

    A panel goes up into the top channel and then down into the bottom one (method 7).
    """
    glass = job.kit.glass
    assert glass is not None
    places = [each.place for each in panels(job)]
    both = steady(glass.engagement.top + glass.engagement.bottom)
    depth = glass.top_channel_depth
    fits = depth >= both - TOUCH
    ending = "so a panel can be lifted in" if fits else "so no panel can be lifted in"
    sentence = (
        f"the top channel is {job.text(depth, both)} deep and the two engagements come to "
        f"{job.text(both)}, {ending}"
    )
    verdict: Verdict = "pass" if fits else "violation"
    yield say_by_kit(job, "glass_fitting", verdict, sentence, limit=both, actual=depth), places
    blocks = ((each.place, each.glass.blocks) for each in panels(job))
    yield from tell_by_kind(blocks, lambda kind: _short_of_room(job, glass.block.length, kind))


def _short_of_room(job: Job, length: Length, blocks: tuple[Length, ...]) -> Finding | None:
    """Warning of setting blocks longer than their places leave room for; None where they fit."""
    first, second = blocks
    room = room_for(blocks)
    if length <= room + TOUCH:
        return None
    sentence = (
        f"the panel is so narrow that its two setting blocks, at {job.text(first)} and "
        f"{job.text(second)}, have room for {job.text(room, length)} each: cut them from "
        f"{job.text(length, room)}"
    )
    return say_by_kit(job, "glass_fitting", "warning", sentence, limit=room, actual=length)


def setting_blocks(job: Job) -> Iterator[Saying]:
    """The blocks under each panel: those too short for it, and those too near its corners.

    The panels whose blocks are neither share a pass, with the longest block that is asked for.
    """
    glass = job.kit.glass
    assert glass is not None
    trade, length = trade_of(job.kit), glass.block.length
    kinds = [(each.place, _blocked(each.glass)) for each in panels(job)]
    wrong = {kind: tuple(_wrong(job, trade, length, kind)) for kind in {kind for _, kind in kinds}}
    yield from tell_all_by_kind(kinds, wrong.__getitem__)
    kept = [place for place, kind in kinds if not wrong[kind]]
    if kept:
        asked = max(_asked(trade, kind) for kind, said in wrong.items() if not said)
        sentence = (
            f"the setting blocks are {job.text(length, asked)} long and clear of the "
            f"corners of the glass, as the trade has them: {trade.long}"
        )
        yield say_by_kit(job, _RULE, "pass", sentence, limit=asked, actual=length), kept


def length_asked(job: Job) -> Length:
    """Greatest length that the blocks under a panel must have; 0 where there is no panel."""
    trade, kinds = trade_of(job.kit), {_blocked(each.glass) for each in panels(job)}
    return max((_asked(trade, kind) for kind in kinds), default=0.0)


def trade_of(kit: Kit) -> Trade:
    """What the trade asks in the unit that the kit is written in, converted to the document's."""
    trade, times = TRADE[kit.own_unit], convert(1.0, kit.own_unit, kit.unit)
    return trade._replace(
        for_area=trade.for_area / times, least=trade.least * times, corner=trade.corner * times
    )


def _blocked(glass: Glass) -> Blocked:
    return Blocked(steady(glass.width * glass.height), glass.blocks)


def room_for(blocks: tuple[Length, ...]) -> Length:
    """Greatest length of two alike blocks with these centres, in a panel and clear of each other.

    blocks: the centres, which lie equally far from the two ends of the panel.
    """
    first, second = blocks
    return steady(min(2 * first, second - first))


def _asked(trade: Trade, kind: Blocked) -> Length:
    """Length that a block must have under a panel; no more than a narrow panel has room for."""
    asked = max(trade.least, trade.for_area * kind.area)
    return steady(min(asked, room_for(kind.blocks)))


def _wrong(job: Job, trade: Trade, length: Length, kind: Blocked) -> Iterator[Finding]:
    """Warnings of blocks that are too short for their panel, or too near its corners."""
    asked = _asked(trade, kind)
    if length < asked - TOUCH:
        sentence = (
            f"the setting blocks are {job.text(length, asked)} long; the trade has them "
            f"{trade.long}, which is {job.text(asked, length)} here: take longer ones"
        )
        yield say_by_kit(job, _RULE, "warning", sentence, limit=asked, actual=length)
    first, second = kind.blocks
    outer = steady(first - length / 2)
    on_quarters = first >= (first + second) / 4 - job.deck.step
    # Blocks are placed on marks, so they may be half a mark off their inset.
    if outer < trade.corner - job.deck.step / 2 - TOUCH and not on_quarters:
        end = (
            f"end {job.text(outer, trade.corner)} from the corners of the glass"
            if outer > -TOUCH
            else f"reach {job.text(-outer)} past the corners of the glass"
        )
        sentence = (
            f"the setting blocks {end}; off its quarter points the trade has them {trade.clear} "
            "from there: set them further in"
        )
        yield say_by_kit(job, _RULE, "warning", sentence, limit=trade.corner, actual=outer)
