"""Wire: forms of the deck document for its order: prices, stock on hand, variants to compare
(contract, section 3)."""

from __future__ import annotations

from typing import Any, Final, get_args

from service.core import limits
from service.core.order.roles import STICKS, Basis
from service.core.records.deck import INFILLS
from service.wire.forms.code import CodeForm
from service.wire.forms.kit import KitForm
from service.wire.forms.kit_parts import ByRole, BySize
from service.wire.forms.lengths import Length
from service.wire.forms.nested import HERE, Inner, Items, OrId, Record
from service.wire.forms.strict import Choice, Count, Fault, Matched, Text

MONEY: Final = r"^[0-9]{1,9}(?:\.[0-9]{1,4})?$"
SHARE: Final = r"^(?:0(?:\.[0-9]{1,6})?|1(?:\.0{1,6})?)$"
CURRENCY: Final = r"^[A-Z]{3}$"
PRICED_BY: Final[tuple[Basis, ...]] = get_args(Basis)
"""The members that say what a price is by, of which a price has exactly one."""


def _money(about: str, **more: Any) -> Matched:
    """The field of an amount of money, which is text and never a number."""
    says = 'money as text, such as "61.50", with no sign, exponent or grouping'
    return Matched(MONEY, says, about, example="61.50", **more)


def _share(about: str, **more: Any) -> Matched:
    """The field of a share from 0 to 1, as text."""
    says = 'a share from 0 to 1 as text, such as "0.07"'
    return Matched(SHARE, says, about, example="0.07", **more)


def _by_size(about: str) -> BySize:
    return BySize(_money("Of one of that length.", title="Price"), about, least=1)


class DiscountForm(Record):
    """A share off the price of a role from a quantity of it on; the greatest that is reached."""

    from_ = Count(
        "Quantity of the role as it is charged: pieces, packs, sticks, panels, feet or metres. "
        "What has no price counts for nothing.",
        name="from",
        least=1,
        example=10,
    )
    rate = _share("Share taken off the price.")


class PriceForm(Record):
    """What one role costs, by exactly one of `each`, `per_pack`, `per_height`, `per_stick`,
    `per_length` and `per_area`. Which of them a role may have, its own table says."""

    constraint = {"oneOf": [{"required": [name]} for name in PRICED_BY]}

    each = _money("Price of one piece; whole packs are charged.", required=False)
    per_pack = _money("Price of one of the kit's packs, or of one roll.", required=False)
    per_height = _by_size("Price of a post, by its stock height in the kit's own unit.")
    per_stick = _by_size(
        "Price of a whole stick, by its length in the kit's own unit; as many are charged as are "
        "planned, whichever packs they come in."
    )
    per_length = _money(
        "Price of a foot in inch documents, of a metre in millimetre ones, of what the pieces "
        "take up: their own lengths, or a raked rail's blank.",
        required=False,
    )
    per_area = _money(
        "Price of a square foot in inch documents, of a square metre in millimetre ones, panel "
        "by panel.",
        required=False,
    )
    least = _money(
        "The least charge: for one panel with `per_area`, for the role with `per_length`; "
        "after any discount.",
        required=False,
    )
    waste = _share(
        "Share added to the quantity, before packs are made whole; with `per_area` to the area of "
        "each panel; not with `per_stick`.",
        required=False,
    )
    cutting = _money(
        "Fee for each piece of the role in the cut list: of rails, handrails, pickets or spacers.",
        required=False,
    )
    discounts = Items(
        Inner(DiscountForm, title="Discount"),
        "By quantity: of those that are reached the one from the greatest. The fee for cutting has "
        "none.",
        most=limits.KIT_LIST,
        required=False,
    )

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """A fault where the price does not have exactly one of the members in PRICED_BY."""
        if sum(name in sent for name in PRICED_BY) == 1:
            return {}
        return {HERE: Fault("not_one_form", f"exactly one of {', '.join(PRICED_BY)}")}


class PricesForm(Record):
    """The yard's prices. Money and shares are decimal text, so that none is ever a float."""

    currency = Matched(
        CURRENCY,
        "a currency's three capital letters by ISO 4217",
        "ISO 4217 code of a currency that has a minor unit. No amount may have more decimals "
        "than that unit.",
        example="USD",
    )
    tax_rate = _share("Tax as a share of the subtotal. Left out, there is no tax.", required=False)
    parts = ByRole(
        Inner(PriceForm, title="Price"),
        "The price of each role. A role without one is named in the quote, and counts as nothing.",
    )


class OnHandForm(Record):
    """Sticks of a part that are there already. They are used first and not bought."""

    part = Choice("The part that is cut from them.", *STICKS)
    length = Length("Length of each, in this document's unit.", example=88)
    count = Count("How many.", least=1, most=limits.ON_HAND_COUNT, example=2)


class GuardChangeForm(Record):
    """Members of `guard` that a variant has otherwise."""

    infill = Choice("Infill of the railing.", *INFILLS, required=False)
    height = Length("Guard height.", required=False)


class VariantForm(Record):
    """A change laid over the document: what it gives takes the place of the document's own.

    A variant is of the drawing: `site_measures` are of posts as they stand, and are left out.
    """

    label = Text("Names the variant, in 40 characters at the most.", most=40, example="glass")
    guard = Inner(GuardChangeForm, required=False)
    edges = Choice(
        "Whether edges and flights that say their own infill or height `keep` it, or the change "
        "of `guard` holds for `all` of them.",
        "keep",
        "all",
        default="keep",
    )
    kit = OrId(KitForm, "Another railing system.", required=False)
    code = OrId(CodeForm, "Another code.", required=False)
