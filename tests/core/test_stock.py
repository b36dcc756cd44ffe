"""The stock plan against instances of known optimum, an independent solver and its own laws."""

from __future__ import annotations

import json
import math
from collections import Counter
from decimal import Decimal
from pathlib import Path
from typing import Any

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.core.stock import NoPlan, Plan, Stick, plan_sticks
from tests.bounded import LONG

HERE = Path(__file__).resolve().parent
COPIED = json.loads((HERE.parent / "data" / "cutting_stock.json").read_text("utf-8"))
SHARED = HERE.parents[2] / "shared" / "data" / "cutting_stock" / "instances.json"
BEYOND = {"scholl_3", "hard28"}
"""Families that no deck is like: 160 pieces and more, of nearly as many lengths."""

Instance = dict[str, Any]


def published() -> list[Instance]:
    """Instances that may not be copied: read where they lie, none where they are missing."""
    if not SHARED.exists():
        return []
    known = {one["name"] for one in COPIED}
    return [one for one in json.loads(SHARED.read_text("utf-8")) if one["name"] not in known]


def planned(instance: Instance, effort: str) -> Plan:
    """The plan of an instance, checked to hold every piece within its sticks."""
    pieces = {length: count for length, count in instance["pieces"]}
    sticks = [Stick(one["length"], one.get("cost")) for one in instance["stock"]]
    plan = plan_sticks(pieces, sticks, instance["kerf"], effort=effort)
    check(plan, pieces, instance["kerf"])
    return plan


def check(plan: Plan, pieces: dict[Any, int], kerf: float, trim: float = 0.0) -> None:
    """Assert that every piece is cut once, and that each stick's pieces fit its length with a kerf
    between each two."""
    cut: Counter[float] = Counter()
    for length, held, count in plan.sticks:
        assert sum(held) + kerf * (len(held) - 1) <= length - trim + 1e-6
        for piece in held:
            cut[piece] += count
    assert cut == Counter({length: count for length, count in pieces.items() if count})
    assert plan.lower_bound <= plan.bought + 1e-9
    assert plan.optimal == (plan.lower_bound == plan.bought)


def objective(instance: Instance, plan: Plan) -> float:
    """Value of a plan in the measure of the instance's optimum: bars, stock length or cost."""
    if instance["optimum"]["objective"] == "bars":
        return sum(count for *_, count in plan.sticks)
    if instance["optimum"]["objective"] == "stock length":
        return sum(length * count for length, _, count in plan.sticks)
    costs = {one["length"]: one["cost"] for one in instance["stock"]}
    return float(sum(costs[length] * count for length, _, count in plan.sticks))


@pytest.mark.parametrize("instance", COPIED, ids=lambda one: one["name"])
@pytest.mark.parametrize("effort", ["ordinary", "thorough"])
def test_textbook_and_deck_like_instances(instance: Instance, effort: str) -> None:
    """No plan is below the known optimum, and the thorough effort proves each instance.

    The instances are worked examples of books and courses (sources in the instances' notes: Chvatal
    1983, the AMPL book, Gilmore and Gomory 1961 from memory), and sizes of this trade with several
    stock lengths and a kerf.
    """
    plan = planned(instance, effort)
    value = objective(instance, plan)
    assert value >= instance["optimum"]["value"] - 1e-9
    if plan.optimal or effort == "thorough":
        assert plan.optimal
        assert value == pytest.approx(instance["optimum"]["value"], abs=1e-6)


@pytest.mark.skipif(not SHARED.exists(), reason="the published instances are not beside this tree")
@pytest.mark.parametrize(
    "instance",
    [one for one in published() if one["family"] not in BEYOND],
    ids=lambda one: one["name"],
)
def test_published_instances_are_proven(instance: Instance) -> None:
    """The thorough effort proves the published instances of bars of one length.

    Falkenauer 1996, Scholl and others 1997, Schwerin and Waescher 1997, Waescher and Gau 1996; each
    optimum is from the literature.
    """
    plan = planned(instance, "thorough")
    assert plan.optimal
    assert objective(instance, plan) == instance["optimum"]["value"]


