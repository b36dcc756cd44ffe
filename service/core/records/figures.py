"""Core: the closed vocabulary of a code's figures, one row each (`FIGURES`).

Also here: the measures that may decide between the values of a figure.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.records.deck import INFILLS

FigureKind: TypeAlias = Literal[
    "length",
    "degrees",
    "count",
    "words",
    "text",
    "force",
    "line_load",
    "pressure",
    "number",
]
"""What the value of a figure is.

`words` are from a closed list (`WORDS`), `text` is free. Lengths and loads have units and are
converted; a number is the same in every unit.
"""
Reads: TypeAlias = Literal["at_least", "at_most", "less_than", "more_than", "binds"]
"""How a code's text reads at its figure.

`more_than` 30: 30 itself is not over. `binds` is for a figure that no number is compared with.
"""
Measure: TypeAlias = Literal[
    "drop",
    "drop_to_ground",
    "drop_to_next_level",
    "height",
    "going",
    "risers",
    "occupants",
    "occupancy",
    "infill",
    "beneath",
]
"""What may decide which value of a figure holds at a place."""

LENGTH_MEASURES: Final = ("drop", "drop_to_ground", "drop_to_next_level", "height", "going")
COUNT_MEASURES: Final = ("risers", "occupants")
WORD_MEASURES: Final[dict[str, tuple[str, ...]]] = {
    "occupancy": ("dwelling", "shared", "house", "shared_by_two"),
    "infill": INFILLS,
    "beneath": ("walked", "shielded"),
}
"""Measures that are one of a few words, with these words."""
WIDER_OCCUPANCY: Final = {"house": "dwelling", "shared_by_two": "shared"}
"""The wider occupancy that an occupancy is as well, where a code does not tell the two apart.

