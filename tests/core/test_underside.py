"""Rail supports and weep holes against a slow search over every mark of the rail."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.records.kit import Block, RailSupport, Weep
from service.core.runs.underside import BottomRail, place_supports, place_weeps
from tests.bounded import bounded
from tests.core import builders
from tests.core.independent import weep_row

STEP = Fraction(1, 16)


def drawn(
    seed: int,
) -> tuple[Fraction, Fraction, Fraction, Fraction, list[tuple[Fraction, Fraction]]]:
    """A bay: its clear, its first allowance, the radius and interval of holes, and the obstacles in
    the rail as place and half width."""
    rng = random.Random(seed)
    clear = Fraction(rng.randint(16 * 14, 16 * 40), 16)
    start = Fraction(rng.choice([1, 2, 3, 7]), 16)
    radius = Fraction(rng.choice([4, 5, 6]), 32)
    most = Fraction(-(-16 * (clear - 2 * start) // rng.choice([2, 3, 4])) + rng.randint(0, 12), 16)
    obstacles = []
    kind = rng.choice(["pickets", "blocks", "supports"])
    if kind == "pickets":
        pitch = Fraction(rng.choice([40, 64, 72, 22]), 16)
        at = Fraction(rng.randint(8, 60), 16)
        while at < clear:
            obstacles.append((at, Fraction(rng.choice([6, 5]), 16)))
            at += pitch
    if kind == "blocks":
        obstacles += [(clear / 4, Fraction(2)), (clear * 3 / 4, Fraction(2))]
    obstacles.append((clear / 2, Fraction(3, 4)))
    return clear, start, radius, most, obstacles


def holds(start: Fraction, rail: Fraction, holes: list[Fraction], most: Fraction) -> bool:
    """Whether every interval between holes, rail ends included, is within the kit's."""
    places = [start, *holes, start + rail]
    return all(b - a <= most for a, b in zip(places, places[1:], strict=False))


