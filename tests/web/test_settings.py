"""Settings come from the environment, are all in one table, and are refused where they are
wrong."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from service.data.catalogue import BadFileError, load_catalogue
from service.web import app
from service.web.settings import TABLE, Settings, SettingsError, read_settings
from tests.web.running import DECK, GUNICORN

ROOT = Path(__file__).resolve().parents[2]


def test_a_default_may_be_told_as_well() -> None:
    """An empty environment gives what Settings() gives, and so does one in which each default is
    set as the README has it."""
    assert read_settings({}) == Settings()
    told = {setting.name: setting.default for setting in TABLE if setting.default}
    assert read_settings(told) == Settings()


def test_loopback_is_the_default() -> None:
    """Nothing listens to the network unless it is set to."""
    assert Settings().host == "127.0.0.1"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        *[("PORT", text) for text in ("", "0", "65536", "http", "8080 ", "-1", "tcp://10.0.0.1:8")],
        *[
            ("HOST", text)
            for text in ("", "a b", "127.0.0.1; rm", "...", "a..b", "a" * 64, "[::1]")
        ],
        *[("GUARDS_WORKERS", text) for text in ("0", "65", "1.5", "two", "٣")],
        *[("GUARDS_BODY_LIMIT", text) for text in ("0", "1e6", "999999999")],
        *[("GUARDS_KEYS", text) for text in ("short", "with a space in it", ",", "", " ")],
        *[("GUARDS_PORT", text) for text in ("8080", "")],
        *[("GUARDS_RATE", text) for text in ("-1", "nan", "inf", "1e3", "")],
        *[("GUARDS_IN_FLIGHT", text) for text in ("-1", "x")],
        *[("GUARDS_PROXIES", text) for text in ("9", "yes")],
        *[("GUARDS_LOG_LEVEL", text) for text in ("INFO", "loud", "")],
        *[("GUARDS_DRAIN", text) for text in ("-1", "601")],
        *[("GUARDS_TIMEOUT", text) for text in ("0", "601")],
        ("GUARDS_CATALOGUE", ""),
        ("GUARDS_COUNTER", ""),
    ],
)
def test_a_wrong_value_is_refused_by_name(name: str, text: str) -> None:
    """The message begins with the variable's name, so that a person knows where to look."""
    with pytest.raises(SettingsError, match=f"^{name} "):
        read_settings({name: text})


@pytest.mark.parametrize(
    ("name", "least", "most"),
    [
        ("PORT", 1, 65_535),
        ("GUARDS_WORKERS", 1, 64),
        ("GUARDS_BODY_LIMIT", 1_024, 67_108_864),
        ("GUARDS_RATE", 0, 1_000_000),
        ("GUARDS_IN_FLIGHT", 0, 1_024),
        ("GUARDS_PROXIES", 0, 8),
        ("GUARDS_DRAIN", 0, 600),
        ("GUARDS_TIMEOUT", 1, 600),
        ("GUARDS_BATCHES", 0, 64),
        ("GUARDS_BATCH_LINES", 1, 10_000_000),
        ("GUARDS_BATCH_BYTES", 1_024, 1_099_511_627_776),
        ("GUARDS_BATCH_TIMEOUT", 1, 86_400),
    ],
)
def test_a_number_is_taken_from_its_least_to_its_most(name: str, least: int, most: int) -> None:
    """The least and the most value are taken, so that no setting that was good before becomes
    wrong; a value beyond them is refused with both."""
    member = name.removeprefix("GUARDS_").lower()
    for value in (least, most):
        assert getattr(read_settings({name: str(value)}), member) == value
    for value in (least - 1, most + 1):
        with pytest.raises(SettingsError, match=f"^{name} is '{value}'; .* {least} to {most}$"):
            read_settings({name: str(value)})


def test_the_longest_of_texts_are_taken() -> None:
    """A key of 256 characters is taken, and one of one more is not. So is a host name of 253, which
    is the most that DNS has (RFC 1035, section 2.3.4, less the dots before and after), and not one
    of one more. An IPv6 address is taken."""
    assert read_settings({"GUARDS_KEYS": "k" * 256}).keys == ("k" * 256,)
    assert read_settings({"HOST": "::1"}).host == "::1"
    assert read_settings({"GUARDS_RATE": "0.25"}).rate == 0.25
    name = ".".join(["a" * 63] * 3 + ["a" * 61])
    assert read_settings({"HOST": name}).host == name
    for wrong in ({"GUARDS_KEYS": "k" * 257}, {"HOST": f"{name}a"}):
        with pytest.raises(SettingsError):
            read_settings(wrong)


def test_bounds_are_said_in_digits() -> None:
    """The message has 1000000, as a person writes it, and not 1e+06, which as a value is
    refused."""
    with pytest.raises(SettingsError, match="a number from 0 to 1000000$"):
        read_settings({"GUARDS_RATE": "1e+06"})


def test_gunicorns_own_variable_is_refused() -> None:
    """GUNICORN_CMD_ARGS could move the address and lift the limits while the settings say
    otherwise."""
    with pytest.raises(SettingsError, match="^GUNICORN_CMD_ARGS is not a setting"):
        read_settings({"GUNICORN_CMD_ARGS": "--bind 0.0.0.0:8790"})


def test_every_fault_is_told_at_once() -> None:
    """Two wrong values and an unknown name are three lines."""
    with pytest.raises(SettingsError) as caught:
        read_settings({"PORT": "x", "GUARDS_WORKERS": "x", "GUARDS_COLOUR": "red"})
    assert len(str(caught.value).splitlines()) == 3


