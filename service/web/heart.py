"""Web: the sign of life that a worker gives while one request occupies it for long.

gunicorn's master kills a worker from which it has not heard for GUARDS_TIMEOUT. A batch gives a
sign with each line, so that this timeout holds for each line and not for the whole batch.
"""

from __future__ import annotations

from collections.abc import Callable


class Heart:
    """Holds the function that gives a sign of life. Outside gunicorn it does nothing."""

    def __init__(self) -> None:
        self.beat: Callable[[], None] = lambda: None


HEART = Heart()
"""The heart of this process; the worker replaces its `beat`."""
