"""Core: from tapes to corners: the tape walk and the two-tape ties (contract, section 3).

The compass (Bowditch) rule and the two-distance fix are as in any surveying handbook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from service.core.measure import TOUCH, Degrees, Length, Point, Unit, angle_text, plain_length
from service.core.problems import Problem, Unbuildable, raise_any, unbuildable
from service.core.records.deck import Ties, Walk
from service.core.records.seen import ClosureSeen, TieSeen

WORST_CLOSURE: Final = 1 / 100
"""Greatest gap that a walk may leave, as a part of its perimeter; beyond it the walk is refused."""
ONCE_ROUND: Final[Degrees] = 5.0
"""How far the sum of a walk's turns may be off 360 with the turns still taken as measured ones."""


@dataclass(frozen=True, slots=True)
class Survey:
    """Corners in the caller's order, and what the survey showed.

    closure: of a tape walk, else None. ties: of two-tape corners, else empty.
    """

    points: tuple[Point, ...]
    closure: ClosureSeen | None = None
    ties: tuple[TieSeen, ...] = ()


def walk_corners(walk: Walk, level: str, unit: Unit) -> Survey:
    """Corners of a tape walk from the origin, heading +x, with the gap spread by the compass rule.

    The one unknown length, if any, is the one that closes the walk best: the gap's part along that
    side (least squares). Refuses a walk that needs a length of 0 or less there, and a walk that
    misses its start by over 1:100 of its perimeter.
    """
    turns = accumulate((side.turn for side in walk.sides[:-1]), initial=0.0)
    headings = [math.radians(heading) for heading in turns]
    unknown = [i for i, side in enumerate(walk.sides) if side.length is None]
    lengths = _complete(walk, headings, unknown, unit)
    vectors = [
        (length * math.cos(heading), length * math.sin(heading))
        for length, heading in zip(lengths, headings, strict=True)
    ]
    gap_x, gap_y = (math.fsum(v[axis] for v in vectors) for axis in (0, 1))
    perimeter = math.fsum(lengths)
    gap = math.hypot(gap_x, gap_y)
    most = perimeter * WORST_CLOSURE
    if gap > most + TOUCH:
        raise unbuildable(
            f"{walk.pointer}/sides",
            "walk_does_not_close",
            f"The walk misses its start by {plain_length(gap, unit, most)}"
            f" ({_off_text(gap_x, gap_y, unit)}) in a perimeter of"
            f" {plain_length(perimeter, unit)}; at most {plain_length(most, unit, gap)}, 1:100 of"
            f" it, can be spread. {_round_text(walk)}",
        )
    points: list[Point] = []
    x = y = 0.0
    for (dx, dy), length in zip(vectors, lengths, strict=True):
        points.append((x, y))
        x += dx - gap_x * length / perimeter
        y += dy - gap_y * length / perimeter
    left_out = None
    if unknown:
        i = unknown[0]
        left_out = i, math.dist(points[i], points[(i + 1) % len(points)])
    return Survey(tuple(points), ClosureSeen(level, gap, perimeter, left_out))


def _off_text(x: Length, y: Length, unit: Unit) -> str:
    """Which way a walk's end lies off its start; a tape that was read wrong lies in that direction.

    >>> _off_text(8.0, -0.25, "in")
    '8 in too far right, 0.25 in too far down'
    """
    axes = ((x, "right", "left"), (y, "up", "down"))
    return ", ".join(
        f"{plain_length(abs(off), unit)} too far {more if off > 0 else less}"
        for off, more, less in axes
        if abs(off) > TOUCH
    )


def _round_text(walk: Walk) -> str:
    """What the caller can do about a walk that does not close."""
    turned = math.fsum(side.turn for side in walk.sides)
    if abs(abs(turned) - 360) <= ONCE_ROUND:
        return "Measure again."
    return (
        f"Its turns come to {angle_text(turned)}, and once round is 360°: see to them first, left"
        " turns above 0 and right ones below."
    )


def _complete(walk: Walk, headings: list[float], unknown: list[int], unit: Unit) -> list[Length]:
    """The lengths of a walk's sides. unknown: the sides without one, of which there may be one."""
    lengths = [side.length or 0.0 for side in walk.sides]
    if not unknown:
        return lengths
    if len(unknown) > 1:
        raise Unbuildable(
            Problem(
                f"{walk.pointer}/sides/{i}",
                "length_missing",
                "Only one side may leave its length out; this is one more.",
            )
            for i in unknown[1:]
        )
    missing = unknown[0]
    ux, uy = math.cos(headings[missing]), math.sin(headings[missing])
    known = math.fsum(
        length * (math.cos(heading) * ux + math.sin(heading) * uy)
        for length, heading in zip(lengths, headings, strict=True)
    )
    if -known <= TOUCH:
        raise unbuildable(
            f"{walk.pointer}/sides/{missing}",
            "length_missing",
            "No length of this side closes the walk: the other sides already lead"
            f" {plain_length(known, unit)} past the start along it. Check lengths and turns.",
        )
    lengths[missing] = -known
    return lengths


def tie_corners(ties: Ties, level: str, unit: Unit) -> Survey:
    """Corners by two tapes from A (0,0) and B (baseline,0); all of them lie at y < 0.

    x = (a^2 - b^2 + c^2) / 2c, y = -sqrt(a^2 - x^2), with a and b the two tapes and c the baseline.
    Refuses tapes that do not meet.
    """
    problems = []
    points: list[Point] = [(0.0, 0.0)]
    seen = []
    base = ties.baseline
    for i, tie in enumerate(ties.corners):
        a, b = tie.from_a, tie.from_b
        x = (a * a - b * b + base * base) / (2 * base)
        square = a * a - x * x
        if square <= 0:
            problems.append(
                Problem(
                    f"{ties.pointer}/corners/{i}",
                    "tapes_do_not_meet",
                    f"Tapes of {plain_length(a, unit)} from A and {plain_length(b, unit)} from B"
                    f" do not meet off a wall of {plain_length(base, unit)}: their sum,"
                    f" {plain_length(a + b, unit, base)}, must be more, and their difference,"
                    f" {plain_length(abs(a - b), unit, base)}, less than it.",
                )
            )
            continue
        points.append((x, -math.sqrt(square)))
        cosine = (a * a + b * b - base * base) / (2 * a * b)
        crossing = math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
        seen.append(TieSeen(level, i, min(crossing, 180 - crossing)))
    raise_any(problems)
    return Survey((*points, (base, 0.0)), ties=tuple(seen))
