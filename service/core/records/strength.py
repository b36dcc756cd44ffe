"""Core: what a kit says of the strength of its members, frozen, in the document's unit.

Moduli and second moments are in the cube and the fourth power of the document's unit.
`None` means left out: a check that needs it is not made, and says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.core.measure import Force, Length

Alloy: TypeAlias = Literal["6005", "6005A", "6061", "6063"]
Temper: TypeAlias = Literal["T5", "T6", "T61", "T66"]
Shape: TypeAlias = Literal["tube", "bar", "other"]
Make: TypeAlias = Literal["annealed", "heat_strengthened", "tempered"]
FixingKind: TypeAlias = Literal["lag_screw", "wood_screw", "through_bolt"]
LoadDuration: TypeAlias = Literal["live", "ten_minutes"]


@dataclass(frozen=True, slots=True)
class Member:
    """An aluminium member. wall: of a tube; width: level and square to the rail, of a rail.

    modulus, moment: where the load is level and square to the guard; `_down`: where it is plumb.
    welded: whether it is welded where it bends most.
    """

    alloy: Alloy
    temper: Temper
    shape: Shape = "other"
    wall: Length | None = None
    width: Length | None = None
    modulus: float | None = None
    moment: float | None = None
    modulus_down: float | None = None
    moment_down: float | None = None
    welded: bool | None = None


@dataclass(frozen=True, slots=True)
class GlassMake:
    """How a pane of the kit is made. pane: its index; ply_minimum: of a laminate's plies, equal."""

    pane: int
    make: Make
    plies: int = 1
    ply_minimum: Length | None = None


@dataclass(frozen=True, slots=True)
class Timber:
    """What the fixings go into, by whichever of the three is known."""

    species: str | None = None
    gravity: float | None = None
    grade: str | None = None


@dataclass(frozen=True, slots=True)
class Fixing:
    """The fixings of one base. in_tension: how many hold when the post is pushed one way.

    length: under the head; thread: of it, with its tip; side: what it passes before the framing.
    lever: from the row in tension to where the plate bears. below: walking surface down to the
    topmost fixing, of a fascia kit. capacity: of one bolt in tension, as its own sums give it.
    """

    kind: FixingKind
    diameter: Length
    in_tension: int
    length: Length | None = None
    thread: Length | None = None
    tip: Length = 0.0
    side: Length | None = None
    lever: Length | None = None
    below: Length | None = None
    capacity: Force | None = None


@dataclass(frozen=True, slots=True)
class Strength:
    """A kit's strength. rails: by part role, such as `top_rail_picket`. other_fixings: what its
    bases may be fixed by instead."""

    post: Member | None
    rails: dict[str, Member]
    picket: Member | None
    handrail: Member | None
    panes: tuple[GlassMake, ...]
    fixing: Fixing | None
    timber: Timber | None
    other_fixings: tuple[Fixing, ...] = ()
