"""Web: the browsable page of the API, which uses no outside address.

The main entry is `load_docs`. Swagger UI comes from its Python package. The page and its few lines
of script are ours, so that its policy can forbid script inside the page, and nothing of a request
is written into it.
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


def load_docs() -> dict[str, Stored]:
    """The replies of the page and of all that it loads, by path.

    The page has an anchor for every code of a refusal, to which a problem's `type` leads.
    """
    bundle, ours = files("flask_swagger_ui").joinpath("dist"), files("service.web") / "static"
    told = "\n".join(
        f'      <dt id="problem-{slug}">{slug}</dt><dd>{escape(words)}</dd>'
        for slug, words in SLUGS.items()
    )
    page = ours.joinpath("docs.html").read_text("utf-8").replace("<!-- problems -->", told)
    shelf = {"/v1/docs": Stored(page.encode(), "text/html", {"Content-Security-Policy": POLICY})}
    for folder, named in ((bundle, _BUNDLED), (ours, _OURS)):
        for name, media in named.items():
            body = folder.joinpath(name).read_bytes()
            shelf[f"/v1/docs/{name}"] = Stored(body, media, negotiated=False)
    return shelf
