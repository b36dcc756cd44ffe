"""Wire: the forms of a kit's `strength` and of a deck's `site`, for the strength check."""

from __future__ import annotations

from typing import Final, get_args

from service.core import limits
from service.core.records.strength import Alloy, FixingKind, LoadDuration, Make, Shape, Temper
from service.rules.strength.screws import DENSITIES
from service.rules.strength.thermal import DEFAULT_RANGE
from service.rules.strength.timber import GRAVITIES
from service.wire.forms.lengths import Length
from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.strict import Choice, Count, Flag, Number

PLIES: Final = 8


def _power(title: str, about: str, power: str, example: float) -> Number:
    """A property of a section. power: of the kit's unit, such as `cube`."""
    unit = f"in the {power} of the kit's unit"
    told, most = f"{about}, {unit}.", limits.NUMBER**2
    return Number(title, told, above=0, most=most, unit=unit, example=example, required=False)


class MemberForm(Record):
    """One aluminium member. Moduli and second moments are of the whole section.

    Those of a `tube` and of a `bar` that are left out are worked out from its sides, with sharp
    corners; of a handrail from its diameter.
    """

    alloy = Choice("Alloy", "Of the extrusion.", *get_args(Alloy))
    temper = Choice("Temper", "Of the extrusion.", *get_args(Temper))
    shape = Choice(
        "Shape",
        "`tube`: a rectangle of even wall, of a handrail a round one; `bar`: a solid one; `other`: "
        "give its properties.",
        *get_args(Shape),
        default="other",
    )
    wall = Length("Wall", "Thickness of a tube's wall, or of the thinnest part.", required=False)
    width = Length(
        "Width",
        "Width of a rail, level and square to its length; those of posts, pickets and handrails "
        "are the kit's.",
        required=False,
    )
    section_modulus = _power(
        "Section modulus",
        "Section modulus for a level load square to the guard",
        "cube",
        example=0.66,
    )
    second_moment = _power(
        "Second moment",
        "Second moment of area for the same load",
        "fourth power",
        example=0.74,
    )
    section_modulus_down = _power(
        "Section modulus, down",
        "Section modulus of a rail for a load straight down",
        "cube",
        example=0.21,
    )
    second_moment_down = _power(
        "Second moment, down",
        "Second moment of area of a rail for a load straight down",
        "fourth power",
        example=0.18,
    )
    welded = Flag(
        "Welded",
        "Whether it is welded where it bends most: a post at its foot. A post has to say it; "
        "other members are not, where it is left out.",
        required=False,
    )


class GlassMakeForm(Record):
    """How one of the kit's panes is made."""

    pane = Count("Pane", "Its index in the kit's list.", most=limits.KIT_LIST - 1, example=0)
    make = Choice("Make", "Of its glass, or of every ply.", *get_args(Make))
    plies = Count(
        "Plies",
        "Of a laminate, all equal; 1 is no laminate.",
        least=1,
        most=PLIES,
        default=1,
    )
    ply_minimum = Length("Least ply", "Least thickness of each ply of a laminate.", required=False)


class TimberForm(Record):
    """The timber that fixings go into, by what is known of it.

    Allowable stress needs the species or the specific gravity, partial factors the grade.
    """

    species = Choice("Species", "Of the timber, by its name.", *GRAVITIES, required=False)
    specific_gravity = Number(
        "Specific gravity",
        "Given in place of the species. Without a unit.",
        least=0.1,
        most=1.5,
        required=False,
        example=0.55,
    )
    grade = Choice("Grade", "Strength class by EN 338.", *DENSITIES, required=False)


class FixingForm(Record):
    """The fixings of one base."""

    kind = Choice("Kind", "What holds the base down.", *get_args(FixingKind))
    diameter = Length("Diameter", "Outer diameter of the thread or the bolt.")
    in_tension = Count(
        "In tension",
        "How many of them are in tension when the post is pushed one way.",
        least=1,
        most=64,
        example=2,
    )
    length = Length("Length", "Length of a screw under its head.", required=False)
    thread = Length("Thread", "Length of a screw's thread, its tip included.", required=False)
    tip = Length(
        "Tip",
        "Length of the tapered tip, which does not count.",
        "from 0",
        default=0,
    )
    side = Length(
        "Side",
        "What a screw passes before the framing: plate, pad and decking together.",
        "from 0",
        required=False,
    )
    lever_arm = Length(
        "Lever arm",
        "From the fixings in tension to where the plate bears. Left out, the far row of four "
        "fixings or more, of which half at the most are in tension.",
        required=False,
    )
    below = Length(
        "Below",
        "Of a fascia kit: walking surface down to its topmost fixing.",
        "from 0",
        required=False,
    )
    tension_capacity = Number(
        "Tension capacity",
        "What one through-bolt with its washers holds in tension, worked out by the method of "
        "the code, in lbf in inch kits, in N in millimetre ones.",
        above=0,
        unit="in lbf in inch kits, in N in millimetre ones",
        required=False,
        example=1300,
    )


class StrengthForm(Record):
    """What a kit's members are. A check whose member is left out is not_checked."""

    post = Inner(MemberForm, "Post", required=False)
    top_rail_picket = Inner(MemberForm, "Top rail, picket", required=False)
    bottom_rail_picket = Inner(MemberForm, "Bottom rail, picket", required=False)
    top_rail_glass = Inner(MemberForm, "Top rail, glass", required=False)
    bottom_rail_glass = Inner(MemberForm, "Bottom rail, glass", required=False)
    picket = Inner(MemberForm, "Picket", required=False)
    handrail = Inner(MemberForm, "Handrail", required=False)
    panes = Items(
        Inner(GlassMakeForm, "Pane"),
        "Panes",
        "How the kit's panes are made. One whose type says `tempered` and no more needs no entry.",
        most=limits.KIT_LIST,
        required=False,
    )
    fixing = Inner(FixingForm, "Fixing", required=False)
    other_fixings = Items(
        Inner(FixingForm, "Fixing"),
        "Other fixings",
        "What its bases may be fixed by instead, such as through-bolts for screws: tried in this "
        "order where the deck asks to be advised.",
        most=limits.KIT_LIST,
        required=False,
    )
    timber = Inner(TimberForm, "Timber", required=False)


class SiteForm(Record):
    """Where the deck stands, as far as the strength check asks."""

    temperature_range = Number(
        "Temperature range",
        "From the coldest to the hottest that its metal gets: degrees Fahrenheit in inch "
        f"documents (default {DEFAULT_RANGE['in']:g}), kelvins in millimetre ones (default "
        f"{DEFAULT_RANGE['mm']:g}).",
        least=0,
        most=1000,
        unit="in degrees Fahrenheit in inch documents, in kelvins in millimetre ones",
        required=False,
        example=90,
    )
    wet_service = Flag(
        "Wet service",
        "Whether the timber gets wet: over 19 % moist, or service class 3.",
        default=True,
    )
    load_duration = Choice(
        "Load duration",
        "How long a guard's load is taken to last: as any `live` load (C_D 1.0, k_mod 0.70 in "
        "the wet), or `ten_minutes` (1.6, 0.90).",
        *get_args(LoadDuration),
        default="live",
    )
    timber = Inner(
        TimberForm, "Timber", "What the fixings go into, in the place of the kit's.", required=False
    )
