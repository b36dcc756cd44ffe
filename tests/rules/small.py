"""Small layouts, kits and codes for the rules' tests, which hold only what a check reads.

The codes' figures are those of the facts on the IRC 2021 (R312.1.1 to R312.1.3, R311.7) and on
Approved Document K 2013 (1.34, 1.39, 1.41, 3.1, 3.3a, Table 1.1, Diagram 3.1); the loads are those
of the facts on codes, sections 1.2 and 4.2. They are written out here, not read from the service.
"""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import Any, TypedDict, Unpack

from service.core.measure import Length, Unit
from service.core.order.lists import order_glass
from service.core.records.code import Code, Figure
from service.core.records.deck import Corners, Deck, Drops, Framing, Guard, Hand, Level
from service.core.records.infill import BayFill, Glass, Pickets, Rake
from service.core.records.kit import (
    Base,
    Block,
    End,
    Engagement,
    GateKit,
    GlassKit,
    HandrailKit,
    Kit,
    Pane,
    PicketKit,
    PostKit,
    Rail,
    Rails,
    RailSupport,
    Stock,
    Weep,
)
from service.core.records.layout import (
    Bay,
    FlightBuilt,
    GateBuilt,
    Handrail,
    Layout,
    OpeningBuilt,
    Post,
    Run,
)
from service.core.records.orders import Panel, Piece, SticksSeen
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    ClashSeen,
    ClosureSeen,
    EdgeSeen,
    FootSeen,
    GapSeen,
    HeadSeen,
    HungCornerSeen,
    LandingSeen,
    LowHoldSeen,
    MeasureSeen,
    OutlineSeen,
    SeatSeen,
    SizeSeen,
    SmallStretchSeen,
    SpaceSeen,
    StandInSeen,
    TieSeen,
    WallEndSeen,
    WaySeen,
)
from service.core.records.swing import Swing
from service.rules.finding import Finding
from service.rules.judge import judge


def named(figures: dict[str, Figure]) -> dict[str, Figure]:
    """Figures as a code has them: each with its name."""
    return {name: replace(figure, name=name) for name, figure in figures.items()}


_SQUARE = Corners(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), "/levels/0/outline")

