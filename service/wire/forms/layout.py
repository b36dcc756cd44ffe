"""Wire: the form of the layout document (contract, section 7), for readers of replies."""

from __future__ import annotations

from typing import Final

from service import RELEASE
from service.core import limits
from service.core.records.deck import HANDS
from service.wire.forms.advice import AdviceForm
from service.wire.forms.coverage import CoverageForm
from service.wire.forms.deck import STEPS
from service.wire.forms.flight_reply import (
    BlockingForm,
    FlightBuiltForm,
    GateBuiltForm,
    PostFramingForm,
)
from service.wire.forms.infill_reply import BayGlassForm, PicketsForm, RailCutForm
from service.wire.forms.nested import Inner, Items
from service.wire.forms.order_reply import (
    ComparisonForm,
    PanelForm,
    PartRowForm,
    QuoteForm,
    StockPlanForm,
)
from service.wire.forms.reply import (
    MANY,
    Bound,
    Measure,
    PostId,
    Reply,
    end_cuts,
    ids,
    measures,
    place,
    points,
    tape,
    tapes,
    text,
)
from service.wire.forms.strict import Choice, Count, Flag, Number, NumberChoice, Text

IDS: Final = ["B1", "B2"]


class UnitsForm(Reply):
    """Units of every kind of number in the reply."""

    length = Choice("Length", "Of every length.", "in", "mm")
    angle = Choice("Angle", "Of every angle, counter-clockwise positive.", "degrees")
    area = Choice("Area", "Of every area.", "sq ft", "m2")
    mass = Choice("Mass", "Of every mass.", "lb", "kg")
    force = Choice("Force", "Of every force.", "lbf", "N")
    stress = Choice("Stress", "Of every stress.", "psi", "MPa")


class UsedKitForm(Reply):
    """The kit that was built from."""

    id = text("Id", "Its id.", example="picket-glass-surface-in")
    title = text(
        "Title",
        "What it is, by its construction.",
        example="Surface-mounted pickets and glass, inches",
    )


class UsedCodeForm(Reply):
    """The code that was judged by."""

    id = text("Id", "Its id.", example="us-irc-2021")
    title = text("Title", "The code's own title.", example="International Residential Code")
    edition = text("Edition", "Which edition, and the amendments taken in.", example="2021")


class SummaryForm(Reply):
    """The job in numbers."""

    posts = Count("Posts", "Posts of levels and of flights.", most=None)
    bays = Count("Bays", "Bays that have rails.", most=None)
    runs = Count("Runs", "Straight stretches between two terminals.", most=None)
    railing_length = Measure(
        "Railing length", "Length of the runs that hold a bay, terminal to terminal in plan."
    )
    pickets = Count("Pickets", "In bays and in gates.", most=None)
    glass_panels = Count("Glass panels", "In bays and in gates.", most=None)
    violations = Count("Violations", "Findings that fail against a rule that binds.", most=None)
    warnings = Count(
        "Warnings",
        "Findings that fail against good practice, and open sides of flights.",
        most=None,
    )
    not_checked = Count(
        "Not checked", ("Findings that could not be judged, as something is not known."), most=None
    )
    checked = Count("Checked", "Findings that pass or fail.", most=None)


class PostBuiltForm(Reply):
    """A post."""

    id = text("Id", "P1, P2, ...", example="P1")
    role = Choice("Role", "What kind of post it is.", "end", "corner", "line", "stair", "gate")
    level = text("Level", "The level that it stands on.", example="main")
    at = place("At", "Its centre in plan, [x, y] in the document's unit.")
    turned = Number("Turned", "Degrees from +x to its face, 0 to 90.", least=0, most=90, example=45)
    height = Measure(
        "Height",
        "The greatest top of any rail or gate's leaf that meets it, at its centre, above the "
        "surface that it stands on.",
    )
    height_text = tape("Height")
    stock_height = Measure(
        "Stock height",
        "The least of the kit's heights that reaches it; left out where none does.",
        required=False,
    )
    stock_height_text = tape("Stock height", required=False)
    base = points("Base", "Corners of its base in plan.")
    parts = ids("Parts", "Roles of parts that this post needs besides.", required=False)
    flight = text("Flight", "The flight that it stands on.", required=False, example="front")
    framing = Inner(
        PostFramingForm, "Framing", "Left out where the level gives none.", required=False
    )


