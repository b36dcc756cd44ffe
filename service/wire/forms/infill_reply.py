"""Wire: forms of the layout document for what goes into a bay or a gate's leaf (section 7)."""

from __future__ import annotations

from service.wire.forms.reply import Measure, Reply, Tally, listed, named, objects, points, text
from service.wire.forms.strict import Choice


class RailCutForm(Reply):
    """A rail of a bay."""

    cut, cut_text = named("Length to cut it to, rounded down to the mark; of either long edge.")
    blank, blank_text = named(
        "Of a raked rail: what it is cut from, its ends included.", required=False
    )


class SpacerForm(Reply):
    """Pieces of spacer in one rail of a bay."""

    rail = Choice("In which rail they stand.", "top", "bottom")
    length, length_text = named("Length to cut them to.")
    count = Tally("How many.")


class PicketsForm(Reply):
    """The pickets of a bay."""

    count = Tally("How many.")
    length, length_text = named("Length to cut them to.")
    gap = Measure("Clear gap between two pickets.")
    end_gap, end_gap_text = named("Clear gap from a post's face to the nearest picket.")
    centres, centres_text = listed("From the bay's first clear face.")
    spacers = objects(
        SpacerForm,
        "Spacer",
        "Between pickets and at the ends, where the kit has them.",
        required=False,
    )
    blank, blank_text = named("Of a picket with raked ends.", required=False)
    end_cut = Measure("Between a raked end and the length.", "angle", required=False)


class BayGlassForm(Reply):
    """The panel of a bay."""

    width, width_text = named("Width of the panel, rounded down to the mark.")
    height, height_text = named("Height of the panel, rounded down to the mark.")
    thickness = Measure("Nominal thickness.")
    thickness_text = text("As a glass shop calls it.", title="Thickness", example='1/4"')
    type = text("What glass it is.", example="tempered")
    corners = points("Seen from outside, x right and y up, counter-clockwise from 0,0.")
    area = Measure("Of the panel.", "area")
    mass = Measure("Of the panel.", "mass")
    side_gap = Measure("Post face to panel edge, in this bay.")
    blocks, blocks_text = listed("Centres of the setting blocks, from the panel's own first end.")
    end_block, end_block_text = named(
        "In a flight: along the lower edge from its upper end to the block at its low end, which "
        "keeps the panel from sliding; down to the mark.",
        required=False,
    )
