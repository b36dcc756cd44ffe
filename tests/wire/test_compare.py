"""Variants of a document: bounded together with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from service.answer import answer_document
from service.core.order import plan
from service.core.stock import Plan, plan_sticks
from service.data.catalogue import load_catalogue


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
    """Counted work bounds a request, whatever it asks for besides: what its plans may spend comes
    to no more than is published, and they are made."""
    allowed: list[int] = []

    def watched(pieces: Mapping[float, int], *given: Any) -> Plan:  # noqa: ANN401
        allowed.append(given[-1])
        return plan_sticks(pieces, *given)

    monkeypatch.setattr(plan, "plan_sticks", watched)
    square = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    document = {
        **{"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021"},
        **{"guard": {"infill": "picket"}, "plan_effort": "thorough"},
        **{"levels": [{"id": "main", "drop": 48, "outline": square}], **asked},
    }
    reply = answer_document(document, load_catalogue())
    made = 1 + len(reply.get("comparison", ())) + len(reply.get("advice", ()))
    assert len(allowed) >= 2 * made
    assert min(allowed) > 0
    assert sum(allowed) <= plan.WORK
