"""How the time of one answer divides over its stages, timed inside the answer itself."""

from __future__ import annotations

import contextlib
import json
import statistics
import time
from collections.abc import Callable, Iterator
from typing import Any
from unittest import mock

import service.answer
from service.data.catalogue import Catalogue

STAGES = {
    "decode": "decode",
    "fit": "check_fit",
    "read": "_read",
    "lay out": "lay_out",
    "order": "make_order",
    "judge": "judge",
    "digest": "digest",
    "write": "write_layout",
}
"""The function of service.answer that each stage is; the rest of the time is "to bytes"."""

Times = dict[str, float]


def stage_times(deck: dict[str, Any], catalogue: Catalogue, seconds: float) -> Times:
    """The median seconds of each stage and of all, over about `seconds` seconds of answers."""
    body = json.dumps(deck).encode()
    runs: list[Times] = []
    with timed() as spent:
        while len(runs) < 3 or sum(run["all"] for run in runs) < seconds:
            spent.clear()
            started = time.perf_counter()
            service.answer.answer(body, catalogue)
            whole = time.perf_counter() - started
            runs.append({**spent, "to bytes": whole - sum(spent.values()), "all": whole})
    return {stage: statistics.median(run[stage] for run in runs) for stage in runs[0]}


@contextlib.contextmanager
def timed() -> Iterator[Times]:
    """The seconds spent in each stage since the last clear()."""
    spent: Times = {}
    with contextlib.ExitStack() as patched:
        for stage, name in STAGES.items():
            watched = _watch(stage, getattr(service.answer, name), spent)
            patched.enter_context(mock.patch.object(service.answer, name, watched))
        yield spent


def _watch(stage: str, call: Callable[..., Any], spent: Times) -> Callable[..., Any]:
    def watched(*given: Any, **named: Any) -> Any:
        started = time.perf_counter()
        try:
            return call(*given, **named)
        finally:
            spent[stage] = spent.get(stage, 0.0) + time.perf_counter() - started

    return watched


def answer_time(deck: dict[str, Any], catalogue: Catalogue, seconds: float) -> float:
    """The median seconds of one answer, with no stage watched."""
    body = json.dumps(deck).encode()
    times: list[float] = []
    while len(times) < 3 or sum(times) < seconds:
        started = time.perf_counter()
        service.answer.answer(body, catalogue)
        times.append(time.perf_counter() - started)
    return statistics.median(times)
