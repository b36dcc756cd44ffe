"""What every test rests on: the same surroundings on any machine, the same cases at every run."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

from tests.bounded import LONG

PROXIES = ("http_proxy", "https_proxy", "all_proxy")

for name in [*os.environ]:
    # Servers here are on the loopback, past any proxy, and begin with the settings of their test.
    if name.lower() in PROXIES or name.startswith(("GUARDS_", "GUNICORN_", "PROMETHEUS_")):
        del os.environ[name]

# Of the processes that these tests begin, nearly two hundred, each would compile the service anew,
# which takes as long as all else at its start.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# And each has its standard streams as Python has them by itself: what a full one keeps back counts.
os.environ.pop("PYTHONUNBUFFERED", None)

# A slow machine is no fault of what is tried, and a case that nobody tried before belongs into the
# long run, not into someone's change.
settings.register_profile(
    "same",
    deadline=None,
    database=None,
    derandomize=not LONG,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("same")
