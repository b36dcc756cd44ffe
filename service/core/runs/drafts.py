"""Core: runs and their bays before they have numbers, and the keys by which they are known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from service.core.line.posts import PostDraft
from service.core.line.stretches import Stretch
from service.core.measure import Length
from service.core.records.kit import End
from service.core.records.layout import BayFill

RunKey: TypeAlias = tuple[str, int | str, int]
"""Level, edge number and stretch along it; or flight, hand and 0."""
BayKey: TypeAlias = tuple[RunKey, int]


@dataclass(frozen=True, slots=True)
class Measured:
    """A bay's clear openings as measured after the posts stood, at the top and at the bottom rail,
    and the one that was drawn; along the rails."""

    top: Length
    bottom: Length
    drawn: Length

    @property
    def least(self) -> Length:
        """The lesser of the two, which infill goes by."""
        return min(self.top, self.bottom)

    @property
    def wider(self) -> Length:
        """By how much the greater of the two is wider."""
        return abs(self.top - self.bottom)


@dataclass(frozen=True, slots=True)
class BayDraft:
    """A bay before it has a number. index: its place in its run; railed bays alone are drafted."""

    index: int
    centres: Length
    clear: Length
    ends: tuple[End, End]
    fill: BayFill
    measured: Measured | None = None


@dataclass(frozen=True, slots=True)
class SmallBay:
    """A bay that is too small to rail. index: its place in its run."""

    index: int
    clear: Length


@dataclass(frozen=True, slots=True, eq=False)
class RunDraft:
    """A run before it has a number. marks: the run's start, the inner posts, the run's end; inner:
    those posts.

    small: bays that are too small to rail, left open. key: which run it is. bow: of a
    chord, which stretch of its bowed edge it is of; None of any other run.
    """

    key: RunKey
    stretch: Stretch
    marks: tuple[Length, ...]
    inner: tuple[PostDraft, ...]
    bays: tuple[BayDraft, ...]
    small: tuple[SmallBay, ...]
    bow: int | None = None
