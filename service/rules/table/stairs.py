"""Rules by name: flights, their guards and their handrails."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import OF_GUARDS, Rule, of_flights

STAIRS: Final[dict[str, Rule]] = {
    "stair_guard_height": of_flights(
        "code",
        "The height of a flight's guard, plumb above the line of nosings.",
        ("guard_height_stair", *OF_GUARDS),
        subject="the height of the guard on the flight",
    ),
    "riser_height": of_flights(
        "code",
        "The height of a flight's risers, and of the last where its rise misses the drop.",
        ("riser_max", "riser_min"),
        subject="the height of the risers",
    ),
    "tread_going": of_flights(
        "code",
        "The going of a flight's treads, nosing to nosing.",
        ("going_min", "going_max"),
        subject="the going of the treads",
    ),
    "risers_and_going": of_flights(
        "code",
        "Two risers and a going together, where the code limits their sum.",
        ("risers_and_going_min", "risers_and_going_max"),
        subject="the sum of two risers and a going",
    ),
    "stair_pitch": of_flights(
        "code",
        "The pitch of a flight, where the code limits it.",
        ("pitch_max",),
        subject="the pitch of the flight",
    ),
    "riser_evenness": of_flights(
        "code",
        "How far a flight's rise misses the drop that it goes down, which falls to its last riser.",
        ("riser_uniformity", "riser_uniformity_neighbours"),
        subject="the evenness of the risers",
    ),
    "stair_width": of_flights(
        "code",
        "The clear width of a flight at its head, at the narrowest, where the code limits it.",
        ("stair_width",),
        subject="the width of the flight",
    ),
    "landing_depth": Rule(
        "code",
        "How deep the level that a flight goes down from is along its way, and the one that it "
        "comes down to; not checked where only the room that its railing takes up makes it too "
        "little, or where a level of no given drop may make it deep enough.",
        ("landing_depth", "landing_no_deeper_than"),
        subject="the depth of the landing",
        needs_in_layout="landings",
    ),
    "handrail_required": of_flights(
        "code",
        "Whether a flight has the handrails that its risers, its rise and its width ask for.",
        (
            "handrail_required_risers",
            "handrail_required_rise",
            "handrail_sides",
            "handrail_both_sides_width",
        ),
        subject="whether a handrail is required",
    ),
    "handrail_height": of_flights(
        "code",
        "The height of a handrail, or of the guard's top that is one, above the line of nosings.",
        (
            "handrail_height_min",
            "handrail_height_max",
            "guard_top_as_handrail_min",
            "guard_top_as_handrail_max",
        ),
        subject="the height of the handrail",
    ),
    "nosing_projection": of_flights(
        "code",
        "How far a flight's treads project past the riser below.",
        ("nosing_min", "nosing_max"),
        subject="how far the treads project",
    ),
    "flight_rise": of_flights(
        "code",
        "The rise of a flight without a landing.",
        ("flight_rise_max",),
        subject="the rise of the flight",
    ),
    "flight_risers": of_flights(
        "code",
        "The number of risers of a flight.",
        ("flight_risers_min", "flight_risers_max"),
        subject="the number of risers",
    ),
    "handrail_grip": of_flights(
        "code",
        "The diameter of the kit's handrail.",
        ("handrail_grip_min", "handrail_grip_max"),
        subject="the grip of the handrail",
    ),
    "handrail_extent": of_flights(
        "code",
        "How far a handrail, or the top of a guard that is one, goes on past the top nosing.",
        ("handrail_extension_top",),
        subject="how far the handrail goes past the nosings",
    ),
    "head_heights": Rule(
        "engineering",
        "Whether the tops of a flight's rail and of the level rail meet at the head post.",
        ("guard_height_stair",),
        subject="the heights of rails at the head of the flight",
        needs_in_layout="heads",
    ),
    "flight_foot": Rule(
        "engineering",
        "Whether a flight ends on the level that its to_level names.",
        subject="where the flight ends",
    ),
    "flight_clear": Rule(
        "engineering",
        "Whether a deck, a post, a rail, an obstruction or a wall of another level stands in the "
        "way down a flight, to one going past its lowest nosing.",
        subject="what stands in the way of the flight",
        needs_in_layout="ways",
    ),
    "handrail_brackets": of_flights(
        "engineering",
        "Whether a guard as high stands beside each handrail to fix its brackets to, with a post "
        "or a rail beside each; and handrails asked for on a flight that has no length for one.",
        subject="what the handrail is fixed to",
    ),
}
