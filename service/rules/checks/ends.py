"""Rules: square ends of rails at walls, obstructions and posts that they meet off square.

The corner of a turned post comes up to 0.113 of the post's width nearer to a rail than the middle
of the face does; that is a finding where the kit's allowance at a swivel bracket is less. At an
obstruction the line ends where a strip as wide as a post first meets it (method 1). For a rail that
is broader than a post, this looks at how much further the obstruction reaches within the rail's own
breadth; the corner of one that points at the rail reaches no further.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

import shapely
from shapely.affinity import affine_transform

from service.core.measure import TOUCH, Degrees, Length, angle_text, ceil_to_mark, toward
from service.core.records.layout import Bay, Run
from service.rules.checks.cutting import measured_openings
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place, once
from service.rules.saying import Saying, say_by_kit, steady

_RULE: Final = "rail_ends"


class _SquareEnd(NamedTuple):
    """The square end of a rail, in a swivel bracket.

    on: what it ends on: a wall, an obstruction or a post. rail: the top or the bottom one.
    width: of the rail; None where the kit's strength does not give it. It is then taken to be as
    broad as two posts.
    skew: how far off square the rail meets the face.
    off: from the middle of the end to what it ends on, with the rail's other end at its allowance.
    reach: how much nearer than that middle a corner of the end comes to the face, or a corner of
    the post to the end; at an obstruction, how far the obstruction reaches past the end of the line
    within the rail's breadth.
    """

    on: str
    rail: str
    width: Length | None
    skew: Degrees
    off: Length
    reach: Length


def rail_ends(job: Job) -> Iterator[Saying]:
    """Ends of rails in swivel brackets: a finding for each whose square end may have no room.

    The ends at walls that have room, of rails whose width is given, share a pass, which names the
    tightest of them.
    """
    kept: list[tuple[Place, _SquareEnd]] = []
    for bay in job.layout.bays:
        if "swivel" not in bay.ends:
            continue
        for end in _square_ends(job, bay):
            if end.reach > end.off + TOUCH:
                yield _no_room(job, end), [(bay.id,)]
            elif end.width is not None and end.on == "wall":
                kept.append(((bay.id,), end))
    if kept:
        _, tightest = min(kept, key=lambda each: each[1].off - each[1].reach)
        sentence = (
            "square ends of rails have room at walls off square: at the least the corner"
            f" of one comes {job.text(tightest.reach, tightest.off)} nearer than its middle, which"
            f" is {job.text(tightest.off, tightest.reach)} off"
        )
        passed = _said(job, "pass", sentence, tightest)
        yield passed, list(dict.fromkeys(place for place, _ in kept))


@once
def _runs(job: Job) -> dict[str, Run]:
    return {run.id: run for run in job.layout.runs}


def _square_ends(job: Job, bay: Bay) -> Iterator[_SquareEnd]:
    """Ends of a bay's rails that are in swivel brackets, of the top rail and of the bottom one."""
    rails, fill, strength = job.kit.rails[bay.infill], bay.fill, job.kit.strength
    top, bottom = measured_openings(job)[bay.id] if bay.measured else (bay.clear, bay.clear)
    members = {} if strength is None else strength.rails
    for i, (post, skew) in enumerate(zip((bay.start, bay.end), bay.skews, strict=True)):
        if bay.ends[i] != "swivel":
            continue
        run = _runs(job)[bay.run] if post is None else None
        on = "post" if run is None else "wall" if run.oblique_walls[i] else "obstruction"
        for name, rail, left in (
            ("top", rails.top, top - fill.top_cut),
            ("bottom", rails.bottom, bottom - fill.bottom_cut),
        ):
            member = members.get(f"{name}_rail_{bay.infill}")
            width = None if member is None else member.width
            broad = 2 * job.kit.post.width if width is None else width
            off = left - rail.end_allowance[bay.ends[1 - i]]
            if run is None or run.oblique_walls[i]:
                reach = _corner_reach(broad, skew, None if post is None else job.kit.post.width)
            else:
                foot = bay.height - rails.top.depth if name == "top" else job.kit.bottom_gap
                reach = _obstruction_reach(job, run, i, broad, foot)
            yield _SquareEnd(on, name, width, steady(skew), steady(off), steady(reach))


