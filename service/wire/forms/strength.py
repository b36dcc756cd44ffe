"""Wire: the forms of a kit's `strength` and of a deck's `site`, for the strength check."""

from __future__ import annotations

from typing import Any, Final, get_args

from service.core import limits
from service.core.records.strength import Alloy, FixingKind, LoadDuration, Make, Shape, Temper
from service.rules.strength.screws import DENSITIES
from service.rules.strength.thermal import DEFAULT_RANGE
from service.rules.strength.timber import GRAVITIES
from service.wire.forms.lengths import Length
from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.strict import Choice, Count, Flag, Number

PLIES: Final = 8


def _power(about: str, power: str, example: float, **more: Any) -> Number:
    """A property of a section. power: of the kit's unit, such as `cube`."""
    unit = f"in the {power} of the kit's unit"
    told, most = f"{about}, {unit}.", limits.NUMBER**2
    return Number(told, above=0, most=most, unit=unit, example=example, required=False, **more)


class MemberForm(Record):
    """One aluminium member. Moduli and second moments are of the whole section.

    Those of a `tube` and of a `bar` that are left out are worked out from its sides, with sharp
    corners; of a handrail from its diameter.
    """

    alloy = Choice("Of the extrusion.", *get_args(Alloy))
    temper = Choice("Of the extrusion.", *get_args(Temper))
    shape = Choice(
        "`tube`: a rectangle of even wall, of a handrail a round one; `bar`: a solid one; `other`: "
        "give its properties.",
        *get_args(Shape),
        default="other",
    )
    wall = Length("Thickness of a tube's wall, or of the thinnest part.", required=False)
    width = Length(
        "Width of a rail, level and square to its length; those of posts, pickets and handrails "
        "are the kit's.",
        required=False,
    )
    section_modulus = _power(
        "Section modulus for a level load square to the guard", "cube", example=0.66
    )
    second_moment = _power("Second moment of area for the same load", "fourth power", example=0.74)
    section_modulus_down = _power(
        "Section modulus of a rail for a load straight down",
        "cube",
        title="Section modulus, down",
        example=0.21,
    )
    second_moment_down = _power(
        "Second moment of area of a rail for a load straight down",
        "fourth power",
        title="Second moment, down",
        example=0.18,
    )
    welded = Flag(
        "Whether it is welded where it bends most: a post at its foot. A post has to say it; "
        "other members are not, where it is left out.",
        required=False,
    )


class GlassMakeForm(Record):
    """How one of the kit's panes is made."""

    pane = Count("Its index in the kit's list.", most=limits.KIT_LIST - 1, example=0)
    make = Choice("Of its glass, or of every ply.", *get_args(Make))
    plies = Count("Of a laminate, all equal; 1 is no laminate.", least=1, most=PLIES, default=1)
    ply_minimum = Length(
        "Least thickness of each ply of a laminate.", title="Least ply", required=False
    )


class TimberForm(Record):
    """The timber that fixings go into, by what is known of it.

    Allowable stress needs the species or the specific gravity, partial factors the grade.
    """

    species = Choice("Of the timber, by its name.", *GRAVITIES, required=False)
    specific_gravity = Number(
        "Given in place of the species. Without a unit.",
        least=0.1,
        most=1.5,
        required=False,
        example=0.55,
    )
    grade = Choice("Strength class by EN 338.", *DENSITIES, required=False)


class FixingForm(Record):
    """The fixings of one base."""

    kind = Choice("What holds the base down.", *get_args(FixingKind))
    diameter = Length("Outer diameter of the thread or the bolt.")
    in_tension = Count(
        "How many of them are in tension when the post is pushed one way.",
        least=1,
        most=64,
        example=2,
    )
    length = Length("Length of a screw under its head.", required=False)
    thread = Length("Length of a screw's thread, its tip included.", required=False)
    tip = Length("Length of the tapered tip, which does not count.", "from 0", default=0)
    side = Length(
        "What a screw passes before the framing: plate, pad and decking together.",
        "from 0",
        required=False,
    )
    lever_arm = Length(
        "From the fixings in tension to where the plate bears. Left out, the far row of four "
        "fixings or more, of which half at the most are in tension.",
        required=False,
    )
    below = Length(
        "Of a fascia kit: walking surface down to its topmost fixing.", "from 0", required=False
    )
    tension_capacity = Number(
        "What one through-bolt with its washers holds in tension, worked out by the method of "
        "the code, in lbf in inch kits, in N in millimetre ones.",
        above=0,
        unit="in lbf in inch kits, in N in millimetre ones",
        required=False,
        example=1300,
    )


class StrengthForm(Record):
    """What a kit's members are. A check whose member is left out is not_checked."""

    post = Inner(MemberForm, required=False)
    top_rail_picket = Inner(MemberForm, title="Top rail, picket", required=False)
    bottom_rail_picket = Inner(MemberForm, title="Bottom rail, picket", required=False)
    top_rail_glass = Inner(MemberForm, title="Top rail, glass", required=False)
    bottom_rail_glass = Inner(MemberForm, title="Bottom rail, glass", required=False)
    picket = Inner(MemberForm, required=False)
    handrail = Inner(MemberForm, required=False)
    panes = Items(
        Inner(GlassMakeForm, title="Pane"),
        "How the kit's panes are made. One whose type says `tempered` and no more needs no entry.",
        most=limits.KIT_LIST,
        required=False,
    )
    fixing = Inner(FixingForm, required=False)
    other_fixings = Items(
        Inner(FixingForm, title="Fixing"),
        "What its bases may be fixed by instead, such as through-bolts for screws: tried in this "
        "order where the deck asks to be advised.",
        most=limits.KIT_LIST,
        required=False,
    )
    timber = Inner(TimberForm, required=False)


class SiteForm(Record):
    """Where the deck stands, as far as the strength check asks."""

    temperature_range = Number(
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
        "Whether the timber gets wet: over 19 % moist, or service class 3.", default=True
    )
    load_duration = Choice(
        "How long a guard's load is taken to last: as any `live` load (C_D 1.0, k_mod 0.70 in "
        "the wet), or `ten_minutes` (1.6, 0.90).",
        *get_args(LoadDuration),
        default="live",
    )
    timber = Inner(
        TimberForm, "What the fixings go into, in the place of the kit's.", required=False
    )
