"""Core: the stock plan (method 12): which sticks to buy and what to cut from each.

It turns lengths into whole numbers for `planning`, and the plan back into lengths; it knows nothing
of decks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Final, TypeAlias

from service.core.frozen import record
from service.core.measure import TOUCH, Length
from service.core.stock.fills import Fill
from service.core.stock.instance import Instance, NumberedSticks
from service.core.stock.offcuts import lengthen
from service.core.stock.planning import EFFORTS, solve

Cost: TypeAlias = Decimal | int | float
CutStick: TypeAlias = tuple[Length, tuple[Length, ...], int]
"""A stick's length, its pieces longest first, and how many sticks are cut so."""

UNIT: Final = 1 << 30
"""Lengths become whole multiples of 1/UNIT of the document's unit: 1/64 in and 1/2 mm exactly."""


@record()
class Stick:
    """A stock length.

    cost: of one stick, in any money; None where it has no price. limit: how many there are; None
    for as many as needed. A stick on hand has a limit and cost 0: it adds nothing to what is
    bought.
    """

    length: Length
    cost: Cost | None = None
    limit: int | None = None


@record()
class Plan:
    """Sticks, longest first, and what is cut from each.

    bought: the total cost where every stick has a cost, else the total length of the sticks that do
    not cost 0. lower_bound: no plan comes to less; optimal: whether `bought` is proven, in whole
    numbers, to be that bound.
    """

    sticks: tuple[CutStick, ...]
    bought: float
    lower_bound: float
    optimal: bool


class NoPlan(ValueError):
    """Raised where the sticks do not hold the pieces."""


def plan_sticks(
    pieces: Mapping[Length, int],
    stock: Sequence[Stick],
    kerf: Length,
    trim: Length = 0.0,
    effort: str = "thorough",
    work: int | None = None,
) -> Plan:
    """Whole sticks that hold the pieces, and what to cut from each.

    Aims, in this order: the least cost (or least length bought, unless every stick has a cost); the
    fewest sticks; the longest single offcut. `optimal` says whether the first is proven to be met;
    the last is pursued as far as a share of the work goes.

    pieces: how many of each length. A stick, less its trim, holds pieces that come, with a kerf
    between each two, to no more than it (within 1e-6). effort: "ordinary" or "thorough", each a
    fixed amount of counted work, so that the answer is the same everywhere; work: the most of it,
    where that is less than the effort's own.

    Raises NoPlan where a piece is longer than every stick or there are too few sticks, ValueError
    for an invalid length, kerf, trim, limit or effort.

    >>> plan_sticks({55.5: 6}, [Stick(144), Stick(192)], kerf=0.125)
    Plan(sticks=((192, (55.5, 55.5, 55.5), 2),), bought=384.0, lower_bound=384.0, optimal=True)
    """
    _check(pieces, stock, kerf, trim, effort)
    lengths = sorted([length for length, count in pieces.items() if count], reverse=True)
    if not lengths:
        return Plan((), bought=0.0, lower_bound=0.0, optimal=True)
    _check_fit(lengths[0], stock, kerf, trim)
    sticks = sorted(stock, key=lambda stick: -stick.length)
    weights = [_weight(length, kerf) for length in lengths]
    costs, unit = _whole_costs(sticks)
    rooms = [_room(stick.length, kerf, trim) for stick in sticks]
    fine, coarse = math.gcd(*weights) or 1, math.gcd(*costs) or 1
    total = sum(pieces.values())
    instance = Instance(
        weights=tuple([weight // fine for weight in weights]),
        counts=tuple([pieces[length] for length in lengths]),
        rooms=tuple([room // fine for room in rooms]),
        costs=tuple([cost // coarse for cost in costs]),
        limits=tuple([total if s.limit is None else min(s.limit, total) for s in sticks]),
    )
    work = EFFORTS[effort] if work is None else min(work, EFFORTS[effort])
    solution = solve(instance, work)
    if solution is None:
        raise NoPlan(f"there are too few sticks for {total} pieces")
    whole = replace(instance, weights=tuple(weights), rooms=tuple(rooms))
    numbered = lengthen(whole, solution.sticks, work)
    cuts = _cuts(numbered, [stick.length for stick in sticks], lengths)
    bought, floor = solution.cost * coarse / unit, solution.floor * coarse / unit
    return Plan(cuts, bought, floor, solution.cost == solution.floor)


def _check(
    pieces: Mapping[Length, int], stock: Sequence[Stick], kerf: Length, trim: Length, effort: str
) -> None:
    if effort not in EFFORTS:
        raise ValueError(f"no effort {effort!r}; there are {' and '.join(EFFORTS)}")
    for name, value in (("kerf", kerf), ("trim", trim)):
        if not 0 <= value < math.inf:
            raise ValueError(f"the {name} is {value}; it is 0 or more")
    for length, count in pieces.items():
        if not 0 < length < math.inf or count < 0:
            raise ValueError(f"{count} pieces of {length}: lengths are above 0, counts 0 or more")
    for stick in stock:
        if not 0 < stick.length < math.inf or (stick.limit is not None and stick.limit < 0):
            raise ValueError(f"{stick}: lengths are above 0, limits 0 or more")
        if stick.cost is not None and not 0 <= stick.cost < math.inf:
            raise ValueError(f"{stick}: costs are 0 or more")


def holds(stick: Length, piece: Length, kerf: Length, trim: Length) -> bool:
    """Whether a stick holds this one piece, in the whole numbers that plans are made in.

    >>> holds(55.624999, 55.625, 0.2, 0.0), holds(55.6249, 55.625, 0.2, 0.0)
    (True, False)
    """
    return _weight(piece, kerf) <= _room(stick, kerf, trim)


def _weight(piece: Length, kerf: Length) -> int:
    """What a piece takes up of a stick, with its kerf, in whole numbers."""
    return round((piece + kerf) * UNIT)


def _room(stick: Length, kerf: Length, trim: Length) -> int:
    """What a stick holds, within 1e-6, and one kerf more, as the last piece needs none after it."""
    return math.ceil((stick - trim + kerf + TOUCH) * UNIT)


def _check_fit(longest: Length, stock: Sequence[Stick], kerf: Length, trim: Length) -> None:
    most = max((stick.length for stick in stock if stick.limit != 0), default=0.0)
    if not holds(most, longest, kerf, trim):
        raise NoPlan(f"a piece of {longest:g} is longer than every stick; {most - trim:g} is")


def _whole_costs(sticks: Sequence[Stick]) -> tuple[list[int], int]:
    """What each stick adds to what is bought, in whole parts, and how many parts make one of the
    unit."""
    if any(stick.cost is None for stick in sticks):
        return [0 if stick.cost == 0 else round(stick.length * UNIT) for stick in sticks], UNIT
    priced = [Fraction(str(stick.cost)) for stick in sticks]
    unit = math.lcm(*(cost.denominator for cost in priced))
    return [int(cost * unit) for cost in priced], unit


def _cuts(
    numbered: NumberedSticks, stock: Sequence[Length], lengths: Sequence[Length]
) -> tuple[CutStick, ...]:
    """The sticks of a plan in the document's lengths, longest stick first."""
    rows: dict[tuple[Length, Fill], int] = {}
    for number, fill, count in numbered:
        alike = stock[number], fill
        rows[alike] = rows.get(alike, 0) + count
    cuts = [
        (length, tuple([lengths[i] for i, k in fill for _ in range(k)]), count)
        for (length, fill), count in rows.items()
    ]
    return tuple(sorted(cuts, key=lambda cut: (-cut[0], [-piece for piece in cut[1]])))
