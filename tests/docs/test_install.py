"""deploy/install makes the environment once, even where others make it at the same time;
deploy/serve and the image's health check work from wherever they are called."""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

PYTHON = """\
#!/bin/sh
# Stands for a Python: makes an environment whose pip takes a while and writes down that it ran. It
# finds what was installed unless a file says that it is of another version by now.
case "$*" in
"-m venv --clear "*)
    rm -rf "$4" && mkdir -p "$4/bin"
    cat >"$4/bin/python" <<END
#!/bin/sh
case "\\$*" in
"-m pip "*) sleep 0.5; rm -f "$LOG.other"; echo installed >>"$LOG" ;;
*) [ ! -e "$LOG.other" ] ;;
esac
END
    chmod +x "$4/bin/python"
    ;;
esac
"""


def _installing(home: Path) -> tuple[list[str], dict[str, str]]:
    """The command that makes an environment from a lock with the Python of PYTHON, and its
    environment variables."""
    python, lock = home / "python", home / "lock"
    python.write_text(PYTHON)
    python.chmod(0o755)
    lock.write_text("nothing==1\n")
    command = [str(ROOT / "deploy" / "install"), str(home / "env"), str(lock)]
    return command, {**os.environ, "PYTHON": str(python), "LOG": str(home / "log")}


def test_of_two_first_starts_at_once_one_installs(tmp_path: Path) -> None:
    """The second start waits for the first and finds the environment made; a third has nothing to
    do, until the lock changes."""
    command, environ = _installing(tmp_path)
    begun = [subprocess.Popen(command, env=environ) for _ in range(2)]
    assert [each.wait(timeout=300) for each in begun] == [0, 0]
    assert (tmp_path / "log").read_text().split() == ["installed"]
    subprocess.run(command, env=environ, check=True, timeout=300)
    (tmp_path / "lock").write_text("nothing==2\n")
    subprocess.run(command, env=environ, check=True, timeout=300)
    assert (tmp_path / "log").read_text().split() == ["installed"] * 2


def test_after_another_python_has_come_all_is_installed_anew(tmp_path: Path) -> None:
    """When the system's Python moves on to its next version, it looks elsewhere for what was
    installed, so everything is installed again, once."""
    command, environ = _installing(tmp_path)
    subprocess.run(command, env=environ, check=True, timeout=300)
    (tmp_path / "log.other").touch()
    subprocess.run(command, env=environ, check=True, timeout=300)
    subprocess.run(command, env=environ, check=True, timeout=300)
    assert (tmp_path / "log").read_text().split() == ["installed"] * 2


def test_serve_is_found_through_a_link(tmp_path: Path) -> None:
    """Called through a link in another folder, deploy/serve works in its own folder."""
    home, link = _home_that_only_says(tmp_path, "pwd")
    ended = _run(link, cwd=Path("/"))
    assert (ended.returncode, ended.stdout) == (7, f"{home.resolve()}\n"), ended.stderr


def test_a_path_in_the_environment_is_from_where_serve_was_called(tmp_path: Path) -> None:
    """As deploy/serve works in its own folder, it makes a relative path whole, from the folder in
    which it was called."""
    _, link = _home_that_only_says(tmp_path, 'echo "${GUARDS_CATALOGUE-}|${GUARDS_COUNTER-}"')
    yard = tmp_path / "a yard"
    yard.mkdir()
    ended = _run(link, cwd=yard, GUARDS_CATALOGUE="own", GUARDS_COUNTER="../first deck.json")
    assert ended.stdout == f"{yard}/own|{yard}/../first deck.json\n"
    whole = _run(link, cwd=yard, GUARDS_CATALOGUE="/srv/own", GUARDS_COUNTER="")
    assert whole.stdout == "/srv/own|\n"


def _home_that_only_says(folder: Path, said: str) -> tuple[Path, Path]:
    """A folder with a `deploy/serve` that runs one line of shell and ends, in place of installing;
    and a link to it from elsewhere."""
    home, link = folder / "the service", folder / "guards"
    (home / "deploy").mkdir(parents=True)
    shutil.copy(ROOT / "deploy" / "serve", home / "deploy" / "serve")
    stub = home / "deploy" / "install"
    stub.write_text(f"#!/bin/sh\n{said}\nexit 7\n")
    stub.chmod(0o755)
    link.symlink_to(home / "deploy" / "serve")
    return home, link


def _run(command: Path, cwd: Path, **given: str) -> subprocess.CompletedProcess[str]:
    unset = {"GUARDS_CATALOGUE", "GUARDS_COUNTER"}
    environ = {name: value for name, value in os.environ.items() if name not in unset}
    return subprocess.run(
        [str(command)],
        cwd=cwd,
        env=environ | given,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def test_the_image_asks_its_own_service_whether_it_is_well() -> None:
    """The health check of the Dockerfile calls the service in its own image, past any proxy that
    the environment names."""
    dockerfile = (ROOT / "Dockerfile").read_text("utf-8")
    check = re.search(r"^HEALTHCHECK.*\n +CMD (\[.*\])$", dockerfile, re.MULTILINE)
    assert check is not None
    words = json.loads(check[1])
    with socket.create_server(("127.0.0.1", 0)) as listener:
        environ = {
            **{name: value for name, value in os.environ.items() if name.lower() != "no_proxy"},
            "PORT": str(listener.getsockname()[1]),
            "http_proxy": "http://127.0.0.1:9",
        }
        asked = subprocess.Popen([sys.executable, *words[1:]], env=environ)
        listener.settimeout(300)
        wire, _ = listener.accept()
        with wire:
            assert wire.recv(4096).startswith(b"GET /health/live HTTP/1.1\r\n")
            wire.sendall(b"HTTP/1.1 200 OK\r\nContent-Length: 0\r\nConnection: close\r\n\r\n")
        assert asked.wait(timeout=300) == 0
