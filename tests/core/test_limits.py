"""Over a published limit a document is refused before the work is done: calls are counted, not
timed."""

from __future__ import annotations

import math
import sys
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from service.core import limits
from service.core.engine import lay_out
from service.core.measure import Point
from service.core.problems import Refusal, TooLarge, Unbuildable
from service.core.records.deck import Deck, Framing
from service.core.records.kit import Kit
from service.core.runs.budget import MarkWork
from tests.core import builders, sloping

ENGINE = str(Path(limits.__file__).parents[1])
"""Folder of the service's own code, whatever the folders above it are called."""


class TooMuchWork(BaseException):
    """Raised where an answer takes more calls than a test allows; no handler of the engine catches
    it."""


def within(most: int, work: Callable[[], Any]) -> Any:
    """Result of `work`, which may make so many calls of the service's own functions at most."""
    calls = 0

    def count(frame: FrameType, event: str, argument: object) -> None:
        nonlocal calls
        if event == "call" and frame.f_code.co_filename.startswith(ENGINE):
            calls += 1
            if calls > most:
                sys.setprofile(None)
                raise TooMuchWork

    sys.setprofile(count)
    try:
        return work()
    finally:
        sys.setprofile(None)


def refused(kit: Kit, most: int, **parts: Any) -> set[str]:
    """Codes of a TooLarge refusal that comes within so many calls."""
    deck = builders.deck(builders.rectangle(240, 144), **parts)
    with pytest.raises(TooLarge) as refusal:
        within(most, lambda: lay_out(deck, kit, None))
    return {problem.code for problem in refusal.value.problems}


def spaced(most: float) -> Kit:
    """The inch kit with another greatest spacing."""
    return replace(builders.SURFACE, max_centres={"picket": most, "glass": most})


def test_a_hair_s_spacing() -> None:
    """Posts a millionth apart are refused before one is placed."""
    assert refused(spaced(1e-6), 5_000) == {"too_many_bays"}


@pytest.mark.parametrize("most", [2.0, 4.0])
def test_a_spacing_less_than_a_base(most: float) -> None:
    """Bases are 4.5 wide, so no row of posts can stand at a closer spacing, and none is laid
    out."""
    deck = builders.deck(builders.rectangle(60, 60))
    with pytest.raises(Unbuildable) as refused:
        within(50_000, lambda: lay_out(deck, spaced(most), None))
    assert {problem.code for problem in refused.value.problems} == {"no_place_for_posts"}


def test_a_hair_s_gap() -> None:
    """Pickets a millionth wide and apart are refused before one is placed."""
    kit = builders.with_picket(builders.SURFACE, gap=1e-6, width=1e-6)
    assert refused(kit, 5_000, infill="picket") == {"too_many_places"}


def test_a_hair_s_gap_of_pickets_that_stand_nowhere() -> None:
    """A deck of glass is not refused for the kit's pickets, however many of them a bay would
    take."""
    kit = builders.with_picket(builders.SURFACE, gap=1e-6, width=1e-6)
    deck = builders.deck(builders.rectangle(240, 144), infill="glass")
    layout = lay_out(deck, kit, None)
    assert layout.bays
    assert all(bay.fill.glass is not None and bay.fill.pickets is None for bay in layout.bays)


def test_a_hair_s_interval_of_supports() -> None:
    """Rail supports a millionth apart are refused before one is placed."""
    assert builders.SURFACE.rail_support is not None
    support = replace(builders.SURFACE.rail_support, max_interval=1e-6)
    assert refused(replace(builders.SURFACE, rail_support=support), 5_000) == {"too_many_places"}


def test_weep_holes_that_are_looked_for_in_vain() -> None:
    """Weep holes that find no place count as places all the same.

    Ten levels of four runs, 5,000 by 3,000. Each run is one bay, whose rail support is wider than
    the bay: some 320,000 holes 0.5 apart are looked for and none is found. The deck is refused
    after as much work as one that has them.
    """
    assert builders.SURFACE.weep is not None
    assert builders.SURFACE.rail_support is not None
    kit = replace(
        builders.with_picket(spaced(1e6), gap=1e5),
        weep=replace(builders.SURFACE.weep, max_interval=0.5, diameter=1e-5),
        rail_support=replace(builders.SURFACE.rail_support, max_interval=1e6, width=1e6),
    )
    one = builders.level(builders.rectangle(5_000, 3_000))
    levels = [
        replace(builders.level(builders.rectangle(5_000 + n, 3_000 + n)), id=f"l{n}")
        for n in range(10)
    ]
    deck = builders.deck(builders.rectangle(1, 1))
    assert lay_out(replace(deck, levels=(one,)), kit, None).bays
    with pytest.raises(TooLarge) as refusal:
        lay_out(replace(deck, levels=tuple(levels)), kit, None)
    assert {problem.code for problem in refusal.value.problems} == {"too_many_places"}


