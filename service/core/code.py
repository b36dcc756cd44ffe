"""Core: a published code's figures as data, frozen, in the document's unit (contract, section 5).

The vocabulary of figures is closed: FIGURES. A figure keeps its clause, how its text reads
at the limit itself, and whether the text was seen or is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from service.core.deck import Drops
from service.core.measure import TOUCH, Length

FigureKind: TypeAlias = Literal[
    "length", "degrees", "count", "words", "force", "line_load", "pressure", "number"
]
"""What a figure's value is. Lengths and loads are converted; a number is one in every unit."""
Reads: TypeAlias = Literal["at_least", "at_most", "less_than", "more_than", "binds"]
"""How a text reads at its figure. `more_than` 30: 30 itself is not over; `binds`: no number."""

FIGURES: Final[dict[str, tuple[FigureKind, str]]] = {
    "guard_required_drop": ("length", "drop from which a guard is required"),
    "guard_drop_reach": ("length", "how far out from the edge the drop is looked for"),
    "guard_height": ("length", "least height of a guard above the walking surface"),
    "opening_sphere": ("length", "sphere that no opening in a guard may let through"),
    "geometry_applies_to": ("words", "which guards the height and opening figures bind"),
    "guard_height_stair": (
        "length",
        "least height of a guard on a flight, plumb above the line of nosings",
    ),
    "opening_sphere_stair": (
        "length",
        "sphere that no opening in the guard of a flight may let through",
    ),
    "stair_triangle_sphere": (
        "length",
        "sphere that the triangle of riser, tread and bottom rail may not let through",
    ),
    "riser_min": ("length", "least height of a riser"),
    "riser_max": ("length", "greatest height of a riser"),
    "riser_uniformity": ("length", "greatest difference between two risers of one flight"),
    "going_min": ("length", "least going of a tread, nosing to nosing in plan"),
    "going_max": ("length", "greatest going of a tread, nosing to nosing in plan"),
    "risers_and_going_min": ("length", "least sum of two risers and a going"),
    "risers_and_going_max": ("length", "greatest sum of two risers and a going"),
    "pitch_max": ("degrees", "steepest pitch of a flight, in degrees from level"),
    "stair_width": ("length", "least clear width of a flight"),
    "handrail_required_risers": ("count", "risers from which a flight needs a handrail"),
    "handrail_both_sides_width": (
        "length",
        "clear width from which a flight needs a handrail on both sides",
    ),
    "handrail_height_min": ("length", "least height of a handrail above the line of nosings"),
    "handrail_height_max": ("length", "greatest height of a handrail above the line of nosings"),
    "strength_method": ("words", "how strength is worked out"),
    "load_factor": ("number", "factor on loads, by partial factors"),
    "loads_concur": ("words", "whether point and line load are taken together"),
    "guard_line_load": ("line_load", "load level across the guard, all along its top"),
    "guard_point_load": ("force", "load at any one point of the guard's top"),
    "guard_vertical_load": ("line_load", "load straight down, all along the guard's top"),
    "infill_point_load": ("force", "load at any one place of the infill"),
    "infill_load_side": ("length", "side of the square over which that load is spread"),
    "infill_pressure": ("pressure", "load all over the infill"),
    "handrail_point_load": ("force", "load at any one point of a handrail"),
    "glass_load_factor": ("number", "how many times its load glass has to bear"),
    "guard_deflection": ("length", "how far any point of a guard may move under its load"),
}
"""Every figure that a code document may state: what kind of value, and what it is."""

APPLIES_TO: Final = ("required guards", "all guards")
ALLOWABLE: Final = "allowable stress"
PARTIAL: Final = "partial factors"
WORDS: Final[dict[str, tuple[str, ...]]] = {
    "geometry_applies_to": APPLIES_TO,
    "strength_method": (ALLOWABLE, PARTIAL),
    "loads_concur": ("separate cases", "together"),
}
"""What a figure of words may say."""
LOADS: Final[frozenset[FigureKind]] = frozenset({"force", "line_load", "pressure"})
"""Kinds whose values have a unit other than one of length: lbf, lbf/ft, psf or N, kN/m, kPa."""


@dataclass(frozen=True, slots=True)
class When:
    """Where `measure` (a drop) is above `above`, `value` holds instead, by `cite`."""

    measure: Literal["drop", "drop_to_ground", "drop_to_next_level"]
    above: Length
    value: Length
    cite: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure. basis: how well it is supported ("seen", "near", "digest", "memory")."""

    value: Length | str
    reads: Reads
    cite: str
    basis: str
    when: tuple[When, ...] = ()
    amended: bool = False
    published: Length | str | None = None

    def length(self) -> float:
        """The value of a figure that is a number: a length, degrees or a count by its kind."""
        if isinstance(self.value, str):
            raise TypeError(f"{self.cite} is words, not a number")
        return self.value

    def at(self, drops: Drops) -> Figure:
        """The figure as it holds over these drops; a drop not given takes no `when`."""
        ground = drops.to_ground if drops.to_ground is not None else drops.drop
        below = drops.to_next_level if drops.to_next_level is not None else drops.drop
        given = {"drop": drops.drop, "drop_to_ground": ground, "drop_to_next_level": below}
        for case in self.when:
            measure = given[case.measure]
            if measure is not None and measure > case.above + TOUCH:
                return replace(self, value=case.value, cite=case.cite, when=())
        return self

    def met_by(self, actual: Length) -> bool:
        """Whether `actual` keeps to the figure as its text reads; within 1e-6 is at the limit."""
        limit = self.length()
        if self.reads == "at_least":
            return actual >= limit - TOUCH
        if self.reads == "at_most":
            return actual <= limit + TOUCH
        if self.reads == "less_than":
            return actual < limit - TOUCH
        return actual > limit + TOUCH


@dataclass(frozen=True, slots=True)
class Code:
    """A code document: its figures by name."""

    id: str
    title: str
    edition: str
    figures: dict[str, Figure]

    def figure(self, name: str) -> Figure | None:
        """The figure of that name, or None where this code states none."""
        return self.figures.get(name)