@pytest.mark.parametrize("seed", range(60))
def test_weeps_against_every_mark(seed: int) -> None:
    """Each hole is on the nearest free mark, and there is one hole more where an interval would be
    too long."""
    clear, start, radius, most, obstacles = drawn(seed)
    rail = clear - 2 * start
    at_least = 2 if seed % 2 else 1
    count = max(at_least, -(-rail // most) - 1)
    rows = (
        weep_row(start, rail, radius, n, obstacles, clear / 2, STEP)
        for n in range(count, count + 4)
    )
    expected = next((r for r in rows if len(r) >= count and holds(start, rail, r, most)), None)
    found, complete = place_weeps(
        BottomRail(float(start), float(rail), float(clear / 2)),
        Weep(float(2 * radius), float(most)),
        at_least,
        [(float(at), float(half)) for at, half in obstacles],
        float(STEP),
    )
    if expected is None:
        assert not complete or len(found) > count + 3
    else:
        assert complete
        assert found == pytest.approx([float(hole) for hole in expected])


def test_the_drawn_bays_are_of_every_kind() -> None:
    """Of the first twenty bays at least three need a hole more than the interval alone asks for."""
    more = 0
    for seed in range(20):
        clear, start, radius, most, obstacles = drawn(seed)
        rail = clear - 2 * start
        count = max(2 if seed % 2 else 1, -(-rail // most) - 1)
        row = weep_row(start, rail, radius, count, obstacles, clear / 2, STEP)
        more += len(row) < count or not holds(start, rail, row, most)
    assert more >= 3


@pytest.mark.parametrize(
    ("clear", "most", "places"),
    [
        (60.0, 30.0, [30.0]),
        (60.0625, 30.0, [20.0, 40.0625]),
        (20.0, 30.0, [10.0]),
        (90.0, 30.0, [30.0, 60.0]),
    ],
)
def test_supports(clear: float, most: float, places: list[float]) -> None:
    """There are max(1, ceil(clear/interval) - 1) supports: 60/30 gives one; 60.0625/30 gives two,
    at 20.0208 and 40.0417."""
    assert place_supports(clear, RailSupport(most, 1.5), 0.0625) == tuple(places)


@bounded(150)
@given(st.integers(100, 2000), st.integers(150, 700))
def test_supports_divide_the_clear_evenly(sixteenths: int, most: int) -> None:
    """Supports are the fewest that keep the interval (one at least), each on the mark nearest to
    even."""
    clear, interval = Fraction(sixteenths, 16), Fraction(most, 16)
    found = place_supports(float(clear), RailSupport(float(interval), 1.5), 0.0625)
    parts = len(found) + 1
    assert clear / parts <= interval
    assert parts == 2 or clear / (parts - 1) > interval
    for i, at in enumerate(found, start=1):
        assert abs(Fraction(at) - clear * i / parts) <= Fraction(1, 32)
        assert Fraction(at) % STEP == 0


def test_a_tie_between_two_marks_goes_toward_mid_bay() -> None:
    """Of two free marks as near to a hole's even place, the one nearer to mid-bay is taken.

    Rail 40 from 0, one hole, even at 20, where a foot 1.5 wide stands; mid-bay is given as 21. The
    hole's edge clears the foot by a sixteenth: 0.75 + 0.125 + 0.0625 = 0.9375 to each side, so
    19.0625 and 20.9375 are equally near, and the second is nearer to mid-bay. With mid-bay at 19 it
    is the first.
    """
    weep = Weep(0.25, 30.0)
    for middle, hole in ((21, 20.9375), (19, 19.0625)):
        rail = BottomRail(0, 40, middle)
        assert place_weeps(rail, weep, 1, [(20.0, 0.75)], 0.0625) == ((hole,), True)


@pytest.mark.parametrize("noise", [-1e-9, 0.0, 1e-9])
def test_a_support_in_the_middle_leaves_its_hole_on_the_lesser_side(noise: float) -> None:
    """Where both marks are as near to the hole's even place and to mid-bay, the lesser one is
    taken; the last bits of arithmetic do not decide."""
    weep = Weep(0.25, 30.0)
    rail = BottomRail(noise, 40, 20 - noise)
    found = place_weeps(rail, weep, 1, [(20.0, 0.75)], 0.0625)
    assert found == ((19.0625,), True)


def test_no_hole_where_the_whole_rail_is_taken() -> None:
    """An obstacle as long as the rail leaves no free mark: there is no hole, and the row is not
    complete."""
    rail = BottomRail(0, 10, middle=5)
    assert place_weeps(rail, Weep(0.25, 30.0), 1, [(5.0, 6.0)], 0.0625) == ((), False)


@pytest.mark.parametrize(("infill", "inset"), [("picket", 9), ("glass", 9), ("glass", 15)])
def test_holes_of_whole_bays(infill: str, inset: float) -> None:
    """Weep holes of whole layouts are those of the slow search, with everything in the bottom rail
    where the layout has it.

    The outline has two corners cut off, so that bays have swivel ends, whose allowance is not that
    of their other ends. Supports, pickets and blocks are in the rail; blocks are counted from the
    panel's own end, a side gap in from the face.
    """
    outline = ((0, 0), (150, 0), (190, 40), (190, 133), (150, 160), (0, 160))
    kit = builders.with_glass(builders.SURFACE, block=Block(inset, 4.0))
    assert kit.weep is not None
    assert kit.rail_support is not None
    assert kit.picket is not None
    assert kit.glass is not None
    radius, most = Fraction(kit.weep.diameter) / 2, Fraction(kit.weep.max_interval)
    bays = builders.laid(outline, kit, infill=infill).bays
    assert len({bay.ends for bay in bays}) >= 3
    for bay in {(bay.clear, bay.ends): bay for bay in bays}.values():
        foot, thin = Fraction(kit.rail_support.width) / 2, Fraction(kit.picket.width) / 2
        obstacles = [(Fraction(at), foot) for at in bay.fill.rail_supports]
        obstacles += [
            (Fraction(at), thin) for at in (bay.fill.pickets.centres if bay.fill.pickets else ())
        ]
        for at in bay.fill.glass.blocks if bay.fill.glass else ():
            gap = Fraction(bay.fill.glass.side_gap if bay.fill.glass else 0)
            obstacles.append((gap + Fraction(at), Fraction(kit.glass.block.length) / 2))
        start = Fraction(kit.rails[bay.infill].bottom.end_allowance[bay.ends[0]])
        rail, middle = Fraction(bay.fill.bottom_cut), Fraction(bay.clear) / 2
        count = max(2 if bay.fill.glass else 1, -(-rail // most) - 1)
        rows = [
            weep_row(start, rail, radius, n, obstacles, middle, STEP)
            for n in range(count, count + 3)
        ]
        expected = next(r for r in rows if len(r) >= count and holds(start, rail, r, most))
        assert list(bay.fill.weep_holes) == pytest.approx([float(hole) for hole in expected])


def test_two_holes_that_have_no_room_beside_each_other_are_one() -> None:
    """Holes of 5/16 a mark apart are 3/8 centre to centre. A rail from 1/4 to 0.85 has 0.6 - 5/16 =
    0.2875 for centres: one hole fits, two never do. Two even places are 0.45 and 0.65, on marks
    0.4375 and 0.625; of these 0.625 leaves the less, 0.375 on its wider side. Of three the middle
    one, 0.55, goes to the mark at 0.5625 and leaves 0.3125 and 0.2875; the next mark, 0.5, would
    leave 0.35."""
    rail = BottomRail(0.25, 0.6, 0.55)
    assert place_weeps(rail, Weep(0.3125, 30.0), 2, [], 0.0625) == ((0.5625,), False)


def test_of_two_holes_too_near_each_other_the_one_stays_that_leaves_less() -> None:
    """Holes of 1/2 a mark of 1/4 apart are 3/4 centre to centre. Half a hole and a mark off what is
    in the way, 5.75 to 6.25 is free of a rail of 13. Its two even places, 4 1/3 and 8 2/3, go to
    5.75 and 6.25, which are 1/2 apart: 5.75 alone leaves 7.25, 6.25 alone 6.75. Longer rows have
    the same two places. In the mirror image 6.75 and 7.25 are free, and 6.75 stays."""
    rail, weep = BottomRail(0.0, 13.0, 6.5), Weep(0.5, 5.0)
    obstacles = [(2.625, 2.625), (9.875, 3.125)]
    assert place_weeps(rail, weep, 2, obstacles, 0.25) == ((6.25,), False)
    mirrored = [(13.0 - at, half) for at, half in obstacles]
    assert place_weeps(rail, weep, 2, mirrored, 0.25) == ((6.75,), False)


def test_holes_apart_by_the_least_to_the_last_bit_stay() -> None:
    """Holes a millionth wider than 1/2, a mark of 1/4 apart, are 0.750001 centre to centre, and 3/4
    is within a millionth of that. 6 to 6.75 is free. Even places of a rail of 13 are 3.25,
    6.5 and 9.75, and go to 6, 6.5 and 6.75: the middle one has no room, the outer ones have."""
    rail, obstacles = BottomRail(0.0, 13.0, 6.5), [(2.745, 2.745), (10.13, 2.87)]
    assert place_weeps(rail, Weep(0.500001, 5.0), 2, obstacles, 0.25) == ((6.0, 6.75), False)


def test_a_mark_that_is_free_to_a_millionth_is_found_from_either_side() -> None:
    """A hole of 1/4 keeps 1/8 + 1/4 from what is in the way. That takes 2.75 to 5.25, and 5.2499995
    to 7.7500005: of the marks in both, 5.25 and 7.75 are free to a millionth. A rail of 12 needs
    one hole, at 6, which goes to 5.25, 3/4 off, and not to 7.75, 1 3/4 off. The mark below, 5, is
    1/4 inside the first stretch."""
    obstacles = [(4.0, 0.875), (6.5, 0.8750005)]
    assert place_weeps(BottomRail(0.0, 12.0, 6.0), Weep(0.25, 7.0), 1, obstacles, 0.25) == (
        (5.25,),
        True,
    )


def test_a_row_that_cannot_keep_the_interval_has_no_more_holes_than_help() -> None:
    """What is in the way takes 2.1 to 9.9; with half a hole of 5/16 and a mark it is 1.88125 to
    10.11875. The free marks nearest to it are 1.875 and 10.125, 8.25 apart: a hole more, which
    would stand beside one of these, makes that no less."""
    rail, obstacles = BottomRail(0.0, 12.0, 6.0), [(4.0, 1.9), (8.0, 1.9)]
    assert place_weeps(rail, Weep(0.3125, 5.0), 1, obstacles, 0.0625) == ((1.875, 10.125), False)


@pytest.mark.parametrize("seed", range(200))
def test_holes_never_run_into_each_other(seed: int) -> None:
    """Their edges are a mark apart at least, on rails and obstacles of every size."""
    rng = random.Random(seed)
    cut, diameter = rng.uniform(0.4, 30.0), rng.choice([0.25, 0.3125, 0.500001, 1.0])
    obstacles = [(rng.uniform(0.0, cut), rng.uniform(0.1, 3.0)) for _ in range(rng.randint(0, 5))]
    rail, weep = BottomRail(0.25, cut, 0.25 + cut / 2), Weep(diameter, rng.uniform(0.5, 20.0))
    holes, complete = place_weeps(rail, weep, rng.choice([1, 2]), obstacles, 0.0625)
    assert all(b - a >= diameter + 0.0625 - 1e-6 for a, b in pairwise(holes))
    assert all(0.25 + diameter / 2 <= hole + 1e-6 for hole in holes)
    assert all(hole - 1e-6 <= 0.25 + cut - diameter / 2 for hole in holes)
    for at, half in obstacles:
        assert all(abs(hole - at) >= half + diameter / 2 + 0.0625 - 1e-6 for hole in holes)
    if complete:
        places = (0.25, *holes, 0.25 + cut)
        assert max(b - a for a, b in pairwise(places)) <= weep.max_interval + 1e-6
