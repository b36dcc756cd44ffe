"""Wire: forms of the layout document for flights, gates and framing (section 7)."""

from __future__ import annotations

from service.core.records.blocking import LEANS
from service.core.records.deck import HANDS, INFILLS
from service.wire.forms.infill_reply import BayGlassForm, PicketsForm, RailCutForm
from service.wire.forms.nested import Inner, Items
from service.wire.forms.reply import (
    MANY,
    Measure,
    Mixed,
    Reply,
    Tally,
    end_cuts,
    ids,
    listed,
    named,
    objects,
    text,
)
from service.wire.forms.strict import Choice


def ends_lean() -> Choice:
    """The field of which way the two ends of a block lean."""
    about = (
        "Whether its ends lean the same way, as those of a raked rail do, or opposite ways, so "
        "that one edge is the shorter at both. Left out where an end is square."
    )
    return Choice(about, *LEANS, required=False)


class BlockBuiltForm(Reply):
    """A piece of blocking, square to the joists, from face to face."""

    between = Items(
        Mixed("Counted from 0; null is the rim.", "integer", "null", title="Joist"),
        "The joists that it stands between, counted from 0; null is the rim.",
        least=2,
        most=2,
    )
    at = Measure(
        "The place of its middle along the joists: how far it lies from the origin in the way that "
        "`joist_direction` points, less than 0 behind it."
    )
    length, length_text = named("Length of its longest edge, down to the mark.")
    lengths, lengths_text = listed(
        "Of each ply's longer edge, first the ply at the least place along the joists; left out "
        "where all are of one length.",
        required=False,
    )
    end_cuts = end_cuts()
    ends_lean = ends_lean()
    direction = Measure("Angle from +x of the line along which it runs, 0 to 180.", "angle")
    plies = Tally("How many pieces side by side, each as wide as a joist, fastened together.")


class PostFramingForm(Reply):
    """Where a post's fixings land."""

    lands_on = Items(
        Choice("", "rim", "joist", "none", title="Landing"),
        "What each fixing goes into: corners of the base counter-clockwise, then mid-sides, first "
        "that to the edge of the deck and that across from it.",
        most=MANY,
    )
    blocking = objects(BlockBuiltForm, "Block", "What the others need.")


class HandrailBuiltForm(Reply):
    """A handrail of a flight, over the top nosing to over the lowest one."""

    side = Choice("As seen going up.", *HANDS)
    length, length_text = named("Along the slope, down to the mark.")
    height, height_text = named("Plumb above the line of nosings.")
    brackets, brackets_text = listed("From its upper end, along the slope.")
    returns = Tally("How many of its ends are returned.")


class FlightBuiltForm(Reply):
    """A flight as built."""

    id = text("The caller's.", example="front")
    level = text("The level that it goes down from.", example="main")
    opening = text("level/opening.", example="main/steps")
    pitch = Measure("Of the line of nosings.", "angle")
    rise = Measure("Total rise.")
    risers = Tally("How many.")
    riser = Measure("Height of one riser: rise over risers.")
    going = Measure("Going of a tread, nosing to nosing in plan.")
    nosing = Measure("A tread's projection past the riser below.")
    clear_width, clear_width_text = named("At its head, face to face at the narrowest.")
    outside_width, outside_width_text = named(
        "What a guard needs of a tread beside the clear width."
    )
    into_width, into_width_text = named("How far bases reach into the clear width.")
    guards = Items(Choice("", *HANDS, title="Side"), "As seen going up.", most=2)
    height, height_text = named("Of its guards, plumb above the line of nosings.")
    posts = ids("Left side before right, each from head to foot.")
    bays = ids("Likewise.")
    handrails = Items(
        Inner(HandrailBuiltForm, title="Handrail"), "Left before right, as seen going up.", most=2
    )
    triangle = Measure(
        "Diameter of the largest circle between riser, tread and bottom rail.", required=False
    )
    drop = Measure("What its rise must come to.", required=False)
    to_level = text("The level that it goes down to.", required=False, example="lower")


class LeafForm(Reply):
    """A gate's leaf."""

    width, width_text = named("Down to the mark.")
    height, height_text = named("Down to the mark; from the kit's bottom gap to the guard's top.")


class GateBuiltForm(Reply):
    """A gate. Places in its leaf are from the leaf's first side, counter-clockwise."""

    opening = text("level/opening.", example="main/gate")
    leaf = Inner(LeafForm)
    rails = Inner(RailCutForm, "Its top and its bottom rail alike.")
    infill = Choice("What its leaf is filled with.", *INFILLS)
    pickets = Inner(PicketsForm, required=False)
    glass = Inner(BayGlassForm, required=False)
    hinge_post = text("Left out at a wall.", required=False, example="P2")
    latch_post = text("Left out at a wall.", required=False, example="P3")
    opens = Choice("Which way it swings.", "in", "out")
    flight = text("The one that goes down from it.", required=False, example="front")
    swings_into = ids("What its leaf would meet.", required=False)


class BlockingForm(Reply):
    """Equal pieces of blocking."""

    length, length_text = named("Length of the longest edge.")
    count = Tally("How many pieces; each ply is one.")
    end_cuts = end_cuts()
    ends_lean = ends_lean()
    posts = ids("Under which posts.")
