"""Web: the sign of life that a worker gives while one request keeps it for long.

gunicorn's master kills a worker from which it heard nothing for GUARDS_TIMEOUT. A batch gives
a sign with each line, so that the time is each line's and not the whole batch's.
"""

from __future__ import annotations

from collections.abc import Callable


class Heart:
    """What a worker says when it is asked to give a sign; outside gunicorn nothing."""

    def __init__(self) -> None:
        self.beat: Callable[[], None] = lambda: None


HEART = Heart()
"""The one of this process."""
