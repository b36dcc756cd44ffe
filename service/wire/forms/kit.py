"""Wire: the form of the kit document (contract, section 4)."""

from __future__ import annotations

from typing import Any, Final

from service.core import limits
from service.core.order.roles import ROLES
from service.wire.forms.kit_parts import ByRole, ExtraForm, PartForm
from service.wire.forms.lengths import Length
from service.wire.forms.nested import HERE, Inner, Items, Record
from service.wire.forms.strength import StrengthForm
from service.wire.forms.strict import Choice, Count, Fault, Flag, Name, Number, Text

AREA: Final = limits.NUMBER**2


def _stock(about: str = "Lengths in which it is sold.", **more: Any) -> Items:
    stick = Length("", title="Stock length")
    return Items(stick, about, least=1, most=limits.KIT_LIST, **more)


class BaseForm(Record):
    """The square plate under a post, or the bracket behind it."""

    width = Length("Side of the square.")
    fixings = Count("How many fixings hold it.", least=1, most=64, example=4)
    fixing_inset = Length("Edge of the plate to a fixing's centre.", "from 0")
    fixing_edge_distance = Length(
        "Least distance from a fixing's centre to the edge of the wood that it goes into.", "from 0"
    )


class PostForm(Record):
    """The post, square in section."""

    width = Length("Side of the square.", example=2.25)
    setback = Length(
        "Deck edge to post centre, inward positive: above 0 where the mounting is surface, below 0 "
        "where it is fascia.",
        "any sign",
        example=3.5,
    )
    heights = Items(
        Length("A guard height.", title="Height"),
        "The guard heights for which posts are stocked.",
        least=1,
        most=limits.KIT_LIST,
    )
    base = Inner(BaseForm)
    corner = Choice(
        "What a fascia kit does at an outside corner: one post on a corner `bracket`, or a `pair` "
        "of end posts. A fascia kit has to say it.",
        "bracket",
        "pair",
        required=False,
    )


class MaxCentresForm(Record):
    """The greatest spacing of posts, centre to centre, by infill; one for each that it has."""

    picket = Length("Greatest spacing where the infill is pickets.", required=False)
    glass = Length("Greatest spacing where the infill is glass.", required=False)


class SwivelForm(Record):
    """The swivel bracket."""

    greatest = Number(
        "Degrees off a face normal that it reaches.",
        least=0,
        most=90,
        unit="in degrees",
        example=55,
    )


class EndAllowanceForm(Record):
    """From the face to the rail's end, by the kind of end. The rail is shorter by this."""

    socket = Length("In a fixed socket on a post.", "from 0")
    swivel = Length("In a swivel bracket.", "from 0")
    wall = Length("At a wall bracket.", "from 0")
    rake = Length("In the bracket of a raked rail.", "from 0")


class RailForm(Record):
    """One rail: its section, its stock and how much shorter than its opening it is cut."""

    depth = Length("Height of the section.")
    stock = _stock()
    kerf = Length("Width of the saw cut.", "from 0")
    trim = Length("What is cut off a stick before its first piece.", "from 0")
    mass_per_length = Number(
        "lb per inch in inch kits, kg per mm in millimetre ones.",
        least=0,
        unit="in lb per inch in inch kits, in kg per mm in millimetre ones",
        example=0.07,
    )
    end_allowance = Inner(EndAllowanceForm)


class RailsForm(Record):
    """The two rails of an infill."""

    top = Inner(RailForm, title="Top rail")
    bottom = Inner(RailForm, title="Bottom rail")


class RailsByInfillForm(Record):
    """The rails, by infill: `picket`, `glass` or both."""

    constraint = {"minProperties": 1}

    picket = Inner(RailsForm, title="Picket rails", required=False)
    glass = Inner(RailsForm, title="Glass rails", required=False)

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """A fault where the kit has rails for no infill."""
        return {} if sent else {HERE: Fault("too_few", "picket, glass or both")}


class EngagementForm(Record):
    """How far the infill runs into the rails."""

    top = Length("Into the top rail.", "from 0")
    bottom = Length("Into the bottom rail.", "from 0")


class PicketForm(Record):
    """Pickets and their spacing."""

    width = Length("Width of a picket along the rail.")
    spacing = Choice(
        "`spacer`: full spacers between pickets and cut ones at the ends; `punched`: the same, by "
        "holes in the rail; `equal`: all gaps equal.",
        "spacer",
        "punched",
        "equal",
    )
    gap = Length("The greatest clear gap, which a full spacer gives; at least a picket.")
    engagement = Inner(EngagementForm)
    stock = _stock(
        "Lengths in which it is sold. Left out, pickets are bought by the piece.", required=False
    )
    kerf = Length("Width of the saw cut.", "from 0", default=0)
    trim = Length("What is cut off a stick before its first piece.", "from 0", default=0)


class PaneForm(Record):
    """One glass that the kit takes."""

    nominal = Length("Nominal thickness.")
    nominal_mm = Number(
        "Nominal thickness in mm, for mass.",
        title="Nominal, mm",
        above=0,
        most=1000,
        unit="in mm",
        example=6,
    )
    minimum = Length("Least thickness by its standard, for strength.")
    type = Text("What glass it is.", example="tempered")


