"""Web: a batch, many decks in one request: a line in, a line out, in order.

The main entry is `Batch`. A fault of the request as a whole that is known before the first answer
is an ordinary refusal. One that comes later is told in a last line marked `ended`, so that no line
goes unanswered without a reason.
"""

from __future__ import annotations

import hashlib
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain, islice
from typing import Any, Final

import structlog

from service.batch import AnswerLine, Line, answer_line, split_lines, tell_refused
from service.core.problems import Malformed, Problem, Refusal
from service.refusals import Refused, refuse_document
from service.web.errors import WebRefusal, given_up, unexpected
from service.web.heart import HEART
from service.web.intake import Intake
from service.web.logs import frames
from service.web.state import State

ROUTE: Final = "/v1/layouts"
"""The path that takes batches."""


@dataclass
class Tally:
    """The counts of a batch, for its line in the log.

    size: bytes of the reply. ended: "whole", the code of what ended it early, or "gone" where the
    client left. digest: over the digests of the layouts, in order.
    """

    statuses: Counter[int] = field(default_factory=Counter)
    size: int = 0
    ended: str = "gone"
    digest: Any = field(default_factory=hashlib.sha256)

    def count(self, told: AnswerLine) -> bytes:
        """Count a line that is about to be sent, and return its bytes."""
        self.statuses[told.status] += 1
        self.size += len(told.body)
        if told.digest is not None:
            self.digest.update(told.digest.encode() + b"\n")
        return told.body


class Batch:
    """One batch: `begin`, then `replies`. known: the id of its request."""

    def __init__(self, intake: Intake, now: State, known: str) -> None:
        self.intake, self.now, self.known = intake, now, known
        self.tally = Tally()
        self._begun = time.monotonic()
        self._done = 0
        self._documents = self._read()
        self._first: list[Line] = []

    def begin(self) -> None:
        """Take in what has arrived, up to the first document. Refuses a batch that is too large or
        has no document."""
        self.intake.gather()
        self._first = list(islice(self._documents, 1))
        if not self._first:
            message = "No line holds a document; send one JSON document a line."
            raise Malformed([Problem("", "empty_body", message)])

    def replies(self) -> Iterator[bytes]:
        """The answers line by line; where they end early, a last line that says why."""
        try:
            for line in chain(self._first, self._documents):
                yield self._answer(line)
            self.tally.ended = "whole"
        except Refusal as refusal:
            yield self._end(refusal.problems[0].code, refuse_document(refusal))
        except WebRefusal as refusal:
            yield self._end(refusal.slug, refusal.refused)
        except SystemExit as end:
            said = "This line took longer than one line may; leave it out and send the rest."
            left = given_up(end, said)
            yield self._end(left.slug, left.refused)

    def _end(self, why: str, refused: Refused) -> bytes:
        """The last line of a batch that ends early. why: as in `Tally.ended`."""
        self.tally.ended = why
        return self.tally.count(tell_refused(self._done + 1, refused, ended=True))

    def _read(self) -> Iterator[Line]:
        """The lines that are not blank. Refuses to go on after too many lines or too much time."""
        for line in split_lines(self.intake.pieces(), self.now.settings.body_limit):
            HEART.beat()
            if line.number > self.intake.lines:
                raise self.intake.too_many()
            if time.monotonic() - self._begun > self.now.settings.batch_timeout:
                most = self.now.settings.batch_timeout
                message = f"The batch took longer than {most} s; send the rest as another."
                raise WebRefusal("overrun", message, Retry_After="5")
            if not line.blank:
                yield line
            self._done = line.number

    def _answer(self, line: Line) -> bytes:
        """The answer to a line. An unexpected error becomes that line's answer, not the batch's."""
        try:
            told = answer_line(line, self.now.settings.body_limit, self.now.catalogue)
        except Exception as error:
            structlog.get_logger().error("unexpected", id=self.known, **frames(error))
            told = tell_refused(line.number, unexpected(self.known))
        self.now.metrics.count_document(ROUTE, told.status, told.bays)
        return self.tally.count(told)

    def fields(self) -> dict[str, Any]:
        """What the log says of the batch."""
        tally = self.tally
        return {
            "ms": round((time.monotonic() - self._begun) * 1000, 1),
            "bytes": tally.size,
            "digest": f"sha256:{tally.digest.hexdigest()}",
            "lines": self._done,
            "answers": {str(status): count for status, count in sorted(tally.statuses.items())},
            "ended": tally.ended,
        }
