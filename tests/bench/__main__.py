"""What it costs, side by side in one run: python -m tests.bench

Read the ratios; the times are those of the machine that ran it. About two minutes.
"""

from __future__ import annotations

import contextlib
import cProfile
import io
import json
import pstats
import statistics
import sys
import tempfile
from pathlib import Path

from service.answer import answer
from service.data.catalogue import Catalogue, load_catalogue
from tests.bench import decks
from tests.bench.rate import rate, request
from tests.bench.stages import answer_time, stage_times
from tests.web.running import running

DECKS = {"typical": decks.typical, "large": decks.large, "largest": decks.largest}
LARGE_BAYS = 152
ROUNDS = 3


def main() -> None:
    """Every table."""
    catalogue = load_catalogue()
    table_of_stages(catalogue)
    table_of_bays(catalogue)
    table_of_rates(catalogue)
    profile(catalogue)


def table_of_stages(catalogue: Catalogue) -> None:
    """Each stage of an answer as a share of the whole."""
    print("Stages of one answer, ms and share of all\n")
    columns = {name: stage_times(make(), catalogue, 1.0) for name, make in DECKS.items()}
    print(f"{'':10}" + "".join(f"{name:>20}" for name in columns))
    for stage in columns["typical"]:
        cells = [(times[stage] * 1000, times[stage] / times["all"]) for times in columns.values()]
        print(f"{stage:10}" + "".join(f"{ms:12.3f} {share:6.0%} " for ms, share in cells))


def table_of_bays(catalogue: Catalogue) -> None:
    """Cost of a bay, from ten to the limit; linear where the last column stays near 1."""
    print("\nCost against bays\n\n      bays          ms   us a bay   of the large deck's")
    rows = {}
    for steps, levels in ((1, 1), (4, 1), (19, 1), (19, 2), (19, 4), (19, 8), (19, 16)):
        deck = decks.stepped(steps, levels)
        reply = json.loads(answer(json.dumps(deck).encode(), catalogue).body)
        rows[reply["summary"]["bays"]] = answer_time(deck, catalogue, 1.0)
    each_of_large = rows[LARGE_BAYS] / LARGE_BAYS
    for bays, spent in rows.items():
        each = spent / bays
        print(f"{bays:10} {spent * 1000:11.2f} {each * 1e6:10.0f} {each / each_of_large:14.2f}")


def table_of_rates(catalogue: Catalogue) -> None:
    """The typical deck beside a bare route that returns the same bytes; two workers each."""
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


def profile(catalogue: Catalogue) -> None:
    """Where the time of the typical deck goes, by function."""
    body = json.dumps(decks.typical()).encode()
    profiler = cProfile.Profile()
    with profiler:
        for _ in range(100):
            answer(body, catalogue)
    out = io.StringIO()
    pstats.Stats(profiler, stream=out).strip_dirs().sort_stats("tottime").print_stats(18)
    print("\nProfile of 100 typical answers\n", out.getvalue().strip(), sep="\n")


if __name__ == "__main__":
    sys.exit(main())
