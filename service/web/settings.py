"""Web: the settings, each from one environment variable; unknown and wrong ones are refused.

The main entry is `read_settings`. HOST and PORT have no prefix; every other name starts with
GUARDS_. The names that Kubernetes injects for a service called `guards` (GUARDS_PORT=tcp://…,
GUARDS_SERVICE_HOST, …) start with it too; they are never ours and are ignored.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from service.batch import LONGEST
from service.core.measure import number_text

PREFIX: Final = "GUARDS_"
_INJECTED: Final = re.compile(
    r"GUARDS_(SERVICE_HOST|SERVICE_PORT(_.+)?|PORT(_[0-9]+_(TCP|UDP|SCTP)(_(PROTO|PORT|ADDR))?)?)"
)
_HOST: Final = re.compile(
    r"[0-9A-Za-z_-]{1,63}(\.[0-9A-Za-z_-]{1,63})*\.?|[0-9A-Fa-f.]*:[0-9A-Fa-f.:]*"
)
"""A host name or an IPv4 address, in parts; or an IPv6 address."""
GUNICORN_ARGS: Final = "GUNICORN_CMD_ARGS"
"""gunicorn's own variable, which is refused, as it would silently overrule these settings."""
LEVELS: Final = {"debug": 10, "info": 20, "warning": 30, "error": 40}
"""Levels of the log, each with structlog's number for it."""
HEAD_LINE: Final = 4094
"""The most bytes of a request line; HEAD_FIELDS and HEAD_FIELD bound the number of header fields
and the bytes of one."""
HEAD_FIELDS: Final = 64
HEAD_FIELD: Final = 8190


class SettingsError(Exception):
    """Settings are unknown or wrong, so the service does not start. The message has a line each."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One environment variable: its name, how its text is read, and what it does.

    read: raises ValueError, with what it takes, where the text is wrong.
    """

    name: str
    read: Callable[[str], Any]
    meaning: str

    @property
    def member(self) -> str:
        """The name of the member of Settings that the variable sets."""
        return self.name.removeprefix(PREFIX).lower()

    @property
    def default(self) -> str:
        """The default, as one would write it in the variable; empty where there is none."""
        value = getattr(Settings(), self.member)
        return number_text(value, 6) if isinstance(value, int | float) else "".join(value)


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of the service. Times are in seconds, sizes in bytes."""

    host: str = "127.0.0.1"
    port: int = 8080
    workers: int = 2
    body_limit: int = LONGEST
    keys: tuple[str, ...] = ()
    rate: float = 0.0
    in_flight: int = 0
    proxies: int = 0
    log_level: str = "info"
    drain: float = 2.0
    timeout: int = 30
    batches: int = 0
    batch_lines: int = 50_000
    batch_bytes: int = 268_435_456
    batch_timeout: int = 300
    catalogue: str = ""
    counter: str = ""

    @property
    def batches_at_once(self) -> int:
        """The most batches under way at once, over all workers; by default all workers but one."""
        return self.batches or max(1, self.workers - 1)


def _whole(least: int, most: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not re.fullmatch(r"[0-9]{1,13}", text) or not least <= int(text) <= most:
            raise ValueError(f"a whole number from {least} to {most}")
        return int(text)

    return read


def _number(most: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,6})?", text) or float(text) > most:
            raise ValueError(f"a number from 0 to {most:.0f}")
        return float(text)

    return read


def _host(text: str) -> str:
    if len(text) > 253 or not _HOST.fullmatch(text):
        raise ValueError("an address or a host name, such as 127.0.0.1, :: or localhost")
    return text


def _level(text: str) -> str:
    if text not in LEVELS:
        raise ValueError("one of " + ", ".join(LEVELS))
    return text


def _keys(text: str) -> tuple[str, ...]:
    keys = tuple(key.strip() for key in text.split(","))
    if not all(re.fullmatch(r"[A-Za-z0-9._~+/=-]{16,256}", key) for key in keys):
        raise ValueError("keys of 16 to 256 of A-Z a-z 0-9 . _ ~ + / = -, with commas between")
    return keys


def _file(text: str) -> str:
    if not os.path.isfile(text):
        raise ValueError("the path of a file")
    return text


def _folder(text: str) -> str:
    if not os.path.isdir(text):
        raise ValueError("the path of a folder")
    return text


TABLE: Final = (
    Setting("HOST", _host, "address to listen on"),
    Setting("PORT", _whole(1, 65535), "port to listen on"),
    Setting("GUARDS_WORKERS", _whole(1, 64), "worker processes"),
    Setting(
        "GUARDS_BODY_LIMIT",
        _whole(1024, 67_108_864),
        "longest request body, or line of a batch, in bytes; above it 413",
    ),
    Setting(
        "GUARDS_KEYS",
        _keys,
        "keys of 16 to 256 characters, separated by commas; where set, every path under /v1/ asks "
        "for `Authorization: Bearer <key>`, else 401 (`/v1/docs` too, so no browser can open it)",
    ),
    Setting(
        "GUARDS_RATE",
        _number(1_000_000),
        "requests a second from one address to one worker; above it 429; 0 is no limit",
    ),
    Setting(
        "GUARDS_IN_FLIGHT",
        _whole(0, 1024),
        "decks being laid out at once, over all workers; above it 503; 0 is no limit",
    ),
    Setting(
        "GUARDS_PROXIES",
        _whole(0, 8),
        "how many proxies stand in front, whose X-Forwarded-For is trusted in counting the rate",
    ),
    Setting("GUARDS_LOG_LEVEL", _level, "lowest level logged: " + ", ".join(LEVELS)),
    Setting(
        "GUARDS_DRAIN",
        _number(600),
        "seconds after SIGTERM in which it says that it is not ready, and still accepts requests",
    ),
    Setting(
        "GUARDS_TIMEOUT",
        _whole(1, 600),
        "seconds that one request, or one line of a batch, may hold a worker, sending the reply "
        "included",
    ),
    Setting(
        "GUARDS_BATCHES",
        _whole(0, 64),
        "batches being answered at once, over all workers; above it 503; 0 is one fewer than "
        "there are workers, at least 1",
    ),
    Setting(
        "GUARDS_BATCH_LINES",
        _whole(1, 10_000_000),
        "lines of a batch; above it 413",
    ),
    Setting(
        "GUARDS_BATCH_BYTES",
        _whole(1024, 1_099_511_627_776),
        "bytes of a batch; above it 413",
    ),
    Setting(
        "GUARDS_BATCH_TIMEOUT",
        _whole(1, 86_400),
        "seconds after which a batch begins no further line; a last line says where it stopped",
    ),
    Setting(
        "GUARDS_CATALOGUE",
        _folder,
        "folder with your own kits and codes, added to the shipped ones: kits/*.json and "
        "codes/*.json, each file named after its id",
    ),
    Setting(
        "GUARDS_COUNTER",
        _file,
        "file with the deck document that a new counter page starts from, with your kit, code "
        "and prices; anyone who opens the page can read it",
    ),
)
"""Every setting; a test checks that the README's table agrees."""


