"""Wire: the form of the layout document (contract, section 7). Its larger parts have modules of
their own (`railing_reply`, `flight_reply`, `infill_reply`, `finding_reply`, `order_reply`)."""

from __future__ import annotations

from service import RELEASE
from service.core import limits
from service.wire.forms.advice import AdviceForm
from service.wire.forms.deck import STEPS
from service.wire.forms.finding_reply import CoverageForm, FindingForm
from service.wire.forms.flight_reply import BlockingForm, FlightBuiltForm, GateBuiltForm
from service.wire.forms.nested import Inner, Items
from service.wire.forms.order_reply import (
    ComparisonForm,
    CutForm,
    PanelForm,
    PartRowForm,
    QuoteForm,
    StockPlanForm,
)
from service.wire.forms.railing_reply import (
    BayForm,
    OpeningBuiltForm,
    PostBuiltForm,
    RunForm,
    SurveyedForm,
)
from service.wire.forms.reply import MANY, Measure, Reply, Tally, objects, text
from service.wire.forms.strict import Choice, NumberChoice, Text


class UnitsForm(Reply):
    """Units of every kind of number in the reply."""

    length = Choice("Of every length.", "in", "mm")
    angle = Choice("Of every angle, counter-clockwise positive.", "degrees")
    area = Choice("Of every area.", "sq ft", "m2")
    mass = Choice("Of every mass.", "lb", "kg")
    force = Choice("Of every force.", "lbf", "N")
    stress = Choice("Of every stress.", "psi", "MPa")


class UsedKitForm(Reply):
    """The kit that was built from."""

    id = text("Its id.", example="picket-glass-surface-in")
    title = text(
        "What it is, by its construction.", example="Surface-mounted pickets and glass, inches"
    )


class UsedCodeForm(Reply):
    """The code that was judged by."""

    id = text("Its id.", example="us-irc-2021")
    title = text("The code's own title.", example="International Residential Code")
    edition = text("Which edition, and the amendments taken in.", example="2021")


class SummaryForm(Reply):
    """The job in numbers."""

    posts = Tally("Posts of levels and of flights.")
    bays = Tally("Bays that have rails.")
    runs = Tally("Straight stretches between two terminals.")
    railing_length = Measure("Length of the runs that hold a bay, terminal to terminal in plan.")
    pickets = Tally("In bays and in gates.")
    glass_panels = Tally("In bays and in gates.")
    violations = Tally("Findings that fail against a rule that binds.")
    warnings = Tally("Findings that fail against good practice, and open sides of flights.")
    not_checked = Tally("Findings that could not be judged, as something is not known.")
    checked = Tally("Findings that pass or fail.")


class LayoutForm(Reply):
    """A deck laid out: posts, runs, bays, cuts, glass and findings.

    Lengths are in the document's unit. Beside every number that a person cuts, orders or marks
    to stands the tape reading. A member that does not apply is left out. Whole ones stand in
    `schema/examples`.
    """

    release = text("Of the service; a later one may move numbers.", example=RELEASE)
    digest = Text(
        "sha256 of the RFC 8785 canonical form of {release, request}, the request as sent with "
        "kit and code ids replaced by their documents.",
        least=71,
        most=71,
        example="sha256:0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef",
    )
    title = text("The deck's.", required=False, example="Back deck")
    unit = Choice("Of every length.", "in", "mm")
    precision = NumberChoice("The smallest mark, in the document's unit.", *STEPS, example=0.0625)
    units = Inner(UnitsForm)
    kit = Inner(UsedKitForm)
    code = Inner(UsedCodeForm, required=False)
    summary = Inner(SummaryForm)
    posts = objects(
        PostBuiltForm,
        "Post",
        "Every post, with where it stands: level by level, edge by edge; then flights.",
    )
    runs = objects(RunForm, "Run", "Every run, with its marks, in the order of the posts.")
    bays = Items(
        Inner(BayForm, title="Bay"),
        "Every bay, with its cuts and its infill, in the order of the posts.",
        most=limits.BAYS,
    )
    openings = objects(
        OpeningBuiltForm, "Opening", "Every opening, with its clear width and the posts beside it."
    )
    surveyed = Items(
        Inner(SurveyedForm, title="Outline"),
        "The outlines of levels that were measured by tape, a walk or ties, as they are laid out.",
        most=limits.LEVELS,
        required=False,
    )
    flights = objects(
        FlightBuiltForm,
        "Flight",
        "Every flight, with its slope, its posts and its handrails.",
        required=False,
    )
    gates = objects(
        GateBuiltForm,
        "Gate",
        "Every gate, with its leaf and what it would swing into.",
        required=False,
    )
    blocking = objects(
        BlockingForm,
        "Blocking",
        "Equal pieces in one row; left out where no level gives its framing.",
        required=False,
    )
    cut_list = objects(CutForm, "Cut", "Equal pieces of a part in one row.")
    stock_plan = objects(StockPlanForm, "Plan", "Whole sticks, part by part.")
    glass_order = objects(PanelForm, "Panel", "Equal panels in one row.")
    parts = objects(PartRowForm, "Part", "All that is to be bought, once.")
    quote = Inner(QuoteForm, "Left out where no prices were given.", required=False)
    findings = objects(
        FindingForm,
        "Finding",
        "Violations first, then warnings, what was not checked, and what passes.",
    )
    coverage = objects(
        CoverageForm,
        "Figure",
        "Each figure of the code, whether it was judged here and if not why; left out without a "
        "code.",
        required=False,
    )
    advice = objects(
        AdviceForm,
        "Advice",
        "Where `advise` asked for it: one for each failing rule that there are changes to try for.",
        required=False,
    )
    comparison = objects(
        ComparisonForm,
        "Variant",
        "A line for each variant of `compare`, in its order.",
        required=False,
    )
    cautions = Items(text(title="Caution"), "Plain words to whoever builds.", most=MANY)
