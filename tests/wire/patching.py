"""A change that advice offers, made to its document as any caller would make it."""

from __future__ import annotations

import copy
from typing import Any

from service.data.catalogue import Catalogue

Json = dict[str, Any]


def patched(document: Json, change: list[Json], catalogue: Catalogue) -> Json:
    """The document changed by JSON Patch (RFC 6902: `add`, `copy` and `remove` alone), with its kit
    inline, as the advice says."""
    changed = copy.deepcopy(document)
    if isinstance(changed["kit"], str):
        changed["kit"] = copy.deepcopy(catalogue.kit(changed["kit"]).document)
    for step in change:
        *parents, last = step["path"].split("/")[1:]
        node: Any = changed
        for name in parents:
            node = node[int(name)] if isinstance(node, list) else node[name]
        if step["op"] == "remove":
            del node[int(last) if isinstance(node, list) else last]
            continue
        value = step["value"] if step["op"] == "add" else _at(changed, step["from"])
        if isinstance(node, list):
            assert last == "-"
            node.append(value)
        else:
            node[last] = value
    return changed


def _at(document: Any, pointer: str) -> Any:
    for name in pointer.split("/")[1:]:
        document = document[int(name)] if isinstance(document, list) else document[name]
    return document
