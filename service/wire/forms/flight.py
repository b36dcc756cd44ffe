"""Wire: forms of the deck document for flights, framing and measuring again (section 3)."""

from __future__ import annotations

from service.core import limits
from service.core.records.deck import HANDS, INFILLS
from service.wire.forms.lengths import Length
from service.wire.forms.nested import Items, Record
from service.wire.forms.strict import Choice, Count, Flag, Name, Number, Text


class FramingForm(Record):
    """The timber under a level: joists and rim."""

    joist_direction = Number(
        "Degrees from +x along which the joists run.",
        least=-360,
        most=360,
        unit="in degrees",
        example=90,
    )
    joist_spacing = Length("Centre to centre.", example=16)
    first_joist = Length(
        "Across the joists, from the outermost point of the outline (on the side of the lower x, "
        "or of the lower y where joists run along x) to the first joist's centre.",
        "from 0",
        example=0.75,
    )
    joist_width = Length("Width of one joist.", example=1.5)
    rim_width = Length("Thickness of the rim, all round the outline; joists end at its inner face.")


class StairForm(Record):
    """A straight flight going down from an opening, square to its edge."""

    id = Name("Names the flight.", example="front")
    opening = Text(
        "The opening that it goes down from, as level/opening; its use is stair or gate.",
        most=90,
        example="main/steps",
    )
    rise = Length("Total rise, walking surface to walking surface.")
    risers = Count(
        "Number of risers; there is one tread fewer.", least=1, most=limits.RISERS, example=7
    )
    going = Length("Horizontal run of one tread, nosing to nosing.")
    nosing = Length("How far a tread projects past the riser below.", "from 0", default=0)
    guards = Items(
        Choice("As seen going up.", *HANDS, title="Side"),
        "Sides that have a guard, as seen going up.",
        most=2,
        required=False,
    )
    infill = Choice("Infill of its guards.", *INFILLS, required=False)
    glass = Count(
        "Which of the kit's panes its guards have, counted from 0; left out: the one of the edge "
        "that it goes down from.",
        required=False,
    )
    height = Length(
        "Guard height, plumb above the line of nosings. Left out, it is guard.height, else the "
        "code's figure for stairs.",
        required=False,
    )
    foot_post = Choice(
        "Whether the lowest post stands on the lowest tread or on the ground; with one riser "
        "always on the ground.",
        "tread",
        "ground",
        default="tread",
    )
    handrail = Items(
        Choice("As seen going up.", *HANDS, title="Side"),
        "Sides that have a handrail, as seen going up.",
        most=2,
        required=False,
    )
    top_as_handrail = Flag(
        "Whether the top of each of its guards is meant as the handrail of that side.",
        default=False,
    )
    to_level = Name(
        "The level that it goes down to; left out: the level under its foot, else the ground.",
        required=False,
        example="lower",
    )


class SiteMeasureForm(Record):
    """A bay's clear opening, measured after the posts stand. In a flight: along the rail."""

    bay = Name("The bay's id in the reply to the same deck.", example="B3")
    clear_top = Length(
        "Face to face at the top rail; in a flight along it.", title="Clear at the top"
    )
    clear_bottom = Length(
        "Face to face at the bottom rail; in a flight along it.", title="Clear at the bottom"
    )
