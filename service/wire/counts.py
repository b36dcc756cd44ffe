"""Wire: the published limits on the entries of a document's lists and tables (413).

The main entry is `check_counts`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, TypeAlias

from service.core import limits
from service.core.problems import Problem, TooLarge
from service.wire.pointers import build

EVERY: Final = "*"

Paths: TypeAlias = dict[tuple[str, ...], int]

_IN_A_KIT: Final[Paths] = {
    ("post", "heights"): limits.KIT_LIST,
    ("rails", EVERY, EVERY, "stock"): limits.KIT_LIST,
    ("glass", "panes"): limits.KIT_LIST,
    ("handrail", "stock"): limits.KIT_LIST,
    ("picket", "stock"): limits.KIT_LIST,
    ("parts",): limits.PARTS,
    ("strength", "panes"): limits.KIT_LIST,
    ("strength", "other_fixings"): limits.KIT_LIST,
    ("parts", EVERY, "sizes"): limits.KIT_LIST,
    ("included",): limits.KIT_LIST,
    ("extras",): limits.KIT_LIST,
}
_IN_A_CODE: Final[Paths] = {("figures", EVERY, "when"): limits.KIT_LIST}
_IN_A_LEVEL: Final[Paths] = {
    ("outline", "points"): limits.CORNERS,
    ("outline", "sides"): limits.CORNERS,
    ("outline", "ties", "corners"): limits.CORNERS - 2,
    ("edges",): limits.EDGES,
    ("openings",): limits.OPENINGS,
    ("obstructions",): limits.OBSTRUCTIONS,
    ("obstructions", EVERY, "points"): limits.OBSTRUCTION_CORNERS,
    ("no_post",): limits.NO_POST,
}
_IN_A_DECK: Final[Paths] = {
    ("levels",): limits.LEVELS,
    ("amendments",): limits.AMENDMENTS,
    ("stairs",): limits.STAIRS,
    ("stairs", EVERY, "guards"): 2,
    ("stairs", EVERY, "handrail"): 2,
    ("site_measures",): limits.MEASURES,
    ("prices", "parts"): limits.PARTS,
    ("prices", "parts", EVERY, "per_height"): limits.KIT_LIST,
    ("prices", "parts", EVERY, "per_stick"): limits.KIT_LIST,
    ("prices", "parts", EVERY, "discounts"): limits.KIT_LIST,
    ("stock_on_hand",): limits.ON_HAND,
    ("compare",): limits.COMPARE,
    **{("compare", EVERY, "kit", *path): most for path, most in _IN_A_KIT.items()},
    **{("compare", EVERY, "code", *path): most for path, most in _IN_A_CODE.items()},
    **{("levels", EVERY, *path): most for path, most in _IN_A_LEVEL.items()},
    **{("kit", *path): most for path, most in _IN_A_KIT.items()},
    **{("code", *path): most for path, most in _IN_A_CODE.items()},
}
MOST: Final[dict[str, Paths]] = {
    "deck": _IN_A_DECK,
    "kit": _IN_A_KIT,
    "code": _IN_A_CODE,
}
"""The most entries of each list, or members of each open object, by path, by kind of document."""


def check_counts(kind: str, document: Any) -> None:
    """Refuse (TooLarge) a document that holds more of anything than the published limits allow.

    The document may be any JSON, whether or not it fits its schema.
    """
    problems = list(_over(document, (), _TREES.get(kind, {})))
    if problems:
        raise TooLarge(problems)


def _tree(paths: Paths) -> dict[str, Any]:
    """The paths as nested dicts: under each name the tree below it, under "" the most entries."""
    root: dict[str, Any] = {}
    for path, most in paths.items():
        node = root
        for name in path:
            node = node.setdefault(name, {})
        node[""] = most
    return root


_TREES: Final = {kind: _tree(paths) for kind, paths in MOST.items()}


def _over(node: Any, path: tuple[str | int, ...], tree: dict[str, Any]) -> Iterator[Problem]:
    if not isinstance(node, dict | list):
        return
    most = tree.get("")
    if most is not None and len(node) > most:
        # Nothing below is counted, as the list or object itself is too large already.
        message = f"There are {len(node)} entries; at most {most} are taken."
        yield Problem(build(path), "too_many", message)
        return
    for name, below in tree.items():
        if name == EVERY:
            inner = enumerate(node) if isinstance(node, list) else node.items()
            for key, value in inner:
                yield from _over(value, (*path, key), below)
        elif name and isinstance(node, dict) and name in node:
            yield from _over(node[name], (*path, name), below)
