"""What the service costs, compared side by side in one run: python -m tests.bench

Read the ratios, as the times are those of the machine that ran it. It takes about three minutes.
"""

from __future__ import annotations

import contextlib
import cProfile
import io
import json
import pstats
import statistics
import tempfile
from pathlib import Path
from typing import Any

from service.answer import answer
from service.data.catalogue import Catalogue, load_catalogue
from tests.bench import decks
from tests.bench.rate import rate, request
from tests.bench.stages import answer_time, stage_times
from tests.web.running import running

DECKS = {
    **{"typical": decks.typical, "uneven": decks.uneven, "whole": decks.whole},
    **{"large": decks.large, "largest": decks.largest},
}
"""`typical` and `uneven` are level; `whole` has two levels, a flight, a gate, a bow and framing."""
LARGE_BAYS = 152
ROUNDS = 3


def main() -> None:
    """Print every table."""
    catalogue = load_catalogue()
    table_of_stages(catalogue)
    table_of_bays(catalogue)
    table_of_whole_decks(catalogue)
    table_of_flights(catalogue)
    table_of_rates(catalogue)
    profile("typical", decks.typical(), catalogue)
    profile("whole", decks.whole(), catalogue)


def table_of_stages(catalogue: Catalogue) -> None:
    """Print each stage of an answer as a share of the whole."""
    print("Stages of one answer, ms and share of all\n")
    columns = {name: stage_times(make(), catalogue, 1.0) for name, make in DECKS.items()}
    print(f"{'':10}" + "".join(f"{name:>20}" for name in columns))
    for stage in columns["typical"]:
        cells = [(times[stage] * 1000, times[stage] / times["all"]) for times in columns.values()]
        print(f"{stage:10}" + "".join(f"{ms:12.3f} {share:6.0%} " for ms, share in cells))


def table_of_bays(catalogue: Catalogue) -> None:
    """Print the cost of a bay, from 8 to the limit; linear where the last column stays near 1."""
    print("\nCost against bays\n\n      bays          ms   us a bay   of the large deck's")
    rows = {}
    for steps, levels in ((1, 1), (4, 1), (19, 1), (19, 2), (19, 4), (19, 8), (19, 16)):
        deck = decks.stepped(steps, levels)
        rows[_bays(deck, catalogue)] = answer_time(deck, catalogue, 1.0)
    each_of_large = rows[LARGE_BAYS] / LARGE_BAYS
    for bays, spent in rows.items():
        each = spent / bays
        print(f"{bays:10} {spent * 1000:11.2f} {each * 1e6:10.0f} {each / each_of_large:14.2f}")


def table_of_whole_decks(catalogue: Catalogue) -> None:
    """Print the cost of whole decks in a row; linear where the last column stays near 1."""
    print(
        "\nCost against whole decks\n\n     decks     bays          ms   us a bay   of the first's"
    )
    first = 0.0
    for count in (1, 2, 4, 8):
        deck = decks.pairs(count)
        bays = _bays(deck, catalogue)
        spent = answer_time(deck, catalogue, 1.0)
        first = first or spent / bays
        print(
            f"{count:10} {bays:8} {spent * 1000:11.2f} {spent / bays * 1e6:10.0f}"
            f" {spent / bays / first:16.2f}"
        )


def table_of_flights(catalogue: Catalogue) -> None:
    """Print what flights add to their level deck, for each riser of a guarded side."""
    print("\nCost against flights and risers\n\n   flights   risers     bays  ms more   us a riser")
    for count, risers in ((1, 7), (1, 14), (1, 28), (1, 60), (8, 14), (32, 14), (32, 60)):
        deck = decks.flights(count, risers)
        level = {**deck, "stairs": []}
        more = answer_time(deck, catalogue, 1.0) - answer_time(level, catalogue, 1.0)
        bays = _bays(deck, catalogue) - _bays(level, catalogue)
        each = more / (2 * count * risers)
        print(f"{count:10} {risers:8} {bays:8} {more * 1000:8.2f} {each * 1e6:12.1f}")


def _bays(deck: Any, catalogue: Catalogue) -> int:
    bays: int = json.loads(answer(json.dumps(deck).encode(), catalogue).body)["summary"]["bays"]
    return bays


def table_of_rates(catalogue: Catalogue) -> None:
    """Print the rate of the typical deck beside that of a bare route with the same reply.

    Each has two workers.
    """
    print("\nRequests a second through gunicorn, two workers, typical deck\n")
    body = json.dumps(decks.typical()).encode()
    with tempfile.TemporaryDirectory() as folder, contextlib.ExitStack() as stack:
        reply = Path(folder) / "reply.json"
        reply.write_bytes(answer(body, catalogue).body)
        ours = stack.enter_context(running(Path(folder) / "ours"))
        bare = stack.enter_context(
            running(Path(folder) / "bare", app="tests.bench.bare:create_bare()", reply=reply)
        )
        for keep in (False, True):
            sent = request(body, keep)
            pairs = [(rate(ours.port, sent), rate(bare.port, sent)) for _ in range(ROUNDS)]
            served, stored = (statistics.median(column) for column in zip(*pairs, strict=True))
            asked = "keep-alive" if keep else "close"
            print(
                f"{asked:>12}: service {served:7.0f}   bare {stored:7.0f}   {served / stored:.2f}"
            )
    print("(gunicorn's sync worker closes after each reply whatever is asked)")


def profile(name: str, deck: Any, catalogue: Catalogue) -> None:
    """Print where the time of a deck goes, by function."""
    body = json.dumps(deck).encode()
    profiler = cProfile.Profile()
    with profiler:
        for _ in range(100):
            answer(body, catalogue)
    out = io.StringIO()
    pstats.Stats(profiler, stream=out).strip_dirs().sort_stats("tottime").print_stats(18)
    print(f"\nProfile of 100 answers, {name} deck\n", out.getvalue().strip(), sep="\n")


if __name__ == "__main__":
    main()
