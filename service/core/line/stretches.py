"""Core: openings and obstructions cut a side's railing line into stretches (method 1).

The line is a row of nodes from its start to its end: the two line ends, the openings and the
obstructions between. Each gap between two nodes is a stretch to rail, or closes up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeAlias

import shapely

from service.core.line.arcs import ArcSide
from service.core.line.corners import Terminal, stand
from service.core.line.obstructions import Interruption, interruptions_of, post_reaches
from service.core.line.outline import Side
from service.core.line.posts import body, half_base, set_in_text
from service.core.measure import TOUCH, FromTo, Length, Point, plain_length
from service.core.problems import Problem, Refusal, Unbuildable, unbuildable
from service.core.records.deck import Obstruction, Opening
from service.core.records.kit import Kit
from service.core.records.layout import Role


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Between two terminals of a side, to be railed. pointer: to what set its length."""

    side: Side
    start: Terminal
    end: Terminal
    pointer: str

    def clear(self, kit: Kit) -> Length:
        """Face to face."""
        return self.end.t - self.start.t - self.start.half(kit) - self.end.half(kit)

    def axis(self, kit: Kit) -> shapely.LineString:
        """The middle line of its rails in plan; of a bow's stretch, of its one chord."""
        ends = (self.start.t, self.end.t)
        return shapely.LineString([self.side.place(t, kit.post.setback) for t in ends])

    def extent_text(self, kit: Kit) -> str:
        """From where to where along which edge it lies, in the caller's words."""
        return self.side.stretch_text(self.start.t, self.end.t, kit.unit)


@dataclass(slots=True)
class OpeningNode:
    """An opening along a side. near, far: its sides as asked, along the side.

    sides, faces: what stands at each side (None: a wall) and where its face is, filled in as
    gaps close.
    """

    opening: Opening
    near: Length
    far: Length
    sides: list[Terminal | None] = field(default_factory=lambda: [None, None])
    faces: list[Length] = field(default_factory=lambda: [0.0, 0.0])

    @property
    def role(self) -> Role:
        """Role of a post of its own."""
        return "end" if self.opening.use == "passage" else self.opening.use

    def clear_width(self, kit: Kit, side: Side) -> Length:
        """Between what stands at its two sides, at the narrowest: on a bow posts lean together, and
        the post of an oblique corner turns an edge to the opening."""
        if self._is_square(side):
            return self.faces[1] - self.faces[0]
        near, far = self._jambs(kit, side)
        apart: Length = near.distance(far)
        return apart

    def ends(self, kit: Kit, side: Side) -> tuple[Point, Point]:
        """Where the clear width begins and ends in plan, as seen square to the straight line
        between the centres of the posts, or the faces of the walls, at its two sides."""
        start, end = (side.place(face, kit.post.setback) for face in self.faces)
        if self._is_square(side):
            return start, end
        near, far = (
            place if terminal is None or terminal.post is None else terminal.post.at
            for terminal, place in zip(self.sides, (start, end), strict=True)
        )
        across = shapely.LineString([near, far])
        narrowest = shapely.shortest_line(*self._jambs(kit, side))
        first, last = (
            across.interpolate(across.project(shapely.Point(each))) for each in narrowest.coords
        )
        return (first.x, first.y), (last.x, last.y)

    def _is_square(self, side: Side) -> bool:
        """Whether the two faces are square to the line between them."""
        square = all(each is None or abs(each.skew) <= TOUCH for each in self.sides)
        return square and not isinstance(side, ArcSide)

    def _jambs(self, kit: Kit, side: Side) -> tuple[shapely.Geometry, shapely.Geometry]:
        """What stands at its two sides, in plan; of a wall the point that it is met at."""
        near, far = (
            shapely.Point(side.place(face, kit.post.setback))
            if terminal is None or terminal.post is None
            else body(kit, terminal.post)
            for terminal, face in zip(self.sides, self.faces, strict=True)
        )
        return near, far

    def settle(self, which: int, terminal: Terminal | None, face: Length) -> None:
        """Say what stands at side `which` (0 near, 1 far)."""
        self.sides[which] = terminal
        self.faces[which] = face


@dataclass(frozen=True, slots=True)
class FixedNode:
    """A line end or an obstruction. before, after: where the line up to it ends, and where the line
    after it begins; span: from where to where it lies."""

    before: Terminal | None
    after: Terminal | None
    span: tuple[Length, Length]
    name: str = "An obstruction"


Node: TypeAlias = FixedNode | OpeningNode


@dataclass(frozen=True, slots=True)
class Line:
    """A side's railing line, cut into stretches by its openings and what stands in it."""

    side: Side
    stretches: tuple[Stretch, ...]
    openings: tuple[OpeningNode, ...]

    def terminals(self) -> Iterator[Terminal]:
        """Every terminal in use: of stretches and of openings."""
        return terminals_of(self.stretches, self.openings)


