"""Core: the stock plan (method 12): which sticks to buy and what to cut from each.

Knows nothing of decks: lengths in, sticks out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from service.core.measure import TOUCH, Length
from service.core.planning import Job, Found, solve

Cost: TypeAlias = Decimal | int | float
Effort: TypeAlias = Literal["ordinary", "thorough"]

UNIT: Final = 1 << 30
"""Lengths are whole numbers of this part of the document's unit: 1/64 in and 1/2 mm exactly."""


@dataclass(frozen=True, slots=True)
class Stick:
    """A stock length. cost: of one stick; limit: how many there are, None for enough.

    What is on hand is a stick with a limit and cost 0: it counts nothing toward what is bought.
    """

    length: Length
    cost: Cost | None = None
    limit: int | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    sticks: tuple[tuple[Length, tuple[Length, ...], int], ...]
    bought: Length | Decimal
    lower_bound: Length | Decimal
    optimal: bool


class NoPlan(ValueError):
    pass


def plan_sticks(
    pieces: Mapping[Length, int],
    stock: Sequence[Stick],
    kerf: Length,
    trim: Length = 0.0,
    effort: str = "thorough",
) -> Plan:
    lengths = sorted((l for l, n in pieces.items() if n > 0), reverse=True)
    whole = [round((l + kerf) * UNIT) for l in lengths]
    g = math.gcd(*whole)
    priced = all(s.cost is not None for s in stock)
    kinds = sorted({(s.length, i) for i, s in enumerate(stock)}, reverse=True)
    kinds = [stock[i] for _, i in kinds]
    scale = 0
    if priced:
        costs_f = [Fraction(str(s.cost)) for s in kinds]
        den = math.lcm(*[c.denominator for c in costs_f])
        costs = [int(c * den) for c in costs_f]
        back = lambda c: float(Fraction(c, den))
    else:
        costs = [0 if s.cost == 0 else round(s.length * UNIT) for s in kinds]
        back = lambda c: c / UNIT
    cg = math.gcd(*costs) or 1
    total = sum(pieces.values())
    job = Job(
        weights=tuple(w // g for w in whole),
        counts=tuple(pieces[l] for l in lengths),
        rooms=tuple(math.floor((s.length - trim + kerf + TOUCH) * UNIT) // g for s in kinds),
        costs=tuple(c // cg for c in costs),
        limits=tuple(total if s.limit is None else min(s.limit, total) for s in kinds),
    )
    found = solve(job, effort)
    sticks = []
    for s, fill, n in found.loads:
        sticks.append((kinds[s].length, tuple(lengths[i] for i, k in fill for _ in range(k)), n))
    return Plan(tuple(sticks), back(found.aim[0] * cg), back(found.floor * cg), found.floor == found.aim[0])
