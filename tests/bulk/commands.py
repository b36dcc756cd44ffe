"""Inputs for the bulk command, the command itself, and what it must answer."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

from service.batch import LONGEST, Line, answer_line
from service.bulk.work import loaded
from tests.web.running import DECK, ROOT


def deck(number: int, **members: Any) -> dict[str, Any]:
    """A deck of its own size."""
    sides = [{"length": 120 + number % 90}, {"length": 96}] * 2
    level = {**DECK["levels"][0], "outline": {"sides": sides}}
    return {**DECK, "title": f"deck {number}", "levels": [level], **members}


def lines_of(count: int) -> bytes:
    """Documents a line, of which every seventh is wrong in some way."""
    wrong = [b"{", b'{"unit": "in"}', json.dumps(deck(1, kit="nope")).encode(), b"\xff"]
    rows = [
        wrong[i // 7 % len(wrong)] if i % 7 == 6 else json.dumps(deck(i)).encode()
        for i in range(count)
    ]
    return b"\n".join(rows) + b"\n"


def heed_sigint() -> None:
    """In a child, before it begins: SIGINT is heeded, also where these tests run in the background
    of a shell, whose children ignore it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def run(*words: object, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """The command, to its end, begun in a folder."""
    return subprocess.run(
        [sys.executable, "-m", "service.bulk", *map(str, words)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def expected(body: bytes) -> bytes:
    """The answers one by one, by the function that the service answers with."""
    told = [
        answer_line(Line(number, line), LONGEST, loaded()).body
        for number, line in enumerate(body.splitlines(), 1)
        if line.strip()
    ]
    return b"".join(told)
