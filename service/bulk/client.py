"""Bulk: a client that has a running service answer parcels, in batches (`Client`).

It tries again where the service is busy.
"""

from __future__ import annotations

import http.client
import json
import re
import time
import urllib.error
import urllib.request
from itertools import takewhile
from typing import Any, Final, NamedTuple
from urllib.parse import urlsplit

from service.batch import tell_laid_out, tell_refused, too_long
from service.bulk.errors import BulkError
from service.bulk.grounds import Grounds, grounds
from service.bulk.work import Parcel
from service.refusals import Refused, refuse_document

TIMEOUT: Final = 600
TRIES: Final = 5
"""How many times a request is sent to a service that is busy."""
PAUSE, LONGEST_PAUSE = 1.0, 10.0
"""Seconds before the next try, where the service does not say; and the most, where it does."""
BUSY: Final = (429, 503)


class Reply(NamedTuple):
    """A reply of the service. after: its Retry-After header. release: its Release header."""

    status: int
    body: bytes
    after: str | None
    release: str | None


class Client:
    """A service at an address.

    url, key: as `check_address` takes them. longest: the most bytes of a document. release: the
    release that all replies must be of; None where it may be any.
    """

    def __init__(self, url: str, key: str | None, longest: int, release: str | None = None) -> None:
        self.url, self.longest, self.release = url.rstrip("/"), longest, release
        self.headers = {"Authorization": f"Bearer {key}"} if key else {}

    def grounds(self) -> Grounds:
        """The grounds of the service: its release, kits and codes, as it publishes them.

        Raises BulkError where it publishes none.
        """
        kits, release = self._get("kits")
        codes, _ = self._get("codes")
        if not release:
            raise BulkError(f"{self.url} is not this service: its replies name no release")
        return grounds(release, kits, codes)

    def _get(self, kind: str) -> tuple[list[dict[str, Any]], str | None]:
        """All kits or codes of the service, and the release that its reply is of."""
        reply = self._ask(urllib.request.Request(f"{self.url}/v1/{kind}", headers=self.headers))
        if reply.status != 200:
            raise BulkError(f"{self.url} answers {reply.status}: {_detail(reply.body)}")
        try:
            told = json.loads(reply.body)[kind]
            named = all(isinstance(each["id"], str) for each in told)
        except (ValueError, KeyError, TypeError):
            named = False
        if not named:
            raise BulkError(f"{self.url} is not this service: it lists no {kind}")
        return told, reply.release

    def answer(self, parcel: Parcel) -> list[bytes]:
        """The answers to a parcel's documents, in order.

        Documents of one line go as a batch, others one by one. Raises BulkError where the service
        does not answer, or not as it should; where a batch ended early, the error holds the answers
        up to there.
        """
        answers: dict[int, bytes] = {}
        batch: list[tuple[int, bytes]] = []
        for number, body in parcel:
            if body is None or len(body) > self.longest:
                refused = refuse_document(too_long(self.longest))
                answers[number] = tell_refused(number, refused).body
            elif b"\n" in body or not body.strip():
                answers[number] = self._one(number, body)
            else:
                batch.append((number, body))
        ended = ""
        if batch:
            told, ended = self._batch(batch)
            answers |= told
        there = list(takewhile(answers.__contains__, (number for number, _ in parcel)))
        if ended:
            first = next((number for number, _ in parcel[len(there) :]), parcel[-1][0])
            words = f"line {first}: {self.url} did not end a batch as it should: {ended}"
            raise BulkError(words, [answers[number] for number in there])
        return [answers[number] for number in there]

    def _one(self, number: int, body: bytes) -> bytes:
        status, reply = self._post("/v1/layout", body, "application/json")
        if status == 200:
            return tell_laid_out(number, reply)
        if status not in (400, 413, 422) and not (status == 500 and _is_problem(reply)):
            raise BulkError(f"{self.url} answers {status}: {_detail(reply)}")
        return tell_refused(number, Refused(status, reply)).body

    def _batch(self, batch: list[tuple[int, bytes]]) -> tuple[dict[int, bytes], str]:
        """Answers of a batch by line; and the reason, where the batch ended early, else empty."""
        sent = b"".join(body + b"\n" for _, body in batch)
        status, reply = self._post("/v1/layouts", sent, "application/x-ndjson")
        if status != 200:
            raise BulkError(f"{self.url} answers {status}: {_detail(reply)}")
        told = reply.splitlines(keepends=True)
        if told and not told[-1].endswith(b"\n"):
            told.pop()
        ended = ""
        if told and b',"ended":true}' in told[-1][-20:]:
            ended = _detail(told.pop())
        elif len(told) != len(batch):
            ended = f"{len(told)} answers came for {len(batch)} documents"
        return {
            number: b'{"line":%d,' % number + line.partition(b",")[2]
            for (number, _), line in zip(batch, told, strict=False)
        }, ended

    def _post(self, path: str, body: bytes, media: str) -> tuple[int, bytes]:
        """Status and body of the reply. Raises BulkError where the release has changed."""
        request = urllib.request.Request(
            self.url + path, body, {"Content-Type": media, **self.headers}, method="POST"
        )
        reply = self._ask(request)
        if self.release and (reply.release or self.release) != self.release:
            raise BulkError(
                f"{self.url} is of release {reply.release} now, and the earlier answers are of "
                f"{self.release}; start again with another file"
            )
        return reply.status, reply.body

    def _ask(self, request: urllib.request.Request) -> Reply:
        """The reply to a request, which is sent up to TRIES times while the service is busy."""
        for _ in range(TRIES - 1):
            reply = self._send(request)
            if reply.status not in BUSY:
                return reply
            time.sleep(pause(reply.after))
        return self._send(request)

    def _send(self, request: urllib.request.Request) -> Reply:
        try:
            with _open(request) as reply:
                fields = reply.headers
                return Reply(reply.status, reply.read(), fields["Retry-After"], fields["Release"])
        except (OSError, ValueError, http.client.HTTPException) as error:
            raise BulkError(f"{self.url} does not answer: {error}") from None


