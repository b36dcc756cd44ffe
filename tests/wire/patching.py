"""Changes that advice offers, made to their document as any caller would make them."""

from __future__ import annotations

import copy
from typing import Any

from service.answer import answer_document
from service.data.catalogue import Catalogue

Json = dict[str, Any]
REMARKS = (
    "Made with the other changes, ", "It is the change for the rule on ",
    "It was not tried together with the other changes",
)  # fmt: skip
"""How what is said of a change begins that is not made with the others."""


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
        value = copy.deepcopy(step["value"] if step["op"] == "add" else _at(changed, step["from"]))
        if isinstance(node, list):
            assert last == "-"
            node.append(value)
        else:
            node[last] = value
    return changed


def made_at_once(document: Json, reply: Json, catalogue: Catalogue) -> int:
    """How many rules are cured by all the changes that may be made together, made in one go.

    They cure all of their rules, and no other rule is broken that is not broken already.
    """
    cured = [one for one in reply.get("advice", ()) if one["result"] == "cured"]
    together = [one for one in cured if not any(each in one["message"] for each in REMARKS)]
    if not together:
        return 0
    change = [step for one in together for step in one["change"]]
    again = answer_document(patched(document, change, catalogue), catalogue)
    failing = {f["rule"] for f in again["findings"] if f["result"] == "fail"}
    assert not failing & {one["rule"] for one in together}
    now, then = (
        {f["rule"] for f in each["findings"] if f["severity"] == "violation"}
        for each in (reply, again)
    )
    # The ends of a handrail are made on site.
    assert then <= now | {"handrail_extent"}
    return len(together)


def _at(document: Any, pointer: str) -> Any:
    for name in pointer.split("/")[1:]:
        document = document[int(name)] if isinstance(document, list) else document[name]
    return document
