"""How many cases the property tests take: the same ones at every run, and more in the long run."""

from __future__ import annotations

import os
from typing import Final

from hypothesis import HealthCheck, settings

LONG: Final = bool(os.environ.get("TEST_LONG"))
"""Whether this is the long run, which takes more cases of everything."""


def bounded(examples: int) -> settings:
    """Settings for the same `examples` cases at every run; twenty times as many in the long run."""
    return settings(
        max_examples=examples * (20 if LONG else 1),
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )
