"""Strength findings of small layouts: which load governs, what is missing, what is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.core.measure import MM_PER_IN, N_PER_LBF, Length, Unit
from service.core.records.code import Code
from service.core.records.deck import Site
from service.core.records.kit import Base, HandrailKit, Kit, Mounting, Pane, Stock
from service.core.records.layout import Handrail, Role
from service.core.records.strength import Fixing, FixingKind, GlassMake, Member, Shape, Timber
from service.rules.finding import Finding
from service.rules.strength.loads import hardest_push, usual_loads

from .small import (
    ADK,
    IRC,
    Parts,
    amended,
    bay,
    code_with,
    flight,
    gate,
    glass,
    glass_bay,
    kit,
    pickets,
    post,
)
from .strong import LAG, PLAIN, RAILS, STRONG, TUBE, loads, ratio, said, spans, strong_kit, worst

STRENGTH_RULES = ("strength_post", "strength_rail", "strength_infill", "strength_base")
IBC = loads(guard_line_load=50.0, guard_point_load=200.0)
BLOCK = Member("6063", "T6", modulus=12380.4, moment=371412.0, welded=False)
NBC = loads("mm", guard_line_load=0.5, guard_point_load=1000.0)
BALCONY = loads("mm", guard_line_load=0.75, guard_point_load=600.0)
INSIDE = loads("mm", guard_line_load=0.35, guard_point_load=600.0)


@pytest.mark.parametrize(
    ("code", "unit", "spacing", "expected", "governs"),
    [
        (IBC, "in", 72.0, 300.0, "line"),  # case 56: 50 x 6
        (IBC, "in", 36.0, 200.0, "point"),  # case 57: 150 < 200
        (IRC, "in", 72.0, 200.0, "point"),  # case 58: no line load
        (NBC, "mm", 1800.0, 1000.0, "point"),  # case 59: 0.5 x 1.8 = 0.9 < 1.0 kN
        (BALCONY, "mm", 1500.0, 1125.0, "line"),  # case 60: 0.75 x 1.5 > 0.6
        (INSIDE, "mm", 1500.0, 600.0, "point"),  # case 61: 0.35 x 1.5 = 0.525
    ],
    ids=[f"case {n}" for n in range(56, 62)],
)
def test_the_load_that_governs_at_a_post(
    code: Code, unit: Unit, spacing: float, expected: float, governs: str
) -> None:
    """The greater of the code's point and line loads governs at the top of a post, in lbf or N:
    check cases 56 to 61 of the facts on codes, section 9."""
    found = usual_loads(code, unit)
    assert found is not None
    worst = hardest_push(found, spacing, 1000.0, 1000.0)
    assert worst is not None
    assert worst.force == pytest.approx(expected)
    assert worst.words.startswith(f"the {governs} load")


def test_point_and_line_are_separate_cases_unless_the_code_has_them_together() -> None:
    """Taken apart, the post's worst load is 200 lbf or 300 lbf; taken together, 500 lbf; each acts
    at 42 in on a section modulus S of 0.8955729 in3."""
    modulus = (2.5**4 - 2.25**4) / 15
    apart = said("strength_post", IBC, **spans(72.0))
    assert worst(apart) == pytest.approx(300 * 42 / modulus, abs=1e-4)
    both = loads(guard_line_load=50.0, guard_point_load=200.0, loads_concur="together")
    together = said("strength_post", both, **spans(72.0))
    assert worst(together) == pytest.approx(500 * 42 / modulus, abs=1e-4)
    assert together[0].case is not None
    assert " with the line load" in together[0].case
    rail = said("strength_rail", both, **spans(72.0))
    bends = max(f.actual for f in rail if f.unit == "psi" and isinstance(f.actual, float))
    across = (1.5 * 2**3 - 1.25 * 1.75**3) / 12  # of the rail's tube, 2 in wide and 1.5 in deep
    assert bends == pytest.approx((3600 + 2700) / across, abs=1e-4)


def test_the_infills_load_comes_to_a_post_by_its_top_rail() -> None:
    """The infill's point load reaches a post through its top rail, as a case of its own.

    Facts on codes, 4.2: 500 N on the infill and 0.74 kN/m along the top are separate cases. An end
    post takes 370 N of the line load, over half of 1000 mm; a picket beside the post brings 500 N
    to its top. At 1100 mm, with the factor of 1.5, this is 825 000 N mm over 12 380.4 mm3, 66.638
    MPa; on a lever of 100 mm, shared by two fixings, it is a pull of 4125 N. The middle post takes
    740 N of the line load: 1 221 000 N mm, 98.624 MPa. The end post moves 500 x 1100^3/(3 x 70 000
    x 371 412) = 8.5324 mm, the middle one under 740 N 12.628.
    """
    code = loads("mm", guard_line_load=0.74, infill_point_load=500.0)
    tube = Member("6063", "T6", modulus=12380.4, moment=371412.0, welded=False)
    bolt = Fixing("through_bolt", 10.0, 2, lever=100.0, capacity=12000.0)
    with_kit = strong_kit(post=tube, fixing=bolt)
    parts = spans(1000.0, 1100.0, "mm")
    (bends, moves) = said("strength_post", code, with_kit, "mm", **parts)
    assert (bends.actual, moves.actual) == pytest.approx((98.624, 12.628), abs=2e-3)
    ends: Parts = {"posts": parts["posts"][:2], "bays": parts["bays"][:1]}
    (bends, moves) = said("strength_post", code, with_kit, "mm", **ends)
    assert (bends.actual, moves.actual) == pytest.approx((66.638, 8.5324), abs=1e-3)
    assert bends.case == "1.5 times the infill's load of 500 N at the top"
    (pull,) = said("strength_base", code, with_kit, "mm", **ends)
    assert pull.actual == pytest.approx(4125.0)
    lone: Parts = {"posts": parts["posts"][:1], "bays": ()}  # no infill comes to it, and no rail
    (bends, _) = said("strength_post", code, with_kit, "mm", **lone)
    assert bends.actual == 0.0


def test_the_load_all_over_the_infill_of_a_tall_guard() -> None:
    """The pressure on the infill of a tall guard governs over the line load along its top.

    Facts on codes, 5.2: 0.75 kN/m along the top, or 1 kPa on the infill, which is the greater over
    1800 mm. The middle of three posts takes 0.001 x 1800 x 1500 = 2700 N at 900 mm; with the factor
    of 1.5 this is 3 645 000 N mm over 12 380.4 mm3, 294.417 MPa (0.75 x 1500 at 1800 gives 245.3).
    For a fascia post held 100 mm below the surface, with a lever of 100, the moment 1.5 x 2700 x
    1000 at the fixing gives 327.130 MPa, and each fixing is pulled with 1.5 x 2700 x 1100/100/2 =
    22 275 N. The top rail takes half of the pressure on 1792 mm of picket: 0.896 x 1500^2/8 = 252
    000, with the factor over 9000 mm3 42 MPa.
    """
    code = loads("mm", guard_line_load=0.75, infill_pressure=1.0)
    tube = Member("6063", "T6", modulus=12380.4, moment=371412.0, welded=False)
    rail = Member("6063", "T6", modulus=9000.0, moment=3e5)
    bolt = Fixing("through_bolt", 10.0, 2, lever=100.0, below=100.0, capacity=12000.0)
    with_kit = strong_kit(post=tube, fixing=bolt, rails={**RAILS, "top_rail_picket": rail})
    parts = spans(1500.0, 1800.0, "mm")
    stress = _greatest(said("strength_post", code, with_kit, "mm", **parts), "MPa")
    assert stress == pytest.approx(294.417, abs=1e-3)
    hung = replace(with_kit, mounting="fascia")
    stress = _greatest(said("strength_post", code, hung, "mm", **parts), "MPa")
    assert stress == pytest.approx(327.13, abs=1e-3)
    pull = _greatest(said("strength_base", code, hung, "mm", **parts), "N")
    assert pull == pytest.approx(22275.0)
    (bends,) = [f for f in _of_top_rails(code, with_kit, parts) if f.unit == "MPa"]
    assert bends.actual == pytest.approx(42.0)
    assert bends.case == "1.5 times half of the infill's 1 kPa"


def test_how_far_half_of_the_infills_load_moves_a_top_rail() -> None:
    """Half of the infill's pressure bows a top rail, and the movement of its two posts is added.

    The rail of the test above bows by 5 x 0.896 x 1500^4/(384 x 70 000 x 300 000) = 2.8125 mm. Its
    end post, under 0.896 x 750 = 672 N at 1800 mm, moves by 672 x 1800^3/(3 x 70 000 x 371 412) =
    50.247 mm, the middle one by twice that: a mean of 75.371.
    """
    code = loads("mm", guard_line_load=0.75, infill_pressure=1.0, guard_deflection=100.0)
    tube = Member("6063", "T6", modulus=12380.4, moment=371412.0, welded=False)
    rail = Member("6063", "T6", modulus=9000.0, moment=3e5)
    with_kit = strong_kit(post=tube, rails={**RAILS, "top_rail_picket": rail})
    found = _of_top_rails(code, with_kit, spans(1500.0, 1800.0, "mm"))
    (moves,) = [f for f in found if f.unit == "mm"]
    assert moves.actual == pytest.approx(2.8125 + 75.371, abs=1e-3)
    assert "the mean of its two post tops with it" in str(moves.method)


def _greatest(found: list[Finding], unit: str) -> float:
    return max(float(f.actual) for f in found if f.unit == unit and f.actual is not None)


def _of_top_rails(code: Code, with_kit: Kit, parts: Parts) -> list[Finding]:
    found = said("strength_rail", code, with_kit, "mm", **parts)
    return [f for f in found if "top rail" in f.message]


def test_a_load_that_has_none_to_concur_with_stands_alone() -> None:
    """A code whose loads act together but which states only one of them has that one load act
    alone: 200 lbf at 42 in are 8400 lbf in."""
    alone = loads(guard_point_load=200.0, loads_concur="together")
    (bends,) = [f for f in said("strength_post", alone) if f.unit == "psi"]
    separate = loads(guard_point_load=200.0, loads_concur="separate cases")
    assert bends.actual == worst(said("strength_post", separate))
    assert bends.case is not None
    assert " with " not in bends.case


def test_what_decides_beside_the_loads_is_shown_where_it_is_amended() -> None:
    """Amended figures that decide beside the loads are named in the findings: here the local
    authority takes both loads together, and has its own side of the square that the infill's load
    acts on."""
    code = loads(guard_line_load=50.0, guard_point_load=200.0, loads_concur="separate cases")
    code = replace(code, figures=code.figures | loads(infill_point_load=50.0).figures)
    square = loads(infill_load_side=12.0).figures
    both = replace(code.figures["loads_concur"], name="loads_concur")
    both = replace(both, value="together", amended=True, published="separate cases")
    own = replace(square["infill_load_side"], name="infill_load_side", amended=True, published=6.0)
    code = replace(code, figures=code.figures | {"loads_concur": both, "infill_load_side": own})
    for rule, told in (
        *(("strength_post", "loads_concur is together"), ("strength_base", "loads_concur is")),
        *(("strength_rail", "loads_concur is together"), ("strength_infill", "infill_load_side")),
    ):
        findings = [f for f in said(rule, code) if f.unit in ("psi", "lbf")]
        shown = [f for f in findings if f.amended]
        assert shown, rule
        assert all(told in f.message for f in shown), rule


@pytest.mark.parametrize("rule", ["strength_post", "strength_base"])
def test_a_post_that_is_turned_to_its_rail_is_bent_about_both_axes(rule: str) -> None:
    """A post that is turned to its rail by an angle a is bent about both of its axes.

    At a corner of 45 degrees the post stands half-way, 22.5 off either rail. M cos a about one axis
    and M sin a about the other add up at a corner of the tube and at a fixing in a corner of its
    base: cos 22.5 + sin 22.5 = 0.92388 + 0.38268 = 1.30656 (biaxial bending, from memory). The
    movement of the post's top does not depend on a, as a square tube's I is the same about every
    axis.
    """
    code = loads(guard_point_load=200.0)

    def ratios(skews: tuple[float, float]) -> dict[str | None, float]:
        turned = replace(bay(), skews=skews)
        found = said(rule, code, posts=(post(1, 42.0, 42.0), post(2, 42.0, 42.0)), bays=(turned,))
        assert all("22.5° off square" in f.message for f in found if f.unit != "in") or not any(
            skews
        )
        return {f.unit: f.ratio for f in found if f.ratio is not None}

    square, askew = ratios((0.0, 0.0)), ratios((22.5, 22.5))
    (stressed,) = set(square) - {"in"}
    assert askew[stressed] == pytest.approx(1.30656 * square[stressed], rel=1e-5)
    assert askew.get("in") == square.get("in")


def test_a_post_counts_as_turned_by_the_rail_that_bends_it_most() -> None:
    """A post counts as turned to the rail that bends it most.

    Here either the rail that arrives or the one that leaves is 22.5 off the post's face, and the
    other is square to it. Of rails at 55 and 40 degrees the latter bends the post more, being
    nearer to 45: cos 40 + sin 40 = 0.76604 + 0.64279 = 1.40883, cos 55 + sin 55 = 1.39273.
    """
    code = loads(guard_point_load=200.0)
    posts = tuple(post(i, 42.0, 42.0) for i in (1, 2, 3))

    def turned(*skews: float) -> float:
        bays = bay(1, skews=(0.0, skews[0])), bay(2, skews=(skews[1], 0.0))
        return ratio(said("strength_post", code, posts=posts, bays=bays), "psi")

    square = turned(0.0, 0.0)
    assert turned(22.5, 0.0) == turned(0.0, 22.5) == pytest.approx(1.30656 * square, rel=1e-5)
    assert turned(55.0, 40.0) == turned(40.0, 55.0) == pytest.approx(1.40883 * square, rel=1e-5)
    assert turned(55.0, 0.0) == pytest.approx(1.39273 * square, rel=1e-5)


def test_a_gate_leans_on_its_posts() -> None:
    """Each post of a gate carries half of its leaf: 20 of 40 in, beside 36 in of its bay, 56 in in
    all."""
    line = loads(guard_line_load=60.0)
    posts = (post(1, 42.0, 42.0), post(2, 42.0, 42.0), post(3, 42.0, 42.0))
    finding = said("strength_post", line, posts=posts, gates=(gate(),))[0]
    expected = 60 / 12 * 56 * 42 / ((2.5**4 - 2.25**4) / 15)
    assert finding.actual == pytest.approx(expected, abs=1e-4)


def test_the_same_deck_in_millimetres_uses_the_same_share() -> None:
    """A deck, its kit and its code multiplied by 25.4 give the same ratios, by the US tables:
    ratios do not depend on the unit."""
    mm = MM_PER_IN
    inches = said("strength_post", IBC, **spans(72.0))
    member = replace(TUBE, wall=0.125 * mm)
    metric = replace(
        strong_kit(post=member),
        post=replace(kit().post, width=2.5 * mm),
    )
    code = loads(
        guard_line_load=50 * N_PER_LBF / (12 * mm),
        guard_point_load=200 * N_PER_LBF,
    )
    found = said("strength_post", code, metric, "mm", **spans(72 * mm, 42 * mm, "mm"))
    assert [f.ratio for f in found] == pytest.approx([f.ratio for f in inches], rel=1e-5)
    assert found[0].actual == pytest.approx(14_069.2 * N_PER_LBF / mm**2, abs=0.01)


@pytest.mark.parametrize("kind", ["lag_screw", "wood_screw"])
def test_screws_in_millimetres_use_the_same_share(kind: FixingKind) -> None:
    """A screw of 3/8 in and its load give the same ratio in millimetres and newtons as in inches
    and pounds, in which its formulas are printed."""
    mm = MM_PER_IN

    def screw(inch: Length) -> Kit:
        sizes = [size * inch for size in (5.0, 3.0, 0.21875, 1.5, 4.25)]
        return strong_kit(fixing=Fixing(kind, 0.375 * inch, 2, *sizes))

    inches = said("strength_base", IBC, screw(1.0), **spans(72.0))
    code = loads(guard_line_load=50 * N_PER_LBF / (12 * mm), guard_point_load=200 * N_PER_LBF)
    found = said("strength_base", code, screw(mm), "mm", **spans(72 * mm, 42 * mm, "mm"))
    shares = [f.ratio for f in found if f.unit == "N" and f.ratio is not None]
    assert shares == pytest.approx([f.ratio for f in inches if f.unit == "lbf"], rel=1e-4)
    assert shares


@pytest.mark.parametrize("rule", STRENGTH_RULES)
def test_a_kit_without_strength_is_told_once(rule: str) -> None:
    """A kit without strength gives one finding for each rule, under the kit's id, however many
    posts and bays there are."""
    (finding,) = said(rule, with_kit=kit(), **spans(72.0))
    assert (finding.result, finding.where, finding.severity) == ("not_checked", ("square",), "note")
    assert "give" in finding.message


@pytest.mark.parametrize(
    ("rule", "changes", "wanted"),
    [
        ("strength_post", {"post": None}, "strength.post"),
        ("strength_post", {"post": replace(TUBE, welded=None)}, "strength.post.welded"),
        ("strength_post", {"post": replace(TUBE, shape="other")}, "section_modulus"),
        ("strength_post", {"post": replace(TUBE, temper="T61")}, "6063-T61"),
        ("strength_post", {"post": Member("6005A", "T5", welded=True)}, "section_modulus"),
        (
            "strength_post",
            {"post": Member("6005A", "T5", modulus=1.0, moment=1.0, welded=True)},
            "welded 6005A-T5",
        ),
        ("strength_post", {"post": replace(TUBE, wall=0.05)}, "buckling"),
        (
            "strength_rail",
            {"rails": {"bottom_rail_picket": PLAIN}},
            "strength.top_rail_picket",
        ),
        (
            "strength_rail",
            {"rails": {"top_rail_picket": RAILS["top_rail_picket"]}},
            "strength.bottom_rail_picket",
        ),
        ("strength_infill", {"picket": None}, "strength.picket"),
        ("strength_base", {"fixing": None}, "strength.fixing"),
        ("strength_base", {"fixing": replace(LAG, thread=None)}, "length, thread and side"),
        ("strength_base", {"timber": None}, "timber"),
        ("strength_base", {"timber": Timber(grade="C24")}, "specific_gravity"),
        ("strength_base", {"fixing": Fixing("through_bolt", 0.375, 2)}, "tension_capacity"),
    ],
)
def test_what_is_missing_is_asked_for(rule: str, changes: dict[str, object], wanted: str) -> None:
    """Where the kit lacks a property that a check needs, or the tables do not hold its alloy, the
    rule is not checked, and the message names what to give."""
    missing = [f for f in said(rule, with_kit=strong_kit(**changes)) if f.result == "not_checked"]
    assert len(missing) == 1
    assert wanted in missing[0].message


@pytest.mark.parametrize(
    ("rule", "wanted"),
    [
        ("strength_post", "guard_point_load"),
        ("strength_rail", "guard_point_load"),
        ("strength_rail", "infill_point_load"),
        ("strength_infill", "infill_point_load"),
        ("strength_base", "guard_point_load"),
    ],
)
def test_a_code_without_loads(rule: str, wanted: str) -> None:
    """A finding names the load that the code does not state; where the code does not state its
    strength method, or its load factor, the finding asks for that."""
    assert any(wanted in f.message for f in said(rule, loads()))
    bare = replace(loads(), figures={})
    (finding,) = said(rule, bare)
    assert "strength_method" in finding.message
    half = replace(loads("mm"), figures={"strength_method": loads("mm").figures["strength_method"]})
    assert "load_factor" in said(rule, half)[0].message


def test_a_fascia_post_hangs_below_the_surface() -> None:
    """The arm of a fascia post is longer by the depth of its topmost fixing below the surface;
    without that depth the post is not checked. The post's top moves 200 x 45^3/(3 x 10.1e6 x
    1.11947) = 0.5373 in, and may move a twelfth of 45, 3.75."""
    hung = replace(strong_kit(), mounting="fascia")
    assert [f.result for f in said("strength_post", with_kit=hung)] == ["not_checked"]
    assert [f.result for f in said("strength_base", with_kit=hung)] == ["not_checked"]
    below = strong_kit(fixing=replace(LAG, below=3.0))
    found = said("strength_post", with_kit=replace(below, mounting="fascia"))
    assert ratio(found, "psi") == pytest.approx(0.9673 * 45 / 42, abs=0.0002)
    (moves,) = [f for f in found if f.unit == "in"]
    assert moves.actual == pytest.approx(0.5373, abs=1e-4)
    assert moves.limit == 3.75


def test_the_fixings_of_a_fascia_post_balance_the_load_too() -> None:
    """The fixings of a fascia post take the load beside its moment, as the load runs along them.

    By statics, about the line where the plate bears, z 4.25 below the upper row: T z = 200 (42 + 3
    + 4.25), so T is 2317.65, which is M/z + P = 9000/4.25 + 200. Each of two fixings takes half.
    """
    below = strong_kit(fixing=replace(LAG, below=3.0, lever=4.25))
    found = said("strength_base", with_kit=replace(below, mounting="fascia"))
    (pull,) = [f for f in found if f.unit == "lbf"]
    assert pull.actual == pytest.approx(2317.647 / 2, abs=1e-3)


def test_where_no_lever_is_given_the_far_row_of_fixings_is() -> None:
    """Without a lever arm in the kit, the arm is the distance between the two rows of fixings: 3.35
    in for a 4.75 in plate with fixings 0.7 in from its sides. A single fixing has no second row,
    and the kit is asked for the arm."""
    found = said("strength_base", with_kit=strong_kit(fixing=replace(LAG, lever=None)))
    (pull,) = [f for f in found if f.unit == "lbf"]
    assert pull.actual == pytest.approx(8400 / 3.35 / 2, abs=1e-4)
    single = strong_kit(fixing=replace(LAG, lever=None))
    base = replace(single.post.base, fixings=1)
    alone = replace(single, post=replace(single.post, base=base))
    assert "lever_arm" in said("strength_base", with_kit=alone)[0].message


def pulled(
    fixings: int,
    fixing: Fixing,
    role: Role = "corner",
    skews: tuple[float, float] = (0.0, 0.0),
    flight: str | None = None,
) -> Finding:
    """The worst pull on a fixing of the middle of three posts, 42 high, under 200 lbf: 8400 lb in.

    Its plate is that of the facts on engineering, 5.1: 5 wide, the fixings 0.75 from its sides, in
    rows 3.5 apart. skews: of the rails on its two sides.
    """
    with_kit = strong_kit(fixing=fixing)
    with_kit = replace(with_kit, post=replace(with_kit.post, base=Base(5.0, fixings, 0.75, 0.75)))
    low, high = (post(1, 1.0, 42.0), post(3, 1.0, 42.0)), post(2, 42.0, 42.0)
    bays = bay(1, skews=(0.0, skews[0])), bay(2, skews=(skews[1], 0.0))
    posts = low[0], replace(high, role=role, flight=flight), low[1]
    found = said("strength_base", with_kit=with_kit, posts=posts, bays=bays)
    return max((f for f in found if f.unit == "lbf"), key=lambda f: float(f.actual or 0.0))


@pytest.mark.parametrize(
    ("fixings", "said_to_hold", "lever", "across", "along"),
    [
        # By the kit's count, pushed either way: 8400/(2 x 4.25).
        (4, 2, 4.25, 988.235, 988.235),
        # Pushed along the edge, two of six are 4.25 from where the plate bears, two 2.5 and two
        # 0.75: 8400 x 4.25/(2 x 4.25^2 + 2 x 2.5^2 + 2 x 0.75^2) = 35700/49.75.
        (6, 3, 4.25, 658.824, 717.588),
        # About the far row: 8400/(3 x 3.5), and 8400 x 3.5/(2 x 3.5^2 + 2 x 1.75^2).
        (6, 3, None, 800.0, 960.0),
        (6, 2, 4.25, 988.235, 988.235),
        # Pushed out, the fifth, at the middle of the side toward the deck's edge, hardly holds:
        # 35700/(2 x 4.25^2 + 3 x 0.75^2); along the edge 35700/(2 x 4.25^2 + 2.5^2 + 2 x 0.75^2).
        (5, 3, 4.25, 944.132, 820.690),
        # 35700/(2 x 4.25^2 + 2 x 2.5^2 + 3 x 0.75^2) where the seventh is on the bearing side.
        (7, 3, 4.25, 658.824, 709.565),
        (8, 3, 4.25, 658.824, 658.824),
        # All of four, on average 2.5 from the far edge: 35700/(2 x 4.25^2 + 2 x 0.75^2).
        (4, 4, 2.5, 958.389, 958.389),
        # Pushed the worse way, one of three is far out: 35700/(4.25^2 + 2 x 0.75^2).
        (3, 2, 4.25, 1860.586, 1860.586),
        # Where the ninth and tenth stand is not known: by the kit's count, but along the edge the
        # eight alone, 35700/(3 x 4.25^2 + 2 x 2.5^2 + 3 x 0.75^2).
        (10, 5, 4.25, 395.294, 522.121),
        (1, 1, 2.5, 3360.0, 3360.0),
    ],
)
def test_how_hard_the_fixings_are_pulled_by_their_places(
    fixings: int, said_to_hold: int, lever: float | None, across: float, along: float
) -> None:
    """A rigid plate that turns about the line where it bears pulls at each fixing by its distance d
    from that line: F = M d/(sum of d^2), the handbooks' formula for a group of bolts. A rail along
    the deck's edge pushes a post square to that edge; a rail round a square corner or down a flight
    pushes its post along the edge."""
    fixing = replace(LAG, in_tension=said_to_hold, lever=lever)
    most = max(across, along)
    assert pulled(fixings, fixing, "line").actual == pytest.approx(across, abs=1e-3)
    assert pulled(fixings, fixing, "gate").actual == pytest.approx(across, abs=1e-3)
    assert pulled(fixings, fixing, "corner").actual == pytest.approx(most, abs=1e-3)
    assert pulled(fixings, fixing, "stair").actual == pytest.approx(most, abs=1e-3)


def test_six_fixings_of_a_post_on_a_tread_between_head_and_foot() -> None:
    """The rails of a flight push each of its posts sideways, along the nosing that the base's rows
    of fixings are parallel to: 717.588 lbf, as above, for a post in the middle as for its foot."""
    six = replace(LAG, in_tension=3)
    assert pulled(6, six, "line", flight="down").actual == pytest.approx(717.588, abs=1e-3)


def test_six_fixings_of_a_post_that_is_turned_to_its_rails() -> None:
    """The pulls across and along the edge combine by the angle between the post and its rail.

    They are 658.824 lbf across and 717.588 along, as above. A post half-way at a corner of 45
    degrees is 22.5 off square to both rails: 658.824 cos + 717.588 sin = 883.28. At a corner of 75
    it is square to one rail and 15 off square to the other, on its next face: 717.588 cos + 658.824
    sin = 863.65.
    """
    six = replace(LAG, in_tension=3)
    assert pulled(6, six, skews=(22.5, 22.5)).actual == pytest.approx(883.28, abs=0.01)
    assert pulled(6, six, skews=(0.0, 15.0)).actual == pytest.approx(863.65, abs=0.01)
    assert pulled(6, six, skews=(15.0, 0.0)).actual == pytest.approx(863.65, abs=0.01)


def test_what_is_said_where_the_places_of_fixings_decide() -> None:
    """Where the pull goes by the places of the fixings, the message speaks of the fixing that takes
    the most, not of each of three; the method then gives n and n'."""
    finding = pulled(6, replace(LAG, in_tension=3))
    assert "the fixing that takes the most is pulled with 717.6 lbf" in finding.message
    assert finding.method is not None
    assert finding.method.startswith(
        'T = M/(z n) with z 4 1/4", M about where the plate bears, n = (sum of d^2)/(d z) of the '
        "fixings' distances d from there: 3 where the post is pushed across the edge, n' 2.754 "
        "along it, of a base turned by a to its rail M (cos a/n + sin a/n'); "
    )  # n' is 49.75/4.25^2; 8400/(4.25 n') is 717.6.
    plain = pulled(8, replace(LAG, in_tension=3))
    assert "each of 3 fixings is pulled with at most 658.8 lbf" in plain.message
    assert plain.method is not None
    assert plain.method.startswith(
        'T = M/z with z 4 1/4", M about where the plate bears, of a base turned by a to its rail '
        "M (cos a + sin a); "
    )


