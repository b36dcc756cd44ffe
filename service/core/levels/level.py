"""Core: one level, from its outline to its runs (methods 1 to 8 and 10).

In: a level of the deck. Out: a LevelDraft (`draw_level`), in which every post stands and every bay
is cut, but nothing has a number. `see_neighbours` then adds what lies beyond the edges, as other
levels may.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field, replace

import shapely

from service.core.frozen import record
from service.core.levels.fixed_posts import FixedPosts
from service.core.levels.joins import settle_joins
from service.core.levels.railing import LineDraft, PostUse, draw_line, uses_of
from service.core.line.arcs import ArcSide, bend_side, check_rise, is_bent
from service.core.line.corners import Terminal
from service.core.line.crossing import Segment, first_meeting, meeting_lines
from service.core.line.neighbours import (
    BEYOND,
    OVERHEAD,
    THIN_STRIP,
    EdgeInPlan,
    Reach,
    Surface,
    check_overlaps,
    drops_along,
    touched,
)
from service.core.line.openings import OpeningDraft
from service.core.line.outline import Plan
from service.core.line.posts import PostDraft, set_in_text
from service.core.line.references import check_measures, stray_stairs
from service.core.line.sides import EdgeSpec, Side, make_sides
from service.core.line.specs import read_level
from service.core.measure import TOUCH, Length, Point, Unit, convert
from service.core.problems import Problem, Unbuildable, raise_any, unbuildable
from service.core.records.code import Code
from service.core.records.deck import Deck, Drops, Level, deepest
from service.core.records.kit import Kit
from service.core.runs.bays import BayMaker
from service.core.timber.frame import Frame, read_frame


@record()
class LevelDraft:
    """A level laid out, before anything on it has a number.

    specs: its edges, in the order of the plan's corners.
    outline: its walking surface, with many short chords for bows.
    lines: the lines of its guarded sides, in the order of the caller's edge numbers.
    uses: what each of its posts serves.
    pairs: the two terminals of each fascia corner without a bracket.
    bows: the side of each bowed edge, by the edge's number.
    frame: its joists and rim; None where the document gives none.
    reaches: what lies beyond each edge, stretch by stretch, by the edge's number; empty before
    `see_neighbours`.
    """

    level: Level
    plan: Plan
    specs: tuple[EdgeSpec, ...]
    outline: shapely.Polygon
    lines: tuple[LineDraft, ...]
    uses: dict[PostDraft, PostUse]
    pairs: tuple[tuple[Terminal, Terminal], ...]
    bows: dict[int, ArcSide]
    frame: Frame | None
    reaches: dict[int, tuple[Reach, ...]] = field(default_factory=dict)

    @property
    def drop(self) -> Length | None:
        """Drop from its surface to what lies below it; None where it is not given."""
        return self.level.drops.drop

    def gates(self) -> Iterator[tuple[Side, OpeningDraft]]:
        """Every gate, each with the side that it stands on."""
        for line in self.lines:
            for drawn in line.openings:
                if drawn.opening.use == "gate":
                    yield line.side, drawn

    def walls(self) -> Iterator[tuple[int, shapely.LineString]]:
        """Every wall in plan, each with its edge's number."""
        for j, spec in enumerate(self.specs):
            if spec.condition == "wall":
                yield spec.number, self.edge_line(j)

    def edge_line(self, j: int) -> shapely.LineString:
        """The edge at place `j` in `specs`, in plan; a bowed one as many short chords."""
        edge = self.edge_in_plan(j)
        bow = [] if edge.bow is None else edge.bow.outline()
        return shapely.LineString([*(bow or [edge.start]), edge.end])

    def rise_to(self, other: LevelDraft) -> Length | None:
        """How far another level lies above this one; None where the drop of either is not given."""
        return self.level.rise_to(other.level)

    def drops_between(self, side: Side, low: Length, high: Length) -> Drops:
        """The drops of the deepest stretch beyond a part of a side.

        low, high: where the part begins and ends along the side's railing line. All of the part is
        walked beneath where people can walk beneath any of it.
        """
        every = [reach.drops for spec in side.edges for reach in self.reaches[spec.number]]
        if every.count(side.spec.drops) == len(every):
            return side.spec.drops
        ends = [(side.on_edge(low - at), side.on_edge(high - at)) for at in side.offsets]
        found = [
            drops
            for spec, part in zip(side.edges, ends, strict=True)
            for drops in touched(self.reaches[spec.number], *part)
        ]
        # A part that overlaps no edge lies past the side's end, and may be over any stretch of it.
        found = found or every
        most = deepest(found)
        below = [drops for drops in found if drops.drop is None or drops.drop > TOUCH]
        # Where people walk beneath some of the part, all of it counts as walked beneath.
        walked = any(drops.beneath != most.beneath for drops in below)
        return most._replace(beneath="walked") if walked else most

    def said_of(self, number: int) -> Drops:
        """What the caller says lies below this edge itself, without what is said of the level."""
        said = (edge.drops for edge in self.level.edges if edge.number == number)
        return next(said, Drops())

    def edge_in_plan(self, j: int) -> EdgeInPlan:
        """The edge at place `j` in `specs`, for looking at what lies beyond it."""
        points = self.plan.points
        bow = self.bows.get(self.specs[j].number)
        return EdgeInPlan(points[j], points[(j + 1) % len(points)], bow)


