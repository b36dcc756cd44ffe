"""Wire: the form of the layout document (contract, section 7), for readers of replies.

It is open: members may be added within version 1.
"""

from __future__ import annotations

from typing import Any, Final

from marshmallow import EXCLUDE

from service.core import limits
from service.wire.deck_form import STEPS
from service.wire.nested import Inner, Items, Point, Record
from service.wire.strict import Choice, Count, Flag, Number, NumberChoice, Strict, Text

MANY: Final = 1_000_000
SENTENCES: Final = 100_000
IDS: Final = ["B1", "B2"]


class Reply(Record):
    """An object of a reply."""

    class Meta:
        """Members may be added."""

        unknown = EXCLUDE


class Measure(Number):
    """A number of a reply, of any sign and size."""

    def __init__(self, title: str, about: str = "", **more: Any) -> None:
        super().__init__(title, about, most=None, **more)


class PostId(Strict):
    """The id of a post, or null at a wall."""

    accepts = "the id of a post, or null"

    def __init__(self, title: str, about: str = "", **more: Any) -> None:
        super().__init__(title, about, allow_none=True, **more)

    def published(self, converter: Any) -> dict[str, Any]:
        """A string or null."""
        return {"type": ["string", "null"]}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        return value


class Bound(Strict):
    """What a finding compares: a number, or words."""

    accepts = "a number or words"

    def published(self, converter: Any) -> dict[str, Any]:
        """A number or a string."""
        return {"type": ["number", "string"]}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise self.fault("wrong_type")
        return value


def _text(title: str, about: str = "", **more: Any) -> Text:
    return Text(title, about, least=0, most=SENTENCES, **more)


def _tape(what: str, **more: Any) -> Text:
    return _text(
        f"{what}, text", "The tape reading.", metadata={"examples": ["4' 7 1/2\""]}, **more
    )


def _tapes(what: str, **more: Any) -> Items:
    return Items(
        _text("Tape reading"), f"{what}, text", "The tape readings, one each.", most=MANY, **more
    )


def _measures(title: str, about: str, **more: Any) -> Items:
    return Items(Measure("Place"), title, about, most=MANY, **more)


def _ids(title: str, about: str, **more: Any) -> Items:
    return Items(_text("Id"), title, about, most=MANY, **more)


def _points(title: str, about: str) -> Items:
    return Items(Point("Corner"), title, about, most=MANY)


class UnitsForm(Reply):
    """Units of every kind of number in the reply."""

    length = Choice("Length", "", "in", "mm")
    angle = Choice("Angle", "Counter-clockwise positive.", "degrees")
    area = Choice("Area", "", "sq ft", "m2")
    mass = Choice("Mass", "", "lb", "kg")
    force = Choice("Force", "", "lbf", "N")
    stress = Choice("Stress", "", "psi", "MPa")


class UsedKitForm(Reply):
    """The kit that was built from."""

    id = _text("Id")
    title = _text("Title")


class UsedCodeForm(Reply):
    """The code that was judged by."""

    id = _text("Id")
    title = _text("Title")
    edition = _text("Edition")


class SummaryForm(Reply):
    """The job in numbers."""

    posts = Count("Posts", "", most=None)
    bays = Count("Bays", "", most=None)
    runs = Count("Runs", "", most=None)
    railing_length = Measure("Railing length", "The runs that hold a bay, terminal to terminal.")
    pickets = Count("Pickets", "", most=None)
    glass_panels = Count("Glass panels", "", most=None)
    violations = Count("Violations", "Findings that fail against a rule that binds.", most=None)
    warnings = Count("Warnings", "Findings that fail against good practice.", most=None)
    not_checked = Count("Not checked", "Findings for which something is not known.", most=None)


class PostBuiltForm(Reply):
    """A post."""

    id = _text("Id", "P1, P2, ...", metadata={"examples": ["P1"]})
    role = Choice("Role", "What it does.", "end", "corner", "line", "stair", "gate")
    level = _text("Level", "The level that it stands on.")
    at = Point("At", "Its centre in plan, [x, y] in the document's unit.")
    turned = Number("Turned", "Degrees from +x to its face, 0 to 90.", least=0, most=90)
    height = Measure("Height", "The greatest guard height that meets it.")
    height_text = _tape("Height")
    stock_height = Measure(
        "Stock height",
        "The least of the kit's heights that reaches it; left out where none does.",
        required=False,
    )
    stock_height_text = _tape("Stock height", required=False)
    base = _points("Base", "Corners of its base in plan.")
    parts = _ids("Parts", "Roles of parts that this post needs besides.", required=False)


