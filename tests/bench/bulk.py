"""What the bulk command costs beside the engine alone: python -m tests.bench.bulk [--full]

It prints documents a second on one core, by the engine in a loop and by the command, which reads,
answers in parcels, and writes answers and summary; and whether the cost is linear from 100
documents on.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

from service.answer import answer
from service.bulk.__main__ import main as bulk
from service.bulk.work import loaded
from tests.bench.decks import typical

COUNTS = (100, 1_000, 5_000)
FULL = (*COUNTS, 20_000, 100_000)


def main(words: list[str]) -> None:
    """Print a row for each number of documents."""
    body = json.dumps(typical()).encode()
    print("  documents    engine/s    command/s   of the engine   ms each")
    for count in FULL if "--full" in words else COUNTS:
        began = time.process_time()
        for _ in range(min(count, 1_000)):
            answer(body, loaded())
        engine = min(count, 1_000) / (time.process_time() - began)
        seconds = command(body, count)
        print(
            f"{count:11} {engine:11.0f} {count / seconds:12.0f} {count / seconds / engine:15.2f}"
            f" {seconds / count * 1000:9.2f}"
        )


def command(body: bytes, count: int) -> float:
    """Seconds of processor time that the command takes in this process."""
    with tempfile.TemporaryDirectory() as folder:
        asked = Path(folder) / "decks.ndjson"
        asked.write_bytes((body + b"\n") * count)
        began = time.process_time()
        with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
            ended = bulk([str(asked), "--out", f"{folder}/out.ndjson", "--workers", "1"])
        if ended:
            raise RuntimeError(f"the command ended with {ended}")
        return time.process_time() - began


if __name__ == "__main__":
    main(sys.argv[1:])