def _open(request: urllib.request.Request) -> Any:
    """The reply to a request, whatever its status."""
    try:
        return urllib.request.urlopen(request, timeout=TIMEOUT)
    except urllib.error.HTTPError as refused:
        return refused


def pause(after: str | None) -> float:
    """Seconds to wait for a Retry-After: its number up to LONGEST_PAUSE, PAUSE where it has none.

    >>> [pause(after) for after in ("0", "3", "3600", "Wed, 21 Oct 2026 07:28:00 GMT", None)]
    [0.0, 3.0, 10.0, 1.0, 1.0]
    """
    if after is None or re.fullmatch("[0-9]{1,9}", after.strip()) is None:
        return PAUSE
    return min(float(after), LONGEST_PAUSE)


def check_address(url: str, key: str | None) -> None:
    """Raise BulkError where the address or the key cannot be used.

    The address must be http or https, with a host and without a user name, which would be taken for
    part of the host. The key must be visible ASCII.

    >>> check_address("http://127.0.0.1:8080/", None)
    """
    if not _is_address(url):
        raise BulkError(
            f"--url {url!r}: not the address of a service, such as http://127.0.0.1:8080"
        )
    if key is not None and not re.fullmatch("[!-~]+", key):
        raise BulkError("--key: only visible ASCII can be sent as a key")


def _is_address(url: str) -> bool:
    if not re.fullmatch("[!-~]+", url):
        return False
    try:
        parts = urlsplit(url)
        served = bool(parts.hostname) and parts.port != 0 and "@" not in parts.netloc
    except ValueError:  # an impossible port, or no address in the brackets
        return False
    return served and parts.scheme in ("http", "https") and not (parts.query or parts.fragment)


def _is_problem(reply: bytes) -> bool:
    """Whether a reply is a problem document of the service itself, not of a proxy before it."""
    try:
        return bool(json.loads(reply)["errors"])
    except (ValueError, KeyError, TypeError):
        return False


def _detail(reply: bytes) -> str:
    """The detail of a problem document, or else the first bytes of the reply."""
    try:
        read = json.loads(reply)
        return str(read.get("problem", read)["detail"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return repr(reply[:200])
