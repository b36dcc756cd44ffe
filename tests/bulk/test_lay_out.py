"""python -m service.lay_out: one deck with no server."""

from __future__ import annotations

import io
import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from service.answer import answer
from service.bulk.work import loaded
from service.lay_out import main, summary
from tests.bench.decks import large
from tests.bulk.commands import call
from tests.web.running import DECK, ROOT


def run(*words: object, sent: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """Run the command to its end."""
    return subprocess.run(
        [sys.executable, "-m", "service.lay_out", *map(str, words)],
        cwd=ROOT,
        input=sent,
        capture_output=True,
        timeout=300,
        check=False,
    )


def test_json_gives_the_bytes_of_the_service(tmp_path: Path) -> None:
    """The deck may come from a file or from standard input."""
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
    ended = call(main, path)
    said = ended.stdout
    assert ended.returncode == 0
    assert "9 posts, 10 bays" in said
    assert "4 x top rail picket 4' 7 5/8\"" in said
    assert "violation: B1 to B10: the guard is 2' 6\" high" in said
    # 20 ft less a setback of 3 1/2" at both ends, in four.
    assert 'R1, edge 0 of main, P1 to P5: 0", 4\' 10 1/4", 9\' 8 1/2", 14\' 6 3/4", 19\' 5"' in said


def test_the_summary_tells_advice_and_variants(tmp_path: Path) -> None:
    """A guard of 30 in, where 36 are required (IRC R312.1.2), is raised by the advice; the variant
    in glass has its line."""
    path = tmp_path / "deck.json"
    asked = {"advise": True, "compare": [{"label": "view", "guard": {"infill": "glass"}}]}
    path.write_text(json.dumps({**DECK, "guard": {"infill": "picket", "height": 30}, **asked}))
    said = call(main, path).stdout
    assert "guard_height: Tried, and it passes: the guard 3' high." in said
    assert "view: 9 posts, 10 panels of glass, 1 violation" in said


def test_a_total_that_is_not_whole_says_so_in_its_variants_line_too(tmp_path: Path) -> None:
    """Only caps are priced, at 2.00: 9 x 2.00 = 18.00, and no sum has the glass."""
    path = tmp_path / "deck.json"
    prices = {"currency": "USD", "parts": {"post_cap": {"each": "2.00"}}}
    asked = {"prices": prices, "compare": [{"label": "view", "guard": {"infill": "glass"}}]}
    path.write_text(json.dumps({**DECK, **asked}))
    said = call(main, path).stdout.splitlines()
    whole = next(row for row in said if row.startswith("Total "))
    variant = next(row for row in said if row.startswith("  view: "))
    assert whole.startswith("Total 18.00 USD; no price for ")
    assert ", spacer," in whole
    assert variant.startswith("  view: 9 posts, 10 panels of glass, 0 violations, 18.00 USD; no ")
    assert ", glass panel," in variant


def test_sticks_are_counted_by_length_and_those_on_hand_are_marked(tmp_path: Path) -> None:
    """20 ft by 12 ft; cuts as the reply has them, 1/2" of trim a stick and 1/8" of kerf a piece.

    Top: 4 x 55 5/8, 4 x 44 9/16, 2 x 44 5/8 = 490. On hand are two sticks of 240 and one of 192:
    any two are too short together, and the three hold all (4 x 55 3/4 = 223 in the first; of the
    others, each at most 44 3/4, five in the second and one in the third).

    Bottom: 4 x 55 3/4, 6 x 44 11/16 = 491 1/8 from 150 and 198. Two sticks are at most 396, three
    of 150 are 450. Of 198 + 150 + 150 there are 498 - 1 1/2 - 1 1/4 - 491 1/8 = 4 1/8 to spare, but
    a stick of 150 holds at most 55 7/8 + 2 x 44 13/16 = 145 1/2 of 149 1/2, so the two waste 8.
    Next is 198 + 198 + 150: 3 x 55 7/8; 4 x 44 13/16; the rest, 145 1/2.
    """
    held = [("top_rail_picket", 240, 2), ("top_rail_picket", 192, 1)]
    rows = [{"part": part, "length": length, "count": count} for part, length, count in held]
    path = tmp_path / "deck.json"
    path.write_text(json.dumps({**DECK, "stock_on_hand": rows}))
    said = call(main, path).stdout
    assert said.partition("Sticks:\n")[2].partition("\n\n")[0].splitlines() == [
        "      2 x top rail picket 20', on hand",
        "      1 x top rail picket 16', on hand",
        "      2 x bottom rail picket 16' 6\"",
        "      1 x bottom rail picket 12' 6\"",
    ]


def test_a_refusal_has_its_place_and_its_sentence(tmp_path: Path) -> None:
    """Every fault is a line on standard error, and the exit status is 1."""
    path = tmp_path / "deck.json"
    path.write_text(json.dumps({**DECK, "unit": "ft", "guards": 1}))
    ended = call(main, path)
    assert (ended.returncode, ended.stdout) == (1, "")
    said = ended.stderr
    assert "/unit: " in said
    assert "/guards: " in said


@pytest.mark.parametrize("words", [[], ["--json"]])
def test_a_reader_that_has_read_enough(tmp_path: Path, words: list[str]) -> None:
    """A reader such as `head -1` closes the pipe: there is no traceback, and the exit status is
    that of a deck laid out."""
    deck = tmp_path / "deck.json"
    deck.write_text(json.dumps(large()))
    command = [sys.executable, "-m", "service.lay_out", str(deck), *words]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as ran:
        assert ran.stdout is not None
        assert ran.stderr is not None
        ran.stdout.close()
        assert ran.stderr.read() == b""
    assert ran.returncode == 0


@pytest.mark.parametrize("words", [[], ["--json"]])
def test_an_answer_that_cannot_be_written_is_2(tmp_path: Path, words: list[str]) -> None:
    """A full disk gives one line and the status 2, not the 1 of a deck that is refused."""
    deck = tmp_path / "deck.json"
    deck.write_text(json.dumps(DECK))
    with Path("/dev/full").open("wb") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "service.lay_out", str(deck), *words],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=300,
            check=False,
        )
    assert ended.stderr == b"standard output: No space left on device\n"
    assert ended.returncode == 2