def _obstruction_reach(job: Job, run: Run, i: int, broad: Length, foot: Length) -> Length:
    """How far the obstruction that a run ends on reaches back past that end, in a rail's breadth.

    i: 0 for the start of the run, 1 for its end. foot: height of the rail's underside above the
    walking surface; an obstruction known to be no higher is left out. 0 for a rail no broader than
    a post: what reaches into a chord of a bow is judged by `rails_clear`.
    """
    if broad <= job.kit.post.width + TOUCH:
        return 0.0
    (level,) = (each for each in job.deck.levels if each.id == run.level)
    (x, y), other, half = run.ends[i], run.ends[1 - i], job.kit.post.width / 2
    ux, uy = toward(other, (x, y))
    to_the_line = (ux, uy, -uy, ux, -x * ux - y * uy, x * uy - y * ux)
    breadth = shapely.box(-run.length, -broad / 2, broad, broad / 2)
    least = 0.0
    for one in level.obstructions:
        if one.reaches_past(foot) and one.shape.distance(shapely.Point(x, y)) <= half + TOUCH:
            shared = affine_transform(one.shape, to_the_line).intersection(breadth)
            if shared.area > TOUCH:
                least = min(least, shared.bounds[0])
    return -least


def _corner_reach(broad: Length, skew: Degrees, post: Length | None) -> Length:
    """How much nearer to a face a corner of a rail's square end comes than the middle of that end.

    The corner lies half the rail's breadth aside, or where the face ends at a post's corner. broad:
    breadth of the rail. post: width of the post; None for a wall.

    >>> round(_corner_reach(1.0, 45.0, None), 4), round(_corner_reach(9.0, 30.0, 2.0), 4)
    (0.5, 0.2113)
    """
    turn = math.radians(skew)
    aside = broad / 2
    if post is not None:
        aside = min(aside, max(0.0, post / 2 * (math.cos(turn) - math.sin(turn))))
    return aside * math.tan(turn)


def _no_room(job: Job, end: _SquareEnd) -> Finding:
    if end.on == "obstruction":
        return _no_room_at_obstruction(job, end)
    meets = f"ends on a {end.on} {angle_text(end.skew)} off square"
    if end.width is None:
        sentence = (
            f"the {end.rail} rail {meets}, and how far the corner of its square end reaches there"
            " is not known: give the rail's width in the kit's strength, or see on site that it"
            " fits"
        )
        return say_by_kit(job, _RULE, "not_checked", sentence)
    longer, shorter = (
        ceil_to_mark(more, job.deck.step) for more in (end.reach, end.reach - end.off)
    )
    sentence = (
        f"the {end.rail} rail, {job.text(end.width)} wide, {meets}: the corner of its square end"
        f" comes {job.text(end.reach, end.off)} nearer than its middle, which is"
        f" {job.text(end.off, end.reach)} off; cut that end along the {end.on}, from a piece"
        f" {job.text(longer)} longer, or the rail {job.text(shorter)}"
        " shorter, if its bracket holds it so"
    )
    return _said(job, "warning", sentence, end)


def _no_room_at_obstruction(job: Job, end: _SquareEnd) -> Finding:
    meets = "ends on an obstruction that is not square to it"
    if end.width is None:
        sentence = (
            f"a rail {meets}, and how far its square end reaches there is not known: give the"
            " widths of the rails in the kit's strength, or see on site that it fits"
        )
        return say_by_kit(job, _RULE, "not_checked", sentence)
    shorter = ceil_to_mark(end.reach - end.off, job.deck.step)
    sentence = (
        f"the {end.rail} rail, {job.text(end.width)} wide, {meets}: in that breadth it comes"
        f" {job.text(end.reach, end.off)} nearer than where the line ends, off which the rail is"
        f" {job.text(end.off, end.reach)}; cut its end along the obstruction, or the rail"
        f" {job.text(shorter)} shorter, if its bracket holds it so"
    )
    return _said(job, "warning", sentence, end)


def _said(job: Job, verdict: Verdict, sentence: str, end: _SquareEnd) -> Finding:
    return say_by_kit(job, _RULE, verdict, sentence, limit=end.off, actual=end.reach)
