"""Core: openings and obstructions cut a side's railing line into stretches (method 1).

Each gap between two neighbouring nodes of the line (`nodes`) is a stretch to rail, or closes up.
The main entry is `cut_line`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import shapely

from service.core.frozen import record
from service.core.line.corners import Terminal, post_terminal
from service.core.line.nodes import FixedNode, Node, line_nodes
from service.core.line.openings import AskedOpening, Jamb, OpeningDraft, role_beside
from service.core.line.posts import set_in_text
from service.core.line.sides import Side, signed
from service.core.measure import TOUCH, Length, angle_text, least_length, plain_length
from service.core.problems import Problem, Unbuildable, raise_any, unbuildable
from service.core.records.deck import Obstruction
from service.core.records.kit import End, Kit


@record(eq=False)
class Stretch:
    """A part of a side's railing line between two terminals, to be railed.

    pointer: to what in the document set its length.
    """

    side: Side
    start: Terminal
    end: Terminal
    pointer: str

    @property
    def length(self) -> Length:
        """Length along the railing line, from terminal to terminal."""
        return self.end.t - self.start.t

    def halves(self, kit: Kit) -> tuple[Length, Length]:
        """Distance from each terminal to the face that its bay meets; 0 where there is no post."""
        return self.start.half(kit), self.end.half(kit)

    def rail_ends(self, kit: Kit) -> tuple[End, End]:
        """How the rails end at both ends."""
        return self.start.end(kit), self.end.end(kit)

    def clear(self, kit: Kit) -> Length:
        """Clear length from face to face."""
        return self.end.t - self.start.t - self.start.half(kit) - self.end.half(kit)

    def axis(self, kit: Kit) -> shapely.LineString:
        """The middle line of its rails in plan; on a bow, that of its one chord."""
        ends = (self.start.t, self.end.t)
        return shapely.LineString([self.side.place(t, kit.post.setback) for t in ends])

    def extent_text(self, kit: Kit) -> str:
        """From where to where along which edge the stretch lies, in the caller's words."""
        return self.side.stretch_text(self.start.t, self.end.t, kit.unit)


class _Gap(NamedTuple):
    """What is between two neighbouring nodes of a line.

    stretch: to be railed; None where the gap closes up. first, last: the jamb at which the gap
    begins, and at which it ends; None where that node is no opening.
    """

    stretch: Stretch | None
    first: Jamb | None = None
    last: Jamb | None = None


@record()
class Line:
    """A side's railing line, cut into stretches by its openings and obstructions.

    stretches: in order along the line. openings: in the order in which they were asked for.
    """

    side: Side
    stretches: tuple[Stretch, ...]
    openings: tuple[OpeningDraft, ...]

    def terminals(self) -> Iterator[Terminal]:
        """Every terminal in use: those of stretches, then those of openings."""
        return terminals_of(self.stretches, self.openings)


def terminals_of(
    stretches: Iterable[Stretch], openings: Iterable[OpeningDraft]
) -> Iterator[Terminal]:
    """The terminals of stretches, then those of openings."""
    for stretch in stretches:
        yield stretch.start
        yield stretch.end
    for opening in openings:
        yield from (jamb.terminal for jamb in opening.jambs if jamb.post is not None)


def cut_line(
    kit: Kit,
    side: Side,
    ends: tuple[Terminal, Terminal],
    openings: Sequence[AskedOpening],
    obstructions: Sequence[Obstruction],
) -> Line:
    """The stretches of a side's line between its two ends, and its openings with their jambs.

    Refuses all openings that are too close to each other or that an obstruction stands in, together
    with all stretches too short for their posts; where there are none, every opening that its posts
    leave no clear width.
    """
    if not openings and not obstructions:
        return Line(side, (_between_ends(kit, side, *ends),), ())
    nodes = line_nodes(kit, side, ends, openings, obstructions)
    gaps: list[_Gap] = []
    problems: list[Problem] = []
    for left, right in pairwise(nodes):
        try:
            gaps.append(_close_gap(kit, side, left, right))
        except Unbuildable as refusal:
            problems.extend(refusal.problems)
    raise_any(problems)
    drafts = _between_jambs(nodes, gaps)
    drawn = tuple(drafts[asked] for asked in openings)
    problems += [fault for opening in drawn for fault in _too_narrow(kit, side, opening)]
    raise_any(problems)
    return Line(side, tuple(gap.stretch for gap in gaps if gap.stretch is not None), drawn)


