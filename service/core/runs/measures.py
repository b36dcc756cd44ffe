"""Core: clear openings measured on site, and which of them cannot be true (contract, section 3)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from service.core.measure import TOUCH, Length, Unit, least_length, plain_length
from service.core.problems import Problem
from service.core.records.deck import SiteMeasure
from service.core.runs.drafts import BayKey, Measured


@dataclass(slots=True)
class Measures:
    """The clear openings that were measured, by bay.

    problems: those with measures that cannot be true, which are raised once all bays are made.
    post: width of a post.
    """

    unit: Unit
    post: Length
    given: Mapping[BayKey, SiteMeasure] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def of(self, key: BayKey, room: Length, centres: Length, drawn: Length) -> Measured | None:
        """What was measured in a bay; None where nothing was, or where the measure cannot be true.

        A clear opening has to be shorter than the bay's centres. From wall to wall, where the drawn
        opening is as long as these, it has to be less than a post's width over the drawn one, as it
        always is between two posts. It also has to leave rails and infill a size (`room`). A
        measure that breaks any of these goes into `problems`. All lengths are along the rail.
        """
        measure = self.given.get(key)
        if measure is None:
            return None
        if drawn > centres - TOUCH:
            centres = drawn + self.post
        bounds = room, drawn, centres
        wrong = [
            *self._problems(measure, "top", measure.clear_top, *bounds),
            *self._problems(measure, "bottom", measure.clear_bottom, *bounds),
        ]
        if wrong:
            self.problems += wrong
            return None
        return Measured(measure.clear_top, measure.clear_bottom, drawn)

    def _problems(
        self,
        measure: SiteMeasure,
        rail: str,
        value: Length,
        room: Length,
        drawn: Length,
        centres: Length,
    ) -> Iterator[Problem]:
        pointer = f"{measure.pointer}/clear_{rail}"
        if value >= centres - TOUCH:
            yield Problem(
                pointer,
                "measure_too_long",
                f"Bay {measure.bay} cannot measure {plain_length(value, self.unit, centres)} along"
                f" its rail: it is drawn {plain_length(drawn, self.unit)} clear, and what it lies"
                f" between leaves it less than {plain_length(centres, self.unit, value)}; measure"
                " it again, or name the bay that was measured.",
            )
        elif value < room - TOUCH:
            yield Problem(
                pointer,
                "measure_too_short",
                f"Bay {measure.bay} at {plain_length(value, self.unit, room)} clear leaves its"
                f" rails and infill no size; they need {least_length(room, self.unit, value)} at"
                " least.",
            )
