"""Core: bad news that stops an answer. Findings, which do not stop it, live in rules.

A Refusal carries every Problem that its stage could find. Which HTTP status a kind has is
known in refusals.py alone.
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
    """Nothing can be answered; `problems` says why, all that could be found, each once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(dict.fromkeys(problems))
        super().__init__("; ".join(problem.message for problem in self.problems))


class Malformed(Refusal):
    """Not JSON that can be read without loss."""


class Misfit(Refusal):
    """JSON that does not fit the published schema."""


class Unbuildable(Refusal):
    """Fits the schema, but nothing can be built from it."""


class TooLarge(Refusal):
    """More than a published limit allows."""


def raise_any(problems: Iterable[Problem]) -> None:
    """Refuse (Unbuildable) where there are any."""
    found = list(problems)
    if found:
        raise Unbuildable(found)


def unbuildable(pointer: str, code: str, message: str) -> Unbuildable:
    """An Unbuildable with one problem."""
    return Unbuildable([Problem(pointer, code, message)])
