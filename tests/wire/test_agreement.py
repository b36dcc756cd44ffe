"""The gate, the forms and a third library refuse the same documents.

The gate is the published schema, compiled by jsonschema-rs; the forms are marshmallow's own
reading, which here only explains; the third is jsonschema, which the service does not use.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.wire.gate import compiled, explain, form_faults
from service.wire.publishing.components import Root
from tests.bounded import LONG

from .documents import code, deck, every_member, kit, places, second_opinion

ODD: list[Any] = [
    *(None, True, False, 0, 1, -1, 2, 1.0, 1.7, -0.0, 0.5, 1e-12, 90, 180, 181, -180, 1e6, 1e6 + 1),
    *(-1e6, -1000001, 1e12, 1e12 + 1, 1e17, 1e308, 5e-324, 2**53, 2**64, 10**30),
    *("", "12", " 1_0 ", "12 in", "6'", "6' 13\"", '1/0"', '3/8"', '78 3/8"', "2.4 m", "2400 mm"),
    *("6'\n", "-3'", "\u0663'", "6\u2032", '0"', "9999999 mm", "yes", "true", "in", "mm", "x\n"),
    *("picket", "glass", "wall", "guard", "stair", "surface", "fascia", "near", "memory", "drop"),
    *("A" * 40, "A" * 41, "A" * 200, "A" * 201, "\U0001f528" * 200, "\U0001f528" * 201),
    *("tab\there", "nul\0", "\x7f", "\x85", "\u2028", "-a", "a b", "_schema", "all guards"),
    *([], {}, [[0, 0]], [0, 0], [0, 0, 0], [1], [[1]], {"edge": 0}, {"edge": 0.0}, {"edge": True}),
    *({"points": [[0, 0], [9, 0], [9, 9]]}, {"sides": [{}, {}, {"length": 1}]}, {"points": []}),
    *({"length": 5}, {"turn": 90}, {"value": 1, "cite": "a"}, {"value": 36, "cite": "a\n"}),
    *(60, 61, 2.0, 1.5, 360, -360.5, "left", "tread", "main/steps", "B1", ["left", "left"]),
    *(["left", "right", "left"], ["up"], [None], {"bay": "B1", "clear_top": 1, "clear_bottom": 1}),
    *("USD", "usd", "USDX", "0.07", "1.000", "1.1", "-1", "1e3", "61.50", "061.50", "1.23456"),
    *("1234567890", "NaN", ".5", "5.", "\u0661", "0", "job", "post", "all", "thorough", "gasket"),
    *({"each": "1"}, {"each": "1", "per_pack": "2"}, {"per_stick": {"192": "88.00"}}, {"16'": "1"}),
    *({"each": "1", "discounts": [{"from": 0, "rate": "0.1"}]}, {"label": "a"}, {"x": "1"}),
    {"joist_direction": 0, "joist_spacing": 1, "first_joist": 0, "joist_width": 2, "rim_width": 1},
]
"""Values that some readers take for others, and bounds from both sides."""

NAMES = [
    *("colour", "", "_schema", "a/b", "a~b", "length", "turn", "glass", "why", "points", "sides"),
    *("ties", "arc_rise", "stairs", "strength", "from", "from_", "twin", "when", "basis", "x\n"),
    *("prices", "compare", "each", "per_stick", "least", "sizes", "192", "16' 6\"", "gasket"),
    *("framing", "site_measures", "foot_post", "to_level", "bay", "pitch_max"),
    *("post_line", "Post", "9a", "__proto__", "guard_height", "\u00e9", "picket", "drop_to_ground"),
]


@st.composite
def spoilt(draw: st.DrawFn, document: Any) -> Any:
    """A copy of the document with one to three members replaced, left out, doubled or added."""
    document = copy.deepcopy(document)
    for _ in range(draw(st.integers(1, 3))):
        paths = list(places(document))
        if not paths:
            break
        *way, last = draw(st.sampled_from(paths))
        holder = document
        for key in way:
            holder = holder[key]
        _spoil(holder, last, draw)
    return document


def _spoil(holder: Any, key: Any, draw: st.DrawFn) -> None:
    kind = draw(st.sampled_from(["replace", "replace", "drop", "add", "near"]))
    if kind == "replace":
        holder[key] = copy.deepcopy(draw(st.sampled_from(ODD)))
    elif kind == "near" and isinstance(holder[key], int | float):
        holder[key] = draw(st.floats(-1e7, 1e7) | st.integers(-3, 200))
    elif kind == "drop":
        del holder[key]
    elif isinstance(holder, dict):
        holder[draw(st.sampled_from(NAMES))] = copy.deepcopy(draw(st.sampled_from(ODD)))
    else:
        holder.append(copy.deepcopy(draw(st.sampled_from([*ODD, holder[key]]))))


def judge(kind: Root, document: Any) -> None:
    """All three say the same of the document, and a refusal says what is wrong and where."""
    fits = compiled(kind).is_valid(document)
    assert second_opinion(kind).is_valid(document) == fits
    if fits:
        assert form_faults(kind, document) == []
        return
    problems = explain(kind, document)
    assert problems
    for problem in problems:
        # The code is `does_not_fit` where the forms find no fault.
        assert problem.code != "does_not_fit"
        assert problem.pointer == "" or problem.pointer.startswith("/")
        assert problem.message.endswith(".")
        assert problem.message.isprintable()
        assert len(problem.message) < 1000


def thin(kind: Root, document: Any, part: Any, kept: Any) -> None:
    """Remove every member of a part of the document but one, as far as the document fits without
    it."""
    others = [name for name in part if name != kept] if isinstance(part, dict) else []
    for name in others:
        value = part.pop(name)
        if not compiled(kind).is_valid(document):
            part[name] = value


INLINE = every_member()
run = settings(max_examples=20_000 if LONG else 250, derandomize=not LONG, deadline=None)


@given(document=spoilt(deck()) | spoilt(deck()) | spoilt(INLINE))
@example(document=INLINE)
@example(document=deck())
@run
def test_decks(document: Any) -> None:
    """All three agree on a deck that has every member, with kit and code inline or by id, spoilt at
    random."""
    judge("deck", document)


@given(document=spoilt(kit()) | spoilt(kit("picket-glass-fascia-in")))
@example(document=kit("glass-picket-surface-mm"))
@run
def test_kits(document: Any) -> None:
    """All three agree on kits that are spoilt at random."""
    judge("kit", document)


WITH_CASES = code("gb-eng-adk-2013")
WITH_CASES["figures"]["guard_height"] |= {
    "twin": 36,
    "when": [
        {
            "measure": "drop_to_ground",
            "above": 1800,
            "above_twin": "6'",
            "value": 1200,
            "twin": 48,
            "cite": "invented for this test",
        }
    ],
}


@given(document=spoilt(WITH_CASES))
@example(document=WITH_CASES)
@run
def test_codes(document: Any) -> None:
    """All three agree on a code with twins and a case, spoilt at random."""
    judge("code", document)


@pytest.mark.parametrize("kind", ["deck", "kit", "code"])
@pytest.mark.parametrize("document", [None, True, 1, "a", [], {}, [{}], {"_schema": 1}])
def test_documents_of_another_kind(kind: Root, document: Any) -> None:
    """All three agree where something quite different is sent in place of the whole document."""
    judge(kind, document)


PLACES: dict[Root, list[tuple[Any, ...]]] = {
    "deck": [
        ("unit",),
        ("precision",),
        ("title",),
        ("kit",),
        ("code",),
        ("amendments", "guard_height"),
        ("amendments", "geometry_applies_to"),
        ("amendments", "handrail_required_risers"),
        ("amendments", "pitch_max"),
        ("guard", "height"),
        ("levels", 0, "id"),
        ("levels", 0, "drop"),
        ("levels", 0, "outline"),
        ("levels", 0, "outline", "points", 0),
        ("levels", 0, "outline", "points", 0, 0),
        ("levels", 1, "outline", "sides"),
        ("levels", 1, "outline", "sides", 0, "turn"),
        ("levels", 2, "outline", "ties", "baseline"),
        ("levels", 0, "edges", 0, "edge"),
        ("levels", 0, "openings", 0, "from"),
        ("levels", 0, "openings", 0, "width"),
        ("levels", 0, "obstructions", 0, "name"),
        ("levels", 0, "no_post", 0, "why"),
        ("levels", 0, "framing"),
        ("levels", 0, "framing", "joist_direction"),
        ("levels", 0, "framing", "joist_spacing"),
        ("levels", 0, "framing", "first_joist"),
        ("levels", 1, "edges", 0, "arc_rise"),
        ("stairs",),
        ("stairs", 0),
        ("stairs", 0, "opening"),
        ("stairs", 0, "rise"),
        ("stairs", 0, "risers"),
        ("stairs", 0, "nosing"),
        ("stairs", 0, "guards"),
        ("stairs", 0, "guards", 0),
        ("stairs", 0, "infill"),
        ("stairs", 0, "foot_post"),
        ("stairs", 0, "handrail"),
        ("stairs", 0, "to_level"),
        ("site_measures",),
        ("site_measures", 0, "bay"),
        ("site_measures", 0, "clear_top"),
        ("prices",),
        ("prices", "currency"),
        ("prices", "tax_rate"),
        ("prices", "parts"),
        ("prices", "parts", "picket"),
        ("prices", "parts", "picket", "each"),
        ("prices", "parts", "picket", "waste"),
        ("prices", "parts", "post_line", "per_height"),
        ("prices", "parts", "post_line", "per_height", "36"),
        ("prices", "parts", "top_rail_picket", "discounts", 0, "from"),
        ("stock_on_hand", 0),
        ("stock_on_hand", 0, "part"),
        ("stock_on_hand", 0, "length"),
        ("stock_on_hand", 0, "count"),
        ("plan_effort",),
        ("compare", 0),
        ("compare", 0, "guard"),
        ("compare", 0, "edges"),
        ("compare", 1, "kit"),
    ],
    "kit": [
        ("post", "setback"),
        ("post", "heights"),
        ("post", "base", "fixings"),
        ("posts_before_glass",),
        ("rails",),
        ("glass", "max_area"),
        ("swivel", "greatest"),
        ("parts",),
        ("parts", "picket"),
        ("parts", "picket", "pack"),
        ("parts", "post_line", "sizes"),
        ("parts", "post_line", "sizes", "36"),
        ("included",),
        ("extras", 0),
        ("extras", 0, "of"),
        ("glass", "gasket_strips"),
    ],
    "code": [
        ("figures", "guard_height"),
        ("figures", "guard_height", "value"),
        ("figures", "guard_height", "reads"),
        ("figures", "guard_height", "when"),
        ("figures", "geometry_applies_to", "value"),
        ("figures", "pitch_max", "value"),
        ("figures", "handrail_both_sides_width", "reads"),
        ("figures", "handrail_required_risers"),
    ],
}
"""One member of each sort that there is."""
WHOLE: dict[Root, Any] = {"deck": deck(), "kit": kit(), "code": WITH_CASES}


@pytest.mark.parametrize(
    ("kind", "path"),
    [
        pytest.param(kind, path, id="/".join([kind, *map(str, path)]))
        for kind, paths in PLACES.items()
        for path in paths
    ],
)
def test_every_odd_value_in_every_sort_of_place(kind: Root, path: tuple[Any, ...]) -> None:
    """Nothing is left to chance: one odd value at a time, beside no more members than there must
    be."""
    document = copy.deepcopy(WHOLE[kind])
    holder = document
    for key in path[:-1]:
        thin(kind, document, holder, key)
        holder = holder[key]
    for value in ODD:
        holder[path[-1]] = value
        judge(kind, document)
