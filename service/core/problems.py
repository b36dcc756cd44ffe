"""Core: refusals, the bad news that stops an answer. Findings, which do not stop it, live in rules.

A Refusal carries every Problem that its stage could find. Only refusals.py knows which HTTP status
each kind of refusal has.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault in what was sent.

    pointer: RFC 6901, into the document as sent. code: a stable slug.
    message: a sentence with the value, the limit and the unit.
    """

    pointer: str
    code: str
    message: str


class Refusal(Exception):
    """Nothing can be answered. `problems` says why: every fault that could be found, each once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(dict.fromkeys(problems))
        super().__init__("; ".join(problem.message for problem in self.problems))


class Malformed(Refusal):
    """Not JSON that can be read without loss."""


class Misfit(Refusal):
    """JSON that does not fit the published schema."""


class Unbuildable(Refusal):
    """JSON that fits the schema, but from which nothing can be built."""


class TooLarge(Refusal):
    """More than a published limit allows."""


def raise_any(problems: Iterable[Problem]) -> None:
    """Raise Unbuildable with the problems, if there are any."""
    found = list(problems)
    if found:
        raise Unbuildable(found)


def unbuildable(pointer: str, code: str, message: str) -> Unbuildable:
    """An Unbuildable with a single problem."""
    return Unbuildable([Problem(pointer, code, message)])