@pytest.mark.skipif(not SHARED.exists(), reason="the published instances are not beside this tree")
@pytest.mark.parametrize("instance", published(), ids=lambda one: one["name"])
def test_the_ordinary_effort_claims_nothing_wrong(instance: Instance) -> None:
    """The plan is never below the known optimum, its bound never above it, and no proof is
    false."""
    plan = planned(instance, "ordinary")
    value, optimum = objective(instance, plan), instance["optimum"]["value"]
    assert value >= optimum
    assert not plan.optimal or value == optimum
    assert plan.lower_bound <= optimum * instance["stock"][0]["length"] + 1e-6


@pytest.mark.skipif(not LONG, reason="a minute and more: the long run has it")
@pytest.mark.skipif(not SHARED.exists(), reason="the published instances are not beside this tree")
@pytest.mark.parametrize(
    "instance",
    [one for one in published() if one["family"] in BEYOND],
    ids=lambda one: one["name"],
)
def test_beyond_a_decks_kind_a_plan_is_at_most_one_stick_over(instance: Instance) -> None:
    """Of Scholl and others' third set and Schoenfield's hard ones, a plan may end unproven, but is
    at most one stick over the optimum and never claims a false proof."""
    plan = planned(instance, "thorough")
    value, optimum = objective(instance, plan), instance["optimum"]["value"]
    assert value <= optimum + 1
    assert not plan.optimal or value == optimum
    assert plan.lower_bound <= optimum * instance["stock"][0]["length"] + 1e-6


# Sums of a person with a calculator


def test_pieces_of_a_bar() -> None:
    """A bar holds as many pieces as the kerfs between them allow.

    Facts on engineering, section 8: 240 in holds 4 of 48 in with a kerf of 1/8, not 5; and 5 of
    47.5; 6000 mm holds 5 of 1196 mm with 3 mm, and 4 of 1200.
    """
    for bar, piece, kerf, most in (
        (240, 48, 0.125, 4),
        (240, 47.5, 0.125, 5),
        (288, 72, 0.125, 3),
        (6000, 1196, 3, 5),
        (6000, 1200, 3, 4),
    ):
        plan = plan_sticks({piece: 20}, [Stick(bar)], kerf)
        assert plan.optimal
        assert sum(count for *_, count in plan.sticks) == math.ceil(20 / most)


def test_the_last_piece_may_end_at_the_end_of_the_bar() -> None:
    """Kerfs count between pieces only: 3 x 63.9167 + 2 x 1/8 = 192 goes into 192."""
    plan = plan_sticks({63.9166666: 3}, [Stick(192)], 0.125)
    assert plan.bought == 192
    with pytest.raises(NoPlan):
        plan_sticks({192.001: 1}, [Stick(192)], 0.125)


def test_a_trim_is_taken_off_every_stick() -> None:
    """144 less a trim of 1 in holds 143: two of 71.4375 and a kerf of 1/8 make 143; of 71.5 only
    one fits."""
    assert plan_sticks({71.4375: 2}, [Stick(144)], 0.125, 1.0).bought == 144
    assert plan_sticks({71.5: 2}, [Stick(144)], 0.125, 1.0).bought == 288


def test_a_kerf_wider_than_a_piece() -> None:
    """Pieces of 1 with a kerf of 2: n + 2(n - 1) <= 10 gives 4 a stick, so nine take three
    sticks."""
    plan = plan_sticks({1: 9}, [Stick(10)], 2)
    assert (plan.bought, plan.optimal) == (30, True)


def test_prices_go_before_lengths() -> None:
    """The cheaper plan is taken: two pieces of 70 come from one stick of 192 at 50.00, or from two
    of 96 at 20.00 each, which is less."""
    plan = plan_sticks({70: 2}, [Stick(192, Decimal("50.00")), Stick(96, Decimal("20.00"))], 0.125)
    assert (plan.bought, plan.optimal) == (40, True)
    assert plan.sticks == ((96, (70,), 2),)