def test_fixings_on_a_rim_hold_what_the_kit_says() -> None:
    """On a fascia base as many fixings hold as the kit says, since they lie in the rim and not
    about the post: 200 (42 + 3 + 4.25)/4.25 on three of six."""
    six = strong_kit(fixing=replace(LAG, in_tension=3, below=3.0))
    hung = replace(six, mounting="fascia", post=replace(six.post, base=Base(5.0, 6, 0.75, 0.75)))
    corner = replace(post(1, 42.0, 42.0), role="corner"), post(2, 42.0, 42.0)
    found = said("strength_base", with_kit=hung, posts=corner)
    (pull,) = [f for f in found if f.unit == "lbf"]
    assert pull.actual == pytest.approx(2317.647 / 3, abs=1e-3)


def test_through_bolts_hold_what_their_own_sums_give() -> None:
    """A through-bolt is held against its own capacity: 988.2 lbf of 1000. Where screws fail, the
    message names through-bolts as the alternative."""
    bolt = Fixing("through_bolt", 0.375, 2, lever=4.25, capacity=1000.0)
    (finding,) = said("strength_base", with_kit=strong_kit(fixing=bolt))
    assert (finding.result, finding.limit) == ("pass", 1000.0)
    assert finding.ratio == pytest.approx(0.98824, abs=1e-5)
    failed = [f for f in said("strength_base") if f.result == "fail"]
    assert all("through-bolts" in f.message for f in failed if f.unit == "lbf")