The dwelling of a house is a dwelling, and a deck of two dwellings a shared one.
"""

LAMINATED: Final = "laminated"
LAMINATED_STRONG: Final = "laminated of tempered or heat-strengthened plies"
STRONG_OR_TEMPERED: Final = f"{LAMINATED_STRONG}, or tempered"
SAFETY: Final = "safety"
SAFETY_OR_WIRED: Final = "safety or wired"
FLIGHT_WIDTH: Final = "the width of the flight"
ALLOWABLE: Final = "allowable stress"
PARTIAL: Final = "partial factors"
WORDS: Final[dict[str, tuple[str, ...]]] = {
    "geometry_applies_to": ("required guards", "all guards"),
    "strength_method": (ALLOWABLE, PARTIAL),
    "loads_concur": ("separate cases", "together"),
    "horizontal_rails": ("none between bottom and top rail",),
    "landing_no_deeper_than": (FLIGHT_WIDTH,),
    "glass_make": (LAMINATED, LAMINATED_STRONG, STRONG_OR_TEMPERED, SAFETY, SAFETY_OR_WIRED),
    "glass_top_rail": ("required",),
}
"""The words that each figure of kind `words` may have as its value."""
LOAD_KINDS: Final[frozenset[FigureKind]] = frozenset({"force", "line_load", "pressure"})
"""Kinds whose values have units of load: lbf, lbf/ft, psf or N, kN/m, kPa."""


class Row(NamedTuple):
    """One figure of the vocabulary.

    kind: kind of its value.
    reads: how a text may read at it; the first is taken where a code document gives none.
    what: what the figure is, in words.
    why_left: why no deck document can be judged by it; empty for a figure that is judged.
    """

    kind: FigureKind
    reads: tuple[Reads, ...]
    what: str
    why_left: str = ""


def _least(what: str, why_left: str = "", *, kind: FigureKind = "length") -> Row:
    """A figure that is the least that something may be."""
    return Row(kind, ("at_least", "more_than"), what, why_left)


def _most(what: str, why_left: str = "", *, kind: FigureKind = "length") -> Row:
    """A figure that is the greatest that something may be."""
    return Row(kind, ("at_most", "less_than"), what, why_left)


def _below(what: str, why_left: str = "") -> Row:
    """A figure that something has to stay below, as an opening does that stops a sphere."""
    return Row("length", ("less_than", "at_most"), what, why_left)


def _binds(what: str, why_left: str = "", *, kind: FigureKind = "length") -> Row:
    """A figure that no number is compared with."""
    return Row(kind, ("binds",), what, why_left)


JUDGED: Final[dict[str, Row]] = {
    "guard_required_drop": Row(
        "length", ("more_than", "at_least"), "drop from which a guard is required"
    ),
    "guard_drop_reach": _binds("how far out from the edge the drop is looked for"),
    "guard_height": _least("least height of a guard above the walking surface"),
    "opening_sphere": _below("sphere that no opening in a guard may let through"),
    "geometry_applies_to": _binds("which guards the height and opening figures bind", kind="words"),
    "guard_height_stair": _least(
        "least height of a guard on a flight, plumb above the line of nosings"
    ),
    "opening_sphere_stair": _below(
        "sphere that no opening in the guard of a flight may let through"
    ),
    "stair_triangle_sphere": _below(
        "sphere that the triangle of riser, tread and bottom rail may not let through"
    ),
    "riser_min": _least("least height of a riser"),
    "riser_max": _most("greatest height of a riser"),
    "riser_uniformity": _most("greatest difference between two risers of one flight"),
    "going_min": _least("least going of a tread, nosing to nosing in plan"),
    "going_max": _most("greatest going of a tread, nosing to nosing in plan"),
    "risers_and_going_min": _least("least sum of two risers and a going"),
    "risers_and_going_max": _most("greatest sum of two risers and a going"),
    "pitch_max": _most("steepest pitch of a flight, in degrees from level", kind="degrees"),
    "stair_width": _least("least clear width of a flight"),
    "handrail_required_risers": _least("risers from which a flight needs a handrail", kind="count"),
    "handrail_both_sides_width": _least(
        "clear width from which a flight needs a handrail on both sides"
    ),
    "handrail_height_min": _least("least height of a handrail above the line of nosings"),
    "handrail_height_max": _most("greatest height of a handrail above the line of nosings"),
    "opening_sphere_upper": _below(
        "sphere that no opening in the upper band of a guard may let through"
    ),
    "opening_sphere_upper_from": _binds(
        "height above the walking surface at which the upper band of a guard begins"
    ),
    "opening_not_required_guard": _below(
        "sphere that an opening in a guard that is not required may not let through, unless it"
        " lets the greater one through"
    ),
    "opening_not_required_guard_wide": _least(
        "greater sphere, which an opening in a guard that is not required may let through"
    ),
    "gap_under_rail_sphere": _below(
        "sphere that the gap under the bottom rail may not let through, where it has a"
        " figure of its own"
    ),
    "stair_gap_sphere": _below(
        "sphere that may not pass between the line of nosings and the bottom rail of a flight"
    ),
    "climb_zone_from": _below(
        "height above the walking surface below which a foothold does no harm"
    ),
    "climb_zone_to": _least("height above the walking surface from which a foothold does no harm"),
    "horizontal_rails": _binds("whether a guard may have rails between its two", kind="words"),
    "guard_top_as_handrail_min": _least(
        "least height of a guard's top that is the handrail, above the line of nosings"
    ),
    "guard_top_as_handrail_max": _most(
        "greatest height of a guard's top that is the handrail, above the line of nosings"
    ),
    "riser_uniformity_neighbours": _most(
        "greatest difference between two risers one after the other"
    ),
    "nosing_min": _least("least projection of a tread past the riser below"),
    "nosing_max": _most("greatest projection of a tread past the riser below"),
    "flight_rise_max": _most("greatest rise of a flight between landings"),
    "flight_risers_min": _least("least number of risers of a flight", kind="count"),
    "flight_risers_max": _most("greatest number of risers of a flight", kind="count"),
    "handrail_required_rise": _least("rise of a flight from which a handrail is required at all"),
    "handrail_sides": _least("sides of a flight that need a handrail", kind="count"),
    "handrail_grip_min": _least("least diameter of a round handrail"),
    "handrail_grip_max": _most("greatest diameter of a round handrail"),
    "handrail_extension_top": _least("how far a handrail goes on, level, past the top nosing"),
    "glass_make": _binds("what glass a guard may have", kind="words"),
    "glass_thickness_min": _least("least nominal thickness of a guard's glass"),
    "glass_top_rail": _binds("whether glass must have a top rail that outlasts it", kind="words"),
    "landing_depth": _least("least depth of a landing along the way of travel"),
    "landing_no_deeper_than": _binds(
        "what a landing need not be deeper than, whatever its least depth", kind="words"
    ),
    "guard_required_risers": _least(
        "risers from which the sides of flights and landings need a guard, whatever the drop",
        kind="count",
    ),
}
"""Figures that rules compare a layout with."""

LEFT: Final[dict[str, Row]] = {
    "opening_sphere_loaded": _below(
        "sphere that may not pass between infill that is pushed apart",
        "how stiff the infill is is not in the documents; ask the maker",
    ),
    "going_uniformity": _most(
        "greatest difference between two goings of one flight",
        "the goings are drawn alike; measure them when built",
    ),
    "nosing_uniformity": _most(
        "greatest difference between two projections of one flight",
        "the treads are drawn alike; measure them when built",
    ),
    "tread_overlap": _least(
        "how far treads over open risers overlap at the least",
        "whether risers are open is not in the document",
    ),
    "stair_tread_load": _binds(
        "what each tread of a flight carries", "treads are not in the kit", kind="text"
    ),
    "stair_width_at_handrail": _least(
        "least clear width of a flight at and below its handrails",
        "the brackets' reach is not in the kit",
    ),
    "going_uniformity_neighbours": _most(
        "greatest difference between two goings one after the other",
        "the goings are drawn alike; measure them when built",
    ),
    "open_riser_sphere": _below(
        "sphere that may not pass between the treads of open risers",
        "whether risers are open is not in the document",
    ),
    "solid_risers": _binds(
        "where risers must be solid", "whether risers are open is not in the document", kind="text"
    ),
    "headroom": _least(
        "least height over a flight, plumb above the line of nosings",
        "what is above a flight is not in the document",
    ),
    "tread_slope": _binds(
        "greatest slope of treads and landings",
        "the slope of treads is not in the document",
        kind="text",
    ),
    "stair_rules_apply_to": _binds(
        "which outside stairs the figures of stairs are for",
        "whether the stair is a part of the building is not in the document",
        kind="text",
    ),
    "finished_surface": _binds(
        "which surface heights are measured from",
        "heights are taken from the surface that the document means; allow for what is laid later",
        kind="text",
    ),
    "handrail_continuity": _binds(
        "how far a handrail goes without a break, and how it ends",
        "handrails are laid out nosing to nosing; their ends are made on site",
        kind="text",
    ),
    "handrail_wall_clear_max": _most(
        "greatest clear space between a handrail and a wall",
        "the brackets' reach is not in the kit",
    ),
    "handrail_wall_clear": _least(
        "least clear space between a handrail and a wall", "the brackets' reach is not in the kit"
    ),
    "handrail_projection": _most(
        "how far a handrail may reach into the width of a flight",
        "the brackets' reach is not in the kit",
    ),
    "handrail_reach": _most(
        "how far any part of the required width may be from a handrail",
        "how many people must get out by the flight is not in the document",
    ),
    "glass_marking": _binds(
        "how safety glass is tested and marked",
        "marks are on the panes; look for them when the glass comes",
        kind="text",
    ),
    "glass_standard": _binds(
        "the standard that the code leaves glass in guards to",
        "that standard's tables are not in the document",
        kind="text",
    ),
    "wire_infill": _binds("how wire infill is tested", "the kits have no wire infill", kind="text"),
}
"""Figures that no deck document can be judged by."""

LOADED: Final[dict[str, Row]] = {
    "strength_method": _binds("how strength is worked out", kind="words"),
    "load_factor": _binds("factor on loads, by partial factors", kind="number"),
    "loads_concur": _binds("whether point and line load are taken together", kind="words"),
    "guard_line_load": _binds("load level across the guard, all along its top", kind="line_load"),
    "guard_point_load": _binds("load at any one point of the guard's top", kind="force"),
    "guard_vertical_load": _binds(
        "load straight down, all along the guard's top", kind="line_load"
    ),
    "infill_point_load": _binds("load at any one place of the infill", kind="force"),
    "infill_load_side": _binds("side of the square over which that load is spread"),
    "infill_load_pickets": _binds(
        "pickets that share the infill's point load where so many stand in the width of its square",
        kind="count",
    ),
    "infill_pressure": _binds("load all over the infill", kind="pressure"),
    "handrail_point_load": _binds("load at any one point of a handrail", kind="force"),
    "handrail_line_load": _binds("load all along a handrail", kind="line_load"),
    "glass_load_factor": _binds("how many times its load glass has to bear", kind="number"),
    "guard_deflection": Row(
        "length", ("at_most",), "how far any point of a guard may move under its load"
    ),
    "glass_deflection_ratio": _binds(
        "glass may move by its span between the rails over this number, under its load",
        kind="number",
    ),
}
"""Figures that the strength check uses."""

FIGURES: Final[dict[str, Row]] = {**JUDGED, **LOADED, **LEFT}
"""Every figure that a code document may state."""
