"""Wire: forms of the layout document for flights, gates and framing (section 7)."""

from __future__ import annotations

from typing import Any

from service.core.records.blocking import LEANS
from service.core.records.deck import HANDS, INFILLS
from service.wire.forms.infill_reply import BayGlassForm, PicketsForm, RailCutForm
from service.wire.forms.nested import Inner, Items
from service.wire.forms.reply import MANY, Measure, Reply, end_cuts, ids, listed, named, text
from service.wire.forms.strict import Choice, Count, Strict


class JoistOrRim(Strict):
    """A joist's number, or null for the rim."""

    accepts = "the number of a joist, or null"

    def __init__(self) -> None:
        super().__init__("Joist", "Counted from 0; null is the rim.", allow_none=True)

    def published(self, converter: Any) -> dict[str, Any]:
        """A whole number or null."""
        return {"type": ["integer", "null"]}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.fault("wrong_type")
        return value


def ends_lean() -> Choice:
    """The field of which way the two ends of a block lean."""
    about = (
        "Whether its ends lean the same way, as those of a raked rail do, or opposite ways, so "
        "that one edge is the shorter at both. Left out where an end is square."
    )
    return Choice("Ends lean", about, *LEANS, required=False)


class BlockBuiltForm(Reply):
    """A piece of blocking, square to the joists, from face to face."""

    between = Items(
        JoistOrRim(),
        "Between",
        "The joists that it stands between, counted from 0; null is the rim.",
        least=2,
        most=2,
    )
    at = Measure(
        "At",
        "The place of its middle along the joists: how far it lies from the origin in the way that "
        "`joist_direction` points, less than 0 behind it.",
    )
    length, length_text = named("Length", "Length of its longest edge, down to the mark.")
    lengths, lengths_text = listed(
        "Lengths",
        "Of each ply's longer edge, first the ply at the least place along the joists; left out "
        "where all are of one length.",
        required=False,
    )
    end_cuts = end_cuts()
    ends_lean = ends_lean()
    direction = Measure(
        "Direction", "Angle from +x of the line along which it runs, 0 to 180.", "angle"
    )
    plies = Count(
        "Plies",
        "How many pieces side by side, each as wide as a joist, fastened together.",
        most=None,
    )


class PostFramingForm(Reply):
    """Where a post's fixings land."""

    lands_on = Items(
        Choice("Landing", "", "rim", "joist", "none"),
        "Lands on",
        "What each fixing goes into: corners of the base counter-clockwise, then mid-sides, first "
        "that to the edge of the deck and that across from it.",
        most=MANY,
    )
    blocking = Items(Inner(BlockBuiltForm, "Block"), "Blocking", "What the others need.", most=MANY)


class HandrailBuiltForm(Reply):
    """A handrail of a flight, over the top nosing to over the lowest one."""

    side = Choice("Side", "As seen going up.", *HANDS)
    length, length_text = named("Length", "Along the slope, down to the mark.")
    height, height_text = named("Height", "Plumb above the line of nosings.")
    brackets, brackets_text = listed("Brackets", "From its upper end, along the slope.")
    returns = Count("Returns", "How many of its ends are returned.", most=None)


class FlightBuiltForm(Reply):
    """A flight as built."""

    id = text("Id", "The caller's.", example="front")
    level = text("Level", "The level that it goes down from.", example="main")
    opening = text("Opening", "level/opening.", example="main/steps")
    pitch = Measure("Pitch", "Of the line of nosings.", "angle")
    rise = Measure("Rise", "Total rise.")
    risers = Count("Risers", "How many.", most=None)
    riser = Measure("Riser", "Height of one riser: rise over risers.")
    going = Measure("Going", "Going of a tread, nosing to nosing in plan.")
    nosing = Measure("Nosing", "A tread's projection past the riser below.")
    clear_width, clear_width_text = named(
        "Clear width", "At its head, face to face at the narrowest."
    )
    outside_width, outside_width_text = named(
        "Outside width", "What a guard needs of a tread beside the clear width."
    )
    into_width, into_width_text = named("Into width", "How far bases reach into the clear width.")
    guards = Items(Choice("Side", "", *HANDS), "Guards", "As seen going up.", most=2)
    height, height_text = named("Height", "Of its guards, plumb above the line of nosings.")
    posts = ids("Posts", "Left side before right, each from head to foot.")
    bays = ids("Bays", "Likewise.")
    handrails = Items(
        Inner(HandrailBuiltForm, "Handrail"),
        "Handrails",
        "Left before right, as seen going up.",
        most=2,
    )
    triangle = Measure(
        "Triangle",
        "Diameter of the largest circle between riser, tread and bottom rail.",
        required=False,
    )
    drop = Measure("Drop", "What its rise must come to.", required=False)
    to_level = text("To level", "The level that it goes down to.", required=False, example="lower")


class LeafForm(Reply):
    """A gate's leaf."""

    width, width_text = named("Width", "Down to the mark.")
    height, height_text = named(
        "Height", "Down to the mark; from the kit's bottom gap to the guard's top."
    )


class GateBuiltForm(Reply):
    """A gate. Places in its leaf are from the leaf's first side, counter-clockwise."""

    opening = text("Opening", "level/opening.", example="main/gate")
    leaf = Inner(LeafForm, "Leaf")
    rails = Inner(RailCutForm, "Rails", "Its top and its bottom rail alike.")
    infill = Choice("Infill", "What its leaf is filled with.", *INFILLS)
    pickets = Inner(PicketsForm, "Pickets", required=False)
    glass = Inner(BayGlassForm, "Glass", required=False)
    hinge_post = text("Hinge post", "Left out at a wall.", required=False, example="P2")
    latch_post = text("Latch post", "Left out at a wall.", required=False, example="P3")
    opens = Choice("Opens", "Which way it swings.", "in", "out")
    flight = text("Flight", "The one that goes down from it.", required=False, example="front")
    swings_into = ids("Swings into", "What its leaf would meet.", required=False)


class BlockingForm(Reply):
    """Equal pieces of blocking."""

    length, length_text = named("Length", "Length of the longest edge.")
    count = Count("Count", "How many pieces; each ply is one.", most=None)
    end_cuts = end_cuts()
    ends_lean = ends_lean()
    posts = ids("Posts", "Under which posts.")