def test_wood_screws_and_short_screws() -> None:
    """A wood screw holds by the length of its thread in the wood, and fails where that is short.

    A #14 screw in SPF, dry, under ordinary load: 121.66 x 2 in = 243.3 lbf. Its 2 in are over the
    least of 6 D = 1.452 in; 1 in is under it, and with none in the wood the screw holds nothing.
    """
    screw = Fixing("wood_screw", 0.242, 2, length=3.0, thread=2.0, side_member=1.0, lever=4.25)
    dry = Site(wet_service=False, timber=Timber("spruce_pine_fir"))
    found = said("strength_base", with_kit=strong_kit(fixing=screw), site=dry)
    (pull,) = [f for f in found if f.unit == "lbf"]
    assert pull.limit == pytest.approx(2850 * 0.42**2 * 0.242 * 2, abs=1e-4)
    assert [f.result for f in found if f.unit == "in"] == ["pass"]
    short = replace(screw, length=2.0)
    found = said("strength_base", with_kit=strong_kit(fixing=short), site=dry)
    assert [f.result for f in found if f.unit == "in"] == ["fail"]
    none = replace(screw, length=1.0)
    found = said("strength_base", with_kit=strong_kit(fixing=none), site=dry)
    (pull,) = [f for f in found if f.unit == "lbf"]
    assert (pull.result, pull.limit, pull.ratio) == ("fail", 0.0, 1e12)
    assert "far too little" in pull.message