def terminals_of(
    stretches: Iterable[Stretch], openings: Iterable[OpeningNode]
) -> Iterator[Terminal]:
    """The terminals of stretches, then those of openings."""
    for stretch in stretches:
        yield stretch.start
        yield stretch.end
    for node in openings:
        yield from (terminal for terminal in node.sides if terminal is not None)


def cut_line(
    kit: Kit,
    side: Side,
    ends: tuple[Terminal, Terminal],
    openings: Sequence[OpeningNode],
    obstructions: Sequence[Obstruction],
) -> Line:
    """The stretches of a side's line between its two ends, and its openings settled.

    Refuses openings that overlap or that an obstruction stands in, and stretches too short for
    their posts, all at once; or else every opening that its posts leave no clear width. What
    stands beside an opening is settled on it, and a post that serves it takes its role.
    """
    nodes = _nodes(kit, side, ends, openings, obstructions)
    stretches: list[Stretch] = []
    problems: list[Problem] = []
    for left, right in pairwise(nodes):
        try:
            stretches.extend(_close_gap(kit, side, left, right))
        except Unbuildable as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Unbuildable(problems)
    problems += [fault for node in openings for fault in _too_narrow(kit, side, node)]
    if problems:
        raise Unbuildable(problems)
    return Line(side, tuple(stretches), tuple(openings))


def _too_narrow(kit: Kit, side: Side, node: OpeningNode) -> Iterator[Problem]:
    left = min(node.faces[1] - node.faces[0], node.clear_width(kit, side))
    if left <= TOUCH:
        width = node.opening.width
        taken = width - left
        yield Problem(
            f"{node.opening.pointer}/width",
            "opening_without_width",
            f"Opening {node.opening.id} is {plain_length(width, kit.unit, taken)} wide, and the"
            f" posts beside it take up {plain_length(taken, kit.unit, width)} of it; it has to be"
            " wider than that, or stand clear of them.",
        )


def _wall_terminal(
    kit: Kit, side: Side, cut: Interruption, reaches: Sequence[FromTo], after: bool
) -> Terminal:
    """The end of the line against an obstruction: a bracket, or a post beside it."""
    face = cut.last if after else cut.first
    normal = cut.normals[after]
    skew, looks = abs(normal), side.heading_at(face) + normal
    met = Terminal(face, None, skew, face, cut.outlines, looks)
    if side.edge_over(face).wall_end == "bracket" and skew <= kit.swivel_greatest + TOUCH:
        return met
    return post_off(kit, side, met, reaches, after)


def post_off(
    kit: Kit, side: Side, met: Terminal, reaches: Sequence[FromTo], after: bool
) -> Terminal:
    """A post in place of a bracket on an obstruction: as near as its base may be, clear of this one
    and of others. reaches: from where to where along the side a post would meet each."""
    off, way = half_base(kit, side), 1.0 if after else -1.0
    t = met.t + way * off
    for first, last in sorted(reaches, key=lambda reach: reach[0] if after else -reach[1]):
        if first < t + off - TOUCH and last > t - off + TOUCH:
            t = last + off if after else first - off
    return stand(kit, side, t, "end", met.t, met.against)


def _nodes(
    kit: Kit,
    side: Side,
    ends: tuple[Terminal, Terminal],
    openings: Sequence[OpeningNode],
    obstructions: Sequence[Obstruction],
) -> list[Node]:
    """Everything along the line, in order.

    An obstruction that stands on a line end takes its place; one beyond the line is left out.
    """
    first = FixedNode(None, ends[0], (ends[0].t, ends[0].t))
    last = FixedNode(ends[1], None, (ends[1].t, ends[1].t))
    between: list[Node] = list(openings)
    low, high = ends[0].t - _body(kit, ends[0]), ends[1].t + _body(kit, ends[1])
    cuts = interruptions_of(kit, side, obstructions)
    reaches = post_reaches(kit, side, obstructions) if cuts else []
    for cut in cuts:
        if cut.last < low or cut.first > high:
            continue
        node = FixedNode(
            _wall_terminal(kit, side, cut, reaches, after=False),
            _wall_terminal(kit, side, cut, reaches, after=True),
            (cut.first, cut.last),
            cut.name,
        )
        if cut.first <= ends[0].t + _body(kit, ends[0]):
            first = node
        elif cut.last >= ends[1].t - _body(kit, ends[1]):
            last = node if last.after is None else last
        else:
            between.append(node)
    between.sort(key=_middle)
    covered = first.span[1] > first.span[0] or last.span[1] > last.span[0]
    if covered and not openings and first.span[1] >= last.span[0] - TOUCH:
        return []
    return [first, *between, last]


