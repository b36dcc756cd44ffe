"""Checks what could stop the start, then says where the service will listen, with a call to try.

A wrong setting, a taken port or a file of the yard's own that cannot be used ends the start here.
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
from service.streams import open_streams, print_output
from service.web.counter import load_counter
from service.web.settings import Settings, SettingsError, read_settings

ANYWHERE: Final = {"0.0.0.0": "127.0.0.1", "::": "::1"}
"""The address at which to call a service that listens on all addresses."""

TEXT: Final = """\
Deck guards on {url} (Ctrl-C or SIGTERM ends it); the API to read: {url}/v1/docs
Try it:
  curl -sS {url}/v1/layout -H 'Content-Type: application/json'{key} -d '
    {{"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021",
     "guard": {{"infill": "picket"}},
     "levels": [{{"id": "main", "drop": 48, "edges": [{{"edge": 2, "condition": "wall"}}],
                 "outline": {{"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}}}}]}}'"""

KEY: Final = ' -H "Authorization: Bearer $KEY"'
"""The option that a call needs where keys are set. The key itself is never printed."""


def main() -> None:
    """Print where the service will listen, or exit with the reason why it does not start."""
    open_streams()
    try:
        settings = read_settings(os.environ)
        check_free(settings)
        check_own(settings)
    except (BadFileError, SettingsError, OSError) as error:
        sys.exit(f"The service does not start:\n{error}")
    # The service starts even where standard output cannot be written to.
    with contextlib.suppress(OSError):
        print_output(TEXT.format(url=url_of(settings), key=KEY if settings.keys else ""))


def check_free(settings: Settings) -> None:
    """Bind the address and let it go again. Raises OSError, with what to do, where that fails."""
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
    """Read the yard's own kits, codes and counter document, where the settings name any."""
    if settings.catalogue or settings.counter:
        own = Path(settings.catalogue) if settings.catalogue else None
        load_counter(settings.counter, load_catalogue(own=own))


def url_of(settings: Settings) -> str:
    """The URL at which to call the service.

    >>> url_of(Settings(host="::", port=9000)), url_of(Settings(host="0.0.0.0"))
    ('http://[::1]:9000', 'http://127.0.0.1:8080')
    """
    host = ANYWHERE.get(settings.host, settings.host)
    return f"http://[{host}]:{settings.port}" if ":" in host else f"http://{host}:{settings.port}"


if __name__ == "__main__":
    main()
