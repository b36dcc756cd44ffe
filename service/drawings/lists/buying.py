"""Drawings: the list of parts and the quote, for whoever stands at the counter."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal
from itertools import chain, combinations
from typing import Final, TypeAlias

from service.core.order.parts import PartRow
from service.core.order.roles import POSTS
from service.drawings.lists.columns import Field, count, data, tabulate, text
from service.drawings.naming import (
    NONE_SO_HIGH,
    Parts,
    by_role,
    named,
    plain,
    reading,
)
from service.drawings.parts import Column, Heading, Json, Subject, Table

BY: Final = {
    "each": "each",
    "per_pack": "per pack",
    "per_height": "each, by height",
    "per_stick": "per stick",
    "per_area": "by area",
    "cutting": "per cut",
}
"""What a line of the quote is charged by; for `per_length` see FOOT."""
MEMBERS: Final = ("height", "length", "mark")
"""The members that tell parts of one role apart."""
Members: TypeAlias = tuple[tuple[str, float | str], ...]
Numbers: TypeAlias = dict[tuple[str, Members], set[str]]
ON_HAND: Final = "What is on hand already is not listed."
RAKED: Final = " Spacers of flights are measured along either edge: their ends take more."
"""A note on raked spacers, whose blanks are not known as no kit says how deep a spacer is."""
FOOT: Final = {"in": "per foot", "mm": "per metre"}
"""What a price per length is for, by the document's unit."""


