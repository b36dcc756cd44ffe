"""Bulk: a running service asked by its address, in batches, with patience where it is busy."""

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
"""How often one request is sent to a service that is busy."""
PAUSE, LONGEST_PAUSE = 1.0, 10.0
"""Seconds before the next try: where the service names none, and at most."""
BUSY: Final = (429, 503)


class Reply(NamedTuple):
    """What a service says. after: its Retry-After; release: its Release."""

    status: int
    body: bytes
    after: str | None
    release: str | None


class Client:
    """A service by its address. release: the one that it has to answer by; None: any."""

    def __init__(self, url: str, key: str | None, longest: int, release: str | None = None) -> None:
        check_address(url, key)
        self.url, self.longest, self.release = url.rstrip("/"), longest, release
        self.headers = {"Authorization": f"Bearer {key}"} if key else {}

    def grounds(self) -> Grounds:
        """Its release, kits and codes, as it tells them."""
        kits, release = self._get("kits")
        codes, _ = self._get("codes")
        if not release:
            raise BulkError(f"{self.url} is no such service: it names no release")
        return grounds(release, kits, codes)

    def _get(self, kind: str) -> tuple[list[dict[str, Any]], str | None]:
        """All kits or codes, and the release that they came with."""
        reply = self._ask(urllib.request.Request(f"{self.url}/v1/{kind}", headers=self.headers))
        if reply.status != 200:
            raise BulkError(f"{self.url} answers {reply.status}: {_detail(reply.body)}")
        try:
            told = json.loads(reply.body)[kind]
            named = all(isinstance(each["id"], str) for each in told)
        except (ValueError, KeyError, TypeError):
            named = False
        if not named:
            raise BulkError(f"{self.url} is no such service: it tells no {kind}")
        return told, reply.release

    def answer(self, parcel: Parcel) -> list[bytes]:
        """The answers to documents of one line each, sent as a batch, and to others one by one.

        Raises BulkError where the service does not answer, or not as it should; it holds the
        answers that came before.
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
        """Answers by line; and where the service ended it before its last line, its words."""
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
            ended = f"{len(told)} answers came of {len(batch)}"
        return {
            number: b'{"line":%d,' % number + line.partition(b",")[2]
            for (number, _), line in zip(batch, told, strict=False)
        }, ended

    def _post(self, path: str, body: bytes, media: str) -> tuple[int, bytes]:
        """The status and the reply."""
        request = urllib.request.Request(
            self.url + path, body, {"Content-Type": media, **self.headers}, method="POST"
        )
        reply = self._ask(request)
        if self.release and (reply.release or self.release) != self.release:
            raise BulkError(
                f"{self.url} is of release {reply.release} by now, and the answers before are of "
                f"{self.release}; begin again with another file"
            )
        return reply.status, reply.body

    def _ask(self, request: urllib.request.Request) -> Reply:
        """The reply; that of a service that is busy only after TRIES."""
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
    """The reply, whatever its status."""
    try:
        return urllib.request.urlopen(request, timeout=TIMEOUT)
    except urllib.error.HTTPError as refused:
        return refused


def pause(after: str | None) -> float:
    """Seconds to wait as a Retry-After asks, in so far as it is a number and not too long.

    >>> [pause(after) for after in ("0", "3", "3600", "Wed, 21 Oct 2026 07:28:00 GMT", None)]
    [0.0, 3.0, 10.0, 1.0, 1.0]
    """
    if after is None or re.fullmatch("[0-9]{1,9}", after.strip()) is None:
        return PAUSE
    return min(float(after), LONGEST_PAUSE)


def check_address(url: str, key: str | None) -> None:
    """Raises BulkError but for an http or https address with a host and no name of a user, which
    would be taken for a part of the host, and a key that can be sent.

    >>> check_address("http://127.0.0.1:8080/", None)
    """
    if not _is_address(url):
        raise BulkError(f"--url {url!r}: no address of a service, as http://127.0.0.1:8080 is one")
    if key is not None and not re.fullmatch("[!-~]+", key):
        raise BulkError("--key: visible ASCII alone can be sent as a key")


def _is_address(url: str) -> bool:
    if not re.fullmatch("[!-~]+", url):
        return False
    try:
        parts = urlsplit(url)
        served = bool(parts.hostname) and parts.port != 0 and "@" not in parts.netloc
    except ValueError:  # a port, or an address in brackets, that is none
        return False
    return served and parts.scheme in ("http", "https") and not (parts.query or parts.fragment)


def _is_problem(reply: bytes) -> bool:
    """Whether the service itself speaks, not what stands before it."""
    try:
        return bool(json.loads(reply)["errors"])
    except (ValueError, KeyError, TypeError):
        return False


def _detail(reply: bytes) -> str:
    """A problem document's own words, or the beginning of what came."""
    try:
        read = json.loads(reply)
        return str(read.get("problem", read)["detail"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return repr(reply[:200])