class BlockForm(Record):
    """The setting blocks under a panel."""

    inset = Length("Panel end to block centre.", "from 0")
    length = Length("Length of a block along the rail.")


class GlassForm(Record):
    """Glass infill: one panel in each bay, framed above and below."""

    panes = Items(
        Inner(PaneForm, title="Pane"),
        "The glasses that the kit takes; edges and flights name one by its index.",
        least=1,
        most=limits.KIT_LIST,
    )
    side_gap = Length("Post face to panel edge.", "from 0")
    engagement = Inner(EngagementForm)
    top_channel_depth = Length("Depth of the channel in the top rail.")
    max_width = Length("Greatest width of a panel.", title="Greatest width")
    max_height = Length("Greatest height of a panel.", title="Greatest height")
    max_area = Number(
        "Greatest area of a panel, in the square of the kit's unit.",
        title="Greatest area",
        above=0,
        most=AREA,
        unit="in the square of the kit's unit",
        example=2500,
    )
    block = Inner(BlockForm, title="Setting block")
    gasket_strips = Count(
        "Strips of gasket along each of a panel's two edges in a channel. Left out, gasket is "
        "not listed.",
        least=1,
        most=4,
        required=False,
        example=2,
    )
    tolerance = Text(
        "What the glass order says of a panel's size.",
        required=False,
        example="plus nothing, minus 1/16 in",
    )
    edges = Text(
        "What the glass order says of a panel's edges.",
        required=False,
        example="ground and polished",
    )


class RailSupportForm(Record):
    """Feet under the bottom rail."""

    max_interval = Length(
        "Greatest distance between a post and a foot, or between two feet.",
        title="Greatest interval",
    )
    width = Length("Width of a foot, along the rail.")


class WeepForm(Record):
    """Weep holes, which drain the bottom rail."""

    diameter = Length("Diameter of a hole.")
    max_interval = Length(
        "Greatest distance between a rail's end and a hole, or between two holes.",
        title="Greatest interval",
    )


class HandrailForm(Record):
    """A handrail of a flight."""

    diameter = Length("Diameter of the rail.")
    height = Length("Plumb above the line of nosings.")
    stock = _stock()
    kerf = Length("Width of the saw cut.", "from 0")
    max_bracket_interval = Length(
        "Greatest distance between brackets, along the rail.", title="Greatest bracket interval"
    )


class GateForm(Record):
    """A gate's leaf between its posts."""

    hinge_gap = Length("Gap from the hinge post to the leaf.", "from 0")
    latch_gap = Length("Gap from the leaf to the latch post.", "from 0")
    max_leaf = Length("Greatest width of a leaf.", title="Greatest leaf")


class KitForm(Record):
    """A railing system as data. Its lengths are in its own unit.

    Those that are loaded are whole examples: `/v1/kits/{id}`.
    """

    id = Name("Names the kit.", example="picket-glass-surface-in")
    title = Text(
        "What it is, by its construction.", example="Surface-mounted pickets and glass, inches"
    )
    unit = Choice("Unit of every length in the kit.", "in", "mm")
    mounting = Choice(
        "`surface`: posts stand on the deck; `fascia`: they hang on the rim, outside its edge.",
        "surface",
        "fascia",
    )
    post = Inner(PostForm)
    max_centres = Inner(MaxCentresForm, title="Greatest spacing")
    straight_limit = Number(
        "Turn in degrees up to which a corner is a bend, and its post a line post.",
        least=0,
        most=90,
        unit="in degrees",
        example=2,
    )
    square_limit = Number(
        "Degrees off a face normal that a fixed socket takes.",
        least=0,
        most=90,
        unit="in degrees",
        example=2,
    )
    swivel = Inner(SwivelForm)
    bottom_gap = Length("Walking surface to the underside of the bottom rail.", "from 0")
    stair_bottom_gap = Length(
        "Plumb from the line of nosings to the underside of the bottom rail.",
        "from 0",
        required=False,
    )
    least_bay = Length("The least clear opening that is railed.", "from 0")
    out_of_plumb = Length("How far an opening's two measures may differ.", "from 0", required=False)
    posts_before_glass = Flag(
        "Whether glass is ordered only from openings measured after the posts stand.", default=False
    )
    rails = Inner(RailsByInfillForm)
    picket = Inner(PicketForm, "Needed where there are picket rails.", required=False)
    glass = Inner(GlassForm, "Needed where there are glass rails.", required=False)
    rail_support = Inner(RailSupportForm, required=False)
    weep = Inner(WeepForm, title="Weep holes", required=False)
    handrail = Inner(HandrailForm, required=False)
    gate = Inner(GateForm, required=False)
    strength = Inner(
        StrengthForm,
        "What its members are, for the preliminary strength check; left out, that is not_checked.",
        required=False,
    )
    parts = ByRole(
        Inner(PartForm, title="Part"),
        "The yard's own numbers and words for each role. A role without is listed all the same.",
        required=False,
    )
    included = Items(
        Choice("", *ROLES, title="Role"),
        "Roles that come with another part and are not listed, such as a plate on its post.",
        most=limits.KIT_LIST,
        required=False,
    )
    extras = Items(
        Inner(ExtraForm, title="Extra"),
        "Screws, touch-up and the like. What is left out is not listed, as nothing gives it.",
        most=limits.KIT_LIST,
        required=False,
    )