def test_the_hardest_pull_is_told_of_screws_that_hold_nothing() -> None:
    """With no thread in the wood every load is too much, and the greatest is told: for a post that
    carries 6 ft of rail 50 lbf/ft x 6 ft = 300 lbf, 300 x 42/4.25/2 on each of two screws; for the
    end posts, which carry 3 ft, the 200 lbf of the point load, 200 x 42/4.25/2."""
    screw = Fixing("wood_screw", 0.242, 2, length=1.0, thread=1.0, side_member=1.0, lever=4.25)
    found = said("strength_base", IBC, strong_kit(fixing=screw), **spans(72.0))
    pulls = {f.where: f.actual for f in found if f.unit == "lbf"}
    assert pulls[("P2",)] == pytest.approx(1482.353, abs=1e-3)
    assert pulls["P1", "P3"] == pytest.approx(988.235, abs=1e-3)


def test_screws_outside_the_equation_are_not_checked() -> None:
    """A screw outside the range of the equation is not checked: 5 mm is under 6 mm (EN 1995-1-1
    (8.39), from memory)."""
    thin = Fixing("lag_screw", 5.0, 2, length=120.0, thread=60.0, side_member=30.0, lever=100.0)
    with_kit = strong_kit(fixing=thin, timber=Timber(grade="C24"))
    (finding,) = said("strength_base", BALCONY, with_kit, "mm", **spans(1500.0, 1100.0, "mm"))
    assert finding.result == "not_checked"
    assert "6 to 12 mm" in finding.message


PANEL = glass(48.0, 36.5625)
GLASS: Parts = {"posts": (post(1), post(2)), "bays": (glass_bay(1, PANEL),)}
"""A pane 36.5625 high with bites of 0.625 and 0.5: 36 in between their middles, as G3."""


def test_glass_under_a_point_load() -> None:
    """A pane under a point load is bent as in G3: 3909.4 psi of 6000 in tempered glass.

    Two plies that slide count as sqrt 2 times the thickness of one of them, whatever the pane's own
    thickness. All the data is given, so that nothing is left unchecked.
    """
    found = said("strength_glass", **GLASS)
    assert [f.message for f in found if f.result == "not_checked"] == []
    (finding,) = [f for f in found if f.unit == "psi"]
    assert finding.actual == pytest.approx(3909.4, abs=0.1)
    assert finding.limit == pytest.approx(6000)
    plies = strong_kit(panes=(GlassMake(0, "heat_strengthened", 2, 0.219),))
    assert plies.glass is not None
    laminated = (Pane(0.5, 12.0, 0.469, "laminated"),)
    plies = replace(plies, glass=replace(plies.glass, panes=laminated))
    (finding,) = [f for f in said("strength_glass", with_kit=plies, **GLASS) if f.unit == "psi"]
    assert finding.actual == pytest.approx(3909.4 / 2, abs=0.1)
    assert finding.limit == pytest.approx(3000)


