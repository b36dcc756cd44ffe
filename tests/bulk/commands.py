"""Inputs for the commands, ways to run them, and the answers that they must give."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from typing import Any

from service.batch import LONGEST, Line, answer_line
from service.bulk.work import loaded
from tests.web.running import DECK, ROOT


def deck(number: int, **members: Any) -> dict[str, Any]:
    """A deck whose size depends on its number."""
    sides = [{"length": 120 + number % 90}, {"length": 96}] * 2
    level = {**DECK["levels"][0], "outline": {"sides": sides}}
    return {**DECK, "title": f"deck {number}", "levels": [level], **members}


def lines_of(count: int) -> bytes:
    """Lines with a document each, of which every seventh is wrong in some way."""
    wrong = [b"{", b'{"unit": "in"}', json.dumps(deck(1, kit="nope")).encode(), b"\xff"]
    rows = [
        wrong[i // 7 % len(wrong)] if i % 7 == 6 else json.dumps(deck(i)).encode()
        for i in range(count)
    ]
    return b"\n".join(rows) + b"\n"


def heed_sigint() -> None:
    """Make a child that is about to start heed SIGINT.

    Where these tests run in the background of a shell, it would inherit that SIGINT is ignored.
    """
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def run(*words: object) -> subprocess.CompletedProcess[str]:
    """Run the bulk command as a process, to its end."""
    return subprocess.run(
        [sys.executable, "-m", "service.bulk", *map(str, words)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def call(main: Callable[[Sequence[str]], int], *words: object) -> subprocess.CompletedProcess[str]:
    """Run a command's `main` in this process, which saves the start of another one."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main([*map(str, words)])
        except SystemExit as ended:  # of argparse
            status = ended.code if isinstance(ended.code, int) else 1
    return subprocess.CompletedProcess([*map(str, words)], status, out.getvalue(), err.getvalue())


def expected(body: bytes) -> bytes:
    """The answers to the lines, made one by one by the function that the service answers with."""
    told = [
        answer_line(Line(number, line), LONGEST, loaded()).body
        for number, line in enumerate(body.splitlines(), 1)
        if line.strip()
    ]
    return b"".join(told)
