"""Rules of the trade as check values: common practice, no source.

Posts are at most 6 ft between centres. The top rail is 1/2 in shorter than the opening, a glass
bay's bottom rail 1/4 in. Setting blocks lie 6 in from each end of a panel. Weep holes are 1/4 in,
at 3 ft or less. Bays are equal, and fixed posts come first, the ones between them after.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from tests.core import builders


def trade_kit() -> Kit:
    """The inch kit with the trade's figures."""
    document: dict[str, Any] = builders.kit_document("picket-glass-surface-in")
    document["max_centres"] = {"picket": 72, "glass": 72}
    quarter = {"socket": 0.25, "swivel": 0.5, "wall": 0.25, "rake": 0.25}
    eighth = {"socket": 0.125, "swivel": 0.5, "wall": 0.125, "rake": 0.25}
    document["rails"]["picket"]["top"]["end_allowance"] = quarter
    document["rails"]["glass"]["top"]["end_allowance"] = quarter
    document["rails"]["glass"]["bottom"]["end_allowance"] = eighth
    document["glass"]["block"]["inset"] = 6
    document["glass"] |= {"max_width": 72, "max_area": 4000}
    document["weep"] = {"diameter": 0.25, "max_interval": 36}
    return builders.kit_of(document)


def porch(infill: str, width: float = 300.0) -> Layout:
    """Layout of a porch against a house, with rails on three sides."""
    return lay_out(
        builders.deck(builders.rectangle(width, 120), infill=infill, edges=builders.walls(2)),
        trade_kit(),
        None,
    )


@pytest.mark.parametrize(("width", "bays"), [(294.9375, 4), (295.0, 4), (295.0625, 5)])
def test_posts_at_most_six_feet_apart(width: float, bays: int) -> None:
    """The front line is the width less two setbacks of 3.5: 288 is four bays of exactly 72, and a
    sixteenth more takes five."""
    layout = porch("picket", width)
    front = [bay for bay in layout.bays if bay.edge == 0]
    assert len(front) == bays
    assert max(bay.centres for bay in front) <= 72


@pytest.mark.parametrize("infill", ["picket", "glass"])
def test_the_top_rail_is_half_an_inch_short(infill: str) -> None:
    """The top rail is 1/2 in shorter than the run's least clear.

    Front line 293, five bays: clear (293 - 5 x 2.25)/5 = 56.35, shared 56.3125 or a mark less.
    Marks at 58.625 (58.6), 117.1875, 175.8125, 234.375 give the least clear 58.5625 - 2.25 =
    56.3125; the top rail is 55.8125.
    """
    front = [bay for bay in porch(infill).bays if bay.edge == 0]
    assert {bay.fill.top_cut for bay in front} == {55.8125}
    assert min(bay.clear for bay in front) == 56.3125


def test_a_glass_bay_s_bottom_rail_is_a_quarter_short() -> None:
    """The bottom rail is 56.3125 less twice an eighth, 56.0625."""
    front = [bay for bay in porch("glass").bays if bay.edge == 0]
    assert {bay.fill.bottom_cut for bay in front} == {56.0625}


def test_blocks_six_inches_from_each_end() -> None:
    """Panels of 56.3125 - 2.5 = 53.8125 (24 and more wide) have blocks at 6 and 47.8125."""
    front = [bay.fill.glass for bay in porch("glass").bays if bay.edge == 0]
    assert [(panel and panel.width, panel and panel.blocks) for panel in front] == [
        (53.8125, (6.0, 47.8125))
    ] * 5


@pytest.mark.parametrize("infill", ["picket", "glass"])
def test_weep_holes_three_feet_apart_or_less(infill: str) -> None:
    """No hole is further than 36 from the next one or from the rail's end, and none is off the
    rail."""
    for bay in porch(infill).bays:
        start = builders.SURFACE.rails["picket"].bottom.end_allowance["socket"]
        places = [start, *bay.fill.weep_holes, start + bay.fill.bottom_cut]
        assert bay.fill.weep_complete
        assert len(bay.fill.weep_holes) >= (2 if infill == "glass" else 1)
        assert all(0 < b - a <= 36 + 1e-6 for a, b in zip(places, places[1:], strict=False))


def test_bays_of_a_run_are_equal() -> None:
    """Clears of one run differ by no more than marks on the sixteenth make them differ: two
    sixteenths."""
    layout = porch("picket")
    for run in layout.runs:
        clears = [bay.clear for bay in layout.bays if bay.run == run.id]
        assert max(clears) - min(clears) <= 0.125


def test_fixed_posts_come_before_the_ones_between() -> None:
    """Posts at corners, ends and openings stay where they are, however many posts go between
    them."""
    steps = builders.opening(0, 96, 48)
    deck = builders.deck(builders.rectangle(300, 120), edges=builders.walls(2), openings=(steps,))
    fixed = []
    for most in (72, 40, 20):
        kit = replace(trade_kit(), max_centres={"picket": most, "glass": most})
        layout = lay_out(deck, kit, None)
        fixed.append([post.at for post in layout.posts if post.role != "line"])
    assert fixed[0] == fixed[1] == fixed[2]
    along = [x for x, y in fixed[0] if y == pytest.approx(3.5)]
    assert along == pytest.approx([3.5, 94.875, 145.125, 296.5])
