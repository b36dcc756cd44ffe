"""Bulk: what stops the command, each in one plain line."""

from __future__ import annotations

from collections.abc import Sequence


class BulkError(Exception):
    """The command cannot begin, or cannot go on; its words say why and where.

    answers: of the first documents of the parcel that it broke off in.
    """

    def __init__(self, words: str, answers: Sequence[bytes] = ()) -> None:
        super().__init__(words)
        self.answers = list(answers)