def parts_list(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """A table of everything to buy, and the quote where the job has prices."""
    reply = subject.reply
    tables = [_parts(reply, subject.order.parts)]
    if "quote" in reply:
        tables.append(_quote(reply))
    return tuple(tables)


def _parts(reply: Json, ordered: Sequence[PartRow]) -> Table:
    fields: list[Field] = [
        text("number", "Number"),
        text("description", "Part"),
        data("role"),
        (Column("size", "Size", only="print"), size),
        *(data(key) for key in ("height", "height_text", "length", "length_text", "mark")),
        count("quantity", "Needed"),
        text("unit", "Unit"),
        (Column("order", "To order", "right", only="print"), lambda row: to_order(reply, row)),
        data("packs"),
        data("pack"),
        (Column("length_unit", "length_unit", only="data"), lambda row: str(reply["unit"])),
    ]
    records = [_part(*each) for each in zip(reply["parts"], ordered, strict=True)]
    if not records:
        return tabulate("Parts", fields, [], "No parts are needed.")
    raked = any(
        row["part"] == "spacer" and row["end_cuts"] != [90, 90] for row in reply["cut_list"]
    )
    return tabulate("Parts", fields, records, ON_HAND + RAKED if raked else ON_HAND)


def _part(row: Json, ordered: PartRow) -> Json:
    """A row of the list of parts, with the size of its pack where the kit gives one.

    A piece too long for any stick is marked so. It has no pack, and neither has a post of a height
    that is not stocked.
    """
    if ordered.key.unsold:
        return {**row, "too_long": True} if "length" in row else row
    is_given = ordered.number is not None and ordered.pack
    return {**row, "pack": ordered.pack} if is_given else row


def size(row: Json) -> str:
    """What tells a part from the others of its role; empty where nothing does.

    >>> size({"role": "post_line", "height_text": "3'"}), size({"role": "post_cap"})
    ("3' high", '')
    >>> size({"role": "post_stair"})
    'none stocked so high'
    >>> size({"role": "handrail", "length_text": "9'", "too_long": True})
    "9' piece, too long for a stick"
    """
    if "height_text" in row:
        return f"{row['height_text']} high"
    if row["role"] in POSTS:
        return NONE_SO_HIGH
    if "length_text" in row:
        too_long = " piece, too long for a stick" if "too_long" in row else ""
        return f"{row['length_text']}{too_long}"
    return f"mark {row['mark']}" if "mark" in row else ""


def to_order(reply: Json, row: Json) -> str:
    """The packs to order and what each holds, or the rolls of a part sold by length.

    Empty where the reply gives no packs.

    >>> to_order({}, {"unit": "each", "packs": 3, "pack": 8.0})
    '3 packs of 8'
    >>> to_order({}, {"unit": "stick", "packs": 2, "pack": 1.0})
    '2'
    >>> metric = {"unit": "mm", "precision": 1.0}
    >>> to_order(metric, {"unit": "mm", "packs": 1, "pack": 25000.0})
    '1 roll of 25000 mm'
    """
    packs, pack = row.get("packs"), row.get("pack", 1.0)
    if packs is None or pack == 1.0:
        return plain(packs)
    by_length = row["unit"] in ("in", "mm")
    name, holds = ("roll", reading(reply, pack)) if by_length else ("pack", plain(pack))
    return f"{packs} {name}{'' if packs == 1 else 's'} of {holds}"


def numbers_of(parts: Parts) -> Numbers:
    """The yard's numbers of parts by role, and by all or some of the members that tell them apart.

    So a line of the quote finds the rows that it is for, whichever of their members it has.
    """
    found: Numbers = defaultdict(set)
    for role, rows in parts.items():
        for row in rows:
            own = _members(row)
            for some in chain.from_iterable(combinations(own, n) for n in range(len(own) + 1)):
                found[role, some].add(str(row.get("number", "")))
    return found


def number_of(numbers: Numbers, line: Json) -> str:
    """The number of the part that a line is for; empty where its rows have different ones."""
    own = numbers.get((line["role"], _members(line)), set())
    return next(iter(own)) if len(own) == 1 else ""


def _members(row: Json) -> Members:
    return tuple((name, row[name]) for name in MEMBERS if name in row)


def _quote(reply: Json) -> Table:
    quote = reply["quote"]
    currency = quote["currency"]
    fields: list[Field] = [
        text("number", "Number"),
        text("description", "Part"),
        text("size", "Size"),
        text("charged", "Charged"),
        count("quantity", "Quantity"),
        (Column("price", f"Price, {currency}", "right"), lambda row: str(row["price"])),
        text("terms", "Terms"),
        (Column("amount", f"Amount, {currency}", "right"), lambda row: str(row["amount"])),
    ]
    rate = f"Tax at {_percent(quote['tax_rate'])}"
    sums = {"Subtotal": quote["subtotal"], rate: quote["tax"], "Total": quote["total"]}
    foot = [{"description": name, "amount": amount} for name, amount in sums.items()]
    parts = by_role(reply)
    numbers = numbers_of(parts)
    records = [_line(reply, parts, numbers, line) for line in quote["lines"]]
    return tabulate(f"Quote in {currency}", fields, records, _unpriced(reply, parts), foot)


def _unpriced(reply: Json, parts: Parts) -> str:
    roles = reply["quote"]["unpriced"]
    if not roles:
        return "Every part has a price."
    names = "; ".join(named(parts, role) for role in roles)
    return f"Not in any sum, as no price covers them or not all of them: {names}."


def _line(reply: Json, parts: Parts, numbers: Numbers, line: Json) -> Json:
    by = FOOT[reply["unit"]] if line["by"] == "per_length" else BY[line["by"]]
    terms = [f"less {_percent(line['discount'])}"] if "discount" in line else []
    terms += ["least charge"] if line.get("least_charge") else []
    return {
        **line,
        "number": number_of(numbers, line),
        "description": named(parts, line["role"]),
        "size": size(line),
        "charged": by,
        "terms": ", ".join(terms),
    }


def _percent(share: str) -> str:
    """A share, decimal text, as a percentage.

    >>> _percent("0.07"), _percent("0.0825"), _percent("0")
    ('7 %', '8.25 %', '0 %')
    """
    return f"{(Decimal(share) * 100).normalize():f} %"
