"""Wire: the form of the deck document (contract, section 3)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from marshmallow import ValidationError, validates_schema

from service.core import limits
from service.core.measure import PRECISIONS, tidy
from service.wire.code_form import AmendmentsForm, CodeForm
from service.wire.flight_form import FramingForm, SiteMeasureForm, StairForm
from service.wire.kit_form import KitForm
from service.wire.nested import HERE, Inner, Items, OrId, Point, Record
from service.wire.order_form import OnHandForm, PricesForm, VariantForm
from service.wire.strength_form import SiteForm
from service.wire.strict import Choice, Count, Fault, Flag, Length, Name, Number, NumberChoice, Text

FORMS_OF_OUTLINE: Final = ("points", "sides", "ties")
STEPS: Final = sorted({tidy(step, 6) for steps in PRECISIONS.values() for step in steps})
EDGE: Final = (
    "Edge",
    "Number of the edge, from corner i to corner i + 1 as the caller gives them, counted from 0.",
)


class Sides(Items):
    """A tape walk's sides, of which one at most leaves its length out."""

    def published(self, converter: Any) -> dict[str, Any]:
        """A list of which at most one entry has no length."""
        least = {"contains": {"not": {"required": ["length"]}}, "minContains": 0, "maxContains": 1}
        return {**super().published(converter), **least}

    def faults_of_all(self, entries: list[Any]) -> Iterator[Fault]:
        """Also a second side without a length."""
        yield from super().faults_of_all(entries)
        if sum(isinstance(side, dict) and "length" not in side for side in entries) > 1:
            yield Fault("length_missing", "a walk in which one side at most leaves its length out")


class SideForm(Record):
    """One side of a tape walk: its length, then the turn at its end."""

    length = Length(
        "Length",
        "Length of the side. One side at most may leave it out: the one that closes the walk best.",
        required=False,
        metadata={"examples": [240, "12' 6\""]},
    )
    turn = Number(
        "Turn",
        "Turn to the left after the side, in degrees; negative to the right.",
        least=-180,
        most=180,
        required=False,
        metadata={"default": 90, "examples": [90, -90, 45]},
    )


class TieForm(Record):
    """One corner, by its distances from the two ends of the baseline."""

    from_a = Length("From A", "Distance from A, the left end of the wall as seen facing it.")
    from_b = Length("From B", "Distance from B, the right end of the wall as seen facing it.")


class TiesForm(Record):
    """Corners against a straight wall, measured with two tapes from the wall's ends.

    A is (0, 0), B is (baseline, 0) and the corners lie at y < 0. The outline is A, the corners
    in order, B; its last edge is the wall unless `edges` says otherwise.
    """

    baseline = Length("Baseline", "Length of the wall, from A to B.", metadata={"examples": [240]})
    corners = Items(
        Inner(TieForm, "Corner"),
        "Corners",
        "The corners in order, from A round to B.",
        least=1,
        most=limits.CORNERS - 2,
    )


class OutlineForm(Record):
    """The outline of a level, in exactly one of three forms, given in either direction."""

    constraint = {"oneOf": [{"required": [form]} for form in FORMS_OF_OUTLINE]}

    points = Items(
        Point("Corner"),
        "Corners",
        "Three or more corners in order, in plan; the last joins the first.",
        least=3,
        most=limits.CORNERS,
        required=False,
        metadata={"examples": [[[0, 0], [240, 0], [240, 144], [0, 144]]]},
    )
    sides = Sides(
        Inner(SideForm, "Side"),
        "Sides",
        "The tape walk: start at (0, 0) heading along +x; after each side turn left by its turn.",
        least=3,
        most=limits.CORNERS,
        required=False,
    )
    ties = Inner(TiesForm, "Ties", "Two tapes from the ends of a straight wall.", required=False)

    @validates_schema(skip_on_field_errors=False, pass_original=True)
    def one_form(self, _: Any, original: Any, **__: Any) -> None:
        """Exactly one of the three forms."""
        if isinstance(original, dict) and sum(form in original for form in FORMS_OF_OUTLINE) != 1:
            accepts = "exactly one of points, sides, ties"
            raise ValidationError({HERE: [Fault("not_one_form", accepts)]})


