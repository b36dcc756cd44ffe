"""What the tests of the web room share: a deck, the app in process, and gunicorn on loopback."""

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
"""What the browser notes of a refusal, which is an answer and no fault of the page."""


@pytest.fixture
def deck() -> dict[str, Any]:
    """A deck document that can be built, the test's own to change."""
    return copy.deepcopy(DECK)


@pytest.fixture
def make_client() -> Make:
    """A client of an app of its own, by the settings that differ from the defaults."""
    return lambda **settings: create_app(Settings(**settings)).test_client()


@pytest.fixture
def standing(monkeypatch: pytest.MonkeyPatch) -> None:
    """All requests come at one moment, by the clock that their rate is counted by."""
    clock = SimpleNamespace(monotonic=lambda: 0.0, perf_counter=time.perf_counter)
    monkeypatch.setattr("service.web.every.time", clock)


@pytest.fixture(scope="session")
def client() -> FlaskClient:
    """A client of one app with the default settings, in process."""
    return create_app(Settings(log_level="error")).test_client()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One gunicorn for all tests that only ask it; none of them may make it stumble."""
    with running(tmp_path_factory.mktemp("gunicorn") / "log") as started:
        yield started
        assert [line for line in started.lines() if line.get("event") == "unexpected"] == []


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """The machine's chromium; the one that was never made for a window takes a third less."""
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
    """A page not yet opened; at the end it has written no error and asked no other host."""
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
    """The page with all that it begins with: the first answer, its drawing, what can be chosen."""
    blank.goto(server.url)
    blank.locator("#plan:not(.old) img").wait_for()
    blank.locator("[id='f.kit'] option").nth(1).wait_for(state="attached")
    return blank
