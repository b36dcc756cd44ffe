"""The shipped kits and codes, read once for all tests."""

from __future__ import annotations

from functools import cache

from service.data.catalogue import Catalogue, load_catalogue


@cache
def catalogue() -> Catalogue:
    """The shipped catalogue."""
    return load_catalogue()
