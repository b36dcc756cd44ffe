"""Rules by name: whether a guard is required, how high it is, and whether it helps climbing."""

from __future__ import annotations

from typing import Final

from service.rules.table.rule import OF_GUARDS, Rule

GUARDS: Final[dict[str, Rule]] = {
    "guard_required": Rule(
        "code",
        "Whether a guard is required, by the drop or by the risers of a flight, where an edge, "
        "a stretch of one, a passage or the side of a flight has no railing, but for an edge or a "
        "passage that a flight comes down to and leaves too little of to fall through; and what "
        "stands in a railing's place there, where nobody says how high that is.",
        ("guard_required_drop", "guard_required_risers", "guard_drop_reach"),
        subject="whether a guard is required",
    ),
    "guard_height": Rule(
        "code",
        "The height of each level bay's guard above the walking surface.",
        ("guard_height", *OF_GUARDS),
        subject="the height of the guard",
    ),
    "obstruction_height": Rule(
        "code",
        "The height of each obstruction in the railing's place, where that is given, against what "
        "the code asks of a guard there, but where what would be open without it might stay open.",
        ("guard_height", "opening_sphere", *OF_GUARDS),
        subject="the height of what stands in the railing's place",
        needs_in_layout="stand_ins",
    ),
    "guard_over_seat": Rule(
        "code",
        "The height of each level guard over an obstruction lower than it, of given height, within "
        "21 in (533 mm) of it on the deck, as a person can stand on that; a warning, as only some "
        "local codes measure from there.",
        ("guard_height", *OF_GUARDS),
        subject="the height of the guard over what stands beside it",
        needs_in_layout="seats",
    ),
    "climbable": Rule(
        "code",
        "The tops of the bottom and the top rail against the heights between which nothing may "
        "help climbing.",
        ("climb_zone_from", "climb_zone_to", "horizontal_rails", *OF_GUARDS),
        subject="whether the guard helps climbing",
    ),
}
