"""Which changes of advice go together by what they write: each pair is worked by hand from what a
JSON Patch does in either order (RFC 6902)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from service.core.records.deck import Deck
from service.rules.advice.attempts import Attempt, Part, Step
from service.rules.advice.together import remarks
from tests.core import builders

DECK = builders.deck(builders.rectangle(240, 144))
FIRST, SECOND = "guard_height", "opening_size"
HELD = "/levels/0/openings"


def remark(
    one: Sequence[Step], other: Sequence[Step], decks: tuple[Deck, Deck] = (DECK, DECK)
) -> str:
    """What is said of a second change beside a first one, where no layout of both breaks a rule.
    The deck with both is kept in `MERGED`."""
    MERGED.clear()

    def keep(_: object, attempt: Attempt, *__: object) -> str:
        MERGED.append(attempt.deck)
        return ""

    kit = builders.SURFACE
    base = Attempt((), DECK, kit)
    trial: Any = SimpleNamespace(base=base, share_among=lambda _: None, why_not_all=keep)
    found: Any = {
        rule: SimpleNamespace(attempt=Attempt((Part(rule, tuple(steps)),), deck, kit))
        for rule, steps, deck in zip((FIRST, SECOND), (one, other), decks, strict=True)
    }
    return remarks(trial, found).get(SECOND, "")


MERGED: list[Deck] = []
OPENING = {"edge": 0, "from": 20, "width": 36, "use": "gate"}


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        (Step("/a", source="/b"), Step("/a", source="/c"), True),
        (Step("/a", 1), Step("/a", 2), True),
        (Step("/a", 1), Step("/b", 1), False),
        (Step("/a", {"b": 1}), Step("/a/b", 2), True),
        (Step("/a/b", 2), Step("/a", {"b": 1}), True),
        (Step("/a", 1), Step("/b", source="/a"), True),
        (Step("/b", source="/a"), Step("/a", 1), True),
        (Step("/a", {"c": 1}), Step("/b", source="/a/c"), True),
        (Step(f"{HELD}/0", removes=True), Step(f"{HELD}/1/width", 30), True),
        (
            Step(f"{HELD}/-", {"id": "x", **OPENING}),
            Step(f"{HELD}/-", {"id": "y", **OPENING, "from": 120}),
            False,
        ),
        (
            Step(f"{HELD}/-", {"id": "x", **OPENING}),
            Step(f"{HELD}/-", {"id": "x", **OPENING, "from": 120}),
            True,
        ),
    ],
    ids=[
        "copied from two places",
        "two values",
        "two places",
        "written in what is then replaced",
        "replaced, then written in",
        "copied after it is written",
        "copied before it is written",
        "copied from within what is written",
        "an entry after one that is taken out",
        "two entries of their own names along one edge",
        "two entries of one name",
    ],
)
def test_two_changes(one: Step, other: Step, apart: bool) -> None:
    """Two steps come to the same in either order unless they write one place otherwise, one of them
    writes or takes out what holds a place of the other, or one copies what the other writes."""
    assert ("would be changed twice" in remark([one], [other])) is apart


def test_two_entries_that_are_added() -> None:
    """Of two changes that add an opening each, both are in the deck that is tried."""
    x, y = (
        replace(builders.opening(0, start, 36, "gate"), id=name)
        for name, start in (("x", 20.0), ("y", 120.0))
    )
    decks = [replace(DECK, levels=(replace(DECK.levels[0], openings=(each,)),)) for each in (x, y)]
    assert remark([Step("/a", 1)], [Step("/b", 1)], (decks[0], decks[1])) == ""
    assert [level.openings for deck in MERGED for level in deck.levels] == [(x, y)]


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (Step(f"{HELD}/0", removes=True), True),
        (Step(f"{HELD}/-", {"id": "x", **OPENING}), True),
        (Step("/a", 1), False),
    ],
    ids=["taken out", "added", "written"],
)
def test_one_change_for_two_rules(step: Step, said: bool) -> None:
    """Taking an entry out twice takes out two, and adding it twice adds two: that change is to be
    made once. A value that is written twice is the same value."""
    assert ("make it once" in remark([step], [step])) is said


def test_an_entry_that_two_changes_add_alike() -> None:
    """Both changes leave the same opening in the deck, so that it is there once with both made."""
    level = replace(DECK.levels[0], openings=(builders.opening(0, 20.0, 36, "gate"),))
    deck = replace(DECK, levels=(level,))
    assert remark([Step("/a", 1)], [Step("/b", 1)], (deck, deck)) == ""
    assert [deck] == MERGED


def test_one_value_that_two_changes_write() -> None:
    """Both write 1 at one place, in whichever order; only one of them writes another place."""
    assert remark([Step("/a", 1)], [Step("/a", 1), Step("/b", 2)]) == ""