def see_neighbours(
    levels: Sequence[LevelDraft], unit: Unit, drop_reach: Length = 0.0
) -> list[LevelDraft]:
    """The levels, each with what lies beyond its edges.

    drop_reach: how far beyond an edge the code looks for its drop. Refuses levels that overlap at
    one height.
    """
    surfaces = [Surface(draft.level, draft.outline) for draft in levels]
    raise_any(check_overlaps(surfaces, unit))
    least, overhead = convert(BEYOND, "in", unit), convert(OVERHEAD, "in", unit)
    beyond = least, max(drop_reach, least + THIN_STRIP)
    seen = []
    for draft, own in zip(levels, surfaces, strict=True):
        near = [surface for surface in surfaces if surface.rise_over(own) <= overhead + TOUCH]
        reaches = {
            spec.number: drops_along(
                spec, draft.edge_in_plan(j), own, near, beyond, draft.said_of(spec.number)
            )
            for j, spec in enumerate(draft.specs)
        }
        seen.append(replace(draft, reaches=reaches))
    return seen


def check_alone(deck: Deck) -> Iterator[Problem]:
    """All faults of a deck that show without kit and code.

    These are faults of its levels, of where its flights lead from and to, and of its measures.
    """
    for level in deck.levels:
        try:
            yield from _check_level(deck, level)
        except Unbuildable as refusal:
            yield from refusal.problems
    yield from stray_stairs(deck)
    yield from check_measures(deck)


def _check_level(deck: Deck, level: Level) -> Iterator[Problem]:
    """The problems of a level's places and bows.

    Refuses an invalid outline and, on a level without bows, faulty joists (`read_frame`).
    """
    plan, specs, problems = read_level(deck, level, None, None)
    yield from problems
    bowed = [side for side in make_sides(plan, specs, deck.unit) if side.spec.arc_rise]
    for side in bowed:
        yield from check_rise(side, side.spec.arc_rise, deck.unit)
    if not bowed:
        read_frame(level, plan.polygon, deck.unit)


