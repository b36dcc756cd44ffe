"""Marks of a run against an independent solver (HiGHS) and against trying every row of marks.

The constraints and the order of aims are those of the contract's step 4. Marks are whole steps,
spacings are within the kit's and no less than a base, or half of one beside a wall, no mark is
inside a forbidden stretch, and no panel is cut from a clear over the widest that the kit takes. The
aims are the least spread of clears, then the least squares from the even marks, then the least
marks.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.problems import TooLarge
from service.core.runs.budget import MarkWork
from service.core.runs.marks import NoMarks, best_marks, divide_run
from service.core.runs.spans import Bounds, Span
from tests.bounded import bounded
from tests.core.independent import SCALE, Case, by_programme, by_trying_all

STEP = 0.0625


def span_of(case: Case) -> Span:
    """The case as the engine takes it, in inches."""
    part = STEP / SCALE
    return Span(
        length=case.length * part,
        halves=(case.halves[0] * part, case.halves[1] * part),
        width=case.width * part,
        base=case.spacings[0] * part,
        rooms=(case.spacings[0] * part / 2, case.spacings[0] * part / 2),
        forbidden=tuple((low * part, high * part) for low, high in case.forbidden),
    )


def fits_of(case: Case) -> Callable[[float], bool]:
    """Whether the kit takes a panel cut from a clear in inches."""
    cap = case.cap
    return lambda clear: cap is None or clear / STEP + 1e-3 < cap + 1


def best(case: Case, bays: int) -> tuple[int, ...] | None:
    """The engine's best marks of so many bays, in steps."""
    most = case.spacings[1] * STEP / SCALE
    found = best_marks(span_of(case), bays, Bounds(most, STEP, fits_of(case)), MarkWork())
    return None if found is None else tuple(round(mark / STEP) for mark in found)


