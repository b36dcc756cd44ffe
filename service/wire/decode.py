"""Wire: the bytes of a body to a document, read without loss or refused as Malformed.

The main entry is `decode`. The standard `json` takes NaN, repeated names and lone surrogates, and
turns 1e400 into infinity. A body with none of these is read once, by the C scanner of `json` and
four small hooks; where a hook or the scanner objects, the body is read again, more slowly, so that
every fault gets its place.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any, Final, NamedTuple, NoReturn, TypeVar

from service.core import limits
from service.core.problems import Malformed, Problem
from service.wire.echo import echo, shortened
from service.wire.pointers import Path, build

T = TypeVar("T")

MOST: Final = 500
"""The most faults of a document that a refusal lists; one more problem then counts the rest."""

_MOST_DIGITS: Final = 300
"""The most characters of a whole number on the quick way; no number so long is beyond a double."""
_SURROGATE = re.compile(rb"\\u[dD][89a-fA-F]")
_NOT_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_SQUARE = bytes.maketrans(b"{}", b"[]")
_LONE = re.compile("[\ud800-\udfff]")


def decode(body: bytes) -> Any:
    """The document that a body holds.

    >>> decode(b'{"unit": "in"}')
    {'unit': 'in'}

    Refuses (Malformed) a body that is not JSON text in UTF-8, and NaN, infinities, numbers beyond
    a double, repeated member names, lone surrogates and nesting deeper than `limits.DEPTH`.
    """
    text = _decode_text(body)
    if not _suspect(body):
        try:
            return _PLAIN.decode(text)
        except (_SuspectError, ValueError, RecursionError):
            pass
    return _examine(text)


class _SuspectError(Exception):
    """The quick reading has met something that only the slow one can judge."""


def _decode_text(body: bytes) -> str:
    if not body.strip():
        raise _malformed("empty_body", "The body is empty; send a JSON document.")
    if body.startswith(b"\xef\xbb\xbf"):
        raise _malformed("byte_order_mark", "The body begins with a byte order mark; leave it out.")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        place = f"Byte {error.start} of the body, counted from 0,"
        message = f"{place} is not UTF-8; send text in UTF-8, not compressed."
        raise _malformed("not_utf_8", message) from None


def _suspect(body: bytes) -> bool:
    return _too_deep(body) or (b"\\u" in body and _SURROGATE.search(body) is not None)


def _too_deep(body: bytes) -> bool:
    """Whether the brackets may nest too deep: never missed, but brackets within text count too.

    Each round removes all innermost pairs at once. Braces are first turned into square brackets:
    were the two kinds removed one after the other, a list and the object around it could both go
    in one round.
    """
    brackets = body.translate(_SQUARE, _NOT_BRACKETS)
    for _ in range(limits.DEPTH):
        if not brackets:
            return False
        brackets = brackets.replace(b"[]", b"")
    return bool(brackets)


def _refuse_constant(name: str) -> NoReturn:
    raise _SuspectError(name)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        raise _SuspectError("repeated")
    return members


def _plain_float(text: str) -> float:
    value = float(text)
    if value in _INFINITIES:
        raise _SuspectError(text[:40])
    return value


def _plain_int(text: str) -> int:
    if len(text) > _MOST_DIGITS:
        raise _SuspectError(text[:40])
    return int(text)


_INFINITIES: Final = (math.inf, -math.inf)
_PLAIN = json.JSONDecoder(
    object_pairs_hook=_once,
    parse_float=_plain_float,
    parse_int=_plain_int,
    parse_constant=_refuse_constant,
)


class _Members(dict[str, Any]):
    """An object with the names that it gives more than once."""

    repeated: tuple[str, ...] = ()


class _NotANumber:
    """A number that JSON or a double cannot hold. text: the number as written."""

    def __init__(self, text: str) -> None:
        self.text = text


def _keep_members(pairs: list[tuple[str, Any]]) -> _Members:
    members = _Members(pairs)
    if len(members) != len(pairs):
        times = Counter(name for name, _ in pairs)
        members.repeated = tuple(name for name, count in times.items() if count > 1)
    return members


def _keep_float(text: str) -> float | _NotANumber:
    value = float(text)
    return value if math.isfinite(value) else _NotANumber(text)


def _keep_int(text: str) -> int | _NotANumber:
    # No double has so many digits; on very many, int() would take long, or refuse.
    if len(text) > 310:
        return _NotANumber(text)
    value = int(text)
    try:
        float(value)
    except OverflowError:
        return _NotANumber(text)
    return value


_CAREFUL = json.JSONDecoder(
    object_pairs_hook=_keep_members,
    parse_float=_keep_float,
    parse_int=_keep_int,
    parse_constant=_NotANumber,
)


_WHY: Final = {
    "Expecting ','": "a comma, or the end of the list or object, is wanted here",
    "Expecting ':'": "a colon is wanted here, between a member's name and its value",
    "Expecting property name": "a member's name in double quotation marks is wanted here",
    "Expecting value": "a value is wanted here",
    "Illegal trailing comma": "this comma has nothing after it",
    "Unterminated string": "the text that begins here has no closing quotation mark",
    "Invalid control character": "text holds a control character here; write it as an escape, "
    "such as \\t or \\n",
    "Invalid \\": "the escape that begins here is none of JSON",
    "Extra data": "the document has ended here and something follows it",
}
"""The scanner's complaints in plain words, by how its own words begin."""


