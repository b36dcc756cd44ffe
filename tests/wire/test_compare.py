"""Variants of a document, whose work is bounded together with the document's."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from types import SimpleNamespace
from typing import Any

import pytest

from service.answer import answer_document
from service.compare import compare, vary
from service.core import limits
from service.core.order import plan
from service.core.problems import unbuildable
from service.core.stock import Plan, plan_sticks
from service.data.catalogue import load_catalogue

DECK: dict[str, Any] = {
    "unit": "in",
    "kit": "picket-glass-surface-in",
    "code": "us-irc-2021",
    "guard": {"infill": "picket"},
    "levels": [
        {
            "id": "main",
            "drop": 48,
            "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
        }
    ],
}


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"compare": [{"label": str(i), "guard": {"height": 36 + i}} for i in range(8)]},
        {"advise": True, "guard": {"infill": "picket", "height": 30}},
    ],
    ids=["alone", "variants", "advice"],
)
def test_all_plans_of_a_request_share_its_work(
    asked: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counted work bounds a request, whatever else it asks for: the work that all its plans may
    take comes to no more than is published, and all of them are made."""
    allowed: list[int] = []

    def watched(pieces: Mapping[float, int], *given: Any) -> Plan:  # noqa: ANN401
        allowed.append(given[-1])
        return plan_sticks(pieces, *given)

    monkeypatch.setattr(plan, "plan_sticks", watched)
    reply = answer_document({**DECK, "plan_effort": "thorough", **asked}, load_catalogue())
    made = 1 + len(reply.get("comparison", ())) + len(reply.get("advice", ()))
    assert len(allowed) >= 2 * made
    assert min(allowed) > 0
    assert sum(allowed) <= plan.WORK


def test_a_variant_by_another_code_is_judged_by_it() -> None:
    """A guard of 36 in keeps the IRC's 36 (2021 R312.1.2) and breaks the IBC's 42 (2021 1015.3),
    whichever of the two is the document's code and whichever the variant's."""
    kept, broken = "us-irc-2021", "us-ibc-2021"
    for code, other in ((kept, broken), (broken, kept)):
        document = {**DECK, "code": code, "guard": {"infill": "picket", "height": 36}}
        document["occupancy"] = "shared"
        document["compare"] = [{"label": "other", "code": other}]
        reply = answer_document(document, load_catalogue())
        (line,) = reply["comparison"]
        counts = reply["summary"]["violations"], line["violations"]
        assert (min(counts), counts.index(min(counts))) == (0, (code, other).index(kept))
        assert max(counts) > 0


def test_variants_past_the_limit_are_told_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    """A variant is laid out while the bays before it are within the limit. A side of 240 has 233
    between its posts' centres, four bays within 69; one of 144 has 137, two: 12 in all. The deck's
    own 12 are not over the limit of 12; with its first variant there are 24, which are, and the
    other variants say so."""
    monkeypatch.setattr(limits, "COMPARE_BAYS", 12)
    variants = [{"label": str(i), "guard": {"height": 40 + i}} for i in range(3)]
    reply = answer_document({**DECK, "compare": variants}, load_catalogue())
    assert reply["summary"]["bays"] == 12
    laid, *rest = reply["comparison"]
    assert (laid["label"], laid["bays"]) == ("0", 12)
    told = [(line["label"], line["problem"]["code"]) for line in rest]
    assert told == [("1", "too_much_to_compare"), ("2", "too_much_to_compare")]


def test_edges_without_bays_count_as_bays(monkeypatch: pytest.MonkeyPatch) -> None:
    """A deck of four walls has no bay but counts as four, and so does each of its variants, even
    one that is refused: the deck and one variant come to eight, over seven."""
    monkeypatch.setattr(limits, "COMPARE_BAYS", 7)
    walls = [{"edge": n, "condition": "wall"} for n in range(4)]
    deck = {**DECK, "levels": [{**DECK["levels"][0], "edges": walls}]}
    for first in ({"guard": {"height": 40}}, {"kit": "nothing-in"}):
        variants = [{"label": "first", **first}, {"label": "next", "guard": {"height": 41}}]
        reply = answer_document({**deck, "compare": variants}, load_catalogue())
        assert reply["summary"]["bays"] == 0
        one, two = reply["comparison"]
        assert one.get("problem", {}).get("code") in (None, "unknown_kit")
        assert two["problem"]["code"] == "too_much_to_compare"


def test_a_variant_s_kit_and_code_are_the_same_by_id_and_whole() -> None:
    """In variants, as in the deck, an id stands for its document: the digest and the variant's line
    are the same for both."""
    catalogue = load_catalogue()
    kit, code = "picket-glass-fascia-in", "us-ibc-2021"
    replies = [
        answer_document({**DECK, "compare": [{"label": "other", **named}]}, catalogue)
        for named in (
            {"kit": kit, "code": code},
            {"kit": catalogue.kit(kit).document, "code": catalogue.code(code).document},
        )
    ]
    assert replies[0]["digest"] == replies[1]["digest"]
    assert replies[0]["comparison"] == replies[1]["comparison"]