IRC = Code(
    "us-irc-2021",
    "International Residential Code",
    "2021",
    named(
        {
            "guard_required_drop": Figure(30.0, "more_than", "IRC 2021 R312.1.1", "near"),
            "guard_drop_reach": Figure(36.0, "binds", "IRC 2021 R312.1.1", "near"),
            "guard_height": Figure(36.0, "at_least", "IRC 2021 R312.1.2", "near"),
            "opening_sphere": Figure(4.0, "less_than", "IRC 2021 R312.1.3", "near"),
            "geometry_applies_to": Figure("required guards", "binds", "IRC 2021 R312.1.2", "near"),
            "guard_height_stair": Figure(34.0, "at_least", "IRC 2021 R312.1.2, exc. 1", "near"),
            "opening_sphere_stair": Figure(4.375, "less_than", "IRC 2021 R312.1.3, exc. 2", "near"),
            "stair_triangle_sphere": Figure(6.0, "less_than", "IRC 2021 R312.1.3, exc. 1", "near"),
            "riser_max": Figure(7.75, "at_most", "IRC 2021 R311.7.5.1", "near"),
            "riser_uniformity": Figure(0.375, "at_most", "IRC 2021 R311.7.5.1", "near"),
            "going_min": Figure(10.0, "at_least", "IRC 2021 R311.7.5.2", "near"),
            "stair_width": Figure(36.0, "at_least", "IRC 2021 R311.7.1", "near"),
            "handrail_required_risers": Figure(4.0, "at_least", "IRC 2021 R311.7.8", "near"),
            "handrail_height_min": Figure(34.0, "at_least", "IRC 2021 R311.7.8.1", "near"),
            "handrail_height_max": Figure(38.0, "at_most", "IRC 2021 R311.7.8.1", "near"),
            "strength_method": Figure("allowable stress", "binds", "common practice", "memory"),
            "loads_concur": Figure("separate cases", "binds", "IRC 2021 Table R301.5, f", "near"),
            "guard_point_load": Figure(200.0, "binds", "IRC 2021 Table R301.5, d", "near"),
            "infill_point_load": Figure(50.0, "binds", "IRC 2021 Table R301.5, f", "near"),
            "infill_load_side": Figure(12.0, "binds", "IRC 2021 Table R301.5, f", "near"),
            "handrail_point_load": Figure(200.0, "binds", "IRC 2021 Table R301.5", "near"),
            "glass_load_factor": Figure(4.0, "binds", "IRC 2021 Table R301.5, h", "memory"),
        }
    ),
)
ADK = Code(
    "gb-eng-adk-2013",
    "Approved Document K",
    "2013",
    named(
        {
            "guard_required_drop": Figure(600.0, "more_than", "AD K 2013, 1.41 and 3.1", "seen"),
            "guard_height": Figure(1100.0, "at_least", "AD K 2013, Diagram 3.1", "seen"),
            "opening_sphere": Figure(100.0, "less_than", "AD K 2013, 3.3a", "seen"),
            # Invented, as an amendment might state it, so that decks of any drop are judged.
            "geometry_applies_to": Figure("all guards", "binds", "invented", "memory"),
            "guard_height_stair": Figure(900.0, "at_least", "AD K 2013, Diagram 3.1", "seen"),
            "stair_triangle_sphere": Figure(100.0, "less_than", "AD K 2013, 1.39 and 3.3a", "seen"),
            "riser_min": Figure(150.0, "at_least", "AD K 2013, Table 1.1", "seen"),
            "riser_max": Figure(220.0, "at_most", "AD K 2013, Table 1.1", "seen"),
            "going_min": Figure(280.0, "at_least", "AD K 2013, Table 1.1 note 2", "seen"),
            "going_max": Figure(300.0, "at_most", "AD K 2013, Table 1.1", "seen"),
            "risers_and_going_min": Figure(
                550.0, "at_least", "AD K 2013, Table 1.1 note *", "seen"
            ),
            "risers_and_going_max": Figure(700.0, "at_most", "AD K 2013, Table 1.1 note *", "seen"),
            "pitch_max": Figure(42.0, "at_most", "AD K 2013, Table 1.1 note 1", "seen"),
            "handrail_required_risers": Figure(1.0, "at_least", "AD K 2013, 1.34", "digest"),
            "handrail_both_sides_width": Figure(1000.0, "at_least", "AD K 2013, 1.34", "digest"),
            "handrail_height_min": Figure(900.0, "at_least", "AD K 2013, 1.34", "digest"),
            "handrail_height_max": Figure(1000.0, "at_most", "AD K 2013, 1.34", "digest"),
            "strength_method": Figure("partial factors", "binds", "BS EN 1990", "memory"),
            "load_factor": Figure(1.5, "binds", "BS EN 1990", "memory"),
            "loads_concur": Figure("separate cases", "binds", "BS 6180", "near"),
            "guard_line_load": Figure(0.74, "binds", "BS 6399-1 Table 4", "memory"),
            "infill_point_load": Figure(500.0, "binds", "BS 6399-1 Table 4", "near"),
            "infill_pressure": Figure(1.0, "binds", "BS 6399-1 Table 4", "near"),
            "guard_deflection": Figure(25.0, "at_most", "BS 6180 6.4.1", "near"),
        }
    ),
)
HIGH = Drops(drop=48.0)
"""A drop at which the IRC requires a guard."""


def code_with(code: Code, **figures: Figure) -> Code:
    """The code with these figures added, or put in the place of its own."""
    return replace(code, figures=code.figures | named(figures))


def code_without(code: Code, name: str) -> Code:
    """The code without one of its figures."""
    return replace(code, figures={k: v for k, v in code.figures.items() if k != name})


def amended(figure: Figure, value: Length) -> Figure:
    """The figure as a local authority has amended it to `value`."""
    return replace(figure, value=value, amended=True, published=figure.value)


def kit(**changes: Any) -> Kit:  # noqa: ANN401  (members of a Kit)
    """An inch kit with pickets and glass."""
    allowance: dict[End, Length] = {"socket": 0.1875, "swivel": 0.5, "wall": 0.125, "rake": 0.375}
    rail = Rail(1.5, Stock((192.0,), 0.125), allowance)
    rails = Rails(rail, rail)
    glass = GlassKit(
        (Pane(0.25, 6.0, 0.219, "tempered"),),
        1.125,
        Engagement(0.625, 0.5),
        1.25,
        56.0,
        44.0,
        2300.0,
        Block(8.0, 4.0),
    )
    return replace(
        Kit(
            id="square",
            title="Square post",
            unit="in",
            own_unit="in",
            mounting="surface",
            post=PostKit(2.5, 3.25, (36.0, 42.0), Base(4.75, 4, 0.7, 0.5), "bracket"),
            max_centres={"picket": 70.0, "glass": 62.0},
            straight_limit=2.0,
            square_limit=2.0,
            swivel_greatest=60.0,
            bottom_gap=2.75,
            least_bay=6.0,
            rails={"picket": rails, "glass": rails},
            posts_before_glass=True,
            picket=PicketKit(0.75, "spacer", 3.75, Engagement(0.625, 0.5)),
            glass=glass,
            rail_support=RailSupport(32.0, 1.5),
            weep=Weep(0.3125, 30.0),
            parts={},
            stair_bottom_gap=0.75,
            out_of_plumb=0.25,
            gate=GateKit(0.75, 0.5, 48.0),
            handrail=HandrailKit(1.5, 36.0, Stock((144.0,), 0.125), 46.0),
        ),
        **changes,
    )


