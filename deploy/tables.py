"""The tables of the guide and the reference, made from what the service reads and publishes."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from service.core.order.roles import EXTRAS, ROLES, bases
from service.core.records.figures import FIGURES
from service.data.catalogue import Catalogue
from service.drawings.sheets import Sheet
from service.refusals import KINDS
from service.rules.judge import CHECKS
from service.rules.table import RULES
from service.web.settings import TABLE, Settings
from service.web.shelf import published_limits
from service.wire.forms.lengths import LENGTHS as FLOORS
from service.wire.forms.points import Point, PointBuilt
from service.wire.forms.reply import QUANTITIES
from service.wire.forms.strict import ID
from service.wire.slugs import CODES

Json = Mapping[str, Any]

LENGTHS: Final = {name: f"length, {floor}" for floor, name in FLOORS.items()}
"""Words for each component that is a length."""
POINTS: Final = (Point.component, PointBuilt.component)
NUMBERS: Final = ("^[0-9]{", "^(?:0")
"""How the patterns of numbers that are sent as text (money and shares) begin."""
INHERITED: Final = {
    ("Deck", "precision"): "1/16 in or 1 mm",
    ("Deck", "occupancy"): "what the code is ordinarily for",
    ("Edge", "beneath"): "the level's",
    ("Guard", "height"): "the code's, else the kit's least",
    ("Edge", "infill"): "`guard.infill`",
    ("Edge", "height"): "`guard.height`, else the code's over its drop, else the kit's least",
    ("Edge", "drop"): "the level's; over another level, the difference",
    ("Edge", "drop_to_ground"): "the level's, else `drop`",
    ("Edge", "drop_to_next_level"): "the level's, else `drop`",
    ("Stair", "infill"): "`guard.infill`",
    ("Stair", "glass"): "its edge's",
    ("Stair", "height"): "`guard.height`, else the code's for stairs, else the kit's least",
    ("Stair", "to_level"): "the level at its foot, else the ground",
    ("Level", "drop_to_ground"): "`drop`",
    ("Level", "drop_to_next_level"): "`drop`",
    ("Post", "corner"): "required where `fascia`",
}
"""Defaults that come from another member, which no schema can say, by object and member."""
LIMITS: Final = {
    "body": "bytes of a request body (the setting GUARDS_BODY_LIMIT)",
    "depth": "nesting of arrays and objects",
    "levels": "levels",
    "corners": "corners of an outline",
    "edges": "entries of `edges` of a level",
    "openings": "openings of a level",
    "obstructions": "obstructions of a level",
    "obstruction_corners": "corners of an obstruction",
    "no_post": "`no_post` stretches of a level",
    "stairs": "flights of a document",
    "risers": "risers of a flight",
    "measures": "`site_measures` of a document",
    "kit_list": "entries of one list inside a kit: heights, stock lengths, panes; of `when`; and of"
    " `per_height`, `per_stick` and `discounts` of a price",
    "parts": "`parts` of a kit, and of `prices`",
    "amendments": "amendments",
    "bays": "bays of a document",
    "places": "pickets, rail supports, weep holes and handrail brackets of a document, together",
    "mark_work": "places weighed while the marks of a document are proven best",
    "on_hand": "entries of `stock_on_hand`",
    "on_hand_count": "sticks of one such entry",
    "compare": "variants in `compare`",
    "compare_bays": "bays, or edges where a deck has more, of a document and of the variants"
    " already laid out, together",
    "pages": "pages of drawings of one sheet",
    "text": "characters of a title, a name or a reason",
    "number": "greatest size of a coordinate or a length, in its own unit",
    "line": "bytes of one line of a batch (the setting GUARDS_BODY_LIMIT)",
    "batch_lines": "lines of a batch, blank ones too (the setting GUARDS_BATCH_LINES)",
    "batch_bytes": "bytes of a batch (the setting GUARDS_BATCH_BYTES)",
    "batch_seconds": "seconds of a batch (the setting GUARDS_BATCH_TIMEOUT)",
}
ABOVE: Final = {
    **dict.fromkeys(("depth", "risers", "on_hand_count", "text", "number"), "400"),
    "compare_bays": "413, in that variant's line",
    "batch_seconds": "503, in a last line",
}
"""The status of an answer above a limit, where it is not 413."""


def row(cells: Iterable[str]) -> str:
    """One line of a table."""
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table.

    >>> print(table(["a", "b"], [["1", "x|y"]]))
    | a | b |
    | --- | --- |
    | 1 | x\\|y |
    """
    return "\n".join([row(head), row(["---"] * len(head)), *map(row, rows)])