def _between_jambs(nodes: Sequence[Node], gaps: Sequence[_Gap]) -> dict[AskedOpening, OpeningDraft]:
    """Each opening of a row, with the jambs in the gaps on both of its sides."""
    drafts: dict[AskedOpening, OpeningDraft] = {}
    for node, (left, right) in zip(nodes[1:-1], pairwise(gaps), strict=True):
        if isinstance(node, AskedOpening):
            assert left.last is not None
            assert right.first is not None
            jambs = left.last, right.first
            drafts[node] = OpeningDraft(node.opening, node.near, node.far, jambs)
    return drafts


def _too_narrow(kit: Kit, side: Side, drawn: OpeningDraft) -> Iterator[Problem]:
    left = min(drawn.faces[1] - drawn.faces[0], drawn.clear_width(kit, side))
    if left <= TOUCH:
        opening, taken = drawn.opening, drawn.opening.width - left
        message = (
            f"Opening {opening.id} is {plain_length(opening.width, kit.unit, taken)} wide, and the"
            f" posts beside it take up {plain_length(taken, kit.unit, opening.width)} of it; it"
            " has to be wider than that, or stand clear of them."
        )
        bare = [jamb.terminal for jamb in drawn.jambs if not jamb.post]
        why = _far_from_wall(kit, side, bare)
        if why:
            message = f"Opening {opening.id} lies past the wall that ends its railing{why}."
        yield Problem(f"{opening.pointer}/width", "opening_without_width", message)


def _close_gap(kit: Kit, side: Side, left: Node, right: Node) -> _Gap:
    """What is between two neighbouring nodes of the line."""
    if isinstance(left, AskedOpening):
        if isinstance(right, AskedOpening):
            return _between_openings(kit, side, left, right)
        stretch, jamb = _beside_opening(kit, side, left, right, after=True)
        return _Gap(stretch, first=jamb)
    if isinstance(right, AskedOpening):
        stretch, jamb = _beside_opening(kit, side, right, left, after=False)
        return _Gap(stretch, last=jamb)
    assert left.after is not None
    assert right.before is not None
    return _Gap(_between_ends(kit, side, left.after, right.before))


def _between_ends(kit: Kit, side: Side, start: Terminal, end: Terminal) -> Stretch:
    """The stretch between two ends of a line, beside neither of which is an opening."""
    return _stretch(kit, side, start, end, side.edge_over((start.t + end.t) / 2).pointer)


def _beside_opening(
    kit: Kit, side: Side, asked: AskedOpening, fixed: FixedNode, *, after: bool
) -> tuple[Stretch | None, Jamb]:
    """The stretch between an opening and a fixed node beside it, and the opening's jamb there.

    after: whether the gap comes after the opening along the line. Within one post width of a wall
    or an obstruction, this is the jamb; a post that would stand within half a post plus half a base
    of the line's own post gives way to that post. The stretch is None in both cases.
    """
    other = fixed.before if after else fixed.after
    assert other is not None
    at, sense = (asked.far, 1.0) if after else (asked.near, -1.0)
    width = kit.post.width
    if other.wall_t is not None:
        to_wall = sense * (other.wall_t - at)
        is_line_end = fixed.before is None or fixed.after is None
        if to_wall < -(width + TOUCH) and not is_line_end:
            raise unbuildable(
                asked.opening.pointer,
                "opening_obstructed",
                f"{fixed.name} stands in opening {asked.opening.id}; move the opening or its width"
                " so that it begins or ends at the obstruction.",
            )
        if to_wall <= width + TOUCH:
            bare = Terminal(other.wall_t, None, wall=other.wall, obstructions=other.obstructions)
            return None, Jamb(bare, other.wall_t)
    centre = at + sense * width / 2
    within = width / 2 + kit.post.base.width / 2
    if other.post is not None and sense * (other.t - centre) <= within + TOUCH:
        return None, Jamb(other, other.t - sense * other.half(kit))
    own = _own_post(kit, side, asked, after=after)
    start, end = (own, other) if after else (other, own)
    return _stretch(kit, side, start, end, asked.opening.pointer), Jamb(own, at)


