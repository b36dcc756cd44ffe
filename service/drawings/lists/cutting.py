"""Drawings: the cut list, for whoever stands at the saw: pieces, sticks, posts, blocking."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import Length
from service.drawings.lists.columns import (
    Field,
    count,
    data,
    length,
    listed,
    printed,
    tabulate,
    text,
)
from service.drawings.naming import (
    Parts,
    by_role,
    ends,
    exact,
    left_over,
    named,
    numbered,
    pieces,
    reading,
    side_of,
)
from service.drawings.parts import Column, Heading, Json, Subject, Table

FINISHED: Final = (
    "Lengths are finished lengths; the plan of sticks allows for a kerf between each two pieces."
)
RAKED: Final = (
    "Ends that are not square: degrees between the end and the length, and in brackets what a saw "
    "is set to that reads nought at square; both ends are parallel. Such a piece comes out of its "
    "blank, where one is given, and is measured along either long edge."
)
OFFCUT: Final = (
    "An offcut is what is left of a stick after its pieces and a kerf for each; its trim is still "
    "in it."
)


def cut_list(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """Tables of the pieces by part, the longest first, and of the sticks that they come out of.

    Then, where there are any: pieces too long for any stick, posts to cut down, and blocking.
    """
    reply, parts = subject.reply, by_role(subject.reply)
    tables = [_pieces(reply, parts), _sticks(subject, parts)]
    if any("left_out" in plan for plan in reply["stock_plan"]):
        tables.append(_left_out(reply, parts))
    posts = [post for post in reply["posts"] if post.get("stock_height", 0) > post["height"]]
    if posts:
        tables.append(_posts(reply, posts))
    if reply.get("blocking"):
        tables.append(_blocking(reply))
    return tuple(tables)


def _pieces(reply: Json, parts: Parts) -> Table:
    records = [_piece(reply, parts, row) for row in reply["cut_list"]]
    if not records:
        return tabulate("Pieces to cut", _piece_fields(raked=False), [], "Nothing is to be cut.")
    raked = any(row["ends"] != "square" for row in records)
    return tabulate(
        "Pieces to cut",
        _piece_fields(raked=any("blank" in row for row in records)),
        records,
        f"{FINISHED} {RAKED}" if raked else FINISHED,
        [{"description": "Pieces", "count": str(sum(row["count"] for row in records))}],
    )


def _piece_fields(*, raked: bool) -> list[Field]:
    """The columns of the pieces.

    raked: whether there are blanks to print; a file always has their columns.
    """
    number, blank = length("blank", "Blank")
    if not raked:
        blank = Column("blank_text", "", only="data"), blank[1]
    return [
        data("part"),
        data("number"),
        text("description", "Part"),
        count("count", "Count"),
        *length("length", "Length"),
        number,
        blank,
        printed("ends", "Ends"),
        data("end_cut_first"),
        data("end_cut_last"),
        *listed("bays", "Bays"),
        data("length_unit"),
    ]


def _piece(reply: Json, parts: Parts, row: Json) -> Json:
    """A row of the cut list, with what its part is called."""
    return {
        **row,
        "number": numbered(parts, row["part"]),
        "description": named(parts, row["part"]),
        "ends": ends(row),
        "end_cut_first": row["end_cuts"][0],
        "end_cut_last": row["end_cuts"][1],
        **_sides(reply, row),
        "length_unit": reply["unit"],
    }


def _sides(reply: Json, row: Json) -> Json:
    """The sides of flights that handrails of this length go to; empty for pieces of bays."""
    if row["bays"]:
        return {}
    found = [
        (flight["id"], rail["side"])
        for flight in reply.get("flights", ())
        for rail in flight["handrails"]
        if rail["length"] == row["length"]
    ]
    return {
        "bays": [f"{flight}/{side}" for flight, side in found],
        "bays_called": ", ".join(side_of(side, flight) for flight, side in found),
    }


def _sticks(subject: Subject, parts: Parts) -> Table:
    """The plan of sticks, with the totals of each part in its foot."""
    reply = subject.reply
    plans = [plan for plan in reply["stock_plan"] if plan["sticks"]]
    records = [record for plan in plans for record in _stick_rows(reply, parts, plan)]
    fields = [
        data("part"),
        text("description", "Part"),
        *([text("number", "Number")] if any(row["number"] for row in records) else []),
        *length("stock", "Stick"),
        count("count", "Count"),
        text("from", "From"),
        text("pieces", "Cut from each"),
        *length("offcut", "Offcut"),
        data("length_unit"),
    ]
    note = f"{_saw(subject, parts, plans)} {OFFCUT}" if records else "No sticks are planned."
    return tabulate(
        "Sticks", fields, records, note, [_bought(reply, parts, plan) for plan in plans]
    )


def _saw(subject: Subject, parts: Parts, plans: Sequence[Json]) -> str:
    """The kerf and trim that the plan reckons with, naming the parts where they differ."""
    reply = subject.reply
    found: dict[str, list[str]] = {}
    for plan in plans:
        stock = subject.kit.stocks[plan["part"]]
        lost = f"kerf {exact(reply, stock.kerf)}"
        lost += f", trim {exact(reply, stock.trim)} of each stick" if stock.trim else ""
        found.setdefault(lost, []).append(named(parts, plan["part"]))
    if len(found) == 1:
        return f"{next(iter(found)).capitalize()}."
    return " ".join(f"{', '.join(names)}: {lost}." for lost, names in found.items())


def _stick_rows(reply: Json, parts: Parts, plan: Json) -> Iterator[Json]:
    """A row for each group of sticks that are cut alike; pieces are read as in the cut list."""
    part = plan["part"]
    readings = dict(_readings(reply, part))
    for row in plan["sticks"]:
        cut = (readings.get(piece) or reading(reply, piece) for piece in row["pieces"])
        yield {
            **row,
            "part": part,
            "description": named(parts, part),
            "number": numbered(parts, part, row["stock"]),
            "from": "on hand" if row.get("on_hand") else "buy",
            "pieces": pieces(cut),
            "offcut_text": left_over(reply, row["offcut"]),
            "length_unit": reply["unit"],
        }


def _readings(reply: Json, part: str) -> Iterator[tuple[Length, str]]:
    """The length that each piece takes of a stick, and how the cut list reads it."""
    rows = [row for row in reply["cut_list"] if row["part"] == part]
    yield from ((row["blank"], f"{row['blank_text']} blank") for row in rows if "blank" in row)
    yield from ((row["length"], row["length_text"]) for row in rows if "blank" not in row)


def _bought(reply: Json, parts: Parts, plan: Json) -> dict[str, str]:
    """The totals of a part's sticks, and whether a better plan is ruled out."""
    to_buy = sum(row["count"] for row in plan["sticks"] if not row.get("on_hand"))
    held = sum(row["stock"] * row["count"] for row in plan["sticks"] if row.get("on_hand"))
    told = [f"{reading(reply, plan['bought'])} bought"]
    told += [f"{reading(reply, held)} on hand"] if held else []
    told.append(f"pieces come to {reading(reply, plan['used'])}")
    best = "no plan costs less" if "cost" in plan else "no plan buys less"
    proven = best if plan["optimal"] else "not proven the best"
    return {
        "description": f"{named(parts, plan['part'])}, all",
        "count": str(to_buy),
        "from": "buy",
        "pieces": f"{', '.join(told)}; {proven}",
    }