def draw_level(deck: Deck, level: Level, code: Code | None, maker: BayMaker) -> LevelDraft:
    """Lay out a level.

    Refuses an invalid outline first, with what `read_level` finds beside it. Then refuses all that
    is wrong with the level's places and bows, together with its joists where the bows can be built.
    Where that is sound, refuses all that is wrong with the joists and the lines, and last of all a
    railing line that crosses itself.
    """
    kit = maker.kit
    plan, specs, problems = read_level(deck, level, kit, code)
    try:
        sides = _bend(kit, make_sides(plan, specs, kit.unit))
        outline = _dense_outline(level, sides) if is_bent(*sides) else plan.polygon
    except Unbuildable as refusal:
        raise Unbuildable([*problems, *refusal.problems]) from None
    frame, astray = None, bool(problems)
    try:
        frame = read_frame(level, outline, kit.unit)
    except Unbuildable as refusal:
        problems.extend(refusal.problems)
    if astray:
        raise Unbuildable(problems)
    try:
        joined = settle_joins(level, sides, maker)
    except Unbuildable as refusal:
        raise Unbuildable([*problems, *refusal.problems]) from None
    lines: list[LineDraft] = []
    fixed_posts = FixedPosts(level)
    for i, side in enumerate(sides):
        if side.spec.condition == "guard":
            least = joined.chords.get(i, (1, 1))
            try:
                lines.append(draw_line(fixed_posts, side, joined.ends(i), maker, least))
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
    raise_any(problems)
    _check_crossing(kit, level, lines)
    uses = uses_of(lines)
    lines.sort(key=lambda drawn: drawn.side.spec.number)
    bows = {side.spec.number: side for side in sides if isinstance(side, ArcSide)}
    pairs = tuple(
        (join.end, join.start) for join in joined.joins if join.pair and join.end and join.start
    )
    return LevelDraft(level, plan, specs, outline, tuple(lines), uses, pairs, bows, frame)


def _bend(kit: Kit, sides: tuple[Side, ...]) -> tuple[Side, ...]:
    """The sides, with each bowed one as an arc. Refuses every bow that cannot be built."""
    bent: list[Side] = []
    problems: list[Problem] = []
    for side in sides:
        try:
            bent.append(bend_side(side, side.spec.arc_rise, kit) if side.spec.arc_rise else side)
        except Unbuildable as refusal:
            problems.extend(refusal.problems)
    raise_any(problems)
    return tuple(bent)


def _dense_outline(level: Level, sides: tuple[Side, ...]) -> shapely.Polygon:
    """The walking surface, with many short chords for arcs.

    Refuses an arc that crosses another edge, and one that comes in past all other edges, so that no
    deck is left on its inner side.
    """
    rows = [side.outline() for side in sides]
    points: list[Point] = [point for row in rows for point in row]
    polygon: shapely.Polygon = shapely.polygons(points)
    if not polygon.is_valid:
        after = (*rows[1:], rows[0])
        pair = meeting_lines(
            [shapely.LineString([*row, to[0]]) for row, to in zip(rows, after, strict=True)]
        )
        named = "An arc and another edge"
        if pair is not None:
            named = f"Edges {sides[pair[0]].spec.number} and {sides[pair[1]].spec.number}"
        wrong = f"{named} of level {level.id} cross or touch, bowed as they are"
    elif not shapely.is_ccw(polygon.exterior):
        wrong = f"A bow that comes in past all other edges turns level {level.id} inside out"
    else:
        return polygon
    message = f"{wrong}; give a bow less rise."
    raise unbuildable(level.outline.pointer, "outline_crosses_itself", message)


def _check_crossing(kit: Kit, level: Level, lines: list[LineDraft]) -> None:
    """Refuse a railing line that crosses itself.

    Each run counts as a straight line from terminal to terminal; runs that share a post may meet at
    it.
    """
    setback = kit.post.setback
    stretches = [run.stretch for drawn in lines for run in drawn.runs]
    rails: list[Segment] = []
    posts: list[frozenset[object]] = []
    for each in stretches:
        start, end = each.start, each.end
        rails.append((each.side.place(start.t, setback), each.side.place(end.t, setback)))
        posts.append(frozenset({id(t.post) for t in (start, end) if t.post is not None}))
    pair = first_meeting(rails, posts)
    if pair is not None:
        met = [stretches[i] for i in pair]
        edges = [each.side.edge_over((each.start.t + each.end.t) / 2).number for each in met]
        raise unbuildable(
            level.outline.pointer,
            "railing_crosses_itself",
            f"{set_in_text(kit).capitalize()} its edges, the railing line of level {level.id}"
            f" crosses itself, at edges {edges[0]} and {edges[1]}; part of the deck is"
            " too narrow for a railing on both sides.",
        )
