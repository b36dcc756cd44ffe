"""Wire: the stock plan, glass order, parts and quote of a layout (contract, section 7)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal

from service.core.measure import Unit, floor_to_mark, tidy
from service.core.order.ordering import Order
from service.core.order.parts import Key, PartRow, gasket_length
from service.core.order.plan import PartPlan, StickRow
from service.core.order.prices import Prices
from service.core.order.quote import Quote, QuoteLine
from service.core.order.roles import POSTS, ROLES
from service.core.records.code import Code
from service.core.records.kit import Kit
from service.core.records.orders import Panel
from service.wire.writing.pen import AMOUNT, Json, Pen


def money_text(amount: Decimal) -> str:
    """Money as text, with the decimals that it has and no exponent.

    >>> money_text(Decimal("95.00")), money_text(Decimal("1E+3"))
    ('95.00', '1000')
    """
    return f"{amount:f}"


def write_plans(pen: Pen, order: Order) -> list[Json]:
    """The stock plan, part by part."""
    prices = order.quote.prices if order.quote is not None else None
    return [_plan(pen, plan, prices) for plan in order.plans]


def _plan(pen: Pen, plan: PartPlan, prices: Prices | None) -> Json:
    bound: Json = {"lower_bound": pen.numbers(plan.lower_bound)}
    if plan.cost is not None and prices is not None:
        least = Decimal(math.ceil(plan.lower_bound)).scaleb(-prices.decimals)
        bound = {"cost": money_text(prices.rounded(plan.cost)), "lower_bound": money_text(least)}
    written: Json = {
        "part": plan.part,
        "sticks": [_sticks(pen, row) for row in plan.sticks],
        "bought": pen.numbers(plan.bought),
        "used": pen.numbers(plan.used),
        **bound,
        "optimal": plan.optimal,
    }
    if plan.left_out:
        written["left_out"] = [
            {**pen.named("length", piece.length), "count": piece.count, "bays": list(piece.bays)}
            for piece in plan.left_out
        ]
    return written


def _sticks(pen: Pen, row: StickRow) -> Json:
    written = {
        **pen.named("stock", row.stock),
        "count": row.count,
        "pieces": [pen.numbers(piece) for piece in row.pieces],
        "offcut": pen.numbers(row.offcut),
    }
    return {**written, "on_hand": True} if row.on_hand else written


def write_panel(pen: Pen, panel: Panel, kit: Kit, code: Code | None) -> Json:
    """A row of the glass order: a panel's size, and what else a glass shop asks."""
    assert kit.glass is not None
    count = len(panel.bays)
    written: Json = {
        "mark": panel.mark,
        **pen.named("width", panel.width),
        **pen.named("height", panel.height),
        **pen.panes(panel.pane),
        "corners": pen.points(panel.corners),
        "measured": panel.measured,
        "count": count,
        "bays": list(panel.bays),
        "area": tidy(panel.area, AMOUNT),
        "mass": tidy(panel.mass, AMOUNT),
    }
    x, y = panel.corners[1]
    if y:
        written |= pen.named("edge_rise", abs(y))
        written |= pen.named("lower_edge", floor_to_mark(math.hypot(x, y), pen.step))
        written["end_blocks"] = 1
    written["setting_blocks"] = 2
    if kit.glass.gasket_strips is not None:
        gasket = gasket_length(panel, kit.glass.gasket_strips, pen.step)
        written |= pen.named("gasket", gasket)
    written |= _words(kit, code)
    written["total_area"] = tidy(panel.area * count, AMOUNT)
    written["total_mass"] = tidy(panel.mass * count, AMOUNT)
    return written


def _words(kit: Kit, code: Code | None) -> Json:
    """The kit's words on tolerance and edges, and the code's words on the glass and its marking."""
    assert kit.glass is not None
    words = {"tolerance": kit.glass.tolerance, "edges": kit.glass.edges}
    words["safety_glazing"] = "; ".join(_glazing_words(code)) if code is not None else ""
    return {name: said for name, said in words.items() if said}


def _glazing_words(code: Code) -> Iterator[str]:
    """The code's words on its glass, each with its clause.

    Left out are figures with cases: the finding `glass_type` tells of a make that depends on the
    place.
    """
    for name in ("glass_make", "glass_marking", "glass_standard"):
        figure = code.figure(name)
        if figure is not None and isinstance(figure.value, str) and not figure.when:
            make = " glass" if name == "glass_make" else ""
            yield f"{figure.value}{make} ({figure.cite})"


def write_parts(pen: Pen, rows: Sequence[PartRow], unit: Unit) -> list[Json]:
    """The list of parts."""
    return [_part(pen, row, unit) for row in rows]


def _part(pen: Pen, row: PartRow, unit: Unit) -> Json:
    by_length = ROLES[row.key.role].sold == "strip"
    written: Json = {"role": row.key.role}
    if row.number is not None:
        written["number"] = row.number
    written["description"] = row.description
    written |= _size(pen, row.key)
    written["quantity"] = pen.numbers(row.quantity)
    if row.packs is not None:
        written["packs"] = row.packs
    if by_length:
        written["unit"] = unit
    else:
        written["unit"] = "stick" if row.key.stick else "each"
    return written


def _size(pen: Pen, key: Key) -> Json:
    if key.mark is not None:
        return {"mark": key.mark}
    if key.size is None:
        return {}
    if key.role in POSTS:
        return pen.named("height", key.size)
    return pen.named("length", key.size) if key.stick else pen.rounded_up("length", key.size)


def write_quote(pen: Pen, quote: Quote) -> Json:
    """The quote, with money as text."""
    prices = quote.prices
    return {
        "currency": prices.currency,
        "lines": [_line(pen, line, prices) for line in quote.lines],
        "subtotal": money_text(quote.subtotal),
        "tax_rate": money_text(prices.tax_rate),
        "tax": money_text(quote.tax),
        "total": money_text(quote.total),
        "unpriced": list(quote.unpriced),
    }


def _line(pen: Pen, line: QuoteLine, prices: Prices) -> Json:
    written = {
        "role": line.key.role,
        **_size(pen, line.key),
        "by": line.by,
        "quantity": tidy(float(line.quantity), AMOUNT),
        "price": money_text(prices.rounded(line.price)),
        "amount": money_text(line.amount),
    }
    if line.share_off:
        written["discount"] = money_text(line.share_off)
    if line.raised:
        written["least_charge"] = True
    return written
