"""Rules: square ends of rails at walls, obstructions and posts that they meet off square.

The corner of a post stands up to 0.113 of its width nearer to a rail than the middle of its face:
that is told of where a kit's swivel bracket takes less. At an obstruction the line is cut where a
strip as wide as a post first meets it (method 1): a rail that is no broader has room there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Degrees, Length, angle_text, ceil_to_mark
from service.core.records.layout import Bay
from service.rules.checks.cutting import measured_openings
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady

_RULE: Final = "rail_ends"
_NEITHER: Final = (False, False)


class _SquareEnd(NamedTuple):
    """The end of a rail. on: a wall, an obstruction or a post; rail: at the top or the bottom;
    width: its own, if the kit's strength says it; off: as far as its middle can be off, with the
    other end at its allowance; reach: how much nearer the corner of a square end comes, or that of
    the post to it, of a rail whose width is not known as broad as two posts."""

    on: str
    rail: str
    width: Length | None
    skew: Degrees
    off: Length
    reach: Length


def rail_ends(job: Job) -> Iterator[Saying]:
    """Rails held by a swivel bracket: each whose square end may have no room; and of those on walls
    the ones that have, with the tightest."""
    leaning: dict[str, tuple[bool, bool]] = {}
    for run in job.layout.runs:
        if run.leans != _NEITHER:
            leaning[run.id] = run.leans
    kept: list[tuple[Place, _SquareEnd]] = []
    for bay in job.layout.bays:
        if "swivel" not in bay.ends:
            continue
        for end in _square_ends(job, bay, leaning.get(bay.run, _NEITHER)):
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


def _square_ends(job: Job, bay: Bay, leans: tuple[bool, bool]) -> Iterator[_SquareEnd]:
    """leans: as a run has it."""
    rails, fill, strength = job.kit.rails[bay.infill], bay.fill, job.kit.strength
    top, bottom = job.once(measured_openings)[bay.id] if bay.measured else (bay.clear, bay.clear)
    members = {} if strength is None else strength.rails
    for i, (post, skew) in enumerate(zip((bay.start, bay.end), bay.skews, strict=True)):
        if bay.ends[i] != "swivel":
            continue
        on = "post" if post is not None else "wall" if leans[i] else "obstruction"
        for name, rail, left in (
            ("top", rails.top, top - fill.top_cut),
            ("bottom", rails.bottom, bottom - fill.bottom_cut),
        ):
            member = members.get(f"{name}_rail_{bay.infill}")
            width = None if member is None else member.width
            broad = 2 * job.kit.post.width if width is None else width
            off = left - rail.end_allowance[bay.ends[1 - i]]
            if on == "obstruction":
                off += _nearer(job.kit.post.width, skew, None)
            reach = steady(_nearer(broad, skew, None if post is None else job.kit.post.width))
            yield _SquareEnd(on, name, width, steady(skew), steady(off), reach)


def _nearer(broad: Length, skew: Degrees, post: Length | None) -> Length:
    """How much nearer than the middle of a face the square end of a rail comes to it, half its
    breadth aside, or where the face ends at a post's corner. post: its width; None of a wall.

    >>> round(_nearer(1.0, 45.0, None), 4), round(_nearer(9.0, 30.0, 2.0), 4)
    (0.5, 0.2113)
    """
    turn = math.radians(skew)
    aside = broad / 2
    if post is not None:
        aside = min(aside, max(0.0, post / 2 * (math.cos(turn) - math.sin(turn))))
    return aside * math.tan(turn)


def _no_room(job: Job, end: _SquareEnd) -> Finding:
    article = "an" if end.on == "obstruction" else "a"
    meets = f"ends on {article} {end.on} {angle_text(end.skew)} off square"
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


def _said(job: Job, verdict: Verdict, sentence: str, end: _SquareEnd) -> Finding:
    return say_by_kit(job, _RULE, verdict, sentence, limit=end.off, actual=end.reach)
