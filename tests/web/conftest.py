"""What the tests of the web room share: a deck, the app in process, and gunicorn on loopback."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.web.app import create_app
from service.web.settings import Settings
from tests.web.running import DECK, Server, running

Make = Callable[..., FlaskClient]


@pytest.fixture
def deck() -> dict[str, Any]:
    """A deck document that can be built, the test's own to change."""
    return copy.deepcopy(DECK)


@pytest.fixture
def make_client() -> Make:
    """A client of an app of its own, by the settings that differ from the defaults."""
    return lambda **settings: create_app(Settings(**settings)).test_client()


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
