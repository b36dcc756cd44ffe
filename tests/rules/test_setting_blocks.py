"""Setting blocks by trade guides (facts on engineering, 1.5): 0.1 in long for each sq ft of glass,
and at least 4 in; at the quarter points, or shifted until their outer end is 6 in from the corner.
In millimetres 27 mm for each m2."""

from __future__ import annotations

import copy
from dataclasses import replace

import pytest

from service.answer import answer_document
from service.core.measure import Length, Unit
from service.core.records.infill import Glass
from service.core.records.kit import Block, Kit
from tests.shipped import catalogue

from .small import bay, found, glass, glass_bay, kit, only


def blocked(length: Length, own: Unit = "in") -> Kit:
    """The kit of these tests with blocks of this length; `own` is the unit that the kit is written
    in."""
    plain = kit()
    assert plain.glass is not None
    block = Block(plain.glass.block.inset, length)
    return replace(plain, glass=replace(plain.glass, block=block), own_unit=own)


def panel(width: Length, height: Length, first: Length | None = None) -> Glass:
    """A panel with its blocks at the quarter points, or with their centres `first` from its two
    ends."""
    at = glass(width, height)
    return at if first is None else replace(at, blocks=(first, width - first))


@pytest.mark.parametrize(
    ("length", "width", "height", "asked", "result"),
    [
        # 48 x 36 in is 12 sq ft, 1.2 in: 4 in at the least (check value 11).
        (4.0, 48.0, 36.0, 4.0, "pass"),
        (3.9, 48.0, 36.0, 4.0, "fail"),
        # 96 x 72 in is 48 sq ft (check value 12).
        (4.8, 96.0, 72.0, 4.8, "pass"),
        (4.0, 96.0, 72.0, 4.8, "fail"),
        # 40 sq ft is where 4 in stops being enough.
        (4.0, 80.0, 72.0, 4.0, "pass"),
        # 6 in wide: at the quarter points there is room for 3 in, which glass_fitting judges.
        (3.0, 6.0, 36.0, 3.0, "pass"),
        (2.5, 6.0, 36.0, 3.0, "fail"),
    ],
)
def test_length(length: Length, width: Length, height: Length, asked: Length, result: str) -> None:
    """The least length of a block goes by the panel's area."""
    bays = (glass_bay(1, panel(width, height)),)
    finding = only("setting_blocks", with_kit=blocked(length), bays=bays)
    assert (finding.result, finding.limit, finding.actual) == (result, asked, length)
    assert finding.severity == ("note" if result == "pass" else "warning")
    assert finding.source == "engineering"


@pytest.mark.parametrize(
    ("own", "length", "asked", "result"),
    [
        ("mm", 100 / 25.4, 100 / 25.4, "pass"),
        ("in", 100 / 25.4, 4.0, "fail"),
        ("mm", 99 / 25.4, 100 / 25.4, "fail"),
    ],
)
def test_a_kit_in_millimetres(own: Unit, length: Length, asked: Length, result: str) -> None:
    """In a kit in millimetres the least is 100 mm, whatever the deck's unit, as 150 mm stand for 6
    in."""
    bays = (glass_bay(1, panel(48.0, 36.0)),)
    finding = only("setting_blocks", with_kit=blocked(length, own), bays=bays)
    assert finding.result == result
    assert finding.limit == pytest.approx(asked)


def test_a_large_panel_of_a_kit_in_millimetres() -> None:
    """A panel of 2500 x 1600 mm, 4 m2, needs blocks of 27 x 4 = 108 mm, 4.252 in."""
    bays = (glass_bay(1, panel(2500 / 25.4, 1600 / 25.4)),)
    finding = only("setting_blocks", with_kit=blocked(4.0, "mm"), bays=bays)
    assert finding.result == "fail"
    assert finding.limit == pytest.approx(108 / 25.4)


