"""Core: for each part sold by the stick, which sticks to buy and what to cut from each (method 12).

This is the stock plan, made from the cut list, the kit's sticks and what is on hand. The search is
in `stock`, which knows nothing of parts.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Final

from service.core.frozen import record
from service.core.measure import TOUCH, Length
from service.core.order.prices import Money, OrderRequest, Prices
from service.core.records.kit import Kit, Stock
from service.core.records.orders import Piece, SticksSeen
from service.core.stock import NoPlan, Plan, Stick, holds, plan_sticks

WORK: Final = 16_000_000
"""Counted work on the plans of one request: some seconds. Its orders share it, and within each
order the parts share it evenly."""


@record()
class StickRow:
    """Sticks that are cut alike.

    stock: length of one; pieces: longest first; offcut: what is left of each; on_hand: whether the
    yard already has them.
    """

    stock: Length
    count: int
    pieces: tuple[Length, ...]
    offcut: Length
    on_hand: bool


@record()
class PartPlan:
    """Whole sticks for the pieces of a part.

    bought: length of the sticks to buy; used: length of the pieces. cost: of the sticks to buy, or
    None unless each of the kit's lengths has a price; lower_bound: in money where there is a cost,
    else a length. left_out: pieces that no stick is left for. longest: the longest piece that one
    of the kit's sticks holds, 0 where the trim leaves nothing of it.
    """

    part: str
    sticks: tuple[StickRow, ...]
    bought: Length
    used: Length
    cost: Money | None
    lower_bound: float
    optimal: bool
    left_out: tuple[Piece, ...]
    longest: Length

    def seen(self) -> SticksSeen:
        """What a rule looks at.

        It is the longest piece that one of the kit's sticks holds, the longest that is cut, and the
        pieces that no stick holds.
        """
        cut = max((row.pieces[0] for row in self.sticks), default=0.0)
        return SticksSeen(self.part, self.longest, cut, self.left_out)


def plan_stock(
    cut_list: Iterable[Piece], kit: Kit, order_request: OrderRequest
) -> tuple[PartPlan, ...]:
    """A plan for each part of the cut list that the kit sells by the stick.

    Sticks on hand are used first, as they cost nothing. A raked piece takes up its blank.
    """
    rows: dict[str, list[Piece]] = {}
    for piece in cut_list:
        if piece.part in kit.stocks:
            rows.setdefault(piece.part, []).append(piece)
    work = WORK // (order_request.shares * max(1, len(rows)))
    return tuple(
        _plan_part(part, pieces, kit.stocks[part], order_request, work)
        for part, pieces in rows.items()
    )


def _plan_part(
    part: str, pieces: Sequence[Piece], stock: Stock, order_request: OrderRequest, work: int
) -> PartPlan:
    held = _on_hand(part, order_request)
    prices = _stick_prices(part, stock, order_request.prices)
    sticks = _sticks(stock, held, prices, order_request.prices)

    def planned(*, shared: bool) -> tuple[Plan, dict[Length, int], tuple[Piece, ...]]:
        kept, left_out = _holdable(pieces, stock, held, shared=shared)
        effort = order_request.effort
        return plan_sticks(kept, sticks, stock.kerf, stock.trim, effort, work), kept, left_out

    try:
        plan, kept, left_out = planned(shared=True)
    except NoPlan:
        # A plan exists, but the search is sure to find it only if each long piece has a stick to
        # itself.
        plan, kept, left_out = planned(shared=False)
    rows = _rows(plan, stock, held)
    bought = [row for row in rows if not row.on_hand]
    length = sum(row.stock * row.count for row in bought)
    return PartPlan(
        part=part,
        sticks=rows,
        bought=length,
        used=sum(length * count for length, count in kept.items()),
        cost=_cost(bought, prices),
        # The bound comes from whole numbers, so a length off their grid would differ in its last
        # bits.
        lower_bound=length if plan.optimal and not prices else plan.lower_bound,
        optimal=plan.optimal,
        left_out=left_out,
        longest=stock.longest,
    )


def _on_hand(part: str, order_request: OrderRequest) -> dict[Length, int]:
    """How many sticks of a part are on hand, by length."""
    held: dict[Length, int] = {}
    for each in order_request.on_hand:
        if each.part == part:
            held[each.length] = held.get(each.length, 0) + each.count
    return held


def _stick_prices(part: str, stock: Stock, prices: Prices | None) -> dict[Length, Money]:
    """The price of each of the kit's stick lengths; empty unless every length has one."""
    price = prices.parts.get(part) if prices is not None else None
    if price is None or price.basis != "per_stick":
        return {}
    found = {length: price.of_size(length) for length in stock.lengths}
    priced = {length: money for length, money in found.items() if money is not None}
    return priced if len(priced) == len(found) else {}