def deck(unit: Unit = "in", rim_width: Length | None = None) -> Deck:
    """A deck of one level, in this unit and at its default precision.

    rim_width: where given, the level has framing with a rim of this width.
    """
    step = 0.0625 if unit == "in" else 1.0
    level = Level("main", _SQUARE, "/levels/0")
    if rim_width is not None:
        framing = Framing(90.0, 16.0, 0.75, 1.5, rim_width, "/levels/0/framing")
        level = replace(level, framing=framing)
    return Deck(unit, step, Guard("picket"), (level,))


def pickets(gap: Length, end_gap: Length, count: int = 12) -> Pickets:
    """A row of pickets with these gaps."""
    return Pickets(count, 30.0, gap, end_gap, (), ())


def glass(width: Length, height: Length, side_gap: Length = 1.125) -> Glass:
    """A rectangular panel, of the kit's first pane."""
    blocks = width / 4, 3 * width / 4
    return Glass(width, height, 0, side_gap, (), width * height / 144, 1.0, blocks)


FILLED = {member.name for member in fields(BayFill)}


def bay(number: int = 1, **changes: Any) -> Bay:  # noqa: ANN401  (members of a Bay)
    """A picket bay 36 in high over a drop of 48 in that keeps every rule of the IRC and of `kit()`.

    changes: members of a Bay or of its fill.
    """
    filled = {name: changes.pop(name) for name in FILLED & changes.keys()}
    return replace(
        Bay(
            id=f"B{number}",
            run="R1",
            index=number - 1,
            level="main",
            edge=0,
            start=f"P{number}",
            end=f"P{number + 1}",
            infill="picket",
            height=36.0,
            drops=HIGH,
            centres=58.375,
            clear=55.875,
            ends=("socket", "socket"),
            skews=(0.0, 0.0),
            fill=replace(BayFill(55.5, 55.5, (), (), True, pickets(3.75, 3.5), None), **filled),
        ),
        **changes,
    )


def glass_bay(number: int, panel: Glass) -> Bay:
    """A bay of glass."""
    return bay(number, infill="glass", pickets=None, glass=panel)


def raked_bay(number: int = 1, **changes: Any) -> Bay:  # noqa: ANN401  (members of a Bay)
    """A picket bay of the flight `front`, at 42 in centres in plan, on 7 in risers and 10.5 in
    goings."""
    slope = math.hypot(7.0, 10.5) / 10.5
    pitch = math.degrees(math.atan2(7.0, 10.5))
    rake = Rake(pitch, 42 * slope, 39.5 * slope, 48.0, 48.0, 25.0, 90 - pitch, "right")
    plain = {"flight": "front", "rake": rake, "centres": 42.0, "clear": 39.5}
    return bay(number, **{**plain, "ends": ("rake", "rake"), **changes})


def flight(**changes: Any) -> FlightBuilt:  # noqa: ANN401  (members of a FlightBuilt)
    """A flight of seven 7 in risers and 10.5 in goings, 49 in high, that keeps the IRC's rules.

    Its pitch follows from the riser and the going.
    """
    plain = FlightBuilt(
        id="front",
        level="main",
        opening="main/stair",
        rise=49.0,
        risers=7,
        riser=7.0,
        going=10.5,
        nosing=0.0,
        pitch=0.0,
        clear_width=36.0,
        guards=("left", "right"),
        walled=(),
        infill="picket",
        height=34.0,
        posts=(),
        bays=(),
        handrails=(handrail("right"),),
        outside_width=0.0,
        into_width=0.0,
        triangle=5.0,
        drop=49.0,
        to_level=None,
        drops=Drops(49.0),
    )
    built = replace(plain, **changes)
    return replace(built, pitch=math.degrees(math.atan2(built.riser, built.going)))


def handrail(hand: Hand, height: Length = 36.0) -> Handrail:
    """A handrail on one side."""
    return Handrail(hand, 75.0, height, (7.5, 37.5, 67.5))


