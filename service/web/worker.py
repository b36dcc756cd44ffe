"""Web: gunicorn's sync worker, changed to send its own refusals as problem documents (`Worker`).

Requests that never reach the application (too long a request line or header field, HTTP that
cannot be read) get a problem document like any other refusal. A silent connection costs a worker a
moment, or a few seconds where the kernel does not hold it back (`listening`), but not the whole
timeout.
"""

from __future__ import annotations

import re
import select
import signal
import socket
import struct
import time
from http import HTTPStatus
from typing import Any, Final

import structlog
from gunicorn import http, util
from gunicorn.http import errors as refused
from gunicorn.http.body import LengthReader
from gunicorn.workers.sync import SyncWorker

from service import RELEASE
from service.refusals import Refused
from service.web.body import PATIENCE
from service.web.draining import DRAIN
from service.web.errors import WebRefusal, answer_to, given_up
from service.web.heart import HEART
from service.web.listening import defers_accept
from service.web.logs import frames
from service.web.request_id import HEADER, request_id
from service.web.settings import HEAD_FIELD, HEAD_FIELDS, HEAD_LINE
from service.web.slots import SLOTS
from service.web.state import NAME
from service.wire.publishing.paths import PROBLEM

SILENCE: Final = 5
"""Seconds without a byte, in either direction, after which the client is taken to have gone."""
FIRST_BYTE_WAIT: Final = 0.5
"""The same for the first byte, where the kernel has waited for it already. It is not 0: in a flood
the kernel hands connections over at once, and the byte may come a moment later."""
DRAIN_LAG: Final = 0.5
"""Seconds within which the master, if it was told to end too, has begun to drain."""
SPOKEN: Final = (1, 1)
"""The highest version of HTTP spoken here; requests of a later minor version are read as of it."""
LINGER: Final = 134_217_728
"""The most bytes to read and discard, for at most two seconds, so that a client that is still
sending sees its refusal."""

_SAID: Final[tuple[tuple[type[BaseException], str, str], ...]] = (
    (BlockingIOError, "request_timeout", "The request stopped arriving."),
    (refused.LimitRequestLine, "uri_too_long", f"The request line is over {HEAD_LINE} bytes."),
    (
        refused.LimitRequestHeaders,
        "headers_too_large",
        f"Over {HEAD_FIELDS} fields, or one over {HEAD_FIELD} bytes.",
    ),
    (refused.ExpectationFailed, "expectation_failed", "Only 100-continue can be expected."),
    (refused.UnsupportedTransferCoding, "not_implemented", "Only chunked is read."),
    (refused.InvalidHTTPVersion, "bad_request", "Only HTTP/1.0 and HTTP/1.1 are read."),
    (refused.InvalidRequestMethod, "bad_request", "The method is not 3 to 20 upper-case letters."),
    (refused.InvalidRequestLine, "bad_request", "The request line is ill-formed."),
    (
        refused.InvalidSchemeHeaders,
        "bad_request",
        "The fields that tell the scheme contradict each other.",
    ),
    (refused.ParseException, "bad_request", "A header field is ill-formed."),
)
_HOST: Final = re.compile(
    r"([A-Za-z0-9._~!$&'()*+,;=%-]*|\[[A-Za-z0-9:._~!$&'()*+,;=%-]+\])(:[0-9]*)?"
)
"""The Host fields that are accepted (RFC 3986, section 3.2): a name or an address, and a port."""
_NAME: Final = re.compile(r"[A-Za-z0-9-]{1,40}")


class Worker(SyncWorker):  # type: ignore[misc]  # gunicorn ships no types
    """Answers one request at a time, within a time limit; a batch has that limit for each line."""

    slot = 0
    """The slot in which the worker counts; the master sets it before it forks."""
    _told: float | None = None
    """When the worker was told to end, on the monotonic clock; None where it was not."""

    def init_process(self) -> None:
        """Let the application give signs of life, and count in the worker's own slot."""
        SLOTS.take(self.slot)
        HEART.beat = self.beat
        super().init_process()

    def init_signals(self) -> None:
        """Handle signals from now on.

        Signals that the master sent between the fork and this call are lost, so the drain flag
        tells whether all workers are to end.
        """
        super().init_signals()
        # A terminal that hangs up sends SIGHUP to all processes; only the master is to reload.
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
        if DRAIN.is_over:
            self.alive = False

    def handle_exit(self, sig: int, frame: Any) -> None:
        """Handle SIGTERM.

        Where all processes got it at once, the master drains, and tells the workers to end when
        that is over. Where the master alone sent it, as at a reload, the worker is to end now:
        `notify` finds that out.
        """
        if DRAIN.is_over:
            super().handle_exit(sig, frame)
        self._told = time.monotonic()

    def notify(self) -> None:
        """Give a sign of life. Where told to end by a master that does not drain, take no more."""
        told = self._told
        if told is not None and not DRAIN.under_way and time.monotonic() >= told + DRAIN_LAG:
            self.alive = False
        super().notify()

    def beat(self) -> None:
        """Give a sign of life in the middle of a batch.

        Where the worker is to end, its listeners are closed, so that new clients are refused at
        once and do not wait for a worker that will never accept them.
        """
        self.notify()
        if not self.alive:
            for listener in self.sockets:
                listener.close()

    def wait(self, timeout: float) -> Any:
        """Wait for a connection, but only for DRAIN_LAG seconds where told to end."""
        return super().wait(timeout if self._told is None else DRAIN_LAG)

    def handle(self, listener: Any, client: socket.socket, addr: Any) -> None:
        """Answer the one request of a connection. A client that breaks off is not an error."""
        request = None
        try:
            _set_timeouts(client)
            silence = FIRST_BYTE_WAIT if defers_accept(listener) else SILENCE
            if not select.select([client], [], [], silence)[0]:
                client.close()  # not gracefully, as there is no reply that the client might miss
                return
            request = self._read_head(client, addr)
            self.handle_request(listener, request, client, addr)
        except (OSError, StopIteration) as error:
            if request is None and isinstance(error, BlockingIOError):
                self.handle_error(request, client, addr, error)
            structlog.get_logger().debug("gone")
        except BaseException as error:  # also SystemExit, with which the master ends a worker
            self.handle_error(request, client, addr, error)
        finally:
            if request is not None and client.fileno() >= 0 and _sends_no_more(request, client):
                client.close()
            util.close_graceful(client, max_drain=LINGER)

    def _read_head(self, client: socket.socket, addr: Any) -> Any:
        """The request, with its request line and header fields read within the time for them.

        A client that waits for 100 Continue gets it when the body is read (`arrival`), so that a
        refused body is never sent.
        """
        request = next(http.get_parser(self.cfg, _Head(client), addr))
        request.unreader.sock = client
        request._expected_100_continue = False
        # A bare http://host asks for the root (RFC 9110, section 4.2.3).
        request.path = request.path or "/"
        # The reply names the version that is spoken here, not the client's later one (section 6.2).
        request.version = min(request.version, SPOKEN)
        _check_fields(request)
        return request

    def handle_error(self, req: Any, client: socket.socket, addr: Any, exc: BaseException) -> None:
        """Answer a request that the application did not see, or did not finish."""
        sent = dict(req.headers).get(HEADER.upper()) if req is not None else None
        known = request_id(sent)
        answer, headers = answer_to(_named(exc), known)
        log = structlog.get_logger()
        if answer.status == 500:
            log.error("unexpected", id=known, **frames(exc))
        log.info("request", id=known, status=answer.status, refused=type(exc).__name__)
        if held := self.wsgi.extensions.get(NAME):
            held.metrics.count_unread(answer.status)
        try:
            client.sendall(_written(answer, headers, known))
        except OSError:
            log.debug("gone", id=known)


