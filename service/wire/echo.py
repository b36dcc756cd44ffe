"""Wire: repeats a value that was sent in a message, cut short and safe to print anywhere."""

from __future__ import annotations

import json
from typing import Any, Final

LONGEST: Final = 40
"""The most characters of a value that a message repeats."""


def echo(value: Any) -> str:
    """A value as a person would recognise it, with characters that cannot be seen escaped.

    >>> echo(True), echo("6' 13\\"\\n"), echo(None)
    ('true', '"6\\' 13\\\\"\\\\n"', 'null')
    >>> echo("3\\u2019 6\\u201d"), echo("a\\u202eb"), echo("\\ud800")
    ('"3’ 6”"', '"a\\\\u202eb"', '"\\\\ud800"')
    >>> echo([1, 2]), echo({}), echo(1.5)
    ('a list of 2', 'an object', '1.5')
    >>> len(echo("x" * 1000000)), len(echo(10**300))
    (45, 43)
    """
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, str):
        cut = _seen(json.dumps(value[:LONGEST], ensure_ascii=False))
        return f'{cut[:-1]}..."' if len(value) > LONGEST else cut
    return shortened(json.dumps(value))


def _seen(quoted: str) -> str:
    """A quoted text in which every character that cannot be printed is escaped."""
    if quoted.isprintable():
        return quoted
    return "".join(c if c.isprintable() else json.dumps(c)[1:-1] for c in quoted)


def shortened(text: str) -> str:
    """A text, cut to LONGEST characters and "..." where it is longer.

    >>> shortened("1e999"), shortened("1" * 5000)[-6:]
    ('1e999', '111...')
    """
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."
