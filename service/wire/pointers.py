"""Wire: RFC 6901 pointers, which name a place in a document as it was sent."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeAlias

Path: TypeAlias = tuple[str | int, ...]

LONGEST: Final = 500
"""The most characters of a pointer; a longer one is cut to the nearest enclosing place."""


def escape(name: str) -> str:
    """A member's name as a step of a pointer.

    >>> escape("a/b~c")
    'a~1b~0c'
    """
    return name.replace("~", "~0").replace("/", "~1")


def step(pointer: str, name: str | int) -> str:
    """The pointer to a member or an entry of the object or list at `pointer`.

    >>> step(step("", "levels"), 0)
    '/levels/0'
    """
    return f"{pointer}/{escape(name) if isinstance(name, str) else name}"


def build(names: Iterable[str | int]) -> str:
    """The pointer of a path, as far down the path as LONGEST characters allow.

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
