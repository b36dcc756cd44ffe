"""What a reply is said to hold is written: no member is published that no writer gives."""

from __future__ import annotations

import json

from service.answer import answer
from service.core.problems import Refusal
from service.wire.publishing.components import schemas
from tests.shipped import catalogue
from tests.wire.test_all_is_read import published, sent_of
from tests.wire.test_defaults import REQUESTS

ASKED = ("framing/", "gates/", "orders/")
"""Folders of the cases whose replies, with those of the examples, have nearly every member."""
ELSEWHERE = {
    ("Advice", "total"): "test_advice: what a change costs where every part has a price",
    ("Totals", "then"): "the same",
    ("Totals", "now"): "the same",
    ("Warned", "rule"): "test_advice: the warnings that a change adds or takes away",
    ("Warned", "now"): "the same",
    ("Warned", "then"): "the same",
    ("Step", "from"): "test_advice: a step that copies what the kit has",
}
"""Members that no reply of these has, each with the test that looks for it."""


def test_every_member_of_the_reply_is_written() -> None:
    """Each published member of the layout document is in a reply to an example or a case."""
    given = set()
    for name, request in REQUESTS.items():
        if name.endswith(".request.json") or name.startswith(ASKED):
            try:
                reply = json.loads(answer(json.dumps(request).encode(), catalogue()).body)
            except Refusal:
                continue
            given |= set(sent_of("layout", schemas()["layout"], reply))
    left = published("layout") - given
    assert left - set(ELSEWHERE) == set(), (
        "no reply has these members: write them in wire/writing, and look for them in a case of "
        f"{', '.join(ASKED)} (or name the test that looks for them in ELSEWHERE)"
    )
    assert set(ELSEWHERE) - left == set(), "a reply has these: take them out of ELSEWHERE"
