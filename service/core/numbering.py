"""Core: drafts to the layout: posts, runs and bays get their numbers (method 3).

Level by level, edge by edge in the caller's numbers, counter-clockwise along each edge.
"""

from __future__ import annotations

import shapely

from service.core.bays import BayDraft, RunDraft
from service.core.corners import Terminal
from service.core.kit import Kit
from service.core.layout import (
    BaseSeen,
    Bay,
    ClashSeen,
    EdgeSeen,
    GapSeen,
    Layout,
    OpeningBuilt,
    Post,
    Run,
    SmallStretchSeen,
)
from service.core.level import LevelDraft, LineDraft
from service.core.measure import TOUCH, Length
from service.core.orders import list_cuts, order_glass
from service.core.outline import EdgeSpec
from service.core.posts import (
    PostDraft,
    body,
    clashes,
    overhangs,
    post_on_side,
)
from service.core.stretches import OpeningNode


class Numbering:
    """Gives posts, runs and bays their numbers: level by level, edge by edge, along each edge."""

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self.ids: dict[PostDraft, str] = {}
        self.posts: list[Post] = []
        self.runs: list[Run] = []
        self.bays: list[Bay] = []
        self.openings: list[OpeningBuilt] = []
        self.bases: list[BaseSeen] = []
        self.clashes: list[ClashSeen] = []
        self.gaps: list[GapSeen] = []
        self.small: list[SmallStretchSeen] = []

    def number(self, drafts: list[LevelDraft]) -> Layout:
        """The layout of all levels."""
        for draft in drafts:
            self._number_level(draft)
        bays = tuple(self.bays)
        surveys = [draft.plan.survey for draft in drafts]
        return Layout(
            posts=tuple(self.posts),
            runs=tuple(self.runs),
            bays=bays,
            openings=tuple(self.openings),
            cut_list=list_cuts(bays),
            glass_order=order_glass(bays),
            edges=tuple(seen for draft in drafts for seen in _edges_seen(draft)),
            closures=tuple(s.closure for s in surveys if s.closure is not None),
            ties=tuple(tie for s in surveys for tie in s.ties),
            bases=tuple(self.bases),
            clashes=tuple(self.clashes),
            gaps=tuple(self.gaps),
            small_stretches=tuple(self.small),
        )

    def _number_level(self, draft: LevelDraft) -> None:
        inner = {
            run: _inner_posts(self.kit, line, run) for line in draft.lines for run in line.runs
        }
        members = [_posts_along(line, inner) for line in draft.lines]
        new = list(dict.fromkeys(post for along in members for post in along))
        self._number_posts(draft, new)
        for line in draft.lines:
            for run in line.runs:
                self._number_run(draft, line, run, inner[run])
        self._settle_openings(draft)
        self._see_gaps(draft)

    def _number_posts(self, draft: LevelDraft, new: list[PostDraft]) -> None:
        for post in new:
            self.ids[post] = f"P{len(self.ids) + 1}"
            self.posts.append(self._post(draft.level.id, post))
        past = overhangs(self.kit, draft.outline, new)
        self.bases += [BaseSeen(self.ids[p], over) for p, over in zip(new, past, strict=True)]
        for i, j, depth in clashes(self.kit, new):
            self.clashes.append(ClashSeen((self.ids[new[i]], self.ids[new[j]]), depth))

    def _post(self, level: str, draft: PostDraft) -> Post:
        height = max(draft.heights)
        reaching = [h for h in self.kit.post.heights if h >= height - TOUCH]
        return Post(
            id=self.ids[draft],
            role=draft.role,
            level=level,
            at=draft.at,
            turned=draft.turned,
            height=height,
            stock_height=min(reaching, default=None),
            base=draft.base,
            parts=("corner_bracket",) if draft.bracketed else (),
        )

    def _number_run(
        self, draft: LevelDraft, line: LineDraft, run: RunDraft, inner: list[PostDraft]
    ) -> None:
        row = [
            self._id(run.stretch.start),
            *(self.ids[post] for post in inner),
            self._id(run.stretch.end),
        ]
        name = f"R{len(self.runs) + 1}"
        spec = line.side.spec
        self.runs.append(
            Run(name, draft.level.id, spec.number, row[0], row[-1], run.marks[-1], run.marks)
        )
        skews = run.stretch.start.skew, run.stretch.end.skew
        for bay in run.bays:
            outer = (
                skews[0] if bay.index == 0 else 0.0,
                skews[1] if bay.index == len(inner) else 0.0,
            )
            between = row[bay.index], row[bay.index + 1]
            self.bays.append(
                _bay(f"B{len(self.bays) + 1}", name, draft.level.id, spec, bay, between, outer)
            )
        self.small += [SmallStretchSeen(name, clear, spec.drops) for clear in run.small]

    def _id(self, terminal: Terminal | None) -> str | None:
        if terminal is None or terminal.post is None:
            return None
        return self.ids[terminal.post]

    def _settle_openings(self, draft: LevelDraft) -> None:
        built = {
            node.opening.id: (line, node) for line in draft.lines for node in line.line.openings
        }
        for opening in draft.level.openings:
            line, node = built[opening.id]
            self.openings.append(self._opening(draft, line, node))

    def _opening(self, draft: LevelDraft, line: LineDraft, node: OpeningNode) -> OpeningBuilt:
        opening = node.opening
        start, end = (self._id(terminal) for terminal in node.sides)
        near, far = (end, start) if draft.plan.turned_round else (start, end)
        gate = opening.use == "gate"
        hinge, latch = (near, far) if opening.hinge == "near" else (far, near)
        return OpeningBuilt(
            place=f"{draft.level.id}/{opening.id}",
            level=draft.level.id,
            edge=opening.edge,
            use=opening.use,
            asked=opening.width,
            clear_width=node.faces[1] - node.faces[0],
            start=start,
            end=end,
            drops=line.side.spec.drops,
            hinge_post=hinge if gate else None,
            latch_post=latch if gate else None,
            opens=opening.opens if gate else None,
        )

    def _see_gaps(self, draft: LevelDraft) -> None:
        for line in draft.lines:
            for terminal in dict.fromkeys(line.terminals()):
                if terminal.post is not None and terminal.against:
                    wall = shapely.LineString(terminal.against)
                    width: Length = body(self.kit, terminal.post).distance(wall)
                    where = (self.ids[terminal.post],)
                    self.gaps.append(GapSeen("wall", where, width, line.side.spec.drops))
        for first, second, drops in draft.pairs:
            one, two = first.post, second.post
            if one is not None and two is not None and one in self.ids and two in self.ids:
                apart: Length = body(self.kit, one).distance(body(self.kit, two))
                pair = (self.ids[one], self.ids[two])
                self.gaps.append(GapSeen("pair", pair, apart, drops))