def test_a_panel_narrower_than_the_square_takes_all_of_it() -> None:
    """A panel narrower than the square of the load takes the whole load: 8 of the 12 in lie on the
    glass, so the stress is 3909.4 x 12/8."""
    narrow = replace(PANEL, width=8.0)
    found = said("strength_glass", posts=(post(1), post(2)), bays=(glass_bay(1, narrow),))
    assert worst(found) == pytest.approx(3909.4 * 12 / 8, abs=0.2)


def test_a_pressure_alone_though_the_code_has_a_square() -> None:
    """A code with a pressure and no point load has the pressure alone, though it states a square.

    25 psf is 25/144 psi. Glass: 0.75 p (36/0.219)^2. Pickets at a pitch of 4.5 and 30 long: p 4.5
    30^2/8 = 87.890625 over their modulus.
    """
    code = loads(infill_pressure=25.0, infill_load_side=12.0)
    stress = 0.75 * 25 / 144 * (36 / 0.219) ** 2
    assert worst(said("strength_glass", code, **GLASS)) == pytest.approx(stress, abs=0.1)
    modulus = (0.75**4 - 0.625**4) / 4.5
    (finding,) = said("strength_infill", code)
    assert finding.actual == pytest.approx(87.890625 / modulus, abs=1e-3)


def test_the_least_thickness_is_the_standards_where_a_kit_says_more() -> None:
    """A pane counts as no thicker than the standard's minimum: a 6 mm pane that the kit calls 0.25
    in at the least is taken as 0.219 in (C1036, S1)."""
    thick = strong_kit()
    assert thick.glass is not None
    panes = (replace(thick.glass.panes[0], minimum=0.25),)
    found = said(
        "strength_glass", with_kit=replace(thick, glass=replace(thick.glass, panes=panes)), **GLASS
    )
    assert ratio(found, "psi") == pytest.approx(0.65157, abs=1e-4)


@pytest.mark.parametrize(
    ("pane", "makes", "wanted"),
    [
        ("laminated tempered", (), "pane 0 is laminated: give its plies"),
        ("tempered, not laminated", (), "pane 0 is made"),
        ("tempered", (GlassMake(0, "annealed"),), 'calls the glass "tempered" and says'),
        ("tempered", (GlassMake(0, "tempered", 2, 0.1),), "is laminated of tempered plies"),
        ("tempered or annealed", (), "pane 0 is made"),
        ("laminated", (GlassMake(0, "tempered", 2),), "ply_minimum"),
        ("laminated tempered", (GlassMake(0, "tempered"),), "plies"),
    ],
)
def test_a_pane_whose_make_is_not_known(
    pane: str, makes: tuple[GlassMake, ...], wanted: str
) -> None:
    """A pane's type is taken for its make only where it states one make and nothing else. A pane
    whose make or plies remain unknown, or contradict its type, is not checked."""
    with_kit = strong_kit(panes=makes)
    assert with_kit.glass is not None
    panes = (Pane(0.25, 6.0, 0.219, pane),)
    with_kit = replace(with_kit, glass=replace(with_kit.glass, panes=panes))
    (missing,) = [
        f for f in said("strength_glass", with_kit=with_kit, **GLASS) if f.result == "not_checked"
    ]
    assert wanted in missing.message


def test_glass_of_a_code_that_states_no_area() -> None:
    """A point load on glass is not checked where the code does not state the side of its square; no
    square is guessed."""
    code = loads("mm", infill_point_load=500.0, guard_line_load=0.74)
    (finding,) = [
        f for f in said("strength_glass", code, unit="mm", **GLASS) if f.result == "not_checked"
    ]
    assert "infill_load_side" in finding.message


@pytest.mark.parametrize(
    ("mass", "result", "words"),
    [
        (50.0, "pass", "one person"),
        (51.0, "pass", "two people"),
        (72.0, "pass", "two people"),
        (73.0, "fail", "lifting aid"),
    ],
)
def test_how_many_lift_a_panel(mass: float, result: str, words: str) -> None:
    """One person may lift 23 kg, 50.7 lb (S12), and two 33 kg, 72.8 lb (memory). A heavier panel is
    a warning."""
    heavy = replace(glass(48.0, 36.0), mass=mass)
    found = said("strength_glass", posts=(), bays=(glass_bay(1, heavy),))
    (lift,) = [f for f in found if f.unit == "lb"]
    assert (lift.result, words in lift.message) == (result, True)
    assert lift.severity == ("warning" if result == "fail" else "note")


def test_a_picket_takes_what_the_square_leaves_it() -> None:
    """The side of the square decides how many pickets share the load.

    At a pitch of 4.5 a 12 in square lies on 2 pickets, one of 3 in on 1; without a side one picket
    takes all 50 lbf at its middle: P L/4.
    """
    modulus = (0.75**4 - 0.625**4) / 4.5
    cases: tuple[tuple[dict[str, float], float], ...] = (
        ({"infill_load_side": 12.0}, 25 * (60 - 12) / 8),
        ({"infill_load_side": 3.0}, 50 * (60 - 3) / 8),
        ({}, 50 * 30 / 4),
    )
    for figures, moment in cases:
        (finding,) = said("strength_infill", loads(infill_point_load=50.0, **figures))
        assert finding.actual == pytest.approx(moment / modulus, abs=1e-3)


def test_what_fills_a_leaf_is_held_as_what_fills_a_bay() -> None:
    """Pickets and glass in a gate's leaf have the same ratios as the same pickets and glass in a
    bay."""
    row = pickets(3.75, 3.5)
    code = loads(infill_point_load=50.0)
    (in_bay,) = said("strength_infill", code, posts=(), bays=(bay(pickets=row),))
    (in_leaf,) = said("strength_infill", code, posts=(), bays=(), gates=(gate(pickets=row),))
    assert in_leaf.where == ("main/gate",)
    assert in_leaf.ratio == in_bay.ratio
    leaf = gate(infill="glass", glass=PANEL)
    found = said("strength_glass", posts=(), bays=(), gates=(leaf,))
    assert ratio(found, "psi") == pytest.approx(3909.4 / 6000, abs=1e-4)


def test_a_gates_frame_is_not_passed_over() -> None:
    """A gate's frame is reported as not checked, at each gate, as a kit gives no strength of it."""
    (finding,) = said("strength_rail", posts=(), bays=(), gates=(gate(),))
    assert (finding.result, finding.where) == ("not_checked", ("main/gate",))


@pytest.mark.parametrize(
    ("brackets", "inches"),
    [
        ((5.0, 35.0, 70.0), 35.0 / 4),
        ((10.0, 40.0, 65.0), 10.0),
        ((5.0, 35.0, 61.0), 14.0),
        ((37.5,), 37.5),
    ],
)
def test_a_handrail_between_its_brackets_and_at_its_ends(
    brackets: tuple[float, ...], inches: float
) -> None:
    """A handrail is bent by 200 lbf between its brackets or at its free end, whichever is worse.

    Midway between two brackets s apart the moment is 200 s/4, at an end a past the last bracket 200
    a (elementary beam cases); the section modulus is 0.3 cubic inches.
    """
    rail = Handrail("right", 75.0, 36.0, brackets)
    with_kit = replace(strong_kit(), handrail=_handrail())
    parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
    (finding,) = said("strength_rail", with_kit=with_kit, **parts)
    assert finding.where == ("front",)
    assert finding.actual == pytest.approx(200 * inches / 0.3)
    assert "between two brackets or at an end" in finding.message


@pytest.mark.parametrize("width", [None, 1.5, 3.0])
@pytest.mark.parametrize(("shape", "modulus"), [("tube", 0.17155), ("bar", 0.33134)])
def test_a_handrail_is_as_round_as_its_diameter(
    shape: Shape, modulus: float, width: float | None
) -> None:
    """A handrail's section is round, with the kit's diameter, whatever the member's width.

    1 1/2 in round, with a wall of 1/8 in: pi (1.5^4 - 1.25^4)/(32 x 1.5) = 0.17155; solid: pi
    1.5^3/32 = 0.33134 (any handbook). Square sections would have 0.29123 and 0.5625. An end of 15
    in is bent by 200 x 15 = 3000 lb in, the stretch between brackets by 200 x 30/4 = 1500.
    """
    member = Member("6063", "T6", shape, 0.125, width)
    rail = Handrail("right", 60.0, 36.0, (15.0, 45.0))
    with_kit = replace(strong_kit(handrail=member), handrail=_handrail())
    parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
    (finding,) = said("strength_rail", with_kit=with_kit, **parts)
    assert finding.actual == pytest.approx(3000 / modulus, rel=1e-4)


