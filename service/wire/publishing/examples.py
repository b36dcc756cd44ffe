"""Wire: request and reply pairs for the OpenAPI document, where the folder of them is there."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

FOLDER: Final = Path(__file__).resolve().parents[3] / "schema" / "examples"
"""The pairs are made by the service itself and stand beside the package, not in it."""

LONGEST: Final = 24_000
"""Bytes of a reply that is still shown."""


def requests(folder: Path = FOLDER) -> dict[str, Any]:
    """OpenAPI examples of requests, by name."""
    return {_name(file): _example(file) for file in sorted(folder.glob("*.request.json"))}


def replies(folder: Path = FOLDER) -> dict[str, Any]:
    """OpenAPI examples of replies, by name; very long ones are left out."""
    return {
        _name(file): _example(file)
        for file in sorted(folder.glob("*.reply.json"))
        if file.stat().st_size <= LONGEST
    }


def _name(file: Path) -> str:
    return file.name.split(".")[0]


def _example(file: Path) -> dict[str, Any]:
    value = json.loads(file.read_text("utf-8"))
    title = value.get("title") or _name(file).replace("-", " ").replace("_", " ")
    return {"summary": title, "value": value}
