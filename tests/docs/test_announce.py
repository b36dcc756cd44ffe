"""What deploy/serve prints before gunicorn takes over is true: where to call, and what to try."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from deploy import announce, publish
from service.web.settings import Settings
from tests.web.running import held_port

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def announced(**settings: str) -> subprocess.CompletedProcess[str]:
    """The run of the command that announces the service, with these settings."""
    environ = {name: value for name, value in os.environ.items() if not name.startswith("GUARDS_")}
    return subprocess.run(
        [sys.executable, "-m", "deploy.announce"],
        cwd=ROOT,
        env={**environ, **settings},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def test_what_serve_says_to_try_is_laid_out() -> None:
    """The call that deploy/serve prints works, and it is the README's."""
    with held_port() as port:
        told = announced(PORT=str(port))
    assert told.returncode == 0
    call = re.search(r"-d '(.*?)'", told.stdout, re.DOTALL)
    assert call is not None
    assert json.loads(call[1]) == json.loads(re.findall(r"-d '(.*?)'", README, re.DOTALL)[0])
    assert publish.reply_to(call[1].encode())[0] == 200


@pytest.mark.parametrize("end", [">/dev/full", ">&-", ">&- 2>&-", "2>&-"])
def test_where_nobody_can_be_told_the_service_starts_all_the_same(end: str) -> None:
    """Where nothing can be printed the command still exits with status 0, as any other would end
    the start."""
    with held_port() as port:
        environ = {**os.environ, "PORT": str(port)}
        words = [sys.executable, "-m", "deploy.announce"]
        ended = subprocess.run(
            ["sh", "-c", f'exec "$@" {end}', "sh", *words],
            cwd=ROOT,
            env=environ,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert (ended.returncode, ended.stderr) == (0, b"")


def test_where_keys_are_set_the_call_has_one_and_says_none() -> None:
    """With keys set the offered call sends `$KEY`, as it would get a 401 without one; no key is
    printed."""
    secret = "a-key-of-sixteen-or-more"
    with held_port() as port:
        told = announced(PORT=str(port), GUARDS_KEYS=secret)
    assert '-H "Authorization: Bearer $KEY" -d' in told.stdout
    assert secret not in told.stdout


@pytest.mark.parametrize(
    ("host", "url"),
    [
        ("127.0.0.1", "http://127.0.0.1:9000"),
        ("0.0.0.0", "http://127.0.0.1:9000"),
        ("::", "http://[::1]:9000"),
        ("::1", "http://[::1]:9000"),
        ("localhost", "http://localhost:9000"),
    ],
)
def test_serve_says_where_to_call(host: str, url: str) -> None:
    """A host that listens everywhere is called on the loopback; an IPv6 address stands in
    brackets."""
    assert announce.url_of(Settings(host=host, port=9000)) == url


def test_serve_does_not_say_that_it_is_where_another_listens() -> None:
    """A port that is taken ends the start at once, and the message says what to do."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        told = announced(PORT=str(taken.getsockname()[1]))
    assert told.returncode == 1
    assert told.stdout == ""
    assert "cannot be listened on" in told.stderr
    assert "set HOST and PORT" in told.stderr


def test_a_wrong_setting_is_told_before_anything_is_said_to_be_there() -> None:
    """Standard error names the setting, and standard output stays empty."""
    told = announced(PORT="http")
    assert (told.returncode, told.stdout) == (1, "")
    assert "PORT is 'http'" in told.stderr


def test_a_kit_that_is_not_good_is_told_before_anything_is_said_to_be_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A kit file with a fault stops the start before the address is printed; it once did so only
    after."""
    (tmp_path / "kits").mkdir()
    (tmp_path / "kits" / "ours.json").write_text('{"id": "ours"}', "utf-8")
    monkeypatch.setattr(announce, "check_free", lambda _: None)
    monkeypatch.setenv("GUARDS_CATALOGUE", str(tmp_path))
    with pytest.raises(SystemExit, match="ours.json"):
        announce.main()
    assert capsys.readouterr().out == ""