class EdgeForm(Record):
    """What is said of one edge. What is left out is the guard's, the level's or the default."""

    edge = Count(*EDGE, metadata={"examples": [0]})
    condition = Choice(
        "Condition",
        "`guard` has a railing, at a `wall` something solid stands, `open` has no railing.",
        "guard",
        "wall",
        "open",
        required=False,
        metadata={"default": "guard"},
    )
    infill = Choice("Infill", "Infill of this edge's railing.", "picket", "glass", required=False)
    glass = Count(
        "Glass",
        "Which of the kit's panes, counted from 0.",
        required=False,
        metadata={"default": 0},
    )
    height = Length(
        "Height",
        "Guard height of this edge, from the walking surface to the top of the rail.",
        required=False,
    )
    drop = Length(
        "Drop",
        "From the walking surface to what lies below this edge, as the code measures it.",
        "from 0",
        required=False,
    )
    drop_to_ground = Length(
        "Drop to ground", "From the walking surface to finished ground.", "from 0", required=False
    )
    drop_to_next_level = Length(
        "Drop to the next level",
        "From the walking surface to the next level below.",
        "from 0",
        required=False,
    )
    beneath = Choice(
        "Beneath",
        "Whether people can walk beneath this edge, or cannot or are shielded from falling glass.",
        "walked",
        "shielded",
        required=False,
    )
    wall_end = Choice(
        "Wall end",
        "How this edge's railing meets a wall or an obstruction: by a `bracket` on its face, or "
        "at a `post` half a base off it.",
        "bracket",
        "post",
        required=False,
        metadata={"default": "bracket"},
    )
    arc_rise = Length(
        "Arc rise",
        "Bends the edge: the rise of its arc at mid-chord, outward positive, less than half the "
        "chord. 0 is straight.",
        "any sign",
        required=False,
        metadata={"default": 0, "examples": [18, -6]},
    )


class OpeningForm(Record):
    """A clear width in a guarded edge, between posts."""

    id = Name("Id", "Names the opening within its level.", metadata={"examples": ["steps"]})
    edge = Count(*EDGE)
    from_ = Length(
        "From",
        "Along the edge from its first corner, as the caller numbers it, to the near side of the "
        "clear width.",
        "from 0",
        name="from",
        metadata={"examples": [96]},
    )
    width = Length("Width", "Clear width, face to face.", metadata={"examples": [48]})
    use = Choice("Use", "What the opening is for.", "stair", "gate", "passage")
    hinge = Choice(
        "Hinge",
        "Side of a gate's hinges: `near` the edge's first corner or `far` from it.",
        "near",
        "far",
        required=False,
        metadata={"default": "near"},
    )
    opens = Choice(
        "Opens",
        "Which way a gate swings: `in` over the deck or `out`.",
        "in",
        "out",
        required=False,
        metadata={"default": "in"},
    )


class ObstructionForm(Record):
    """Something solid in or near the railing line, as a polygon in plan."""

    name = Text("Name", "What it is.", metadata={"examples": ["roof column"]})
    points = Items(
        Point("Corner"),
        "Corners",
        "Its corners in order.",
        least=3,
        most=limits.OBSTRUCTION_CORNERS,
    )


class NoPostForm(Record):
    """A stretch of an edge in which no part of a post's base may lie."""

    edge = Count(*EDGE)
    from_ = Length(
        "From",
        "Along the edge from its first corner, as the caller numbers it, to the near side of the "
        "stretch.",
        "from 0",
        name="from",
    )
    width = Length("Width", "Length of the stretch along the edge.")
    why = Text(
        "Why", "What is there.", least=0, required=False, metadata={"examples": ["downpipe"]}
    )


class LevelForm(Record):
    """One walking surface."""

    id = Name(
        "Id", "Names the level; replies speak of it by this.", metadata={"examples": ["main"]}
    )
    outline = Inner(OutlineForm, "Outline")
    drop = Length(
        "Drop",
        "From the walking surface to what lies below, as the code measures it. Left out, "
        "findings that need it are not_checked.",
        "from 0",
        required=False,
        metadata={"examples": [48]},
    )
    drop_to_ground = Length(
        "Drop to ground",
        "From the walking surface to finished ground, where a code tells it from the drop.",
        "from 0",
        required=False,
    )
    drop_to_next_level = Length(
        "Drop to the next level",
        "From the walking surface to the next level below, where a code tells it from the drop.",
        "from 0",
        required=False,
    )
    beneath = Choice(
        "Beneath",
        "Whether people can walk beneath the edges (`walked`), or cannot or are shielded from "
        "falling glass (`shielded`), where a code tells one from the other.",
        "walked",
        "shielded",
        required=False,
        metadata={"default": "walked"},
    )
    edges = Items(
        Inner(EdgeForm, "Edge"),
        "Edges",
        "What differs from the defaults, edge by edge.",
        most=limits.EDGES,
        required=False,
    )
    openings = Items(
        Inner(OpeningForm, "Opening"),
        "Openings",
        "Gates, passages and heads of stairs.",
        most=limits.OPENINGS,
        required=False,
    )
    obstructions = Items(
        Inner(ObstructionForm, "Obstruction"),
        "Obstructions",
        "Columns and the like. The railing is cut where one stands in its line.",
        most=limits.OBSTRUCTIONS,
        required=False,
    )
    no_post = Items(
        Inner(NoPostForm, "Stretch"),
        "Stretches without a post",
        "Where no post may stand.",
        most=limits.NO_POST,
        required=False,
    )
    framing = Inner(
        FramingForm,
        "Framing",
        "Left out, whether fixings land in timber is not_checked.",
        required=False,
    )