def _middle(node: Node) -> Length:
    if isinstance(node, OpeningNode):
        return (node.near + node.far) / 2
    return (node.span[0] + node.span[1]) / 2


def _body(kit: Kit, terminal: Terminal) -> Length:
    return TOUCH if terminal.post is None else kit.post.width / 2 + TOUCH


def _close_gap(kit: Kit, side: Side, left: Node, right: Node) -> list[Stretch]:
    """The stretch between two neighbours along the line, or none where the gap closes up."""
    if isinstance(left, OpeningNode) and isinstance(right, OpeningNode):
        return _between_openings(kit, side, left, right)
    if isinstance(left, OpeningNode):
        return _beside_opening(kit, side, left, 1, right)
    if isinstance(right, OpeningNode):
        return _beside_opening(kit, side, right, 0, left)
    assert left.after is not None
    assert right.before is not None
    middle = (left.after.t + right.before.t) / 2
    return _stretch(kit, side, left.after, right.before, side.edge_over(middle).pointer)


def _beside_opening(
    kit: Kit, side: Side, node: OpeningNode, which: int, fixed: Node
) -> list[Stretch]:
    """The gap between an opening's side and a line end or an obstruction.

    Within one post width of a wall the wall is the jamb; a post that would stand within half a
    post plus half a base of the line's own post is that post.
    """
    assert isinstance(fixed, FixedNode)
    near = which == 0
    other = fixed.after if near else fixed.before
    assert other is not None
    way = 1.0 if near else -1.0
    at = node.near if near else node.far
    width = kit.post.width
    if other.wall_t is not None:
        from_wall = way * (at - other.wall_t)
        if from_wall < -(width + TOUCH) and not _is_line_end(fixed):
            raise _obstructed(node, fixed)
        if from_wall <= width + TOUCH:
            node.settle(which, None, other.wall_t)
            return []
    centre = at - way * width / 2
    within = width / 2 + kit.post.base.width / 2
    if other.post is not None and way * (centre - other.t) <= within + TOUCH:
        if other.post.role == "end":
            other.post.take_role(node.role)
        node.settle(which, other, other.t + way * other.half(kit))
        return []
    own = _opening_post(kit, side, node, which)
    pair = (other, own) if near else (own, other)
    return _stretch(kit, side, *pair, node.opening.pointer)


def _opening_post(kit: Kit, side: Side, node: OpeningNode, which: int) -> Terminal:
    """A post of the opening's own, its face flush with the clear width."""
    half = kit.post.width / 2
    at, centre = (node.near, node.near - half) if which == 0 else (node.far, node.far + half)
    own = stand(kit, side, centre, node.role)
    node.settle(which, own, at)
    return own


def _is_line_end(fixed: FixedNode) -> bool:
    return fixed.before is None or fixed.after is None


def _obstructed(node: OpeningNode, fixed: FixedNode) -> Refusal:
    return unbuildable(
        node.opening.pointer,
        "opening_obstructed",
        f"{fixed.name} stands in opening {node.opening.id}; move the opening or its width so"
        " that it begins or ends at the obstruction.",
    )


def _between_openings(kit: Kit, side: Side, left: OpeningNode, right: OpeningNode) -> list[Stretch]:
    """Two openings a post's width apart share the post."""
    width = kit.post.width
    gap = right.near - left.far
    if gap < width - TOUCH:
        apart = f"are {plain_length(gap, kit.unit, width)} apart"
        if gap < 0:
            apart = f"overlap by {plain_length(-gap, kit.unit)}"
        raise unbuildable(
            right.opening.pointer,
            "openings_too_close",
            f"Openings {left.opening.id} and {right.opening.id} {apart}; a post between them needs"
            f" {plain_length(width, kit.unit, gap)}.",
        )
    start = _opening_post(kit, side, left, 1)
    if gap <= width + TOUCH:
        assert start.post is not None
        start.post.take_role(right.role)
        right.settle(0, start, right.near)
        return []
    end = _opening_post(kit, side, right, 0)
    return _stretch(kit, side, start, end, right.opening.pointer)


def _stretch(kit: Kit, side: Side, start: Terminal, end: Terminal, pointer: str) -> list[Stretch]:
    stretch = Stretch(side, start, end, pointer)
    clear = stretch.clear(kit)
    if clear < -TOUCH:
        raise unbuildable(
            pointer,
            "too_short_for_posts",
            f"The stretch {stretch.extent_text(kit)} needs {plain_length(-clear, kit.unit)} more"
            f" for the posts at its ends ({plain_length(kit.post.width, kit.unit)} wide, on the"
            f" line {set_in_text(kit)} the edge).",
        )
    return [stretch]
