"""Rules: the strength of glass, as a strip between its rails, and how many people lift a panel."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.measure import Length, Mass, number_text
from service.core.records.code import Figure
from service.core.records.kit import GlassKit
from service.core.records.strength import GlassMake, Make, Strength
from service.core.runs.glass import KG_PER_LB
from service.rules.alike import BayKind, panels
from service.rules.demands import (
    PRELIMINARY,
    Demand,
    Topic,
    say_demands,
    say_not_checked,
    with_strength,
    worst,
)
from service.rules.job import Job, Place
from service.rules.load_groups import by_loads
from service.rules.panes import given_for, made_in
from service.rules.saying import Saying, say, steady
from service.rules.strength import glass_strip
from service.rules.strength.aluminium import MPA_PER_KSI
from service.rules.strength.glazing import (
    DESIGN,
    ELASTICITY_PSI,
    ONE_LIFTS,
    TWO_LIFT,
    laminate_for_deflection,
    laminate_for_stress,
    lifters,
    minimum_thickness,
    rupture_over,
)
from service.rules.strength.loads import InfillLoad, Loads, figures_of

RULE: Final = "strength_glass"
SUBJECT: Final = "the strength of the glass"
SHEETS: Final[dict[str, Make]] = {
    "annealed": "annealed",
    "heat-strengthened": "heat_strengthened",
    "tempered": "tempered",
}
"""Makes of a single sheet whose strength is known from the make alone."""


class Strip(NamedTuple):
    """What alike panels share.

    pane: index in the kit's list. span: plumb, between the middles of its bites in the two rails,
    and at least half of the panel's height. width, mass: of a panel.
    """

    pane: int
    span: Length
    width: Length
    mass: Mass


class Sheet(NamedTuple):
    """A pane ready for its check. stress: what it may take.

    for_stress, for_deflection: the thickness to work each out by; for a laminate the two differ.
    """

    name: str
    stress: float
    for_stress: Length
    for_deflection: Length
    elasticity: float


def strength_glass(job: Job) -> Iterator[Saying]:
    """Panels held along top and bottom, under the infill's loads; and how many people lift one."""
    return with_strength(job, RULE, SUBJECT, _panels)


def _panels(job: Job, _: Strength, usual: Loads) -> Iterator[Saying]:
    kit = job.kit.glass
    assert kit is not None
    strips = _strips(job, kit)
    for loads, alike in by_loads(job, usual, strips):
        for index in dict.fromkeys([strip.pane for _, strip in alike]):
            sheet = _sheet(job, loads, kit, index)
            if isinstance(sheet, str):
                yield say_not_checked(job, RULE, SUBJECT, sheet)
                continue
            mine = [(place, strip) for place, strip in alike if strip.pane == index]
            yield from _sheet_uses(job, loads, sheet, mine)
    yield from _lifting(job, strips)


def _strips(job: Job, kit: GlassKit) -> list[tuple[Place, Strip]]:
    """Every panel, of bays and then of gates, with what panels like it share."""
    bites = (kit.engagement.top + kit.engagement.bottom) / 2
    found: list[tuple[Place, Strip]] = []
    for place, panel, kind in panels(job):
        rake = kind.bay.fill.rake if isinstance(kind, BayKind) else None
        cosine = 1.0 if rake is None else math.cos(math.radians(rake.pitch))
        span = max(panel.height - bites / cosine, panel.height / 2)
        found.append((place, Strip(panel.pane, round(span, 6), panel.width, panel.mass)))
    return found


def _sheet(job: Job, loads: Loads, kit: GlassKit, index: int) -> Sheet | str:
    """A pane ready for its check; else what its kit has to give, in words."""
    pane, unit = kit.panes[index], job.deck.unit
    told, made = made_in(job.kit, index), given_for(job.kit, index)
    if isinstance(told, str):
        return f"the kit {told}; say in strength.panes how pane {index} is made"
    if told.make == "laminated" and (made is None or made.plies == 1):
        return f"pane {index} is laminated: give its plies and ply_minimum in strength.panes"
    if made is None:
        if told.make not in SHEETS:
            return f"say in strength.panes how pane {index} is made"
        made = GlassMake(index, SHEETS[told.make])
    if made.plies > 1 and made.ply_minimum is None:
        return f"give ply_minimum of pane {index} in strength.panes"
    single = min(pane.minimum, minimum_thickness(pane.nominal_mm, unit) or pane.minimum)
    ply = single if made.ply_minimum is None or made.plies == 1 else made.ply_minimum
    factor = loads.glass_factor
    psi = 1.0 if unit == "in" else MPA_PER_KSI / 1000
    if factor is not None:
        stress = rupture_over(made.make, factor.number()) * psi
    else:
        stress = DESIGN[made.make][unit == "mm"]
    return Sheet(
        made.make.replace("_", "-"),
        stress,
        laminate_for_stress(ply, made.plies),
        laminate_for_deflection(ply, made.plies),
        ELASTICITY_PSI * psi,
    )


def _sheet_uses(
    job: Job, loads: Loads, sheet: Sheet, strips: list[tuple[Place, Strip]]
) -> Iterator[Saying]:
    spread = loads.infill_point is not None and loads.infill_side is not None
    if not spread and loads.infill_pressure is None:
        reason = (
            "the code states neither infill_pressure nor infill_point_load with infill_load_side"
        )
        yield say_not_checked(job, RULE, SUBJECT, reason)
        return
    if loads.infill_point is not None and not spread:
        what = f"glass under {loads.infill_point.text} at one place"
        reason = "the code does not state how large a square it lies on"
        yield say_not_checked(job, RULE, what, reason, loads.infill_point.figure)
    bends = partial(_glass_bends, loads, sheet)
    yield from say_demands(job, _glass_topic(loads, sheet), strips, bends)
    if loads.deflection is not None or loads.glass_ratio is not None:
        moves = partial(_glass_moves, loads, sheet)
        yield from say_demands(job, _glass_moving(loads), strips, moves)