class RunForm(Reply):
    """A straight stretch between two terminals, counter-clockwise round the outline."""

    id = text("Id", "R1, R2, ...", example="R1")
    level = text("Level", "Its level.", example="main")
    edge = Count("Edge", "The caller's number of its (first) edge.", most=None, example=0)
    flight = text(
        "Flight",
        "The flight that it goes down; marks are in plan.",
        required=False,
        example="front",
    )
    from_ = PostId("From", "The post at its start; null at a wall.", name="from")
    to = PostId("To", "The post at its end; null at a wall.")
    length = Measure("Length", "Terminal to terminal: post centres or wall faces.")
    length_text = tape("Length")
    marks = measures("Marks", "Post centres and wall faces from the run's start, on the grid.")
    marks_text = tapes("Marks")


class BayForm(Reply):
    """One opening between two posts, or a wall and a post, with its rails and infill.

    Places in it are measured from its first clear face.
    """

    id = text("Id", "B1, B2, ...", example="B1")
    run = text("Run", "The run that it is part of.", example="R1")
    flight = text("Flight", "The flight that it is part of.", required=False, example="front")
    from_ = PostId("From", "The post at its start; null at a wall.", name="from")
    to = PostId("To", "The post at its end; null at a wall.")
    infill = Choice("Infill", "What stands between its rails.", "picket", "glass")
    height = Measure(
        "Height",
        "Guard height: from the walking surface to the top of the rail; in a flight plumb above "
        "the line of nosings.",
    )
    height_text = tape("Height")
    centres = Measure("Centres", "Spacing: post centre to post centre, or to the wall's face.")
    clear = Measure("Clear", "Clear opening, face to face.")
    measured = Flag("Measured", "Whether it was measured on site.")
    ends = Items(
        Choice("End", "", "socket", "swivel", "wall", "rake"),
        "Ends",
        "What holds the rails at its start and at its end.",
        least=2,
        most=2,
    )
    pitch = Measure("Pitch", "Slope of its rails; 0 on a level.", "angle")
    centres_slope = Measure(
        "Centres along the slope", "In a flight: spacing along the slope.", required=False
    )
    clear_slope = Measure(
        "Clear along the slope", "In a flight: clear opening along the slope.", required=False
    )
    end_cut = Measure(
        "End cut",
        "In a flight: between a rail's plumb ends, which are parallel, and its length.",
        "angle",
        required=False,
    )
    falls = Choice(
        "Falls",
        "In a flight: the side it falls to, as seen from outside it.",
        *HANDS,
        required=False,
    )
    top_rail = Inner(RailCutForm, "Top rail")
    bottom_rail = Inner(RailCutForm, "Bottom rail")
    rail_supports = measures(
        "Rail supports", "Centres of the feet, from the bay's first clear face.", required=False
    )
    rail_supports_text = tapes("Rail supports", required=False)
    weep_holes = measures(
        "Weep holes", "Centres of the drain holes, from the bay's first clear face.", required=False
    )
    weep_holes_text = tapes("Weep holes", required=False)
    pickets = Inner(PicketsForm, "Pickets", required=False)
    glass = Inner(BayGlassForm, "Glass", required=False)
    parts = ids("Parts", "Roles of parts that this bay needs besides.", required=False)


class SurveyedSideForm(Reply):
    """A side of an outline that was measured by tape."""

    edge = Count("Edge", "Its number.", most=None, example=0)
    length = Measure("Length", "From corner to corner, a bowed edge by its chord.")
    length_text = tape("Length")


