"""How many cases the drawn tests take: the same ones at every run, more of them on demand."""

from __future__ import annotations

import os
from typing import Final

from hypothesis import HealthCheck, settings

LONG: Final = bool(os.environ.get("TEST_LONG"))
"""Whether this is the long run, which takes more of everything."""


def bounded(examples: int) -> settings:
    """The same `examples` cases at every run; twenty times as many in the long one."""
    return settings(
        max_examples=examples * (20 if LONG else 1),
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )
