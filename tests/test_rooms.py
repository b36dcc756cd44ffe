"""Each room imports only the rooms below it, as read from the source and not from what happens to
run."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
ANSWERS = {"core", "rules", "wire", "data", "answer", "refusals"}
"""The rooms that it takes to answer a document, or to refuse it."""

SEES = {
    "core": {"core"},
    "rules": {"core", "rules"},
    "refusals": {"core", "refusals"},
    "wire": {"core", "rules", "refusals", "wire"},
    "data": {"core", "rules", "wire", "data"},
    "compare": {"core", "rules", "wire", "data", "compare"},
    "answer": {"core", "rules", "wire", "data", "answer", "compare"},
    "batch": ANSWERS | {"batch"},
    "cells": {"cells"},
    "streams": {"streams"},
    "bulk": ANSWERS | {"batch", "cells", "streams", "bulk"},
    "lay_out": ANSWERS | {"batch", "streams", "lay_out"},
    "drawings": {"core", "cells", "drawings"},
    "web": ANSWERS | {"batch", "drawings", "web"},
}
"""Each room and the rooms that it may import."""

INSIDE = {
    "core": [
        "frozen", "measure", "problems", "limits", "records", "stock", "order", "line", "timber",
        "runs", "levels", "flights", "finishing", "engine",
    ],
    "rules": [
        "finding", "words", "panes", "strength", "table", "job", "ruling", "saying", "figure_words",
        "code_limits", "kit_limits", "alike", "posts", "demands", "load_groups",
        "checks", "judge", "coverage", "advice",
    ],
    "wire": [
        "echo", "pointers", "slugs", "canonical", "forms", "reading", "writing",
        "publishing", "decode", "counts", "gate",
    ],
    "drawings": [
        "points", "marks", "scales", "boxes", "looks", "dimensions", "spelling", "parts", "pages",
        "naming", "tables", "ground", "plans", "elevations", "lists", "look_at", "job",
        "writers", "sheets",
    ],
}  # fmt: skip
"""The folders and modules of a room, each of which may import those before it."""

PURE = {
    "flask", "marshmallow", "json", "os", "time", "random", "logging",
    "datetime", "orjson", "pathlib", "secrets", "socket", "subprocess", "sys", "threading",
}  # fmt: skip
"""Modules that core and rules may not import: their answer is a function of what they are given."""

WEB_ONLY = {"flask", "werkzeug", "gunicorn", "structlog", "flask_swagger_ui", "prometheus_client"}
"""Modules that speak HTTP or read the environment; no room but web has them."""


def imported(source: str, module: str) -> Iterator[str]:
    """Every module that `source` imports, anywhere in it, by its full name."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = module.split(".")[: -node.level] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield stem
            yield from (f"{stem}.{name.name}" for name in node.names)


def faults(source: str, module: str) -> list[str]:
    """A sentence for each module that `module` imports and may not."""
    room = module.split(".")[1]
    found = []
    for name in imported(source, module):
        top, _, rest = name.partition(".")
        other = rest.partition(".")[0]
        if top == "service" and other in SEES and other not in SEES[room]:
            found.append(f"{module} sees {name}")
        if other == room and room in INSIDE and not in_order(room, module, name):
            found.append(f"{module} sees {name}, which comes after it")
        if room in ("core", "rules") and top in PURE:
            found.append(f"{module} is not pure: {name}")
        if room != "web" and top in WEB_ONLY:
            found.append(f"{module} knows the web: {name}")
    return found


def in_order(room: str, module: str, name: str) -> bool:
    """Whether a module of a room may import another part of it."""
    inside, own, other = INSIDE[room], inner(module), inner(name)
    return not (own and other) or other in inside[: inside.index(own) + 1]


def inner(name: str) -> str:
    """The part of a room that a module's full name stands in; "" for the room itself."""
    return "".join(name.split(".")[2:3])


def modules() -> list[tuple[str, Path]]:
    """Every module of the service inside a room, by name."""
    paths = sorted((ROOT / "service").rglob("*.py"))
    named = [(".".join(path.relative_to(ROOT).with_suffix("").parts), path) for path in paths]
    return [(name.removesuffix(".__init__"), path) for name, path in named if name.count(".") > 0]


@pytest.mark.parametrize(
    ("name", "path"),
    [pytest.param(*entry, id=entry[0]) for entry in modules() if entry[0] != "service"],
)
def test_a_module_sees_only_the_rooms_below(name: str, path: Path) -> None:
    """core <- rules <- wire <- data <- answer <- web, and each room in its own order."""
    assert name.split(".")[1] in SEES, f"{name} is in no room"
    assert faults(path.read_text(encoding="utf-8"), name) == []


@pytest.mark.parametrize("room", INSIDE)
def test_a_room_holds_what_its_order_names(room: str) -> None:
    """No folder or module of a room is missing from its order."""
    held = (ROOT / "service" / room).glob("[!_]*")
    assert sorted(path.stem for path in held) == sorted(INSIDE[room]), (
        "put each folder or module into INSIDE, before all that may import it"
    )


@pytest.mark.parametrize(
    ("source", "module", "said"),
    [
        ("from service.wire.forms import strict", "service.core.runs.bays", "sees"),
        ("import service.web.app", "service.answer", "sees"),
        ("from service import rules", "service.core.runs.bays", "sees"),
        ("from ...rules import finding", "service.core.runs.bays", "sees"),
        ("def f():\n    import json", "service.core.runs.bays", "not pure"),
        ("from service.core.engine import lay_out", "service.core.levels.level", "after it"),
        ("from service.core import runs", "service.core.line.posts", "after it"),
        ("from ..writing import pen", "service.wire.forms.deck", "after it"),
        ("from os import path", "service.rules.judge", "not pure"),
        ("import flask", "service.wire.reading.deck", "knows the web"),
    ],
)
def test_a_wrong_import_is_seen(source: str, module: str, said: str) -> None:
    """An import in the wrong direction is named, however it is written and wherever it stands."""
    assert any(said in fault for fault in faults(source, module))


def test_a_right_import_is_not_blamed() -> None:
    """Rooms below, the standard library and shapely may be imported."""
    source = "import math\nimport shapely\nfrom service.core.measure import Length"
    assert faults(source, "service.rules.judge") == []
