"""Runs that are stopped, killed, or begun twice: nothing is lost, and no process is left behind."""

from __future__ import annotations

import contextlib
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from service.bulk.__main__ import main
from service.bulk.stopping import SIGNALS, Stopped, signals_deferred, stop_on_signals
from tests.bulk.commands import call, expected, heed_sigint, lines_of
from tests.web.running import ROOT

Begin = Callable[..., subprocess.Popen[bytes]]


@pytest.fixture
def begin() -> Iterator[Begin]:
    """A function that begins the command in a process group of its own, with pipes for what it
    writes; the commands are ended with the test."""
    begun: list[subprocess.Popen[bytes]] = []

    def one(asked: Path, out: Path, workers: int = 2) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(
            [*(sys.executable, "-m", "service.bulk", str(asked)), *("--out", str(out))]
            + ["--workers", str(workers)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            start_new_session=True,
            preexec_fn=heed_sigint,
        )
        begun.append(process)
        return process

    yield one
    for process in begun:
        with process:
            process.kill()


def halt(process: subprocess.Popen[bytes]) -> None:
    """Send SIGSTOP, and wait until it has taken hold: nothing is written from then on."""
    process.send_signal(signal.SIGSTOP)
    ended = os.waitid(os.P_PID, process.pid, os.WSTOPPED | os.WEXITED | os.WNOWAIT)
    assert ended is not None
    assert ended.si_code == os.CLD_STOPPED, "it was through before it could be halted"


def await_true(true: Callable[[], object], seconds: float = 120) -> None:
    """Wait until the condition is true; fail when the time runs out."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.01)


def size(path: Path) -> int:
    """Bytes of a file; 0 where it is not there."""
    return path.stat().st_size if path.exists() else 0


def is_longer(path: Path, than: int) -> bool:
    """Whether a file has more bytes than this."""
    return size(path) > than


def parent_of(process: str) -> int:
    """The id of a process's parent; 0 where the process is gone, or is a zombie."""
    try:
        told = Path(f"/proc/{process}/stat").read_bytes()
    except OSError:
        return 0
    state, parent = told.rpartition(b")")[2].split()[:2]
    return 0 if state == b"Z" else int(parent)


def children(process: int) -> list[int]:
    """The running children of a process."""
    names = [path.name for path in Path("/proc").iterdir() if path.name.isdigit()]
    return [int(name) for name in names if parent_of(name) == process]


def workers_of(process: subprocess.Popen[bytes]) -> list[int]:
    """The command's worker processes."""
    told = {one: Path(f"/proc/{one}/cmdline").read_bytes() for one in children(process.pid)}
    return [one for one, words in told.items() if b"spawn_main" in words]


@pytest.fixture(scope="module")
def body() -> bytes:
    """500 lines, which take seconds, so that a run has not ended before the test interferes with
    it."""
    return lines_of(500)


@pytest.fixture(scope="module")
def whole(body: bytes) -> bytes:
    """The answers to those lines."""
    return expected(body)


@pytest.fixture
def asked(body: bytes, tmp_path: Path) -> Path:
    """An input of those lines."""
    path = tmp_path / "decks.ndjson"
    path.write_bytes(body)
    return path


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("group", [False, True])
def test_told_to_stop_it_ends_in_good_order(
    asked: Path, tmp_path: Path, begin: Begin, number: signal.Signals, group: bool, whole: bytes
) -> None:
    """The exit status is 128 and the signal's number, with one sentence; the answers are whole
    lines, no worker is left, and a later run does the rest.

    The signal is sent to the command alone, as by kill, or to its workers too, as by a terminal or
    a supervisor.
    """
    out = tmp_path / "out.ndjson"
    process = begin(asked, out)
    await_true(lambda: size(out))
    workers = workers_of(process)
    assert len(workers) == 2
    (os.killpg if group else os.kill)(process.pid, number)
    said, told = process.communicate(timeout=120)
    assert process.returncode == 128 + number, told
    assert told.decode().endswith(f"stopped; the same command continues from {out}\n")
    assert b"Traceback" not in told
    assert said == b""
    assert not any(parent_of(str(worker)) for worker in workers)
    kept = out.read_bytes()
    assert kept.endswith(b"\n")
    assert whole.startswith(kept)
    assert kept != whole
    assert call(main, asked, "--out", out, "--workers", 1).returncode == 1
    assert out.read_bytes() == whole


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_told_to_stop_while_its_workers_begin(
    asked: Path, tmp_path: Path, begin: Begin, number: signal.Signals
) -> None:
    """Nothing but the sentence is written, though the signal is sent twice, and to the workers
    too."""
    out = tmp_path / "out.ndjson"
    process = begin(asked, out)
    await_true(lambda: workers_of(process))
    os.killpg(process.pid, number)
    os.killpg(process.pid, number)
    _, told = process.communicate(timeout=120)
    assert process.returncode == 128 + number, told
    assert b"Traceback" not in told
    assert told.decode().endswith(f"stopped; the same command continues from {out}\n")


@pytest.fixture
def handlers() -> Iterator[None]:
    """Put back this process's own signal handlers after the test, which a command that was stopped
    does not do."""
    before = {number: signal.signal(number, signal.default_int_handler) for number in SIGNALS}
    yield
    for number, handler in before.items():
        signal.signal(number, handler)


@pytest.mark.parametrize("waits", [False, True])
@pytest.mark.usefixtures("handlers")
def test_a_handler_stays_until_all_is_said(waits: bool) -> None:
    """A second signal may have come before the handler of the first runs. If the first replaced the
    handler by SIG_IGN, Python would report an error, with a traceback. Once nothing is left to do,
    both signals are ignored, as the end of Python would make them deadly again."""
    with stop_on_signals():
        with pytest.raises(Stopped) as stopped:
            raise_within(signals_deferred() if waits else contextlib.nullcontext())
        assert not {signal.getsignal(number) for number in SIGNALS} & {*signal.Handlers}
        raise_within(contextlib.nullcontext())
        raise_within(signals_deferred())
    assert stopped.value.status == 128 + signal.SIGTERM
    assert [signal.getsignal(number) for number in SIGNALS] == [signal.SIG_IGN] * 2


@pytest.mark.usefixtures("handlers")
def test_who_was_not_stopped_has_the_handlers_of_before() -> None:
    """Each signal has its former handler again."""
    before = [signal.getsignal(number) for number in SIGNALS]
    with stop_on_signals():
        assert not {signal.getsignal(number) for number in SIGNALS} & {*before}
    assert [signal.getsignal(number) for number in SIGNALS] == before


@pytest.mark.usefixtures("handlers")
def test_a_signal_that_is_ignored_from_the_start_stays_so() -> None:
    """A shell has SIGINT ignored by what runs in the background; it stays ignored, and SIGTERM
    still stops the command."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with stop_on_signals():
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(Stopped) as stopped:
            signal.raise_signal(signal.SIGTERM)
    assert stopped.value.status == 128 + signal.SIGTERM


def raise_within(context: contextlib.AbstractContextManager[None]) -> None:
    """Send SIGTERM to this process, within a context."""
    with context:
        signal.raise_signal(signal.SIGTERM)


def test_killed_its_workers_end_by_themselves(asked: Path, tmp_path: Path, begin: Begin) -> None:
    """After kill -9 of the command alone the workers end, and nobody holds its standard output any
    more."""
    out = tmp_path / "out.ndjson"
    process = begin(asked, out)
    await_true(lambda: size(out))
    workers = workers_of(process)
    assert len(workers) == 2
    process.kill()
    _, told = process.communicate(timeout=120)
    assert process.returncode == -signal.SIGKILL
    assert b"Traceback" not in told
    await_true(lambda: not any(parent_of(str(worker)) for worker in workers))


def test_killed_at_random_with_two_workers_it_goes_on(
    asked: Path, tmp_path: Path, begin: Begin, whole: bytes
) -> None:
    """kill -9 three times, each after some more answers: the next run gives the bytes of a run that
    was not killed."""
    out = tmp_path / "out.ndjson"
    chance = random.Random(11)
    for _ in range(3):
        process = begin(asked, out)
        enough = size(out) + chance.randrange(1, 300_000)
        await_true(partial(is_longer, out, enough))
        assert process.poll() is None
        process.kill()
        process.communicate(timeout=120)
    assert call(main, asked, "--out", out, "--workers", 1).returncode == 1
    assert out.read_bytes() == whole


def test_a_worker_that_is_killed_ends_the_run_with_a_sentence(
    asked: Path, tmp_path: Path, begin: Begin, whole: bytes
) -> None:
    """The exit status is 2, the other worker is ended too, and the same command goes on."""
    out = tmp_path / "out.ndjson"
    process = begin(asked, out)
    await_true(lambda: size(out))
    workers = workers_of(process)
    os.kill(workers[0], signal.SIGKILL)
    _, told = process.communicate(timeout=120)
    assert process.returncode == 2
    assert told.decode().endswith(
        "a worker process ended by itself; run the command again to continue\n"
    )
    assert not any(parent_of(str(worker)) for worker in workers)
    assert call(main, asked, "--out", out, "--workers", 1).returncode == 1
    assert out.read_bytes() == whole


def test_two_runs_never_write_into_one_file(
    asked: Path, tmp_path: Path, begin: Begin, whole: bytes
) -> None:
    """While one run is halted, the next one is refused with 2 and changes nothing. Once the halted
    run is killed, another can begin; one that is let go on ends as if it had been alone."""
    out = tmp_path / "out.ndjson"
    first = begin(asked, out, 1)
    await_true(lambda: size(out))
    halt(first)
    kept = out.read_bytes()
    second = call(main, asked, "--out", out, "--workers", 1)
    assert second.returncode == 2, second.stderr
    assert f"{out}: another run is using it" in second.stderr
    assert len(second.stderr.splitlines()) == 1
    assert out.read_bytes() == kept
    assert not (tmp_path / "out.csv").exists()
    first.kill()
    first.communicate(timeout=120)
    third = begin(asked, out, 1)
    await_true(lambda: size(out) > len(kept))
    halt(third)
    assert call(main, asked, "--out", out, "--workers", 1).returncode == 2
    third.send_signal(signal.SIGCONT)
    third.communicate(timeout=300)
    assert third.returncode == 1
    assert out.read_bytes() == whole


def test_no_room_for_answers_is_told(asked: Path, tmp_path: Path, whole: bytes) -> None:
    """A file may grow to 100,000 bytes and no further: the exit status is 2, and the one line on
    standard error, but for how far the run is, names the file and the fault; once there is room,
    the run goes on."""
    out = tmp_path / "out.ndjson"
    limit = "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000));"
    begun = " from service.bulk.__main__ import main; sys.exit(main(sys.argv[1:]))"
    ended = subprocess.run(
        [*(sys.executable, "-c", limit + begun, str(asked)), "--out", str(out), "--workers", "1"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode == 2, ended.stderr
    said = [line for line in ended.stderr.splitlines() if not re.match(r"\d+ of 500\b", line)]
    assert said == [f"{out}: File too large"]
    assert call(main, asked, "--out", out, "--workers", 1).returncode == 1
    assert out.read_bytes() == whole
