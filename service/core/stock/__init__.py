"""Core, stock: which sticks to buy and what to cut from each (method 12, the stock plan).

Lengths in, sticks out; it knows nothing of decks. `plan_sticks` and `holds` are its doors.
"""

from service.core.stock.sticks import NoPlan, Plan, Stick, holds, plan_sticks

__all__ = ["NoPlan", "Plan", "Stick", "holds", "plan_sticks"]