def test_of_plans_that_cost_alike_the_one_with_fewest_sticks() -> None:
    """Two of 90 come from one stick of 192 or two of 96, 192 bought either way: the one stick is
    taken."""
    assert plan_sticks({90: 2}, [Stick(96), Stick(192)], 0.125).sticks == ((192, (90, 90), 1),)


def test_what_is_on_hand_is_used_first_and_counts_nothing() -> None:
    """Two sticks of 88 in on hand hold two of the three pieces of 80; one stick of 144 is
    bought."""
    plan = plan_sticks({80: 3}, [Stick(88, 0, 2), Stick(144, 144)], 0.125)
    assert (plan.bought, plan.lower_bound, plan.optimal) == (144, 144, True)
    assert plan.sticks == ((144, (80,), 1), (88, (80,), 2))


def test_limits_are_kept() -> None:
    """The number of sticks of a length is kept: the one of 192 holds two of 90, and the third goes
    into 144."""
    plan = plan_sticks({90: 3}, [Stick(192, None, 1), Stick(144)], 0.125)
    assert plan.sticks == ((192, (90, 90), 1), (144, (90,), 1))
    with pytest.raises(NoPlan, match="too few"):
        plan_sticks({90: 3}, [Stick(192, None, 1)], 0.125)


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ({"pieces": {0: 1}}, "above 0"),
        ({"pieces": {5: -1}}, "0 or more"),
        ({"stock": [Stick(-1)]}, "above 0"),
        ({"stock": [Stick(9, -2)]}, "costs are 0"),
        ({"kerf": -0.1}, "kerf"),
        ({"kerf": math.nan}, "kerf"),
        ({"trim": math.inf}, "trim"),
        ({"effort": "quick"}, "effort"),
        ({"pieces": {10: 1}}, "longer than every stick"),
        ({"stock": []}, "longer than every stick"),
    ],
)
def test_what_is_no_job_is_refused(bad: dict[str, Any], said: str) -> None:
    """Each fault of a job is refused in words that name it."""
    asked: dict[str, Any] = {"pieces": {5: 1}, "stock": [Stick(9)], "kerf": 0.1, **bad}
    with pytest.raises(ValueError, match=said):
        plan_sticks(**asked)


# An independent solver


def arc_flow(pieces: dict[int, int], bars: list[int], kerf: int) -> int:
    """The least length bought, by arc flow (Valerio de Carvalho 1999) on HiGHS.

    A bar is a path from 0 to its length and a kerf; pieces and waste are the arcs of the path.
    """
    most = max(bars) + kerf
    arcs = {(at, at + 1, 0) for at in range(most)}
    arcs |= {(at, at + p + kerf, p) for p in pieces for at in range(most - p - kerf + 1)}
    order = sorted(arcs)
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    flows = {arc: model.addVariable(0, sum(pieces.values()) * most) for arc in order}
    used = {bar: model.addVariable(0, sum(pieces.values()), obj=bar) for bar in bars}
    for column in [*flows.values(), *used.values()]:
        model.changeColIntegrality(column.index, highspy.HighsVarType.kInteger)
    into: dict[int, list[Any]] = {}
    out: dict[int, list[Any]] = {}
    for arc, flow in flows.items():
        out.setdefault(arc[0], []).append(flow)
        into.setdefault(arc[1], []).append(flow)
    for at in range(1, most + 1):
        ends = sum(used[bar] for bar in bars if bar + kerf == at)
        model.addConstr(sum(into.get(at, [])) - sum(out.get(at, [])) - ends == 0)
    model.addConstr(sum(out[0]) - sum(used.values()) == 0)
    for piece, count in pieces.items():
        model.addConstr(sum(flow for arc, flow in flows.items() if arc[2] == piece) >= count)
    model.run()
    assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(model.getInfo().objective_function_value)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    st.dictionaries(st.integers(5, 30), st.integers(1, 5), min_size=1, max_size=5),
    st.lists(st.integers(30, 60), min_size=1, max_size=3, unique=True),
    st.integers(0, 2),
)
def test_a_general_solver_finds_the_same(
    pieces: dict[int, int], bars: list[int], kerf: int
) -> None:
    """Small random jobs have the same optimum as HiGHS finds by solving them as a flow."""
    asked: dict[float, int] = {length: count for length, count in pieces.items()}
    plan = plan_sticks(asked, [Stick(bar) for bar in bars], kerf)
    check(plan, pieces, kerf)
    assert plan.optimal
    assert plan.bought == arc_flow(pieces, bars, kerf)


