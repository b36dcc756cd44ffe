"""Which treads carry a flight's posts, against trying every choice of treads (method 9)."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import combinations, pairwise

import pytest

from service.core.flights.treads import Treads, even_row
from service.core.measure import floor_to_mark
from service.core.problems import Refusal
from service.core.runs.budget import MarkWork
from tests.core import sloping
from tests.core.sloping import DrawnFlight


def best_by_trying(
    head: float, foot: float, places: Sequence[float], most: float, panel: float = math.inf
) -> tuple[float, ...] | None:
    """The row of the fewest bays, then the most even, then with its posts nearest the head, by
    trying all choices of treads."""
    for inner in range(len(places) + 1):
        kept = []
        for chosen in combinations(places, inner):
            row = (head, *chosen, foot)
            gaps = [b - a for a, b in pairwise(row)]
            if max(gaps) <= most + 1e-6 and max(gaps) <= panel + 1e-6 and min(gaps) > 0:
                kept.append((round(max(gaps) - min(gaps), 6), chosen))
        if kept:
            return (head, *min(kept)[1], foot)
    return None


def test_drawn_rows() -> None:
    """Rows of random heads, feet, goings and spacings, up to nine treads, are those found by trying
    all."""
    rng, refused, longer = random.Random(11), 0, 0
    for _ in range(1500):
        going, middles = rng.randint(64, 224) / 16, rng.randint(0, 9)
        head = -rng.randint(-48, 96) / 16
        foot = middles * going + rng.choice([going / 2, going + rng.randint(0, 64) / 16])
        most = rng.uniform(0.5, 5.0) * going
        if foot <= head:
            continue
        places = [(j - 0.5) * going for j in range(1, middles + 1) if (j - 0.5) * going > head]
        wanted = best_by_trying(head, foot, places, most)
        found = even_row(Treads(head, foot, going, middles), most, lambda row: True, MarkWork())
        assert found == (wanted if wanted is None else pytest.approx(wanted))
        refused += wanted is None
        longer += wanted is not None and len(wanted) > 3
    assert refused > 50
    assert longer > 300


def widest_panel(drawn: DrawnFlight) -> float:
    """The greatest spacing in plan whose panel is within the kit's width and area."""
    glass = drawn.kit.glass
    assert glass is not None
    if drawn.stair.infill == "picket":
        return math.inf
    rails, gap = drawn.kit.rails["glass"], drawn.kit.stair_bottom_gap
    assert drawn.stair.height is not None
    assert gap is not None
    into = glass.engagement.top + glass.engagement.bottom
    depths = rails.top.depth + rails.bottom.depth
    height = floor_to_mark(drawn.stair.height - gap + (into - depths) / drawn.cosine, drawn.step)
    width = min(glass.max_width, glass.max_area / height)
    # The panel's width is floored: any clear under one step more makes the same panel.
    marks = math.floor(width / drawn.step + 1e-6) + 1
    return marks * drawn.step + 2 * glass.side_gap + drawn.kit.post.width - 0.0011 * drawn.step


def test_flights() -> None:
    """Random flights of both infills and both kinds of foot have the fewest bays along the slope,
    then the most even ones."""
    rng, tried = random.Random(23), 0
    while tried < 200:
        drawn = sloping.draw_flight(rng)
        stair, treads = drawn.stair, drawn.stair.risers - 1
        on_ground = stair.foot_post == "ground" or stair.risers == 1
        base = drawn.kit.post.base.width
        foot = treads * stair.going + (base / 2 if on_ground else -stair.going / 2)
        places = [(j - 0.5) * stair.going for j in range(1, treads + on_ground)]
        most = drawn.kit.max_centres[stair.infill or "picket"] * drawn.cosine
        head = -drawn.kit.post.setback
        if foot <= head:
            continue
        wanted = best_by_trying(
            head, foot, [p for p in places if p > head], most, widest_panel(drawn)
        )
        layout = drawn.layout()
        if isinstance(layout, Refusal) and layout.problems[0].code == "too_short_for_posts":
            row = wanted or (head, foot)
            assert min(b - a for a, b in pairwise(row)) < drawn.kit.post.width
            continue
        if isinstance(layout, Refusal):
            assert [p.code for p in layout.problems] == ["no_place_for_posts"]
            assert wanted is None
            continue
        assert wanted is not None
        runs = [run for run in layout.runs if run.flight is not None]
        for run in runs:
            assert [mark + head for mark in run.marks] == pytest.approx(wanted, abs=1e-6)
        tried += 1


def test_a_single_riser_off_a_fascia_deck() -> None:
    """A flight of a single riser off a fascia deck is refused, as its foot post cannot stand behind
    its head post.

    A fascia post stands outside the deck's edge, 2.25 here, and the foot post of a single riser
    stands half a base, 2.0, out from the edge.
    """
    flight = sloping.stair(7.0, 1, 10.5)
    drawn = DrawnFlight(sloping.FASCIA, "in", (240.0, 144.0), 96.0, 40.0, flight, "picket", 36.0)
    refusal = drawn.layout()
    assert isinstance(refusal, Refusal)
    assert [problem.code for problem in refusal.problems] == ["too_short_for_posts"]


def test_sixty_risers_are_bounded() -> None:
    """The longest flight that is accepted gets its row of posts within the work that one document
    may ask for, even if no row keeps its panels small enough until every tread has a post."""
    work = MarkWork()
    row = even_row(Treads(-3.5, 58.5 * 10.5, 10.5, 58), 22.0, lambda row: len(row) == 60, work)
    assert row is not None
    assert len(row) == 60
    assert work.left > 0
