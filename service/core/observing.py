"""Core: what is observed of drafts while they are numbered, for the rules to judge.

`ids` are the numbers of the posts. Nothing here changes a draft.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import shapely

from service.core.flights.drafts import FlightDraft
from service.core.level import LevelDraft, LineDraft
from service.core.line.arcs import ArcSide
from service.core.line.posts import PostDraft, body, clashes, overhangs
from service.core.measure import TOUCH, Length
from service.core.records.kit import Kit
from service.core.records.seen import ArcSeen, BaseSeen, ClashSeen, GapSeen
from service.core.runs.drafts import RunKey

Ids = Mapping[PostDraft, str]


def see_bases(
    kit: Kit, draft: LevelDraft, posts: Sequence[PostDraft], ids: Ids
) -> Iterator[BaseSeen]:
    """How far the base of each of a level's posts reaches past its surface."""
    past = overhangs(kit, draft.outline, list(posts))
    return (BaseSeen(ids[post], over) for post, over in zip(posts, past, strict=True))


def see_treads(
    kit: Kit, flight: FlightDraft, posts: Sequence[PostDraft], ids: Ids
) -> Iterator[BaseSeen]:
    """How far each base on a flight reaches past its tread. posts: of a side, but for its head."""
    past = max(0.0, (kit.post.base.width - flight.stair.going) / 2)
    for post in posts:
        on_tread = post.role == "line" or flight.foot_on_tread
        yield BaseSeen(ids[post], past if on_tread else 0.0)


class Upright(NamedTuple):
    """A post on a level, or on a flight down from it: its foot and its top above that level."""

    post: PostDraft
    level: LevelDraft
    foot: Length
    top: Length

    def meets(self, other: Upright) -> bool:
        """Whether the two reach into one height; levels without drops count as level."""
        lift = self.level.below(other.level)
        low, high = max(self.foot, other.foot + lift), min(self.top, other.top + lift)
        return low < high - TOUCH


def uprights(
    new: Mapping[PostDraft, LevelDraft], flights: Sequence[FlightDraft]
) -> Iterator[Upright]:
    """Every post with its heights. new: those of levels, with theirs."""
    for post, level in new.items():
        yield Upright(post, level, 0.0, post.height)
    for flight in flights:
        for side in flight.sides:
            for post, foot, top in flight.uprights(side):
                yield Upright(post, flight.level, foot, top)


def see_clashes(kit: Kit, standing: Sequence[Upright], ids: Ids) -> Iterator[ClashSeen]:
    """Which bases meet: of one level, of levels beside each other, and of flights."""
    posts = [each.post for each in standing]
    for i, j, depth in clashes(kit, posts, lambda i, j: standing[i].meets(standing[j])):
        yield ClashSeen((ids[posts[i]], ids[posts[j]]), depth)


def see_arcs(kit: Kit, line: LineDraft, run_ids: Mapping[RunKey, str]) -> Iterator[ArcSeen]:
    """How far each chord's middle lies on the railing's own side of the deck's edge."""
    side = line.side
    if not isinstance(side, ArcSide):
        return
    away = 1.0 if kit.mounting == "surface" else -1.0
    for run in line.runs:
        (x0, y0), (x1, y1) = (
            side.place(end.t, kit.post.setback) for end in (run.stretch.start, run.stretch.end)
        )
        inward = side.locate(((x0 + x1) / 2, (y0 + y1) / 2))[1]
        yield ArcSeen(run_ids[run.key], away * inward, kit.post.width / 2)


def see_gaps(kit: Kit, draft: LevelDraft, ids: Ids) -> Iterator[GapSeen]:
    """Gaps that no rail closes: between a post and a wall, and between the pair of a corner."""
    half = kit.post.width / 2
    for line in draft.lines:
        for terminal in dict.fromkeys(line.terminals()):
            if terminal.post is not None and terminal.against:
                wall = shapely.MultiLineString(terminal.against)
                width: Length = body(kit, terminal.post).distance(wall)
                drops = draft.drops_between(line.side, terminal.t - half, terminal.t + half)
                yield GapSeen("wall", (ids[terminal.post],), width, drops)
    for first, second, side in draft.pairs:
        one, two = first.post, second.post
        if one is not None and two is not None and one in ids and two in ids:
            apart: Length = body(kit, one).distance(body(kit, two))
            drops = draft.drops_between(side, second.t - half, second.t + half)
            yield GapSeen("pair", (ids[one], ids[two]), apart, drops)