def test_a_long_value_is_shown_by_its_beginning() -> None:
    """The message has the first two hundred characters of the value, so that the line can be
    read."""
    with pytest.raises(SettingsError, match=f"^PORT is '{'x' * 200}'; it takes "):
        read_settings({"PORT": "x" * 5_000})


def test_a_key_is_never_shown() -> None:
    """A key that is refused is still a secret."""
    with pytest.raises(SettingsError) as caught:
        read_settings({"GUARDS_KEYS": "hunter2!"})
    assert "hunter2" not in str(caught.value)


@pytest.mark.parametrize(
    "name",
    [
        "GUARDS_SERVICE_HOST",
        "GUARDS_SERVICE_PORT",
        "GUARDS_SERVICE_PORT_HTTP",
        "GUARDS_PORT",
        "GUARDS_PORT_80_TCP",
        "GUARDS_PORT_80_TCP_ADDR",
        "GUARDS_PORT_80_TCP_PORT",
        "GUARDS_PORT_80_TCP_PROTO",
    ],
)
def test_what_kubernetes_injects_is_passed_over(name: str) -> None:
    """A Kubernetes service of the name `guards` sets these variables in every pod beside it
    (service links)."""
    assert read_settings({name: "tcp://10.0.0.1:80"}) == Settings()


def test_keys_are_read_apart() -> None:
    """Keys are separated by commas; spaces around them do not count."""
    first, second = "a" * 16, "b" * 20
    assert read_settings({"GUARDS_KEYS": f"{first}, {second}"}).keys == (first, second)


def test_gunicorn_stops_with_one_clear_line() -> None:
    """A wrong setting ends the start with its name and no traceback."""
    ended = subprocess.run(
        GUNICORN,
        cwd=ROOT,
        env={**os.environ, "GUARDS_WORKERS": "many"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode != 0
    assert "GUARDS_WORKERS is 'many'" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_a_bad_file_stops_the_start_with_its_name_and_place(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A shipped kit that does not fit the schema ends the process with the file and the member."""
    for kind in ("kits", "codes"):
        shutil.copytree(ROOT / "service" / "data" / kind, tmp_path / kind)
    kit = next((tmp_path / "kits").glob("*.json"))
    kit.write_text(kit.read_text("utf-8").replace('"mounting"', '"mountain"'), "utf-8")
    monkeypatch.setattr(app, "load_catalogue", lambda own: load_catalogue(tmp_path, own))
    with pytest.raises(SystemExit) as ended:
        app.start()
    assert f"{kit}: /mountain: " in str(ended.value)


def test_a_first_deck_that_cannot_be_laid_out_stops_the_start(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The message has the setting, its file, and the place of each fault in it; there is no
    traceback."""
    own = tmp_path / "first.json"
    for deck, place in (({**DECK, "kit": "none"}, "/kit: "), ([], "/: ")):
        own.write_text(json.dumps(deck))
        monkeypatch.setenv("GUARDS_COUNTER", str(own))
        with pytest.raises(SystemExit) as ended:
            app.start()
        told = f"The service does not start:\nGUARDS_COUNTER, {own}, cannot be laid out:\n{place}"
        assert str(ended.value).startswith(told)


def test_kits_of_a_yards_own_are_beside_the_shipped(tmp_path: Path) -> None:
    """A yard's own kit is listed and can be named in a deck by its id; where its file is not good,
    the start is refused."""
    shipped = json.loads((ROOT / "service/data/kits/picket-glass-surface-in.json").read_bytes())
    (tmp_path / "kits").mkdir()
    file = tmp_path / "kits" / "yard-9.json"
    file.write_text(json.dumps({**shipped, "id": "yard-9"}), "utf-8")
    told = app.create_app(Settings(catalogue=str(tmp_path))).test_client()
    listed = [kit["id"] for kit in told.get("/v1/kits").get_json()["kits"]]
    assert "yard-9" in listed
    assert "picket-glass-surface-in" in listed
    answered = told.post("/v1/layout", json={**DECK, "kit": "yard-9"}).get_json()
    assert answered["kit"]["id"] == "yard-9"
    file.write_text("{}", "utf-8")
    with pytest.raises(BadFileError, match=re.escape(f"{file}: /")):
        app.create_app(Settings(catalogue=str(tmp_path)))


@pytest.mark.parametrize(
    ("name", "wants"),
    [("GUARDS_CATALOGUE", "the path of a folder"), ("GUARDS_COUNTER", "the path of a file")],
)
def test_a_path_that_is_not_there(tmp_path: Path, name: str, wants: str) -> None:
    """A missing path is refused with all other faults, before anything is read."""
    with pytest.raises(SettingsError, match=f"^{name} is '.*gone'; it takes {wants}$"):
        read_settings({name: str(tmp_path / "gone")})


@pytest.mark.parametrize("name", ["GUARDS_CATALOGUE", "GUARDS_COUNTER"])
def test_a_path_that_cannot_be_looked_up(name: str) -> None:
    """A file system takes names of up to 255 letters; one of 256 gets a message, and no
    traceback."""
    with pytest.raises(SettingsError, match=f"^{name} is '/x+'; it takes the path of a "):
        read_settings({name: "/" + "x" * 256})


def test_the_readme_lists_every_setting_with_its_default_and_meaning() -> None:
    """The README's table and the code say the same."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for setting in TABLE:
        default = f"`{setting.default}`" if setting.default else "none"
        row = f"| `{setting.name}` | {default} | {setting.meaning} |"
        assert row in readme, "the README has this row"
