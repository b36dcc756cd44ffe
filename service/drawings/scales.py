"""Drawings: the scales that drawings are drawn at, and what a length on paper is in the deck."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.core.measure import MM_PER_IN, Length, Unit

_INCH: Final = {
    4: '3" = 1\'', 8: '1 1/2" = 1\'', 12: '1" = 1\'', 16: '3/4" = 1\'', 24: '1/2" = 1\'',
    32: '3/8" = 1\'', 48: '1/4" = 1\'', 64: '3/16" = 1\'', 96: '1/8" = 1\'', 128: '3/32" = 1\'',
    192: '1/16" = 1\'', 240: '1" = 20\'', 360: '1" = 30\'', 480: '1" = 40\'', 600: '1" = 50\'',
}  # fmt: skip
"""Ratios of an architect's scale, then of an engineer's scale, each with its reading."""
_METRIC: Final = (5, 10, 20, 25, 50, 75, 100, 125, 200, 500, 1000)
"""ISO 5455, and beside it 1:25, 1:75 and 1:125, which three-sided rules have (common practice, no
source); neither has a scale between 1:25 and 1:50."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale of one to `ratio`. unit: the deck's."""

    ratio: int
    unit: Unit

    @property
    def per_unit(self) -> float:
        """Millimetres on paper for one unit of the deck.

        >>> Scale(48, "in").per_unit * 48
        25.4
        """
        return (MM_PER_IN if self.unit == "in" else 1.0) / self.ratio

    def of_paper(self, millimetres: float) -> Length:
        """The length in the deck that so many millimetres on paper stand for."""
        return millimetres / self.per_unit

    @property
    def text(self) -> str:
        """The scale as a title gives it.

        >>> Scale(48, "in").text, Scale(50, "mm").text, Scale(384, "in").text
        ('1/4" = 1\\' (1:48)', '1:50', '1:384')
        """
        read = _INCH.get(self.ratio) if self.unit == "in" else None
        return f"{read} (1:{self.ratio})" if read else f"1:{self.ratio}"


def fit(size: tuple[Length, Length], room: tuple[float, float], unit: Unit) -> Scale:
    """The largest scale at which something of this size in the deck fits a room in mm on paper.

    >>> fit((240.0, 144.0), (250.0, 150.0), "in").text
    '3/8" = 1\\' (1:32)'
    >>> fit((6000.0, 3600.0), (250.0, 150.0), "mm").ratio
    25
    >>> fit((15000.0, 9000.0), (250.0, 150.0), "mm").ratio
    75
    """
    scale = Scale(_ratios(unit)[0], unit)
    while any(have * scale.per_unit > most for have, most in zip(size, room, strict=True)):
        scale = coarser(scale)
    return scale


def coarser(scale: Scale) -> Scale:
    """The next smaller scale in use.

    >>> coarser(Scale(48, "in")).ratio, coarser(Scale(1000, "mm")).ratio
    (64, 2000)
    """
    smaller = (ratio for ratio in _ratios(scale.unit) if ratio > scale.ratio)
    return Scale(next(smaller, 2 * scale.ratio), scale.unit)


def at_least(per_unit: float, unit: Unit) -> Scale:
    """The smallest scale in use at which a unit of the deck takes at least `per_unit` mm.

    The largest scale in use where none is large enough.

    >>> at_least(0.2, "in").ratio, at_least(0.02, "mm").ratio
    (96, 50)
    """
    fitting = [ratio for ratio in _ratios(unit) if Scale(ratio, unit).per_unit >= per_unit]
    return Scale(max(fitting, default=_ratios(unit)[0]), unit)


def _ratios(unit: Unit) -> tuple[int, ...]:
    """The ratios of the scales in use, the largest scale first."""
    return tuple(_INCH) if unit == "in" else _METRIC
