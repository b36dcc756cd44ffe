"""Wire: the code of every problem that a refusal may hold, and what it means.

tests/wire/test_slugs.py reads the service's source and fails on one that is not here, and on
one here that nothing raises.
"""

from __future__ import annotations

from typing import Final

SLUGS: Final[dict[str, str]] = {}
