"""Wire: faults in the thicknesses of a kit's panes and in the strength of its members.

The main entry is `check_strength`. It finds panes whose two nominal thicknesses disagree, and
sections that are stronger than a solid bar of their outer size.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import Length, convert, number_text
from service.core.problems import Problem
from service.core.records.kit import Kit
from service.core.records.strength import Member
from service.rules.strength.sections import bar, rod

APART: Final = 0.15
"""How far the two nominal thicknesses of a pane may differ, as a fraction: 1/4 in and 6 mm are 6 %
apart."""
OVER: Final = 1.01
"""The factor by which a figure may exceed its greatest possible value, as figures are rounded."""


def check_strength(kit: Kit) -> Iterator[Problem]:
    """Problems of the panes and sections of a kit whose lengths were all read without a fault."""
    yield from _check_panes(kit)
    yield from _check_sections(kit)


def _check_panes(kit: Kit) -> Iterator[Problem]:
    """Problems of each pane's nominal and least thickness, and of the plies that it is made of."""
    if kit.glass is None:
        return
    thick: list[Length] = []
    for i, pane in enumerate(kit.glass.panes):
        at = f"{kit.pointer}/glass/panes/{i}"
        named = convert(pane.nominal_mm, "mm", kit.unit)
        thick.append(max(pane.nominal, named))
        if abs(named - pane.nominal) > APART * named:
            message = (
                f"Nominally {kit.text(pane.nominal)} and {number_text(pane.nominal_mm, 3)} mm are "
                f"not one thickness: nominal has to be within {100 * APART:g} % of nominal_mm, "
                f"{kit.text(named)}."
            )
            yield Problem(f"{at}/nominal_mm", "pane_of_two_thicknesses", message)
        elif pane.minimum > OVER * thick[i]:
            yield Problem(f"{at}/minimum", "more_than_there_is", _over(kit, pane.minimum, thick[i]))
    for i, made in enumerate(kit.strength.panes if kit.strength is not None else ()):
        ply = made.ply_minimum
        if made.plies < 2 or ply is None or made.pane >= len(thick):
            continue
        if made.plies * ply > OVER * thick[made.pane]:
            at = f"{kit.pointer}/strength/panes/{i}/ply_minimum"
            message = _over(kit, ply, thick[made.pane] / made.plies, f" for {made.plies} plies")
            yield Problem(at, "more_than_there_is", message)


def _over(kit: Kit, least: Length, nominal: Length, each: str = "") -> str:
    return (
        f"A least thickness of {kit.text(least)}{each} is not taken: it is more than the nominal "
        f"one, {kit.text(nominal)}{' each' if each else ''}."
    )


class Solid(NamedTuple):
    """The greatest section moduli that a member can have: those of a solid bar of its outer size.

    modulus, down: as `modulus` and `modulus_down` of `Member`.
    """

    modulus: float
    down: float


def _check_sections(kit: Kit) -> Iterator[Problem]:
    """Problems of the section moduli of members whose outer size is known."""
    for role, member, solid in _members(kit):
        for name, given, most in (
            ("section_modulus", member.modulus, solid.modulus),
            ("section_modulus_down", member.modulus_down, solid.down),
        ):
            if given is not None and given > OVER * most:
                own, back = kit.own_unit, convert(1.0, kit.unit, kit.own_unit) ** 3
                message = (
                    f"A modulus of {number_text(given * back, 3)} {own}³ is not taken: a solid bar "
                    f"of its size has {number_text(most * back, 3)} {own}³."
                )
                at = f"{kit.pointer}/strength/{role}/{name}"
                yield Problem(at, "more_than_there_is", message)


def _members(kit: Kit) -> Iterator[tuple[str, Member, Solid]]:
    """Each member of known outer size, with its name in `strength` and its solid bar."""
    strength = kit.strength
    if strength is None:
        return
    if strength.post is not None:
        yield "post", strength.post, _bar(kit.post.width, kit.post.width)
    if strength.picket is not None and kit.picket is not None:
        yield "picket", strength.picket, _bar(kit.picket.width, kit.picket.width)
    if strength.handrail is not None and kit.handrail is not None:
        round_bar = rod(kit.handrail.diameter).modulus
        yield "handrail", strength.handrail, Solid(round_bar, round_bar)
    for role, member in strength.rails.items():
        place, _, infill = role.rpartition("_rail_")
        rails = next((both for name, both in kit.rails.items() if name == infill), None)
        if member.width is not None and rails is not None:
            depth = rails.top.depth if place == "top" else rails.bottom.depth
            yield role, member, _bar(member.width, depth)


def _bar(width: Length, depth: Length) -> Solid:
    """The moduli of a solid rectangular bar. width: its level side. depth: its plumb side."""
    return Solid(bar(width, depth).modulus, bar(depth, width).modulus)