class SurveyedForm(Reply):
    """An outline that was measured by tape, with what the gap was spread to and the side that was
    left out come to: lay a tape on it."""

    level = text("Level", "Its level.", example="main")
    corners = points("Corners", "In plan, in the order of the edges.")
    sides = Items(Inner(SurveyedSideForm, "Side"), "Sides", "Every side.", most=limits.CORNERS)


class OpeningBuiltForm(Reply):
    """An opening as built, seen counter-clockwise."""

    opening = text("Opening", "level/opening.", example="main/steps")
    level = text("Level", "Its level.", example="main")
    edge = Count("Edge", "The caller's number of its edge.", most=None)
    use = Choice("Use", "What it is for.", "stair", "gate", "passage")
    asked_width = Measure("Asked width", "The clear width that was asked for.")
    clear_width = Measure(
        "Clear width", "The clear width that results, face to face at the narrowest."
    )
    clear_width_text = tape("Clear width")
    from_ = PostId("From", "The post at its start; null where a wall is the jamb.", name="from")
    to = PostId("To", "The post at its end; null where a wall is the jamb.")
    hinge_post = text(
        "Hinge post",
        "The post that a gate hangs on; left out at a wall.",
        required=False,
        example="P2",
    )
    latch_post = text(
        "Latch post",
        "The post that a gate latches to; left out at a wall.",
        required=False,
        example="P3",
    )
    opens = Choice("Opens", "Which way a gate swings.", "in", "out", required=False)


class CutForm(Reply):
    """Equal pieces of one part."""

    part = text("Part", "Its role.", example="top_rail_picket")
    length = Measure("Length", "Length to cut them to.")
    length_text = tape("Length")
    count = Count("Count", "How many.", most=None)
    end_cuts = end_cuts()
    blank = Measure(
        "Blank", "Of raked pieces, whose ends are parallel: what each is cut from.", required=False
    )
    blank_text = tape("Blank", required=False)
    bays = ids("Bays", "Where they go.", example=IDS)


class FindingForm(Reply):
    """One verdict of one rule. It defers to the local building authority."""

    rule = text("Rule", "Its name; names keep their meaning.", example="guard_height")
    cite = text("Cite", "The clause, or the kit's id.", required=False, example="IRC 2021 R312.1.2")
    source = Choice("Source", "Whose rule it is.", "code", "kit", "engineering", "survey")
    result = Choice(
        "Result", "`not_checked` says why in its message.", "pass", "fail", "not_checked"
    )
    severity = Choice(
        "Severity",
        "What it means for the job as it stands; a pass or a not_checked is a note.",
        "violation",
        "warning",
        "note",
    )
    limit = Bound(
        "Limit",
        "The figure that decides: a length, an area, degrees, words or a capacity.",
        required=False,
    )
    actual = Bound("Actual", "What the layout has; the worst of several places.", required=False)
    published = Bound("Published", "An amended limit as the code prints it.", required=False)
    ratio = Measure(
        "Ratio",
        "Of the strength check: demand over capacity, 1 at the limit.",
        "plain",
        required=False,
    )
    unit = text(
        "Unit",
        "Of the strength check: what `limit` (capacity) and `actual` (demand) are in.",
        required=False,
        example="psi",
    )
    case = text(
        "Case",
        "Of the strength check: the load that governs.",
        required=False,
        example="the point load of 200 lbf at the top",
    )
    method = text(
        "Method",
        "Of the strength check: the formula, its source and what it leaves out.",
        required=False,
        example="M = P h, stress M/S",
    )
    amended = Flag("Amended", "Whether the local authority's figure decided.")
    where = ids("Where", "Ids and places that it holds for.", example=["B1"])
    message = text("Message", "What was found, in a sentence.", example="B1: the guard is 3' high.")


