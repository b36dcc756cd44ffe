"""Wire: examples of requests and replies for the OpenAPI document.

They are read from FOLDER; where it is missing, the document has no examples.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

FOLDER: Final = Path(__file__).resolve().parents[3] / "schema" / "examples"
"""The folder of request and reply pairs made by the service itself; it is not in the package."""

LONGEST: Final = 24_000
"""The most bytes of a reply that is shown as an example."""


def requests(folder: Path = FOLDER) -> dict[str, Any]:
    """OpenAPI examples of requests, by name."""
    return {_name(file): _example(file) for file in sorted(folder.glob("*.request.json"))}


def replies(folder: Path = FOLDER) -> dict[str, Any]:
    """OpenAPI examples of replies, by name; those over LONGEST bytes are left out."""
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
