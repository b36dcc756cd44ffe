"""Wire: forms of the layout document for what is built: posts, runs, bays, openings (section 7)."""

from __future__ import annotations

from service.core import limits
from service.core.records.deck import HANDS, INFILLS
from service.wire.forms.flight_reply import PostFramingForm
from service.wire.forms.infill_reply import BayGlassForm, PicketsForm, RailCutForm
from service.wire.forms.nested import Inner, Items
from service.wire.forms.points import PointBuilt
from service.wire.forms.reply import (
    Measure,
    Reply,
    Tally,
    ids,
    listed,
    named,
    points,
    post_id,
    text,
)
from service.wire.forms.strict import Choice, Flag, Number


class PostBuiltForm(Reply):
    """A post."""

    id = text("P1, P2, ...", example="P1")
    role = Choice("What kind of post it is.", "end", "corner", "line", "stair", "gate")
    level = text(
        "The level that it stands on; past the head of a flight the one that this goes down from.",
        example="main",
    )
    at = PointBuilt("Its centre in plan, [x, y] in the document's unit.")
    turned = Number("Degrees from +x to its face, 0 to 90.", least=0, most=90, example=45)
    height, height_text = named(
        "The greatest top of any rail or gate's leaf that meets it, at its centre, above the "
        "surface that it stands on."
    )
    stock_height, stock_height_text = named(
        "The least of the kit's heights that reaches it; left out where none does.", required=False
    )
    base = points("Corners of its base in plan.")
    parts = ids("Roles of parts that this post needs besides.", required=False)
    flight = text("The flight that it stands on.", required=False, example="front")
    framing = Inner(PostFramingForm, "Left out where the level gives none.", required=False)


class RunForm(Reply):
    """A straight stretch between two terminals, counter-clockwise round the outline."""

    id = text("R1, R2, ...", example="R1")
    level = text("Its level.", example="main")
    edge = Tally("The caller's number of its (first) edge.", example=0)
    flight = text(
        "The flight that it goes down; marks are in plan.", required=False, example="front"
    )
    from_ = post_id("The post at its start; null at a wall or an obstruction.", name="from")
    to = post_id("The post at its end; null at a wall or an obstruction.")
    length, length_text = named("Terminal to terminal: post centres or wall faces.")
    marks, marks_text = listed("Post centres and wall faces from the run's start, on the grid.")


class BayForm(Reply):
    """One opening between two posts, or a wall and a post, with its rails and infill.

    Places in it are measured from its first clear face.
    """

    id = text("B1, B2, ...", example="B1")
    run = text("The run that it is part of.", example="R1")
    flight = text("The flight that it is part of.", required=False, example="front")
    from_ = post_id("The post at its start; null at a wall or an obstruction.", name="from")
    to = post_id("The post at its end; null at a wall or an obstruction.")
    infill = Choice("What stands between its rails.", *INFILLS)
    height, height_text = named(
        "Guard height: from the walking surface to the top of the rail; in a flight plumb above "
        "the line of nosings."
    )
    centres = Measure("Spacing: post centre to post centre, or to the wall's face.")
    clear = Measure("Clear opening, face to face.")
    measured = Flag("Whether it was measured on site.")
    ends = Items(
        Choice("", "socket", "swivel", "wall", "rake", title="End"),
        "What holds the rails at its start and at its end.",
        least=2,
        most=2,
    )
    pitch = Measure("Slope of its rails; 0 on a level.", "angle")
    centres_slope = Measure(
        "In a flight: spacing along the slope.", title="Centres along the slope", required=False
    )
    clear_slope = Measure(
        "In a flight: clear opening along the slope.", title="Clear along the slope", required=False
    )
    end_cut = Measure(
        "In a flight: between a rail's plumb ends, which are parallel, and its length.",
        "angle",
        required=False,
    )
    falls = Choice(
        "In a flight: the side it falls to, as seen from outside it.", *HANDS, required=False
    )
    top_rail = Inner(RailCutForm)
    bottom_rail = Inner(RailCutForm)
    rail_supports, rail_supports_text = listed(
        "Centres of the feet, from the bay's first clear face.", required=False
    )
    weep_holes, weep_holes_text = listed(
        "Centres of the weep holes, from the bay's first clear face.", required=False
    )
    pickets = Inner(PicketsForm, required=False)
    glass = Inner(BayGlassForm, required=False)
    parts = ids("Roles of parts that this bay needs besides.", required=False)


class OpeningBuiltForm(Reply):
    """An opening as built, seen counter-clockwise."""

    opening = text("level/opening.", example="main/steps")
    level = text("Its level.", example="main")
    edge = Tally("The caller's number of its edge.")
    use = Choice("What it is for.", "stair", "gate", "passage")
    asked_width = Measure("The clear width that was asked for.")
    clear_width, clear_width_text = named(
        "The clear width that results, face to face at the narrowest."
    )
    from_ = post_id(
        "The post at its start; null where a wall or an obstruction is the jamb.", name="from"
    )
    to = post_id("The post at its end; null where a wall or an obstruction is the jamb.")
    hinge_post = text(
        "The post that a gate hangs on; left out at a wall.", required=False, example="P2"
    )
    latch_post = text(
        "The post that a gate latches to; left out at a wall.", required=False, example="P3"
    )
    opens = Choice("Which way a gate swings.", "in", "out", required=False)


class SurveyedSideForm(Reply):
    """A side of an outline that was measured by tape."""

    edge = Tally("Its number.", example=0)
    length, length_text = named("From corner to corner, a bowed edge by its chord.")


class SurveyedForm(Reply):
    """An outline that was measured by tape, with what the gap was spread to and the side that was
    left out come to: lay a tape on it."""

    level = text("Its level.", example="main")
    corners = points("In plan, in the order of the edges.")
    sides = Items(Inner(SurveyedSideForm, title="Side"), "Every side.", most=limits.CORNERS)