def _inner_posts(kit: Kit, line: LineDraft, run: RunDraft) -> list[PostDraft]:
    start = run.stretch.start.t
    posts = [post_on_side(kit, line.side, start + mark, "line") for mark in run.marks[1:-1]]
    for post in posts:
        post.heights.append(line.side.spec.height)
    return posts


def _posts_along(line: LineDraft, inner: dict[RunDraft, list[PostDraft]]) -> list[PostDraft]:
    """Every post on a line, in order along it."""
    places: list[tuple[Length, PostDraft]] = [
        (terminal.t, terminal.post) for terminal in line.terminals() if terminal.post is not None
    ]
    for run in line.runs:
        start = run.stretch.start.t
        places += [(start + m, p) for m, p in zip(run.marks[1:-1], inner[run], strict=True)]
    return [post for _, post in sorted(places, key=lambda place: place[0])]


def _bay(
    name: str,
    run: str,
    level: str,
    spec: EdgeSpec,
    draft: BayDraft,
    between: tuple[str | None, str | None],
    skews: tuple[float, float],
) -> Bay:
    fill = draft.fill
    return Bay(
        id=name,
        run=run,
        level=level,
        edge=spec.number,
        start=between[0],
        end=between[1],
        infill=spec.infill,
        height=spec.height,
        drops=spec.drops,
        centres=draft.centres,
        clear=draft.clear,
        ends=draft.ends,
        skews=skews,
        top_cut=fill.top_cut,
        bottom_cut=fill.bottom_cut,
        rail_supports=fill.rail_supports,
        weep_holes=fill.weep_holes,
        weep_complete=fill.weep_complete,
        pickets=fill.pickets,
        glass=fill.glass,
    )


def _edges_seen(draft: LevelDraft) -> list[EdgeSeen]:
    seen = [
        EdgeSeen(
            f"{draft.level.id}/edge {spec.number}",
            draft.level.id,
            spec.number,
            spec.condition,
            spec.drops,
            draft.plan.edge_length(j),
        )
        for j, spec in enumerate(draft.specs)
    ]
    return sorted(seen, key=lambda edge: edge.edge)
