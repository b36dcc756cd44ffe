"""Compare: the variants that a document asks for, each of them the document with a change applied.

The main entry is `compare`, which makes a line of `comparison` of each variant. The function that
lays a variant out is passed in by `answer`.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any, Final

from service.core import limits
from service.core.line.outline import count_edges
from service.core.problems import Problem, Refusal
from service.data.catalogue import Catalogue
from service.wire.writing.comparison import write_problem, write_variant
from service.wire.writing.layout import Answered

Json = dict[str, Any]
NOT_IN_VARIANTS: Final = ("compare", "site_measures")
"""Members that are dropped from every variant: a variant has no variants of its own, and site
measures were taken between the posts of the deck as drawn."""


def vary(document: Json, change: Json) -> Json:
    """The document with a change applied (contract, section 3).

    Where the change has `edges` "all", its guard also overrides what single edges and flights say.

    >>> deck = {"kit": "a", "guard": {"infill": "picket"},
    ...         "levels": [{"edges": [{"edge": 0, "infill": "picket"}]}]}
    >>> change = {"label": "glass", "guard": {"infill": "glass"}, "edges": "all"}
    >>> vary(deck, change)["levels"], vary(deck, change)["guard"]
    ([{'edges': [{'edge': 0}]}], {'infill': 'glass'})
    """
    varied = {name: value for name, value in document.items() if name not in NOT_IN_VARIANTS}
    varied |= {name: change[name] for name in ("kit", "code") if name in change}
    guard = change.get("guard", {})
    varied["guard"] = {**document["guard"], **guard}
    if change.get("edges") == "all":
        varied = copy.deepcopy(varied)
        for own in _edges_and_flights(varied):
            for name in guard:
                own.pop(name, None)
    return varied


def _edges_and_flights(document: Json) -> Iterator[Json]:
    for level in document["levels"]:
        yield from level.get("edges", ())
    yield from document.get("stairs", ())


def with_documents(change: Json, catalogue: Catalogue) -> Json:
    """A change with the ids of its kit and code replaced by the loaded documents, for the digest.

    Ids that are not loaded stay as they are.
    """
    whole = dict(change)
    kit, code = change.get("kit"), change.get("code")
    if isinstance(kit, str) and kit in catalogue.kits:
        whole["kit"] = catalogue.kits[kit].document
    if isinstance(code, str) and code in catalogue.codes:
        whole["code"] = catalogue.codes[code].document
    return whole


def compare(
    document: Json, answered: Answered, answer_variant: Callable[[Json, bool], Answered]
) -> list[Json]:
    """One line for each variant: its counts and total, or the problem why it cannot be built.

    answered: the records of the document itself. answer_variant: those of a variant, and whether
    its kit is another than the document's. Once the document and the variants so far have
    more bays together than the published limit, no further variant is laid out, and its line says
    so. A deck with fewer bays than edges counts by its edges, as each edge takes work whether it
    has bays or not; so does a variant that is refused.
    """
    edges = sum(count_edges(level.outline) for level in answered.deck.levels)
    bays = max(edges, len(answered.layout.bays))
    lines: list[Json] = []
    for change in document.get("compare", ()):
        label = change["label"]
        if bays > limits.COMPARE_BAYS:
            lines.append(write_problem(label, [_too_much(bays)]))
            continue
        try:
            varied = vary(document, change)
            laid_out = answer_variant(varied, varied["kit"] != document["kit"])
        except Refusal as refusal:
            bays += edges
            lines.append(write_problem(label, refusal.problems))
        else:
            bays += max(edges, len(laid_out.layout.bays))
            lines.append(write_variant(label, laid_out))
    return lines


def _too_much(bays: int) -> Problem:
    message = (
        f"The document and the variants before this one have {bays} bays together, or edges where "
        f"a deck has more of these; at most {limits.COMPARE_BAYS} are laid out. Send it as a "
        "document of its own."
    )
    return Problem("/compare", "too_much_to_compare", message)
