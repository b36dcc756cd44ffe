"""Core: posts, runs and bays get ids and become records of a layout (`Numbered`, method 3).

In: levels and flights as drawn. Out: their records, and the id of each draft. Ids go level by
level, edge by edge in the caller's numbers, counter-clockwise along each edge; then flight by
flight, side by side, from head to foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter
from typing import NamedTuple

from service.core.finishing.bare_sides import gap_beside
from service.core.flights.drafts import FlightDraft, RakedBay, SideDraft
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.line.sides import EdgeSpec
from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.blocking import PostFraming
from service.core.records.deck import Drops
from service.core.records.kit import Kit
from service.core.records.layout import Bay, FlightBuilt, OpeningBuilt, Post, Role, Run
from service.core.records.seen import opening_place
from service.core.runs.bays import BayMaker
from service.core.runs.drafts import BayDraft, BayKey, RunDraft, RunKey
from service.core.timber.framing import frame_once


class Standing(NamedTuple):
    """The level that a post stands on, how high the post is, and whether a raked rail meets it."""

    level: LevelDraft
    height: Length
    is_raked: bool


class Ids(NamedTuple):
    """The ids of posts, runs and bays.

    on: how every post of a level stands there, in the order of the ids.
    """

    on: dict[PostDraft, Standing]
    posts: dict[PostDraft, str]
    runs: dict[RunKey, str]
    bays: dict[BayKey, str]

    def posts_on(self, level: LevelDraft) -> list[PostDraft]:
        """The posts of a level, in the order of their ids."""
        return [post for post, each in self.on.items() if each.level is level]


def name_bays(levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]) -> dict[BayKey, str]:
    """The id of each bay: those of levels first, then those of flights."""
    runs = (run for level in levels for line in level.lines for run in line.runs)
    keys: list[BayKey] = [(run.key, bay.index) for run in runs for bay in run.bays]
    sides = (side for flight in flights for side in flight.sides)
    keys += [(side.key, bay.index) for side in sides for bay in side.bays]
    return {key: f"B{number}" for number, key in enumerate(keys, 1)}


def _raked_heads(flights: Sequence[FlightDraft]) -> dict[PostDraft, list[Length]]:
    """Tops of the raked rails that meet each head post, which has to reach up to them too."""
    heads: dict[PostDraft, list[Length]] = {}
    for side in (side for flight in flights for side in flight.sides):
        if side.meets_head:
            heads.setdefault(side.posts[0], []).append(side.raked_head)
    return heads


class Numbered:
    """The records of levels and flights, in order, and the ids of their posts, runs and bays."""

    def __init__(
        self, maker: BayMaker, levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]
    ) -> None:
        self._kit, self._step, self._framed = maker.kit, maker.step, maker.framed
        self._raked_heads = _raked_heads(flights)
        self.ids = Ids({}, {}, {}, name_bays(levels, flights))
        self.posts: list[Post] = []
        self.runs: list[Run] = []
        self.bays: list[Bay] = []
        self.openings: list[OpeningBuilt] = []
        self.flights: list[FlightBuilt] = []
        for level in levels:
            self._take_level(level)
        for flight in flights:
            self._take_flight(flight)

    def _take_level(self, draft: LevelDraft) -> None:
        """Number a level's posts, then its runs with their bays; record its openings."""
        new = list(dict.fromkeys(post for line in draft.lines for post in _posts_along(line)))
        for post, framing in zip(new, self._framings(draft, new), strict=True):
            use, raked = draft.uses[post], self._raked_heads.get(post, ())
            height = use.height(raked)
            self.ids.on[post] = Standing(draft, height, raked != ())
            self._add_post(draft.level.id, post, use.role(post.role), height, framing=framing)
        for line in draft.lines:
            for run in line.runs:
                self._take_run(draft, line, run)
        drawn = {each.opening.id: (line, each) for line in draft.lines for each in line.openings}
        for opening in draft.level.openings:
            self.openings.append(self._opening(draft, *drawn[opening.id]))

    def _take_flight(self, flight: FlightDraft) -> None:
        """Number a flight's runs with their bays, and its posts but the heads, which a level
        has."""
        posts: list[str] = []
        first = len(self.bays)
        for side in flight.sides:
            for post, height in zip(side.posts[1:], side.heights, strict=True):
                self._add_post(flight.level_id, post, post.role, height, flight=flight.stair.id)
            row = [self.ids.posts[post] for post in side.posts]
            posts += row
            self._take_side(flight, side, row)
        bays = tuple([bay.id for bay in self.bays[first:]])
        self.flights.append(_flight(self._kit, flight, tuple(dict.fromkeys(posts)), bays))

    def _framings(
        self, draft: LevelDraft, posts: Sequence[PostDraft]
    ) -> Sequence[PostFraming | None]:
        """What each of a level's posts lands in; None for all of them where no framing is given."""
        if draft.frame is None:
            return [None] * len(posts)
        return frame_once(self._framed, draft.frame, self._kit, posts, self._step)

    def _add_post(
        self,
        level: str,
        draft: PostDraft,
        role: Role,
        height: Length,
        flight: str | None = None,
        framing: PostFraming | None = None,
    ) -> None:
        """Record a post, which gets the next id."""
        self.ids.posts[draft] = name = f"P{len(self.ids.posts) + 1}"
        reaching = [h for h in self._kit.post.heights if h >= height - TOUCH]
        post = Post(
            id=name,
            role=role,
            level=level,
            at=draft.at,
            turned=draft.turned,
            height=height,
            stock_height=min(reaching, default=None),
            base=draft.base,
            parts=("corner_bracket",) if draft.bracketed else (),
            flight=flight,
            framing=framing,
        )
        self.posts.append(post)

    def _take_run(self, draft: LevelDraft, line: LineDraft, drawn: RunDraft) -> None:
        """Number and record a run of a level, with its bays."""
        row = [None if post is None else self.ids.posts[post] for post in drawn.posts]
        first, last, marks = drawn.stretch.start, drawn.stretch.end, drawn.marks
        run = Run(
            id=self._next_run(drawn.key),
            level=draft.level.id,
            edge=line.side.spec.number,
            start=row[0],
            end=row[-1],
            length=marks[-1],
            marks=marks,
            ends=(self._at(line, first), self._at(line, last)),
            bow=drawn.bow,
            oblique_walls=(_is_oblique(first), _is_oblique(last)),
        )
        self.runs.append(run)
        for bay in drawn.bays:
            i, is_last = bay.index, bay.index == len(drawn.inner)
            skews = first.skew if i == 0 else 0.0, last.skew if is_last else 0.0
            # Marks of a chord are measured along the chord, but terminals along the bow.
            end = last.t if is_last else first.t + marks[i + 1]
            drops = draft.drops_between(line.side, first.t + marks[i], end)
            self._add_bay(drawn.key, run, row, bay, line.side.spec, drops, skews)

    def _take_side(self, flight: FlightDraft, side: SideDraft, row: Sequence[str]) -> None:
        """Number and record the run of a flight's side, with its bays. row: its posts' ids."""
        marks = tuple(u - side.places[0] for u in side.places)
        run = Run(
            id=self._next_run(side.key),
            level=flight.level_id,
            edge=flight.edge,
            start=row[0],
            end=row[-1],
            length=marks[-1],
            marks=marks,
            ends=(side.posts[0].at, side.posts[-1].at),
            flight=flight.stair.id,
        )
        self.runs.append(run)
        in_plan = flight.slope.cosine
        for bay in side.bays:
            self._add_bay(side.key, run, row, bay, flight, flight.drops, bay.skews, in_plan)

    def _next_run(self, key: RunKey) -> str:
        """The id of the next run."""
        self.ids.runs[key] = name = f"R{len(self.runs) + 1}"
        return name

    def _add_bay(
        self,
        key: RunKey,
        run: Run,
        row: Sequence[str | None],
        draft: BayDraft | RakedBay,
        guard: EdgeSpec | FlightDraft,
        drops: Drops,
        skews: tuple[Degrees, Degrees],
        in_plan: float = 1.0,
    ) -> None:
        """Record a bay of a run.

        row: what stands at the run's marks, by id. drops: those of the deepest stretch below the
        bay. in_plan: what a unit along its rails measures in plan.
        """
        i, measured = draft.index, draft.measured
        bay = Bay(
            id=self.ids.bays[key, i],
            run=run.id,
            index=i,
            level=run.level,
            edge=run.edge,
            start=row[i],
            end=row[i + 1],
            infill=guard.infill,
            height=guard.height,
            drops=drops,
            centres=draft.centres,
            clear=draft.clear,
            ends=draft.ends,
            skews=skews,
            fill=draft.fill,
            measured=measured is not None,
            wider=0.0 if measured is None else measured.wider * in_plan,
            flight=run.flight,
        )
        self.bays.append(bay)

    def _at(self, line: LineDraft, terminal: Terminal) -> Point:
        """Where a terminal is in plan."""
        if terminal.post is not None:
            return terminal.post.at
        return line.side.place(terminal.t, self._kit.post.setback)

    def _opening(self, draft: LevelDraft, line: LineDraft, drawn: OpeningDraft) -> OpeningBuilt:
        """The record of an opening."""
        opening, posts = drawn.opening, self.ids.posts
        start, end = (posts[jamb.post] if jamb.post else None for jamb in drawn.jambs)
        near, far = (end, start) if draft.plan.turned_round else (start, end)
        gate = opening.use == "gate"
        hinge, latch = (near, far) if opening.hinge == "near" else (far, near)
        return OpeningBuilt(
            place=opening_place(draft.level.id, opening.id),
            level=draft.level.id,
            edge=opening.edge,
            use=opening.use,
            asked=opening.width,
            clear_width=drawn.clear_width(self._kit, line.side),
            start=start,
            end=end,
            ends=drawn.ends(self._kit, line.side),
            drops=draft.drops_between(line.side, *drawn.faces),
            hinge_post=hinge if gate else None,
            latch_post=latch if gate else None,
            opens=opening.opens if gate else None,
        )


