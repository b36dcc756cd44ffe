"""Core: posts, runs and bays get their ids and become the records of a layout (`number`, method 3).

In: levels and flights as drawn. Out: their records, and the id of each draft. Ids go level by
level, edge by edge in the caller's numbers, counter-clockwise along each edge; then flight by
flight, side by side, from head to foot.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from operator import itemgetter
from typing import NamedTuple

from service.core.finishing.built import BayIds, built_flight, level_bay, raked_bay
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Length, Point
from service.core.records.blocking import PostFraming
from service.core.records.layout import Bay, FlightBuilt, OpeningBuilt, Post, Role, Run
from service.core.records.seen import opening_place
from service.core.runs.bays import BayMaker
from service.core.runs.drafts import BayKey, RunDraft, RunKey
from service.core.timber.framing import frame_once


class Standing(NamedTuple):
    """The level that a post stands on, and how high the post is."""

    level: LevelDraft
    height: Length


class Ids(NamedTuple):
    """The ids of posts, runs and bays.

    on: the level and the height of every post of a level, in the order of the ids.
    """

    on: Mapping[PostDraft, Standing]
    posts: Mapping[PostDraft, str]
    runs: Mapping[RunKey, str]
    bays: Mapping[BayKey, str]

    def posts_on(self, level: LevelDraft) -> list[PostDraft]:
        """The posts of a level, in the order of their ids."""
        return [post for post, each in self.on.items() if each.level is level]


class Numbered(NamedTuple):
    """The records of posts, runs, bays, openings and flights, each in order, and the ids given."""

    posts: tuple[Post, ...]
    runs: tuple[Run, ...]
    bays: tuple[Bay, ...]
    openings: tuple[OpeningBuilt, ...]
    flights: tuple[FlightBuilt, ...]
    ids: Ids


def number(
    maker: BayMaker, levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]
) -> Numbered:
    """Number all levels, then all flights, and make their records."""
    numberer = _Numberer(maker, name_bays(levels, flights), _raked_heads(flights))
    for level in levels:
        numberer.take_level(level)
    for flight in flights:
        numberer.take_flight(flight)
    return numberer.numbered()


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


class _Numberer:
    """Gives ids to levels and flights in the order in which it takes them.

    raked_heads: tops of the raked rails that meet posts of levels.
    """

    def __init__(
        self,
        maker: BayMaker,
        bay_ids: Mapping[BayKey, str],
        raked_heads: Mapping[PostDraft, Sequence[Length]],
    ) -> None:
        self._kit, self._step, self._framed = maker.kit, maker.step, maker.framed
        self._bay_ids, self._raked_heads = bay_ids, raked_heads
        self._run_ids: dict[RunKey, str] = {}
        self._post_ids: dict[PostDraft, str] = {}
        self._on: dict[PostDraft, Standing] = {}
        self._posts: list[Post] = []
        self._runs: list[Run] = []
        self._bays: list[Bay] = []
        self._openings: list[OpeningBuilt] = []
        self._flights: list[FlightBuilt] = []

    def numbered(self) -> Numbered:
        """The records and ids of everything taken so far."""
        return Numbered(
            posts=tuple(self._posts),
            runs=tuple(self._runs),
            bays=tuple(self._bays),
            openings=tuple(self._openings),
            flights=tuple(self._flights),
            ids=Ids(self._on, self._post_ids, self._run_ids, self._bay_ids),
        )

    def take_level(self, draft: LevelDraft) -> None:
        """Number a level's posts, then its runs with their bays; record its openings."""
        new = list(dict.fromkeys(post for line in draft.lines for post in _posts_along(line)))
        for post, framing in zip(new, self._framings(draft, new), strict=True):
            use = draft.uses[post]
            height = use.height(self._raked_heads.get(post, ()))
            self._on[post] = Standing(draft, height)
            role = use.role(post.role)
            self._posts.append(self._post(draft.level.id, post, role, height, framing=framing))
        for line in draft.lines:
            for run in line.runs:
                self._bays += self._take_run(draft, line, run)
        self._openings += self._take_openings(draft)

    def take_flight(self, flight: FlightDraft) -> None:
        """Number a flight's runs with their bays, and its posts except the heads, which a level
        has."""
        posts: list[str] = []
        bays: list[Bay] = []
        for side in flight.sides:
            for post, height in zip(side.posts[1:], side.heights, strict=True):
                record = self._post(
                    flight.level_id, post, post.role, height, flight=flight.stair.id
                )
                self._posts.append(record)
            row = [self._post_ids[post] for post in side.posts]
            posts += row
            bays += self._take_side(flight, side, row)
        self._bays += bays
        bay_ids = tuple(bay.id for bay in bays)
        self._flights.append(built_flight(self._kit, flight, tuple(posts), bay_ids))

    def _framings(
        self, draft: LevelDraft, posts: Sequence[PostDraft]
    ) -> Sequence[PostFraming | None]:
        """What each of a level's posts lands in; None for all of them where no framing is given."""
        if draft.frame is None:
            return [None] * len(posts)
        return frame_once(self._framed, draft.frame, self._kit, posts, self._step)

    def _post(
        self,
        level: str,
        draft: PostDraft,
        role: Role,
        height: Length,
        flight: str | None = None,
        framing: PostFraming | None = None,
    ) -> Post:
        """The record of a post, which gets the next id."""
        self._post_ids[draft] = name = f"P{len(self._post_ids) + 1}"
        reaching = [h for h in self._kit.post.heights if h >= height - TOUCH]
        return Post(
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

    def _take_run(self, draft: LevelDraft, line: LineDraft, run: RunDraft) -> list[Bay]:
        """The bays of a run, which is numbered and recorded."""
        row = [None if post is None else self._post_ids[post] for post in run.posts]
        name = self._run_ids[run.key] = f"R{len(self._runs) + 1}"
        spec, level = line.side.spec, draft.level.id
        self._runs.append(
            Run(
                id=name,
                level=level,
                edge=spec.number,
                start=row[0],
                end=row[-1],
                length=run.marks[-1],
                marks=run.marks,
                ends=(self._at(line, run.stretch.start), self._at(line, run.stretch.end)),
                bow=run.bow,
                oblique_walls=(
                    run.stretch.start.oblique_wall != (),
                    run.stretch.end.oblique_wall != (),
                ),
            )
        )
        skews = run.stretch.start.skew, run.stretch.end.skew
        start, marks = run.stretch.start.t, run.marks
        bays = []
        for bay in run.bays:
            i = bay.index
            outer = skews[0] if i == 0 else 0.0, skews[1] if i == len(run.inner) else 0.0
            # Marks of a chord are measured along the chord, but terminals along the bow.
            end = run.stretch.end.t if i == len(run.inner) else start + marks[i + 1]
            drops = draft.drops_between(line.side, start + marks[i], end)
            ids = BayIds(self._bay_ids[run.key, i], name, row[i], row[i + 1])
            bays.append(level_bay(ids, level, spec, bay, outer, drops))
        return bays

    def _take_side(self, flight: FlightDraft, side: SideDraft, row: list[str]) -> list[Bay]:
        """The bays of a flight's side, whose run is numbered and recorded. row: its posts' ids."""
        name = self._run_ids[side.key] = f"R{len(self._runs) + 1}"
        marks = tuple(u - side.places[0] for u in side.places)
        self._runs.append(
            Run(
                id=name,
                level=flight.level_id,
                edge=flight.edge,
                start=row[0],
                end=row[-1],
                length=marks[-1],
                marks=marks,
                ends=(side.posts[0].at, side.posts[-1].at),
                flight=flight.stair.id,
            )
        )
        bays = []
        for bay in side.bays:
            i = bay.index
            ids = BayIds(self._bay_ids[side.key, i], name, row[i], row[i + 1])
            bays.append(raked_bay(ids, flight, bay))
        return bays

    def _at(self, line: LineDraft, terminal: Terminal) -> Point:
        """Where a terminal is in plan."""
        if terminal.post is not None:
            return terminal.post.at
        return line.side.place(terminal.t, self._kit.post.setback)

    def _id(self, terminal: Terminal | None) -> str | None:
        if terminal is None or terminal.post is None:
            return None
        return self._post_ids[terminal.post]

    def _take_openings(self, draft: LevelDraft) -> Iterator[OpeningBuilt]:
        """The records of a level's openings, in the caller's order."""
        drawn = {each.opening.id: (line, each) for line in draft.lines for each in line.openings}
        for opening in draft.level.openings:
            yield self._opening(draft, *drawn[opening.id])

    def _opening(self, draft: LevelDraft, line: LineDraft, drawn: OpeningDraft) -> OpeningBuilt:
        opening = drawn.opening
        start, end = (self._id(terminal) for terminal in drawn.jambs)
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


def _posts_along(line: LineDraft) -> list[PostDraft]:
    """Every post on a line, in order along it."""
    places: list[tuple[Length, PostDraft]] = [
        (terminal.t, terminal.post) for terminal in line.terminals() if terminal.post is not None
    ]
    for run in line.runs:
        start = run.stretch.start.t
        places += [(start + m, p) for m, p in zip(run.marks[1:-1], run.inner, strict=True)]
    return [post for _, post in sorted(places, key=itemgetter(0))]
