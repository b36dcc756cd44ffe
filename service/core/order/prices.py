"""Core: what a request asks of its order, frozen: prices, stock on hand and effort.

Money is exact: a Decimal in the currency's own unit, never a float.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal, TypeAlias

from service.core.measure import TOUCH, Length
from service.core.order.roles import ROLES, Basis

Money: TypeAlias = Decimal
Effort: TypeAlias = Literal["ordinary", "thorough"]

COUNTED: Final[tuple[Basis, ...]] = ("each", "per_pack", "per_height")
"""Bases by which a part is charged by the piece or by the pack."""


@dataclass(frozen=True, slots=True)
class Discount:
    """A discount on a role. least: quantity from which on it applies; rate: the share taken off."""

    least: int
    rate: Decimal


@dataclass(frozen=True, slots=True)
class Price:
    """What one role costs.

    by_size: for `per_stick` and `per_height`, the price of each length; rate: the price for every
    other basis. least: for `per_area`, the least charge for one panel; for `per_length`, the least
    for the role. waste: share added to the quantity. cutting: fee for each piece of the cut list.
    """

    basis: Basis
    rate: Money = Decimal(0)
    by_size: tuple[tuple[Length, Money], ...] = ()
    least: Money = Decimal(0)
    waste: Decimal = Decimal(0)
    cutting: Money | None = None
    discounts: tuple[Discount, ...] = ()

    def of_size(self, size: Length | None) -> Money | None:
        """The price of this stick length or post height; None where it has none."""
        for length, money in self.by_size:
            if size is not None and abs(length - size) <= TOUCH:
                return money
        return None

    def share_off(self, quantity: Decimal) -> Decimal:
        """The discount for a quantity: the rate of the greatest step at or below it, else 0."""
        reached = [step for step in self.discounts if step.least <= quantity]
        return max(reached, key=lambda step: step.least).rate if reached else Decimal(0)


@dataclass(frozen=True, slots=True)
class Prices:
    """The prices of a request, by role. decimals: of the currency's smaller unit."""

    currency: str
    decimals: int
    tax_rate: Decimal
    parts: dict[str, Price]

    def wastes(self) -> dict[str, Decimal]:
        """By role, the share of waste that is added before packs are made whole.

        Only roles that are charged by the piece or the pack have one, and those that are sold by
        length, which come in rolls.
        """
        return {
            role: price.waste
            for role, price in self.parts.items()
            if price.basis in COUNTED or ROLES[role].sold == "strip"
        }

    def rounded(self, amount: Decimal) -> Money:
        """An amount rounded to the currency's smaller unit, a half upward.

        >>> Prices("USD", 2, Decimal(0), {}).rounded(Decimal("1.005"))
        Decimal('1.01')
        """
        return amount.quantize(Decimal(1).scaleb(-self.decimals), ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class OnHand:
    """Sticks of a part that the yard already has."""

    part: str
    length: Length
    count: int


@dataclass(frozen=True, slots=True)
class OrderRequest:
    """What a request asks of its order.

    shares: into how many equal parts the counted work on a request's plans is divided, of which the
    order may use one.
    """

    prices: Prices | None = None
    on_hand: tuple[OnHand, ...] = ()
    effort: Effort = "ordinary"
    shares: int = 1