def test_a_handrail_is_pushed_the_way_it_is_weaker() -> None:
    """The load on a handrail acts in any direction (facts on codes, 1.2), so the lesser modulus
    counts: 200 x 20/4 = 1000 lb in between brackets over 0.2 down, which is less than 0.3 sideways;
    over 0.3 where the modulus down is greater."""
    rail = Handrail("right", 22.0, 36.0, (1.0, 21.0))
    parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
    for down, stress in ((0.2, 5000.0), (0.4, 3333.333)):
        member = Member("6063", "T6", modulus=0.3, moment=0.2, modulus_down=down)
        with_kit = replace(strong_kit(handrail=member), handrail=_handrail())
        (finding,) = said("strength_rail", with_kit=with_kit, **parts)
        assert finding.actual == pytest.approx(stress, abs=1e-3)


def test_a_handrail_under_its_line_load() -> None:
    """A handrail's line load is checked between brackets and at an overhanging end.

    0.36 N/mm over 800 mm between brackets gives w s^2/8 = 28 800 N mm; at an end 450 past the last
    bracket w a^2/2 = 36 450, with the factor of 1.5 over 3000 mm3 18.225 MPa.
    """
    rail = Handrail("right", 1500.0, 950.0, (250.0, 1050.0))
    code = loads("mm", handrail_line_load=0.36)
    member = Member("6063", "T6", modulus=3000.0, moment=4e4)
    with_kit = replace(strong_kit(handrail=member), handrail=_handrail())
    parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
    (finding,) = said("strength_rail", code, with_kit, "mm", **parts)
    assert finding.actual == pytest.approx(18.225, abs=1e-3)


def test_a_bottom_rail_takes_half_of_the_infills_pressure() -> None:
    """A bottom rail takes half of the infill's pressure.

    1 kN/m2 on infill 1092 mm high is 0.546 N/mm on each of its two rails. Over 1500 mm w L^2/8 =
    153 562.5 N mm, with the factor of 1.5 over 3000 mm3 76.78 MPa; without the factor the rail
    moves 5 w L^4/(384 x 70 000 x 50 000) = 10.283 mm, of the 25 that the code allows.
    """
    code = loads("mm", infill_pressure=1.0, guard_deflection=25.0)
    member = Member("6063", "T6", modulus=3000.0, moment=5e4)
    with_kit = strong_kit(rails={**RAILS, "bottom_rail_picket": member})
    found = said("strength_rail", code, with_kit, "mm", **spans(1500.0, 1100.0, "mm"))
    (bends,) = [f for f in found if f.unit == "MPa"]
    assert bends.actual == pytest.approx(76.7813, abs=1e-3)
    (moves,) = [f for f in found if f.unit == "mm"]
    assert moves.actual == pytest.approx(10.2832, abs=1e-3)
    assert (moves.limit, moves.result) == (25.0, "pass")
    assert "bottom rail" in bends.message
    assert "bottom rail" in moves.message


def test_how_far_the_middle_of_a_rail_may_move() -> None:
    """The middle of a top rail moves by its own bow and by the mean movement of its two posts.

    R1 and P1 of the facts on engineering, 4.3 and 4.4, for a rail whose I is 0.2: the bow is 200 x
    72^3 / (48 x 10.1e6 x 0.2) = 0.7699 in; with half of 0.4368 for its posts it stays under 42/24 +
    72/96 = 2.50.
    """
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": PLAIN})
    found = said("strength_rail", loads(guard_point_load=200.0), with_kit, **spans(72.0))
    (moves,) = [f for f in found if f.unit == "in"]
    assert moves.actual == pytest.approx(0.7699 + 0.2184, abs=2e-4)
    assert moves.limit == 2.5


def test_how_far_plies_that_slide_move() -> None:
    """Two plies that slide have one effective thickness for movement and another for stress.

    Two of 5.56 mm count as 7.005 thick for movement (facts on engineering, 11, row 8), t^3 being
    343.76: over 1000 mm, 1000.5625 less half of both bites, 1 kPa moves them 5 x 0.001 x 1000^4/(32
    x 71 705 x 343.76) = 6.339 mm. They count as 7.863 thick for stress (row 9), and are bent to
    0.75 x 0.0015 x (1000/7.863)^2 = 18.196 MPa.
    """
    held = strong_kit(panes=(GlassMake(0, "tempered", 2, 5.56),))
    assert held.glass is not None
    pane = replace(held.glass.panes[0], type="laminated tempered")
    held = replace(held, glass=replace(held.glass, panes=(pane,)))
    code = loads("mm", infill_pressure=1.0, guard_deflection=25.0)
    tall: Parts = {"posts": (), "bays": (glass_bay(1, glass(1200.0, 1000.5625)),)}
    findings = said("strength_glass", code, held, "mm", **tall)
    found = {f.unit: f.actual for f in findings}
    assert found["mm"] == pytest.approx(6.339, abs=2e-3)
    assert found["MPa"] == pytest.approx(18.196, abs=2e-3)
    (moves,) = [f for f in findings if f.unit == "mm"]
    assert "rails that are held still" in (moves.method or "")


def test_a_picket_that_is_alone_takes_it_all() -> None:
    """A single picket takes the whole load, with no other to share it.

    Two pickets at a pitch of 4 1/2 in would share 50 lbf on 12 in; a single one is bent by 50 (2 x
    30 - 12)/8 = 300 lb in over S 0.036404 in3, 8240.8 psi.
    """
    code = loads(infill_point_load=50.0, infill_load_side=12.0)
    row = pickets(3.75, 3.5, count=1)
    (finding,) = said("strength_infill", code, bays=(bay(1, pickets=row),), posts=())
    assert finding.actual == pytest.approx(8240.8, abs=0.5)
    assert str(finding.case).endswith("on one picket")


def test_how_far_a_picket_moves_by_the_code() -> None:
    """A picket that moves further than the code allows is a violation.

    1 kN/m2 at a pitch of 4.5 mm (here a gap of 3.75 and a picket of 0.75) is 0.0045 N/mm: over 1092
    mm 5 w L^4/(384 x 70 000 x 100) = 11.902 mm, over the 10 that the code allows.
    """
    code = loads("mm", infill_pressure=1.0, guard_deflection=10.0)
    with_kit = strong_kit(picket=Member("6063", "T6", modulus=100.0, moment=100.0))
    found = said("strength_infill", code, with_kit, "mm", **spans(1500.0, 1100.0, "mm"))
    (moves,) = [f for f in found if f.unit == "mm"]
    assert moves.actual == pytest.approx(11.9024, abs=1e-3)
    assert (moves.limit, moves.result, moves.severity) == (10.0, "fail", "violation")


def test_a_handrail_under_a_line_load() -> None:
    """The worse of a handrail's line load and point load governs.

    NBC 9.8.7.7, more than one unit: 0.7 kN/m over 1200 mm is 0.7 x 1200^2/8 = 126 000 over 2000
    mm3: 63 MPa, with the factor of 1.5 94.5, where 100 N at the middle give 100 x 1200/4 = 30 000:
    22.5 MPa. Over 100 mm the point load governs: 1.5 x 2500/2000 against 875.
    """
    code = loads("mm", handrail_line_load=0.7, handrail_point_load=100.0)
    member = Member("6063", "T6", modulus=2000.0, moment=4e4)
    with_kit = replace(strong_kit(handrail=member), handrail=_handrail())
    for apart, stress, governs in ((1200.0, 94.5, "0.7 kN/m"), (100.0, 1.875, "100 N")):
        rail = Handrail("right", 1.5 * apart, 900.0, (0.25 * apart, 1.25 * apart))
        parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
        (finding,) = [
            f for f in said("strength_rail", code, with_kit, "mm", **parts) if f.unit == "MPa"
        ]
        assert finding.actual == pytest.approx(stress, abs=1e-3)
        assert governs in finding.message


def _named(code: Code) -> Code:
    """The code with each figure given its name, as in a code that is read from a document."""
    return replace(code, figures={k: replace(f, name=k) for k, f in code.figures.items()})


def test_what_is_from_memory_is_told() -> None:
    """A method names the values in it that are from memory, and those alone.

    Facts on engineering, 3.3, 5.3 and 6, and on codes, 1.2: from memory are E, the densities of
    timber other than C16 and C24, and those figures of a code whose basis is memory.
    """
    code, parts = _named(ADK), spans(1000.0, 1100.0, "mm")
    bends, moves = said("strength_post", code, strong_kit(post=BLOCK), "mm", **parts)
    assert str(bends.method).endswith(
        "; from memory: strength_method (BS EN 1990), load_factor (BS EN 1990)"
    )
    assert "with E from memory" in str(moves.method)
    assert "load_factor" not in str(moves.method)
    pane = said("strength_glass", _named(IRC), **GLASS)[0]
    assert str(pane.method).endswith(
        "; from memory: strength_method (common practice), glass_load_factor (IRC 2021 Table "
        "R301.5, h)"
    )
    screw = Fixing("wood_screw", 10.0, 2, length=100.0, thread=80.0, side_member=20.0, lever=100.0)
    for grade, told in (("C24", "rho_k 350, n_ef"), ("C30", "rho_k 380 from memory, n_ef")):
        held = strong_kit(fixing=screw, timber=Timber(grade=grade))
        pull = said("strength_base", code, held, "mm", **parts)[0]
        assert told in str(pull.method)
        assert "and their own metal are not looked at" in str(pull.method)


