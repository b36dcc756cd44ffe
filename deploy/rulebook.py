"""The page of rules (`rulebook`): every rule, with its figures and their clauses in each shipped
code side by side, and how its findings read."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from deploy.tables import table
from service.answer import answer
from service.core.records.figures import FIGURES, LEFT
from service.data.catalogue import Catalogue
from service.rules.judge import CHECKS
from service.rules.table import RULES

Json = dict[str, Any]

INTRODUCTION: Final = """# Rules, figure by figure

Read the [guide](guide.md) first; the [reference](reference.md) is for looking things up. This
page is made from the service itself by `python -m deploy.publish`. For each rule it has what the
rule looks at, its figures as the shipped codes print them, side by side, and one sentence of each
result as an example. The published text of a code always wins, and the local building authority
may have changed any of it. A figure marked † is from memory; one marked * was read in a
neighbouring edition or in a digest; the others were read in the text of the edition. In a
finding, an amended figure stands beside the code's own.

Signs: ≥ at least, > more than, ≤ at most, < less than; so a value equal to the figure keeps ≥ and
≤, and breaks < and >. After a semicolon stands where another value holds; "none" means that there
is no figure there.
"""
_SIGNS: Final = {"at_least": "≥ ", "more_than": "> ", "at_most": "≤ ", "less_than": "< "}
_MARKS: Final = {"seen": "", "near": "*", "digest": "*", "memory": "†"}
_NUMBER = re.compile(r"(?:\d+' )?\d+(?:\.\d+)?(?: \d+/\d+|/\d+)?(?: mm|\"|'|°| sq \w+)?")
_PLACES = re.compile(r"^[^:]*: ")
_ALLOY = re.compile(r"\b6\d{3}A?-T\d+")
_CLAUSE = re.compile(r" \((?!clause|joists|rim,|tread,|\d)[^()]*(?:\([^()]*\)[^()]*)*\)")


def rulebook(catalogue: Catalogue) -> str:
    """The whole page, as Markdown."""
    patterns = _patterns(catalogue)
    parts = [INTRODUCTION]
    for name in CHECKS:
        rule = RULES[name]
        parts.append(f"## `{name}`\n\n{rule.description} (source: {rule.source})\n")
        if rule.figures:
            parts.append(_figures(catalogue, rule.figures) + "\n")
        if patterns.get(name):
            parts.append("".join(f"- {words}\n" for words in patterns[name]))
    parts.append(_left(catalogue))
    return "\n".join(parts)


def _left(catalogue: Catalogue) -> str:
    """The section on figures that no document can be judged by."""
    why = table(
        ["figure", "what it is", "why it is not judged"],
        [[f"`{name}`", row.what, row.why_left] for name, row in LEFT.items()],
    )
    return (
        "## Figures that are not judged\n\nWhat the codes ask and a deck document does not say; "
        "`coverage` in a reply names them with the reason.\n\n"
        f"{why}\n\n{_figures(catalogue, tuple(LEFT))}\n"
    )


def _figures(catalogue: Catalogue, names: tuple[str, ...]) -> str:
    """A table of figures, with a row for each figure and each code that states it."""
    rows = [
        [f"`{name}`", f"`{code}`", told(document["figures"][name], document["unit"], name)]
        for name in names
        for code, document in catalogue.code_documents.items()
        if name in document["figures"]
    ]
    return table(["figure", "code", "value and clause"], rows)


def told(figure: Json, unit: str, name: str) -> str:
    """A code's figure in words, with its sign, its cases and its clauses.

    unit: the code's. name: the figure's.

    >>> told({"value": 30, "twin": 762, "reads": "more_than", "cite": "A 1", "basis": "near"},
    ...      "in", "guard_required_drop")
    '> 30 in (762 mm), A 1*'
    """
    length = FIGURES[name].kind == "length"
    sign = _SIGNS.get(figure.get("reads", ""), "")
    basis = figure.get("basis", "seen")
    own = _value(figure, unit, sign, length) if "value" in figure else "none"
    said = [f"{own}, {figure['cite']}{_MARKS[basis]}" if "value" in figure else "none elsewhere"]
    for case in figure.get("when", ()):
        mark = _MARKS[case.get("basis", basis)]
        holds = _value(case, unit, sign, length) if "value" in case else "none"
        said.append(f"{_where(case, unit)}: {holds}, {case['cite']}{mark}")
    return "; ".join(said)


def _value(node: Json, unit: str, sign: str, length: bool) -> str:
    if not length:
        return f"{sign}{node['value']}"
    other = {"in": "mm", "mm": "in"}[unit]
    twin = f" ({node['twin']} {other})" if "twin" in node else ""
    return f"{sign}{node['value']} {unit}{twin}"


def _where(case: Json, unit: str) -> str:
    measure = case["measure"].replace("_", " ")
    if "is" in case:
        return f"{measure} {case['is']}"
    of = "" if case["measure"] in ("risers", "occupants") else f" {unit}"
    return f"{measure} over {case['above']}{of}" if "above" in case else (
        f"{measure} from {case['from']}{of}"
    )  # fmt: skip


def _patterns(catalogue: Catalogue) -> Mapping[str, list[str]]:
    """For each rule, one message of each result, from sample decks, with its numbers left blank."""
    found: dict[str, dict[str, str]] = {}
    for deck in _decks(catalogue):
        for finding in json.loads(answer(json.dumps(deck).encode(), catalogue).body)["findings"]:
            pattern = f"{finding['result']}: {blank(finding['message'])}"
            found.setdefault(finding["rule"], {}).setdefault(finding["result"], pattern)
    order = ("pass", "fail", "not_checked")
    return {
        rule: [words[result] for result in order if result in words]
        for rule, words in found.items()
    }


def blank(message: str) -> str:
    """A message without its places, and with blanks for its numbers, alloys and clauses.

    >>> blank("B1 to B4: the guard is 900 mm high; at least 1100 mm is required (A 2.1).")
    'the guard is … high; at least … is required (clause).'
    >>> blank("main: it goes into timber (rim, joist or blocking); 6063-T6 may take 9 psi (B 1).")
    'it goes into timber (rim, joist or blocking); the alloy may take … psi (clause).'
    """
    plain = _ALLOY.sub("the alloy", _CLAUSE.sub(" (clause)", _PLACES.sub("", message)))
    return _NUMBER.sub("…", plain)


def _decks(catalogue: Catalogue) -> Iterator[Json]:
    """Sample decks for each code, which together make its rules pass, fail and go unchecked.

    For each infill a high deck with a flight, then the same with too low a guard and too steep a
    flight; two low decks with short flights; and a deck without a drop.
    """
    for code in catalogue.codes:
        for infill in ("picket", "glass"):
            yield _deck(code, infill, 5200, {})
            yield _deck(code, infill, 5200, {"risers": 4, "going": 200, "height": 800})
        for risers in (2, 3):
            yield _deck(code, "picket", 150 * risers, {"rise": 150 * risers, "risers": risers})
        yield _deck(code, "picket", None, {"top_as_handrail": True, "handrail": []})


def _deck(code: str, infill: str, drop: int | None, stair: Json) -> Json:
    level: Json = {
        "id": "main",
        "outline": {"points": [[0, 0], [4000, 0], [4000, 3000], [0, 3000]]},
        "edges": [{"edge": 2, "condition": "wall"}, {"edge": 3, "condition": "open"}],
        "openings": [
            {"id": "steps", "edge": 0, "from": 600, "width": 1000, "use": "stair"},
            {"id": "gate", "edge": 1, "from": 900, "width": 900, "use": "gate"},
        ],
    }
    flight = {
        **{"id": "front", "opening": "main/steps", "rise": 1190, "risers": 7, "going": 280},
        **{"guards": ["left", "right"], "handrail": ["left", "right"]},
        **stair,
    }
    height = flight.pop("height", None)
    return {
        "unit": "mm",
        "kit": "glass-picket-surface-mm",
        "code": code,
        "guard": {"infill": infill, **({"height": height} if height else {})},
        "levels": [level | ({"drop": drop} if drop is not None else {})],
        "stairs": [flight],
    }
