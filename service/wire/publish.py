"""Wire: everything that is published, and the command that writes it into schema/.

`python -m service.wire.publish` writes; with `--check` it compares, and exits 1 where a file is
stale.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from service.wire.components import new_spec, schemas
from service.wire.paths import HEADERS, PARAMETERS, REFUSALS, paths, refusal

__all__ = ["main", "openapi", "published", "schemas"]

FOLDER: Final = Path(__file__).resolve().parents[2] / "schema"

_WORDS: Final = (
    "Lays out aluminium deck guards: from a measured deck to post places, rail cuts, pickets, "
    "glass and findings.\n\n"
    "Lengths are in the unit that the document names; angles in degrees, counter-clockwise "
    "positive; x to the right and y up in plan. Every refusal is a problem document (RFC 9457) "
    "with the place of each fault. Within version 1 members may be added, never removed or "
    "given another meaning."
)


def openapi() -> dict[str, Any]:
    """The OpenAPI 3.1 document."""
    spec = new_spec(
        info={"description": _WORDS},
        security=[{}, {"bearer": []}],
        tags=[{"name": name} for name in ("Layout", "Documents", "Health")],
    )
    spec.components.security_scheme("bearer", {"type": "http", "scheme": "bearer"})
    for name, header in HEADERS.items():
        spec.components.header(name, header)
    for status in REFUSALS:
        spec.components.response(str(status), refusal(status))
    spec.components.response("default", refusal(None))
    for name, parameter in PARAMETERS.items():
        spec.components.parameter(name, "header", parameter)
    for path, operations in paths().items():
        spec.path(path=path, operations=operations)
    document: dict[str, Any] = spec.to_dict()
    return document


def published() -> dict[str, str]:
    """Every published file by its name, as text."""
    documents = {f"{name}.json": schema for name, schema in schemas().items()}
    documents["openapi.json"] = openapi()
    return {
        name: json.dumps(document, indent=2, ensure_ascii=False) + "\n"
        for name, document in documents.items()
    }


def stale(folder: Path) -> list[str]:
    """Names of the files in `folder` that are missing or not what is published now."""
    return [
        name
        for name, text in published().items()
        if not (folder / name).is_file() or (folder / name).read_text("utf-8") != text
    ]


def main(arguments: Sequence[str]) -> int:
    """Write or check; the exit status."""
    parser = argparse.ArgumentParser(description="Write the published schemas into schema/.")
    parser.add_argument("--check", action="store_true", help="compare only; 1 where one is stale")
    parser.add_argument("--folder", type=Path, default=FOLDER, help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.check:
        old = stale(asked.folder)
        for name in old:
            print(f"{name} is not what the service publishes; run python -m service.wire.publish")
        return 1 if old else 0
    asked.folder.mkdir(exist_ok=True)
    for name, text in published().items():
        (asked.folder / name).write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