class LayoutForm(Reply):
    """A deck laid out: posts, runs, bays, cuts, glass and findings.

    Lengths are in the document's unit. Beside every number that a person cuts, orders or marks
    to stands the tape reading. A member that does not apply is left out. Whole ones stand in
    `schema/examples`.
    """

    release = text("Release", "Of the service; a later one may move numbers.", example=RELEASE)
    digest = Text(
        "Digest",
        "sha256 of the RFC 8785 canonical form of {release, request}, the request as sent with "
        "kit and code ids replaced by their documents.",
        least=71,
        most=71,
        example="sha256:0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef",
    )
    title = text("Title", "The deck's.", required=False, example="Back deck")
    unit = Choice("Unit", "Of every length.", "in", "mm")
    precision = NumberChoice(
        "Precision", "The smallest mark, in the document's unit.", *STEPS, example=0.0625
    )
    units = Inner(UnitsForm, "Units")
    kit = Inner(UsedKitForm, "Kit")
    code = Inner(UsedCodeForm, "Code", required=False)
    summary = Inner(SummaryForm, "Summary")
    posts = Items(
        Inner(PostBuiltForm, "Post"),
        "Posts",
        "Every post, with where it stands: level by level, edge by edge; then flights.",
        most=MANY,
    )
    runs = Items(
        Inner(RunForm, "Run"),
        "Runs",
        "Every run, with its marks, in the order of the posts.",
        most=MANY,
    )
    bays = Items(
        Inner(BayForm, "Bay"),
        "Bays",
        "Every bay, with its cuts and its infill, in the order of the posts.",
        most=limits.BAYS,
    )
    openings = Items(
        Inner(OpeningBuiltForm, "Opening"),
        "Openings",
        "Every opening, with its clear width and the posts beside it.",
        most=MANY,
    )
    surveyed = Items(
        Inner(SurveyedForm, "Outline"),
        "Surveyed",
        "The outlines of levels that were measured by tape, a walk or ties, as they are laid out.",
        most=limits.LEVELS,
        required=False,
    )
    flights = Items(
        Inner(FlightBuiltForm, "Flight"),
        "Flights",
        "Every flight, with its slope, its posts and its handrails.",
        most=MANY,
        required=False,
    )
    gates = Items(
        Inner(GateBuiltForm, "Gate"),
        "Gates",
        "Every gate, with its leaf and what it would swing into.",
        most=MANY,
        required=False,
    )
    blocking = Items(
        Inner(BlockingForm, "Blocking"),
        "Blocking",
        "Equal pieces in one row; left out where no level gives its framing.",
        most=MANY,
        required=False,
    )
    cut_list = Items(
        Inner(CutForm, "Cut"), "Cut list", "Equal pieces of a part in one row.", most=MANY
    )
    stock_plan = Items(
        Inner(StockPlanForm, "Plan"), "Stock plan", "Whole sticks, part by part.", most=MANY
    )
    glass_order = Items(
        Inner(PanelForm, "Panel"), "Glass order", "Equal panels in one row.", most=MANY
    )
    parts = Items(Inner(PartRowForm, "Part"), "Parts", "All that is to be bought, once.", most=MANY)
    quote = Inner(QuoteForm, "Quote", "Left out where no prices were given.", required=False)
    findings = Items(
        Inner(FindingForm, "Finding"),
        "Findings",
        "Violations first, then warnings, what was not checked, and what passes.",
        most=MANY,
    )
    coverage = Items(
        Inner(CoverageForm, "Figure"),
        "Coverage",
        "Each figure of the code, whether it was judged here and if not why; left out without a "
        "code.",
        most=MANY,
        required=False,
    )
    advice = Items(
        Inner(AdviceForm, "Advice"),
        "Advice",
        "Where `advise` asked for it: one for each failing rule that there are changes to try for.",
        most=MANY,
        required=False,
    )
    comparison = Items(
        Inner(ComparisonForm, "Variant"),
        "Comparison",
        "A line for each variant of `compare`, in its order.",
        most=MANY,
        required=False,
    )
    cautions = Items(text("Caution"), "Cautions", "Plain words to whoever builds.", most=MANY)