@pytest.mark.parametrize("interval", [1e-6, 1e-3, 0.01, 0.1, 1.0])
def test_a_hair_s_interval_of_weep_holes(interval: float) -> None:
    """Holes so close cost no more than a few times an ordinary deck, whether or not they are
    refused."""
    assert builders.SURFACE.weep is not None
    kit = replace(builders.SURFACE, weep=replace(builders.SURFACE.weep, max_interval=interval))
    deck = builders.deck(builders.rectangle(240, 144))
    try:
        layout = within(400_000, lambda: lay_out(deck, kit, None))
    except TooLarge:
        return
    assert layout.bays


def test_a_hair_s_interval_of_brackets() -> None:
    """Handrail brackets a millionth apart are refused before one is placed."""
    assert sloping.SURFACE.handrail is not None
    handrail = replace(sloping.SURFACE.handrail, max_bracket_interval=1e-6)
    kit = replace(sloping.SURFACE, handrail=handrail)
    stair = sloping.stair(49.0, 7, 10.0, handrail=("left", "right"))
    drawn = sloping.DrawnFlight(kit, "in", (240, 144), 60, 48, stair, "picket", 36)
    with pytest.raises(TooLarge) as refusal:
        within(20_000, lambda: lay_out(drawn.deck(), kit, None))
    assert {problem.code for problem in refusal.value.problems} == {"too_many_places"}


def test_a_hair_s_spacing_of_joists() -> None:
    """The moves of a post that bring its fixings over joists are found joist by joist.

    59 joists lie within a base's width of each post, which has eight fixings. The work does not
    grow with each pair of joists that two fixings may come to.
    """
    base = replace(builders.SURFACE.post.base, fixings=8, fixing_inset=0.1)
    kit = builders.with_post(builders.SURFACE, base=replace(base, fixing_edge_distance=0.01))
    framing = Framing(90.0, 0.16, 0.0, 0.1, 1.5, "/levels/0/framing")
    deck = builders.deck(builders.rectangle(240, 144), framing=framing)
    assert within(20_000, lambda: lay_out(deck, kit, None)).posts


def test_a_long_bow_of_hopeless_panels() -> None:
    """The fewest chords of a bow are found by halving, not by drawing every row from the longest
    chords on.

    The kit's greatest panel is 2 in wide, for which over a thousand chords are too few.
    """
    kit = builders.with_glass(builders.SURFACE, max_width=2.0)
    deck = builders.deck(
        builders.rectangle(9_000, 300),
        infill="glass",
        edges=(builders.edge(0, arc_rise=120.0), builders.edge(2, "wall")),
    )
    assert len(within(400_000, lambda: lay_out(deck, kit, None)).runs) > 1_000


def test_columns_on_bows() -> None:
    """What a column takes up of a bow is worked out once, from those of its sides that are near the
    line.

    Eight bows each have two round columns of 64 corners in their line, and every bow is settled
    again and again.
    """
    corners = [(400 * math.cos(n * math.pi / 4), 400 * math.sin(n * math.pi / 4)) for n in range(8)]
    columns = [
        builders.obstruction(_round(one, two, share), f"column {n} {share}")
        for n, (one, two) in enumerate(pairwise([*corners, corners[0]]))
        for share in (0.3, 0.7)
    ]
    edges = tuple(builders.edge(n, arc_rise=4.0) for n in range(8))
    deck = builders.deck(corners, edges=edges, obstructions=tuple(columns))
    assert within(100_000, lambda: lay_out(deck, builders.SURFACE, None)).bays


def _round(one: Point, two: Point, share: float) -> list[Point]:
    """64 corners of a column of radius 3, centred at a share of the way between two points."""
    x, y = one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share
    turns = [k * math.pi / 32 for k in range(64)]
    return [(x + 3 * math.cos(turn), y + 3 * math.sin(turn)) for turn in turns]


def test_bays_of_bows_are_counted() -> None:
    """The chords of all bows together are over the limit of bays, though no one bow has as many."""
    deck = builders.deck(
        builders.rectangle(9_000, 9_000),
        edges=tuple(builders.edge(n, arc_rise=120.0) for n in range(4)),
    )
    with pytest.raises(TooLarge) as refusal:
        lay_out(deck, spaced(12.0), None)
    assert {problem.code for problem in refusal.value.problems} == {"too_many_bays"}


