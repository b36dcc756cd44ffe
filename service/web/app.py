"""Web: the Flask application, made from the settings, with all that is kept between requests.

The main entries are `create_app` and, for gunicorn, `start`.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from service.answer import answer
from service.data.catalogue import BadFileError, load_catalogue
from service.web.errors import attach_errors
from service.web.hooks import attach_hooks
from service.web.load import InFlight, Rate
from service.web.logs import start_logs
from service.web.metrics import Metrics
from service.web.readiness import DECK
from service.web.routes import check_path, routes
from service.web.settings import Settings, SettingsError, read_settings
from service.web.shelf import fill_shelf
from service.web.slots import SLOTS
from service.web.state import NAME, State


def create_app(settings: Settings | None = None) -> Flask:
    """The service as a WSGI application. settings: by default those of the environment."""
    settings = settings or read_settings(os.environ)
    start_logs(settings.log_level)
    app = Flask("service.web", static_folder=None)
    # Otherwise //v1/kits would be answered with a redirect in HTML.
    app.url_map.merge_slashes = False
    app.extensions[NAME] = held = _prepare(settings)
    attach_errors(app)
    attach_hooks(app)
    app.before_request(check_path)
    app.register_blueprint(routes)
    app.wsgi_app = held.metrics.watch(app.wsgi_app)  # type: ignore[assignment, method-assign]
    if settings.proxies:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=settings.proxies, x_proto=0)  # type: ignore[method-assign]
    return app


def start() -> Flask:
    """The application for gunicorn; exits with the reason in plain lines where it cannot start."""
    try:
        return create_app()
    except (BadFileError, SettingsError) as error:
        sys.exit(f"The service does not start:\n{error}")


def _prepare(settings: Settings) -> State:
    """The state of the app, with kits and codes read, replies stored, and one deck laid out."""
    catalogue = load_catalogue(own=Path(settings.catalogue) if settings.catalogue else None)
    return State(
        settings=settings,
        catalogue=catalogue,
        shelf=fill_shelf(catalogue, settings),
        readiness=answer(DECK, catalogue).digest,
        in_flight=InFlight(settings.in_flight),
        batches=InFlight(settings.batches_at_once),
        rate=Rate(settings.rate) if settings.rate else None,
        metrics=Metrics(SLOTS.folder),
    )
