"""Web: the counter page, a browser client of the same paths, with no outside address.

The page and its modules are files as they stand; nothing of a request is written into them.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Final

from service.web.stored import Stored

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)
"""A drawing is an image out of memory (blob:). The last two: no text is ever read as HTML."""

_PAGE: Final = "counter.html"
_MEDIA: Final = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml"}


def load_counter() -> dict[str, Stored]:
    """The page and what it loads, by path. All are asked for anew: they go with each other."""
    folder = files("service.web").joinpath("static", "counter")
    page = folder.joinpath(_PAGE).read_bytes()
    shelf = {"/": Stored(page, "text/html", {"Content-Security-Policy": POLICY}, max_age=0)}
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        media = _MEDIA.get(file.name.rpartition(".")[2])
        if media is not None:
            asset = Stored(file.read_bytes(), media, negotiated=False, max_age=0)
            shelf[f"/counter/{file.name}"] = asset
    return shelf
