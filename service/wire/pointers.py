"""Wire: RFC 6901 pointers into a document as sent."""

from __future__ import annotations

from typing import Any


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


def resolve(document: Any, pointer: str) -> Any:
    """What stands at a pointer; LookupError where nothing does.

    >>> resolve({"levels": [{"a/b": 7}]}, "/levels/0/a~1b")
    7
    """
    found = document
    for part in pointer.split("/")[1:]:
        name = part.replace("~1", "/").replace("~0", "~")
        if isinstance(found, list):
            found = found[int(name)]
        elif isinstance(found, dict):
            found = found[name]
        else:
            raise LookupError(pointer)
    return found


def order(pointer: str) -> tuple[tuple[int, int, str], ...]:
    """A sorting key: entry 2 before entry 10, a holder before what it holds.

    >>> sorted(["/a/10", "/a/2", "/a"], key=order)
    ['/a', '/a/2', '/a/10']
    """
    return tuple(
        (0, int(part), "") if part.isascii() and part.isdigit() and len(part) < 10 else (1, 0, part)
        for part in pointer.split("/")[1:]
    )
