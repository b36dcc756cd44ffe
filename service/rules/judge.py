"""Rules: every check run over a layout, and all that they say as findings in order (`judge`)."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Final

from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.orders import SticksSeen
from service.rules.checks import (
    as_set,
    climbing,
    cutting,
    ends,
    engineering,
    framing,
    gates,
    glass_fit,
    glazing,
    guards,
    handrails,
    heights,
    kits,
    landings,
    not_required,
    openings,
    stairs,
    strength_base,
    strength_glass,
    strength_infill,
    strength_posts,
    strength_rails,
    survey,
    thermal,
    underside,
    ways,
    without_effect,
)
from service.rules.finding import Finding
from service.rules.job import Job, Place
from service.rules.saying import Check
from service.rules.table import RULES
from service.rules.words import places_text

CHECKS: Final[dict[str, Check]] = {
    "guard_required": guards.guard_required,
    "guard_height": heights.guard_height,
    "obstruction_height": heights.obstruction_height,
    "guard_over_seat": heights.guard_over_seat,
    "opening_size": openings.opening_size,
    "gap_under_rail": openings.gap_under_rail,
    "stair_guard_height": heights.stair_guard_height,
    "stair_opening_size": openings.stair_opening_size,
    "stair_triangle": openings.stair_triangle,
    "riser_height": stairs.riser_height,
    "tread_going": stairs.tread_going,
    "risers_and_going": stairs.risers_and_going,
    "stair_pitch": stairs.stair_pitch,
    "riser_evenness": stairs.riser_evenness,
    "stair_width": stairs.stair_width,
    "landing_depth": landings.landing_depth,
    "handrail_required": handrails.handrail_required,
    "handrail_height": handrails.handrail_height,
    "opening_size_upper": openings.opening_size_upper,
    "pickets_as_set": as_set.pickets_as_set,
    "glass_as_set": as_set.glass_as_set,
    "opening_not_required": not_required.opening_not_required,
    "stair_gap_under_rail": openings.stair_gap_under_rail,
    "climbable": climbing.climbable,
    "nosing_projection": stairs.nosing_projection,
    "flight_rise": stairs.flight_rise,
    "flight_risers": stairs.flight_risers,
    "handrail_grip": handrails.handrail_grip,
    "handrail_extent": handrails.handrail_extent,
    "glass_type": glazing.glass_type,
    "glass_top_rail": glazing.glass_top_rail,
    "glass_thickness": glazing.glass_thickness,
    "bay_size": openings.bay_size,
    "measured_bay_size": cutting.measured_bay_size,
    "post_spacing": kits.post_spacing,
    "glass_size": glass_fit.glass_size,
    "glass_fitting": glass_fit.glass_fitting,
    "setting_blocks": glass_fit.setting_blocks,
    "infill_held": cutting.infill_held,
    "rails_reach": cutting.rails_reach,
    "rail_sizes": cutting.rail_sizes,
    "corner_angle": kits.corner_angle,
    "rail_ends": ends.rail_ends,
    "post_height": kits.post_height,
    "rail_supports": underside.rail_supports,
    "weep_holes": underside.weep_holes,
    "stick_length": kits.stick_length,
    "gate_width": gates.gate_width,
    "gate_swing": gates.gate_swing,
    "base_on_deck": engineering.base_on_deck,
    "bases_apart": engineering.bases_apart,
    "wall_goes_on": engineering.wall_goes_on,
    "holds_high_enough": engineering.holds_high_enough,
    "arc_over_edge": engineering.arc_over_edge,
    "head_heights": engineering.head_heights,
    "flight_foot": engineering.flight_foot,
    "rails_clear": ways.rails_clear,
    "guard_at_level": ways.guard_at_level,
    "flight_clear": ways.flight_clear,
    "handrail_brackets": handrails.handrail_brackets,
    "fixing_into_framing": framing.fixing_into_framing,
    "deck_size": survey.deck_size,
    "framing_size": survey.framing_size,
    "without_effect": without_effect.without_effect,
    "walk_closure": survey.walk_closure,
    "weak_tie": survey.weak_tie,
    "out_of_plumb": survey.out_of_plumb,
    "measured_as_drawn": survey.measured_as_drawn,
    "order_before_posts": survey.order_before_posts,
    "strength_post": strength_posts.strength_post,
    "strength_rail": strength_rails.strength_rail,
    "strength_infill": strength_infill.strength_infill,
    "strength_glass": strength_glass.strength_glass,
    "strength_base": strength_base.strength_base,
    "thermal_growth": thermal.thermal_growth,
}
"""The check of each rule, in the order in which the checks are run and the rules are published."""

_RANKS: Final = {
    ("fail", "violation"): 0,
    ("fail", "warning"): 1,
    ("not_checked", "note"): 2,
    ("pass", "note"): 3,
}


def judge(
    layout: Layout,
    deck: Deck,
    kit: Kit,
    code: Code | None,
    sticks: tuple[SticksSeen, ...] = (),
) -> tuple[Finding, ...]:
    """All findings on a layout: by the code, the kit, engineering and the survey.

    sticks: what the layout's order shows of its sticks; without an order nothing is said of stick
    lengths.
    Violations come first, then warnings, what was not checked, and passes; within each, findings
    are in the order of the rules. Equal findings are merged into one with all their places.
    """
    job = Job(layout, deck, kit, code, sticks)
    findings: list[Finding] = []
    named: dict[tuple[Place, ...], tuple[tuple[str, ...], str]] = {}
    for rule, check in CHECKS.items():
        member = RULES[rule].needs_in_layout
        if member and not getattr(layout, member):
            continue
        said: dict[Finding, list[Place]] = {}
        for finding, at in check(job):
            if at:
                said.setdefault(finding, []).extend(at)
        for finding, at in said.items():
            places = tuple(at)
            if places not in named:
                named[places] = _name(places)
            where, text = named[places]
            findings.append(finding.at_places(where, f"{text}: {finding.message}."))
    return tuple(sorted(findings, key=lambda each: _RANKS[each.result, each.severity]))


def _name(places: Sequence[Place]) -> tuple[tuple[str, ...], str]:
    """The ids of a finding's places, and how its message names them."""
    if len(places) == 1:
        (place,) = places
        return place, " and ".join(place)
    apart = tuple(dict.fromkeys(places))
    return tuple(dict.fromkeys(chain.from_iterable(apart))), places_text(apart)
