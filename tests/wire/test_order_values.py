"""Values of an order that no document brings out, and the cautions that a job has.

Values that a document can bring out are worked by hand in tests/cases/orders.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from service.core.order.ordering import Order
from service.core.order.plan import PartPlan, StickRow
from service.core.order.prices import Prices
from service.core.order.quote import Quote
from service.core.problems import Unbuildable
from service.wire.writing.cautions import (
    GLASS,
    MEASURE_AGAIN,
    RAKED_GLASS,
    SHARED,
    STRENGTH,
    TREATED_TIMBER,
)
from service.wire.writing.orders import write_plans
from service.wire.writing.pen import Pen
from tests.core.builders import SURFACE, rectangle
from tests.core.builders import deck as plain_deck

from .documents import kit, problems, reply, small


@pytest.mark.parametrize(
    ("decimals", "bound", "written"),
    [
        (2, 2000.0, "20.00"),
        (2, 1999.25, "20.00"),
        (2, 1998.75, "19.99"),
        (0, 1999.25, "2000"),
        (3, 1999.25, "2.000"),
    ],
)
def test_a_bound_in_money_is_a_sum_that_can_be_paid(
    decimals: int, bound: float, written: str
) -> None:
    """No plan costs less than 19.9925, and none costs a part of a cent: the bound is 20.00."""
    row = StickRow(48.0, 1, (43.5,), 4.375, on_hand=False)
    nothing = Decimal(0).scaleb(-decimals)
    cost = Decimal(2000).scaleb(-decimals)
    plan = PartPlan("top_rail_picket", (row,), 48.0, 43.5, cost, bound, True, (), 47.5)
    prices = Prices("USD", decimals, Decimal(0), {})
    order = Order((plan,), (), Quote(prices, (), nothing, nothing, nothing, ()))
    (found,) = write_plans(Pen(plain_deck(rectangle(60, 48)), SURFACE), order)
    assert found["lower_bound"] == written


@pytest.mark.parametrize("stock", [148.8125, 162.3125, 198.1875])
def test_what_is_proven_the_least_is_written_as_what_is_bought(stock: float) -> None:
    """One top rail of some 1.5 m is cut from one of the kit's sticks. In mm the three sticks are
    3779.8375, 4122.7375 and 5033.9625 long, half-way between two thousandths: whichever of the two
    is written as bought, the bound is written the same."""
    level = {
        "id": "main",
        "outline": {"points": [[0, 0], [1500, 0], [1500, 2400], [0, 2400]]},
        "edges": [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)],
    }
    own = kit()
    own["rails"]["picket"]["top"]["stock"] = [stock]
    own["parts"]["top_rail_picket"].pop("sizes")
    (plan, _) = reply(small(unit="mm", kit=own, levels=[level]))["stock_plan"]
    assert plan["optimal"]
    assert abs(plan["bought"] - stock * 25.4) < 0.0006
    assert plan["lower_bound"] == plan["bought"]


def between_walls(**members: Any) -> Any:
    """A deck with glass between walls that are 112 1/4 in apart from face to face, and nothing
    else.

    Two bays of at most 60 and a post of 2 1/4: B1 and B2, 55 clear each.
    """
    level = {
        "id": "main",
        "drop": 48,
        "outline": {"points": [[0, 0], [112.25, 0], [112.25, 96], [0, 96]]},
        "edges": [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)],
    }
    return small(levels=[level], guard={"infill": "glass", "height": 36}, **members)


def flight(infill: str) -> Any:
    """The rectangular deck in glass, with a flight down from it that has guards of this infill."""
    document = small(guard={"infill": "glass", "height": 36})
    document["levels"][0]["openings"] = [
        {"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    ]
    stair = {"id": "front", "opening": "main/steps", "rise": 48, "risers": 7, "going": 10.5}
    document["stairs"] = [{**stair, "guards": ["left"], "infill": infill}]
    return document


def told(document: Any) -> tuple[bool, bool, bool, bool]:
    """Whether a reply has the cautions on glass, on raked panels, on measuring again and on
    strength."""
    said = reply(document)["cautions"]
    assert len(said) == len(set(said))
    return GLASS in said, RAKED_GLASS in said, MEASURE_AGAIN in said, STRENGTH in said


def test_raked_glass_is_warned_of_where_a_panel_is_raked() -> None:
    """The caution is not given where the glass is level and the flight has pickets, nor where there
    is no flight."""
    assert told(flight("glass")) == (True, True, True, True)
    assert told(flight("picket")) == (True, False, True, True)
    assert told(small()) == (False, False, False, True)


def test_to_measure_again_is_said_until_every_panel_was() -> None:
    """A deck with two panels has the caution while one of them is cut from the drawing, as that one
    may not fit."""
    one = {"bay": "B1", "clear_top": 55, "clear_bottom": 54.9375}
    other = {"bay": "B2", "clear_top": 54.875, "clear_bottom": 55}
    assert told(between_walls()) == (True, False, True, True)
    assert told(between_walls(site_measures=[one])) == (True, False, True, True)
    assert told(between_walls(site_measures=[one, other])) == (True, False, False, True)


@pytest.mark.parametrize(
    ("code", "use", "said"),
    [
        # Higher guards are asked of shared decks: NBC 9.8.8.3.(1), F4/AS1 Table 1.
        ("ca-nbc-2020", None, "was read for one dwelling's deck, not a shared deck"),
        ("nz-f4-as1", None, "was read for one dwelling's deck, not a shared deck"),
        # IBC 1015.3, exception 1: 36 in for a dwelling, else 42.
        ("us-ibc-2021", None, "was read for a shared deck, not one dwelling's deck"),
        # 1607.9.1, exception 1: one- and two-family dwellings, which are dwellings by 1015.3.
        (
            "us-ibc-2021",
            "dwelling",
            "was read for one dwelling's deck, not that of a house of no more than two",
        ),
        (
            "us-ibc-2021",
            "house",
            "was read for the deck of one dwelling in a house of no more than two",
        ),
        ("ca-nbc-2020", "house", "was read for one dwelling's deck"),
        ("gb-eng-adk-2013", "shared", "was read for a shared deck"),
        ("gb-eng-adk-2013", "shared_by_two", "was read for a shared deck"),
        (
            "ca-nbc-2020",
            "shared_by_two",
            "was read for a deck that two dwellings share and nobody else",
        ),
        (
            "ca-nbc-2020",
            "shared",
            "was read for a shared deck, not one that two dwellings share and nobody else",
        ),
        # Only its loads differ for a shared deck.
        ("au-ncc-2022", None, "was read for one dwelling's deck, not a shared deck"),
        # R312 has one figure for every use.
        ("us-irc-2021", None, None),
    ],
)
def test_the_use_that_a_code_was_read_for_is_said(
    code: str, use: str | None, said: str | None
) -> None:
    """Where a code has other figures for another use, a caution says which use it was read for, so
    that no pass is taken to hold for the other use."""
    asked = small(code=code) if use is None else small(code=code, occupancy=use)
    told = [caution for caution in reply(asked)["cautions"] if "ccupancy" in caution]
    given = "No occupancy is given:" if use is None else "By the occupancy that is given,"
    assert told == ([] if said is None else [f"{given} the code {said}."])


@pytest.mark.parametrize(
    ("code", "use", "said"),
    [
        ("us-irc-2021", "shared", True),  # of one- and two-family dwellings and townhouses
        ("au-ncc-2022", "shared", True),  # of houses: class 1 and 10
        ("us-irc-2021", "shared_by_two", True),
        ("us-irc-2021", "dwelling", False),
        ("au-ncc-2022", "dwelling", False),
        ("ca-nbc-2020", "shared_by_two", False),
        ("us-ibc-2021", "shared", False),
    ],
)
def test_a_code_of_houses_for_a_shared_deck_is_told(code: str, use: str, said: bool) -> None:
    """A code that is not for shared decks passes what another code would not, so a caution says
    it."""
    assert (SHARED in reply(small(code=code, occupancy=use))["cautions"]) == said


def test_treated_timber_is_warned_of_where_a_post_stands() -> None:
    """Copper in treated timber corrodes aluminium (facts on engineering, section 7). A bay of 60 in
    from wall to wall needs no post, has no base on timber, and so has no such caution."""
    assert TREATED_TIMBER in reply(small())["cautions"]
    edges = [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)]
    points = [[0, 0], [60, 0], [60, 96], [0, 96]]
    level = {"id": "main", "drop": 48, "outline": {"points": points}, "edges": edges}
    held = reply(small(levels=[level]))
    assert (held["posts"], len(held["bays"])) == ([], 1)
    assert TREATED_TIMBER not in held["cautions"]


def test_the_strength_is_warned_of_where_the_kit_gives_it() -> None:
    """A kit without `strength` has no finding on strength, and no caution about one."""
    document = kit()
    del document["strength"]
    assert told(small(kit=document)) == (False, False, False, False)


def metric(kit: str, **price: Any) -> Any:
    """A deck of one bay of pickets, 1508 mm from wall to wall, with this price of its top rail."""
    level = {
        "id": "main",
        "drop": 1200,
        "outline": {"points": [[0, 0], [1508, 0], [1508, 1200], [0, 1200]]},
        "edges": [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)],
    }
    prices = {"currency": "GBP", "parts": {"top_rail_picket": price}}
    return small(unit="mm", kit=kit, levels=[level], prices=prices)


def test_a_price_by_the_metre() -> None:
    """1508 mm less 4 at each wall is a top rail of 1500 mm, 1.5 m at 10.00."""
    for price, total in (("10.00", "15.00"), ("0.10", "0.15")):
        document = metric("glass-picket-surface-mm", per_length=price)
        assert reply(document)["quote"]["total"] == total


@pytest.mark.parametrize(
    ("role", "price", "member"),
    [
        ("post_line", {"per_area": "1.00"}, "per_area"),
        ("glass_panel", {"per_length": "1.00"}, "per_length"),
        ("post_line", {"each": "1.00", "least": "5.00"}, "least"),
        ("top_rail_picket", {"per_stick": {"150": "1.00"}, "waste": "0.1"}, "waste"),
        ("post_line", {"each": "1.00", "cutting": "0.50"}, "cutting"),
    ],
)
def test_a_price_of_another_kind_is_refused(role: str, price: Any, member: str) -> None:
    """A post has no area, glass is sold by its own area, a least charge goes with a price by length
    or area, the price of whole sticks holds their waste, and no post is in the cut list."""
    prices = {"currency": "USD", "parts": {role: price}}
    kind, (problem,) = problems(small(prices=prices))
    assert (kind, problem.code) == (Unbuildable, "price_of_other_kind")
    assert problem.pointer == f"/prices/parts/{role}/{member}"


def test_prices_and_sticks_of_rails_that_another_kit_has_change_nothing() -> None:
    """A yard's list of prices is for all its kits, so a kit without glass may be sent with the
    price of a rail that it has not. Nor does a variant by that kit mind the stick on hand."""
    own = kit()
    del own["glass"], own["rails"]["glass"], own["max_centres"]["glass"], own["strength"]
    own["parts"] = {}
    prices = {"currency": "USD", "parts": {"top_rail_glass": {"per_stick": {"150": "1.00"}}}}
    assert reply(small(kit=own, prices=prices))["quote"]["total"] == "0.00"
    held = [{"part": "top_rail_glass", "length": 100, "count": 1}]
    asked = small(stock_on_hand=held, compare=[{"label": "plain", "kit": own}])
    (variant,) = reply(asked)["comparison"]
    assert "posts" in variant


def test_sticks_are_priced_by_their_lengths_as_the_kit_writes_them() -> None:
    """The keys of the prices are lengths in inches, as the kit writes them, whatever the unit of
    the deck (contract, section 1): one stick of 150 is enough."""
    sticks = {"150": "10.00", "198": "12.00"}
    document = metric("picket-glass-surface-in", per_stick=sticks)
    assert reply(document)["quote"]["total"] == "10.00"


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (
            "us-irc-2021",
            "safety glass (IRC 2021 R308.4.4); all glass in guards and railings is in a hazardous "
            "place: safety glazing, and marked (IRC 2021 R308.4.4)",
        ),
        ("au-ncc-2022", "AS 1288:2021 (Housing Provisions 2022, 8.4 and 11.3)"),
    ],
)
def test_a_make_that_holds_everywhere_is_in_the_glass_order(code: str, words: str) -> None:
    """The IRC has one make of glass for all panels; the NCC has another beyond a drop of 5 m, so
    that the order names its standard alone. The words are the code files' own."""
    (panel,) = reply(between_walls(code=code))["glass_order"]
    assert panel["safety_glazing"] == words


@pytest.mark.parametrize(
    ("currency", "price", "says"),
    [
        ("USD", "61.505", '"61.505" has more decimals than the 2 of USD: send for example 61.51.'),
        ("JPY", "61.4", '"61.4" has more decimals than the 0 of JPY: send for example 61.'),
        ("IQD", "1.2345", '"1.2345" has more decimals than the 3 of IQD: send for example 1.235.'),
    ],
)
def test_a_price_of_too_many_decimals_is_told_one_that_is_taken(
    currency: str, price: str, says: str
) -> None:
    """The refusal gives a price that is accepted: a yen has no smaller unit, a dollar has cents and
    an Iraqi dinar thousandths (ISO 4217); a half goes upward."""
    parts = {"post_line": {"each": price}}
    kind, (told,) = problems(small(prices={"currency": currency, "parts": parts}))
    assert kind is Unbuildable
    assert (told.code, told.message) == ("too_many_decimals", says)