def _is_oblique(terminal: Terminal) -> bool:
    """Whether a rail is on a bracket here, on a wall that is not square to it."""
    return terminal.post is None and terminal.wall != ()


def _posts_along(line: LineDraft) -> list[PostDraft]:
    """Every post on a line, in order along it."""
    places: list[tuple[Length, PostDraft]] = [
        (terminal.t, terminal.post) for terminal in line.terminals() if terminal.post is not None
    ]
    for run in line.runs:
        start = run.stretch.start.t
        places += [(start + m, p) for m, p in zip(run.marks[1:-1], run.inner, strict=True)]
    return [post for _, post in sorted(places, key=itemgetter(0))]


def _flight(
    kit: Kit, flight: FlightDraft, posts: tuple[str, ...], bays: tuple[str, ...]
) -> FlightBuilt:
    """The record of a flight, from its draft and the ids of its posts and bays."""
    course, stair, slope = flight.course, flight.stair, flight.slope
    guards = tuple(side.hand for side in flight.sides)
    width, base = kit.post.width, kit.post.base.width
    return FlightBuilt(
        id=stair.id,
        level=flight.level_id,
        opening=stair.opening,
        rise=stair.rise,
        risers=stair.risers,
        riser=slope.riser,
        going=stair.going,
        nosing=stair.nosing,
        pitch=slope.pitch,
        clear_width=course.opening.way_through(kit, course.side),
        guards=guards,
        walled=flight.walled,
        infill=flight.infill,
        height=flight.height,
        posts=posts,
        bays=bays,
        handrails=flight.handrails,
        outside_width=(width + base) / 2 if guards else 0.0,
        into_width=max(0.0, (base - width) / 2) if guards else 0.0,
        triangle=flight.triangle(kit) if bays else None,
        over_deck=flight.over_deck(kit),
        past_foot=flight.past_foot(kit),
        beside=gap_beside(kit, flight),
        unrailed=tuple(side.hand for side in flight.sides if side.small),
        drop=flight.drop,
        to_level=flight.goes_down_to,
        foot_off=flight.foot_off,
        drops=flight.drops,
    )
