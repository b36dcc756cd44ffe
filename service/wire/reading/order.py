"""Wire: what a deck document asks of its order: prices, stock on hand and effort.

The main entry is `read_order_request`; `check_order_request` finds what is wrong where the kit
cannot be read.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from functools import partial
from typing import Final

from service.core.measure import Unit
from service.core.order.prices import Discount, Money, OnHand, OrderRequest, Price, Prices
from service.core.order.roles import CUT, Basis, bases
from service.core.problems import Problem
from service.core.records.kit import Kit
from service.wire.echo import echo
from service.wire.forms.order import PRICED_BY
from service.wire.pointers import step
from service.wire.reading.currencies import WITHOUT_UNIT, currencies, decimals_of
from service.wire.reading.kit_parts import lacks_rail, read_by_size, sizes_of
from service.wire.reading.lengths import Json, Lengths, Node

SIZED: Final[tuple[Basis, ...]] = ("per_height", "per_stick")


def read_order_request(document: Json, kit: Kit, shares: int, *, other_kit: bool) -> OrderRequest:
    """The prices, stock on hand and effort of a document.

    Refuses (Unbuildable) faults that only the currency or the kit shows. shares: as in
    `OrderRequest`. other_kit: whether the document is a variant with another kit than the document
    that it varies. Prices and stock on hand that do not suit the kit are then no fault: such prices
    price nothing, and such stock is not cut.
    """
    unit: Unit = document["unit"]
    lengths = Lengths(unit, unit)
    root = Node(document, "", lengths)
    unsuited: list[Problem] = [] if other_kit else lengths.problems
    order_request = OrderRequest(
        prices=_read_prices(document["prices"], kit, lengths, unsuited)
        if "prices" in document
        else None,
        on_hand=root.each(partial(_read_on_hand, kit, unsuited), "stock_on_hand"),
        effort=document.get("plan_effort", "ordinary"),
        shares=shares,
    )
    lengths.settle()
    return order_request


def check_order_request(document: Json) -> Iterator[Problem]:
    """Problems of prices and stock on hand that can be found without a kit."""
    lengths = Lengths(document["unit"], document["unit"])
    for i, each in enumerate(document.get("stock_on_hand", ())):
        lengths.positive(each["length"], f"/stock_on_hand/{i}/length")
    yield from lengths.problems
    if "prices" not in document:
        return
    currency, parts = document["prices"]["currency"], document["prices"]["parts"]
    if (unknown := _no_currency(currency)) is not None:
        yield unknown
        return
    for role, node in parts.items():
        for text, pointer in _amounts(node, f"/prices/parts/{role}"):
            if (fault := _too_fine(text, currency, pointer)) is not None:
                yield fault


def _amounts(node: Json, at: str) -> Iterator[tuple[str, str]]:
    """Every amount of money in a role's price, each with its pointer."""
    for name in (*PRICED_BY, "least", "cutting"):
        held = node.get(name)
        if isinstance(held, dict):
            yield from ((text, step(f"{at}/{name}", size)) for size, text in held.items())
        elif held is not None:
            yield held, f"{at}/{name}"


def _read_on_hand(kit: Kit, unsuited: list[Problem], node: Node) -> OnHand:
    part = node.sent["part"]
    if part not in kit.stocks:
        message = f"Kit {kit.id} does not sell {part} by the stick."
        unsuited.append(Problem(f"{node.pointer}/part", "part_not_by_stick", message))
    return OnHand(part, node.positive("length"), int(node.sent["count"]))


def _read_prices(node: Json, kit: Kit, lengths: Lengths, unsuited: list[Problem]) -> Prices | None:
    currency = node["currency"]
    if (unknown := _no_currency(currency)) is not None:
        lengths.problems.append(unknown)
        return None
    reader = _PriceReader(currency, kit, lengths, unsuited)
    parts = {
        role: price
        for role, each in node["parts"].items()
        if (price := reader.read(role, each)) is not None
    }
    return Prices(currency, decimals_of(currency), Decimal(node.get("tax_rate", "0")), parts)


