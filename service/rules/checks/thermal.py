"""Rules: whether rails have room at their ends to grow as they warm."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.kit import Rail
from service.core.layout import Bay
from service.core.measure import Length
from service.rules.strength.thermal import DEFAULT_RANGE, expansion, growth
from service.rules.use import Topic, Use, say_uses
from service.rules.verdict import Job, Place, Saying
from service.rules.words import number_text

RULE: Final = "thermal_growth"


def thermal_growth(job: Job) -> Iterator[Saying]:
    """Each kind of rail against the allowances at its two ends; the worst of those with room."""
    unit = job.deck.unit
    given = job.deck.site.temperature_range
    degrees = DEFAULT_RANGE[unit] if given is None else given
    named = f"{number_text(degrees, 3)} {'°F' if unit == 'in' else 'K'}"
    said = named if given is not None else f"{named}, which stands where no range is given"
    kinds: dict[tuple[Length, Length, str], list[Place]] = {}
    for bay in job.layout.bays:
        for which, length, rail in _rails(job, bay):
            room = sum(rail.end_allowance[end] for end in bay.ends)
            kinds.setdefault((length, round(room, 9), which), []).append((bay.id,))
    each = expansion(unit)
    uses = (
        (places, Use(growth(length, degrees, each), room, f"in {job.text(length)} over {said}"))
        for (length, room, _), places in kinds.items()
    )
    yield from say_uses(job, _topic(job, each), uses)


def _rails(job: Job, bay: Bay) -> Iterator[tuple[str, Length, Rail]]:
    rails = job.kit.rails[bay.infill]
    yield "top", bay.top_cut, rails.top
    yield "bottom", bay.bottom_cut, rails.bottom


def _topic(job: Job, each: float) -> Topic:
    return Topic(
        RULE,
        "length",
        "a rail grows by",
        "at its two ends together it has",
        f"expansion times range times length, {each:.3g} to a degree of aluminium (textbook "
        "figure); the posts held still",
        warning=True,
        cite=job.kit.id,
    )
