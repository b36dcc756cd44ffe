"""Rules: every rule by name, in the order in which they are run, and what each looks at.

The published list of rules is made from this table. A rule's bounds and clauses are not here: they
come from the code document and the kit, and those of common practice stand with their checks.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from service.rules.finding import Source

_OF_GUARDS: Final = ("geometry_applies_to", "guard_required_drop", "guard_required_risers")
"""Figures that say whether those of height and openings bind a guard."""
_OF_STRENGTH: Final = ("strength_method", "load_factor")
"""Figures that say how strength is worked out."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. looks_at: one sentence for readers. figures: those of the code that it reads.
    subject: what it is about, as sentences have it ("the rule on the height of the guard").
    needs: the member of a layout that it looks at: where that is empty the rule is not run."""

    source: Source
    looks_at: str
    figures: tuple[str, ...] = ()
    subject: str = field(kw_only=True)
    needs: str = ""


RULES: Final[dict[str, Rule]] = {
    "guard_required": Rule(
        "code",
        "Whether a guard is required, by the drop or by the risers of a flight, where an edge, "
        "a stretch of one, a passage or the side of a flight has no railing; and what stands "
        "in a railing's place there.",
        ("guard_required_drop", "guard_required_risers", "guard_drop_reach"),
        subject="whether a guard is required",
    ),
    "guard_height": Rule(
        "code",
        "The height of each level bay's guard above the walking surface.",
        ("guard_height", *_OF_GUARDS),
        subject="the height of the guard",
    ),
    "opening_size": Rule(
        "code",
        "The gaps between pickets, at the ends of a bay, beside glass, between a post and a wall, "
        "between the two posts of a corner, past an obstruction that ends the railing, past the "
        "last post before an open edge and round what stands beside an opening; beside what is not "
        "square to the bay, to where it is nearest in plan; what an obstruction off the railing's "
        "line alone would close is not checked, as nobody says how high that is.",
        ("opening_sphere", *_OF_GUARDS),
        subject="the size of openings in the guard",
    ),
    "gap_under_rail": Rule(
        "code",
        "The gap from the walking surface to the underside of the bottom rail, in level bays; that "
        "from the edge of a deck to one that hangs off it, along the edge and, where it is wider, "
        "at a corner; and that over the deck under a raked one, between it and its head post.",
        ("opening_sphere", "gap_under_rail_sphere", *_OF_GUARDS),
        subject="the gap under the bottom rail",
    ),
    "stair_guard_height": Rule(
        "code",
        "The height of a flight's guard, plumb above the line of nosings.",
        ("guard_height_stair", *_OF_GUARDS),
        subject="the height of the guard on the flight",
        needs="flights",
    ),
    "stair_opening_size": Rule(
        "code",
        "The gaps between pickets, at the ends of a bay and beside glass in the guard of a flight, "
        "which are horizontal, off a bare side past what goes down along it, and what is left of "
        "the lowest tread past a foot post on it, high over what lies beside it, against the "
        "code's sphere for stairs or else for any guard.",
        ("opening_sphere_stair", "opening_sphere", *_OF_GUARDS),
        subject="the size of openings in the guard of the flight",
    ),
    "stair_triangle": Rule(
        "code",
        "The largest sphere that passes between riser, tread and the bottom rail of a flight, "
        "unless the code has a sphere for the whole gap under that rail instead.",
        ("stair_triangle_sphere", "stair_gap_sphere", *_OF_GUARDS),
        subject="the triangle of riser, tread and bottom rail",
        needs="flights",
    ),
    "riser_height": Rule(
        "code",
        "The height of a flight's risers.",
        ("riser_max", "riser_min"),
        subject="the height of the risers",
        needs="flights",
    ),
    "tread_going": Rule(
        "code",
        "The going of a flight's treads, nosing to nosing.",
        ("going_min", "going_max"),
        subject="the going of the treads",
        needs="flights",
    ),
    "risers_and_going": Rule(
        "code",
        "Two risers and a going together, where the code limits their sum.",
        ("risers_and_going_min", "risers_and_going_max"),
        subject="the sum of two risers and a going",
        needs="flights",
    ),
    "stair_pitch": Rule(
        "code",
        "The pitch of a flight, where the code limits it.",
        ("pitch_max",),
        subject="the pitch of the flight",
        needs="flights",
    ),
    "riser_evenness": Rule(
        "code",
        "How far a flight's rise misses the drop that it goes down, which falls to its last riser.",
        ("riser_uniformity", "riser_uniformity_neighbours"),
        subject="the evenness of the risers",
        needs="flights",
    ),
    "stair_width": Rule(
        "code",
        "The clear width of a flight at its head, at the narrowest, where the code limits it.",
        ("stair_width",),
        subject="the width of the flight",
        needs="flights",
    ),
    "handrail_required": Rule(
        "code",
        "Whether a flight has the handrails that its risers, its rise and its width ask for.",
        (
            "handrail_required_risers",
            "handrail_required_rise",
            "handrail_sides",
            "handrail_both_sides_width",
        ),
        subject="whether a handrail is required",
        needs="flights",
    ),
    "handrail_height": Rule(
        "code",
        "The height of a handrail, or of the guard's top that is one, above the line of nosings.",
        (
            "handrail_height_min",
            "handrail_height_max",
            "guard_top_as_handrail_min",
            "guard_top_as_handrail_max",
        ),
        subject="the height of the handrail",
        needs="flights",
    ),
    "opening_size_upper": Rule(
        "code",
        "The gaps of a guard in its upper band, where the code lets them be wider there; the gaps "
        "of pickets and glass run the whole height, so the lower figure binds them too.",
        ("opening_sphere_upper", "opening_sphere_upper_from", *_OF_GUARDS),
        subject="the size of openings in the upper band of the guard",
    ),
    "pickets_as_set": Rule(
        "code",
        "The widest gap that setting pickets by the list can leave: with spacers, all the room "
        "that they leave in a rail gathered at one gap; with equal gaps, centres that are on "
        "marks; a warning, as the installer can do better.",
        ("opening_sphere", "opening_sphere_stair", *_OF_GUARDS),
        subject="the widest gap of pickets as they are set",
    ),
    "glass_as_set": Rule(
        "code",
        "The gap beside a panel that stands against the other post, as it may slide in its "
        "channels: both side gaps together; a warning, as the installer can do better.",
        ("opening_sphere", "opening_sphere_stair", *_OF_GUARDS),
        subject="the gap beside glass as it is set",
    ),
    "opening_not_required": Rule(
        "code",
        "The gaps in a guard that is not required and under its bottom rail, the triangle of a "
        "flight among them: small or wide, nothing between.",
        (
            "opening_not_required_guard",
            "opening_not_required_guard_wide",
            "stair_triangle_sphere",
            *_OF_GUARDS,
        ),
        subject="the size of openings in a guard that is not required",
    ),
    "stair_gap_under_rail": Rule(
        "code",
        "The gap between the line of nosings and a flight's bottom rail, square to the slope, "
        "where the code tests no triangle.",
        ("stair_gap_sphere", *_OF_GUARDS),
        subject="the gap under the bottom rail of the flight",
        needs="flights",
    ),
    "climbable": Rule(
        "code",
        "The tops of the bottom and the top rail against the heights between which nothing may "
        "help climbing.",
        ("climb_zone_from", "climb_zone_to", "horizontal_rails", *_OF_GUARDS),
        subject="whether the guard helps climbing",
    ),
    "nosing_projection": Rule(
        "code",
        "How far a flight's treads project past the riser below.",
        ("nosing_min", "nosing_max"),
        subject="how far the treads project",
        needs="flights",
    ),
    "flight_rise": Rule(
        "code",
        "The rise of a flight without a landing.",
        ("flight_rise_max",),
        subject="the rise of the flight",
        needs="flights",
    ),
    "flight_risers": Rule(
        "code",
        "The number of risers of a flight.",
        ("flight_risers_min", "flight_risers_max"),
        subject="the number of risers",
        needs="flights",
    ),
    "handrail_grip": Rule(
        "code",
        "The diameter of the kit's handrail.",
        ("handrail_grip_min", "handrail_grip_max"),
        subject="the grip of the handrail",
        needs="flights",
    ),
    "handrail_extent": Rule(
        "code",
        "How far a handrail goes on past the top nosing.",
        ("handrail_extension_top",),
        subject="how far the handrail goes past the nosings",
        needs="flights",
    ),
    "glass_type": Rule(
        "code",
        "The make of each panel, by the words of the kit's pane, over what lies beneath it.",
        ("glass_make",),
        subject="the make of the glass",
    ),
    "glass_top_rail": Rule(
        "code",
        "Whether glass that must have a top rail has one that stays if a pane goes.",
        ("glass_top_rail",),
        subject="whether the glass needs a top rail",
    ),
    "glass_thickness": Rule(
        "code",
        "The nominal thickness of each panel.",
        ("glass_thickness_min",),
        subject="the thickness of the glass",
    ),
    "bay_size": Rule(
        "kit",
        "A stretch less than the kit's least bay, which stays unrailed: whether the code's "
        "opening limit lets it, between what stands at its ends, where that is nearest in plan.",
        ("opening_sphere", "opening_sphere_stair", *_OF_GUARDS),
        subject="stretches too short for a bay",
        needs="small_stretches",
    ),
    "post_spacing": Rule(
        "kit",
        "The spacing of posts, centre to centre (along the slope in a flight), against the kit's "
        "greatest of each infill.",
        subject="the spacing of posts",
    ),
    "glass_size": Rule(
        "kit",
        "The width, height and area of glass panels against the kit's greatest.",
        subject="the size of the glass",
    ),
    "glass_fitting": Rule(
        "kit",
        "Whether the top channel is deep enough to lift a panel in (both engagements together), "
        "and whether two setting blocks have room under it.",
        subject="room to lift the glass in",
    ),
    "setting_blocks": Rule(
        "engineering",
        "Whether setting blocks are as long as the trade has them for the area of their panel, and "
        "off its quarter points as far from its corners; a warning, as the glass stands on them.",
        subject="the setting blocks",
    ),
    "infill_held": Rule(
        "kit",
        "Whether pickets and panels, cut down to the mark, still reach into the top rail when "
        "they stand in the bottom one, and raked panels into the bottom one at both ends; a "
        "warning below half of the kit's engagement.",
        subject="how far the infill reaches into its rails",
    ),
    "rails_reach": Rule(
        "kit",
        "How much shorter rails are cut than their openings less their allowances, being cut down "
        "to the mark and alike in a run; a warning over 1/4 in.",
        subject="how far rails reach into their brackets",
    ),
    "rail_sizes": Rule(
        "kit",
        "Runs whose bays do not share one size, as the greatest spacing or places without a post "
        "keep them apart: a note to whoever cuts and builds.",
        subject="rails of more than one size in a run",
    ),
    "corner_angle": Rule(
        "kit",
        "The angle at which a rail meets a post or a wall against the swivel's reach; of a raked "
        "rail within it, a warning, as its bracket has to turn two ways.",
        subject="the angle at which rails meet posts and walls",
    ),
    "post_height": Rule(
        "kit",
        "Whether a stock post is as tall as the guard that it carries.",
        subject="the height of the posts",
    ),
    "rail_supports": Rule(
        "kit",
        "Whether the feet under the bottom rails of a flight, which stand on nosings, keep the "
        "kit's greatest interval along the slope; and the feet of level bays that have no deck "
        "under them, where a fascia kit's rails hang off it.",
        subject="the feet under the bottom rails",
    ),
    "weep_holes": Rule(
        "kit",
        "Whether the weep holes of a bottom rail keep the kit's greatest interval; a raked one "
        "drains by one at its low end.",
        subject="the weep holes",
    ),
    "stick_length": Rule(
        "kit",
        "Whether each piece of the cut list comes out of a stick of the kit's or on hand.",
        subject="the length of the sticks",
    ),
    "gate_width": Rule(
        "kit",
        "The width of a gate's leaf against the kit's greatest.",
        subject="the width of the gate's leaf",
    ),
    "gate_swing": Rule(
        "kit",
        "What a gate swings into, and whether it opens over a flight or over a drop with no stair "
        "or landing.",
        ("guard_required_drop", "guard_required_risers"),
        subject="the swing of the gate",
        needs="gates",
    ),
    "base_on_deck": Rule(
        "engineering",
        "Whether each post's base stands wholly on its deck, its rim or its tread.",
        subject="where bases stand",
    ),
    "bases_apart": Rule(
        "engineering",
        "Whether the bases of two posts run into each other.",
        subject="the room between bases",
    ),
    "wall_goes_on": Rule(
        "engineering",
        "Walls that have to go on past the corner of the deck, where rails of a fascia kit, "
        "which hang outside it, end on them or an opening begins: to be checked on site.",
        subject="walls past the corner of the deck",
        needs="wall_ends",
    ),
    "arc_over_edge": Rule(
        "engineering",
        "Whether the middle of each rail along a bowed edge keeps its own side of that edge.",
        subject="rails along a bowed edge",
        needs="arcs",
    ),
    "head_heights": Rule(
        "engineering",
        "Whether the tops of a flight's rail and of the level rail meet at the head post.",
        ("guard_height_stair",),
        subject="the heights of rails at the head of the flight",
        needs="heads",
    ),
    "flight_foot": Rule(
        "engineering",
        "Whether a flight ends on the level that its to_level names.",
        subject="where the flight ends",
    ),
    "rails_clear": Rule(
        "engineering",
        "Whether a wall of its own level stands in a rail, an obstruction in a chord of a bowed "
        "edge, or in a rail or a post of a flight; the flight's own deck in the latter, and posts "
        "and rails of levels in its height: of its own too, as a fascia kit hangs them out beside "
        "an inner corner.",
        subject="what stands in the way of rails",
        needs="ways",
    ),
    "flight_clear": Rule(
        "engineering",
        "Whether a deck, a post, a rail, an obstruction or a wall of another level stands in the "
        "way down a flight, to one going past its lowest nosing.",
        subject="what stands in the way of the flight",
        needs="ways",
    ),
    "handrail_brackets": Rule(
        "engineering",
        "Whether a guard as high stands beside each handrail to fix its brackets to; and "
        "handrails asked for on a flight that has no length for one.",
        subject="what the handrail is fixed to",
        needs="flights",
    ),
    "fixing_into_framing": Rule(
        "engineering",
        "Whether each fixing of a base goes into rim or joist, and where blocking is needed.",
        subject="what the fixings go into",
    ),
    "deck_size": Rule(
        "survey",
        "The area of a level in plan, where it is less than 6 sq ft or more than 20,000 (0.56 m2, "
        "1,860 m2), as numbers sent in another unit make it.",
        subject="the size of the deck",
        needs="odd_sizes",
    ),
    "walk_closure": Rule(
        "survey",
        "How far a tape walk misses its start, against 1:500 of its perimeter.",
        subject="how well the walk closes",
        needs="closures",
    ),
    "weak_tie": Rule(
        "survey",
        "The angle at which two tapes cross at a corner, against 30°.",
        subject="how the two tapes cross",
        needs="ties",
    ),
    "out_of_plumb": Rule(
        "survey",
        "How far the measured openings at the top and the bottom rail differ, against the kit's "
        "greatest.",
        subject="openings out of plumb",
        needs="measures",
    ),
    "measured_as_drawn": Rule(
        "survey",
        "How far measured openings, or all those of a run together, differ from the drawn ones, "
        "against 1/2 in (12.7 mm).",
        subject="openings measured otherwise than drawn",
        needs="measures",
    ),
    "order_before_posts": Rule(
        "survey",
        "Whether glass is sized by measured openings, where the kit wants its posts set first.",
        subject="when the glass is ordered",
    ),
    "strength_post": Rule(
        "engineering",
        "Preliminary: the bending of each post at its foot, welded where it is, and how far its "
        "top moves.",
        (
            *_OF_STRENGTH,
            "loads_concur",
            "guard_point_load",
            "guard_line_load",
            "guard_deflection",
        ),
        subject="the strength of the posts",
    ),
    "strength_rail": Rule(
        "engineering",
        "Preliminary: the bending of top rails, bottom rails and handrails between what holds "
        "them, and how far the middle of a top rail moves.",
        (
            *_OF_STRENGTH,
            "loads_concur",
            "guard_point_load",
            "guard_line_load",
            "guard_vertical_load",
            "infill_point_load",
            "infill_pressure",
            "handrail_point_load",
            "handrail_line_load",
            "guard_deflection",
        ),
        subject="the strength of the rails",
    ),
    "strength_infill": Rule(
        "engineering",
        "Preliminary: the bending of pickets between their rails, and how far one moves.",
        (
            *_OF_STRENGTH,
            "infill_point_load",
            "infill_load_side",
            "infill_load_pickets",
            "infill_pressure",
            "guard_deflection",
        ),
        subject="the strength of the infill",
    ),
    "strength_glass": Rule(
        "engineering",
        "Preliminary: the bending of glass between its rails, how far it moves where the code "
        "limits that, and how many people lift a panel.",
        (
            *_OF_STRENGTH,
            "glass_load_factor",
            "infill_point_load",
            "infill_load_side",
            "infill_pressure",
            "guard_deflection",
            "glass_deflection_ratio",
        ),
        subject="the strength of the glass",
    ),
    "strength_base": Rule(
        "engineering",
        "Preliminary: the pull on the fixings of a base against what they hold, and how far they "
        "go into the timber and stand from its edge and from each other.",
        (
            *_OF_STRENGTH,
            "loads_concur",
            "guard_point_load",
            "guard_line_load",
        ),
        subject="the strength of the bases",
    ),
    "thermal_growth": Rule(
        "engineering",
        "Preliminary: how far each rail grows as it warms, against the allowances at its ends.",
        subject="how far rails grow as they warm",
    ),
}
