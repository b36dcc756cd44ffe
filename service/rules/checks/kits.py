"""Rules: a layout against the kit's own limits; the clause that findings cite is the kit itself."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import product
from typing import Final

from service.core.measure import (
    TOUCH,
    Degrees,
    Length,
    angle_text,
    convert,
    plain_length,
)
from service.core.records.deck import INFILLS, Infill
from service.core.records.orders import Piece, SticksSeen
from service.rules.alike import bay_kinds
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.kit_limits import KitLimit, by_kit
from service.rules.posts import span
from service.rules.saying import Saying, say_by_kit, steady, tell_by_kind

_CURES: Final = {
    "handrail": "order a longer one, or join two lengths",
    "picket": "order a longer stick",
}
"""Cure for a piece that no stick holds, by part, where moving posts nearer would not shorten it."""


def post_spacing(job: Job) -> Iterator[Saying]:
    """Spacing of posts beside bays of each infill, which in a flight is along the slope."""
    found: dict[tuple[Infill, bool], list[tuple[Place, Length]]] = {}
    for place, kind in bay_kinds(job):
        bay = kind.bay
        found.setdefault((bay.infill, bay.fill.rake is not None), []).append((place, span(bay)))
    for infill, raked in product(INFILLS, (False, True)):
        limit, spacings = job.kit.max_centres.get(infill), found.get((infill, raked))
        if limit is not None and spacings is not None:
            how = "centre to centre along the slope" if raked else "centre to centre"
            what = f"posts with {infill} infill stand {{}} apart, {how}"
            takes = f"the kit allows at most {job.text(limit)}"
            yield from by_kit(job, KitLimit("post_spacing", limit, what, takes), spacings)


def corner_angle(job: Job) -> Iterator[Saying]:
    """Swivel brackets against their reach: at posts, in the posts' order, then at walls.

    Last come raked rails that meet a post off square within that reach: their brackets have to turn
    two ways.
    """
    limit = job.kit.swivel_greatest
    at_posts, at_walls = _skews(job, limit)
    reach = KitLimit(
        "corner_angle",
        limit,
        "a rail comes in {} off square",
        f"the kit's swivel bracket reaches {angle_text(limit)}",
        amount="degrees",
    )
    yield from by_kit(job, reach._replace(cure=": two posts are needed"), at_posts)
    yield from by_kit(job, reach._replace(cure=": a post is needed at the wall"), at_walls)
    yield from tell_by_kind(_raked_askew(job), partial(_turns_two_ways, job))


def _raked_askew(job: Job) -> Iterator[tuple[Place, Degrees]]:
    """Raked bays that meet a post at more skew than a socket takes, but within a swivel's reach."""
    least, most = job.kit.square_limit + TOUCH, job.kit.swivel_greatest + TOUCH
    for bay in job.layout.bays if job.layout.flights else ():
        if bay.fill.rake is not None and least < max(bay.skews) <= most:
            yield (bay.id,), steady(max(bay.skews))


def _turns_two_ways(job: Job, skew: Degrees) -> Finding:
    sentence = (
        f"a raked rail comes in {angle_text(skew)} off square to its post, and a bracket for a "
        f"slope takes {angle_text(job.kit.square_limit, skew)}: see that it turns that way too, or "
        "move the opening away from the corner"
    )
    limit, rule = job.kit.square_limit, "corner_angle"
    return say_by_kit(job, rule, "warning", sentence, limit=limit, actual=skew, amount="degrees")


def _skews(
    job: Job, limit: Degrees
) -> tuple[list[tuple[Place, Degrees]], list[tuple[Place, Degrees]]]:
    """Worst skew at each post, and skew of each bay at a wall, of ends that need a swivel bracket.

    limit: the reach of such a bracket; an end beyond it counts whatever holds it.
    """
    worst: dict[str, Degrees] = {}
    walls: list[tuple[Place, Degrees]] = []
    for bay in job.layout.bays:
        sides = zip((bay.start, bay.end), bay.ends, bay.skews, strict=True)
        for post, end, skew in sides:
            if end != "swivel" and skew <= limit + TOUCH:
                continue
            if post is None:
                walls.append(((bay.id,), skew))
            else:
                worst[post] = max(skew, worst.get(post, 0.0))
    posts: list[tuple[Place, Degrees]] = [
        ((post.id,), worst[post.id]) for post in job.layout.posts if post.id in worst
    ]
    return posts, walls