class _Head:
    """A connection while the head of a request arrives. Refuses (408) a head that is too slow."""

    def __init__(self, client: socket.socket) -> None:
        self._client, self._end = client, time.monotonic() + PATIENCE

    def recv(self, most: int) -> bytes:
        """The bytes that have arrived, `most` at most."""
        if time.monotonic() > self._end:
            raise WebRefusal("request_timeout", "The head of the request arrived too slowly.")
        return self._client.recv(most)


def _check_fields(request: Any) -> None:
    """Refuse what HTTP/1.1 forbids but gunicorn lets through.

    That is a missing or ill-formed Host field (RFC 9112, section 3.2), and transfer codings other
    than chunked (section 6.1).
    """
    host = None if request.version >= (1, 1) else ""
    for name, value in request.headers:
        if name == "HOST":
            host = value
        elif name == "TRANSFER-ENCODING" and value.strip().lower() != "chunked":
            raise refused.UnsupportedTransferCoding(value)
    if host is None:
        raise WebRefusal("bad_request", "There is no Host field, which HTTP/1.1 asks for.")
    if not _HOST.fullmatch(host):
        raise WebRefusal("bad_request", "The Host field names no host.")


def _sends_no_more(request: Any, client: socket.socket) -> bool:
    """Whether a client has said that this is its last request, and all that it sent was read.

    Its connection can then be closed without waiting for the client to close its own end: the
    kernel still delivers the reply, which it would cut short only if more bytes came.
    """
    reader = request.body.reader
    read = isinstance(reader, LengthReader) and not reader.length
    # Who forgot to say the length of a body may still be sending it.
    told = request.method in ("GET", "HEAD") or "CONTENT-LENGTH" in dict(request.headers)
    beyond = request.unreader.buf.getvalue() or select.select([client], [], [], 0)[0]
    return bool(request.should_close() and read and told and not beyond)


def _set_timeouts(client: socket.socket) -> None:
    """Make reads and writes of a blocking socket fail with BlockingIOError after SILENCE seconds.

    settimeout() would bound the whole of a long reply; these options bound each wait for progress.
    """
    span = struct.pack("@ll", SILENCE, 0)
    client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, span)
    client.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, span)


def _named(error: BaseException) -> BaseException:
    name = getattr(error, "hdr", None)
    if isinstance(error, refused.InvalidHeader) and isinstance(name, str) and _NAME.fullmatch(name):
        return WebRefusal("bad_request", f"The field {name} is ill-formed, or sent more than once.")
    for sort, slug, message in _SAID:
        if isinstance(error, sort):
            return WebRefusal(slug, message)
    if isinstance(error, SystemExit):
        return given_up(error, "It was given up after the time that one request may take.")
    return error


def _written(answer: Refused, headers: dict[str, str], known: str) -> bytes:
    """A whole reply as bytes.

    >>> _written(Refused(414, b"{}"), {}, "a").splitlines()[0]
    b'HTTP/1.1 414 Request-URI Too Long'
    """
    fields = {
        "Date": util.http_date(),
        "Content-Type": PROBLEM,
        "Content-Length": str(len(answer.body)),
        "Connection": "close",
        "Cache-Control": "no-store",
        "X-Content-Type-Options": "nosniff",
        "Release": RELEASE,
        HEADER: known,
        **headers,
    }
    lines = [f"HTTP/1.1 {answer.status} {HTTPStatus(answer.status).phrase}"]
    lines += [f"{name}: {value}" for name, value in fields.items()]
    return "\r\n".join(lines).encode("latin-1") + b"\r\n\r\n" + answer.body