def test_an_authoritys_own_figure_is_not_from_memory() -> None:
    """An amended figure is not listed as from memory: the local authority's factor of 1.6 in place
    of the code's 1.5 is named in the message as its own."""
    code = _named(code_with(ADK, load_factor=amended(ADK.figures["load_factor"], 1.6)))
    parts = spans(1000.0, 1100.0, "mm")
    bends = said("strength_post", code, strong_kit(post=BLOCK), "mm", **parts)[0]
    assert "load_factor is 1.6 (the local authority's figure" in bends.message
    assert str(bends.method).endswith("; from memory: strength_method (BS EN 1990)")


@pytest.mark.parametrize(
    ("post", "told"),
    [
        (TUBE, False),
        (Member("6063", "T5", modulus=0.9, moment=1.1, welded=False), True),
        (Member("6063", "T5", wall=0.09, modulus=0.9, moment=1.1, welded=False), True),
        (Member("6063", "T5", "bar", welded=False), False),
    ],
    ids=["tube", "section by its modulus", "one with a wall", "bar"],
)
def test_walls_that_are_not_known_are_not_passed_in_silence(post: Member, told: bool) -> None:
    """Where a section's walls are not known, the method says that their buckling is not looked at.

    Facts on engineering, 3.3: thin walls are to be checked for buckling. Of a section that is given
    by its modulus the walls are not known; where a wall's thickness is given too, their widths are
    not.
    """
    (bends,) = [f for f in said("strength_post", with_kit=strong_kit(post=post)) if f.unit == "psi"]
    assert bends.method is not None
    assert ("whether its walls buckle is not looked at" in bends.method) == told


@pytest.mark.parametrize(
    ("fixings", "in_tension", "pull"),
    [
        (4, 2, 1200.0),  # 8400 lb in over 3 1/2 in, shared by two (facts on engineering, 5.1)
        (8, 3, 800.0),  # three to a row
        (4, 3, None),
        (4, 4, None),
        (3, 1, None),
        (2, 1, None),
        (2, 2, None),
    ],
)
def test_fixings_that_have_no_far_row_to_bear_on(
    fixings: int, in_tension: int, pull: float | None
) -> None:
    """Without a lever arm in the kit, a base turns about its far row of fixings.

    Here the base is 5 in wide with its fixings 3/4 in from its sides. Of four fixings no more than
    two can be pulled then, and two or three, which lie along one side, leave no far row; for other
    counts the kit is asked for the lever arm.
    """
    asked = strong_kit(fixing=replace(LAG, lever=None, in_tension=in_tension))
    base = replace(asked.post.base, width=5.0, fixings=fixings, fixing_inset=0.75)
    asked = replace(asked, post=replace(asked.post, base=base))
    found = said("strength_base", with_kit=asked)
    if pull is None:
        (finding,) = found
        assert finding.result == "not_checked"
        assert "give strength.fixing.lever_arm" in finding.message
    else:
        assert max(float(f.actual or 0) for f in found if f.unit == "lbf") == pytest.approx(pull)


@pytest.mark.parametrize(
    ("fixings", "inset", "apart", "result"),
    [
        (4, 0.75, 3.5, "pass"),  # 5 - 2 x 0.75, at the corners
        (8, 0.75, 1.75, "pass"),  # and in the middle of each side
        (4, 1.75, 1.5, "pass"),  # 4 x 3/8, exactly
        (4, 1.78125, 1.4375, "fail"),
        (8, 1.0625, 1.4375, "fail"),
    ],
)
def test_screws_of_a_base_stand_apart(
    fixings: int, inset: float, apart: float, result: str
) -> None:
    """Lag screws in withdrawal stand at least 4 D apart (facts on engineering, 5.4): 1 1/2 in for
    screws of 3/8 in."""
    asked = strong_kit()
    base = replace(asked.post.base, width=5.0, fixings=fixings, fixing_inset=inset)
    asked = replace(asked, post=replace(asked.post, base=base))
    (finding,) = [f for f in said("strength_base", with_kit=asked) if "next one" in f.message]
    assert (finding.result, finding.actual) == (result, 1.5)
    assert finding.limit == pytest.approx(apart)


def test_a_handrail_for_which_a_code_has_no_load_is_said() -> None:
    """A handrail is reported as not checked where the code states no load for it: the tables held
    for Approved Document K have none."""
    code = loads("mm", guard_line_load=0.74)
    member = Member("6063", "T6", modulus=2000.0, moment=4e4)
    with_kit = replace(strong_kit(handrail=member), handrail=_handrail())
    rail = Handrail("right", 1800.0, 900.0, (300.0, 1500.0))
    parts: Parts = {"posts": (), "bays": (), "flights": (flight(handrails=(rail,)),)}
    (finding,) = said("strength_rail", code, with_kit, "mm", **parts)
    assert finding.result == "not_checked"
    assert "handrail was not checked: the code states neither handrail_point_load nor" in (
        finding.message
    )


def _handrail() -> HandrailKit:
    return HandrailKit(1.5, 36.0, Stock((150.0,), 0.125), 46.0)


def test_the_load_straight_down() -> None:
    """A top rail is checked under the vertical line load with its properties for bending downward.

    1.5 kN/m over 1500 mm: 1.5 x 1.5 x 1500^2/8 = 632 812.5 over 4000 mm3: 158.2 MPa. A rail without
    those properties is not checked under this load.
    """
    code = loads("mm", guard_vertical_load=1.5)
    rail = Member("6063", "T6", modulus=9000.0, moment=3e5, modulus_down=4000.0, moment_down=1e5)
    parts = spans(1500.0, 1100.0, "mm")
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": rail})
    found = said("strength_rail", code, with_kit, "mm", **parts)
    bends = max(float(f.actual) for f in found if f.unit == "MPa" and f.actual is not None)
    assert bends == pytest.approx(158.203, abs=0.001)
    blind = replace(rail, modulus_down=None, moment_down=None)
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": blind})
    found = said("strength_rail", code, with_kit, "mm", **parts)
    assert any("section_modulus_down" in f.message for f in found if f.result == "not_checked")


def test_loads_that_come_together_come_down_together() -> None:
    """Point and line loads that concur are added straight down, too.

    1000 x 1500/4 + 1.5 x 1500^2/8 = 375 000 + 421 875 N mm, times 1.5 over 4000 mm3: 298.83 MPa; as
    separate cases the greater of the two counts, 158.20.
    """
    figures = {"guard_point_load": 1000.0, "guard_vertical_load": 1.5}
    rail = Member("6063", "T6", modulus=90000.0, moment=3e6, modulus_down=4000.0, moment_down=1e6)
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": rail})
    found = []
    for concur in ("separate cases", "together"):
        code = loads("mm", loads_concur=concur, **figures)
        said_of = said("strength_rail", code, with_kit, "mm", **spans(1500.0, 1100.0, "mm"))
        found.append(max(float(f.actual) for f in said_of if f.unit == "MPa" and f.actual))
    assert found == pytest.approx([158.203, 298.828], abs=1e-3)


@pytest.mark.parametrize("wanting", ["section_modulus_down", "second_moment_down"])
def test_a_point_load_straight_down_that_is_not_looked_at_is_said(wanting: str) -> None:
    """A top rail that lacks either property for bending downward is reported as not checked under
    the guard's point load straight down (IRC Table R301.5; AS/NZS 1170.1 Table 3.3: in, out or
    down)."""
    rail = Member("6063", "T6", modulus=0.4, moment=0.4, modulus_down=0.3, moment_down=0.3)
    known = strong_kit(rails={**RAILS, "top_rail_picket": rail})
    less = {
        "section_modulus_down": replace(rail, modulus_down=None),
        "second_moment_down": replace(rail, moment_down=None),
    }
    blind = strong_kit(rails={**RAILS, "top_rail_picket": less[wanting]})
    for asked, count in ((known, 0), (blind, 1)):
        found = [f for f in said("strength_rail", with_kit=asked) if f.result == "not_checked"]
        assert len(found) == count
        assert all(
            f"the top rail picket under 200 lbf straight down was not checked: give "
            f"strength.top_rail_picket.{wanting}" in f.message
            for f in found
        )


