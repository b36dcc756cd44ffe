"""Bulk: the error that stops the command."""

from __future__ import annotations

from collections.abc import Sequence


class BulkError(Exception):
    """The command cannot begin, or cannot go on. words: say why and where.

    answers: those to the first documents of the parcel in which the work broke off.
    """

    def __init__(self, words: str, answers: Sequence[bytes] = ()) -> None:
        super().__init__(words)
        self.answers = list(answers)
