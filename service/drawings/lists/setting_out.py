"""Drawings: what is set out on site: posts, the marks along runs, blocking under posts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from service.drawings.lists.naming import (
    Field,
    count,
    data,
    ends,
    length,
    plain,
    reading,
    tabulate,
    text,
)
from service.drawings.parts import Column, Heading, Json, Subject, Table


def set_out(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """Posts in their order, runs with their marks, and the blocking that each post needs."""
    reply = subject.reply
    tables = [_posts(subject), _runs(subject)]
    blocks = list(_blocks(reply))
    if blocks:
        tables.append(_blocking(blocks))
    return tuple(tables)


def _posts(subject: Subject) -> Table:
    reply, places = subject.reply, dict(_on_flights(subject))
    records = [_post(reply, post, places) for post in reply["posts"]]
    fields: list[Field] = [
        text("id", "Post"),
        text("role", "Role"),
        text("place", "Stands on"),
        data("x"),
        (Column("x_text", "Across, x", "right"), lambda row: str(row["x_text"])),
        data("y"),
        (Column("y_text", "Up, y", "right"), lambda row: str(row["y_text"])),
        (Column("turned", "Turned", "right"), lambda row: f"{plain(row['turned'])}°"),
        *length("height", "Height"),
        *length("stock_height", "Stock height"),
    ]
    if any(record["lands"] for record in records):
        fields.append(text("lands", "Fixings land in"))
    if not records:
        return tabulate("Posts", fields, [], "There are no posts.")
    note = (
        "Centres, from the origin of the plan, to the nearest mark; turned: degrees from x to the "
        "post's face, counter-clockwise."
    )
    return tabulate("Posts", fields, records, note)


def _on_flights(subject: Subject) -> Iterator[tuple[str, str]]:
    """Of each post down a flight what it stands on there: a tread, counted from the deck down, or
    what is beyond the lowest nosing."""
    layout, setback = subject.layout, subject.kit.post.setback
    flights = {flight.id: flight for flight in layout.flights}
    runs = {run.id: run for run in layout.runs if run.flight is not None}
    ends = [(run, run.end, run.marks[-1]) for run in runs.values()]
    bays = [(bay, runs[bay.run]) for bay in layout.bays if bay.run in runs]
    ends += [(run, bay.end, run.marks[bay.index + 1]) for bay, run in bays]
    for run, post, mark in ends:
        flight = flights[run.flight or ""]
        tread = int((mark - setback) // flight.going) + 1
        where = f"tread {tread}" if tread < flight.risers else "at its foot"
        yield post or "", f"flight {flight.id}, {where}"


def _post(reply: Json, post: Json, places: Mapping[str, str]) -> Json:
    x, y = post["at"]
    return {
        **post,
        "place": places.get(post["id"], post["level"]) if "flight" in post else post["level"],
        "x": x,
        "y": y,
        "x_text": reading(reply, x),
        "y_text": reading(reply, y),
        "lands": _lands(post.get("framing", {}).get("lands_on", ())),
    }


def _lands(landings: list[str] | tuple[str, ...]) -> str:
    """How many of a post's fixings go into what.

    >>> _lands(["rim", "rim", "none", "joist"]), _lands(())
    ('2 rim, 1 joist, 1 no timber', '')
    """
    found = Counter(landings)
    words = {"rim": "rim", "joist": "joist", "none": "no timber"}
    return ", ".join(f"{found[name]} {said}" for name, said in words.items() if found[name])


def _runs(subject: Subject) -> Table:
    reply, sides = subject.reply, dict(_sides(subject))
    fields: list[Field] = [
        text("id", "Run"),
        (Column("along", "Along"), lambda row: sides.get(row["id"]) or _along(row)),
        (Column("from", "From"), lambda row: row["from"] or "wall"),
        (Column("to", "To"), lambda row: row["to"] or "wall"),
        *length("length", "Length"),
        (Column("marks_text", "Marks from its start"), lambda row: "; ".join(row["marks_text"])),
    ]
    if not reply["runs"]:
        return tabulate("Runs", fields, [], "There are no runs.")
    note = (
        "Marks are post centres and wall faces along the railing line, counter-clockwise round the "
        "deck; of a flight in plan, from its head; its sides as seen going up."
    )
    return tabulate("Runs", fields, reply["runs"], note)


def _sides(subject: Subject) -> Iterator[tuple[str, str]]:
    """Of each run down a flight which side it is of, as seen going up."""
    layout = subject.layout
    for flight in layout.flights:
        runs = [run for run in layout.runs if run.flight == flight.id]
        for run, hand in zip(runs, flight.guards, strict=False):
            yield run.id, f"flight {flight.id}, {hand}"


def _along(run: Json) -> str:
    return f"{run['level']}, edge {run['edge']}"


def _blocks(reply: Json) -> Iterator[Json]:
    """Each once, with the posts that it stands under."""
    under: dict[str, list[str]] = {}
    blocks = {}
    for post in reply["posts"]:
        for block in post.get("framing", {}).get("blocking", ()):
            key = repr((post["level"], block))
            blocks[key] = block
            under.setdefault(key, []).append(post["id"])
    for key, posts in under.items():
        block = blocks[key]
        yield {
            **block,
            "id": ", ".join(posts),
            "between": " and ".join(_joist(joist) for joist in block["between"]),
            "at_text": reading(reply, block["at"]),
            "length_text": ", ".join(block.get("lengths_text", [block["length_text"]])),
        }


def _joist(number: int | None) -> str:
    return "rim" if number is None else f"joist {number}"


def _blocking(blocks: list[Json]) -> Table:
    fields: list[Field] = [
        text("id", "Post"),
        text("between", "Between"),
        *length("at", "Middle, along the joists"),
        *length("length", "Length"),
        (Column("ends", "Ends"), ends),
        count("plies", "Plies"),
    ]
    note = (
        "Joists are counted from 0 toward x, or toward y where they run along x; a block's middle "
        "is measured the way they run, from the origin of the plan. Length of the longest edge, "
        "square to the joists; of each ply, in their order along the joists, where they differ."
    )
    return tabulate("Blocking by post", fields, blocks, note)