def test_the_greatest_number_of_bays() -> None:
    """A deck is refused above the limit of bays, 2,500, and built at it.

    A rectangle w x d has lines of w - 7 and d - 7. At spacing 10, lines of 12 477 and 23 have 1248
    and 3 bays: 2 x 1251 = 2502 is over the limit. Lines of 12 467 and 23 have 1247 and 3: 2 x 1250
    = 2500.
    """
    deck = builders.deck(builders.rectangle(12_477 + 7, 23 + 7))
    kit = replace(spaced(10.0), least_bay=1.0)
    bays = 2 * (1248 + 3)
    assert bays > limits.BAYS
    with pytest.raises(TooLarge):
        lay_out(deck, kit, None)
    shorter = builders.deck(builders.rectangle(12_467 + 7, 23 + 7))
    assert len(lay_out(shorter, kit, None).bays) == 2 * (1247 + 3) <= limits.BAYS


def test_bays_are_counted_over_all_levels() -> None:
    """Two levels of just over half the limit each are refused, as one level of so many bays would
    be."""
    one = builders.level(builders.rectangle(6_247 + 7, 23 + 7))
    kit = replace(spaced(10.0), least_bay=1.0)
    deck = replace(builders.deck(builders.rectangle(1, 1)), levels=(one,))
    assert len(lay_out(deck, kit, None).bays) == 2 * (625 + 3)
    with pytest.raises(TooLarge):
        lay_out(replace(deck, levels=(one, replace(one, id="upper"))), kit, None)


def test_a_panel_that_nothing_is_narrow_enough_for() -> None:
    """Where no panel is narrow enough, one more bay is tried until posts would meet; the tries are
    counted.

    Panels of a millionth. Line 993, base 0.5: close to two thousand tries of a thousand marks each
    on every edge; on 128 edges that is minutes.
    """
    base = replace(builders.SURFACE.post.base, width=0.5)
    kit = builders.with_post(builders.SURFACE, base=base, width=0.01)
    kit = builders.with_glass(kit, max_width=1e-6, side_gap=1e-6)
    deck = builders.deck(builders.rectangle(1000, 1000), infill="glass")
    with pytest.raises(Refusal):
        within(3_000_000, lambda: lay_out(deck, kit, None))


def test_a_document_s_share_of_mark_work() -> None:
    """The work of proving marks begins at the published limit."""
    assert MarkWork().left == limits.MARK_WORK


def peak(work: Callable[[], Any]) -> int:
    """Most bytes held at once while `work` runs."""
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("use", ["stair", "gate"])
def test_a_hair_s_gap_of_what_is_not_a_bay_of_a_level(use: str) -> None:
    """Pickets of a flight or a gate's leaf, a millionth wide and apart, are refused on a deck of
    glass before one is placed or held in memory."""
    kit = builders.with_picket(sloping.SURFACE, gap=1e-6, width=1e-6)
    stair = sloping.stair(49.0, 7, 10.0, infill="picket")
    drawn = sloping.DrawnFlight(kit, "in", (240, 144), 60, 40, stair, "glass", 36, use=use)
    deck = drawn.deck() if use == "stair" else gated(kit)

    def ask() -> None:
        with pytest.raises(TooLarge) as refusal:
            within(50_000, lambda: lay_out(deck, kit, None))
        assert {problem.code for problem in refusal.value.problems} == {"too_many_places"}

    assert peak(ask) < 4_000_000


def gated(kit: Kit) -> Deck:
    """A deck of glass whose front is a gate of pickets between its corner posts."""
    opening = builders.opening(0, kit.post.setback + kit.post.width / 2, 40.0, "gate")
    edges = (builders.edge(0, infill="picket"), builders.edge(2, "wall"))
    width = 40.0 + 2 * opening.start
    outline = builders.rectangle(width, 144)
    return builders.deck(outline, infill="glass", edges=edges, openings=(opening,))


def test_bays_of_flights_are_counted() -> None:
    """28 flights of 59 goings of 10.5, with both sides in bays of one going, have over 3,000
    bays."""
    kit = replace(sloping.SURFACE, max_centres={"picket": 13.0, "glass": 13.0})
    openings = [builders.opening(0, 60 + 120 * i, 48.0, name=f"o{i}") for i in range(28)]
    stair = sloping.stair(420.0, 60, 10.5)
    stairs = [replace(stair, id=f"f{i}", opening=f"main/o{i}") for i in range(28)]
    deck = builders.deck(builders.rectangle(28 * 120 + 120, 144), openings=tuple(openings))
    with pytest.raises(TooLarge) as refusal:
        lay_out(replace(deck, stairs=tuple(stairs)), kit, None)
    assert {problem.code for problem in refusal.value.problems} == {"too_many_bays"}
