"""Wire: what a kit document says of its parts: stock numbers, packs, sticks, and extras.

The main entry is `read_kit_parts`. `read_by_size` also reads the prices of sizes (`order`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final, TypeAlias

from service.core.measure import TOUCH, Length, plain_length
from service.core.order.roles import POSTS, ROLES
from service.core.problems import Problem
from service.core.records.kit import Extra, Kit, Part, Stock
from service.wire.echo import echo
from service.wire.pointers import step
from service.wire.reading.lengths import Json, Lengths

Numbered: TypeAlias = tuple[int, Extra]
"""The number of an extra in the kit's list, and the extra."""
MOST_WITH_ONE: Final = 1_000_000
"""The most extras of one role that may go with one piece, whether directly or through other
extras."""


def read_kit_parts(document: Json, kit: Kit, lengths: Lengths) -> Kit:
    """The kit with its parts, extras and sticks; problems are added to those of `lengths`."""
    kit = replace(
        kit,
        included=frozenset(document.get("included", ())),
        extras=_read_extras(document.get("extras", ()), f"{kit.pointer}/extras", lengths),
        stocks=_stocks(kit),
    )
    parts = {
        role: _read_part(role, part, kit, lengths)
        for role, part in document.get("parts", {}).items()
    }
    return replace(kit, parts=parts)


def _read_extras(nodes: Sequence[Json], pointer: str, lengths: Lengths) -> tuple[Extra, ...]:
    """The extras, each after all those whose role it goes with.

    Extras in or behind a ring are left out, and problems are added to those of `lengths`.
    """
    numbered = [
        (i, Extra(each["role"], each["of"], int(each["count"]), int(each.get("every", 1))))
        for i, each in enumerate(nodes)
    ]
    ordered, ring = _in_order(numbered)
    lengths.problems += _ring_problems(ring, pointer)
    lengths.problems += _number_problems(ordered, pointer)
    return tuple(extra for _, extra in ordered)


def _in_order(extras: list[Numbered]) -> tuple[list[Numbered], list[Numbered]]:
    """The extras, each after all those whose role it goes with; and those in or behind a ring."""
    left, ordered = extras, list[Numbered]()
    given = {extra.role for _, extra in left}
    while given:
        ready = given - {extra.role for _, extra in left if extra.of in given}
        if not ready:
            break
        ordered += [(i, extra) for i, extra in left if extra.role in ready]
        left = [(i, extra) for i, extra in left if extra.role not in ready]
        given -= ready
    return ordered, left


def _ring_problems(left: Sequence[Numbered], pointer: str) -> Iterator[Problem]:
    """A problem for each extra that leads back to its own role; none for extras that only go with
    one of a ring."""
    goes_with: dict[str, set[str]] = {}
    for _, extra in left:
        goes_with.setdefault(extra.role, set()).add(extra.of)
    for i, extra in left:
        reached, ahead = set[str](), [extra.of]
        while ahead:
            role = ahead.pop()
            if role not in reached:
                reached.add(role)
                ahead += goes_with.get(role, ())
        if extra.role in reached:
            message = (
                f"{extra.role} goes with {extra.of}, which comes back to {extra.role}, so neither "
                "has a count: let one of them go with a part that is no extra."
            )
            yield Problem(f"{pointer}/{i}/of", "extras_in_a_ring", message)


def _number_problems(ordered: Sequence[Numbered], pointer: str) -> Iterator[Problem]:
    """Problems of extras that come to more than MOST_WITH_ONE with one piece."""
    with_one: dict[str, int] = {}
    for i, extra in ordered:
        more = extra.count * -(-with_one.get(extra.of, 1) // extra.every)
        with_one[extra.role] = with_one.get(extra.role, 0) + more
        if with_one[extra.role] > MOST_WITH_ONE:
            message = (
                f"Through {extra.of}, {with_one[extra.role]} of {extra.role} would go with one "
                f"piece; at most {MOST_WITH_ONE} are taken."
            )
            yield Problem(f"{pointer}/{i}/count", "too_many_extras", message)


def _stocks(kit: Kit) -> dict[str, Stock]:
    """The sticks of each role that the kit sells by the stick."""
    stocks: dict[str, Stock] = {}
    for infill, rails in kit.rails.items():
        stocks[f"top_rail_{infill}"] = rails.top.stock
        stocks[f"bottom_rail_{infill}"] = rails.bottom.stock
    if kit.picket is not None and kit.picket.stock is not None:
        stocks["picket"] = kit.picket.stock
    if kit.handrail is not None:
        stocks["handrail"] = kit.handrail.stock
    return stocks


def _read_part(role: str, part: Json, kit: Kit, lengths: Lengths) -> Part:
    given = {} if lacks_rail(kit, role) else part.get("sizes", {})
    pointer = f"{kit.pointer}/parts/{role}/sizes"
    sizes = read_by_size(given, pointer, lengths, sizes_of(kit, role), lengths.problems)
    pack: float = int(part.get("pack", 1))
    if ROLES[role].sold == "strip":
        pack = lengths.plain(part["pack"]) if "pack" in part else 0.0
    numbers = tuple((length, number) for length, _, number in sizes)
    return Part(part["number"], part["description"], pack, numbers)


def sizes_of(kit: Kit, role: str) -> tuple[Length, ...]:
    """The sizes in which a role is stocked: heights of posts, lengths of sticks; else empty."""
    if role in POSTS:
        return kit.post.heights
    return kit.stocks[role].lengths if role in kit.stocks else ()


def lacks_rail(kit: Kit, role: str) -> bool:
    """Whether a role is cut from sticks that the kit does not have, so that none is ever cut."""
    return ROLES[role].sold == "stick" and role not in kit.stocks


def read_by_size(
    node: Json,
    pointer: str,
    lengths: Lengths,
    known: tuple[Length, ...],
    faults: list[Problem],
) -> Iterator[tuple[Length, str, Any]]:
    """The members of an object whose names are sizes: the size, its pointer and the member's value.

    A name is a number in the kit's own unit, or text with a unit. known: the sizes that the kit
    stocks, NaN for one that is faulty. faults: collects the problems of names that are no known
    size, or one that is named already.
    """
    taken: set[Length] = set()
    for name, value in node.items():
        length = lengths.from_name(name)
        found = [size for size in known if length is not None and abs(size - length) <= TOUCH]
        if not found:
            if any(map(math.isnan, known)):
                continue  # It may be meant for the size that is faulty.
            known_sizes = _list(known, lengths)
            message = f"The kit does not stock this part in {echo(name)}; it has {known_sizes}."
            faults.append(Problem(step(pointer, name), "no_such_size", message))
        elif found[0] in taken:
            message = f"{echo(name)} is a length that another name gives already."
            faults.append(Problem(step(pointer, name), "given_twice", message))
        else:
            taken.add(found[0])
            yield found[0], step(pointer, name), value


def _list(known: tuple[Length, ...], lengths: Lengths) -> str:
    """The sizes in words, in the kit's own unit."""
    return (
        ", ".join(plain_length(lengths.back(length), lengths.own) for length in known)
        or "no sizes of it"
    )
