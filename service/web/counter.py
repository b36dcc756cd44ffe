"""Web: the counter page, a browser client of the same paths, which uses no outside address.

The main entry is `load_counter`. The page, its style and its icon are served as the files stand,
and its modules as one, joined at the start; nothing of a request is ever written into them. The
deck that a fresh page begins with is a file too, and may be the yard's own.
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
from service.web.joining import join
from service.web.settings import SettingsError
from service.web.stored import Stored

_DRAWN: Final = b64encode(sha256(page_style().encode()).digest()).decode()
POLICY: Final = (
    f"default-src 'none'; script-src 'self'; style-src 'self' 'sha256-{_DRAWN}'; "
    "img-src 'self' blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)
"""The page's Content-Security-Policy. A drawing is shown as an image from memory (blob:); opened by
itself it inherits this policy, so its style sheet is allowed by its hash. The last two directives
keep any text from being read as HTML."""

_PAGE: Final = "counter.html"
_ENTRY: Final = "counter"
"""The module that the page loads, joined with all that it imports."""
_MEDIA: Final = {
    "css": "text/css",
    "json": "application/json",
    "svg": "image/svg+xml",
}
_START: Final = "start.json"
"""The deck document that a fresh page begins with."""


def load_counter(own: str, catalogue: Catalogue) -> dict[str, Stored]:
    """The replies of the page and of all that it loads, by path.

    Browsers have to ask for each anew, as files of two releases would not fit each other. own: path
    of the deck document that a fresh page begins with; "" for the shipped one. Raises SettingsError
    where it cannot be read or laid out.
    """
    folder = files("service.web").joinpath("static", "counter")
    page = folder.joinpath(_PAGE).read_bytes()
    shelf = {"/": Stored(page, "text/html", {"Content-Security-Policy": POLICY}, max_age=0)}
    modules: dict[str, str] = {}
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        stem, _, kind = file.name.rpartition(".")
        if kind in _MEDIA:
            body = _own_start(own, catalogue) if own and file.name == _START else file.read_bytes()
            shelf[f"/counter/{file.name}"] = _asset(body, _MEDIA[kind])
        elif kind == "js":
            modules[stem] = file.read_text("utf-8")
    script = join(modules, _ENTRY).encode()
    return shelf | {f"/counter/{_ENTRY}.js": _asset(script, "text/javascript")}


def _asset(body: bytes, media: str) -> Stored:
    return Stored(body, media, negotiated=False, max_age=0)


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
