"""How gunicorn runs the service. Everything that may be chosen comes from the settings."""

import gc
import os
import queue
import signal
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from service.streams import lose_unwritten, open_streams  # noqa: E402
from service.web.draining import DRAIN  # noqa: E402  (the path is set just above)
from service.web.listening import defer_accept  # noqa: E402
from service.web.settings import (  # noqa: E402
    HEAD_FIELD,
    HEAD_FIELDS,
    HEAD_LINE,
    SettingsError,
    read_settings,
)
from service.web.slots import SLOTS, free_slot  # noqa: E402

# Otherwise the next file opened could get the descriptor of a closed stream, and the log go there.
open_streams()

try:
    _settings = read_settings(os.environ)
except SettingsError as error:
    sys.exit(f"The service does not start:\n{error}")

# Done before the app is loaded. At a reload this file is read again, and counting goes on.
try:
    SLOTS.open(_settings.workers)
except OSError as error:
    sys.exit(f"The service does not start:\nThere is no place for what it counts: {error}")

STOPS = (signal.SIGTERM, signal.SIGINT, signal.SIGQUIT)

wsgi_app = "service.web.app:start()"
_host = f"[{_settings.host}]" if ":" in _settings.host else _settings.host
bind = f"{_host}:{_settings.port}"
workers = _settings.workers
worker_class = "service.web.worker.Worker"
logger_class = "service.web.logs.ServerLog"
loglevel = _settings.log_level
accesslog = None
# So that all workers share one copy of the schemas and the catalogue, and the drain flag.
preload_app = True
timeout = _settings.timeout
# Long enough for a batch under way to end: the time that it may take, and that of its last line.
graceful_timeout = _settings.batch_timeout + _settings.timeout
limit_request_line = HEAD_LINE
limit_request_fields = HEAD_FIELDS
limit_request_field_size = HEAD_FIELD
control_socket_disable = True
# The heartbeat file must not wait for a disk, nor need one that is writable.
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


def on_starting(server: Any) -> None:
    """At SIGTERM, have readiness go off first, and the workers stop after the drain delay."""
    stop = server.handle_term

    def drain_then_stop() -> None:
        DRAIN.begin()
        _wait(server, _settings.drain)
        DRAIN.end()
        stop()

    server.handle_term = drain_then_stop


def when_ready(server: Any) -> None:
    """Have silent connections held back, and freeze what is loaded, so that the garbage collector
    does not walk it and forked workers do not copy it."""
    defer_accept(server.LISTENERS)
    gc.collect()
    gc.freeze()


def pre_fork(server: Any, worker: Any) -> None:
    """Give a new worker the lowest free slot, where it goes on from the counts of a former one."""
    worker.slot = free_slot(each.slot for each in server.WORKERS.values())
    SLOTS.make_room(worker.slot)
    SLOTS.leave(worker.slot)


def pre_request(_worker: Any, _request: Any) -> None:
    """Replace gunicorn's debug line, which has the path; our own log tells only the route."""


def child_exit(_server: Any, worker: Any) -> None:
    """Clear the requests that a dead worker had under way."""
    SLOTS.leave(worker.slot)


def on_exit(_server: Any) -> None:
    """Drop lines that the log could not take, so that they do not change the exit status."""
    lose_unwritten()


def _wait(server: Any, seconds: float) -> None:
    """Wait for so many seconds, or until the next signal that means stop.

    Dead workers are reaped meanwhile. Other signals (reload, reopen the log) are ignored.
    """
    end = time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        try:
            if server.SIG_QUEUE.get(timeout=left) in STOPS:
                return
        except queue.Empty:
            return
        server.reap_workers()
