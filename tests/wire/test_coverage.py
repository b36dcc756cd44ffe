"""A figure that `coverage` calls judged was judged, by a finding that read that very figure."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service.answer import answer_document
from service.data.catalogue import Catalogue

Json = dict[str, Any]
SQUARE = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
STAIR = {"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}
FLIGHT = {
    **{"id": "front", "opening": "main/steps", "rise": 49, "risers": 7, "going": 11},
    **{"guards": ["left", "right"], "foot_post": "ground"},
}


def answered(catalogue: Catalogue, level: Json | None = None, **members: Any) -> Json:
    """The reply to a deck of 20 ft by 12 against a house, 49 in up, by the IRC. level: members of
    its level, None to leave one out."""
    main = {"id": "main", "drop": 49, "outline": SQUARE, **(level or {})}
    main = {name: value for name, value in main.items() if value is not None}
    main["edges"] = [{"edge": 2, "condition": "wall"}]
    plain = {"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021"}
    return answer_document(
        {**plain, "guard": {"infill": "picket"}, "levels": [main], **members}, catalogue
    )


def judged(reply: Json) -> dict[str, bool]:
    """Whether each figure of the code was judged."""
    return {entry["figure"]: entry["judged"] for entry in reply["coverage"]}


def test_a_load_on_handrails_needs_a_handrail(catalogue: Catalogue) -> None:
    """`strength_rail` judges guards on any deck, and handrails only on a deck that has some."""
    covered = judged(answered(catalogue))
    assert covered["guard_point_load"]
    assert not covered["handrail_point_load"]
    flight = {**FLIGHT, "handrail": ["right"]}
    with_flight = answered(catalogue, {"openings": [STAIR]}, stairs=[flight])
    assert judged(with_flight)["handrail_point_load"]


def test_a_figure_that_holds_at_no_place_is_not_judged(catalogue: Catalogue) -> None:
    """IRC R311.7.5.3 wants no nosing at a going of 11 in, and wants one at 10 1/2."""
    for going, binds in ((11, False), (10.5, True)):
        flight = {**FLIGHT, "going": going, "nosing": 1}
        reply = answered(catalogue, {"openings": [STAIR]}, stairs=[flight])
        assert judged(reply)["nosing_min"] is binds


def test_what_no_document_can_be_judged_by_says_why(catalogue: Catalogue) -> None:
    """IRC R312.1.1 has drops measured within 36 in: a finding names that figure, but whoever
    measured may not have kept to it. R311.7.5.2 has goings within 3/8 in of each other, and a
    flight is drawn with goings that are all alike."""
    reply = answered(catalogue, {"openings": [STAIR]}, stairs=[FLIGHT])
    why = {entry["figure"]: entry.get("why", "judged") for entry in reply["coverage"]}
    assert why["guard_drop_reach"].startswith("drops are taken as given")
    assert why["going_uniformity"].startswith("the goings are drawn alike")


@pytest.mark.parametrize("occupancy", [None, "dwelling"])
def test_no_figure_of_the_code_is_left_out(catalogue: Catalogue, occupancy: str | None) -> None:
    """Every figure of the code has an entry. IBC 1015.3, exception 3, is for dwellings: for any
    other use it makes no top rail a handrail, and the entry says so."""
    used: Json = {} if occupancy is None else {"occupancy": occupancy}
    entries = {
        entry["figure"]: entry
        for entry in answered(catalogue, code="us-ibc-2021", **used)["coverage"]
    }
    figures = json.loads(catalogue.code("us-ibc-2021").canonical)["figures"]
    assert entries.keys() == figures.keys()
    entry = entries["guard_top_as_handrail_min"]
    assert not entry["judged"]
    assert ("another use" in entry["why"]) is (occupancy is None)


def test_a_figure_that_waits_says_for_what(catalogue: Catalogue) -> None:
    """NBC 9.8.8.3 asks for 900 mm up to 1800 mm above the ground, else 1070: a guard of 36 in
    cannot be judged without a drop, and the entry names the rule that waits for one."""
    guard = {"infill": "picket", "height": 36}
    reply = answered(catalogue, {"drop": None}, code="ca-nbc-2020", guard=guard)
    entry = next(each for each in reply["coverage"] if each["figure"] == "guard_height")
    assert not entry["judged"]
    assert "guard_height" in entry["why"]


@pytest.mark.parametrize(
    ("code", "figure", "value", "printed", "words"),
    [
        ("us-irc-2021", "guard_point_load", 300, 200, "the code prints 200 lbf"),
        ("us-ibc-2021", "guard_line_load", 75, 50, "the code prints 50 lbf/ft"),
    ],
)
def test_an_amended_load_shows_both_values(
    catalogue: Catalogue, code: str, figure: str, value: float, printed: float, words: str
) -> None:
    """An amended load reads as what it is, a force or a force along a line, with the printed one
    beside it; IRC R301.5, IBC 1607.9.1."""
    reply = answered(catalogue, code=code, amendments={figure: value})
    told = [f for f in reply["findings"] if f["rule"] == "strength_post" and f["amended"]]
    assert told
    for finding in told:
        assert finding["published"] == printed
        assert words in finding["message"]


def test_an_amended_factor_shows_both_values(catalogue: Catalogue) -> None:
    """A factor has no place in a load's own words, so it is named beside them; it is 1.5 in
    Approved Document K."""
    kit = "glass-picket-surface-mm"
    level = {"drop": 1400, "outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]}}
    document = {"unit": "mm", "kit": kit, "code": "gb-eng-adk-2013"}
    reply = answered(catalogue, level, **document, amendments={"load_factor": 1.35})
    (bends, *_) = [
        f for f in reply["findings"] if f["rule"] == "strength_post" and f["unit"] == "MPa"
    ]
    assert bends["amended"]
    assert "load_factor is 1.35" in bends["message"]
    assert "the code prints 1.5" in bends["message"]
    assert bends["published"] == 1.5