def test_advice_and_variants_leave_each_other_alone() -> None:
    """A document that asks for both gets the advice and the lines that it would get if it asked for
    each alone. A variant that cannot be built says so in its line, with the number of its faults,
    and the next ones are worked out."""
    low = {**DECK, "guard": {"infill": "picket", "height": 30}}
    variants = [
        {"label": "no such kit", "kit": "nothing-in"},
        {"label": "as it is"},
        {"label": "glass", "guard": {"infill": "glass", "height": 36}},
    ]
    catalogue = load_catalogue()
    both = answer_document({**low, "advise": True, "compare": variants}, catalogue)
    assert both["advice"] == answer_document({**low, "advise": True}, catalogue)["advice"]
    assert (
        both["comparison"] == answer_document({**low, "compare": variants}, catalogue)["comparison"]
    )
    refused, same, glass = both["comparison"]
    assert (refused["problem"]["code"], refused["problem"]["count"]) == ("unknown_kit", 1)
    assert {name: same[name] for name in ("posts", "bays", "violations")} == {
        name: both["summary"][name] for name in ("posts", "bays", "violations")
    }
    assert glass["violations"] == 0


def test_what_an_edge_says_of_itself_stays_unless_all_edges_are_changed() -> None:
    """One edge of the deck is glass. In a variant with pickets it stays glass, unless the variant
    says that all edges change."""
    levels = [{**DECK["levels"][0], "edges": [{"edge": 0, "infill": "glass"}]}]
    guard = {"guard": {"infill": "picket", "height": 36}}
    variants = [{"label": "some", **guard}, {"label": "all", **guard, "edges": "all"}]
    reply = answer_document({**DECK, "levels": levels, "compare": variants}, load_catalogue())
    panels = {line["label"]: line["glass_panels"] for line in reply["comparison"]}
    assert panels == {"some": reply["summary"]["glass_panels"], "all": 0}
    assert panels["some"] > 0


def test_prices_of_sizes_that_another_kit_does_not_have_price_nothing_of_it() -> None:
    """Sticks of a kit in inches are priced by their lengths, and a kit in millimetres has no such
    lengths: the variant by that kit is worked out, with its top rails unpriced."""
    catalogue, other = load_catalogue(), "glass-picket-surface-mm"
    lengths = catalogue.kit(DECK["kit"]).document["rails"]["picket"]["top"]["stock"]
    sticks = {f"{length:g}": "88.00" for length in lengths}
    prices = {"currency": "USD", "parts": {"top_rail_picket": {"per_stick": sticks}}}
    asked = {"prices": prices, "compare": [{"label": "other", "kit": other}]}
    (line,) = answer_document({**DECK, **asked}, catalogue)["comparison"]
    assert "problem" not in line
    assert "top_rail_picket" in line["unpriced"]


def test_a_variant_by_a_code_that_is_not_loaded_is_told_so() -> None:
    """The variant's line names the unknown code, and the document itself is answered."""
    asked = {**DECK, "compare": [{"label": "other", "code": "no-such-code"}]}
    (line,) = answer_document(asked, load_catalogue())["comparison"]
    assert line["problem"]["code"] == "unknown_code"


def test_a_variant_has_no_measures() -> None:
    """The deck's last bay was measured 0.25 less than drawn. A kit whose posts stand further apart
    has fewer bays, none of that name, and its variant is answered all the same."""
    catalogue = load_catalogue()
    wide = copy.deepcopy(catalogue.kit(DECK["kit"]).document)
    wide["max_centres"]["picket"] = 100
    plain = answer_document(DECK, catalogue)
    last = plain["bays"][-1]
    measure = {"bay": last["id"], "clear_top": last["clear"] - 0.25}
    measure["clear_bottom"] = measure["clear_top"]
    asked = {"site_measures": [measure], "compare": [{"label": "wide", "kit": wide}]}
    (line,) = answer_document({**DECK, **asked}, catalogue)["comparison"]
    assert line["bays"] < len(plain["bays"])


def test_a_change_of_all_edges_is_one_of_flights_too_and_leaves_the_document() -> None:
    """What edges and flights say of the same members of the guard is removed; their other members,
    and the document itself, stay as they were."""
    deck = {
        "kit": "a",
        "guard": {"infill": "picket"},
        "levels": [{"edges": [{"edge": 1, "infill": "picket", "height": 42}]}],
        "stairs": [{"id": "front", "infill": "picket", "height": 36}],
    }
    before = copy.deepcopy(deck)
    change = {"label": "glass", "guard": {"infill": "glass"}, "edges": "all"}
    varied = vary(deck, change)
    assert varied["guard"] == {"infill": "glass"}
    assert varied["levels"] == [{"edges": [{"edge": 1, "height": 42}]}]
    assert varied["stairs"] == [{"id": "front", "height": 36}]
    assert deck == before


def test_a_change_that_names_the_kit_again_is_none_of_the_kit() -> None:
    """A variant that names the document's own kit has no other kit, so prices by that kit's sizes
    still hold."""
    told: list[bool] = []

    def note(_: Any, other_kit: bool) -> Any:
        told.append(other_kit)
        raise unbuildable("/kit", "unknown_kit", "Not laid out here.")

    deck = {"kit": "a", "guard": {"infill": "picket"}, "levels": []}
    changes = [{"label": "x", **kit} for kit in ({}, {"kit": "a"}, {"kit": "b"})]
    empty: Any = SimpleNamespace(deck=SimpleNamespace(levels=()), layout=SimpleNamespace(bays=()))
    compare({**deck, "compare": changes}, empty, note)
    assert told == [False, False, True]