class RunForm(Reply):
    """A straight stretch between two terminals, counter-clockwise round the outline."""

    id = _text("Id", "R1, R2, ...", metadata={"examples": ["R1"]})
    level = _text("Level", "Its level.")
    edge = Count("Edge", "The caller's number of its (first) edge.", most=None)
    from_ = PostId("From", "The post at its start; null at a wall.", name="from")
    to = PostId("To", "The post at its end; null at a wall.")
    length = Measure("Length", "Terminal to terminal: post centres or wall faces.")
    length_text = _tape("Length")
    marks = _measures("Marks", "Post centres and wall faces from the run's start, on the grid.")
    marks_text = _tapes("Marks")


class RailCutForm(Reply):
    """A rail of a bay."""

    cut = Measure("Cut", "Length to cut it to, rounded down to the mark.")
    cut_text = _tape("Cut")


class SpacerForm(Reply):
    """Pieces of spacer in one rail of a bay."""

    rail = Choice("Rail", "", "top", "bottom")
    length = Measure("Length", "Length to cut them to.")
    length_text = _tape("Length")
    count = Count("Count", "How many.", most=None)


class PicketsForm(Reply):
    """The pickets of a bay."""

    count = Count("Count", "How many.", most=None)
    length = Measure("Length", "Length to cut them to.")
    length_text = _tape("Length")
    gap = Measure("Gap", "Clear, between two.")
    end_gap = Measure("End gap", "Clear, from a post's face to the nearest picket.")
    end_gap_text = _tape("End gap")
    centres = _measures("Centres", "From the bay's first clear face.")
    centres_text = _tapes("Centres")
    spacers = Items(Inner(SpacerForm, "Spacer"), "Spacers", "", most=MANY, required=False)


class BayGlassForm(Reply):
    """The panel of a bay."""

    width = Measure("Width", "Width of the panel, rounded down to the mark.")
    width_text = _tape("Width")
    height = Measure("Height", "Height of the panel, rounded down to the mark.")
    height_text = _tape("Height")
    thickness = Measure("Thickness", "Nominal thickness.")
    type = _text("Type", "What glass it is.")
    corners = _points("Corners", "Seen from outside, x right and y up, counter-clockwise from 0,0.")
    area = Measure("Area", "sq ft in inch documents, m2 in millimetre ones.")
    mass = Measure("Mass", "lb in inch documents, kg in millimetre ones.")
    side_gap = Measure("Side gap", "Post face to panel edge, in this bay.")
    blocks = _measures("Blocks", "Centres of the setting blocks, from the panel's own first end.")
    blocks_text = _tapes("Blocks")


class BayForm(Reply):
    """One opening between two posts, or a wall and a post, with its rails and infill.

    Places in it are measured from its first clear face.
    """

    id = _text("Id", "B1, B2, ...", metadata={"examples": ["B1"]})
    run = _text("Run", "The run that it is part of.")
    from_ = PostId("From", "The post at its start; null at a wall.", name="from")
    to = PostId("To", "The post at its end; null at a wall.")
    infill = Choice("Infill", "", "picket", "glass")
    height = Measure("Height", "Guard height, walking surface to the top of the rail.")
    height_text = _tape("Height")
    centres = Measure("Centres", "Spacing: post centre to post centre, or to the wall's face.")
    clear = Measure("Clear", "Face to face.")
    measured = Flag("Measured", "Whether it was measured on site.")
    ends = Items(
        Choice("End", "", "socket", "swivel", "wall", "rake"),
        "Ends",
        "What the rails are held by at its start and at its end.",
        least=2,
        most=2,
    )
    pitch = Measure("Pitch", "Degrees; 0 on a level.")
    top_rail = Inner(RailCutForm, "Top rail")
    bottom_rail = Inner(RailCutForm, "Bottom rail")
    rail_supports = _measures("Rail supports", "Centres of the feet.", required=False)
    rail_supports_text = _tapes("Rail supports", required=False)
    weep_holes = _measures("Weep holes", "Centres of the drain holes.", required=False)
    weep_holes_text = _tapes("Weep holes", required=False)
    pickets = Inner(PicketsForm, "Pickets", required=False)
    glass = Inner(BayGlassForm, "Glass", required=False)


