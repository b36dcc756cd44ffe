"""Whatever is sent, the engine answers with a layout or a refusal, never with another error."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given

from service.answer import answer_document
from service.core.problems import Refusal, Unbuildable
from service.data.catalogue import load_catalogue
from tests.bounded import bounded
from tests.core import builders
from tests.core.shapes import Drawn, nasty_decks

BESIDE = {"points": [[120, 0], [360, 0], [360, 144], [120, 144]]}
OVER = {"id": "over", "drop": 48, "outline": BESIDE}
NARROW = {"id": "gate", "edge": 0, "from": 96, "width": 1.3, "use": "gate"}
STEPS = {"id": "steps", "edge": 1, "from": 48, "width": 48, "use": "stair"}
ASTRAY = {"id": "front", "opening": "main/none", "rise": 49, "risers": 7, "going": 10}
LOW = {**ASTRAY, "opening": "main/steps", "guards": ["left"], "height": 3}
MEASURE = {"bay": "B99", "clear_top": 50, "clear_bottom": 50}
TWICE = [MEASURE, MEASURE]
STICKS = {"per_stick": {"150": "1.5", "198": "1.505"}, "cutting": "0.50"}
PRICED = {"currency": "USD", "parts": {"top_rail_picket": STICKS, "post_line": {"each": "1.234"}}}
DEEP = {
    **OVER,
    "outline": {"points": [[500, 0], [740, 0], [740, 144], [500, 144]]},
    "edges": [{"edge": 1, "arc_rise": 72}],
}
JOISTS = {
    **DEEP,
    "edges": [{"edge": 0, "infill": "glass", "glass": 9}],
    "framing": {
        "joist_direction": 90,
        "joist_spacing": 1.5,
        "first_joist": 241,
        "joist_width": 1.5,
        "rim_width": 1.5,
    },
}
UNPAID = {"currency": "XXQ", "parts": {}}
STICK = {"part": "picket", "length": "0 mm", "count": 1}


@bounded(400)
@given(nasty_decks())
def test_a_nasty_deck_is_laid_out_or_refused(drawn: Drawn) -> None:
    """Decks with spikes, slivers, notches, hair-thin figures and obstructions anywhere get a layout
    or a refusal."""
    answer = builders.laid_or_refused(drawn.deck(), drawn.kit)
    if isinstance(answer, Refusal):
        assert answer.problems
        assert all(problem.pointer.startswith("/") for problem in answer.problems)
        return
    assert all(bay.fill.top_cut > 0 and bay.fill.bottom_cut > 0 for bay in answer.bays)
    assert all(math.isfinite(place) for post in answer.posts for place in post.at)


@pytest.mark.parametrize(
    ("openings", "more", "codes"),
    [
        ([], {"levels": [OVER], "stairs": [ASTRAY]}, {"levels_overlap", "no_such_opening"}),
        ([NARROW], {"site_measures": [MEASURE]}, {"gate_too_narrow", "no_such_bay"}),
        ([NARROW, STEPS], {"stairs": [LOW]}, {"gate_too_narrow", "flight_does_not_fit"}),
    ],
)
def test_a_fault_hides_no_other(
    openings: list[dict[str, object]], more: dict[str, Any], codes: set[str]
) -> None:
    """Faults of different stages are reported at once.

    The decks have levels over each other and a flight from no opening; a gate whose gaps of 3/4 and
    1/2 in leave no leaf, with a measure of no bay; and the same gate with a flight's guard lower
    than its rails.
    """
    assert set(codes_of(openings, more)) == codes


@pytest.mark.parametrize(
    ("more", "codes"),
    [
        ({"kit": "none", "prices": UNPAID}, ["unknown_currency", "unknown_kit"]),
        ({"kit": "none", "prices": PRICED}, [*["too_many_decimals"] * 2, "unknown_kit"]),
        ({"kit": "none", "stock_on_hand": [STICK]}, ["length_of_nought", "unknown_kit"]),
        ({"kit": "none", "site_measures": TWICE}, ["given_twice", "unknown_kit"]),
        ({"levels": [OVER], "site_measures": TWICE}, ["given_twice", "levels_overlap"]),
        ({"site_measures": TWICE}, ["given_twice", "no_such_bay"]),
        ({"kit": "none", "levels": [DEEP]}, ["arc_too_deep", "unknown_kit"]),
        ({"levels": [JOISTS]}, ["glass_not_in_kit", "joists_too_close", "no_joist"]),
        ({"stairs": [{**ASTRAY, "to_level": "none"}]}, ["no_such_level", "no_such_opening"]),
    ],
)
def test_what_shows_by_itself_is_told_whatever_else_is_wrong(
    more: dict[str, Any], codes: list[str]
) -> None:
    """A fault that needs nothing else to be seen is reported, whatever else is wrong.

    A currency, amounts of three decimals of a dollar, a stick of no length and a bay measured twice
    are reported whatever the kit and the levels are. A bow of half its chord of 144 in, joists 1
    1/2 in wide as far apart as that, and one 241 in along a deck of 240 are reported though no bay
    can be made. So is the level that a flight from no opening goes down to.
    """
    assert sorted(codes_of([], more)) == codes


@pytest.mark.parametrize(
    ("degrees", "start", "code", "said"),
    [
        (3.0, 200, "opening_without_width", "Opening s lies past the wall that ends its railing"),
        (0.5, None, "too_short_for_posts", "needs 163.3103 in more for the posts at its ends"),
    ],
)
def test_a_wall_that_counts_as_going_on_is_told_as_the_cause(
    degrees: float, start: float | None, code: str, said: str
) -> None:
    """A wall that turns inward by a few degrees from a fascia's edge goes on across the line, which
    hangs out from it, far from the corner (contract, section 6, step 1). The refusal says so, and
    not that a post takes up yards.

    The kit's line hangs 2.25 out and its base is 4 wide, out to 3.5. At 0.5 degrees the base is
    clear of the wall's line 3.5/tan 0.5 = 401.06 before the corner of the edge, which is 240 long.
    The post's centre is 2 before that, and its face 1.25; the corner post's, at -2.25, 1.25 after:
    240 - 401.06 - 2 - 1.25 + 2.25 - 1.25 = -163.31 is left.
    """
    turn = math.radians(degrees)
    far = [240 + 100 * math.cos(turn), 100 * math.sin(turn)]
    outline = {"points": [[0, 0], [240, 0], far, [340, 120], [0, 120]]}
    level: dict[str, Any] = {"id": "main", "drop": 48, "outline": outline}
    level["edges"] = [{"edge": 1, "condition": "wall"}]
    if start is not None:
        passage = {"id": "s", "edge": 0, "from": start, "width": 36, "use": "passage"}
        level["openings"] = [passage]
    kit = builders.kit_document("picket-glass-fascia-in") | {"straight_limit": 0, "square_limit": 0}
    document = {"unit": "in", "kit": kit, "guard": {"infill": "picket"}, "levels": [level]}
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, load_catalogue())
    (problem,) = refusal.value.problems
    assert (problem.code, said in problem.message) == (code, True)
    assert problem.message.endswith(
        f"; the wall beside it turns by {degrees:g}° only and counts as going on, so that its line "
        "crosses the railing's far from the corner; draw the two edges in one line, or give the "
        "kit a straight_limit of at least that."
    )


def codes_of(openings: list[dict[str, object]], more: dict[str, Any]) -> list[str]:
    """Codes of the refusal of a deck of one level and of the members and levels in `more`."""
    outline = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    level = {"id": "main", "drop": 48, "outline": outline, "openings": openings}
    deck = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    document = {**deck, **more, "levels": [level, *more.get("levels", [])]}
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, load_catalogue())
    return [problem.code for problem in refusal.value.problems]
