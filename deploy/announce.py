"""Before the start: a wrong setting, a port that is taken or a file of one's own that is not good
ends it; else where the service will listen, and a first call to try.

Called by deploy/serve, just before gunicorn takes over.
"""

from __future__ import annotations

import contextlib
import os
import socket
import sys
from pathlib import Path
from typing import Final

from service.data.catalogue import BadFileError, load_catalogue
from service.streams import open_streams, say
from service.web.counter import load_counter
from service.web.settings import Settings, SettingsError, read_settings

ANYWHERE: Final = {"0.0.0.0": "127.0.0.1", "::": "::1"}
"""Where to call what listens on every address."""

TEXT: Final = """\
Deck guards on {url} (Ctrl-C or SIGTERM ends it); the API to read: {url}/v1/docs
Try it:
  curl -sS {url}/v1/layout -H 'Content-Type: application/json'{key} -d '
    {{"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021",
     "guard": {{"infill": "picket"}},
     "levels": [{{"id": "main", "drop": 48, "edges": [{{"edge": 2, "condition": "wall"}}],
                 "outline": {{"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}}}}]}}'"""

KEY: Final = ' -H "Authorization: Bearer $KEY"'
"""What a call must say where keys are set; which, whoever starts the service knows."""


def main() -> None:
    """Say it, or end with what stops the start."""
    open_streams()
    try:
        settings = read_settings(os.environ)
        check_free(settings)
        check_own(settings)
    except (BadFileError, SettingsError, OSError) as error:
        sys.exit(f"The service does not start:\n{error}")
    # Where nobody can be told, there is no call to offer; the service starts all the same.
    with contextlib.suppress(OSError):
        say(TEXT.format(url=url_of(settings), key=KEY if settings.keys else ""))


def check_free(settings: Settings) -> None:
    """Take the address and let it go again; OSError with what to do where that fails."""
    host, port = settings.host, settings.port
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
    except OSError as error:
        why = f"{host} port {port} cannot be listened on ({error.strerror or error})"
        raise OSError(f"{why}; set HOST and PORT to an address that is free") from error


def check_own(settings: Settings) -> None:
    """Read the kits, codes and counter's document that the settings name, where they name any."""
    if settings.catalogue or settings.counter:
        own = Path(settings.catalogue) if settings.catalogue else None
        load_counter(settings.counter, load_catalogue(own=own))


def url_of(settings: Settings) -> str:
    """Where to call it.

    >>> url_of(Settings(host="::", port=9000)), url_of(Settings(host="0.0.0.0"))
    ('http://[::1]:9000', 'http://127.0.0.1:8080')
    """
    host = ANYWHERE.get(settings.host, settings.host)
    return f"http://[{host}]:{settings.port}" if ":" in host else f"http://{host}:{settings.port}"


if __name__ == "__main__":
    main()