# Laws

JOBS = st.tuples(
    st.dictionaries(st.integers(80, 1500), st.integers(1, 8), min_size=1, max_size=12),
    st.lists(st.integers(1500, 4000), min_size=1, max_size=3, unique=True),
    st.sampled_from([0, 2, 3]),
)
"""Pieces, sticks and kerf, in sixteenths or millimetres."""


@settings(max_examples=60, deadline=None, derandomize=True)
@given(JOBS, st.integers(1500, 4000))
def test_more_stock_lengths_never_cost_more(job: Any, more: int) -> None:
    """One stock length more does not raise what is bought; where that is unproven, the bound shows
    it."""
    pieces, bars, kerf = job
    few = plan_sticks(pieces, [Stick(bar) for bar in bars], kerf, effort="ordinary")
    many = plan_sticks(pieces, [Stick(bar) for bar in {*bars, more}], kerf, effort="ordinary")
    check(few, pieces, kerf)
    check(many, pieces, kerf)
    assert many.lower_bound <= few.bought
    if many.optimal:
        assert many.bought <= few.bought


@settings(max_examples=60, deadline=None, derandomize=True)
@given(JOBS, st.randoms(use_true_random=False))
def test_the_order_of_pieces_and_sticks_never_matters(job: Any, chance: Any) -> None:
    """The order of a mapping's pieces and of a list's sticks does not change the plan."""
    pieces, bars, kerf = job
    mixed, sticks = list(pieces.items()), [Stick(bar) for bar in bars]
    one = plan_sticks(pieces, sticks, kerf, effort="ordinary")
    chance.shuffle(mixed)
    chance.shuffle(sticks)
    assert plan_sticks(dict(mixed), sticks, kerf, effort="ordinary") == one


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.lists(st.integers(1, 9), min_size=1, max_size=4), min_size=1, max_size=12))
def test_perfect_packings_are_found(parts: list[list[int]]) -> None:
    """The pieces of bars of 1000, divided with nothing left over, are packed into as many bars."""
    pieces: Counter[float] = Counter()
    for shares in parts:
        cuts = [1000 * share // sum(shares) for share in shares[:-1]]
        for length in [*cuts, 1000 - sum(cuts)]:
            pieces[length] += 1
    plan = plan_sticks(pieces, [Stick(1000)], 0)
    assert (plan.bought, plan.optimal) == (1000 * len(parts), True)


def test_the_same_in_inches_and_in_any_finer_unit() -> None:
    """Lengths in inches and the same lengths as whole sixteenths come to the same plan."""
    pieces = {55.5: 7, 40.4375: 5, 23.0625: 9}
    inches = plan_sticks(pieces, [Stick(192), Stick(144)], 0.125)
    whole = plan_sticks(
        {round(length * 16): n for length, n in pieces.items()}, [Stick(3072), Stick(2304)], 2
    )
    assert inches.bought * 16 == whole.bought


@pytest.mark.parametrize("effort", ["ordinary", "thorough"])
@pytest.mark.parametrize("trim", [0.0, 0.25, 0.5])
def test_sticks_on_hand_that_hold_everything_cost_nothing(effort: str, trim: float) -> None:
    """37 pieces of 1,653 in go into 33 sticks of 100 that cost nothing: nothing is bought, and that
    is proven."""
    counts = {32.1875: 3, 48.25: 3, 42.875: 1, 53.4375: 4, 51.9375: 4, 40.875: 8, 22.4375: 5}
    stock = [Stick(144.0), Stick(100.0, 0, 33)]
    plan = plan_sticks({**counts, 55.25: 5}, stock, 0.125, trim, effort)
    assert (plan.bought, plan.lower_bound, plan.optimal) == (0, 0, True)
