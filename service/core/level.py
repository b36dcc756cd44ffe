"""Core: one level from its outline to its runs (methods 1 to 8), before anything has a number."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from service.core.bays import BayMaker, RunDraft
from service.core.code import Code
from service.core.corners import Join, Terminal, join_corner
from service.core.crossing import Segment, any_meet
from service.core.deck import Deck, Drops, Level, NoPost
from service.core.kit import Kit
from service.core.measure import TOUCH, Length
from service.core.outline import EdgeSpec, Plan, Side, join_sides, read_outline
from service.core.posts import PostDraft, base_reach, base_span
from service.core.problems import Problem, Unbuildable, unbuildable
from service.core.specs import check_obstructions, check_places, resolve_edges
from service.core.stretches import Line, OpeningNode, cut_line


@dataclass(frozen=True, slots=True)
class LineDraft:
    """A guarded side: its line and the runs of its stretches, in order along it."""

    line: Line
    runs: tuple[RunDraft, ...]

    @property
    def side(self) -> Side:
        """The side that the line guards."""
        return self.line.side

    def terminals(self) -> Iterator[Terminal]:
        """Every terminal in use."""
        return self.line.terminals()


@dataclass(frozen=True, slots=True)
class LevelDraft:
    """A level laid out. lines: in the order of the caller's edge numbers.

    pairs: the two terminals of each fascia corner without a bracket, and the drops there.
    """

    level: Level
    plan: Plan
    specs: tuple[EdgeSpec, ...]
    outline: shapely.Polygon
    lines: tuple[LineDraft, ...]
    pairs: tuple[tuple[Terminal, Terminal, Drops], ...]


def draw_level(
    deck: Deck, level: Level, kit: Kit, code: Code | None, maker: BayMaker
) -> LevelDraft:
    """Lay out a level. Refuses with all that its outline, its places or its lines show."""
    plan = read_outline(level)
    specs = resolve_edges(deck, level, plan, kit, code)
    _raise_any([*check_places(level, plan, specs), *check_obstructions(level)])
    sides = join_sides(plan, specs)
    count = len(sides)
    joins = [join_corner(kit, sides[i - 1], sides[i], deck.step) for i in range(count)]
    problems: list[Problem] = []
    lines: list[LineDraft] = []
    for i, side in enumerate(sides):
        if side.spec.condition == "guard":
            ends = joins[i].start, joins[(i + 1) % count].end
            try:
                lines.append(_draw_line(level, plan, kit, side, ends, maker))
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
    _raise_any(problems)
    _check_crossing(kit, level, lines)
    lines.sort(key=lambda drawn: drawn.side.spec.number)
    polygon = shapely.Polygon(plan.points)
    return LevelDraft(level, plan, specs, polygon, tuple(lines), _pairs(sides, joins))


def _raise_any(problems: list[Problem]) -> None:
    if problems:
        raise Unbuildable(problems)


def _pairs(
    sides: tuple[Side, ...], joins: list[Join]
) -> tuple[tuple[Terminal, Terminal, Drops], ...]:
    return tuple(
        (join.end, join.start, side.spec.drops)
        for side, join in zip(sides, joins, strict=True)
        if join.pair and join.end and join.start
    )


def _draw_line(
    level: Level,
    plan: Plan,
    kit: Kit,
    side: Side,
    ends: tuple[Terminal | None, Terminal | None],
    maker: BayMaker,
) -> LineDraft:
    assert ends[0] is not None
    assert ends[1] is not None
    maker.check_height(side.spec, side.spec.pointer)
    nodes = _opening_nodes(level, plan, side)
    line = cut_line(kit, side, (ends[0], ends[1]), nodes, level.obstructions)
    kept_out = _no_post_spans(level, plan, side)
    fixed = {terminal.post: terminal for terminal in line.terminals() if terminal.post is not None}
    _raise_any([*_posts_kept_out(side, fixed, kept_out), *_posts_obstructed(level, side, fixed)])
    half = kit.post.base.width / 2
    forbidden = [(low - half, high + half) for low, high, _ in kept_out]
    forbidden += _near_obstructions(level, kit, side)
    runs = tuple(maker.make_run(side.spec, stretch, forbidden) for stretch in line.stretches)
    drawn = LineDraft(line, runs)
    for post in {t.post: None for t in drawn.terminals() if t.post is not None}:
        post.heights.append(side.spec.height)
    return drawn


def _span_on_side(
    plan: Plan, side: Side, edge: int, start: Length, width: Length
) -> tuple[Length, Length] | None:
    """Where a stretch of one of the side's edges lies along the side; None if of another."""
    for spec, offset, length in zip(side.edges, side.offsets, side.lengths, strict=True):
        if spec.number == edge:
            near = length - start - width if plan.turned_round else start
            return offset + near, offset + near + width
    return None


