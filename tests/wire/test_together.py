"""Advice that is told in one reply: made all at once it cures all that it says, or says that it
cannot be made with the rest."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service.answer import answer_document
from service.data.catalogue import Catalogue
from service.rules.advice import trial

from .patching import made_at_once

Json = dict[str, Any]


def _deck(**members: Any) -> Json:
    level = {
        **{"id": "main", "drop": 32, "edges": [{"edge": 2, "condition": "wall"}]},
        **{"outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}},
        **members.pop("level", {}),
    }
    return {
        **{"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021"},
        **{"guard": {"infill": "picket"}, "levels": [level], "advise": True},
        **members,
    }


def _told(document: Json, catalogue: Catalogue) -> dict[str, str]:
    """What is said of each change, after the change itself, by rule."""
    advice = answer_document(document, catalogue)["advice"]
    return {each["rule"]: each["message"].partition(". ")[2] for each in advice}


def test_changes_that_go_together(catalogue: Catalogue) -> None:
    """6 risers of 8 in, over 7 3/4, get a seventh, goings of 9 in get the 10 that are asked, and
    the flight its handrail (IRC 2021 R311.7.5.1, R311.7.5.2, R311.7.8), also all at once."""
    level = {"drop": 48, "openings": [_opening("steps", "stair", 96, 48)]}
    flight = {"id": "front", "opening": "main/steps", "rise": 48, "risers": 6, "going": 9}
    document = _deck(level=level, stairs=[{**flight, "guards": ["left", "right"]}])
    told = _told(document, catalogue)
    rules = {"riser_height", "tread_going", "handrail_required"}
    assert [told[rule] for rule in rules] == ["", "", ""]
    assert made_at_once(document, answer_document(document, catalogue), catalogue) >= 3


def test_a_height_that_goes_by_the_risers(catalogue: Catalogue) -> None:
    """The level rail's top is at 38. The head post's middle stands 3.5 in from the edge, where the
    rail of a flight is 3.5 x riser / going higher than its guard: with 4 risers of 8 in goings of
    11, 2.5455, so that a guard of 35.4545, on the nearest mark 35 7/16, meets it. With the fifth
    riser that riser_height asks, 3.5 x 6.4 / 11 = 2.0364, it would be at 37.4739."""
    level = {"openings": [_opening("steps", "stair", 96, 48)]}
    flight = {
        **{"id": "front", "opening": "main/steps", "rise": 32, "risers": 4, "going": 11},
        **{"nosing": 1, "guards": ["left", "right"], "height": 34, "handrail": ["right"]},
    }
    guard = {"infill": "picket", "height": 38}
    document = _deck(level=level, guard=guard, stairs=[flight])
    told = _told(document, catalogue)
    assert told["riser_height"] == ""
    assert told["head_heights"] == (
        "Made with the other changes, the rule on the heights of rails at the head of the flight "
        "still fails: ask anew once those are made."
    )
    assert made_at_once(document, answer_document(document, catalogue), catalogue) == 2


def test_two_changes_that_add_the_same_edge(catalogue: Catalogue) -> None:
    """Edges 0 and 3 are not in the document. A greater height (IBC 2021 1015.3, 42 in) and pickets
    in place of glass (2407.1) each add them; both patches would give them twice, which is
    refused."""
    edges = [{"edge": 2, "condition": "wall"}, {"edge": 1, "height": 42}]
    guard = {"infill": "glass", "height": 36}
    document = _deck(code="us-ibc-2021", guard=guard, level={"edges": edges})
    told = _told(document, catalogue)
    assert told == {
        "guard_height": "",
        "glass_type": "Made with the other changes, the same part of the document would be changed "
        "twice: ask anew once those are made.",
    }


def test_a_change_to_what_another_takes_out(catalogue: Catalogue) -> None:
    """A gate whose leaf is too wide opens over a drop of 32 in, over the 30 of IRC 2021 R312.1.1. A
    narrower opening cures the one, no opening the other, and after that none is left to change."""
    level = {"openings": [_opening("way", "gate", 2, 50)]}
    document = _deck(level=level, guard={"infill": "glass", "height": 36})
    told = _told(document, catalogue)
    assert told["gate_width"] == ""
    assert "would be changed twice" in told["gate_swing"]


def test_what_could_not_be_tried_together(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A higher guard (34 in, IRC 2021 R312.1.2: 36) and a lower bottom rail (5 in, R312.1.3: less
    than 4) go together; with no layout left to try that, nothing says so."""
    kit = json.loads(json.dumps(catalogue.kit("picket-glass-surface-in").document))
    kit["bottom_gap"] = 5
    document = _deck(kit=kit, guard={"infill": "picket", "height": 34})
    assert set(_told(document, catalogue).values()) == {""}
    assert made_at_once(document, answer_document(document, catalogue), catalogue) == 2

    def with_no_work_left(tried: trial.Trial, *given: Any) -> str:
        tried.tries = 0
        return why_not_all(tried, *given)

    why_not_all = trial.Trial.why_not_all
    monkeypatch.setattr(trial.Trial, "why_not_all", with_no_work_left)
    remark = "It was not tried together with the other changes, for want of work left."
    assert list(_told(document, catalogue).values()) == ["", remark]


def _opening(name: str, use: str, start: float, width: float) -> Json:
    return {"id": name, "edge": 0, "from": start, "width": width, "use": use}
