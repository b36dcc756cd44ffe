"""What all tests rest on: the same surroundings on any machine, and the same cases at every run."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

from tests.bounded import LONG

PROXIES = ("http_proxy", "https_proxy", "all_proxy")

for name in [*os.environ]:
    # Servers of the tests are on loopback, past any proxy, and begin with the settings of their
    # test.
    if name.lower() in PROXIES or name.startswith(("GUARDS_", "GUNICORN_", "PROMETHEUS_")):
        del os.environ[name]

# The tests begin nearly two hundred processes. Without a bytecode cache each would compile the
# service anew, which takes as long as all the rest of its start.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# Each process has Python's own buffering of its standard streams: what a full one keeps back is
# part of what is tested.
os.environ.pop("PYTHONUNBUFFERED", None)

# A slow machine is no fault of what is tested, and a case that was never tried before belongs in
# the long run, not in someone's change.
settings.register_profile(
    "same",
    deadline=None,
    database=None,
    derandomize=not LONG,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("same")
