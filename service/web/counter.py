"""Web: the counter page, a browser client of the same paths, with no outside address.

The page and its modules are files as they stand; nothing of a request is written into them. The
deck that a fresh page begins with is a file too, and may be of the yard's own.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from importlib.resources import files
from pathlib import Path
from typing import Final

from service.answer import answer
from service.core.problems import Refusal
from service.data.catalogue import Catalogue
from service.drawings.writers.svg import page_style
from service.web.settings import SettingsError
from service.web.stored import Stored

_DRAWN: Final = b64encode(sha256(page_style().encode()).digest()).decode()
POLICY: Final = (
    f"default-src 'none'; script-src 'self'; style-src 'self' 'sha256-{_DRAWN}'; "
    "img-src 'self' blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)
"""A drawing is an image out of memory (blob:), and opened by itself it takes this policy along: its
own style sheet is named by its hash. The last two: no text is ever read as HTML."""

_PAGE: Final = "counter.html"
_MEDIA: Final = {
    "css": "text/css",
    "js": "text/javascript",
    "json": "application/json",
    "svg": "image/svg+xml",
}
_START: Final = "start.json"
"""The deck document that a fresh page begins with."""


def load_counter(own: str, catalogue: Catalogue) -> dict[str, Stored]:
    """The page and what it loads, by path. All are asked for anew: they go with each other.

    own: path of the deck document to begin with, "" for the one that is shipped. Raises a
    SettingsError where it cannot be read or laid out.
    """
    folder = files("service.web").joinpath("static", "counter")
    page = folder.joinpath(_PAGE).read_bytes()
    shelf = {"/": Stored(page, "text/html", {"Content-Security-Policy": POLICY}, max_age=0)}
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        media = _MEDIA.get(file.name.rpartition(".")[2])
        if media is not None:
            body = _own_start(own, catalogue) if own and file.name == _START else file.read_bytes()
            asset = Stored(body, media, negotiated=False, max_age=0)
            shelf[f"/counter/{file.name}"] = asset
    return shelf


def _own_start(path: str, catalogue: Catalogue) -> bytes:
    try:
        body = Path(path).read_bytes()
        answer(body, catalogue)
    except OSError as error:
        raise SettingsError(f"GUARDS_COUNTER cannot be read: {error}") from error
    except Refusal as refusal:
        told = (f"{problem.pointer or '/'}: {problem.message}" for problem in refusal.problems)
        lines = "\n".join(told)
        raise SettingsError(f"GUARDS_COUNTER, {path}, cannot be laid out:\n{lines}") from refusal
    return body