@pytest.mark.parametrize(
    ("welded", "name"), [(True, "6063-T5, welded may"), (False, "6063-T5 may")]
)
def test_a_welded_member_is_called_so(welded: bool, name: str) -> None:
    """The message calls a welded member welded, so that the reader sees why its strength
    differs."""
    found = said("strength_post", with_kit=strong_kit(post=replace(TUBE, welded=welded)))
    (bends,) = [f for f in found if f.unit == "psi"]
    assert name in bends.message


def test_movement_by_the_old_standard_is_a_warning_and_by_the_code_a_violation() -> None:
    """A post of almost no second moment moves too far: a warning by the old standard's limit, a
    violation where the code states its own."""
    weak = strong_kit(post=Member("6063", "T6", modulus=5.0, moment=0.05, welded=False))
    (moved,) = [f for f in said("strength_post", with_kit=weak) if f.unit == "in"]
    assert (moved.result, moved.severity) == ("fail", "warning")
    strict = replace(IRC, figures=IRC.figures | loads(guard_deflection=1.0).figures)
    (moved,) = [f for f in said("strength_post", strict, weak) if f.unit == "in"]
    assert (moved.limit, moved.severity) == (1.0, "violation")


def test_every_one_says_what_it_is() -> None:
    """Every strength finding says that it is a preliminary check, and has its formula and source,
    its case and its ratio."""
    found = [f for rule in STRENGTH_RULES for f in said(rule)]
    assert found
    for finding in found:
        assert "a preliminary check, not engineering" in finding.message
        assert finding.method
        assert finding.case
        assert finding.source == "engineering"
        assert isinstance(finding.actual, float)
        assert isinstance(finding.limit, float)
        assert finding.ratio == pytest.approx(finding.actual / finding.limit, abs=2e-6)


def test_alike_posts_are_one_finding() -> None:
    """Posts that are alike share a finding: a hundred and fifty alike bays give as many as three
    do."""
    posts = tuple(post(i, 42.0, 42.0) for i in range(1, 152))
    bays = tuple(bay(i, height=42.0, centres=72.0, clear=69.5) for i in range(1, 151))
    many = said("strength_post", posts=posts, bays=bays)
    few = said("strength_post", posts=posts[:4], bays=bays[:3])
    assert [(f.limit, f.actual, f.ratio) for f in many] == [
        (f.limit, f.actual, f.ratio) for f in few
    ]
    assert many[0].where == tuple(f"P{i}" for i in range(1, 152))


def test_a_wall_holds_still() -> None:
    """A wall does not move: with one end at a wall the rail's middle moves 0.27907 + 0.21842/2 =
    0.38828 in sideways, less than between two posts."""
    at_wall = bay(height=42.0, centres=72.0, clear=70.75, start=None, end="P2")
    rails = {**RAILS, "top_rail_picket": Member("6063", "T6", modulus=0.6, moment=0.5517578)}
    found = said("strength_rail", with_kit=strong_kit(rails=rails), bays=(at_wall,))
    (moved,) = [f for f in found if f.unit == "in"]
    assert moved.actual == pytest.approx(0.38828, abs=0.0001)


@pytest.mark.parametrize(
    ("changes", "mounting", "wanted"),
    [
        ({"post": None}, "surface", "strength.post"),
        ({"post": replace(TUBE, welded=None)}, "surface", "strength.post.welded"),
        ({}, "fascia", "strength.fixing.below"),
    ],
)
def test_a_rail_moves_with_posts_that_are_not_known(
    changes: dict[str, object], mounting: Mounting, wanted: str
) -> None:
    """The sideways movement of a rail is not checked where the movement of its posts is not known.

    Facts, 4.2: the middle moves by the rail's own bow and the mean of its two post tops. Straight
    down no post moves with the rail, so that this case is checked: 200 x 72^3/(48 x 10.1e6 x 0.3) =
    0.5133 in, of 72/96.
    """
    rail = Member("6063", "T6", modulus=0.6, moment=0.5517578, modulus_down=0.5, moment_down=0.3)
    strong = strong_kit(rails={**RAILS, "top_rail_picket": rail}, **changes)
    with_kit = replace(strong, mounting=mounting)
    found = said("strength_rail", loads(guard_point_load=200.0), with_kit, **spans(72.0))
    (moves,) = [f for f in found if f.unit == "in"]
    assert "straight down" in moves.message
    assert moves.actual == pytest.approx(0.5133, abs=1e-4)
    (unknown,) = [f for f in found if f.result == "not_checked" and "moves" in f.message]
    assert wanted in unknown.message


def test_a_rail_that_keeps_its_limit_sideways_by_itself_is_not_passed_by_that() -> None:
    """A rail whose own bow is within the limit does not pass where the movement of its posts is
    unknown: 200 x 72^3/(48 x 10.1e6 x 0.5517578) = 0.2791 in of 2.5. Its movement straight down is
    not known either, as it has no properties for bending downward."""
    rail = Member("6063", "T6", modulus=0.6, moment=0.5517578)
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": rail}, post=None)
    found = said("strength_rail", loads(guard_point_load=200.0), with_kit, **spans(72.0))
    assert [f for f in found if f.unit == "in"] == []
    (unknown,) = [f for f in found if f.result == "not_checked" and "moves" in f.message]
    assert "strength.post" in unknown.message


def test_a_rail_that_moves_too_far_by_itself_fails_whatever_its_posts_do() -> None:
    """A rail whose own bow is over the limit fails, though the movement of its posts is unknown:
    200 x 72^3/(48 x 10.1e6 x 0.05) = 3.0796 in, over 42/24 + 72/96 = 2.5."""
    rail = Member("6063", "T6", modulus=0.6, moment=0.05)
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": rail}, post=None)
    found = said("strength_rail", loads(guard_point_load=200.0), with_kit, **spans(72.0))
    (moves,) = [f for f in found if f.unit == "in"]
    assert (moves.result, moves.limit) == ("fail", 2.5)
    assert moves.actual == pytest.approx(3.0796, abs=1e-4)


def test_a_rail_between_two_walls_moves_with_no_post() -> None:
    """A rail between two walls moves by its own bow alone, so that nothing about posts is needed:
    200 x 72^3/(48 x 10.1e6 x 0.5517578) = 0.2791 in."""
    rail = Member("6063", "T6", modulus=0.6, moment=0.5517578)
    with_kit = strong_kit(rails={**RAILS, "top_rail_picket": rail}, post=None)
    between = bay(height=42.0, centres=72.0, clear=72.0, start=None, end=None)
    code = loads(guard_point_load=200.0)
    found = said("strength_rail", code, with_kit, bays=(between,), posts=())
    (moves,) = [f for f in found if f.unit == "in"]
    assert moves.result == "pass"
    assert moves.actual == pytest.approx(0.2791, abs=1e-4)
    assert not [f for f in found if f.result == "not_checked" and "moves" in f.message]


def test_strong_is_the_kit_of_the_worked_cases() -> None:
    """The post of the helper's kit is that of P1 (facts on engineering, 4.4): a ratio of 0.967."""
    assert STRONG.post == TUBE
    assert ratio(said("strength_post"), "psi") == pytest.approx(0.9673, abs=0.0001)


def test_growth_is_said_in_millionths_for_a_degree() -> None:
    """The method gives growth in millionths for a degree of the document's scale: 13e-6 for a
    degree Fahrenheit is 23.4e-6 for one Celsius (facts on engineering, 3.4)."""
    metric, inch = (said("thermal_growth", unit=unit, **spans(72.0))[0] for unit in ("mm", "in"))
    assert "grows by 23.4 millionths for each degree Celsius" in str(metric.method)
    assert "grows by 13 millionths for each degree Fahrenheit" in str(inch.method)


def test_growth_where_no_range_is_given() -> None:
    """Where the document gives no range of temperature, the schema's default of 50 K holds: a rail
    of 4 m grows 4.68 mm (facts on engineering, 3.4)."""
    rail = bay(top_cut=4000.0, bottom_cut=4000.0)
    (finding,) = said("thermal_growth", unit="mm", bays=(rail,))
    assert finding.actual == pytest.approx(4.68, abs=1e-3)
    assert "50 K, taken as no range is given" in str(finding.case)


def test_posts_that_carry_alike_are_told_together_on_the_finest_marks() -> None:
    """Two posts whose loads differ only by the rounding of floating point share one finding.

    Half of 91 21/64 in is 45.6640625, midway between two numbers of six decimals. The last bits of
    the arithmetic, which are others in a deck that is turned, must not separate such posts.
    """
    code = loads(guard_line_load=2000.0)
    bays = tuple(
        bay(number, end=None, height=42.0, centres=91.328125 + off)
        for number, off in ((1, -1e-11), (2, 1e-11))
    )
    findings = said("strength_post", code, bays=bays)
    assert {(one.result, one.where) for one in findings if one.unit} == {("fail", ("P1", "P2"))}
