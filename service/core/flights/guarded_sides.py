"""Core: one guarded side of a flight: which treads carry its posts, and its raked bays (method 9).

In: a flight's course in plan, and what makes its bays. Out: a SideDraft (`draw_side`). u is as in
`drafts`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from service.core.flights.drafts import Course, RakedBay, SideDraft, on_ground
from service.core.flights.rakes import RakeMaker
from service.core.flights.treads import Treads, even_row
from service.core.line.corners import half_at
from service.core.line.posts import PostDraft, square_angle, square_at
from service.core.line.sides import Side
from service.core.measure import TOUCH, Degrees, Length, least_length, plain_length
from service.core.problems import unbuildable
from service.core.records.deck import HANDS, Hand, Stair
from service.core.records.kit import Kit
from service.core.records.layout import Role
from service.core.runs.bays import BayMaker, limits_text
from service.core.runs.budget import MarkWork
from service.core.runs.drafts import BayKey, RunKey, SmallBay


class _Between(NamedTuple):
    """What lies between two neighbouring posts of a side, in plan.

    nosings: places of the nosings, from the face of the upper post. skew: of the bay to that face.
    """

    centres: Length
    clear: Length
    nosings: tuple[Length, ...]
    skew: Degrees


def draw_side(course: Course, hand: Hand, rakes: RakeMaker, maker: BayMaker) -> SideDraft:
    """The posts and bays of one guarded side of a flight.

    Its head is a post of the level. Refuses a side that has a wall at its head, and one whose posts
    find no place or leave no room between each other.
    """
    kit, stair = maker.kit, course.stair
    t, head = _head(course, hand)
    skew = _skew_down(course.side, head)
    key: RunKey = stair.id, hand, 0
    work = maker.budget.work
    places = maker.place_once(key, lambda: _places(kit, stair, rakes, half_at(kit, skew), work))
    posts = [head]
    for u in places[1:]:
        posts.append(_post_down(kit, course, t, u, "stair" if u == places[-1] else "line"))
    bays: list[RakedBay] = []
    small: list[SmallBay] = []
    maker.budget.spend_bays(len(places) - 1)
    for i, between in enumerate(_betweens(kit, stair, places, skew)):
        if between.clear < rakes.least_clear:
            small.append(SmallBay(i, max(0.0, between.clear)))
        else:
            bays.append(_draw_bay(maker, rakes, (key, i), hand, between))
    return SideDraft(
        key=key,
        hand=hand,
        posts=tuple(posts),
        places=places,
        heights=tuple(_height_down(stair, u, rakes) for u in places[1:]),
        bays=tuple(bays),
        small=tuple(small),
        raked_head=rakes.height + kit.post.setback * rakes.slope.tangent,
        level_heads=tuple(dict.fromkeys(course.level.uses[head].rails)),
    )


def _head(course: Course, hand: Hand) -> tuple[Length, PostDraft]:
    """The place along the deck's edge of the post that a side starts from, and that post."""
    stair = course.stair
    terminal = course.opening.jambs[HANDS.index(hand)].terminal
    if terminal.post is None:
        raise unbuildable(
            f"{stair.pointer}/guards",
            "no_head_post",
            f"A wall stands at the {hand} of opening {stair.opening}: there is no post"
            " for a guard to start from. Leave that side out where the wall goes down along"
            " the flight, or begin the opening far enough off for a post.",
        )
    return terminal.t, terminal.post


def _betweens(
    kit: Kit, stair: Stair, places: Sequence[Length], skew: Degrees
) -> Iterator[_Between]:
    """What lies between each pair of neighbouring posts, from the head down.

    skew: of the bay at the head.
    """
    for a, b in pairwise(places):
        upper, lower = half_at(kit, skew), kit.post.width / 2
        clear = _clear_between(kit, stair, b - a, upper + lower)
        yield _Between(b - a, clear, _nosings(stair, a + upper, clear), skew)
        skew = 0.0  # Only the head may be turned to the flight.


def _clear_between(kit: Kit, stair: Stair, centres: Length, taken: Length) -> Length:
    """The clear between two posts.

    centres: from one post's centre to the other's. taken: what the posts take up of that. Refuses
    posts that overlap.
    """
    clear = round(centres - taken, 9)
    if clear < -TOUCH:
        raise unbuildable(
            stair.pointer,
            "too_short_for_posts",
            f"Flight {stair.id} needs {least_length(-clear, kit.unit)} more for the posts of"
            " its guard: from the middle of one to that of the next there are"
            f" {plain_length(centres, kit.unit, taken)}, and they take up"
            f" {plain_length(taken, kit.unit, centres)}.",
        )
    return clear


