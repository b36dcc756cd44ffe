"""Wire: forms of the layout document for its order (section 7)."""

from __future__ import annotations

from typing import Any

from service.core.order.roles import ROLES, STICKS
from service.wire.forms.nested import Inner
from service.wire.forms.order import PRICED_BY
from service.wire.forms.reply import (
    Measure,
    Reply,
    Tally,
    bound,
    end_cuts,
    ids,
    measures,
    named,
    objects,
    points,
    text,
)
from service.wire.forms.strict import Choice, Flag, Text


def _money(about: str = "", **more: Any) -> Text:
    return text(about or "Decimal text.", example="61.50", **more)


class CutForm(Reply):
    """Equal pieces of one part."""

    part = text("Its role.", example="top_rail_picket")
    length, length_text = named("Length to cut them to.")
    count = Tally("How many.")
    end_cuts = end_cuts()
    blank, blank_text = named(
        "Of raked pieces, whose ends are parallel: what each is cut from.", required=False
    )
    bays = ids("Where they go.", example=["B1", "B2"])


class SticksForm(Reply):
    """Sticks that are cut alike."""

    stock, stock_text = named("Length of each.")
    count = Tally("How many.")
    pieces = measures("What is cut from each, the longest first; of raked pieces the blanks.")
    offcut = Measure(
        "The stick less its pieces and a kerf for each of them, never below 0. The trim is still "
        "in it."
    )
    on_hand = Flag("Whether they are there already.", required=False)


class LeftOutForm(Reply):
    """Pieces that no stick holds."""

    length, length_text = named("Length to cut them to.")
    count = Tally("How many.")
    bays = ids("Where they go.")


class StockPlanForm(Reply):
    """Whole sticks for the pieces of one part. Those on hand are used first."""

    part = Choice("Its role.", *STICKS)
    sticks = objects(SticksForm, "Sticks", "Those on hand first.")
    bought = Measure("Length of the sticks to buy.")
    used = Measure("Length of the pieces.")
    cost = _money(
        "Of the sticks to buy, before discounts; where the kit's every length is priced by the "
        "stick, which makes cost the aim.",
        required=False,
    )
    lower_bound = bound(
        "Below which no plan comes: a length to buy, or money as text where `cost` is given."
    )
    optimal = Flag("Whether the plan is proven the best by its aim.")
    left_out = objects(
        LeftOutForm,
        "Pieces",
        "Pieces longer than every stick; `parts` lists them too, and no price covers them.",
        required=False,
    )


class PanelForm(Reply):
    """Equal panels of the glass order."""

    mark = text("G1, G2, ...", example="G1")
    width, width_text = named("Width of the panel.")
    height, height_text = named("Height of the panel.")
    thickness = Measure("Nominal thickness.")
    thickness_text = text("As a glass shop calls it.", title="Thickness", example='1/4"')
    type = text("What glass it is.", example="tempered")
    corners = points("Seen from outside, x right and y up, counter-clockwise from 0,0.")
    measured = Flag("Whether it is sized by what was measured on site; else as drawn.")
    count = Tally("How many.")
    bays = ids("Where they go.", example=["B1", "B2"])
    area = Measure("Of one.", "area")
    mass = Measure("Of one.", "mass")
    edge_rise, edge_rise_text = named(
        "Of a raked panel's edges, from one side to the other.", required=False
    )
    lower_edge, lower_edge_text = named(
        "Of a raked panel, along the slope; the upper is alike.", required=False
    )
    end_blocks = Tally("Of one raked panel.", required=False)
    setting_blocks = Tally("Of one.")
    gasket, gasket_text = named("Of one, along both its edges in a channel.", required=False)
    tolerance = text(
        "The kit's words on its size.", required=False, example="plus nothing, minus 1/16 in"
    )
    edges = text("The kit's words on its edges.", required=False, example="ground and polished")
    safety_glazing = text(
        "What the code asks of it and of its mark, and where.",
        required=False,
        example="safety glazing, permanently marked",
    )
    total_area = Measure("Of all of the row.", "area")
    total_mass = Measure("Of all of the row.", "mass")


class PartRowForm(Reply):
    """Alike parts. What is cut is in the cut list, what is bought is here, once.

    A piece that no stick holds is here by the length that it takes up; so are pickets, where the
    kit gives no sticks of them, and spacers longer than the kit's `gap`. All other spacers are one
    row without a length, as each can be cut from one of `gap`.
    """

    role = Choice("Which part it is.", *ROLES)
    number = text("The kit's; left out where it gives none.", required=False, example="YP-36")
    description = text("The kit's words, else the role's.", example="Line post, 36 in")
    height, height_text = named("Of a post: its stock height.", required=False)
    length, length_text = named(
        "Of a stick, of a piece of timber, or of a piece that is bought by its length: a blank of "
        "what is raked.",
        required=False,
    )
    mark = text("Of a panel, in the glass order.", required=False, example="G1")
    quantity = Measure("How much of it, in `unit`.", "own")
    packs = Tally("Whole packs or rolls of the kit's; pieces where it has none.", required=False)
    unit = Choice("What the quantity counts.", "each", "stick", "in", "mm")


class QuoteLineForm(Reply):
    """One line of a quote."""

    role = Choice("Which part it is.", *ROLES)
    height, height_text = named("Of a post: its stock height.", required=False)
    length, length_text = named("As in `parts`.", required=False)
    mark = text("Of a panel.", required=False, example="G1")
    by = Choice("What it is charged by.", *PRICED_BY, "cutting")
    quantity = Measure(
        "As charged, waste and whole packs in: pieces, packs, sticks, panels, cuts, feet or "
        "metres.",
        "own",
    )
    price = _money("Of one; of a panel its own charge.")
    amount = _money("Rounded to the minor unit, a half upward.")
    discount = text("Share taken off.", required=False, example="0.05")
    least_charge = Flag(
        "Whether the least charge applies, as the price less its discount is below it.",
        required=False,
    )


class QuoteForm(Reply):
    """What the parts cost by the prices given. Money is decimal text.

    Each line is rounded to the currency's smaller unit, a half upward; the tax once, on their
    sum.
    """

    currency = text("By ISO 4217.", example="USD")
    lines = objects(
        QuoteLineForm,
        "Line",
        "Part by part, as the list of parts has them, one for all of a role that is charged "
        "`per_length`; then the fees for cutting.",
    )
    subtotal = _money("Sum of the lines.")
    tax_rate = text("Share of the subtotal.", example="0.07")
    tax = _money()
    total = _money()
    unpriced = ids(
        "Roles of parts that no price covers, or not all of: what is not covered is in no sum."
    )


class VariantProblemForm(Reply):
    """Why a variant cannot be built."""

    code = text("As in a refusal.", example="unknown_kit")
    message = text("The first fault, in a sentence.", example="There is no kit none-such.")
    count = Tally("How many faults there are.")


class ComparisonForm(Reply):
    """One variant. It has its counts, or a problem."""

    label = text("The caller's.", example="glass")
    posts = Tally("As in `summary`.", required=False)
    bays = Tally("As in `summary`.", required=False)
    railing_length = Measure("As in `summary`.", required=False)
    pickets = Tally("As in `summary`.", required=False)
    glass_panels = Tally("As in `summary`.", required=False)
    violations = Tally("As in `summary`.", required=False)
    warnings = Tally("As in `summary`.", required=False)
    not_checked = Tally("As in `summary`.", required=False)
    currency = text("By ISO 4217.", required=False, example="USD")
    total = _money("With tax, of what is priced.", required=False)
    unpriced = ids("Roles that are in no sum.", required=False)
    problem = Inner(VariantProblemForm, required=False)
