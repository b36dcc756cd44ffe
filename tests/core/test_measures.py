"""A measured bay leaves its run's sharing; the other bays keep theirs (contract, section 3)."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from service.core.engine import Shared, lay_out
from service.core.limits import MARK_WORK
from service.core.problems import TooLarge, Unbuildable
from service.core.records.deck import Deck, Infill, SiteMeasure
from service.core.records.layout import Layout
from service.core.runs.budget import Budget, MarkWork
from service.core.runs.drafts import Measured
from service.core.runs.filling import Filler
from tests.core import builders, sloping
from tests.core.sloping import SURFACE

STEP = 0.0625


def floored(length: float) -> float:
    """The greatest mark not above a length, with a thousandth of a step allowed."""
    return math.floor(length / STEP + 1e-3) * STEP


def measured(deck: Deck, bay: str, top: float, bottom: float) -> Layout:
    """Layout of the deck with one bay measured."""
    measure = SiteMeasure(bay, top, bottom, "/site_measures/0")
    return lay_out(replace(deck, site_measures=(measure,)), SURFACE, None)


def test_level_bays() -> None:
    """Each rail of a measured bay is cut from its own measure, its infill from the lesser of the
    two.

    Every other bay stays as it was, or is cut to the smallest clear that is left in its run.
    """
    rng, freed = random.Random(2), 0
    for _ in range(60):
        size = rng.randint(2000, 5000) / 16, rng.randint(1200, 2000) / 16
        infill: Infill = rng.choice(["picket", "glass"])
        deck = builders.deck(builders.rectangle(*size), infill=infill)
        drawn = lay_out(deck, SURFACE, None)
        bay = rng.choice(drawn.bays)
        top, bottom = (bay.clear + rng.randint(-8, 8) / 32 for _ in range(2))
        layout = measured(deck, bay.id, top, bottom)
        found = next(b for b in layout.bays if b.id == bay.id)
        rails = SURFACE.rails[infill]
        assert found.measured
        ends = sum(rails.top.end_allowance[end] for end in bay.ends)
        assert found.fill.top_cut == pytest.approx(floored(top - ends))
        ends = sum(rails.bottom.end_allowance[end] for end in bay.ends)
        assert found.fill.bottom_cut == pytest.approx(floored(bottom - ends))
        if found.fill.glass is not None and SURFACE.glass is not None:
            width = floored(min(top, bottom) - 2 * SURFACE.glass.side_gap)
            assert found.fill.glass.width == pytest.approx(width)
        if found.fill.pickets is not None and SURFACE.picket is not None:
            picket, count = SURFACE.picket, found.fill.pickets.count
            least = min(top, bottom)
            assert (least - count * picket.width) / (count + 1) <= picket.gap + 1e-6
            assert (least - (count - 1) * picket.width) / count > picket.gap - 1e-6
        assert [post.at for post in layout.posts] == [post.at for post in drawn.posts]
        for was, now in zip(drawn.bays, layout.bays, strict=True):
            if was.id == bay.id:
                continue
            if was.run != bay.run:
                assert now == was
                continue
            left = [b.clear for b in drawn.bays if b.run == bay.run and b.id != bay.id]
            allowance = sum(rails.top.end_allowance[end] for end in was.ends)
            assert now.fill.top_cut == pytest.approx(floored(min(left) - allowance))
            assert not now.measured
            freed += now.fill.top_cut != was.fill.top_cut
    assert freed > 0


def test_raked_bays() -> None:
    """In a flight the measure is along the rail: cut = measure - two rake allowances.

    The infill is made for the lesser measure times the cosine; no other bay changes.
    """
    rng = random.Random(4)
    for _ in range(40):
        flight = sloping.stair(98.0, 14, 10.5, infill=rng.choice(["picket", "glass"]))
        drawn = sloping.DrawnFlight(
            SURFACE, "in", (240.0, 144.0), 96.0, 40.0, flight, "picket", 36.0
        )
        before = lay_out(drawn.deck(), SURFACE, None)
        bay = rng.choice([b for b in before.bays if b.flight is not None])
        assert bay.fill.rake is not None
        top, bottom = (bay.fill.rake.clear_slope + rng.randint(-8, 8) / 32 for _ in range(2))
        layout = measured(drawn.deck(), bay.id, top, bottom)
        found = next(b for b in layout.bays if b.id == bay.id)
        rails = SURFACE.rails[bay.infill]
        assert found.fill.top_cut == pytest.approx(
            floored(top - 2 * rails.top.end_allowance["rake"])
        )
        assert found.fill.bottom_cut == pytest.approx(
            floored(bottom - 2 * rails.bottom.end_allowance["rake"])
        )
        if found.fill.glass is not None and SURFACE.glass is not None:
            plan = min(top, bottom) * drawn.cosine
            assert found.fill.glass.width == pytest.approx(
                floored(plan - 2 * SURFACE.glass.side_gap)
            )
        others = [(a, b) for a, b in zip(before.bays, layout.bays, strict=True) if a.id != bay.id]
        assert all(a == b for a, b in others)


def test_feet_of_a_measured_raked_bay() -> None:
    """The supports of a measured raked bay stand on the nosings that lie within the measured
    opening.

    4.5 in along a slope of 7 over 10.5 are 3.74 in plan. The head post's face is 3.5 - 1.125 =
    2.375 from the nosing at the deck's edge, so that bay has a support there; posts on treads stand
    in the middle of a going, 5.25 - 1.125 = 4.125 from the next nosing, so the other bays have
    none.
    """
    flight = sloping.stair(98.0, 14, 10.5)
    drawn = sloping.DrawnFlight(SURFACE, "in", (240.0, 144.0), 96.0, 40.0, flight, "picket", 36.0)
    for bay, feet in (("B13", (2.375,)), ("B14", ()), ("B15", ())):
        layout = measured(drawn.deck(), bay, 4.5, 4.5)
        found = next(b for b in layout.bays if b.id == bay)
        assert found.flight is not None
        assert found.fill.rail_supports == feet


def test_a_measure_too_short_to_rail() -> None:
    """A rail between faces 0.25 apart, less 0.1875 at both ends, would have a length below 0:
    refused."""
    for infill in ("picket", "glass"):
        deck = builders.deck(builders.rectangle(240.0, 144.0), infill=infill)
        with pytest.raises(Unbuildable) as refused:
            measured(deck, "B1", 0.25, 0.25)
        assert {problem.code for problem in refused.value.problems} == {"measure_too_short"}


def test_glass_of_one_mark_between_its_gaps() -> None:
    """A measured glass bay is refused where its side gaps leave less than one mark for the panel.

    Two gaps of 1 1/4 and a mark of 1/16 are 2 9/16. A clear of 2 1/2 leaves nothing for a panel,
    though a rail of 2 1/2 less 3/16 at both ends can be cut; nor does one of 1 1/2, which is less
    than the gaps.
    """
    deck = builders.deck(builders.rectangle(240.0, 144.0), infill="glass")
    panel = measured(deck, "B1", 2.5625, 2.5625).bays[0].fill.glass
    assert panel is not None
    assert (panel.width, panel.side_gap) == (0.0625, 1.25)
    for clear in (2.5, 1.5):
        with pytest.raises(Unbuildable) as refused:
            measured(deck, "B1", clear, clear)
        assert {problem.code for problem in refused.value.problems} == {"measure_too_short"}
    assert (SURFACE.side_gaps("glass"), SURFACE.side_gaps("picket")) == (2.5, 0.0)


def test_the_least_that_is_told_is_taken() -> None:
    """What a refusal says that a bay needs at least is a measure that is taken.

    With marks of 1/32 a panel between two gaps of 1 1/4 needs 2.5 + 0.03125 = 2.53125. In four
    decimals that is 2.5313 upward; 2.5312 would be refused, and is told the least in full, as four
    decimals could read like it.
    """
    drawn = builders.deck(builders.rectangle(240.0, 144.0), infill="glass")
    deck = replace(drawn, step=1 / 32)
    for clear, told in ((2.0, 2.5313), (2.5312, 2.53125)):
        with pytest.raises(Unbuildable) as refused:
            measured(deck, "B1", clear, clear)
        assert refused.value.problems[0].message.endswith(f"they need {told} in at least.")
        panel = measured(deck, "B1", told, told).bays[0].fill.glass
        assert panel is not None
        assert panel.width == 1 / 32


def test_the_shortest_raked_bay() -> None:
    """A raked bay is taken from where its rails are one mark long, along the slope.

    Between two allowances of 3/8 that is 2 x 0.375 + 0.0625 = 0.8125, whatever the pitch; a mark
    less leaves a rail no length.
    """
    flight = sloping.stair(98.0, 14, 10.5)
    drawn = sloping.DrawnFlight(SURFACE, "in", (240.0, 144.0), 96.0, 40.0, flight, "picket", 36.0)
    found = next(b for b in measured(drawn.deck(), "B14", 0.8125, 0.8125).bays if b.id == "B14")
    assert (found.fill.top_cut, found.fill.bottom_cut) == (0.0625, 0.0625)
    with pytest.raises(Unbuildable) as refused:
        measured(drawn.deck(), "B14", 0.75, 0.75)
    assert refused.value.problems[0].message.endswith("they need 0.8125 in at least.")


def test_a_measure_as_long_as_its_posts_stand_apart() -> None:
    """A measure of 58 1/2 is refused in a bay of 58 1/4, centre to centre: it was misread, or is
    that of another bay.

    The run is 240 - 2 x 3.5 = 233 long and has four bays, each 58.25 less a post's 2.25, so 56
    clear. The message has the drawn clear opening, too, to see what was misread.
    """
    deck = builders.deck(builders.rectangle(240.0, 144.0), infill="picket")
    with pytest.raises(Unbuildable) as refused:
        measured(deck, "B1", 58.5, 56.0)
    (problem,) = refused.value.problems
    assert problem.message == (
        "Bay B1 cannot measure 58.5 in along its rail: it is drawn 56 in clear, and what it lies "
        "between leaves it less than 58.25 in; measure it again, or name the bay that was measured."
    )


def test_a_measure_needs_no_more_proof() -> None:
    """A measured deck needs no more work to prove its marks than the same deck unmeasured.

    The deck has a no_post stretch. The work that it uses up unmeasured, which is not enough when it
    is one less, is just enough when it is measured.
    """
    drawn = builders.deck(
        builders.rectangle(240.0, 144.0), no_post=(builders.no_post(0, 118.0, 4.0),)
    )
    work = MarkWork()
    lay_out(drawn, SURFACE, None, Shared(work))
    spent = MARK_WORK - work.left
    assert spent > 0
    with pytest.raises(TooLarge):
        lay_out(drawn, SURFACE, None, Shared(MarkWork(spent - 1)))
    measure = SiteMeasure("B1", 55.0, 55.0, "/site_measures/0")
    just = MarkWork(spent)
    layout = lay_out(replace(drawn, site_measures=(measure,)), SURFACE, None, Shared(just))
    assert just.left == 0
    assert layout.bays[0].measured


def test_places_of_measured_bays_are_counted() -> None:
    """The pickets of a measured bay are taken off the document's budget of places.

    36 in with gaps of at most 3 3/4 beside pickets of 3/4 take 8: (36 - 8 * 0.75) / 9 = 3.33, where
    7 leave (36 - 7 * 0.75) / 8 = 3.84. Two such bays take 16 of 20 places, and a third is refused.
    """
    bare = replace(SURFACE, rail_support=None, weep=None)
    budget = Budget("/kit", places=20)
    filler = Filler(bare, STEP, budget)
    for left in (12, 4):
        filler.fill_measured(
            builders.guard_spec(), Measured(36.0, 36.5, 36.0), ("socket", "socket")
        )
        assert budget.places == left
    with pytest.raises(TooLarge):
        filler.fill_measured(
            builders.guard_spec(), Measured(36.0, 36.5, 36.0), ("socket", "socket")
        )
