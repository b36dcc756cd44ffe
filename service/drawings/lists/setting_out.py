"""Drawings: what is set out on site: posts, the marks along runs, the blocking under posts, and the
bays to be measured once the posts stand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Final

from service.core.measure import Length, number_text
from service.drawings.ground import distance_along, edges_of, origin_of, solid_at
from service.drawings.lists.columns import Field, count, length, tabulate, text
from service.drawings.naming import (
    NONE_SO_HIGH,
    ends,
    exact,
    measured_text,
    plain,
    reading,
    side_of,
)
from service.drawings.parts import Column, Heading, Json, Subject, Table

TURNED: Final = "Turned: degrees from x to the post's face, counter-clockwise."
ON_RIM: Final = (
    "Heights of posts on the rim are above the deck; how far they go down the rim the kit does not "
    "say: see its maker's instructions."
)
OFF_SQUARE: Final = "Off square: degrees between a run and the way that the post's face looks."
SKEW: Final = 0.05
"""The least angle in degrees that counts as off square: what rounds to a tenth of a degree."""


def set_out(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """Tables of the posts, the runs with their marks, the blocking, and the bays to measure.

    The last two are left out where there is nothing in them.
    """
    reply = subject.reply
    tables = [_posts(subject), _runs(subject)]
    blocks = list(_blocks(reply))
    if blocks:
        tables.append(_blocking(blocks))
    if reply["bays"]:
        tables.append(_to_measure(subject))
    return tuple(tables)


def _posts(subject: Subject) -> Table:
    reply, places, off = subject.reply, dict(_on_flights(subject)), _off_square(subject)
    records = [
        {**_post(reply, post, places), "off_square": off.get(post["id"], "")}
        for post in reply["posts"]
    ]
    lands = any(record["lands"] for record in records)
    fields: list[Field] = [
        text("id", "Post"),
        text("role", "Role"),
        text("place", "Stands on"),
        *length("x", "Across, x"),
        *length("y", "Up, y"),
        (Column("turned", "Turned", "right"), lambda row: f"{plain(row['turned'])}°"),
        *([text("off_square", "Off square")] if off else []),
        *length("height", "Height"),
        *length("stock_height", "Stock height"),
        *([text("lands", "Fixings land in")] if lands else []),
    ]
    if not records:
        return tabulate("Posts", fields, [], "There are no posts.")
    notes = [
        f"Centres, to the nearest mark: {_origin(subject)}.",
        TURNED,
        *([OFF_SQUARE] if off else []),
        *([ON_RIM] if subject.kit.mounting == "fascia" else []),
    ]
    return tabulate("Posts", fields, records, " ".join(notes))


def _origin(subject: Subject) -> str:
    """Where the plans' x and y are counted from, in words.

    It is said of the first level that has a corner at the origin, else of the first level.
    """
    deck = subject.deck
    told = {
        level.id: origin_of(edges_of(deck, level), deck.unit, deck.step) for level in deck.levels
    }
    name, origin = next(
        ((name, said) for name, said in told.items() if said.startswith("x, y")),
        next(iter(told.items())),
    )
    return f"{origin}, level {name}" if len(told) > 1 else origin


def _off_square(subject: Subject) -> dict[str, str]:
    """By post, the runs that do not meet one of its faces square, with their angles.

    Posts that every run meets square are left out.
    """
    layout = subject.layout
    posts = {post.id: post for post in layout.posts}
    found: dict[str, dict[str, list[str]]] = {}
    passed: dict[str, list[str | None]] = {}
    for bay in layout.bays:
        passed.setdefault(bay.run, []).append(bay.end)
    for run in layout.runs:
        (x0, y0), (x1, y1) = run.ends
        heading = math.degrees(math.atan2(y1 - y0, x1 - x0))
        for post in filter(None, [run.start, *passed.get(run.id, ())]):
            off = abs((heading - posts[post].turned + 45.0) % 90.0 - 45.0)
            if off >= SKEW:
                angle = f"{number_text(off, 1)}°"
                found.setdefault(post, {}).setdefault(angle, []).append(run.id)
    return {
        post: "; ".join(f"{', '.join(runs)} by {angle}" for angle, runs in angles.items())
        for post, angles in found.items()
    }


def _on_flights(subject: Subject) -> Iterator[tuple[str, str]]:
    """Each post down a flight with what it stands on: a tread counted from the deck, or the
    foot."""
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
        "stock_height_text": NONE_SO_HIGH,
        **post,
        "place": places.get(post["id"], post["level"]) if "flight" in post else post["level"],
        "x": x,
        "y": y,
        "x_text": reading(reply, x),
        "y_text": reading(reply, y),
        "lands": _lands(post.get("framing", {}).get("lands_on", ())),
    }


def _lands(landings: list[str] | tuple[str, ...]) -> str:
    """How many of a post's fixings land in each kind of timber.

    >>> _lands(["rim", "rim", "none", "joist"]), _lands(())
    ('2 rim, 1 joist, 1 no timber', '')
    """
    found = Counter(landings)
    words = {"rim": "rim", "joist": "joist", "none": "no timber"}
    return ", ".join(f"{found[name]} {said}" for name, said in words.items() if found[name])


def _runs(subject: Subject) -> Table:
    reply, sides, starts = subject.reply, dict(_sides(subject)), _starts(subject)
    met = _met(subject)
    fields: list[Field] = [
        text("id", "Run"),
        (Column("along", "Along"), lambda row: sides.get(row["id"]) or _along(row)),
        text("from", "From"),
        text("to", "To"),
        (Column("start", "Start", "right"), lambda row: starts.get(row["id"], "")),
        *length("length", "Length"),
        (Column("marks_text", "Marks from its start"), lambda row: "; ".join(row["marks_text"])),
    ]
    records = [_between(run, *met[run["id"]]) for run in reply["runs"]]
    if not records:
        return tabulate("Runs", fields, [], "There are no runs.")
    note = (
        "Marks are post centres and wall faces along the railing line, counter-clockwise round the "
        "deck; of a flight in plan, from its head; its sides as seen going up. Start: of the first "
        "mark, along the edge from the corner before it, counter-clockwise"
    )
    if any(start.startswith("-") for start in starts.values()):
        note += "; below 0 where it lies short of that corner"
    return tabulate("Runs", fields, records, f"{note}.")


def _sides(subject: Subject) -> Iterator[tuple[str, str]]:
    """Each run down a flight with the side that it is on, as seen going up."""
    layout = subject.layout
    for flight in layout.flights:
        runs = [run for run in layout.runs if run.flight == flight.id]
        for run, hand in zip(runs, flight.guards, strict=False):
            yield run.id, side_of(hand, flight.id)


def _met(subject: Subject) -> dict[str, tuple[str, str]]:
    """By run, what solid it meets at its start and at its end, for an end without a post."""
    deck = subject.deck
    levels = {level.id: (level, edges_of(deck, level)) for level in deck.levels}
    return {
        run.id: (solid_at(*levels[run.level], start), solid_at(*levels[run.level], end))
        for run in subject.layout.runs
        for start, end in [run.ends]
    }


def _between(record: Json, first: str, last: str) -> Json:
    """A run or a bay with what it ends at where it has no post there: `first` and `last`."""
    return {**record, "from": record["from"] or first, "to": record["to"] or last}


def _starts(subject: Subject) -> dict[str, str]:
    """By run, how far along its edge the first mark lies, from the corner where the edge begins.

    The mark is taken square to the edge. Runs of flights and of bowed edges are left out.
    """
    deck, found = subject.deck, {}
    edges = {
        (level.id, edge.number): edge for level in deck.levels for edge in edges_of(deck, level)
    }
    for run in subject.layout.runs:
        edge = edges[run.level, run.edge]
        if run.flight is None and not edge.rise:
            found[run.id] = reading(subject.reply, distance_along(edge, run.ends[0]))
    return found


def _along(run: Json) -> str:
    return f"edge {run['edge']} of {run['level']}"


def _blocks(reply: Json) -> Iterator[Json]:
    """Each block once, with the posts that it stands under."""
    under: dict[str, tuple[Json, list[str]]] = {}
    for post in reply["posts"]:
        for block in post.get("framing", {}).get("blocking", ()):
            key = repr((post["level"], block))
            under.setdefault(key, (block, []))[1].append(post["id"])
    for block, posts in under.values():
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


def _to_measure(subject: Subject) -> Table:
    """Each bay as drawn along its rails, with room for its measures or with those that were
    sent."""
    reply, met = subject.reply, _met(subject)
    taken = {
        each.bay: {
            **_drawn(reply, each.drawn),
            "top_text": measured_text(reply, each.clear_top),
            "bottom_text": measured_text(reply, each.clear_bottom),
        }
        for each in subject.layout.measures
    }
    bays = [
        {
            **_drawn(reply, bay.get("clear_slope", bay["clear"])),
            **taken.get(bay["id"], {}),
            **_between(bay, *met[bay["run"]]),
        }
        for bay in reply["bays"]
    ]
    fields: list[Field] = [
        text("id", "Bay"),
        text("from", "From"),
        text("to", "To"),
        *length("drawn", "Drawn"),
        *length("top", "At the top rail"),
        *length("bottom", "At the bottom rail"),
    ]
    order = " and glass is ordered" if reply["glass_order"] else ""
    note = (
        f"Once the posts stand, and before rails are cut{order}: clear, face to face, at both "
        "rails; of a flight along them."
    )
    if subject.kit.out_of_plumb is not None:
        most = exact(reply, subject.kit.out_of_plumb)
        note += f" Where the two differ by more than {most}, plumb the posts first."
    if reply.get("gates"):
        note += (
            " The clear width at a gate is measured at both heights too: the lesser is given as "
            "the width of its opening."
        )
    return tabulate("Bays to measure", fields, bays, note)


def _drawn(reply: Json, clear: Length) -> Json:
    """A clear width and its tape reading, to the nearest mark."""
    return {"drawn": clear, "drawn_text": reading(reply, clear)}
