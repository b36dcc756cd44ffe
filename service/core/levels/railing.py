"""Core: the railing along one guarded side: its line, its runs, and what its posts serve.

In: the side, and what stands at its two ends (`joins`). Out: a LineDraft (`draw_line`; methods 1 to
8 and 10).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from service.core.frozen import record
from service.core.levels.fixed_posts import FixedPosts
from service.core.line.along import asked_openings, forbidden_spans, pointer_to_blame
from service.core.line.arcs import ArcSide
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft, role_beside
from service.core.line.posts import PostDraft, weightiest
from service.core.line.sides import Side
from service.core.line.stretches import Line, cut_line, terminals_of
from service.core.measure import FromTo, Length
from service.core.records.deck import Level
from service.core.records.layout import Role
from service.core.runs.arc_runs import Chords, zip_chords
from service.core.runs.bays import BayMaker
from service.core.runs.drafts import RunDraft


@record()
class LineDraft:
    """A guarded side, with the openings in its railing line and its runs.

    openings: in the document's order. runs: in order along the side.
    """

    side: Side
    openings: tuple[OpeningDraft, ...]
    runs: tuple[RunDraft, ...]

    @property
    def railed(self) -> list[RunDraft]:
        """Its runs that have rails."""
        return [run for run in self.runs if run.bays]

    def terminals(self) -> Iterator[Terminal]:
        """Every terminal in use: those of runs, then those of openings."""
        return terminals_of((run.stretch for run in self.runs), self.openings)


class PostUse(NamedTuple):
    """What a post of a level serves.

    openings: roles of the openings that it is a jamb of. rails: heights of the level rails that
    meet it. leaves: heights of the gate leaves that meet it. beside: heights of the guards on whose
    line it stands with neither a rail nor a leaf of theirs.
    """

    openings: list[Role]
    rails: list[Length]
    leaves: list[Length]
    beside: list[Length]

    def role(self, own: Role) -> Role:
        """The role that a post comes to have, from its own role when it was set.

        A line post keeps its role; any other takes the weightiest of its own and those of the
        openings beside it.
        """
        return own if own == "line" else weightiest(own, *self.openings)

    def height(self, raked: Sequence[Length]) -> Length:
        """How high a post has to be: the greatest top of what meets it at its centre.

        raked: tops of the raked rails that meet it. Where nothing meets the post, the guards beside
        it count.
        """
        return max((*self.rails, *self.leaves, *raked) or self.beside)


def cut_side(
    maker: BayMaker,
    level: Level,
    side: Side,
    ends: tuple[Terminal, Terminal],
    least: tuple[int, int],
) -> tuple[Line, list[FromTo]]:
    """A guarded side's line between its ends, and where along it no post's centre may lie.

    least: fewest chords of a bowed side's first and of its last stretch.
    """
    kit = maker.kit
    line = cut_line(kit, side, ends, asked_openings(kit, level, side), level.obstructions)
    forbidden = forbidden_spans(level, kit, side)
    if isinstance(side, ArcSide):
        line = Chords(maker, side, forbidden).swap_brackets(line, level.obstructions, least)
    return line, forbidden


def draw_line(
    fixed_posts: FixedPosts,
    side: Side,
    ends: tuple[Terminal, Terminal],
    maker: BayMaker,
    least: tuple[int, int],
) -> LineDraft:
    """A guarded side's line between its ends, and the runs of its stretches.

    fixed_posts: the check that all lines of its level go through, one after another. least: the
    numbers of chords of a bowed side's first and last stretch that its ends are posed for.
    """
    kit, level = maker.kit, fixed_posts.level
    maker.filler.check_height(side.spec)
    line, forbidden = cut_side(maker, level, side, ends, least)
    if level.no_post or level.obstructions:
        fixed_posts.check(kit, line)
    if level.no_post:
        stretches = (
            replace(each, pointer=pointer_to_blame(level, each)) for each in line.stretches
        )
        line = replace(line, stretches=tuple(stretches))
    runs: list[RunDraft] = []
    name = level.id, side.spec.number
    if isinstance(side, ArcSide):
        chords = Chords(maker, side, forbidden)
        for i, (stretch, few) in enumerate(zip_chords(line, least)):
            runs += chords.runs((*name, i), stretch, few)
    else:
        for i, stretch in enumerate(line.stretches):
            runs.append(maker.make_run((*name, i), stretch, forbidden))
    return LineDraft(side, line.openings, tuple(runs))


def uses_of(lines: Sequence[LineDraft]) -> dict[PostDraft, PostUse]:
    """What each post on a level's lines serves."""
    uses: defaultdict[PostDraft, PostUse] = defaultdict(lambda: PostUse([], [], [], []))
    for drawn in lines:
        height = drawn.side.spec.height
        railed, hung = _railed(drawn.runs), _hung(drawn.openings)
        for post in dict.fromkeys(t.post for t in drawn.terminals() if t.post is not None):
            use = uses[post]
            met = use.rails if post in railed else use.leaves if post in hung else use.beside
            met.append(height)
        for run in drawn.runs:
            for post in run.inner:
                uses[post].rails.append(height)
        for opening in drawn.openings:
            for post in opening.posts:
                uses[post].openings.append(role_beside(opening.opening))
    return dict(uses)


def _railed(runs: Sequence[RunDraft]) -> set[PostDraft | None]:
    """The posts at the ends of runs that a rail meets there."""
    met: set[PostDraft | None] = set()
    for run in runs:
        places = {bay.index for bay in run.bays}
        if 0 in places:
            met.add(run.stretch.start.post)
        if len(run.marks) - 2 in places:
            met.add(run.stretch.end.post)
    return met


def _hung(openings: Sequence[OpeningDraft]) -> set[PostDraft]:
    """The posts that a gate's leaf hangs on or meets."""
    gates = (drawn for drawn in openings if drawn.opening.use == "gate")
    return {post for gate in gates for post in gate.posts}