def _loads_on(loads: Loads, factor: float) -> list[InfillLoad]:
    """What a strip takes of the infill's loads, times a factor.

    The point load is left out where the code does not state the side of its square.
    """
    pressure, point, side = loads.infill_pressure, loads.infill_point, loads.infill_side
    found = []
    if pressure is not None:
        words = f"{pressure.text} all over"
        found.append(InfillLoad(factor * pressure.value, None, words, pressure.figure))
    if point is not None and side is not None:
        words = f"{point.text} on a square of its middle"
        found.append(InfillLoad(factor * point.value, side, words, point.figure))
    return found


def _glass_bends(loads: Loads, sheet: Sheet, strip: Strip) -> Demand | None:
    """Worst stress under the pressure all over and the point load on its square."""
    span, thickness = strip.span, sheet.for_stress
    found = []
    for value, patch, words, figure in _loads_on(loads, loads.factor):
        stress = (
            glass_strip.pressure_stress(value, span, thickness)
            if patch is None
            else glass_strip.patch_stress(value, span, patch, thickness, min(patch, strip.width))
        )
        found.append(Demand(stress, sheet.stress, f"under {loads.times}{words}", figure))
    return worst(found)


def _glass_moves(loads: Loads, sheet: Sheet, strip: Strip) -> Demand | None:
    """How far the middle of a panel moves under the worst of the loads, without a factor.

    It may move as far as the least of the code's limits, for a guard and for a span of glass.
    """
    stated, ratio = loads.deflection, loads.glass_ratio
    limits = [] if stated is None else [stated.number()]
    limits += [] if ratio is None else [strip.span / ratio.number()]
    span, thickness, elasticity = strip.span, sheet.for_deflection, sheet.elasticity
    found = []
    for value, patch, words, figure in _loads_on(loads, 1.0):
        if patch is None:
            moved = glass_strip.pressure_deflection(value, span, thickness, elasticity)
        else:
            width = min(patch, strip.width)
            moved = glass_strip.patch_deflection(value, span, patch, thickness, width, elasticity)
        found.append(Demand(moved, min(limits), f"under {words}", figure))
    return worst(found)


def _glass_topic(loads: Loads, sheet: Sheet) -> Topic:
    factor = loads.glass_factor
    basis = (
        f"modulus of rupture over {factor.number():g} ({factor.cite})"
        if factor is not None
        else "design stress at 8 breakages in 1000, which has its own margin"
    )
    return Topic(
        RULE,
        "stress",
        what="the stress in the glass comes to",
        held=f"{sheet.name} glass may take",
        method=(
            f"0.75 p (H/t)^2 or 6 M/(b t^2) with M = P (2 H - c)/8, a strip between the rails "
            f"at its least thickness; {basis} (bulletin ATS-129); its edges are weaker"
        ),
        leans_on=(*loads.on_infill, *(() if factor is None else (factor,))),
        reads=_read(loads),
    )


def _glass_moving(loads: Loads) -> Topic:
    stated, ratio = loads.deflection, loads.glass_ratio
    sources = [] if stated is None else [stated.cite]
    if ratio is not None:
        sources.append(f"H/{ratio.number():g} ({ratio.cite})")
    lesser = "the lesser of " if len(sources) > 1 else ""
    return Topic(
        RULE,
        "length",
        what="the middle of the glass moves",
        held="it may move",
        method=(
            "5 p H^4/(32 E t^3) or P (8 H^3 - 4 H c^2 + c^3)/(384 E I) of a strip between "
            f"rails that are held still; limit {lesser}{' and '.join(sources)}"
        ),
        leans_on=tuple(figure for figure in (stated, ratio) if figure is not None),
        reads=_read(loads),
    )


def _read(loads: Loads) -> tuple[Figure, ...]:
    """The figures of the loads on a pane; that of the point load only where its square is known."""
    point = loads.infill_point if loads.infill_side is not None else None
    return figures_of(point, loads.infill_pressure)


def _lifting(job: Job, strips: list[tuple[Place, Strip]]) -> Iterator[Saying]:
    """How many people lift a panel, by its mass."""
    kg = KG_PER_LB if job.deck.unit == "in" else 1.0
    named = "lb" if job.deck.unit == "in" else "kg"
    by_hands: dict[int, list[tuple[Place, Strip]]] = {}
    for place, strip in strips:
        by_hands.setdefault(lifters(strip.mass * kg), []).append((place, strip))
    for hands, lifted in sorted(by_hands.items()):
        heaviest = steady(max(strip.mass for _, strip in lifted))
        limit = steady((ONE_LIFTS if hands == 1 else TWO_LIFT) / kg)
        need = {1: "one person lifts it", 2: "two people lift it"}.get(
            hands, "it needs a lifting aid, or more than two people"
        )
        sentence = (
            f"{PRELIMINARY}a panel weighs at most {number_text(heaviest, 1)} {named}; {need}, at "
            f"best up to {number_text(limit, 1)} {named}"
        )
        finding = say(
            RULE,
            "warning" if hands > 2 else "pass",
            sentence,
            cite="NIOSH lifting equation, 51 lb; two people from memory",
            limit=limit,
            actual=heaviest,
            unit=named,
        )
        yield finding, [place for place, _ in lifted]
