"""python -m service.lay_out: one deck with no server."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from service.answer import answer
from service.bulk.work import loaded
from tests.web.running import DECK, ROOT


def run(*words: object, sent: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """The command, to its end."""
    return subprocess.run(
        [sys.executable, "-m", "service.lay_out", *map(str, words)],
        cwd=ROOT,
        input=sent,
        capture_output=True,
        timeout=60,
        check=False,
    )


def test_json_gives_the_bytes_of_the_service(tmp_path: Path) -> None:
    """From a file and from standard input."""
    body = json.dumps(DECK).encode()
    path = tmp_path / "deck.json"
    path.write_bytes(body)
    expected = answer(body, loaded()).body + b"\n"
    assert run(path, "--json").stdout == expected
    assert run("-", "--json", sent=body).stdout == expected


def test_the_summary_says_what_to_cut_and_what_to_look_at(tmp_path: Path) -> None:
    """20 ft by 12 ft with a guard of 30 in: posts, cuts as a tape reads, and the failing height."""
    path = tmp_path / "deck.json"
    path.write_text(json.dumps({**DECK, "guard": {"infill": "picket", "height": 30}}))
    ended = run(path)
    said = ended.stdout.decode()
    assert ended.returncode == 0
    assert "9 posts, 10 bays" in said
    assert "4 x top_rail_picket 4' 7 5/8\"" in said
    assert "the guard is 2' 6\" high" in said


def test_a_refusal_has_its_place_and_its_sentence(tmp_path: Path) -> None:
    """On standard error, with 1; every fault a line."""
    path = tmp_path / "deck.json"
    path.write_text(json.dumps({**DECK, "unit": "ft", "guards": 1}))
    ended = run(path)
    assert (ended.returncode, ended.stdout) == (1, b"")
    said = ended.stderr.decode()
    assert "/unit: " in said
    assert "/guards: " in said


def test_wrong_use_is_2(tmp_path: Path) -> None:
    """No file, and no name of one."""
    assert run(tmp_path / "none.json").returncode == 2
    assert run().returncode == 2
