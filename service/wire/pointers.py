"""Wire: RFC 6901 pointers, which say where in a document as it was sent something stands."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

LONGEST: Final = 500
"""Characters of a pointer; beyond them it points at the nearest holder that it can."""


def escape(name: str) -> str:
    """A member's name as a step of a pointer.

    >>> escape("a/b~c")
    'a~1b~0c'
    """
    return name.replace("~", "~0").replace("/", "~1")


def step(pointer: str, name: str | int) -> str:
    """The pointer to a member or an entry of what `pointer` is at.

    >>> step(step("", "levels"), 0)
    '/levels/0'
    """
    return f"{pointer}/{escape(name) if isinstance(name, str) else name}"


def build(names: Iterable[str | int]) -> str:
    """The pointer of a path, as far down as its length stays within LONGEST.

    >>> build(["levels", 0, "id"]), build(["levels", "x" * 1000, 7])
    ('/levels/0/id', '/levels')
    """
    pointer = ""
    for name in names:
        if isinstance(name, str) and len(name) > LONGEST:
            return pointer
        longer = step(pointer, name)
        if len(longer) > LONGEST:
            return pointer
        pointer = longer
    return pointer
