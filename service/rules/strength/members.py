"""Rules: a kit's member with what its check needs, or what it lacks.

`ready_member` is the main entry.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

from service.core.measure import MM_PER_IN, Length, Unit, number_text
from service.core.records.strength import Member
from service.rules.strength.aluminium import (
    ELASTICITY,
    RuleSet,
    minimum,
    slender_limit,
    to_unit,
    usable_stress,
)
from service.rules.strength.sections import Section, bar, ring, rod, slenderness, tube

UNLOOKED: Final = "whether its walls buckle is not looked at"
"""What is said of a member whose walls are not known."""
LEAST: Final = 1e-12
"""A lesser modulus or second moment is taken as this, so that nothing is divided by 0."""


class Sides(NamedTuple):
    """A member's outer sides; None where not known.

    along: level and square to the guard. across: the other side. rounded: whether the member is
    round, both sides being its diameter.
    """

    along: Length | None
    across: Length | None
    rounded: bool = False


class ReadyMember(NamedTuple):
    """A member ready for its check, in the document's unit.

    name: its alloy, temper and weld.
    modulus, moment: for loads level and square to the guard.
    modulus_down, moment_down: for loads straight down; None where not known.
    stress: the stress that its strengths allow.
    mark: how well its strengths are supported, and whether its walls were looked at.
    """

    name: str
    modulus: float
    moment: float
    modulus_down: float | None
    moment_down: float | None
    stress: float
    elasticity: float
    mark: str


@lru_cache(maxsize=256)
def ready_member(member: Member, sides: Sides, rules: RuleSet, unit: Unit) -> ReadyMember | str:
    """The member with its section and its strength; else, in words, what it lacks."""
    section = _section(member, sides)
    modulus = member.modulus or (section.modulus if section else None)
    moment = member.moment or (section.moment if section else None)
    if modulus is None or moment is None:
        return "give section_modulus and second_moment, or the shape with its sides and wall"
    welded = bool(member.welded)
    grade = f"{member.alloy}-{member.temper}"
    row = minimum(member.alloy, member.temper, rules, _native(member.wall, rules, unit))
    stress = None if row is None else usable_stress(row, rules, unit, welded=welded)
    if row is None or stress is None:
        book = "EN 1999-1-1" if rules == "EN" else "the US tables"
        state = "welded " if welded else ""
        return f"no strength of {state}{grade} of that wall by {book} is held here"
    slender = _too_slender(member, sides, slender_limit(row, rules, welded=welded))
    if slender is not None:
        return slender
    down = _section(member, Sides(sides.across, sides.along, sides.rounded))
    return ReadyMember(
        name=f"{grade}, welded" if welded else grade,
        modulus=max(modulus, LEAST),
        moment=max(moment, LEAST),
        modulus_down=member.modulus_down or (max(down.modulus, LEAST) if down else None),
        moment_down=member.moment_down or (max(down.moment, LEAST) if down else None),
        stress=stress,
        elasticity=to_unit(ELASTICITY[rules], rules, unit),
        mark=row.mark if _walls_known(member, sides) else f"{row.mark}; {UNLOOKED}",
    )


def _section(member: Member, sides: Sides) -> Section | None:
    """The section of a tube or a bar whose sides, and wall, are known; None of any other."""
    along, across, rounded = sides
    if along is None or across is None or member.shape == "other":
        return None
    if member.shape == "bar":
        return rod(along) if rounded else bar(along, across)
    if member.wall is None:
        return None
    return ring(along, member.wall) if rounded else tube(along, across, member.wall)


def _native(wall: Length | None, rules: RuleSet, unit: Unit) -> Length | None:
    """Thickness of a wall in the unit of its rule set's tables: inches (US) or mm (EN 1999-1-1)."""
    if wall is None or (rules == "US") == (unit == "in"):
        return wall
    return wall / MM_PER_IN if rules == "US" else wall * MM_PER_IN


def _walls_known(member: Member, sides: Sides) -> bool:
    """Whether enough is known to tell that no wall of a member buckles; a bar has no walls."""
    whole = None not in (member.wall, sides.along, sides.across)
    return member.shape == "bar" or (member.shape == "tube" and whole)


def _too_slender(member: Member, sides: Sides, limit: float) -> str | None:
    """What to say of a tube whose wall may buckle before it yields; None of any other member."""
    if member.shape != "tube" or member.wall is None:
        return None
    widths = [side for side in (sides.along, sides.across) if side is not None]
    worst = max((slenderness(side, member.wall) for side in widths), default=0.0)
    if worst <= limit:
        return None
    return (
        f"its wall is thin for its sides ({number_text(worst, 1)} times, over "
        f"{number_text(limit, 1)}, which is from memory), so buckling of the wall has to be worked "
        "out"
    )
