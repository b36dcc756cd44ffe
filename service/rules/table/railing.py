"""Rules by name: posts, rails and gates, what is cut for them, what holds them, and what stands in
their way."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import Rule

RAILING: Final[dict[str, Rule]] = {
    "post_spacing": Rule(
        "kit",
        "The spacing of posts, centre to centre (along the slope in a flight), against the kit's "
        "greatest of each infill.",
        subject="the spacing of posts",
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
    "rail_ends": Rule(
        "kit",
        "How much nearer the corner of a rail's square end comes than its middle to a wall that it "
        "ends on off square, or a turned post's corner to it, against how far off that middle is; "
        "and how far an obstruction that is not square to it reaches past the end of the line in "
        "the breadth of the rail, against how far off that the rail is; a warning.",
        subject="the ends of rails at walls, obstructions and turned posts",
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
    "wall_goes_on": Rule(
        "engineering",
        "Walls that have to go on past the corner of the deck, where rails of a fascia kit, "
        "which hang outside it, end on them or an opening begins, and walls that stand outside it, "
        "as thick as they are, in the way of such rails at an inner corner: to be checked on site.",
        subject="walls past the corner of the deck",
        needs_in_layout="wall_ends",
    ),
    "holds_high_enough": Rule(
        "engineering",
        "Obstructions that rails are bracketed to, or gates hang on or shut against, and that are "
        "given to be lower than these; and walls that hold rails and may be no more than the face "
        "below another level's deck, to be checked on site.",
        subject="the height of what holds rails and gates",
        needs_in_layout="low_holds",
    ),
    "arc_over_edge": Rule(
        "engineering",
        "Whether the middle of each rail along a bowed edge keeps its own side of that edge.",
        subject="rails along a bowed edge",
        needs_in_layout="arcs",
    ),
    "rails_clear": Rule(
        "engineering",
        "Whether a wall of its own level stands in a rail, an obstruction in one that is broader "
        "than its post, or a post or a rail of it along another edge, or the deck or a wall across "
        "a slot in what a fascia kit hangs there; in its height "
        "the deck, a post or a rail of another level in a rail, or such a deck in a post; an "
        "obstruction in a chord of a bowed edge, or in a rail or a post of a flight; the flight's "
        "own deck in the latter, and in its height decks of other levels, and posts and rails: of "
        "its own too, as a fascia kit hangs them out beside an inner corner.",
        subject="what stands in the way of rails",
        needs_in_layout="ways",
    ),
    "guard_at_level": Rule(
        "engineering",
        "Guarded edges, or stretches of one, beyond which another level lies as high or higher.",
        subject="guards against another level",
        needs_in_layout="level_guards",
    ),
    "gate_width": Rule(
        "kit",
        "The width of a gate's leaf against the kit's greatest.",
        subject="the width of the gate's leaf",
    ),
    "gate_swing": Rule(
        "kit",
        "What a gate swings into, whether it opens over a flight or over a drop with no stair or "
        "landing, and whether its line passes by what it hangs on or shuts against.",
        ("guard_required_drop", "guard_required_risers"),
        subject="the swing of the gate",
        needs_in_layout="gates",
    ),
    "base_on_deck": Rule(
        "engineering",
        "Whether each post's base stands wholly on its deck, its rim or its tread, or at the foot "
        "of a flight on the level that it goes down to, and whether a flat one lies against a "
        "bowed rim.",
        subject="where bases stand",
    ),
    "bases_apart": Rule(
        "engineering",
        "Whether the bases of two posts run into each other.",
        subject="the room between bases",
    ),
    "fixing_into_framing": Rule(
        "engineering",
        "Whether each fixing of a base goes into rim or joist, and where blocking is needed.",
        subject="what the fixings go into",
    ),
}
