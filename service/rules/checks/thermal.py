"""Rules: whether rails have room at their ends to grow as they warm."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import Length, Unit, number_text
from service.core.records.kit import End, Rail
from service.rules.alike import BayKind, bay_kinds
from service.rules.demands import Demand, Topic, say_demands, worst
from service.rules.job import Job
from service.rules.saying import Saying
from service.rules.strength.thermal import DEFAULT_RANGE, expansion, growth

RULE: Final = "thermal_growth"
_DEGREES: Final[dict[Unit, str]] = {"in": "Fahrenheit", "mm": "Celsius"}


def thermal_growth(job: Job) -> Iterator[Saying]:
    """Growth of each kind of rail against the allowances at its two ends together.

    The rails that have room share a pass, with the one that has the least.
    """
    unit = job.deck.unit
    given = job.deck.site.temperature_range
    degrees = DEFAULT_RANGE[unit] if given is None else given
    named = f"{number_text(degrees, 3)} {'°F' if unit == 'in' else 'K'}"
    said = named if given is not None else f"{named}, taken as no range is given"
    each = expansion(unit)

    def grows(length: Length, rail: Rail, ends: tuple[End, End]) -> Demand:
        room = sum(rail.allowances(ends))
        return Demand(
            growth(length, degrees, each), room, f"over a length of {{}} and {said}", length=length
        )

    def demand_of(kind: BayKind) -> Demand | None:
        bay, rails = kind.bay, job.kit.rails[kind.bay.infill]
        top = grows(bay.fill.top_cut, rails.top, bay.ends)
        return worst((top, grows(bay.fill.bottom_cut, rails.bottom, bay.ends)))

    yield from say_demands(job, _topic(job, each), bay_kinds(job), demand_of)


def _topic(job: Job, each: float) -> Topic:
    return Topic(
        RULE,
        "length",
        what="a rail grows by",
        held="at its two ends together it has",
        method=(
            f"expansion times range times length; aluminium grows by {number_text(each * 1e6, 1)} "
            f"millionths for each degree {_DEGREES[job.deck.unit]} (textbook figure); the posts "
            "held still"
        ),
        fails_as="warning",
        cite=job.kit.id,
    )
