"""Core: where the fixings of a post land, and the blocking that they need (method 11)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import islice
from typing import Final, TypeVar

from service.core.line.arcs import ArcSide
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, quarter
from service.core.measure import TOUCH, Degrees, FromTo, Length, Point, ceil_to_mark, floor_to_mark
from service.core.records.kit import Base, Kit
from service.core.records.layout import BlockingPiece, PostFraming
from service.core.timber.blocks import blocks_at, plies_for, share_blocks
from service.core.timber.frame import Frame, Landing

T = TypeVar("T")
_PLACES: Final = (
    (-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0),
    (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0),
)  # fmt: skip
"""Places of fixings on a base, by its half width less the inset: corners first, then mid-sides."""


def fixing_places(base: Base, at: Point, turned: Degrees) -> list[Point]:
    """Centres of a base's fixings in plan."""
    half = base.width / 2 - base.fixing_inset
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    return [
        (at[0] + half * (x * c - y * s), at[1] + half * (x * s + y * c))
        for x, y in _PLACES[: base.fixings]
    ]


def frame_posts(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> list[PostFraming]:
    """Where each post's fixings land, and the blocking that the others need.

    A fixing that sits in the rim, too near a face of it, or against timber where it meets the next
    one keeps `none`: there is no room for a block, and none is given. A fascia post goes through
    its rim: its blocking stands behind the rim.
    """
    if not posts:
        return []
    if kit.mounting == "fascia":
        return _frame_fascia(frame, kit, posts, step)
    base = kit.post.base
    places = [fixing_places(base, post.at, post.turned) for post in posts]
    landings = _by_post(frame.lands(_in_a_row(places), base.fixing_edge_distance), places)
    in_joists = [
        [place for place, landing in zip(row, each, strict=True) if landing == "joist"]
        for row, each in zip(places, landings, strict=True)
    ]
    at_ends = _by_post(
        frame.are_at_ends(_in_a_row(in_joists), base.fixing_edge_distance), in_joists
    )
    loose = [
        [place for place, landing in zip(row, each, strict=True) if landing == "none"]
        for row, each in zip(places, landings, strict=True)
    ]
    in_rim = _by_post(frame.are_in_rim(_in_a_row(loose)), loose)
    past = [
        [place for place, is_in in zip(row, each, strict=True) if not is_in]
        for row, each in zip(loose, in_rim, strict=True)
    ]
    in_a_row = _in_a_row(past)
    plies = [plies_for(frame, base, 0.0)] * len(in_a_row)
    beside = _by_post(blocks_at(frame, in_a_row, plies), past)
    roomy = [
        [(place, block) for place, block in zip(*each, strict=True) if _has_length(block, step)]
        for each in zip(past, beside, strict=True)
    ]
    blocks = share_blocks(frame, base, roomy)
    held = [[place for place, _ in row] for row in roomy]
    near = _by_post(frame.are_by_timber(_in_a_row(held), base.fixing_edge_distance), held)
    return [
        PostFraming(
            each,
            tuple(mine),
            _spare(frame, kit, post, each, step),
            each.count("none") - len(are_near),
            sum(are_near),
            sum(ends),
        )
        for post, each, mine, are_near, ends in zip(
            posts, landings, blocks, near, at_ends, strict=True
        )
    ]


def _in_a_row(rows: Sequence[Sequence[Point]]) -> list[Point]:
    return [place for row in rows for place in row]


def _by_post(told: Iterable[T], rows: Sequence[Sequence[Point]]) -> list[tuple[T, ...]]:
    """What was told of the places of all posts, post by post."""
    left = iter(told)
    return [tuple(islice(left, len(row))) for row in rows]


def _spare(
    frame: Frame, kit: Kit, post: PostDraft, landings: tuple[Landing, ...], step: Length
) -> Length | None:
    """A move that would spare a line post its blocking."""
    if "none" not in landings or post.role != "line" or post.rim is None:
        return None
    return _spare_shift(frame, kit, *post.rim, step)


def _has_length(block: BlockingPiece, step: Length) -> bool:
    """Whether a block comes to a mark: where two timbers meet there is no room for one."""
    return floor_to_mark(block.across[1] - block.across[0], step) > TOUCH


def _frame_fascia(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> list[PostFraming]:
    """Behind the rim: between the two joists beside each post, or the rim and the next joist."""
    behind = frame.framing.rim_width + frame.framing.joist_width / 2
    places = [
        [] if post.rim is None else [post.rim[0].place(post.rim[1], behind)] for post in posts
    ]
    landings = ("rim",) * kit.post.base.fixings
    return [
        PostFraming(landings, tuple(block for block in blocks if _has_length(block, step)))
        for blocks in _by_post(
            blocks_at(frame, _in_a_row(places), [1] * sum(map(len, places))), places
        )
    ]


def _spare_shift(frame: Frame, kit: Kit, side: Side, t: Length, step: Length) -> Length | None:
    """The least move along a straight side, a base's width at most, at which every fixing lands.

    A fixing in the side's own rim stays in it; each other one must come over a joist.
    """
    if isinstance(side, ArcSide):
        return None
    base = kit.post.base
    far, turned = base.width, quarter(side.heading)
    spans: list[FromTo] = [(-far, far)]
    for place in fixing_places(base, side.place(t, kit.post.setback), turned):
        depth = side.locate(place)[1]
        if base.fixing_edge_distance > depth or depth > frame.rim_reach(base):
            spans = _shared(spans, frame.over_joists(place, side.along, base, far))
    for move in sorted(_marks_within(spans, step), key=lambda move: (abs(move), move)):
        at = side.place(t + move, kit.post.setback)
        places = fixing_places(base, at, turned)
        if "none" not in frame.lands(places, base.fixing_edge_distance):
            return move
    return None


def _shared(one: list[FromTo], two: list[FromTo]) -> list[FromTo]:
    pairs = ((max(a[0], b[0]), min(a[1], b[1])) for a in one for b in two)
    return [(low, high) for low, high in pairs if low <= high + TOUCH]


def _marks_within(spans: list[FromTo], step: Length) -> list[Length]:
    """The mark of each span that is nearest to no move."""
    marks = []
    for low, high in spans:
        nearest = ceil_to_mark(low, step) if low > 0 else -ceil_to_mark(-high, step)
        if low <= 0 <= high:
            nearest = 0.0
        if low - TOUCH <= nearest <= high + TOUCH:
            marks.append(nearest)
    return marks
