"""The same deck described in another way gives the same parts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.records.kit import Kit
from tests.bounded import bounded
from tests.core import builders
from tests.core.facts import drawn_real
from tests.core.shapes import Drawn, drawn_decks, length_of
from tests.properties import twins

REAL = [
    (kit, infill)
    for kit in (builders.SURFACE, builders.FASCIA, builders.PAIR)
    for infill in ("picket", "glass")
]


@bounded(200)
@given(drawn_decks(), st.data())
def test_told_from_another_corner(drawn: Drawn, data: st.DataObject) -> None:
    """Describing a deck from another corner changes no size and no count."""
    first = data.draw(st.integers(1, len(drawn.outline) - 1))
    twin = twins.from_another_corner(drawn, first)
    assert twins.made(twins.layout_of(drawn)) == twins.made(twins.layout_of(twin))


@bounded(200)
@given(drawn_decks())
def test_told_the_other_way_round(drawn: Drawn) -> None:
    """Describing a deck clockwise changes no size and no count."""
    twin = twins.the_other_way(drawn)
    assert twins.made(twins.layout_of(drawn)) == twins.made(twins.layout_of(twin))


@bounded(200)
@given(drawn_decks(), st.integers(1, 3599), st.integers(-50_000, 50_000))
def test_turned_and_moved(drawn: Drawn, tenths: int, by: int) -> None:
    """Turning a deck by any angle and moving it anywhere changes no size and no count."""
    twin = twins.turned(drawn, tenths / 10, (by / 16, -by / 3))
    assert twins.made(twins.layout_of(drawn)) == twins.made(twins.layout_of(twin))


@pytest.mark.parametrize(("kit", "infill"), REAL, ids=lambda v: getattr(v, "id", v))
def test_real_decks(kit: Kit, infill: str) -> None:
    """Each real deck makes the same in three other descriptions, a house along its longest edge."""
    laid = 0
    for n, (_, points) in enumerate(builders.real_outlines()):
        wall = max(range(len(points)), key=lambda number: length_of(points, number))
        drawn = drawn_real(points, kit, infill, wall)
        expected = twins.made(twins.layout_of(drawn))
        laid += expected is not None
        for twin in (
            twins.from_another_corner(drawn, 1 + n % (len(points) - 1)),
            twins.the_other_way(drawn),
            twins.turned(drawn, 37.0 + n, (1000.0, -333.0)),
        ):
            assert twins.made(twins.layout_of(twin)) == expected
    assert laid >= 60