class OpeningBuiltForm(Reply):
    """An opening as built, seen counter-clockwise."""

    opening = _text("Opening", "level/opening.", metadata={"examples": ["main/steps"]})
    level = _text("Level", "Its level.")
    edge = Count("Edge", "The caller's number of its edge.", most=None)
    use = Choice("Use", "", "stair", "gate", "passage")
    asked_width = Measure("Asked width", "The clear width that was asked for.")
    clear_width = Measure("Clear width", "The clear width that results, face to face.")
    clear_width_text = _tape("Clear width")
    from_ = PostId("From", "The post at its start; null where a wall is the jamb.", name="from")
    to = PostId("To", "The post at its end; null where a wall is the jamb.")
    hinge_post = _text("Hinge post", "Of a gate; left out at a wall.", required=False)
    latch_post = _text("Latch post", "Of a gate; left out at a wall.", required=False)
    opens = Choice("Opens", "Of a gate.", "in", "out", required=False)


class CutForm(Reply):
    """Equal pieces of one part."""

    part = _text("Part", "Its role.", metadata={"examples": ["top_rail_picket"]})
    length = Measure("Length", "Length to cut them to.")
    length_text = _tape("Length")
    count = Count("Count", "How many.", most=None)
    end_cuts = Items(
        Measure("Angle"), "End cuts", "Degrees between each end and the length.", least=2, most=2
    )
    bays = _ids("Bays", "Where they go.", metadata={"examples": [IDS]})


class PanelForm(Reply):
    """Equal panels of the glass order."""

    mark = _text("Mark", "G1, G2, ...", metadata={"examples": ["G1"]})
    width = Measure("Width", "Width of the panel.")
    width_text = _tape("Width")
    height = Measure("Height", "Height of the panel.")
    height_text = _tape("Height")
    thickness = Measure("Thickness", "Nominal thickness.")
    type = _text("Type", "What glass it is.")
    corners = _points("Corners", "Seen from outside, x right and y up, counter-clockwise from 0,0.")
    measured = Flag("Measured", "Whether its openings were measured on site.")
    count = Count("Count", "How many.", most=None)
    bays = _ids("Bays", "Where they go.", metadata={"examples": [IDS]})
    area = Measure("Area", "Of one; sq ft in inch documents, m2 in millimetre ones.")
    mass = Measure("Mass", "Of one; lb in inch documents, kg in millimetre ones.")


class FindingForm(Reply):
    """One verdict of one rule. It defers to the local building authority."""

    rule = _text(
        "Rule", "Its name; names keep their meaning.", metadata={"examples": ["guard_height"]}
    )
    cite = _text("Cite", "The clause, or the kit's id.", required=False)
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
        "Limit", "The figure that decides: a length, an area, degrees or words.", required=False
    )
    actual = Bound("Actual", "What the layout has; the worst of several places.", required=False)
    published = Bound("Published", "An amended limit as the code prints it.", required=False)
    amended = Flag("Amended", "Whether the local authority's figure decided.")
    where = _ids("Where", "Ids and places that it holds for.", metadata={"examples": [["B1"]]})
    message = _text("Message", "What was found, in a sentence.")


class LayoutForm(Reply):
    """A deck laid out: posts, runs, bays, cuts, glass and findings.

    Lengths are in the document's unit. Beside every number that a person cuts, orders or marks
    to stands the tape reading. A member that does not apply is left out.
    """

    release = _text("Release", "Of the service; a later one may move numbers.")
    digest = Text(
        "Digest",
        "sha256 of the RFC 8785 canonical form of {release, request}, the request as sent with "
        "kit and code ids replaced by their documents.",
        least=71,
        most=71,
    )
    title = _text("Title", "The deck's.", required=False)
    unit = Choice("Unit", "Of every length.", "in", "mm")
    precision = NumberChoice("Precision", "The smallest mark.", *STEPS)
    units = Inner(UnitsForm, "Units")
    kit = Inner(UsedKitForm, "Kit")
    code = Inner(UsedCodeForm, "Code", required=False)
    summary = Inner(SummaryForm, "Summary")
    posts = Items(Inner(PostBuiltForm, "Post"), "Posts", "", most=MANY)
    runs = Items(Inner(RunForm, "Run"), "Runs", "", most=MANY)
    bays = Items(Inner(BayForm, "Bay"), "Bays", "", most=limits.BAYS)
    openings = Items(Inner(OpeningBuiltForm, "Opening"), "Openings", "", most=MANY)
    cut_list = Items(
        Inner(CutForm, "Cut"), "Cut list", "Equal pieces of a part in one row.", most=MANY
    )
    glass_order = Items(
        Inner(PanelForm, "Panel"), "Glass order", "Equal panels in one row.", most=MANY
    )
    findings = Items(
        Inner(FindingForm, "Finding"),
        "Findings",
        "Violations first, then warnings, what was not checked, and what passes.",
        most=MANY,
    )
    cautions = Items(_text("Caution"), "Cautions", "Plain words to whoever builds.", most=MANY)