def _draw_bay(
    maker: BayMaker, rakes: RakeMaker, key: BayKey, hand: Hand, between: _Between
) -> RakedBay:
    """A bay, made to its clear as drawn or to what was measured along its rails."""
    cosine, centres, clear = rakes.slope.cosine, between.centres, between.clear
    measured = maker.measures.of(key, rakes.room / cosine, centres / cosine, clear / cosine)
    clears, widest, nosings = (clear, clear), clear, between.nosings
    if measured is not None:
        clears, widest = (measured.top * cosine, measured.bottom * cosine), centres
        centres += max(clears) - clear
        nosings = tuple(at for at in nosings if at < min(clears) - TOUCH)
    maker.filler.check_places(rakes.infill, widest, widest / cosine)
    # A hand is named as seen going up, which way a bay falls as seen from outside the flight.
    falls: Hand = "right" if hand == "left" else "left"
    fill = rakes.fill(centres, clears, nosings, falls)
    maker.budget.spend_fill(fill)
    return RakedBay(key[1], centres, min(clears), (between.skew, 0.0), fill, measured)


def _skew_down(side: Side, post: PostDraft) -> Degrees:
    """Angle by which the flight is off square to the face of its head post that it meets."""
    off = square_angle(side.heading - post.turned)
    return min(off, 90 - off)


def _nosings(stair: Stair, start: Length, clear: Length) -> tuple[Length, ...]:
    """Places of the nosings strictly within a bay, from its upper face.

    start: u of that face.
    """
    marks = (j * stair.going - start for j in range(stair.risers))
    return tuple(m for m in marks if TOUCH < m < clear - TOUCH)


def _places(
    kit: Kit, stair: Stair, rakes: RakeMaker, half_head: Length, work: MarkWork
) -> tuple[Length, ...]:
    """Post centres along u, head to foot: the fewest bays along the slope, then the most even.

    Most even is the least difference between widest and narrowest spacing; a tie goes to the posts
    nearer the head. half_head: from the head's centre to the face that the flight meets. Refuses a
    flight where no posts on treads keep the kit's limits.
    """
    treads = stair.risers - 1
    grounded = on_ground(stair)
    half_base = kit.post.base.width / 2
    foot = treads * stair.going + half_base if grounded else (treads - 0.5) * stair.going
    most = kit.max_centres[rakes.infill] * rakes.slope.cosine
    halves = half_head, kit.post.width / 2

    def keeps(row: Sequence[Length]) -> bool:
        clears = [b - a - 2 * halves[1] for a, b in pairwise(row)]
        clears[0] += halves[1] - halves[0]
        return all(rakes.panel_fits(clear) for clear in clears)

    middles = treads if grounded else treads - 1
    row = even_row(Treads(-kit.post.setback, foot, stair.going, middles), most, keeps, work)
    if row is None:
        bounds = limits_text(kit, rakes.infill, " along the slope")
        slope = rakes.slope
        steps = (slope.riser, slope.going, slope.going / slope.cosine)
        riser, going, apart = (plain_length(length, kit.unit) for length in steps)
        raise unbuildable(
            stair.pointer,
            "no_place_for_posts",
            f"No posts on the treads of flight {stair.id} keep {bounds}; a riser of {riser} and a"
            f" going of {going} put the treads {apart} apart there.",
        )
    return row


def _post_down(kit: Kit, course: Course, t: Length, u: Length, role: Role) -> PostDraft:
    """A post on a tread or on the ground.

    t: its place along the deck's edge. u: how far out from there it stands.
    """
    at, turned = course.side.place(t, -u), square_angle(course.side.heading)
    return PostDraft(role, at, turned, square_at(at, kit.post.base.width, turned), None)


def _height_down(stair: Stair, u: Length, rakes: RakeMaker) -> Length:
    """Height of a post at `u`, from its tread or the ground to the rail's top at its centre."""
    tread = math.ceil(u / stair.going - TOUCH)
    below = min(tread, stair.risers) * rakes.slope.riser
    return rakes.height + below - u * rakes.slope.tangent