def _no_currency(currency: str) -> Problem | None:
    """The problem of a currency that no sum can be in; None where one can."""
    if currency not in currencies():
        message = f"No currency {currency} is known: send a code of ISO 4217, such as USD."
    elif currency in WITHOUT_UNIT:
        message = (
            f"{currency} is no money with a smaller unit (ISO 4217), so no sum can be rounded to "
            "it: send the code of a currency that is paid in, such as USD."
        )
    else:
        return None
    return Problem("/prices/currency", "unknown_currency", message)


def _too_fine(text: str, currency: str, pointer: str) -> Problem | None:
    """The problem of an amount with more decimals than the currency's minor unit; else None."""
    money, decimals = Decimal(text), decimals_of(currency)
    exponent = money.as_tuple().exponent
    if not isinstance(exponent, int) or -exponent <= decimals:
        return None
    near = money.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    takes = f"the {decimals} of {currency}: send for example {near}"
    message = f"{echo(text)} has more decimals than {takes}."
    return Problem(pointer, "too_many_decimals", message)


class _PriceReader:
    """Reads the prices of one document. unsuited: collects the problems of unsuitable prices."""

    def __init__(self, currency: str, kit: Kit, lengths: Lengths, unsuited: list[Problem]) -> None:
        self.currency, self.kit = currency, kit
        self.problems, self.unsuited = lengths.problems, unsuited
        # Sizes are named as the kit writes them, in the kit's own unit.
        self.sizes = Lengths(kit.own_unit, lengths.to)

    def read(self, role: str, node: Json) -> Price | None:
        """The price of a role; None where nothing in it can price the role with this kit."""
        at = f"/prices/parts/{role}"
        basis = next(name for name in PRICED_BY if name in node)
        allowed = bases(role, by_stick=role in self.kit.stocks)
        if basis not in allowed:
            self._other_kind(f"{at}/{basis}", f"{role} is priced by {' or '.join(allowed)}")
            return None
        if lacks_rail(self.kit, role):
            return None
        self._check_members(role, basis, node, at)
        price = Price(
            basis=basis,
            rate=Decimal(0) if basis in SIZED else self._money(node, basis, at),
            by_size=self._by_size(role, node[basis], f"{at}/{basis}") if basis in SIZED else (),
            least=self._money(node, "least", at),
            waste=Decimal(node.get("waste", "0")),
            cutting=self._money(node, "cutting", at) if "cutting" in node else None,
            discounts=self._discounts(node, at),
        )
        return None if basis in SIZED and not price.by_size else price

    def _check_members(self, role: str, basis: Basis, node: Json, at: str) -> None:
        if "least" in node and basis not in ("per_area", "per_length"):
            self._other_kind(f"{at}/least", "a least charge goes with per_area or per_length")
        if "waste" in node and basis == "per_stick":
            self._other_kind(f"{at}/waste", "whole sticks hold their own waste")
        if "cutting" in node and role not in CUT:
            self._other_kind(f"{at}/cutting", f"no {role} is in the cut list")

    def _other_kind(self, pointer: str, why: str) -> None:
        message = f"This cannot be given here: {why}."
        self.unsuited.append(Problem(pointer, "price_of_other_kind", message))

    def _by_size(self, role: str, node: Json, at: str) -> tuple[tuple[float, Money], ...]:
        known = sizes_of(self.kit, role)
        found = read_by_size(node, at, self.sizes, known, self.unsuited)
        return tuple((length, self._amount(text, place)) for length, place, text in found)

    def _money(self, node: Json, name: str, at: str) -> Money:
        return self._amount(node[name], f"{at}/{name}") if name in node else Decimal(0)

    def _amount(self, text: str, pointer: str) -> Money:
        """An amount of money; one with more decimals than the currency has adds a problem."""
        if (fault := _too_fine(text, self.currency, pointer)) is not None:
            self.problems.append(fault)
        return Decimal(text)

    def _discounts(self, node: Json, at: str) -> tuple[Discount, ...]:
        discounts = [
            Discount(int(each["from"]), Decimal(each["rate"])) for each in node.get("discounts", ())
        ]
        for i, discount in enumerate(discounts):
            if discount.least in [other.least for other in discounts[:i]]:
                message = f"There are two discounts from {discount.least}."
                pointer = f"{at}/discounts/{i}/from"
                self.problems.append(Problem(pointer, "given_twice", message))
        return tuple(discounts)
