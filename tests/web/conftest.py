"""Fixtures of the web tests: a deck, the app in process, gunicorn on loopback, and a browser."""

from __future__ import annotations

import copy
import shutil
import time
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.web.app import create_app
from service.web.settings import Settings
from tests.web.running import DECK, PATIENCE, Server, running

Make = Callable[..., FlaskClient]
REFUSED = "Failed to load resource: the server responded with a status of 4"
"""The start of the line that the browser logs for a refusal, which is an answer and no fault of the
page."""


@pytest.fixture
def deck() -> dict[str, Any]:
    """A deck document that can be built; each test has its own copy to change."""
    return copy.deepcopy(DECK)


@pytest.fixture
def make_client() -> Make:
    """A function that makes a client of a new app, from the settings that differ from the
    defaults."""
    return lambda **settings: create_app(Settings(**settings)).test_client()


@pytest.fixture
def standing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stop the clock by which the rate is counted, so that all requests come at one moment."""
    clock = SimpleNamespace(monotonic=lambda: 0.0, perf_counter=time.perf_counter)
    monkeypatch.setattr("service.web.hooks.time", clock)


@pytest.fixture(scope="session")
def client() -> FlaskClient:
    """A client, in process, of one app with the default settings."""
    return create_app(Settings(log_level="error")).test_client()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One gunicorn for all tests that only send requests; none of them may cause an unexpected
    error."""
    with running(tmp_path_factory.mktemp("gunicorn") / "log") as started:
        yield started
        assert [line for line in started.lines() if line.get("event") == "unexpected"] == []


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """The machine's chromium, headless; its build without a window, where there is one, takes a
    third less time."""
    api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")
    chromium = shutil.which("chromium-headless-shell") or shutil.which("chromium")
    if chromium is None:
        pytest.skip("no chromium on this machine")
    api.expect.set_options(timeout=PATIENCE * 1000)
    with api.sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=chromium, args=["--no-sandbox"], timeout=PATIENCE * 1000
        )
        yield started
        started.close()


@pytest.fixture
def blank(browser: Any, server: Server) -> Iterator[Any]:
    """A page that is not yet opened. At the end of the test it must have logged no error and asked
    no other host."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(PATIENCE * 1000)
    page = context.new_page()
    told: list[str] = []
    asked: list[str] = []
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    yield page
    assert [line for line in told if not line.startswith(REFUSED)] == []
    ours = (f"{server.url}/", f"blob:{server.url}/")
    assert [url for url in asked if not url.startswith(ours)] == []
    context.close()


@pytest.fixture
def page(blank: Any, server: Server) -> Any:
    """The counter page once its first answer, that answer's drawing and the lists of choices have
    come."""
    blank.goto(server.url)
    blank.locator("#plan:not(.old) img").wait_for()
    blank.locator("[id='f.kit'] option").nth(1).wait_for(state="attached")
    return blank