def post_height(job: Job) -> Iterator[Saying]:
    """Each post against the heights that the kit stocks."""
    tallest = max(job.kit.post.heights, default=0.0)
    kinds = [((post.id,), (post.height, post.stock_height)) for post in job.layout.posts]
    yield from tell_by_kind(kinds, lambda kind: _post_height(job, tallest, *kind))


def _post_height(job: Job, tallest: Length, height: Length, stock: Length | None) -> Finding:
    height, limit = steady(height), tallest if stock is None else stock
    verdict: Verdict = "violation" if stock is None else "pass"
    stocks = "the tallest that the kit stocks is" if stock is None else "the kit stocks"
    needs = f"the guard needs a post of {job.tape(height, limit)}"
    sentence = f"{needs}; {stocks} {job.text(limit)}{_rounded_up(job, height)}"
    return say_by_kit(job, "post_height", verdict, sentence, limit=limit, actual=height)


def _rounded_up(job: Job, height: Length) -> str:
    """Hint that a height may be a stocked one in inches as codes print it, rounded up to the mm.

    Empty for any other height, and unless the kit is in inches and the document in mm: in a
    document in inches, both heights are as they are written.
    """
    if (job.kit.own_unit, job.deck.unit) != ("in", "mm"):
        return ""
    for stocked in job.kit.post.heights:
        if stocked < height - TOUCH and abs(round(stocked) - height) <= TOUCH:
            own = plain_length(convert(stocked, "mm", "in"), "in")
            return (
                f"; its {own} are {job.text(stocked)}, which {job.text(height)} may be rounded "
                "from: where inches are meant, lay the deck out in inches"
            )
    return ""


def stick_length(job: Job) -> Iterator[Saying]:
    """Whether a stick holds each piece of the cut list, named by its bays, or else by its part."""
    for seen in job.sticks:
        if not seen.left_out:
            yield _held(job, seen), [(seen.part,)]
        for piece in seen.left_out:
            yield _left_out(job, seen, piece), [(place,) for place in piece.bays or (seen.part,)]


def _held(job: Job, seen: SticksSeen) -> Finding:
    """Pass for a part of which a stick holds every piece.

    A stick on hand may be longer than the kit's, or the only one to hold anything; a piece out of
    such a stick has no limit to tell.
    """
    actual, limit = steady(seen.cut), seen.longest
    most = f"every piece comes out of a stick: the longest takes up {job.text(actual, limit)}"
    if actual > limit + TOUCH:
        sentence = f"{most}, of a stick on hand that is longer than the kit's"
        if limit <= TOUCH:
            sentence = f"{most}, of a stick on hand; the trim leaves nothing of the kit's own"
        return say_by_kit(job, "stick_length", "pass", sentence, actual=actual)
    sentence = f"{most} of the {job.text(limit)} that can be used"
    return say_by_kit(job, "stick_length", "pass", sentence, limit=limit, actual=actual)


def _left_out(job: Job, seen: SticksSeen, piece: Piece) -> Finding:
    size = piece.taken_up
    room = f"of the kit's longest stick {job.text(seen.longest)} can be used"
    cure = _CURES.get(seen.part, "move posts nearer or order a longer stick")
    if seen.longest <= TOUCH:
        room, cure = "the trim leaves nothing of the kit's longest stick", "see to the kit's trim"
    sentence = (
        f"a piece of {seen.part.replace('_', ' ')} takes up {job.text(size, seen.longest)}; "
        f"{room}, so the plan of sticks leaves it out: {cure}"
    )
    return say_by_kit(job, "stick_length", "violation", sentence, limit=seen.longest, actual=size)
