"""Rules: how well the outline was measured. Their bounds are common practice, not a code's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from service.core.layout import ClosureSeen
from service.core.measure import TOUCH, Degrees
from service.rules.finding import Finding, Result
from service.rules.table import CLOSURE_RATIO, WEAK_TIE
from service.rules.verdict import Job, Place, Saying, say, steady
from service.rules.words import angle_text

_PRACTICE: Final = "common practice, no source"


def walk_closure(job: Job) -> Iterator[Saying]:
    """The gap of each tape walk against its perimeter."""
    for seen in job.layout.closures:
        yield _closure(job, seen), (seen.level,)


def _closure(job: Job, seen: ClosureSeen) -> Finding:
    limit = seen.perimeter / CLOSURE_RATIO
    around = job.text(seen.perimeter)
    closes = seen.gap <= limit + TOUCH
    if seen.gap <= TOUCH:
        sentence = f"the tape walk of {around} closes on its start"
    else:
        ratio = math.floor(seen.perimeter / seen.gap + TOUCH)
        sentence = (
            f"the tape walk of {around} misses its start by {job.text(seen.gap, limit)}, "
            f"1:{ratio}; the gap was spread over the sides by their lengths"
        )
    if not closes:
        sentence += f"; worse than 1:{CLOSURE_RATIO}: measure the sides again"
    return say(
        "walk_closure",
        "pass" if closes else "fail",
        sentence,
        cite=_PRACTICE,
        limit=limit,
        actual=steady(seen.gap),
        warning=True,
    )


def weak_tie(job: Job) -> Iterator[Saying]:
    """The angle of each corner's two tapes; the well-fixed corners together, with their least."""
    firm: list[Place] = []
    least = 90.0
    bound = angle_text(WEAK_TIE)
    for seen in job.layout.ties:
        place = (f"{seen.level}/corner {seen.corner}",)
        if seen.angle >= WEAK_TIE - TOUCH:
            firm.append(place)
            least = min(least, seen.angle)
            continue
        sentence = (
            f"the two tapes cross at {angle_text(seen.angle)}, under {bound}, so a small slip "
            "moves the corner far: check it by a third measure"
        )
        yield _tie("fail", sentence, seen.angle), place
    passed = f"the two tapes cross at {angle_text(least)} at the least; {bound} fixes a corner well"
    held = _tie("pass", passed, least)
    yield from ((held, place) for place in firm)


def _tie(result: Result, sentence: str, angle: Degrees) -> Finding:
    return say(
        "weak_tie",
        result,
        sentence,
        cite=_PRACTICE,
        limit=WEAK_TIE,
        actual=steady(angle),
        warning=True,
    )