def members(schema: Json, name: str) -> str:
    """A table of the members of an object that is sent, with what each takes, its default and its
    meaning. name: of the object in `schema`."""
    node = find(schema, name)
    required = node.get("required", ())
    rows = [
        [f"`{member}`", takes(each), default(name, member, each, required), meaning(schema, each)]
        for member, each in node["properties"].items()
    ]
    return table(["member", "takes", "default", "meaning"], rows)


def parts(schema: Json, name: str) -> str:
    """A table of the members of an object of a reply; a member and its tape reading share a row."""
    node = find(schema, name)
    held, required = node["properties"], node.get("required", ())
    rows = []
    for member, each in held.items():
        if member.removesuffix("_text") in held and member.endswith("_text"):
            continue
        shown = f"`{member}`, `{member}_text`" if f"{member}_text" in held else f"`{member}`"
        where = "" if member in required else " *(where it applies)*"
        rows.append([shown, takes(each), meaning(schema, each) + where])
    return table(["member", "is", "meaning"], rows)


def find(schema: Json, name: str) -> Json:
    """The definition `name` of a published schema, or its root where `name` is its title.

    Raises KeyError where there is neither.
    """
    found: Json = schema["$defs"].get(name, schema)
    if found is schema and schema["title"].replace(" ", "").lower() != name.lower():
        raise KeyError(name)
    return found


def reference(node: Json) -> str:
    """The name of the definition that a node refers to; empty where it refers to none."""
    return str(node.get("$ref", "")).removeprefix("#/$defs/")


def takes(node: Json) -> str:
    """Words for the values that a node of a schema allows."""
    name = reference(node)
    if name in POINTS:
        return "[x, y]"
    if name:
        return LENGTHS.get(name, f"object `{name}`")
    if choices := node.get("anyOf") or node.get("oneOf"):
        return " or ".join(takes(each) for each in choices)
    # Lists of numbers are published under a double `not` (NumberChoice).
    listed = node.get("enum") or node.get("not", {}).get("not", {}).get("enum")
    if listed:
        return ", ".join(f"`{each}`" for each in listed)
    if "type" not in node:
        return "any value"
    kind = node["type"]
    if isinstance(kind, list):
        return " or ".join(takes({**node, "type": each}) for each in kind)
    return _plain(node, kind)


def _plain(node: Json, kind: str) -> str:
    if kind == "array":
        items = node.get("items")
        if items is None:
            return "list"
        return f"list of {takes(items)}"
    if kind in ("number", "integer"):
        word = "number" if kind == "number" else "whole number"
        return f"{word}{_bounds(node)}"
    if kind == "string":
        return _text(node)
    if kind == "object":
        named = node.get("additionalProperties")
        return f"{takes(named)} by name" if named else "object"
    return {"boolean": "`true`, `false`", "null": "null"}[kind]


def _text(node: Json) -> str:
    """Words for the text that a node allows, by its pattern."""
    pattern = node.get("pattern", "")
    if pattern == ID:
        return "id"
    return "number as text" if pattern.startswith(NUMBERS) else "text"


def _bounds(node: Json) -> str:
    least, above, most = (node.get(name) for name in ("minimum", "exclusiveMinimum", "maximum"))
    words = f", above {above:g}" if above is not None else ""
    if least is not None:
        words = f", from {least:.15g}"
    return f"{words} to {most:g}" if most is not None and most < 1e6 else words


def default(name: str, member: str, node: Json, required: Sequence[str]) -> str:
    """Words for what holds where a member is left out: "required", its default, or "none"."""
    if member in required:
        return "required"
    if "default" in node:
        value = node["default"]
        shown = str(value).lower() if isinstance(value, bool) else value
        return f"`{shown}`"
    return INHERITED.get((name, member), "none")