def drawn_case(seed: int) -> tuple[Case, int]:
    """A run of two to five bays, with stretches about some even marks forbidden, and walls, posts
    or swivels at its ends."""
    rng = random.Random(seed)
    bays = rng.randint(2, 5)
    width = 2 * rng.randint(2, 12)
    pitch = rng.randint(70, 170) if bays < 5 else rng.randint(60, 110)
    length = bays * pitch + rng.randint(-SCALE, SCALE)
    ends = [rng.choice([0, width // 2, width // 2, width // 2 + rng.randint(1, 9)]) for _ in "ab"]
    halves = ends[0], ends[1]
    forbidden = []
    for place in Case(length, halves, width, (0, length)).even(bays):
        if rng.random() < 0.6:
            low = int(place) - rng.randint(1, 30)
            forbidden.append((low, int(place) + rng.randint(1, 30)))
    slack = rng.choice([1, 10, 30, 50, 70])
    cap = rng.choice([None, None, None, (pitch - width + rng.randint(0, 40)) // SCALE])
    spacings = (rng.choice([width, width + 8]), pitch + slack)
    case = Case(length, halves, width, spacings, tuple(forbidden), cap)
    return case, bays


@pytest.mark.parametrize("seed", range(90))
def test_best_marks_against_highs(seed: int) -> None:
    """In ninety drawn runs the marks are those that three exact solves find, or none where they
    find none."""
    case, bays = drawn_case(seed)
    assert best(case, bays) == by_programme(case, bays)


def test_the_drawn_runs_are_of_every_kind() -> None:
    """Of the ninety runs at least ten have no marks, and in at least 25 the marks are not the even
    ones."""
    found = [(best(*drawn_case(seed)), *drawn_case(seed)) for seed in range(90)]
    none = [marks for marks, _, _ in found if marks is None]
    moved = [
        marks
        for marks, case, bays in found
        if marks is not None
        and any(abs(m * SCALE - e) > SCALE for m, e in zip(marks, case.even(bays), strict=True))
    ]
    assert len(none) >= 10
    assert len(moved) >= 25


@st.composite
def small_cases(draw: st.DrawFn) -> tuple[Case, int]:
    """Runs short enough to try every row of marks."""
    bays = draw(st.integers(2, 4))
    length = draw(st.integers(bays * 24, {2: 400, 3: 260, 4: 180}[bays]))
    width = 2 * draw(st.integers(0, 8))
    half = st.one_of(st.just(0), st.just(width // 2), st.integers(width // 2, width // 2 + 8))
    stretch = st.tuples(st.integers(-20, length), st.integers(1, 70))
    forbidden = tuple(
        sorted((low, low + wide) for low, wide in draw(st.lists(stretch, max_size=3)))
    )
    most = max(-(-length // bays), 2 * width + 2 * SCALE) + draw(st.integers(0, 40))
    cap = draw(st.one_of(st.none(), st.integers((most - width) // SCALE - 2, most // SCALE)))
    least = min(max(1, width + draw(st.integers(0, 40))), most // 2 - SCALE)
    halves = (draw(half), draw(half))
    return Case(length, halves, width, (least, most), forbidden, cap), bays


@bounded(250)
@given(small_cases())
def test_best_marks_against_every_row(drawn: tuple[Case, int]) -> None:
    """The marks are those found by trying all rows, ties included."""
    case, bays = drawn
    assert best(case, bays) == by_trying_all(case, bays)


@st.composite
def full_cases(draw: st.DrawFn) -> tuple[Case, int]:
    """Runs hardly shorter than their bays at the greatest spacing, between walls and posts, with a
    cap on panels near the widest clear that there has to be: bays are of different kinds."""
    bays = draw(st.integers(2, 4))
    width = 2 * draw(st.integers(4, 20))
    most = 8 * draw(st.integers(9, 13 if bays == 4 else 18)) + draw(st.integers(0, 7)) + width
    half = st.one_of(st.just(0), st.just(width // 2), st.integers(width // 2, width // 2 + 20))
    length = bays * most - draw(st.integers(0, 20))
    stretch = st.tuples(st.integers(0, length), st.integers(1, 30))
    forbidden = tuple((low, low + wide) for low, wide in draw(st.lists(stretch, max_size=1)))
    case = Case(length, (draw(half), draw(half)), width, (width, most), forbidden)
    widest = most - max(case.kinds(bays)) if any(case.kinds(bays)) else most - width
    return replace(case, cap=int(widest) // SCALE + draw(st.integers(-3, 1))), bays


@bounded(250)
@given(full_cases())
def test_best_marks_of_full_runs_against_every_row(drawn: tuple[Case, int]) -> None:
    """The marks are those found by trying all rows, where bays at walls share a size of their
    own."""
    case, bays = drawn
    assert best(case, bays) == by_trying_all(case, bays)


def divided(case: Case) -> tuple[int, ...] | None:
    """The engine's marks of the fewest bays, in steps."""
    most = case.spacings[1] * STEP / SCALE
    try:
        found = divide_run(span_of(case), Bounds(most, STEP, fits_of(case)), MarkWork())
    except NoMarks:
        return None
    return tuple(round(mark / STEP) for mark in found)


def by_the_method(case: Case, most_bays: int) -> tuple[int, ...] | None:
    """The marks of a run without forbidden places, one number of bays after the other.

    Even marks that keep the spacing are moved by no panel: they are taken, or there is one bay
    more. Where they break it, every row of marks is tried.
    """
    for bays in range(1, most_bays + 1):
        even = tuple(-((-2 * place + SCALE) // (2 * SCALE)) for place in case.even(bays))
        stand = replace(case, cap=None).keeps(even)
        found = even if stand else by_trying_all(case, bays)
        if found is not None and case.keeps(found):
            return found
    return None


@bounded(250)
@given(full_cases())
def test_full_runs_by_the_method(drawn: tuple[Case, int]) -> None:
    """Panels too wide for even marks that stand make one bay more; where the spacing moves the
    marks anyway, those for as many bays are taken whose panels the kit has."""
    case, bays = replace(drawn[0], forbidden=()), drawn[1]
    found = divided(case)
    few = found is not None and len(found) < bays
    assert by_the_method(case, bays) == (found if few else None)


@bounded(150)
@given(small_cases())
def test_no_fewer_bays_will_do(drawn: tuple[Case, int]) -> None:
    """The marks found keep every limit, and no row of fewer marks does."""
    case = drawn[0]
    if not span_of(case).is_forced():
        case = replace(case, cap=None)
    marks = divided(case)
    fewest = next((b for b in range(1, 6) if by_trying_all(case, b) is not None), None)
    if marks is None:
        assert fewest is None
    elif len(marks) < 5:
        assert case.keeps(marks)
        assert fewest == len(marks) + 1


@bounded(150)
@given(small_cases())
def test_even_marks_where_they_will_do(drawn: tuple[Case, int]) -> None:
    """Where the grid marks nearest to the even places keep every limit, they are the marks."""
    case, bays = replace(drawn[0], cap=None), drawn[1]
    rounded = tuple(-((-2 * place + SCALE) // (2 * SCALE)) for place in case.even(bays))
    if case.keeps(rounded) and all(by_trying_all(case, b) is None for b in range(1, bays)):
        assert divided(case) == rounded


@pytest.mark.parametrize(("length", "bays"), [(140.0, 2), (140.0625, 3), (70.0, 1), (70.0625, 2)])
def test_at_and_over_the_greatest_spacing(length: float, bays: int) -> None:
    """With spacings of at most 70, 140 is two bays of exactly 70; a sixteenth more takes one more
    bay."""
    span = Span(length, (1.25, 1.25), 2.5, 4.75)
    marks = divide_run(span, Bounds(70.0, STEP, lambda _: True), MarkWork())
    assert len(marks) + 1 == bays


def test_even_marks_that_keep_the_limit_on_the_grid() -> None:
    """Even marks that keep the limit once rounded to the grid are taken.

    Length 209.96875 in three of at most 70, ends 1.25: even places 69.98958 and 139.97917. On the
    sixteenth they are 70 and 140 (139.9792 is nearer 140 than 139.9375): spacings 70, 70 and
    69.96875, all within 70. With ends of 1.25 and 1.2 the even places are 70.00625 and 140.0125,
    over the limit by themselves; the nearest marks are the same two, which keep it.
    """
    for halves in ((1.25, 1.25), (1.25, 1.2)):
        span = Span(209.96875, halves, 2.5, 4.75)
        assert divide_run(span, Bounds(70.0, STEP, lambda _: True), MarkWork()) == (70.0, 140.0)


def test_a_swivel_half_that_breaks_even_marks() -> None:
    """Where the half post of a swivel makes the even mark break the spacing, another mark is taken.

    Length 100, most 50, halves 1.25 and 2.25: even clears (100 - 3.5 - 2.5)/2 = 47. The even mark
    is 1.25 + 47 + 1.25 = 49.5, and its second spacing 50.5 is over 50; only mark 50 keeps both:
    clears 47.5 and 46.5.
    """
    span = Span(100.0, (1.25, 2.25), 2.5, 4.75)
    assert divide_run(span, Bounds(50.0, STEP, lambda _: True), MarkWork()) == (50.0,)


def test_bases_that_nearly_fill_a_run_stand_clear_of_one_another() -> None:
    """Marks keep at least a base between two posts, and half a base between a wall and a post.

    The run has a wall, a post and a post at its end: 7.5 long, spacings of at most 7, bases of 4.5.
    The even clear is (7.5 - 1.125 - 2.25) / 2 = 2.0625 and the even mark 3.1875, which leaves
    4.3125, less than a base: so the mark is 3, with at least 2.25 before it. A length of 6.75 has
    one mark that keeps both, 2.25; 6.6875 has none.
    """
    bounds = Bounds(7.0, STEP, lambda _: True)

    def marks(length: float, most: float) -> tuple[float, ...]:
        span = Span(length, (0.0, 1.125), 2.25, 4.5, rooms=(2.25, 0.0))
        return divide_run(span, replace(bounds, most=most), MarkWork())

    assert marks(7.5, 7.0) == (3.0,)
    assert marks(6.75, 6.0) == (2.25,)
    with pytest.raises(NoMarks):
        marks(6.6875, 6.0)


def test_from_an_oblique_wall_a_base_has_more_room() -> None:
    """The mark moves out to where an oblique wall leaves room for the base.

    Of 20, at most 11 apart, the even clear is (20 - 1.125 - 2.25) / 2 = 8.3125 and the mark 9.4375;
    beside a wall that leaves a base no room before 10.5 the mark is 10.5.
    """
    span = Span(20.0, (0.0, 1.125), 2.25, 4.5, rooms=(10.5, 0.0))
    assert divide_run(span, Bounds(11.0, STEP, lambda _: True), MarkWork()) == (10.5,)


def test_panels_too_wide_for_even_marks_that_the_spacing_moves() -> None:
    """Where even marks break the spacing, other marks for as many bays are looked for, even if the
    panels between the even ones are too wide by themselves.

    From a wall to a post, 119 long, at most 60 apart: the even clear is (119 - 1.125 - 2.25) / 2 =
    57.8125, the even mark 57.8125 + 1.125 = 58.9375, and what follows it 60.0625, over 60. Mark 59
    keeps both, 59 and 60, with clears of 57.875 and 57.75. They differ by two steps and share
    57.75, the widest mark that a panel may be cut from; so two bays are enough. Where a panel may
    be cut from no more than 57.6875, three are needed: (119 - 1.125 - 4.5) / 3 = 37.7917 is the
    clear, and the marks are those nearest to 38.9167 and 78.9583.

    A spacing of 61 holds the even mark, and no panel moves it by itself: then it is three bays.
    """
    span = Span(119.0, (0.0, 1.125), 2.25, 4.5, rooms=(2.25, 0.0))

    def marks(most: float, widest: float) -> tuple[float, ...]:
        fits = Bounds(most, STEP, lambda clear: clear < widest + STEP / 2)
        return divide_run(span, fits, MarkWork())

    assert marks(60.0, 57.75) == (59.0,)
    assert marks(60.0, 57.6875) == (38.9375, 78.9375)
    assert marks(61.0, 57.75) == (38.9375, 78.9375)


def test_of_two_as_good_the_lesser_marks() -> None:
    """Of two rows of marks that are equally good, the lesser one is taken.

    Three bays of 120: the first post may stand at 40 alone, the second not between 79 and 81. 79
    gives spacings 40, 39, 41 and 81 gives 40, 41, 39: they are as even, and as far from 80; so it
    is 79.
    """
    kept_out = ((20.0, 40.0), (40.0, 60.0), (79.0, 81.0))
    span = Span(120.0, (1.25, 1.25), 2.5, 4.75, kept_out)
    assert divide_run(span, Bounds(45.0, STEP, lambda _: True), MarkWork()) == (40.0, 79.0)


def test_a_panel_is_judged_by_the_clear_that_the_run_shares() -> None:
    """A panel fits a run if it can be cut from the smallest clear, which the run shares.

    Length 117.5625: the even place is 58.78125, marked 58.75, with clears 56.5 and 56.5625, shared
    56.5. A panel of 54 at most with gaps of 1.25 takes a clear of 56.5 and not of 56.5625: two bays
    do.
    """
    span = Span(117.5625, (1.125, 1.125), 2.25, 4.5)

    def fits(clear: float) -> bool:
        return clear - 2.5 <= 54

    assert divide_run(span, Bounds(60.0, STEP, fits), MarkWork()) == (58.75,)


def test_work_is_counted() -> None:
    """A search that may weigh only twenty places is refused, however fast the machine is.

    Of 63 and 66 (65 is even, and forbidden) the second is better: clears 63.5 and 61.5.
    """
    span = Span(130.0, (1.25, 1.25), 2.5, 4.75, ((63.0, 66.0),))
    assert divide_run(span, Bounds(70.0, STEP, lambda _: True), MarkWork()) == (66.0,)
    with pytest.raises(TooLarge) as refused:
        divide_run(span, Bounds(70.0, STEP, lambda _: True), MarkWork(20))
    assert [problem.code for problem in refused.value.problems] == ["too_much_to_prove"]


def test_a_stretch_moves_a_post_and_costs_no_bay() -> None:
    """A forbidden stretch moves a post by one mark, and the run needs no bay more.

    Length 231.6 of glass, in panels of 53.125 at most with gaps of 1.25: even marks of four bays
    are 57.875, 115.8125 and 173.6875, with clears of 55.625, 55.6875, 55.625 and 55.6625. As the
    first post may not stand between 57.85 and 58.35, it goes a mark down, and four bays still share
    55.5625, panel 53.0625.
    """
    span = Span(231.6, (1.125, 1.125), 2.25, 4.5, ((57.85, 58.35),))

    def fits(clear: float) -> bool:
        return clear - 2.5 <= 53.125 + 1e-9

    marks = divide_run(span, Bounds(60.0, STEP, fits), MarkWork())
    assert len(marks) == 3
    clears = span.clears(marks)
    assert max(clears) - min(clears) <= 2 * STEP + 1e-9
    assert fits(min(clears))


def test_wide_bays_share_a_panel_beside_a_narrow_bay() -> None:
    """Two wide bays may share a panel if their clears are within two steps, whatever a narrow bay
    beside them has.

    To the inch, with posts 2 wide, a panel is cut from a clear of less than 60; the first post may
    stand at 40 alone, which leaves 38 before it.

    Of 162 the other two bays are 122 long, less two posts' width 118: 59 and 59 with a post at 101.
    Of 163 they come to 119, 59 and 60. Of 164 they come to 120: 60 and 60 will not do, but 59 and
    61 lie two steps apart, and both are cut from 59. Of 165 they come to 121: 60 and 61 will not
    do, and 59 and 62 are too far apart, so that there are four bays.
    """
    kept_out = ((0.5, 39.5), (40.5, 70.0))

    def marks(length: float) -> tuple[float, ...]:
        span = Span(length, (1.0, 1.0), 2.0, 4.0, kept_out)
        return divide_run(span, Bounds(65.0, 1.0, lambda clear: clear < 60 - 1e-3), MarkWork())

    assert marks(162.0) == (40.0, 101.0)
    # Even marks are at 54 1/3 and 108 2/3, and at 54 2/3 and 109 1/3: the greater mark is nearer.
    assert marks(163.0) == (40.0, 102.0)
    assert marks(164.0) == (40.0, 103.0)
    assert len(marks(165.0)) == 3


def test_as_even_rows_with_and_without_too_wide_a_bay() -> None:
    """Of two rows with the same spread the one nearer the even marks is the best, also where only
    the other has a bay that is too wide for a panel and shares a narrower bay's size.

    In steps, from wall to wall of 220, with posts 16 wide: bays are up to 45 between centres, and a
    panel is cut from up to 36. In five bays the clears come to 220 - 4 * 16 = 156, so the even
    marks are at 31.2 + 8 = 39.2, 86.4, 133.6 and 180.8. A bay at a wall is up to 45 - 8 = 37, the
    others up to 45 - 16 = 29, so they are of two kinds.

    Marks 44, 86, 131, 176 leave 36, 26, 29, 29, 36, which spread by 10. Marks 45, 90, 134, 177
    leave 37, 29, 28, 27, 35, which spread by 10, too; of these 37 is over 36, but shares 35. The
    squares of the first are 4.8^2 + 0.4^2 + 2.6^2 + 4.8^2 = 53.0, of the second 5.8^2 + 3.6^2 +
    0.4^2 + 3.8^2 = 61.2. The other rows of these marks have a bay of 30 or more between two posts,
    or spread by 11 or 12.
    """
    kept_out = ((-7, 351), (361, 687), (689, 719), (721, 1047), (1049, 1071), (1073, 1407))
    case = Case(1760, (0, 0), 128, (128, 360), (*kept_out, (1417, 1767)), 36)
    assert best(case, 5) == (44, 86, 131, 176)


def test_marks_are_not_moved_by_places_outside_the_run() -> None:
    """Forbidden places beyond a run's ends do not change its marks.

    Length 117.5: the even mark is 58.75, which leaves two clears of 56.5, and panels of 54 where
    53.95 is the most, so there are three bays. A post one mark off would leave 56.4375 to cut both
    panels from. Such marks are looked for only where places in the run are forbidden.
    """

    def marks(*kept_out: tuple[float, float]) -> tuple[float, ...]:
        span = Span(117.5, (1.125, 1.125), 2.25, 4.5, kept_out)
        return divide_run(span, Bounds(60.0, STEP, lambda clear: clear - 2.5 <= 53.95), MarkWork())

    assert len(marks()) == 2
    assert marks() == marks((130.0, 140.0)) == marks((-20.0, -10.0))
    assert marks((10.0, 20.0)) == (58.6875,)


@pytest.mark.parametrize(
    "span",
    [
        Span(11_822.2, (31.75, 31.75), 63.5, 114.3, ((3942.85, 6557.15),)),
        Span(1393.0, (1.125, 1.125), 2.25, 4.75, ((460.8, 565.6),)),
        Span(238.0, (80.0, 1.125), 2.25, 4.75, ()),
    ],
)
def test_what_no_number_of_bays_gets_over_is_seen_at_once(span: Span) -> None:
    """A run that no number of bays can divide is given up with hardly any work.

    Two runs have a stretch without posts wider than the greatest spacing; in the third the half of
    an end post takes up all of its bay.
    """
    most, step = (1752.6, 0.5) if span.length > 10_000 else (69.0, 1 / 64)
    with pytest.raises(NoMarks):
        divide_run(span, Bounds(most, step, lambda _: True), MarkWork(2000))


@bounded(150)
@given(small_cases())
def test_no_marks_where_no_number_of_bays_has_any(drawn: tuple[Case, int]) -> None:
    """Where `divide_run` raises `NoMarks`, trying all rows of up to eight bays finds none
    either."""
    case = replace(drawn[0], cap=None, length=min(drawn[0].length, 140))
    if divided(case) is None:
        assert all(by_trying_all(case, bays) is None for bays in range(1, 9))