@pytest.mark.parametrize(
    ("words", "closed", "status"),
    [
        *((["deck.json"], "1>&-", 0), (["-"], "0<&-", 1), (["deck.json"], "2>&-", 0)),
        *((["-"], "0<&- 2>/dev/full", 1), (["no.json"], "2>/dev/full", 2)),
    ],
)
def test_streams_may_be_closed(tmp_path: Path, words: list[str], closed: str, status: int) -> None:
    """What goes to a closed output is dropped, a closed input is empty, and what finds no room on
    standard error is lost; none of these makes the program fail."""
    (tmp_path / "deck.json").write_text(json.dumps(DECK))
    command = f"exec {shlex.quote(sys.executable)} -m service.lay_out {' '.join(words)} {closed}"
    ended = subprocess.run(
        ["/bin/sh", "-c", command],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode == status
    assert b"Traceback" not in ended.stderr


def test_letters_that_output_lacks_are_escaped(tmp_path: Path) -> None:
    """A title has a letter beyond ASCII, where output is ASCII alone."""
    deck = tmp_path / "deck.json"
    deck.write_text(json.dumps({**DECK, "title": "Caf\u00e9"}))
    ended = subprocess.run(
        [sys.executable, "-m", "service.lay_out", str(deck)],
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
        timeout=300,
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert ended.stdout.startswith(b"Caf\\xe9, ")


@pytest.mark.parametrize(
    ("rows", "last"),
    [
        (60, "  60 x"),
        (61, "  and 1 row more (--json has all)"),
        (63, "  and 3 rows more (--json has all)"),
    ],
)
def test_a_long_list_is_cut_and_says_so(rows: int, last: str) -> None:
    """A list is cut after sixty rows, with how many are left; findings are never cut."""
    run_ = {"level": "main", "edge": 0, "from": "P1", "to": "P2", "marks_text": ["0 mm"]}
    counts = {"posts": 2, "bays": 1, "pickets": 0, "glass_panels": 0}
    finding = {"severity": "violation", "result": "fail"}
    reply = {
        "kit": {"title": "A kit"},
        "summary": counts,
        "runs": [{"id": f"{number} x", **run_} for number in range(1, rows + 1)],
        "cut_list": [],
        "glass_order": [],
        "stock_plan": [],
        "findings": [{**finding, "message": f"No. {number}"} for number in range(1, rows + 1)],
        "cautions": [],
    }
    lines = "\n".join(summary(reply)).splitlines()
    start, end = lines.index("Set:"), lines.index("Look at:")
    assert lines[end - 2].startswith(last)
    assert len(lines[start + 1 : end - 1]) == min(rows, 61)
    assert lines[-1] == f"  violation: No. {rows}"
    assert len(lines[end + 1 :]) == rows


@pytest.mark.parametrize("piped", [False, True])
def test_a_document_of_just_the_longest_is_laid_out(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    piped: bool,
) -> None:
    """1,048,576 bytes, spaces at the end included, are laid out; a document of one byte more is
    refused, with 1."""
    path = tmp_path / "deck.json"
    for more, status in ((0, 0), (1, 1)):
        body = json.dumps(DECK).encode().ljust(1_048_576 + more)
        path.write_bytes(body)
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(body)))
        assert main(["-" if piped else str(path)]) == status
        said = capsys.readouterr()
        told = "(the document): The document is longer than 1048576 bytes.\n"
        assert said.err == told * more
        assert bool(said.out) is not bool(more)


def test_wrong_use_is_2(tmp_path: Path) -> None:
    """A file that is not there and a missing file name are wrong use."""
    assert call(main, tmp_path / "none.json").returncode == 2
    assert call(main).returncode == 2


def test_a_kit_of_ones_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An own kit is found by its id in the folder that GUARDS_CATALOGUE names; one that is not good
    is refused."""
    shipped = json.loads((ROOT / "service/data/kits/picket-glass-surface-in.json").read_bytes())
    (tmp_path / "kits").mkdir()
    kit = tmp_path / "kits" / "yard-9.json"
    kit.write_text(json.dumps({**shipped, "id": "yard-9"}), "utf-8")
    path = tmp_path / "deck.json"
    path.write_text(json.dumps({**DECK, "kit": "yard-9"}))
    assert call(main, path).returncode == 1
    monkeypatch.setenv("GUARDS_CATALOGUE", str(tmp_path))
    assert json.loads(run(path, "--json").stdout)["kit"]["id"] == "yard-9"
    kit.write_text("{}", "utf-8")
    ended = call(main, path)
    assert ended.returncode == 2
    assert ended.stderr.startswith(f"a kit or a code cannot be used:\n{kit}: ")