def _own_post(kit: Kit, side: Side, asked: AskedOpening, *, after: bool) -> Terminal:
    """A post of the opening's own, its face flush with the clear width.

    after: whether it stands at the opening's far side; else at its near one.
    """
    at, sense = (asked.far, 1.0) if after else (asked.near, -1.0)
    return post_terminal(kit, side, at + sense * kit.post.width / 2, role_beside(asked.opening))


def _between_openings(kit: Kit, side: Side, left: AskedOpening, right: AskedOpening) -> _Gap:
    """The gap between two openings; two that are one post width apart share the post.

    Refuses openings that are nearer to each other.
    """
    width, gap = kit.post.width, right.near - left.far
    if gap < width - TOUCH:
        apart = f"are {plain_length(gap, kit.unit, width)} apart"
        if gap < 0:
            apart = f"overlap by {plain_length(-gap, kit.unit)}"
        raise unbuildable(
            right.opening.pointer,
            "openings_too_close",
            f"Openings {left.opening.id} and {right.opening.id} {apart}; a post between them needs"
            f" {least_length(width, kit.unit, gap)}.",
        )
    start = _own_post(kit, side, left, after=True)
    if gap <= width + TOUCH:
        return _Gap(None, Jamb(start, left.far), Jamb(start, right.near))
    end = _own_post(kit, side, right, after=False)
    stretch = _stretch(kit, side, start, end, right.opening.pointer)
    return _Gap(stretch, Jamb(start, left.far), Jamb(end, right.near))


def _stretch(kit: Kit, side: Side, start: Terminal, end: Terminal, pointer: str) -> Stretch:
    stretch = Stretch(side, start, end, pointer)
    clear = stretch.clear(kit)
    if clear < -TOUCH:
        ends = [each for each in (start, end) if each.post is not None]
        raise unbuildable(
            pointer,
            "too_short_for_posts",
            f"The stretch {stretch.extent_text(kit)} needs {least_length(-clear, kit.unit)} more"
            f" for the posts at its ends ({plain_length(kit.post.width, kit.unit)} wide, on the"
            f" line {set_in_text(kit)} the edge){_far_from_wall(kit, side, ends)}.",
        )
    return stretch


def _far_from_wall(kit: Kit, side: Side, ends: Iterable[Terminal]) -> str:
    """Why a line ends far from its corner, to add to a sentence; empty where it does not.

    A fascia's line takes a wall at an outside corner as going on past its end. One that turns by a
    few degrees alone then crosses the line far from the corner. ends: where the line may end.
    """
    if kit.mounting == "surface":
        return ""
    for end in ends:
        is_far = min(abs(end.t), abs(side.length - end.t)) > 2 * kit.post.base.width
        if end.wall and is_far:
            (x, y), (last_x, last_y) = end.wall[0], end.wall[-1]
            heading = math.degrees(math.atan2(last_y - y, last_x - x))
            turn = abs(signed(heading - side.heading_at(end.t)))
            return (
                f"; the wall beside it turns by {angle_text(turn)} only and counts as going on, so"
                " that its line crosses the railing's far from the corner; draw the two edges in"
                " one line, or give the kit a straight_limit of at least that"
            )
    return ""
