"""Core: what a kit says of the strength of its members, as frozen records in the document's unit.

Section moduli and second moments are in the cube and the fourth power of the document's unit.
`None` means left out: a check that needs the value is not made, and says so.
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
    """An aluminium member.

    wall: thickness of a tube's wall, or of the thinnest part.
    width: of a rail, level and square to its length.
    modulus, moment: section modulus and second moment for a level load square to the guard.
    modulus_down, moment_down: the same for a load straight down.
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
    """How a pane of the kit is made.

    pane: index in the kit's list. plies: of a laminate, all equal; 1 is no laminate. ply_minimum:
    least thickness of each ply.
    """

    pane: int
    make: Make
    plies: int = 1
    ply_minimum: Length | None = None


@dataclass(frozen=True, slots=True)
class Timber:
    """The timber that fixings go into, by whichever of the three is known."""

    species: str | None = None
    gravity: float | None = None
    grade: str | None = None


@dataclass(frozen=True, slots=True)
class Fixing:
    """The fixings of one base.

    in_tension: how many are in tension when the post is pushed one way.
    length: of a screw, under its head.
    thread: length of a screw's thread, its tip included.
    side_member: thickness of what a screw passes before it comes to the framing.
    lever: from the row in tension to where the plate bears.
    below: of a fascia kit, from the walking surface down to the topmost fixing.
    capacity: of one bolt in tension, as the kit's own calculation gives it.
    """

    kind: FixingKind
    diameter: Length
    in_tension: int
    length: Length | None = None
    thread: Length | None = None
    tip: Length = 0.0
    side_member: Length | None = None
    lever: Length | None = None
    below: Length | None = None
    capacity: Force | None = None


@dataclass(frozen=True, slots=True)
class Strength:
    """A kit's strength.

    rails: by part role, such as `top_rail_picket`. other_fixings: what its bases may be fixed by
    instead.
    """

    post: Member | None
    rails: dict[str, Member]
    picket: Member | None
    handrail: Member | None
    panes: tuple[GlassMake, ...]
    fixing: Fixing | None
    timber: Timber | None
    other_fixings: tuple[Fixing, ...] = ()
