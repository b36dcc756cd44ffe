"""The stock plan: python -m tests.bench.stock

It prints how long each effort takes and how often its plan is proven, over random decks with easy
and awkward pairs of stock lengths; time against the size of a job, beside a general solver used
naively (arc flow on HiGHS, as in the tests); and what importing that solver would cost each worker.
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import time
from typing import Final

from service.core.stock import Stick, plan_sticks
from tests.core.test_stock import arc_flow

PAIRS: Final = {"easy, 144 and 192": (144.0, 192.0), "awkward, 150 and 198": (150.0, 198.0)}
DECKS: Final = 150
SIZES: Final = ((10, 3), (20, 5), (40, 10), (60, 15), (120, 15))
"""The number of pieces and the number of lengths of each job."""


def job(chance: random.Random, count: int, lengths: int) -> dict[float, int]:
    """Pieces of a number of lengths, each from 18 in to 70 in, in sixteenths."""
    chosen = [chance.randrange(18 * 16, 70 * 16) / 16 for _ in range(lengths)]
    pieces = dict.fromkeys(chosen, 1)
    for _ in range(count - len(pieces)):
        pieces[chance.choice(chosen)] += 1
    return pieces


def timed(pieces: dict[float, int], stock: list[Stick], effort: str) -> tuple[float, bool]:
    """Milliseconds of processor time, and whether the plan is proven."""
    began = time.process_time()
    plan = plan_sticks(pieces, stock, 0.125, 0.5, effort)
    return (time.process_time() - began) * 1000, plan.optimal


def main() -> None:
    """Print every table."""
    print(f"Share proven, of {DECKS} random decks of 4 to 60 pieces in 1 to 15 lengths\n")
    for name, lengths in PAIRS.items():
        stock = [Stick(length) for length in lengths]
        for effort in ("ordinary", "thorough"):
            chance = random.Random(11)
            sizes = [(chance.randrange(4, 61), chance.randrange(1, 16)) for _ in range(DECKS)]
            done = [timed(job(chance, n, min(n, m)), stock, effort) for n, m in sizes]
            times = sorted(ms for ms, _ in done)
            proven = sum(optimal for _, optimal in done) / DECKS
            print(
                f"{name:24} {effort:9} proven {proven:6.1%}  median {statistics.median(times):8.2f}"
                f" ms  95 % {times[int(DECKS * 0.95)]:9.2f}  most {times[-1]:10.2f}"
            )
    table_of_sizes()
    print("\nImport of the general solver, beside the interpreter alone")
    for code in ("pass", "import highspy"):
        script = f"{code}; print(open('/proc/self/statm').read().split()[1])"
        began = time.perf_counter()
        told = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
        spent = (time.perf_counter() - began) * 1000
        print(f"{code:16} {spent:7.0f} ms {int(told.stdout) * 4 // 1024:5} MB")


def table_of_sizes() -> None:
    """Print time against size; the solver gets whole sixteenths."""
    print("\n  pieces  lengths   ordinary    thorough   general solver, ms")
    for count, lengths in SIZES:
        chance = random.Random(count)
        pieces = job(chance, count, lengths)
        stock = [Stick(150.0), Stick(198.0)]
        ours = [timed(pieces, stock, effort)[0] for effort in ("ordinary", "thorough")]
        general = "not tried"
        if count <= 40:
            began = time.process_time()
            arc_flow({round(p * 16): n for p, n in pieces.items()}, [2392, 3160], 2)
            general = f"{(time.process_time() - began) * 1000:.0f}"
        print(f"{count:8} {lengths:8} {ours[0]:10.2f} {ours[1]:11.2f} {general:>12}")


if __name__ == "__main__":
    main()