def _examine(text: str) -> Any:
    try:
        document = _CAREFUL.decode(text)
    except RecursionError:
        raise _malformed("nested_too_deep", _deep_message()) from None
    except json.JSONDecodeError as error:
        why = next((why for start, why in _WHY.items() if error.msg.startswith(start)), "")
        # In a batch a document is always line 1 of itself; the batch counts its lines on its own.
        line = f"line {error.lineno}, " if "\n" in text else ""
        message = f"Not JSON at {line}column {error.colno}: {why or error.msg}."
        raise _malformed("not_json", message) from None
    problems = cap(_faults(document), _problem)
    if problems:
        raise Malformed(problems)
    return json.loads(text)


class _Fault(NamedTuple):
    """A fault at a path, whose pointer is written only where the fault is told."""

    path: Path
    code: str
    message: str


def _faults(node: Any, path: Path = ()) -> Iterator[_Fault]:
    """Every fault of a node that `_CAREFUL` has read, in document order."""
    if isinstance(node, _NotANumber):
        is_number = node.text.strip("-")[0].isdigit()
        why = "it is too large for a double" if is_number else "JSON has no such number"
        message = f"{shortened(node.text)} cannot be read: {why}; send a number such as 12.5."
        yield _Fault(path, "not_a_number", message)
    elif isinstance(node, str):
        if _LONE.search(node):
            message = f"{echo(node)} holds half of a surrogate pair: send the whole character."
            yield _Fault(path, "lone_surrogate", message)
    elif isinstance(node, dict | list):
        if isinstance(node, _Members):
            yield from _faults_of_names(node, path)
        if len(path) >= limits.DEPTH:
            yield _Fault(path, "nested_too_deep", _deep_message())
            return
        for name, value in node.items() if isinstance(node, dict) else enumerate(node):
            yield from _faults(value, (*path, name))


def _faults_of_names(members: _Members, path: Path) -> Iterator[_Fault]:
    for name in members.repeated:
        message = f"The member {echo(name)} is given more than once; give it once."
        yield _Fault((*path, name), "repeated_member", message)
    for name in members:
        if _LONE.search(name):
            message = f"The name {echo(name)} holds half of a surrogate pair."
            yield _Fault(path, "lone_surrogate", message)


def _problem(fault: _Fault) -> Problem:
    """A fault with its pointer, which has U+FFFD for lone surrogates, as UTF-8 has none."""
    return Problem(_LONE.sub("\ufffd", build(fault.path)), fault.code, fault.message)


def cap(faults: Iterable[T], problem: Callable[[T], Problem]) -> list[Problem]:
    """The problems of the first MOST faults, and one that counts the rest where there are more.

    problem: makes the problem of a fault.
    """
    left = iter(faults)
    told = [problem(fault) for fault in islice(left, MOST)]
    if rest := sum(1 for _ in left):
        more = f"There are {rest} more faults; the first {MOST} are told."
        told.append(Problem("", "more_faults", more))
    return told


def _deep_message() -> str:
    return f"Arrays and objects are nested more than {limits.DEPTH} deep."


def _malformed(code: str, message: str) -> Malformed:
    return Malformed([Problem("", code, message)])