def _left_out(reply: Json, parts: Parts) -> Table:
    fields = [
        text("description", "Part"),
        *length("length", "Length"),
        count("count", "Count"),
        *listed("bays", "Bays"),
    ]
    records = [
        {**row, **_sides(reply, row), "description": named(parts, plan["part"])}
        for plan in reply["stock_plan"]
        for row in plan.get("left_out", ())
    ]
    note = "No stick is long enough for these: no plan above and no price covers them."
    return tabulate("Pieces that no stick holds", fields, records, note)


def _posts(reply: Json, posts: list[Json]) -> Table:
    """Posts whose stock height is more than they are to stand, those that are alike in one row."""
    fields: list[Field] = [
        *length("stock_height", "Stock height"),
        *length("height", "Height to stand"),
        *length("off", "Cut off"),
        count("count", "Count"),
        *listed("posts", "Posts"),
    ]
    alike: dict[tuple[Length, Length], list[Json]] = {}
    for post in posts:
        alike.setdefault((post["stock_height"], post["height"]), []).append(post)
    records = [
        {
            **rows[0],
            "off": stock - stands,
            "off_text": reading(reply, stock - stands),
            "count": len(rows),
            "posts": [row["id"] for row in rows],
        }
        for (stock, stands), rows in alike.items()
    ]
    note = "Heights above what a post stands on. On a flight a post is cut to the rail it meets."
    return tabulate("Posts to cut down", fields, records, note)


def _blocking(reply: Json) -> Table:
    fields: list[Field] = [
        *length("length", "Length"),
        count("count", "Count"),
        (Column("ends", "Ends"), ends),
        *listed("posts", "Under posts"),
    ]
    note = (
        "Timber between joists, for fixings that miss rim and joists. Length of the longest edge."
    )
    return tabulate("Blocking", fields, reply["blocking"], note)