@pytest.mark.parametrize(
    ("width", "first", "result"),
    [
        # 4 in blocks whose outer ends are 6 in from the corner, and a sixteenth less.
        (48.0, 8.0, "pass"),
        (48.0, 7.9375, "fail"),
        # 28 in wide: the quarter points are at 7 in, and no block may be nearer to the corner.
        (28.0, 7.0, "pass"),
        (28.0, 6.5, "fail"),
    ],
)
def test_place(width: Length, first: Length, result: str) -> None:
    """A block that is shifted off its quarter point has its outer end at least 6 in from the
    corner."""
    bays = (glass_bay(1, panel(width, 36.0, first)),)
    finding = only("setting_blocks", with_kit=blocked(4.0), bays=bays)
    assert finding.result == result
    if result == "fail":
        assert (finding.limit, finding.actual) == (6.0, first - 2)


@pytest.mark.parametrize(
    ("first", "said"),
    [(2.0, 'end 0" from the corners of the glass;'), (0.5, 'reach 1 1/2" past the corners')],
)
def test_past_the_corner(first: Length, said: str) -> None:
    """4 in blocks reach 2 in out from their centres; one that reaches past the corner is said to do
    so, and not to be less than nothing from it."""
    bays = (glass_bay(1, panel(48.0, 36.0, first)),)
    assert said in only("setting_blocks", with_kit=blocked(4.0), bays=bays).message


@pytest.mark.parametrize(("first", "result"), [(200.0, "pass"), (199.0, "fail")])
def test_place_of_a_kit_in_millimetres(first: Length, result: str) -> None:
    """Outer ends of blocks of 100 mm, 150 mm and 149 from the corner; 150 stand for 6 in."""
    bays = (glass_bay(1, panel(1200 / 25.4, 900 / 25.4, first / 25.4)),)
    assert only("setting_blocks", with_kit=blocked(100 / 25.4, "mm"), bays=bays).result == result


@pytest.mark.parametrize(
    ("inset", "length", "result"),
    [
        (8.0, 101.6, "pass"),
        (7.9, 101.6, "fail"),
        (8.0, 102.18, "pass"),
        (8.0, 102.22, "fail"),
    ],
    ids=["on its mark", "too near", "just within half a mark", "just past half a mark"],
)
def test_a_kit_of_inches_in_millimetres(inset: Length, length: Length, result: str) -> None:
    """A block may be half a mark off its inset, as it is placed on a mark: 8 in are 203.2 mm, and
    their mark 203, so that the outer end of a block of 4 in, 101.6 mm, is 152.2 mm from the corner,
    of 152.4. 7.9 in are 200.66, on 201, and too near.

    Half a mark is 0.5: on 203 a block of 102.18 mm has its outer end at 203 - 51.09 = 151.91, just
    over 151.9, and one of 102.22 at 203 - 51.11 = 151.89, just under it.
    """
    document = copy.deepcopy(catalogue().kits["picket-glass-surface-in"].document)
    document["glass"]["block"] = {"inset": inset, "length": length / 25.4}
    deck = {
        **{"unit": "mm", "kit": document, "guard": {"infill": "glass", "height": 1000}},
        "levels": [{"id": "main", "outline": {"points": [[0, 0], [4000, 0], [4000, 3000]]}}],
    }
    findings = answer_document(deck, catalogue())["findings"]
    assert {f["result"] for f in findings if f["rule"] == "setting_blocks"} == {result}


def test_those_that_pass_are_one_finding() -> None:
    """Panels that pass share a finding, with the greatest length that is asked for; one that fails
    has its own."""
    bays = (
        glass_bay(1, panel(48.0, 36.0)),
        glass_bay(2, panel(96.0, 72.0)),
        glass_bay(3, panel(96.0, 90.0)),
    )
    fail, kept = found("setting_blocks", with_kit=blocked(4.8), bays=bays)
    assert (kept.where, kept.limit) == (("B1", "B2"), 4.8)
    assert (fail.where, fail.limit) == (("B3",), 6.0)


def test_no_glass() -> None:
    """A deck of pickets gives no finding."""
    assert found("setting_blocks", bays=(bay(),)) == []