def meaning(schema: Json, node: Json) -> str:
    """A member's description on one line; else that of what it refers to, else its title."""
    said = node.get("description")
    named = reference(node) or reference(node.get("items", {}))
    if said is None and named and named not in LENGTHS:
        said = schema["$defs"][named].get("description", "").partition("\n\n")[0]
    # The unit of a length is left out, as the text around the tables says it once.
    said = (said or node.get("title", "")).removesuffix(QUANTITIES["length"][0])
    return re.sub(r"\s+", " ", said).strip()


def roles() -> str:
    """A table of the roles in the list of parts, with what each may be priced by."""
    rows = []
    for name, role in ROLES.items():
        by = ", ".join(f"`{basis}`" for basis in bases(name, by_stick=False))
        if name == "picket":
            by += "; from stock: " + ", ".join(f"`{basis}`" for basis in bases(name, by_stick=True))
        rows.append([f"`{name}`", role.words, by, "yes" if name in EXTRAS else ""])
    return table(["role", "is", "priced by", "only by the kit's `extras`"], rows)


def rules() -> str:
    """A table of the rules that findings name."""
    rows = [
        [
            f"`{name}`",
            rule.source,
            rule.description,
            ", ".join(f"`{each}`" for each in rule.figures),
        ]
        for name, rule in ((name, RULES[name]) for name in CHECKS)
    ]
    return table(["rule", "source", "looks at", "figures of the code"], rows)


def figures() -> str:
    """A table of the closed vocabulary of a code's figures."""
    rows = [[f"`{name}`", row.kind, row.what] for name, row in FIGURES.items()]
    return table(["figure", "kind", "what it is"], rows)


def statuses() -> str:
    """A table of the kinds of refusal."""
    rows = [
        [str(kind.status), f"`{kind.slug}`", kind.title]
        for kind in sorted(KINDS.values(), key=lambda kind: kind.status)
    ]
    return table(["status", "kind", "title"], rows)


def codes() -> str:
    """A table of the codes that a document's problems have. A problem of the request itself has its
    kind's slug as its code."""
    rows = [
        [str(KINDS[kind].status), f"`{code}`", means]
        for kind, held in CODES.items()
        for code, means in held.items()
    ]
    return table(["status", "code", "means"], rows)


def limits(settings: Settings) -> str:
    """A table of the published limits, with what each bounds."""
    rows = [
        [f"`{name}`", f"{most:,}", ABOVE.get(name, "413"), LIMITS[name]]
        for name, most in published_limits(settings).items()
    ]
    return table(["limit", "most", "above it", "of"], rows)


def settings() -> str:
    """A table of the settings of the service."""
    rows = [
        [f"`{each.name}`", f"`{each.default}`" if each.default else "none", each.meaning]
        for each in TABLE
    ]
    return table(["variable", "default", "meaning"], rows)


def examples(requests: Mapping[str, bytes], statuses: Mapping[str, int]) -> str:
    """A table of the examples, with links to each request and to its reply or refusal.

    requests, statuses: by the example's name.
    """
    rows = [
        [
            f"[{json.loads(request)['title']}](examples/{name}.request.json)",
            f"[reply](examples/{name}.reply.json)"
            if statuses[name] == 200
            else f"[refusal](examples/{name}.problem.json)",
        ]
        for name, request in requests.items()
    ]
    return table(["request", "answer"], rows)


def sheets(held: Iterable[Sheet]) -> str:
    """A table of the sheets, with what is on each and its media types."""
    rows = ((f"`{one.name}`", one.words, ", ".join(f"`{m}`" for m in one.medias)) for one in held)
    return table(("sheet", "what is on it", "as"), rows)


def shipped(catalogue: Catalogue) -> str:
    """A table of the kits and codes that are shipped."""
    rows = [
        [f"`{name}`", kind, document["unit"], document["title"]]
        for kind, documents in (
            ("kit", catalogue.kit_documents),
            ("code", catalogue.code_documents),
        )
        for name, document in documents.items()
    ]
    return table(["id", "kind", "unit", "title"], rows)
