"""Core, stock: which sticks to buy and what to cut from each (method 12, the stock plan).

It takes lengths and gives sticks, and knows nothing of decks. The entry points are `plan_sticks`
and `holds`.
"""

from service.core.stock.sticks import NoPlan, Plan, Stick, holds, plan_sticks

__all__ = ["NoPlan", "Plan", "Stick", "holds", "plan_sticks"]
