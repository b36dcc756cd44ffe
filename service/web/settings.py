"""Web: the settings, each from one environment variable; unknown and wrong ones are refused.

The main entry is `read_settings`. HOST and PORT have no prefix; every other name starts with
GUARDS_. The names that Kubernetes injects for a service called `guards` (GUARDS_PORT=tcp://…,
GUARDS_SERVICE_HOST, …) start with it too; they are never ours and are ignored.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import Field, dataclass, field, fields
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


def _setting(default: Any, read: Callable[[str], Any], meaning: str) -> Any:
    return field(default=default, metadata={"read": read, "meaning": meaning})


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of the service, each with its default, how its text is read and what it does.

    Times are in seconds, sizes in bytes.
    """

    host: str = _setting("127.0.0.1", _host, "address to listen on")
    port: int = _setting(8080, _whole(1, 65535), "port to listen on")
    workers: int = _setting(2, _whole(1, 64), "worker processes")
    body_limit: int = _setting(
        LONGEST,
        _whole(1024, 67_108_864),
        "longest request body, or line of a batch, in bytes; above it 413",
    )
    keys: tuple[str, ...] = _setting(
        (),
        _keys,
        "keys of 16 to 256 characters, separated by commas; where set, every path under /v1/ asks "
        "for `Authorization: Bearer <key>`, else 401 (`/v1/docs` too, so no browser can open it)",
    )
    rate: float = _setting(
        0.0,
        _number(1_000_000),
        "requests a second from one address to one worker; above it 429; 0 is no limit",
    )
    in_flight: int = _setting(
        0,
        _whole(0, 1024),
        "decks being laid out at once, over all workers; above it 503; 0 is no limit",
    )
    proxies: int = _setting(
        0,
        _whole(0, 8),
        "how many proxies stand in front, whose X-Forwarded-For is trusted in counting the rate",
    )
    log_level: str = _setting("info", _level, "lowest level logged: " + ", ".join(LEVELS))
    drain: float = _setting(
        2.0,
        _number(600),
        "seconds after SIGTERM in which it says that it is not ready, and still accepts requests",
    )
    timeout: int = _setting(
        30,
        _whole(1, 600),
        "seconds that one request, or one line of a batch, may hold a worker, sending the reply "
        "included",
    )
    batches: int = _setting(
        0,
        _whole(0, 64),
        "batches being answered at once, over all workers; above it 503; 0 is one fewer than "
        "there are workers, at least 1",
    )
    batch_lines: int = _setting(50_000, _whole(1, 10_000_000), "lines of a batch; above it 413")
    batch_bytes: int = _setting(
        268_435_456, _whole(1024, 1_099_511_627_776), "bytes of a batch; above it 413"
    )
    batch_timeout: int = _setting(
        300,
        _whole(1, 86_400),
        "seconds after which a batch begins no further line; a last line says where it stopped",
    )
    catalogue: str = _setting(
        "",
        _folder,
        "folder with your own kits and codes, added to the shipped ones: kits/*.json and "
        "codes/*.json, each file named after its id",
    )
    counter: str = _setting(
        "",
        _file,
        "file with the deck document that a new counter page starts from, with your kit, code "
        "and prices; anyone who opens the page can read it",
    )

    @property
    def batches_at_once(self) -> int:
        """The most batches under way at once, over all workers; by default all workers but one."""
        return self.batches or max(1, self.workers - 1)


@dataclass(frozen=True, slots=True)
class Setting:
    """One environment variable. member: of Settings, which it sets.

    default: as one would write it in the variable; empty where there is none. read: raises
    ValueError, with what it takes, where the text is wrong.
    """

    name: str
    member: str
    default: str
    read: Callable[[str], Any]
    meaning: str


def _variable(each: Field[Any]) -> Setting:
    bare = each.name in ("host", "port")
    name = each.name.upper() if bare else f"{PREFIX}{each.name.upper()}"
    value: Any = each.default
    default = number_text(value, 6) if isinstance(value, int | float) else "".join(value)
    return Setting(name, each.name, default, **each.metadata)


TABLE: Final = tuple(_variable(each) for each in fields(Settings))
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
