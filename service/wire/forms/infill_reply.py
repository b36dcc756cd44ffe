"""Wire: forms of the layout document for what goes into a bay or a gate's leaf (section 7)."""

from __future__ import annotations

from service.wire.forms.nested import Inner, Items
from service.wire.forms.reply import MANY, Measure, Reply, measures, points, tape, tapes, text
from service.wire.forms.strict import Choice, Count


class RailCutForm(Reply):
    """A rail of a bay."""

    cut = Measure("Cut", "Length to cut it to, rounded down to the mark; of either long edge.")
    cut_text = tape("Cut")
    blank = Measure(
        "Blank", "Of a raked rail: what it is cut from, its ends included.", required=False
    )
    blank_text = tape("Blank", required=False)


class SpacerForm(Reply):
    """Pieces of spacer in one rail of a bay."""

    rail = Choice("Rail", "In which rail they stand.", "top", "bottom")
    length = Measure("Length", "Length to cut them to.")
    length_text = tape("Length")
    count = Count("Count", "How many.", most=None)


class PicketsForm(Reply):
    """The pickets of a bay."""

    count = Count("Count", "How many.", most=None)
    length = Measure("Length", "Length to cut them to.")
    length_text = tape("Length")
    gap = Measure("Gap", "Clear gap between two pickets.")
    end_gap = Measure("End gap", "Clear gap from a post's face to the nearest picket.")
    end_gap_text = tape("End gap")
    centres = measures("Centres", "From the bay's first clear face.")
    centres_text = tapes("Centres")
    spacers = Items(
        Inner(SpacerForm, "Spacer"),
        "Spacers",
        "Between pickets and at the ends, where the kit has them.",
        most=MANY,
        required=False,
    )
    blank = Measure("Blank", "Of a picket with raked ends.", required=False)
    blank_text = tape("Blank", required=False)
    end_cut = Measure("End cut", "Between a raked end and the length.", "angle", required=False)


class BayGlassForm(Reply):
    """The panel of a bay."""

    width = Measure("Width", "Width of the panel, rounded down to the mark.")
    width_text = tape("Width")
    height = Measure("Height", "Height of the panel, rounded down to the mark.")
    height_text = tape("Height")
    thickness = Measure("Thickness", "Nominal thickness.")
    thickness_text = text("Thickness", "As a glass shop calls it.", example='1/4"')
    type = text("Type", "What glass it is.", example="tempered")
    corners = points("Corners", "Seen from outside, x right and y up, counter-clockwise from 0,0.")
    area = Measure("Area", "Of the panel.", "area")
    mass = Measure("Mass", "Of the panel.", "mass")
    side_gap = Measure("Side gap", "Post face to panel edge, in this bay.")
    blocks = measures("Blocks", "Centres of the setting blocks, from the panel's own first end.")
    blocks_text = tapes("Blocks")
    end_block = Measure(
        "End block",
        "In a flight: along the lower edge from its upper end to the block at its low end, which "
        "keeps the panel from sliding; down to the mark.",
        required=False,
    )
    end_block_text = tape("End block", required=False)
