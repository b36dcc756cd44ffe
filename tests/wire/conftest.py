"""Fixtures that the tests of the wire room share."""

from __future__ import annotations

from typing import Any

import pytest

from service.data.catalogue import Catalogue
from tests import shipped

from .documents import deck, reply


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The shipped kits and codes."""
    return shipped.catalogue()


@pytest.fixture(scope="module")
def whole() -> Any:
    """The reply to the deck that has most members."""
    return reply(deck())
