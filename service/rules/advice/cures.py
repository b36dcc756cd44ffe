"""Rules: for each rule that a change can cure, the changes worth trying, best first (`CURES`).

A cure is a search: it tries changes (`trial`) and returns the first, or the mildest, that passes.
Changes that leave what a person would rather keep are tried before those that cost more.
"""

from __future__ import annotations

from typing import Final

from service.rules.advice.gaps import (
    ends_otherwise,
    gaps_closed,
    guarded,
    own_posts,
    pair_at_corners,
)
from service.rules.advice.heights import (
    handrail_within,
    higher_flight,
    higher_guard,
    lighter_guard,
    lower_foothold,
    lower_guard,
    lower_rail,
    lower_stair_rail,
    meeting_at_head,
)
from service.rules.advice.infills import (
    as_set_closer,
    closer_glass,
    closer_pickets,
    finer_marks,
    glass_for_pickets,
    other_pane,
    pickets_for_glass,
    usual_blocks,
)
from service.rules.advice.moves import (
    bases_clear,
    moved_flight,
    narrower_gate,
    off_stretches,
    other_swing,
    posts_on_rims,
    wider_flight,
)
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import Cure, any_of
from service.rules.advice.spacing import closer_posts, other_fixing, posts_further_in
from service.rules.advice.steps import (
    ends_on_its_level,
    even_rise,
    foot_posts_on_ground,
    going_for_bases,
    going_within,
    other_going,
    other_nosing,
    other_risers,
    with_handrail,
)
from service.rules.advice.trial import Trial
from service.rules.advice.ways import opened, railing_left_out, way_cleared


def cure(trial: Trial, rule: str) -> Outcome | None:
    """Outcome of the change that cures every failing finding of a rule; None where none here does.

    rule: one of CURES.
    """
    return CURES[rule](trial, rule)


CURES: Final[dict[str, Cure]] = {
    "guard_required": guarded,
    "guard_height": higher_guard,
    "stair_guard_height": higher_flight,
    "opening_size": any_of(closer_pickets, gaps_closed, closer_glass, pickets_for_glass),
    "opening_size_upper": closer_pickets,
    "opening_not_required": any_of(closer_pickets, lower_rail, lower_stair_rail),
    "stair_opening_size": any_of(
        foot_posts_on_ground, closer_pickets, closer_glass, pickets_for_glass
    ),
    "pickets_as_set": any_of(finer_marks, as_set_closer),
    "glass_as_set": closer_glass,
    "gap_under_rail": any_of(lower_rail, lower_stair_rail, closer_posts, pair_at_corners),
    "stair_triangle": any_of(lower_stair_rail, other_risers),
    "stair_gap_under_rail": lower_stair_rail,
    "climbable": any_of(lower_foothold, higher_guard),
    "bay_size": any_of(off_stretches, ends_otherwise),
    "holds_high_enough": own_posts,
    "bases_apart": bases_clear,
    "base_on_deck": any_of(going_for_bases, posts_on_rims, posts_further_in),
    "rails_clear": any_of(way_cleared, railing_left_out),
    "flight_clear": way_cleared,
    "guard_at_level": opened,
    "rail_ends": ends_otherwise,
    "corner_angle": any_of(moved_flight, pair_at_corners),
    "riser_height": other_risers,
    "risers_and_going": any_of(other_risers, going_within),
    "stair_pitch": any_of(other_risers, going_within),
    "flight_risers": other_risers,
    "riser_evenness": even_rise,
    "tread_going": other_going,
    "nosing_projection": other_nosing,
    "stair_width": wider_flight,
    "handrail_required": with_handrail,
    "handrail_height": handrail_within,
    "head_heights": meeting_at_head,
    "flight_foot": ends_on_its_level,
    "gate_swing": other_swing,
    "gate_width": narrower_gate,
    "post_height": lower_guard,
    "arc_over_edge": closer_posts,
    "stick_length": closer_posts,
    "infill_held": finer_marks,
    "rails_reach": finer_marks,
    "glass_size": any_of(lower_guard, closer_posts, pickets_for_glass),
    "glass_fitting": pickets_for_glass,
    "setting_blocks": usual_blocks,
    "glass_type": any_of(other_pane, pickets_for_glass),
    "glass_thickness": any_of(other_pane, pickets_for_glass),
    "strength_post": any_of(closer_posts, lighter_guard),
    "strength_rail": closer_posts,
    "strength_infill": any_of(closer_posts, lighter_guard, glass_for_pickets),
    "strength_glass": any_of(other_pane, closer_posts, pickets_for_glass),
    "strength_base": any_of(other_fixing, closer_posts, lighter_guard),
    "thermal_growth": closer_posts,
}
"""The cure of each rule that has one."""
