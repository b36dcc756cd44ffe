"""Batch: many documents, one a line, each line answered by itself, as bytes.

The web room and the bulk command both answer through `answer_line`, so that a document gets the
same bytes either way. This module knows nothing of HTTP, files or processes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from service.answer import answer
from service.core.problems import Problem, Refusal, TooLarge
from service.data.catalogue import Catalogue
from service.refusals import Refused, refuse_document

LONGEST: Final = 1_048_576
"""The most bytes of one document, unless a setting of the service says otherwise."""

_WHITE: Final = b" \t\r"
"""The characters that JSON takes as white space, apart from the line end."""


class Line(NamedTuple):
    """One line of a batch.

    number: counted from 1. body: the line without its line end; None where it was too long.
    """

    number: int
    body: bytes | None

    @property
    def blank(self) -> bool:
        """Whether the line holds nothing but white space: it is counted but gets no answer."""
        return self.body is not None and not self.body.strip(_WHITE)


@dataclass(frozen=True, slots=True)
class AnswerLine:
    """The answer to one line, ready to send.

    digest, bays: the layout's digest and number of bays; None and 0 where the line was refused.
    """

    status: int
    body: bytes
    digest: str | None = None
    bays: int = 0


def split_lines(pieces: Iterable[bytes], longest: int) -> Iterator[Line]:
    r"""The lines of a body that arrives in pieces, holding no more than about `longest` bytes.

    A line of more than `longest` bytes has the body None. The last line needs no line end.

    >>> [line.body for line in split_lines([b"a\nb", b"c\n\nlonger", b" yet\nd"], 3)]
    [b'a', b'bc', b'', None, b'd']
    """
    number, held, size = 1, bytearray(), 0
    for piece in pieces:
        *ended, rest = piece.split(b"\n")
        for part in ended:
            size += len(part)
            held += part[: longest + 1 - len(held)]
            yield Line(number, bytes(held) if size <= longest else None)
            number, size = number + 1, 0
            held.clear()
        size += len(rest)
        held += rest[: longest + 1 - len(held)]
    if size:
        yield Line(number, bytes(held) if size <= longest else None)


def answer_line(line: Line, longest: int, catalogue: Catalogue) -> AnswerLine:
    """The answer to a line: its document's layout, or the problem document of its refusal.

    Never raises a Refusal. longest: the most bytes that a document may have.
    """
    try:
        if line.body is None or len(line.body) > longest:
            raise too_long(longest)
        answered = answer(line.body, catalogue)
    except Refusal as refusal:
        return tell_refused(line.number, refuse_document(refusal))
    laid_out = tell_laid_out(line.number, answered.body)
    return AnswerLine(200, laid_out, answered.digest, answered.bays)


def tell_laid_out(number: int, layout: bytes) -> bytes:
    """A line of the reply that holds a layout document. number: of the line that it answers.

    >>> tell_laid_out(3, b"{}")
    b'{"line":3,"status":200,"layout":{}}\\n'
    """
    return b'{"line":%d,"status":200,"layout":%b}\n' % (number, layout)


def tell_refused(number: int, refused: Refused, *, ended: bool = False) -> AnswerLine:
    """A line of the reply that holds a refusal.

    ended: whether the batch ends here, so that neither this line nor any later one was laid out.

    >>> tell_refused(3, Refused(422, b"{}")).body
    b'{"line":3,"status":422,"problem":{}}\\n'
    """
    head = b'{"line":%d,"status":%d,"problem":' % (number, refused.status)
    tail = b',"ended":true}\n' if ended else b"}\n"
    return AnswerLine(refused.status, head + refused.body + tail)


def too_long(longest: int) -> TooLarge:
    """The refusal of a document of more than `longest` bytes."""
    message = f"The document is longer than {longest} bytes."
    return TooLarge([Problem("", "body_too_long", message)])