def gate(**changes: Any) -> GateBuilt:  # noqa: ANN401  (members of a GateBuilt, or its opening)
    """A gate with a leaf of 40 in at the head of the flight `front`; it opens in and hits nothing.

    Unless `changes` says otherwise, it hangs between two faces that leave the hinge gap of 0.75 and
    the latch gap of 0.5 of `kit()` on its sides.
    """
    width = changes.get("width", 40.0)
    clear = width + 0.75 + 0.5
    around = replace(
        opening("gate"), clear_width=clear, hinge_post="P1", latch_post="P2", opens="in"
    )
    own = {field.name for field in fields(OpeningBuilt)} & changes.keys()
    plain = GateBuilt(
        opening=replace(around, **{name: changes.pop(name) for name in own}),
        width=width,
        height=33.25,
        top=36.0,
        infill="picket",
        pickets=None,
        glass=None,
        swing=Swing(True, (0.75, 0.0), (1.0, 0.0), (0.0, 1.0)),
        hits=(),
        flight="front",
    )
    return replace(plain, **changes)


def post(number: int, height: Length = 36.0, stock: Length | None = 36.0) -> Post:
    """A line post."""
    return Post(f"P{number}", "line", "main", (0.0, 0.0), 0.0, height, stock, ())


def edge(number: int, condition: Any = "guard", drops: Drops = HIGH) -> EdgeSeen:  # noqa: ANN401
    """An edge of the level main."""
    return EdgeSeen("main", number, condition, drops, 120.0)


def opening(use: Any, drops: Drops = HIGH) -> OpeningBuilt:  # noqa: ANN401
    """An opening, named for its use."""
    ends = (0.0, 0.0), (48.0, 0.0)
    return OpeningBuilt(f"main/{use}", "main", 0, use, 48.0, 48.0, "P1", "P2", ends, drops)


class Parts(TypedDict, total=False):
    """The members of a Layout that a test gives."""

    posts: tuple[Post, ...]
    runs: tuple[Run, ...]
    bays: tuple[Bay, ...]
    openings: tuple[OpeningBuilt, ...]
    cut_list: tuple[Piece, ...]
    glass_order: tuple[Panel, ...]
    edges: tuple[EdgeSeen, ...]
    closures: tuple[ClosureSeen, ...]
    ties: tuple[TieSeen, ...]
    bases: tuple[BaseSeen, ...]
    clashes: tuple[ClashSeen, ...]
    gaps: tuple[GapSeen, ...]
    small_stretches: tuple[SmallStretchSeen, ...]
    flights: tuple[FlightBuilt, ...]
    heads: tuple[HeadSeen, ...]
    measures: tuple[MeasureSeen, ...]
    arcs: tuple[ArcSeen, ...]
    gates: tuple[GateBuilt, ...]
    surveyed: tuple[OutlineSeen, ...]
    level_guards: tuple[EdgeSeen, ...]
    odd_sizes: tuple[SizeSeen, ...]
    ways: tuple[WaySeen, ...]
    wall_ends: tuple[WallEndSeen, ...]
    stand_ins: tuple[StandInSeen, ...]
    low_holds: tuple[LowHoldSeen, ...]
    spaces: tuple[SpaceSeen, ...]
    hung_corners: tuple[HungCornerSeen, ...]
    feet: tuple[FootSeen, ...]
    seats: tuple[SeatSeen, ...]
    landings: tuple[LandingSeen, ...]


def layout(**parts: Unpack[Parts]) -> Layout:
    """A layout that holds these parts alone, and the glass order of its bays and gates."""
    parts.setdefault("glass_order", order_glass(parts.get("bays", ()), parts.get("gates", ())))
    return replace(Layout((), (), (), (), (), (), (), (), (), (), (), (), ()), **parts)


def found(
    rule: str,
    code: Code | None = IRC,
    with_kit: Kit | None = None,
    unit: Unit = "in",
    rim_width: Length | None = None,
    sticks: tuple[SticksSeen, ...] = (),
    **parts: Unpack[Parts],
) -> list[Finding]:
    """Findings of one rule on a layout of these parts.

    sticks: what the order shows of the sticks of each part.
    """
    every = judge(layout(**parts), deck(unit, rim_width), with_kit or kit(), code, sticks)
    return [finding for finding in every if finding.rule == rule]


def only(
    rule: str,
    code: Code | None = IRC,
    with_kit: Kit | None = None,
    unit: Unit = "in",
    rim_width: Length | None = None,
    sticks: tuple[SticksSeen, ...] = (),
    **parts: Unpack[Parts],
) -> Finding:
    """The finding of one rule on a layout of these parts; fails where it gives none or several."""
    findings = found(rule, code, with_kit, unit, rim_width, sticks, **parts)
    assert len(findings) == 1, findings
    return findings[0]