def _opening_nodes(level: Level, plan: Plan, side: Side) -> list[OpeningNode]:
    nodes = []
    for opening in level.openings:
        span = _span_on_side(plan, side, opening.edge, opening.start, opening.width)
        if span is not None:
            nodes.append(OpeningNode(opening, *span))
    return nodes


def _no_post_spans(level: Level, plan: Plan, side: Side) -> list[tuple[Length, Length, NoPost]]:
    spans = []
    for place in level.no_post:
        span = _span_on_side(plan, side, place.edge, place.start, place.width)
        if span is not None:
            spans.append((*span, place))
    return spans


def _posts_kept_out(
    side: Side, fixed: dict[PostDraft, Terminal], kept_out: list[tuple[Length, Length, NoPost]]
) -> Iterator[Problem]:
    for post, terminal in fixed.items():
        low, high = base_span(post, side)
        for near, far, place in kept_out:
            if low < far - TOUCH and high > near + TOUCH:
                yield Problem(
                    place.pointer,
                    "fixed_post_in_no_post",
                    f"A fixed post stands {terminal.t:.6g} along this edge, its base from"
                    f" {low:.6g} to {high:.6g}; no post may stand from {near:.6g} to {far:.6g}"
                    " (counted counter-clockwise).",
                )


def _posts_obstructed(
    level: Level, side: Side, fixed: dict[PostDraft, Terminal]
) -> Iterator[Problem]:
    for obstruction in level.obstructions:
        shape = shapely.Polygon(obstruction.points)
        for post, terminal in fixed.items():
            shared = shape.intersection(shapely.Polygon(post.base)).area
            if shared > TOUCH:
                yield Problem(
                    obstruction.pointer,
                    "post_obstructed",
                    f"{obstruction.name} stands in the base of the fixed post {terminal.t:.6g}"
                    f" along edge {side.spec.number}.",
                )


def _near_obstructions(level: Level, kit: Kit, side: Side) -> list[tuple[Length, Length]]:
    """Where no post centre may lie for its base to keep clear of obstructions."""
    spans = []
    half = kit.post.base.width / 2
    for obstruction in level.obstructions:
        local = [side.locate(point) for point in obstruction.points]
        reach = [t for t, _ in local]
        low, high = base_reach(kit)
        strip = shapely.box(min(reach) - 1, low, max(reach) + 1, high)
        shared = shapely.Polygon(local).intersection(strip)
        if shared.area > TOUCH:
            first, _, last, _ = shared.bounds
            spans.append((first - half, last + half))
    return spans


def _check_crossing(kit: Kit, level: Level, lines: list[LineDraft]) -> None:
    """Refuse a railing line that crosses itself, rails taken from face to face."""
    rails: list[Segment] = []
    setback = kit.post.setback
    for drawn in lines:
        for stretch in drawn.line.stretches:
            low = stretch.start.t + stretch.start.half(kit)
            high = stretch.end.t - stretch.end.half(kit)
            if high - low > TOUCH:
                rails.append((drawn.side.place(low, setback), drawn.side.place(high, setback)))
    if any_meet(rails):
        raise unbuildable(
            level.outline.pointer,
            "railing_crosses_itself",
            f"Set in by {math.fabs(setback):.6g}, the railing line of level {level.id}"
            " crosses itself; part of the deck is too narrow for a railing on both sides.",
        )
