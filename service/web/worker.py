"""Web: gunicorn's sync worker, which answers what it refuses itself in our shape.

What never reaches the application (too long a request line or header field, HTTP that cannot be
read) is a problem document like any other. A connection that says nothing costs a worker a moment,
or a few seconds where no listener keeps it back (`listening`), not the whole timeout.
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
from gunicorn.workers.sync import SyncWorker

from service import RELEASE
from service.web.body import PATIENCE
from service.web.draining import DRAIN
from service.web.errors import MEDIA, BadNews, WebRefusal, answer_to, given_up
from service.web.heart import HEART
from service.web.listening import keeps_silent_ones
from service.web.logs import frames
from service.web.request_id import HEADER, request_id
from service.web.settings import HEAD_FIELD, HEAD_FIELDS, HEAD_LINE
from service.web.slots import SLOTS
from service.web.state import NAME

SILENCE: Final = 5
"""Seconds without a byte, in either direction, after which the other side is taken to have gone."""
KEPT: Final = 0.5
"""The same for its first byte, where the kernel waited for it before. Not nothing: in a flood it
hands over at once, and the byte may be a moment behind."""
HEED: Final = 0.5
"""Seconds in which a master that was told to end as well has said that it drains."""
SPOKEN: Final = (1, 1)
"""The highest version of HTTP; a request of a later minor one is read as of this."""
LINGER: Final = 134_217_728
"""Bytes read and thrown away, for two seconds at most, so that a sender sees its refusal."""

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
"""What a Host field may hold (RFC 3986, section 3.2): a name or an address, and a port."""
_NAME: Final = re.compile(r"[A-Za-z0-9-]{1,40}")


class Worker(SyncWorker):  # type: ignore[misc]  # gunicorn ships no types
    """One request at a time, each bounded in time; a batch by the time of each of its lines."""

    slot = 0
    """Where it counts; the master says before it forks."""
    _told: float | None = None
    """When it was told to end."""

    def init_process(self) -> None:
        """Give signs of life whenever the application says so, and count in a slot of its own."""
        SLOTS.take(self.slot)
        HEART.beat = self.beat
        super().init_process()

    def init_signals(self) -> None:
        """Listen to signals. What the master sent before, between the fork and this, is lost: that
        all workers end is seen by the flag."""
        super().init_signals()
        # A terminal that hangs up tells all processes. It is the master's to reload.
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
        if DRAIN.is_over:
            self.alive = False

    def handle_exit(self, sig: int, frame: Any) -> None:
        """SIGTERM. Sent to all processes at once it means that the master drains, and will tell
        workers to end when that is over; from the master alone, as at a reload, to end now."""
        if DRAIN.is_over:
            super().handle_exit(sig, frame)
        self._told = time.monotonic()

    def notify(self) -> None:
        """Live on, unless told to end by a master that does not drain."""
        told = self._told
        if told is not None and not DRAIN.under_way and time.monotonic() >= told + HEED:
            self.alive = False
        super().notify()

    def beat(self) -> None:
        """Give a sign of life in the midst of a batch. Told to end meanwhile, let the listeners go:
        whoever calls now is refused at once, and waits for no worker that will never take them."""
        self.notify()
        if not self.alive:
            for listener in self.sockets:
                listener.close()

    def wait(self, timeout: float) -> Any:
        """Until somebody calls; not for long where told to end."""
        return super().wait(timeout if self._told is None else HEED)

    def handle(self, listener: Any, client: socket.socket, addr: Any) -> None:
        """One connection, one request. What the other side broke off is nobody's error."""
        request = None
        try:
            _lose_patience(client)
            silence = KEPT if keeps_silent_ones(listener) else SILENCE
            if not select.select([client], [], [], silence)[0]:
                client.close()  # there is no reply that it might miss
                return
            request = self._read_head(client, addr)
            self.handle_request(listener, request, client, addr)
        except (OSError, StopIteration) as error:
            if request is None and isinstance(error, BlockingIOError):
                self.handle_error(request, client, addr, error)
            structlog.get_logger().debug("gone")
        except BaseException as error:  # SystemExit too, by which the master ends a worker
            self.handle_error(request, client, addr, error)
        finally:
            util.close_graceful(client, max_drain=LINGER)

    def _read_head(self, client: socket.socket, addr: Any) -> Any:
        """The request line and header fields, in time. Who waits for the word to go on with a body
        gets it when the body is read (arrival), not before it is refused."""
        request = next(http.get_parser(self.cfg, _Head(client), addr))
        request.unreader.sock = client
        request._expected_100_continue = False
        # http://host and no more asks for the root (RFC 9110, section 4.2.3).
        request.path = request.path or "/"
        # The reply names the version that is spoken here, not a later one (section 6.2).
        request.version = min(request.version, SPOKEN)
        _check_fields(request)
        return request

    def handle_error(self, req: Any, client: socket.socket, addr: Any, exc: BaseException) -> None:
        """Answer what the application did not see, or could not end."""
        sent = dict(req.headers).get(HEADER.upper()) if req is not None else None
        known = request_id(sent)
        answer = answer_to(_named(exc), known)
        log = structlog.get_logger()
        if answer.status == 500:
            log.error("unexpected", id=known, **frames(exc))
        log.info("request", id=known, status=answer.status, refused=type(exc).__name__)
        if held := self.wsgi.extensions.get(NAME):
            held.metrics.count_unread(answer.status)
        try:
            client.sendall(_written(answer, known))
        except OSError:
            log.debug("gone", id=known)


class _Head:
    """A connection while the head of a request arrives on it; one that trickles is refused."""

    def __init__(self, client: socket.socket) -> None:
        self._client, self._end = client, time.monotonic() + PATIENCE

    def recv(self, most: int) -> bytes:
        """What has arrived, at most so much."""
        if time.monotonic() > self._end:
            raise WebRefusal("request_timeout", "The head of the request arrived too slowly.")
        return self._client.recv(most)


def _check_fields(request: Any) -> None:
    """Refuse what HTTP/1.1 forbids and gunicorn lets through: no Host, or one that names none
    (RFC 9112, section 3.2), and codings beside chunked (section 6.1)."""
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


def _lose_patience(client: socket.socket) -> None:
    """Let a read or a write of a blocking socket fail with BlockingIOError after SILENCE.

    settimeout() would bound the whole of a long reply, these bound each wait for progress.
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


def _written(answer: BadNews, known: str) -> bytes:
    """A whole reply as bytes.

    >>> _written(BadNews(414, b"{}"), "a").splitlines()[0]
    b'HTTP/1.1 414 Request-URI Too Long'
    """
    fields = {
        "Date": util.http_date(),
        "Content-Type": MEDIA,
        "Content-Length": str(len(answer.body)),
        "Connection": "close",
        "Cache-Control": "no-store",
        "X-Content-Type-Options": "nosniff",
        "Release": RELEASE,
        HEADER: known,
        **answer.headers,
    }
    lines = [f"HTTP/1.1 {answer.status} {HTTPStatus(answer.status).phrase}"]
    lines += [f"{name}: {value}" for name, value in fields.items()]
    return "\r\n".join(lines).encode("latin-1") + b"\r\n\r\n" + answer.body