def _holdable(
    pieces: Sequence[Piece], stock: Stock, held: Mapping[Length, int], *, shared: bool
) -> tuple[dict[Length, int], tuple[Piece, ...]]:
    """How many pieces of each length there are sticks for, and the pieces that are left out.

    shared: whether pieces longer than all of the kit's sticks may share a stick on hand; otherwise
    each takes one to itself.
    """
    spare = sorted(held.items())
    kept: dict[Length, int] = {}
    left_out = []
    most = max(stock.lengths)
    for piece in sorted(pieces, key=lambda piece: -piece.taken_up):
        size = piece.taken_up
        fits = holds(most, size, stock.kerf, stock.trim)
        count = piece.count if fits else _take(size, piece.count, spare, stock, shared=shared)
        if count:
            kept[size] = kept.get(size, 0) + count
        if count < piece.count:
            left_out.append(replace(piece, count=piece.count - count))
    return kept, tuple(left_out)


def _take(
    size: Length, count: int, spare: list[tuple[Length, int]], stock: Stock, *, shared: bool
) -> int:
    """Take sticks for pieces of one length, shortest sticks first. Returns how many pieces go in.

    spare: lengths, shortest first, and how many sticks there are of each. The sticks taken are
    removed from it; of shared ones, what is left goes back in.

    >>> stock, spare = Stock((30.0,), kerf=0.125, trim=0.0), [(127.0, 2)]
    >>> _take(31.625, 6, spare, stock, shared=True), spare
    (6, [(0.0, 1), (63.5, 1)])
    >>> _take(31.625, 6, [(128.0, 2)], stock, shared=False)
    2
    """
    kerf, trim, taken = stock.kerf, stock.trim, 0
    while taken < count:
        at = bisect_left(spare, True, key=lambda row: holds(row[0], size, kerf, trim))
        if at == len(spare):
            break
        (least, there), wanted = spare.pop(at), count - taken
        room = int((least - trim + kerf + TOUCH) / (size + kerf))
        each = max(1, min(room, wanted)) if shared else 1
        number = min(there, wanted // each)
        if number < there:
            spare.insert(at, (least, there - number))
        if shared:
            insort(spare, (least - each * (size + kerf), number))
        taken += each * number
    return taken


def _sticks(
    stock: Stock, held: Mapping[Length, int], priced: dict[Length, Money], prices: Prices | None
) -> list[Stick]:
    """The kit's sticks, which have no limit, and those on hand, which cost nothing.

    Costs are whole numbers of the currency's smaller unit.
    """
    if priced and prices is not None:
        unit = Decimal(1).scaleb(prices.decimals)
        sticks = [Stick(length, int(money * unit)) for length, money in priced.items()]
    else:
        sticks = [Stick(length) for length in dict.fromkeys(stock.lengths)]
    return [*(Stick(length, 0, count) for length, count in held.items()), *sticks]


def _rows(plan: Plan, stock: Stock, held: Mapping[Length, int]) -> tuple[StickRow, ...]:
    """The rows of a plan, in its order, but sticks on hand before those to buy."""
    spare = dict(held)
    rows = []
    for length, pieces, count in plan.sticks:
        here = min(count, spare.get(length, 0))
        spare[length] = spare.get(length, 0) - here
        left = max(0.0, length - sum(pieces) - stock.kerf * len(pieces))
        for number, is_held in ((here, True), (count - here, False)):
            if number:
                rows.append(StickRow(length, number, pieces, left, is_held))
    return tuple(sorted(rows, key=lambda row: not row.on_hand))


def _cost(bought: Iterable[StickRow], prices: dict[Length, Money]) -> Money | None:
    if not prices:
        return None
    return sum((prices[row.stock] * row.count for row in bought), Decimal(0))
