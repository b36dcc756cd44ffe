"""The locks with hashes stay valid whatever is published after them."""

from __future__ import annotations

import re
from importlib import metadata
from pathlib import Path

import pytest

DEPLOY = Path(__file__).resolve().parents[2] / "deploy"
PINNED = re.compile(r"^([A-Za-z0-9._-]+)((?:\[[a-z0-9,_-]+\])?)==", re.MULTILINE)
ASKED = re.compile(r"^([A-Za-z0-9._-]+)\s*\[([^\]]+)\]")


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-dev.lock"])
def test_an_extra_that_a_package_asks_for_is_pinned_as_such(name: str) -> None:
    """A project that a pinned package asks for with an extra is pinned with that extra: pip treats
    `coverage[toml]` and `coverage` as different requirements, and would ask for a hash of the
    newest release as soon as there is one."""
    pins = {
        plain(project): extras
        for project, extras in PINNED.findall((DEPLOY / name).read_text("utf-8"))
    }
    assert pins
    for project in pins:
        try:
            asked = metadata.requires(project) or []
        except metadata.PackageNotFoundError:  # of another platform or Python
            continue
        for requirement in asked:
            found = ASKED.match(requirement)
            if found and "extra ==" not in requirement and plain(found[1]) in pins:
                assert pins[plain(found[1])] == f"[{found[2]}]", f"{project} asks for {requirement}"


def plain(project: str) -> str:
    """A project's name as a package index normalises it."""
    return re.sub(r"[-_.]+", "-", project).lower()
