"""Rules by name: what passes through a guard, under it and beside it."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import OF_GUARDS, Rule, of_flights, of_glass

OPENINGS: Final[dict[str, Rule]] = {
    "opening_size": Rule(
        "code",
        "The gaps between pickets, at the ends of a bay, beside glass, between a post and a wall, "
        "between the two posts of a corner, past an obstruction that ends the railing, past the "
        "last post before an open edge, from there to a railing or a wall of another level, the "
        "narrowest of the way between two levels' railings along one edge, from where somebody "
        "comes in to its end, and round what stands beside an opening; beside what is not square "
        "to the bay, to where it is nearest in plan; what an obstruction off the railing's line "
        "alone would close is not checked where nobody says how high that is, nor what a wall "
        "would past the corner that it is given to end at.",
        ("opening_sphere", *OF_GUARDS),
        subject="the size of openings in the guard",
    ),
    "gap_under_rail": Rule(
        "code",
        "The gap from the walking surface to the underside of the bottom rail, in level bays; that "
        "from the edge of a deck to one that hangs off it, along the edge and, where it is wider, "
        "at a corner; and that over the deck under a raked one, between it and its head post.",
        ("opening_sphere", "gap_under_rail_sphere", *OF_GUARDS),
        subject="the gap under the bottom rail",
    ),
    "stair_opening_size": of_flights(
        "code",
        "The gaps between pickets, at the ends of a bay and beside glass in the guard of a flight, "
        "which are horizontal, off a bare side past what goes down along it, and what is left of "
        "the lowest tread past a foot post on it, high over what lies beside it, against the "
        "code's sphere for stairs or else for any guard.",
        ("opening_sphere_stair", "opening_sphere", *OF_GUARDS),
        subject="the size of openings in the guard of the flight",
    ),
    "stair_triangle": of_flights(
        "code",
        "The largest sphere that passes between riser, tread and the bottom rail of a flight, "
        "unless the code has a sphere for the whole gap under that rail instead.",
        ("stair_triangle_sphere", "stair_gap_sphere", *OF_GUARDS),
        subject="the triangle of riser, tread and bottom rail",
    ),
    "opening_size_upper": Rule(
        "code",
        "The gaps of a guard in its upper band, where the code lets them be wider there; the gaps "
        "of pickets and glass run the whole height, so the lower figure binds them too.",
        ("opening_sphere_upper", "opening_sphere_upper_from", *OF_GUARDS),
        subject="the size of openings in the upper band of the guard",
    ),
    "pickets_as_set": Rule(
        "code",
        "The widest gap that setting pickets by the list can leave: with spacers, all the room "
        "that they leave in a rail gathered at one gap; with equal gaps, centres that are on "
        "marks; a warning, as the installer can do better.",
        ("opening_sphere", "opening_sphere_stair", "opening_not_required_guard", *OF_GUARDS),
        subject="the widest gap of pickets as they are set",
    ),
    "glass_as_set": of_glass(
        "code",
        "The gap beside a panel that stands against the other post, as it may slide in its "
        "channels: both side gaps together; a warning, as the installer can do better.",
        ("opening_sphere", "opening_sphere_stair", "opening_not_required_guard", *OF_GUARDS),
        subject="the gap beside glass as it is set",
    ),
    "opening_not_required": Rule(
        "code",
        "The gaps in a guard that is not required, under its bottom rail and over a lower "
        "obstruction in its place, the triangle of a flight among them: small or wide, nothing "
        "between.",
        (
            "opening_not_required_guard",
            "opening_not_required_guard_wide",
            "stair_triangle_sphere",
            *OF_GUARDS,
        ),
        subject="the size of openings in a guard that is not required",
    ),
    "stair_gap_under_rail": of_flights(
        "code",
        "The gap between the line of nosings and a flight's bottom rail, square to the slope, "
        "where the code tests no triangle.",
        ("stair_gap_sphere", *OF_GUARDS),
        subject="the gap under the bottom rail of the flight",
    ),
    "bay_size": Rule(
        "kit",
        "A stretch less than the kit's least bay, which stays unrailed: whether the code's "
        "opening limit lets it, between what stands at its ends, where that is nearest in plan.",
        ("opening_sphere", "opening_sphere_stair", *OF_GUARDS),
        subject="stretches too short for a bay",
        needs_in_layout="small_stretches",
    ),
    "measured_bay_size": Rule(
        "kit",
        "Whether measured openings, at their narrower rail and in plan, are at least the kit's "
        "least bay.",
        subject="measured openings too narrow for a bay",
        needs_in_layout="measures",
    ),
}
