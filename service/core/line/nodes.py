"""Core: what a side's railing line is cut by, in order along it (method 1).

The line is a row of nodes from its start to its end (`line_nodes`): the two line ends, with the
openings and the obstructions between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from service.core.frozen import record
from service.core.line.corners import Terminal, post_terminal, room_beside
from service.core.line.obstructions import Interruption, interruptions_of, post_reaches
from service.core.line.openings import AskedOpening
from service.core.line.posts import half_base
from service.core.line.sides import Side
from service.core.measure import DRAWN, TOUCH, FromTo, Length
from service.core.records.deck import Obstruction
from service.core.records.kit import Kit


@record()
class FixedNode:
    """A line end or an obstruction.

    before: where the line up to it ends; None at the line's start. after: where the line after it
    begins; None at the line's end. near, far: from where to where it lies along the side. name: of
    an obstruction, else empty.
    """

    before: Terminal | None
    after: Terminal | None
    near: Length
    far: Length
    name: str = ""


Node: TypeAlias = FixedNode | AskedOpening


def line_nodes(
    kit: Kit,
    side: Side,
    ends: tuple[Terminal, Terminal],
    openings: Sequence[AskedOpening],
    obstructions: Sequence[Obstruction],
) -> list[Node]:
    """Everything along the line, in order.

    An obstruction that stands on a line end takes its place; one beyond the line is left out. Empty
    where obstructions at the line's ends leave nothing of a line without openings.
    """
    first = FixedNode(None, ends[0], ends[0].t, ends[0].t)
    last = FixedNode(ends[1], None, ends[1].t, ends[1].t)
    between: list[Node] = list(openings)
    at_start, at_end = _body(kit, ends[0]), _body(kit, ends[1])
    cuts = interruptions_of(kit, side, obstructions)
    reaches = post_reaches(kit, side, obstructions) if cuts else []
    for cut in cuts:
        if cut.last < at_start[0] or cut.first > at_end[1]:
            continue
        node = FixedNode(
            _wall_terminal(kit, side, cut, reaches, after=False),
            _wall_terminal(kit, side, cut, reaches, after=True),
            cut.first,
            cut.last,
            cut.name,
        )
        if cut.first <= at_start[1]:
            first = node
        elif cut.last >= at_end[0]:
            # Of several at the line's end, the line comes to the first.
            last = node if last.after is None else last
        else:
            between.append(node)
    between.sort(key=lambda node: (node.near + node.far) / 2)
    # Obstructions at one or both line ends may leave nothing of the line.
    obstructed = first.before is not None or last.after is not None
    if obstructed and not openings and first.far >= last.near - TOUCH:
        return []
    return [first, *between, last]


def _wall_terminal(
    kit: Kit, side: Side, cut: Interruption, reaches: Sequence[FromTo], *, after: bool
) -> Terminal:
    """The end of the line at an obstruction: a bracket on it, or a post beside it.

    reaches: as for `post_beside_obstruction`. after: whether the line begins after the obstruction;
    else it ends before it.
    """
    face, normal = (cut.last if after else cut.first), cut.normals[after]
    skew, normal_heading = abs(normal), side.heading_at(face) + normal
    room = room_beside(kit, skew)
    met = Terminal(face, None, skew, face, (), cut.obstructions, normal_heading, room)
    edge = side.edge_over(face, toward=1 if after else -1)
    if edge.wall_end == "bracket" and skew <= kit.swivel_greatest + TOUCH:
        return met
    return post_beside_obstruction(kit, side, met, reaches, after=after)


def post_beside_obstruction(
    kit: Kit, side: Side, met: Terminal, reaches: Sequence[FromTo], *, after: bool
) -> Terminal:
    """A post in place of a bracket on an obstruction, as near to it as the post's base may be.

    The base is clear of this obstruction and of all others. met: the bracket. reaches: from where
    to where along the side each obstruction would meet a post. after: whether the line begins after
    the obstruction; else it ends before it.
    """
    off, sense = half_base(kit, side), 1.0 if after else -1.0
    t = met.t + sense * off
    for first, last in sorted(reaches, key=lambda reach: reach[0] if after else -reach[1]):
        if first < t + off - TOUCH and last > t - off + TOUCH:
            t = last + off if after else first - off
    return post_terminal(kit, side, t, "end", met.t, obstructions=met.obstructions)


def _body(kit: Kit, terminal: Terminal) -> FromTo:
    """From where to where along the line the post at a line end lies, or the wall's face."""
    half = DRAWN if terminal.post is None else kit.post.width / 2 + TOUCH
    return terminal.t - half, terminal.t + half
