"""Core: whole sticks for the pieces of one part (method 12, the stock plan)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.core.measure import TOUCH, Length


@dataclass(frozen=True, slots=True)
class Stick:
    """A stick to cut from. cost: None counts its length; limit: how many there are."""

    length: Length
    cost: float | None = None
    limit: int | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """Sticks as (stock length, pieces, count); bought and lower_bound by the first aim."""

    sticks: tuple[tuple[Length, tuple[Length, ...], int], ...]
    bought: float
    lower_bound: float
    optimal: bool


def plan_sticks(
    pieces: Mapping[Length, int],
    stock: Sequence[Stick],
    kerf: Length,
    trim: Length = 0.0,
    effort: str = "thorough",
) -> Plan:
    """A plan by first fit, longest piece first."""
    left = {stick: stick.limit for stick in stock}
    used: list[tuple[Stick, list[Length]]] = []

    def fits(stick: Stick, held: list[Length], piece: Length) -> bool:
        return sum(held) + piece + kerf * len(held) <= stick.length - trim + TOUCH

    for piece in sorted(pieces, reverse=True):
        for _ in range(pieces[piece]):
            for stick, held in used:
                if fits(stick, held, piece):
                    held.append(piece)
                    break
            else:
                able = [s for s in stock if fits(s, [], piece) and left[s] != 0]
                if not able:
                    raise ValueError(f"no stick holds a piece of {piece:g}")
                best = min(able, key=lambda s: (s.length if s.cost is None else s.cost, s.length))
                count = left[best]
                if count is not None:
                    left[best] = count - 1
                used.append((best, [piece]))
    rows: dict[tuple[Length, tuple[Length, ...]], int] = {}
    for stick, held in used:
        key = stick.length, tuple(held)
        rows[key] = rows.get(key, 0) + 1
    bought = sum(s.length if s.cost is None else s.cost for s, _ in used)
    return Plan(tuple((*key, count) for key, count in rows.items()), bought, 0.0, False)
