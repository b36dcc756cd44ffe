"""Core: what the listed parts cost, in exact money.

A part without a price is listed as unpriced, never counted as 0. Each line is rounded to the
currency's smaller unit, a half upward. So is the charge for one panel, and so, once, is the tax on
the sum of the lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.measure import Unit
from service.core.order.parts import Key, PartRow
from service.core.order.plan import PartPlan
from service.core.order.prices import Money, Price, Prices
from service.core.order.roles import CUT, Basis
from service.core.records.layout import Layout

By: TypeAlias = Basis | Literal["cutting"]
LENGTHS_PER_PRICE: Final[dict[Unit, int]] = {"in": 12, "mm": 1000}
"""How many units of length make the foot or the metre that `per_length` prices are for."""
AMOUNT_STEP: Final = Decimal("0.001")
"""The step to which feet and metres are rounded before pricing."""


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line of a quote.

    quantity: how many pieces, packs, sticks or panels, or how many feet or metres; price: of one.
    share_off: the discount, as a share. raised: whether the least charge replaces the price less
    its discount; the line then has no discount.
    """

    key: Key
    by: By
    quantity: Decimal
    price: Money
    amount: Money
    share_off: Decimal = Decimal(0)
    raised: bool = False


@dataclass(frozen=True, slots=True)
class Quote:
    """The lines and their sums. unpriced: roles of parts that no price covers, in whole or in
    part."""

    prices: Prices
    lines: tuple[QuoteLine, ...]
    subtotal: Money
    tax: Money
    total: Money
    unpriced: tuple[str, ...]


class Priced(NamedTuple):
    """What is priced, and the prices."""

    layout: Layout
    plans: Sequence[PartPlan]
    unit: Unit
    prices: Prices


def make_quote(rows: Sequence[PartRow], job: Priced) -> Quote:
    """The quote for a list of parts."""
    prices = job.prices
    by_role: dict[str, list[PartRow]] = {}
    for row in rows:
        by_role.setdefault(row.key.role, []).append(row)
    lines: list[QuoteLine] = []
    unpriced: list[str] = []
    for role, alike in by_role.items():
        price = prices.parts.get(role)
        found = [] if price is None else list(_lines(alike, price, job))
        if price is None or None in found:
            unpriced.append(role)
        lines += [line for line in found if line is not None]
    lines += _cutting(job)
    subtotal = sum((line.amount for line in lines), prices.rounded(Decimal(0)))
    tax = prices.rounded(subtotal * prices.tax_rate)
    return Quote(prices, tuple(lines), subtotal, tax, subtotal + tax, tuple(unpriced))


def _lines(rows: list[PartRow], price: Price, job: Priced) -> Iterator[QuoteLine | None]:
    """The lines of one role, and None for parts that its price does not cover.

    No price covers parts that the kit has none of: a piece that no stick holds, or a post higher
    than all that are stocked.
    """
    sold = [row for row in rows if not row.key.unsold]
    if len(sold) < len(rows):
        yield None
    if not sold:
        return
    if price.basis == "per_area":
        yield from _panel_lines(sold, price, job)
    elif price.basis == "per_length":
        yield _length_line(sold, price, job)
    else:
        yield from _counted_lines(sold, price, job.prices)


def _counted_lines(rows: list[PartRow], price: Price, prices: Prices) -> Iterator[QuoteLine | None]:
    """Lines for parts charged by the piece, pack or stick; None for a part that has no price.

    A part without a price does not count toward a discount.
    """
    rates = [price.of_size(row.key.size) if price.by_size else price.rate for row in rows]
    charged = [
        None if rate is None else _charged(row, price)
        for row, rate in zip(rows, rates, strict=True)
    ]
    whole = sum((quantity for quantity in charged if quantity is not None), Decimal(0))
    for row, quantity, rate in zip(rows, charged, rates, strict=True):
        if quantity is None or rate is None:
            yield None
        else:
            yield _line(row.key, price, quantity, rate, prices, price.share_off(whole))


def _charged(row: PartRow, price: Price) -> Decimal | None:
    """The quantity charged for: sticks as planned; otherwise whole packs, or the pieces in them.

    Packs include their waste. None where the kit gives no roll to count.
    """
    if price.basis == "per_stick":
        return Decimal(int(row.quantity))
    if row.packs is None:
        return None
    packs = Decimal(row.packs)
    return packs if price.basis == "per_pack" else packs * _amount(row.pack)


def _panel_lines(rows: list[PartRow], price: Price, job: Priced) -> Iterator[QuoteLine]:
    """A line for each mark, by area, less the discount; no panel costs less than the least
    charge."""
    prices = job.prices
    panels = {panel.mark: panel for panel in job.layout.glass_order}
    whole = Decimal(sum(int(row.quantity) for row in rows))
    share = price.share_off(whole)
    for row in rows:
        count = Decimal(int(row.quantity))
        area = _amount(panels[row.key.mark or ""].area)
        one = prices.rounded(area * (1 + price.waste) * price.rate)
        if one * (1 - share) < price.least:
            amount = prices.rounded(price.least * count)
            yield QuoteLine(row.key, price.basis, count, price.least, amount, raised=True)
        else:
            yield _line(row.key, price, count, one, prices, share)


def _length_line(rows: list[PartRow], price: Price, job: Priced) -> QuoteLine:
    """One line for all of a role, by feet or metres, less the discount, and at least the least
    charge."""
    role = rows[0].key.role
    length = round(_length_of(rows, job) / LENGTHS_PER_PRICE[job.unit], 9)
    quantity = _to_step(_to_step(Decimal(repr(length))) * (1 + price.waste))
    share = price.share_off(quantity)
    line = _line(Key(role), price, quantity, price.rate, job.prices, share)
    least = job.prices.rounded(price.least)
    if line.amount >= least:
        return line
    return replace(line, amount=least, share_off=Decimal(0), raised=True)


def _length_of(rows: list[PartRow], job: Priced) -> float:
    """The total length of a role; for sticks, the length of the pieces cut from those to buy."""
    role = rows[0].key.role
    for plan in job.plans:
        if plan.part == role:
            return sum(sum(row.pieces) * row.count for row in plan.sticks if not row.on_hand)
    return sum(row.quantity * (1 if row.key.size is None else row.key.size) for row in rows)


def _line(
    key: Key, price: Price, quantity: Decimal, rate: Money, prices: Prices, share: Decimal
) -> QuoteLine:
    amount = prices.rounded(quantity * rate * (1 - share))
    return QuoteLine(key, price.basis, quantity, rate, amount, share)


def _cutting(job: Priced) -> Iterator[QuoteLine]:
    """For each role that has a cutting fee, a line for the pieces of the cut list that are cut."""
    prices = job.prices
    for role in CUT:
        price = prices.parts.get(role)
        if price is None or price.cutting is None:
            continue
        left_out = [plan.left_out for plan in job.plans if plan.part == role]
        count = sum(piece.count for piece in job.layout.cut_list if piece.part == role)
        count -= sum(piece.count for pieces in left_out for piece in pieces)
        if count:
            amount = prices.rounded(price.cutting * count)
            yield QuoteLine(Key(role), "cutting", Decimal(count), price.cutting, amount)


def _amount(value: float) -> Decimal:
    """An area, rounded as replies round it, or the pieces in a pack."""
    return Decimal(repr(round(value, 3)))


def _to_step(length: Decimal) -> Decimal:
    """Feet or metres rounded to 0.001, a half upward, as they are priced."""
    return length.quantize(AMOUNT_STEP, ROUND_HALF_UP)
