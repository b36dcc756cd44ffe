"""Wire: the form of a level and of what a document says of its edges."""

from __future__ import annotations

from typing import Final

from service.core import limits
from service.core.records.deck import INFILLS
from service.wire.forms.flight import FramingForm
from service.wire.forms.lengths import Length
from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.outline import OutlineForm
from service.wire.forms.points import Point
from service.wire.forms.strict import Choice, Count, Name, Text

EDGE: Final = (
    "Number of the edge, from corner i to corner i + 1 as the caller gives them, counted from 0."
)


class EdgeForm(Record):
    """What is said of one edge. What is left out is the guard's, the level's or the default."""

    edge = Count(EDGE, example=0)
    condition = Choice(
        "`guard` has a railing, at a `wall` something solid stands, `open` has no railing.",
        "guard",
        "wall",
        "open",
        default="guard",
    )
    infill = Choice("Infill of this edge's railing.", *INFILLS, required=False)
    glass = Count("Which of the kit's panes, counted from 0.", default=0)
    height = Length(
        "Guard height of this edge, from the walking surface to the top of the rail.",
        required=False,
    )
    drop = Length(
        "From the walking surface to what lies below this edge, as the code measures it.",
        "from 0",
        required=False,
    )
    drop_to_ground = Length(
        "From the walking surface to finished ground.", "from 0", required=False
    )
    drop_to_next_level = Length(
        "From the walking surface to the next level below.",
        "from 0",
        title="Drop to the next level",
        required=False,
    )
    beneath = Choice(
        "Whether people can walk beneath this edge, or cannot or are shielded from falling glass.",
        "walked",
        "shielded",
        required=False,
    )
    wall_end = Choice(
        "How this edge's railing meets a wall or an obstruction: by a `bracket` on its face, or "
        "at a `post` half a base off it.",
        "bracket",
        "post",
        default="bracket",
    )
    open_end = Choice(
        "Where this edge's railing ends beside an open edge: set in from it by the kit's "
        "`setback`, or as near that `edge` as the base of its end post has room on the deck.",
        "setback",
        "edge",
        default="setback",
    )
    arc_rise = Length(
        "Bends the edge: the rise of its arc at mid-chord, outward positive, less than half the "
        "chord. 0 is straight.",
        "any sign",
        default=0,
        examples=[18, -6],
    )


class OpeningForm(Record):
    """A clear width in a guarded edge, between posts."""

    id = Name("Names the opening within its level.", example="steps")
    edge = Count(EDGE, example=0)
    from_ = Length(
        "Along the edge from its first corner, as the caller numbers it, to the near side of the "
        "clear width.",
        "from 0",
        name="from",
        example=96,
    )
    width = Length(
        "Clear width, face to face; of a gate whose posts stand, the measured one.",
        example=48,
    )
    use = Choice("What the opening is for.", "stair", "gate", "passage")
    hinge = Choice(
        "Side of a gate's hinges: `near` the edge's first corner or `far` from it.",
        "near",
        "far",
        default="near",
    )
    opens = Choice(
        "Which way a gate swings: `in` over the deck or `out`.", "in", "out", default="in"
    )


class ObstructionForm(Record):
    """Something solid in or near the railing line, as a polygon in plan."""

    name = Text("What it is.", example="roof column")
    points = Items(
        Point(title="Corner"),
        "Its corners in order.",
        title="Corners",
        least=3,
        most=limits.OBSTRUCTION_CORNERS,
    )
    height = Length(
        "How high it stands above the walking surface of its level. Left out it is not known: "
        "whether it guards where it takes the place of a guard is then not checked.",
        required=False,
        example=96,
    )


class NoPostForm(Record):
    """A stretch of an edge in which no part of a post's base may lie."""

    edge = Count(EDGE, example=1)
    from_ = Length(
        "Along the edge from its first corner, as the caller numbers it, to the near side of the "
        "stretch.",
        "from 0",
        name="from",
    )
    width = Length("Length of the stretch along the edge.")
    why = Text("What is there.", least=0, required=False, example="downpipe")


class LevelForm(Record):
    """One walking surface."""

    id = Name("Names the level; replies speak of it by this.", example="main")
    outline = Inner(OutlineForm)
    drop = Length(
        "From the walking surface to what lies below, as the code measures it. Left out, "
        "guards are judged as required ones, and findings that need it are not_checked.",
        "from 0",
        required=False,
        example=48,
    )
    drop_to_ground = Length(
        "From the walking surface to finished ground, where a code tells it from the drop.",
        "from 0",
        required=False,
    )
    drop_to_next_level = Length(
        "From the walking surface to the next level below, where a code tells it from the drop.",
        "from 0",
        title="Drop to the next level",
        required=False,
    )
    beneath = Choice(
        "Whether people can walk beneath the edges (`walked`), or cannot or are shielded from "
        "falling glass (`shielded`), where a code tells one from the other.",
        "walked",
        "shielded",
        default="walked",
    )
    edges = Items(
        Inner(EdgeForm, title="Edge"),
        "What differs from the defaults, edge by edge.",
        most=limits.EDGES,
        required=False,
    )
    openings = Items(
        Inner(OpeningForm, title="Opening"),
        "Gates, passages and heads of stairs.",
        most=limits.OPENINGS,
        required=False,
    )
    obstructions = Items(
        Inner(ObstructionForm, title="Obstruction"),
        "Columns and the like. The railing is cut where one stands in its line.",
        most=limits.OBSTRUCTIONS,
        required=False,
    )
    no_post = Items(
        Inner(NoPostForm, title="Stretch"),
        "Where no post may stand.",
        title="Stretches without a post",
        most=limits.NO_POST,
        required=False,
    )
    framing = Inner(
        FramingForm, "Left out, whether fixings land in timber is not_checked.", required=False
    )
