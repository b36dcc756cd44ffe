"""Core: what is ordered for a layout (`make_order`).

It is the plan of whole sticks, the list of parts and, where prices are given, the quote.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.core.order.parts import PartRow, list_parts
from service.core.order.plan import PartPlan, plan_stock
from service.core.order.prices import OrderRequest
from service.core.order.quote import Priced, Quote, make_quote
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.orders import SticksSeen


@dataclass(frozen=True, slots=True)
class Order:
    """What is ordered for a layout. quote: None where no prices were given."""

    plans: tuple[PartPlan, ...]
    parts: tuple[PartRow, ...]
    quote: Quote | None

    def sticks_seen(self) -> tuple[SticksSeen, ...]:
        """What a rule looks at, for each part that is cut from sticks."""
        return tuple(plan.seen() for plan in self.plans)


def make_order(layout: Layout, deck: Deck, kit: Kit, order_request: OrderRequest) -> Order:
    """The order of a layout."""
    plans = plan_stock(layout.cut_list, kit, order_request)
    prices = order_request.prices
    parts = list_parts(layout, kit, plans, deck.step, {} if prices is None else prices.wastes())
    if prices is None:
        return Order(plans, parts, None)
    return Order(plans, parts, make_quote(parts, Priced(layout, plans, deck.unit, prices)))
