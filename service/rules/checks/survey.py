"""Rules: how well the outline and the standing posts were measured, and what must wait for that.

The bounds of walks, ties and setting out are common practice, not a code's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import (
    TOUCH,
    Length,
    Unit,
    angle_text,
    convert,
    decimals_apart,
    nearest_mark,
    number_text,
)
from service.core.records.seen import ClosureSeen, MeasureSeen
from service.rules.alike import BayKind, LeafKind, panels
from service.rules.finding import Amount, Finding, Verdict
from service.rules.job import Job, Place
from service.rules.kit_limits import KitLimit, by_kit
from service.rules.saying import Saying, say, say_by_kit, steady, tell_by_kind

CLOSURE_RATIO: Final = 500
"""Perimeter over gap of a tape walk, below which it is measured again (common practice)."""
THICKEST: Final[dict[Unit, Length]] = {"in": 12.0, "mm": 300.0}
"""Greatest thickness of a joist or rim; no timber of a deck has more (common practice, no
source)."""
WEAK_TIE: Final = 30.0
"""Acute angle in degrees of two crossing tapes, under which their corner is poorly fixed (contract,
section 3)."""
SET_OUT: Final = 0.5
"""Inches by which a clear opening may be off its drawing when each of its posts was set within a
quarter of an inch (common practice, no source)."""
_LEANING: Final = (
    ": plumb the posts and measure again; as it stands each rail is cut to its own measure, and "
    "what is between them to the lesser"
)


def _by_practice(
    rule: str,
    verdict: Verdict,
    sentence: str,
    limit: float,
    actual: float,
    amount: Amount = "length",
) -> Finding:
    """A finding by a bound of common practice."""
    cite, actual = "common practice, no source", steady(actual)
    return say(rule, verdict, sentence, cite=cite, limit=limit, actual=actual, amount=amount)


def deck_size(job: Job) -> Iterator[Saying]:
    """Levels so small or so large that their numbers may be of another unit."""
    feet = job.deck.unit == "in"
    own, square, name = ("inches", 12.0**2, "sq ft") if feet else ("millimetres", 1000.0**2, "m2")
    for seen in job.layout.odd_sizes:
        size, limit = seen.area / square, seen.bound / square
        decimals = max(decimals_apart(size, other, 2) for other in (0.0, limit))
        area, bound = (f"{number_text(value, decimals)} {name}" for value in (size, limit))
        if seen.area < seen.bound:
            than, meant = f"less than {bound}", "feet" if feet else "metres, centimetres or inches"
        else:
            than, meant = f"more than {bound}", "millimetres" if feet else "a smaller unit"
        sentence = (
            f"its outline encloses {area}, {than}: see that its numbers are {own}, as the unit of "
            f"the document says, and not {meant}"
        )
        told = _by_practice("deck_size", "warning", sentence, seen.bound, seen.area, "area")
        yield told, [(job.layout.level_place(seen.level),)]


def framing_size(job: Job) -> Iterator[Saying]:
    """Levels whose joists or rim are so thick that their numbers may be of another unit.

    Fixings would be found to land in timber that is not there.
    """
    unit = job.deck.unit
    most = THICKEST[unit]
    for level in job.deck.levels:
        framing = level.framing
        if framing is None or max(framing.joist_width, framing.rim_width) <= most + TOUCH:
            continue
        rim = framing.rim_width >= framing.joist_width
        thick = framing.rim_width if rim else framing.joist_width
        sentence = (
            f"{'its rim is' if rim else 'its joists are'} {job.text(thick, most)} thick, over "
            f"{job.text(most, thick)}, as no timber of a deck is: see that the numbers of its "
            f"framing are {'inches' if unit == 'in' else 'millimetres'}, as the unit of the "
            f"document says, and not {'millimetres' if unit == 'in' else 'a smaller unit'}"
        )
        told = _by_practice("framing_size", "warning", sentence, most, thick)
        yield told, [(job.layout.level_place(level.id),)]


def walk_closure(job: Job) -> Iterator[Saying]:
    """Gap of each tape walk against its perimeter."""
    for seen in job.layout.closures:
        yield _closure(job, seen), [(job.layout.level_place(seen.level),)]


def _closure(job: Job, seen: ClosureSeen) -> Finding:
    gap, limit = steady(seen.gap), seen.perimeter / CLOSURE_RATIO
    around = job.text(seen.perimeter)
    closes = gap <= limit + TOUCH
    if gap <= TOUCH:
        sentence = f"the tape walk of {around} closes on its start"
    else:
        ratio = math.floor(seen.perimeter / gap + TOUCH)
        sentence = (
            f"the tape walk of {around} misses its start by {job.text(gap, limit)}, "
            f"1:{ratio}; the gap was spread over the sides by their lengths"
        )
    if seen.left_out is not None:
        side, length = seen.left_out
        comes_to = job.text(nearest_mark(length, job.deck.step))
        sentence += (
            f"; side {side}, left out, comes to {comes_to}: lay a tape on it, as an error along "
            "it does not show"
        )
    if not closes:
        sentence += f"; worse than 1:{CLOSURE_RATIO}: measure the sides again"
    told = _by_practice("walk_closure", "pass" if closes else "warning", sentence, limit, gap)
    return told._replace(ratio=gap / seen.perimeter)


def weak_tie(job: Job) -> Iterator[Saying]:
    """Angle at which the two tapes of each corner cross.

    The well-fixed corners share a pass, with the least of their angles.
    """
    firm: list[Place] = []
    least = 90.0
    bound = angle_text(WEAK_TIE)
    for seen in job.layout.ties:
        place = (f"{seen.level}/corner {seen.corner}",)
        if seen.angle >= WEAK_TIE - TOUCH:
            firm.append(place)
            least = min(least, seen.angle)
            continue
        sentence = (
            f"the two tapes cross at {angle_text(seen.angle)}, under {bound}, so a small slip "
            "moves the corner far: check it by a third measure"
        )
        weak = _by_practice("weak_tie", "warning", sentence, WEAK_TIE, seen.angle, "degrees")
        yield weak, [place]
    sentence = (
        f"the two tapes cross at {angle_text(least)} at the least; {bound} fixes a corner well"
    )
    yield _by_practice("weak_tie", "pass", sentence, WEAK_TIE, least, "degrees"), firm


def out_of_plumb(job: Job) -> Iterator[Saying]:
    """How far the openings at the top and at the bottom rail of each measured bay differ."""
    limit = job.kit.out_of_plumb
    if limit is None:
        sentence = (
            "measured, but the kit gives no out_of_plumb to hold top against bottom; give it one"
        )
        unknown = say_by_kit(job, "out_of_plumb", "not_checked", sentence)
        yield unknown, [(seen.bay,) for seen in job.layout.measures]
        return
    apart = (((m.bay,), abs(m.clear_top - m.clear_bottom)) for m in job.layout.measures)
    what = "the opening at the top and the one at the bottom rail differ by {}"
    plumb = KitLimit("out_of_plumb", limit, what, cure=_LEANING, fails_as="warning")
    yield from by_kit(job, plumb, apart)


def measured_as_drawn(job: Job) -> Iterator[Saying]:
    """How far each measured opening is off its drawn one.

    Where every bay of a run, or every chord of a bow between two ends, is measured, their sum is
    read instead, since a post between two may have been moved.
    """
    rule, limit = "measured_as_drawn", convert(SET_OUT, "in", job.deck.unit)
    raked = {run.id for run in job.layout.runs if run.flight is not None}
    kept: list[Place] = []
    worst = 0.0
    for part, whole in _read_together(job):
        places = [(seen.bay,) for seen in part]
        furthest = max(part, key=lambda seen: abs(_off_drawn([seen])))
        off, single = _off_drawn(part), _off_drawn([furthest])
        alone = f"{furthest.bay} by itself is {_amount(job, single, limit)}"
        if abs(single) <= limit + TOUCH:
            alone = ""
        if abs(off) > limit + TOUCH:
            at = _at_rail(part, limit, raked=part[0].run in raked)
            sentence = _far_off(job, part, limit, at, alone, whole=whole)
            yield _by_practice(rule, "warning", sentence, limit, abs(off)), places
        elif alone:
            sentence = (
                f"every bay of the run is measured and they come to {job.text(abs(off), limit)} off"
                f" the drawn ones in all, but {alone}: a post was moved, or two bays are misread; "
                "see that it was meant"
            )
            yield _by_practice(rule, "pass", sentence, limit, abs(off)), places
        else:
            kept += places
            worst = max(worst, abs(off), abs(single))
    if kept:
        passed = (
            f"the measured openings come within {job.text(worst, limit)} of the drawn ones, each"
            f" and all of a run together; up to {job.text(limit)} is taken for setting out"
        )
        yield _by_practice(rule, "pass", passed, limit, worst), kept


def _read_together(job: Job) -> Iterator[tuple[list[MeasureSeen], bool]]:
    """Measures that are read as one, and whether they are all those of a run: else a single one.

    The chords of a bow between two ends count as one run.
    """
    bows = {
        run.id: (run.level, run.edge, run.bow) for run in job.layout.runs if run.bow is not None
    }
    drawn = {bows.get(bay.run, bay.run) for bay in job.layout.bays if not bay.measured}
    runs: dict[object, list[MeasureSeen]] = {}
    for seen in job.layout.measures:
        runs.setdefault(bows.get(seen.run, seen.run), []).append(seen)
    for run, measures in runs.items():
        yield from (([seen], False) for seen in measures) if run in drawn else [(measures, True)]


def _off_drawn(measures: Sequence[MeasureSeen]) -> Length:
    """Excess of the measured openings over the drawn ones, in sum; below 0 where they fall short.

    It is read at the rail, top or bottom, where it is further from 0.
    """
    return max(_off_at_rails(measures), key=abs)


def _off_at_rails(measures: Sequence[MeasureSeen]) -> tuple[Length, Length]:
    """Excess of the measured openings over the drawn ones, in sum, at the top rail and the bottom
    rail."""
    tops = math.fsum(seen.clear_top - seen.drawn for seen in measures)
    bottoms = math.fsum(seen.clear_bottom - seen.drawn for seen in measures)
    return tops, bottoms


def _far_off(
    job: Job, part: Sequence[MeasureSeen], limit: Length, at: str, alone: str, *, whole: bool
) -> str:
    """What is said of a bay, or of a run whose bays are all measured, that is far off.

    part: the bay, or all bays of the run (`whole`). at: at which rail, in words. alone: what is
    said of the bay that is furthest off; empty where no bay is far off by itself.
    """
    size = _amount(job, _off_drawn(part), limit)
    than = f"than drawn{at}, over {job.text(limit)}"
    if len(part) == 1:
        beside = "and the bays beside it, whose posts are then off the drawing too"
        ends = "as it is misread or the run's ends stand off the drawing"
        return f"measured {size} {than}: measure it again, {ends if whole else beside}"
    said = f"every bay of the run is measured and they come to {size} {than}"
    if not alone:
        return f"{said}: its ends stand off the drawing, or a bay is misread; measure again"
    return (
        f"{said}, and {alone}: measure that bay again first, then the others, as it is misread or "
        "the run's ends stand off the drawing"
    )


def _at_rail(part: Sequence[MeasureSeen], limit: Length, *, raked: bool) -> str:
    """At which rail these bays are off by more than the limit, in words.

    Empty where they are at both rails of a level, as is plain then. Where one rail is longer than
    drawn and the other shorter, the one that is further off is named. raked: whether the bays are
    in a flight.
    """
    top, bottom = _off_at_rails(part)
    if min(abs(top), abs(bottom)) > limit + TOUCH and (top > 0) is (bottom > 0):
        return " along the rails" if raked else ""
    rail = "top" if abs(top) >= abs(bottom) else "bottom"
    return f" {'along' if raked else 'at'} the {rail} rail"


def _amount(job: Job, off: Length, limit: Length) -> str:
    """How much more or less than drawn a measure is, in words."""
    return f"{job.text(abs(off), limit)} {'more' if off > 0 else 'less'}"


def order_before_posts(job: Job) -> Iterator[Saying]:
    """Glass that is sized from the drawing, where the kit wants its posts to stand first."""
    if not job.kit.posts_before_glass or not panels(job):
        return
    rule = "order_before_posts"

    def tell(kind: BayKind | LeafKind) -> Finding:
        what = "the glass"
        then = "measure each clear opening, and lay out again with what was measured"
        if isinstance(kind, LeafKind):
            what = "the glass of the leaf"
            then = "then give the clear width between them as the opening's width"
        elif kind.bay.measured:
            return say_by_kit(job, rule, "pass", "the glass is sized by what was measured")
        order = f"order it after measuring: set the posts, {then}"
        sentence = f"{what} is sized from the drawing; {order}"
        return say_by_kit(job, rule, "not_checked", sentence)

    yield from tell_by_kind(((each.place, each.kind) for each in panels(job)), tell)