class GuardForm(Record):
    """Defaults for every edge."""

    infill = Choice("Infill", "Infill of the railing.", "picket", "glass")
    height = Length(
        "Height",
        "Guard height, from the walking surface to the top of the rail. Left out, it is the "
        "code's, else the least height of the kit's posts.",
        required=False,
        metadata={"examples": [36, "3' 6\""]},
    )


class DeckForm(Record):
    """A deck to be railed: its levels, the kit to build from and the code to be judged by.

    Plan view: x to the right, y up. Angles in degrees, counter-clockwise positive.
    """

    title = Text(
        "Title",
        "Given back in the reply.",
        least=0,
        required=False,
        metadata={"examples": ["House on the hill, back deck"]},
    )
    unit = Choice(
        "Unit",
        "Unit of every length in this document and in the reply, but for those inside a kit or a "
        "code, which name their own.",
        "in",
        "mm",
    )
    precision = NumberChoice(
        "Precision",
        "The smallest mark, in the document's unit: 1/2^k in with k from 0 to 6 (default 1/16), "
        "or 0.5, 1 (default), 2, 5 or 10 mm. One of the other unit's is a 422.",
        *STEPS,
        required=False,
        metadata={"examples": [0.0625, 1]},
    )
    code = OrId(
        CodeForm,
        "Code",
        "The building code to be judged by, by id or inline. Left out, findings that need one are "
        "not_checked.",
        required=False,
        metadata={"examples": ["us-irc-2021"]},
    )
    occupancy = Choice(
        "Occupancy",
        "Whether the deck serves one `dwelling`, or is `shared` by more than one or by the public, "
        "where a code tells one from the other. Left out, it is what the code is ordinarily for.",
        "dwelling",
        "shared",
        required=False,
    )
    occupants = Count(
        "Occupants",
        "How many people the deck and its flights are for, where a code's figure hangs on it.",
        least=1,
        required=False,
        metadata={"examples": [12]},
    )
    amendments = Inner(
        AmendmentsForm,
        "Amendments",
        "The local authority's changes to that code's figures, in this document's unit.",
        required=False,
    )
    kit = OrId(
        KitForm,
        "Kit",
        "The railing system, by id or inline.",
        metadata={"examples": ["picket-glass-surface-in"]},
    )
    guard = Inner(GuardForm, "Guard")
    levels = Items(
        Inner(LevelForm, "Level"), "Levels", "The walking surfaces.", least=1, most=limits.LEVELS
    )
    stairs = Items(
        Inner(StairForm, "Flight"),
        "Stairs",
        "Straight flights going down from openings.",
        most=limits.STAIRS,
        required=False,
    )
    site_measures = Items(
        Inner(SiteMeasureForm, "Measure"),
        "Site measures",
        "Bays as measured after the posts stand: their cuts and glass follow from these.",
        most=limits.MEASURES,
        required=False,
    )
    advise = Flag(
        "Advise",
        "Whether the reply offers, for each rule that fails, a change that was tried and passes.",
        required=False,
    )
    site = Inner(SiteForm, "Site", "Where it stands, for the strength check.", required=False)
    prices = Inner(PricesForm, "Prices", "Left out, there is no quote.", required=False)
    stock_on_hand = Items(
        Inner(OnHandForm, "Sticks"),
        "Stock on hand",
        "Sticks that are there already.",
        most=limits.ON_HAND,
        required=False,
    )
    plan_effort = Choice(
        "Plan effort",
        "How long a better plan of sticks is looked for; counted in steps, never by the clock.",
        "ordinary",
        "thorough",
        required=False,
        metadata={"default": "ordinary"},
    )
    compare = Items(
        Inner(VariantForm, "Variant"),
        "Compare",
        "Variants of this document, each answered in one line of `comparison`.",
        most=limits.COMPARE,
        required=False,
    )
