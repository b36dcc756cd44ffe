"""Web: the browsable page of the API, which uses no outside address.

Swagger UI comes from its Python package. The page and its few lines of script are ours, so that its
policy can forbid script inside the page, and nothing of a request is written into it.
"""

from __future__ import annotations

from html import escape
from importlib.resources import files
from typing import Final

from service.web.stored import Stored
from service.wire.slugs import SLUGS

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:; connect-src 'self'; font-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""The page's Content-Security-Policy. 'unsafe-inline' is for the style attributes that Swagger UI
writes; all else comes from this service."""

_BUNDLED: Final = {
    "swagger-ui.css": "text/css",
    "swagger-ui-bundle.js": "text/javascript",
    "favicon-32x32.png": "image/png",
}
_OURS: Final = {"docs.css": "text/css", "docs.js": "text/javascript"}


def load_page() -> Stored:
    """The page, with an anchor for every code of a refusal, to which a problem's `type` leads."""
    page = files("service.web").joinpath("static", "docs.html").read_text("utf-8")
    told = "\n".join(
        f'      <dt id="problem-{slug}">{slug}</dt><dd>{escape(words)}</dd>'
        for slug, words in SLUGS.items()
    )
    page = page.replace("<!-- problems -->", told)
    return Stored(page.encode(), "text/html", {"Content-Security-Policy": POLICY})


def load_assets() -> dict[str, Stored]:
    """The files that the page loads, by name."""
    bundle = files("flask_swagger_ui").joinpath("dist")
    static = files("service.web").joinpath("static")
    found = {name: (bundle.joinpath(name), media) for name, media in _BUNDLED.items()}
    found |= {name: (static.joinpath(name), media) for name, media in _OURS.items()}
    return {
        name: Stored(file.read_bytes(), media, negotiated=False)
        for name, (file, media) in found.items()
    }
