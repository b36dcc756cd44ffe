"""Lay out one deck with no server: python -m service.lay_out deck.json [--json]

Prints a short summary for a person or, with --json, the reply's own bytes. Knows nothing of HTTP.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from service.answer import answer
from service.batch import LONGEST, too_long
from service.core.problems import Refusal
from service.data.catalogue import BadFileError, load_catalogue, own_folder
from service.rules.words import count_text
from service.streams import open_streams, print_error, print_output

Json = dict[str, Any]
FEW = 60
"""The most rows of a list that the summary shows."""


def main(words: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status.

    0: the deck was laid out. 1: the document was refused, with every problem on standard error.
    2: wrong use, a file that cannot be read, a kit or code of the yard's own that cannot be used,
    or an answer that cannot be written.
    """
    open_streams()
    asked = _parser().parse_args(words)
    try:
        body = _read(asked.deck)
    except OSError as error:
        print_error(f"{asked.deck}: {error.strerror}")
        return 2
    try:
        if len(body) > LONGEST:
            raise too_long(LONGEST)
        answered = answer(body, load_catalogue(own=own_folder(os.environ)))
    except BadFileError as error:
        print_error(f"a kit or a code cannot be used:\n{error}")
        return 2
    except Refusal as refusal:
        for problem in refusal.problems:
            print_error(f"{problem.pointer or '(the document)'}: {problem.message}")
        return 1
    told = answered.body if asked.json else "\n".join(summary(json.loads(answered.body)))
    try:
        print_output(told)
    except OSError as error:
        print_error(f"{error.filename}: {error.strerror}")
        return 2
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m service.lay_out", description="Lay out one deck, with no server."
    )
    parser.add_argument("deck", help="a deck document, JSON; - is standard input")
    parser.add_argument("--json", action="store_true", help="print the reply as the service does")
    return parser


def _read(name: str) -> bytes:
    if name == "-":
        return sys.stdin.buffer.read(LONGEST + 1)
    with Path(name).open("rb") as file:
        return file.read(LONGEST + 1)


def summary(reply: Json) -> Iterator[str]:
    """Lines that tell a person what to set out, cut, order and buy, and what to look at."""
    counts = reply["summary"]
    yield reply.get("title", "A deck") + f", {reply['kit']['title']}"
    yield (
        f"{count_text(counts['posts'], 'post')}, {count_text(counts['bays'], 'bay')}, "
        f"{count_text(counts['pickets'], 'picket')}, "
        f"{count_text(counts['glass_panels'], 'panel')} of glass"
    )
    yield from _section("Set", [set_out(run) for run in reply["runs"]])
    cuts = [
        f"{row['count']:5} x {_plain(row['part'])} {row['length_text']}"
        for row in reply["cut_list"]
    ]
    yield from _section("Cut", cuts)
    panels = [
        f"{row['count']:5} x {row['mark']} {row['width_text']} by {row['height_text']}, "
        f"{row['type']}"
        for row in reply["glass_order"]
    ]
    yield from _section("Glass", panels)
    yield from _section("Sticks", stick_rows(reply["stock_plan"]))
    if "quote" in reply:
        yield f"Total {priced(reply['quote'])}"
    failed = [
        f"{f['severity']}: {f['message']}" for f in reply["findings"] if f["result"] == "fail"
    ]
    yield from _section("Look at", failed, len(failed))
    advice = [f"{one['rule']}: {one['message']}" for one in reply.get("advice", ())]
    yield from _section("Advice", advice, len(advice))
    variants = [compared(one) for one in reply.get("comparison", ())]
    yield from _section("Compared", variants, len(variants))
    open_ = [f["message"] for f in reply["findings"] if f["result"] == "not_checked"]
    yield from _section("Not checked", open_, len(open_))
    yield from _section("Mind", reply["cautions"], len(reply["cautions"]))


def set_out(run: Json) -> str:
    """A line with the marks of a run, from its first post's centre or from the wall's face.

    >>> told = {"id": "R1", "level": "main", "edge": 0, "from": None, "to": "P2"}
    >>> set_out({**told, "marks_text": ["0 mm", "1500 mm", "3000 mm"]})
    'R1, edge 0 of main, a wall to P2: 0 mm, 1500 mm, 3000 mm'
    """
    where = (
        f"flight {run['flight']} in plan"
        if "flight" in run
        else f"edge {run['edge']} of {run['level']}"
    )
    ends = f"{run['from'] or 'a wall'} to {run['to'] or 'a wall'}"
    return f"{run['id']}, {where}, {ends}: {', '.join(run['marks_text'])}"


def _plain(role: str) -> str:
    """A role as plain words, such as "top rail glass"."""
    return role.replace("_", " ")


def stick_rows(plans: Sequence[Json]) -> list[str]:
    """Lines that count the sticks of the stock plans by part and length, however they are cut.

    Sticks that the yard has already are marked "on hand".

    >>> row = {"stock": 96, "stock_text": "8'", "count": 2}
    >>> stick_rows([{"part": "top_rail_glass", "sticks": [{**row, "on_hand": True}, row, row]}])
    ["    2 x top rail glass 8', on hand", "    4 x top rail glass 8'"]
    """
    counts: Counter[tuple[str, str, bool]] = Counter()
    for plan in plans:
        for row in plan["sticks"]:
            counts[plan["part"], row["stock_text"], row.get("on_hand", False)] += row["count"]
    return [
        f"{count:5} x {_plain(part)} {length}" + (", on hand" if held else "")
        for (part, length, held), count in counts.items()
    ]


def priced(sums: Json) -> str:
    """The total of a quote or a variant, and the roles that have no price and are not in it.

    >>> priced({"total": "2140.00", "currency": "USD", "unpriced": []})
    '2140.00 USD'
    >>> priced({"total": "140.00", "currency": "USD", "unpriced": ["glass_panel", "post_cap"]})
    '140.00 USD; no price for glass panel, post cap'
    """
    left = ", ".join(_plain(role) for role in sums["unpriced"])
    return f"{sums['total']} {sums['currency']}" + (f"; no price for {left}" if left else "")


def compared(line: Json) -> str:
    """A line for one variant, with the roles that its total leaves out, or why it was refused.

    >>> counts = {"posts": 9, "glass_panels": 1, "violations": 1}
    >>> compared({"label": "low", **counts})
    'low: 9 posts, 1 panel of glass, 1 violation'
    >>> sums = {"total": "2140.00", "currency": "USD", "unpriced": ["glass_panel"]}
    >>> compared({"label": "low", **counts, **sums})
    'low: 9 posts, 1 panel of glass, 1 violation, 2140.00 USD; no price for glass panel'
    """
    if "problem" in line:
        return f"{line['label']}: {line['problem']['message']}"
    told = (
        f"{line['label']}: {count_text(line['posts'], 'post')}, "
        f"{count_text(line['glass_panels'], 'panel')} of glass, "
        f"{count_text(line['violations'], 'violation')}"
    )
    return f"{told}, {priced(line)}" if "total" in line else told


def _section(title: str, rows: Sequence[str], most: int = FEW) -> Iterator[str]:
    if rows:
        yield f"\n{title}:"
        yield from (f"  {row}" for row in rows[:most])
        if len(rows) > most:
            yield f"  and {count_text(len(rows) - most, 'row')} more (--json has all)"


if __name__ == "__main__":
    sys.exit(main())