def read_settings(environ: Mapping[str, str]) -> Settings:
    """The settings in `environ`. Raises SettingsError with all that are unknown or wrong.

    >>> read_settings({"PORT": "9000"}).port
    9000
    >>> read_settings({"GUARDS_PORT": "tcp://10.0.0.7:80"}).port
    8080
    >>> read_settings({"GUARDS_WORKER": "4", "PORT": "http"})
    Traceback (most recent call last):
    service.web.settings.SettingsError: PORT is 'http'; it takes a whole number from 1 to 65535
    GUARDS_WORKER is not a setting; the settings are HOST, PORT, GUARDS_WORKERS, \
GUARDS_BODY_LIMIT, GUARDS_KEYS, GUARDS_RATE, GUARDS_IN_FLIGHT, GUARDS_PROXIES, \
GUARDS_LOG_LEVEL, GUARDS_DRAIN, GUARDS_TIMEOUT, GUARDS_BATCHES, GUARDS_BATCH_LINES, \
GUARDS_BATCH_BYTES, GUARDS_BATCH_TIMEOUT, \
GUARDS_CATALOGUE, GUARDS_COUNTER
    """
    faults: list[str] = []
    values: dict[str, Any] = {}
    for setting in (each for each in TABLE if each.name in environ):
        text = environ[setting.name]
        try:
            values[setting.member] = setting.read(text)
        except ValueError as wanted:
            faults.append(f"{setting.name} is {_shown(setting, text)}; it takes {wanted}")
    faults += [
        f"{name} is not a setting; the settings are {', '.join(setting.name for setting in TABLE)}"
        for name in unknown(environ)
    ]
    if faults:
        raise SettingsError("\n".join(faults))
    return Settings(**values)


def unknown(environ: Mapping[str, str]) -> list[str]:
    """Names in `environ` to refuse: those with our prefix that are no setting and not injected by
    Kubernetes, and gunicorn's own variable."""
    known = {setting.name for setting in TABLE}
    return sorted(
        name
        for name, text in environ.items()
        if name == GUNICORN_ARGS
        or (name.startswith(PREFIX) and name not in known and not _is_injected(name, text))
    )


def _is_injected(name: str, text: str) -> bool:
    """Whether Kubernetes would set such a variable; GUARDS_PORT with a bare number is a slip for
    PORT."""
    return bool(_INJECTED.fullmatch(name)) and (name != "GUARDS_PORT" or "://" in text)


def _shown(setting: Setting, text: str) -> str:
    """The wrong value for a message, cut short; keys are secret and are not shown."""
    return "wrong" if setting.name == "GUARDS_KEYS" else repr(text[:200])
