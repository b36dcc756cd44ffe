"""Core: runs and their bays before they are numbered, and the keys that identify them until
then."""

from __future__ import annotations

from typing import TypeAlias

from service.core.frozen import record
from service.core.line.posts import PostDraft
from service.core.line.stretches import Stretch
from service.core.measure import Length
from service.core.records.infill import BayFill
from service.core.records.kit import End

RunKey: TypeAlias = tuple[str, int | str, int]
"""Level, edge number, and which stretch along the edge; or flight, hand and 0."""
BayKey: TypeAlias = tuple[RunKey, int]


@record()
class Measured:
    """The clear openings of a bay, along its rails.

    top, bottom: at each rail, as measured after the posts stood; drawn: as the layout has it.
    """

    top: Length
    bottom: Length
    drawn: Length

    @property
    def least(self) -> Length:
        """The lesser of the two measures, to which the infill is made."""
        return min(self.top, self.bottom)

    @property
    def wider(self) -> Length:
        """By how much the greater of the two measures exceeds the lesser."""
        return abs(self.top - self.bottom)


@record()
class BayDraft:
    """A bay before it is numbered. index: its place in its run. Only railed bays are drafted."""

    index: int
    centres: Length
    clear: Length
    ends: tuple[End, End]
    fill: BayFill
    measured: Measured | None = None


@record()
class SmallBay:
    """A bay that is too small to rail. index: its place in its run."""

    index: int
    clear: Length


@record(eq=False)
class RunDraft:
    """A run before it is numbered.

    key: which run it is; marks: places of its start, of its inner posts, and of its end; inner: the
    inner posts; small: bays too small to rail, which are left open. bow: for a chord, which stretch
    of its bowed edge it belongs to; None for any other run.
    """

    key: RunKey
    stretch: Stretch
    marks: tuple[Length, ...]
    inner: tuple[PostDraft, ...]
    bays: tuple[BayDraft, ...]
    small: tuple[SmallBay, ...]
    bow: int | None = None

    @property
    def posts(self) -> tuple[PostDraft | None, ...]:
        """What stands at its marks: every post from start to end; None at an end without one."""
        return self.stretch.start.post, *self.inner, self.stretch.end.post

    def outer_bay(self, *, at_end: bool) -> BayDraft | None:
        """The bay at its end, or at its start; None where that is too small to rail."""
        index = len(self.inner) if at_end else 0
        return next((bay for bay in self.bays if bay.index == index), None)
