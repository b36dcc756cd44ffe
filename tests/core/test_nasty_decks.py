"""Flights, bows, framing, gates, measures and levels of any figures: a layout or a refusal."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from service.core.records.deck import Deck, Drops, Framing, Hand, SiteMeasure, Stair
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from tests.bounded import bounded
from tests.core import builders, sloping

figures = st.one_of(
    st.integers(1, 400).map(lambda n: n / 4), st.sampled_from([1e-6, 1e-3, 0.0625, 600.0, 1e6])
)
"""Lengths: sensible ones, and ones as small or as great as the schema accepts."""
usual = st.integers(8, 60).map(float)
either = st.one_of(usual, usual, usual, figures)
hands: st.SearchStrategy[tuple[Hand, ...]] = st.sampled_from(
    [(), ("left",), ("right",), ("left", "right"), ("left", "right")]
)
rises = st.one_of(st.just(0.0), st.sampled_from([1e-6, -1e-6, 0.01, 20.0, -20.0, 59.9, -59.9, 1e6]))


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    """A kit as shipped, with one figure at an extreme, or with nothing for flights and gates."""
    kit = draw(st.sampled_from([sloping.SURFACE, sloping.FASCIA]))
    size = draw(figures)
    change: Any = draw(st.sampled_from(["", "", "gap", "none", "gate", "rail", "base", "glass"]))
    if change == "gap":
        return replace(kit, stair_bottom_gap=size)
    if change == "none":
        return replace(kit, stair_bottom_gap=None, handrail=None, gate=None)
    if change == "gate" and kit.gate is not None:
        return replace(kit, gate=replace(kit.gate, hinge_gap=size))
    if change == "rail" and kit.handrail is not None:
        return replace(kit, handrail=replace(kit.handrail, max_bracket_interval=max(size, 1.0)))
    if change == "base":
        return builders.with_post(kit, base=replace(kit.post.base, fixing_edge_distance=size))
    return builders.with_glass(kit, max_area=size * 100) if change == "glass" else kit


@st.composite
def stairs(draw: st.DrawFn, size: st.SearchStrategy[float]) -> Stair:
    """A flight from one of the openings, or from none. size: of its lengths."""
    return Stair(
        id="f",
        opening=draw(st.sampled_from(["main/o", "main/o", "main/p", "other/o"])),
        rise=draw(size),
        risers=draw(st.sampled_from([1, 2, 3, 7, 16])),
        going=draw(size),
        pointer="/stairs/0",
        nosing=draw(st.sampled_from([0.0, 1.0, 1e6])),
        guards=draw(hands),
        infill=draw(st.sampled_from([None, "picket", "glass"])),
        height=draw(st.one_of(st.none(), size)),
        foot_post=draw(st.sampled_from(["tread", "ground"])),
        handrail=draw(hands),
        to_level=draw(st.sampled_from([None, None, "main", "low", "nowhere"])),
    )


@st.composite
def decks(draw: st.DrawFn) -> Deck:
    """One or two levels with what this file is about; half of the decks have mostly usual
    lengths."""
    size = draw(st.sampled_from([usual, either]))
    edges = tuple(
        builders.edge(n, arc_rise=draw(rises))
        for n in draw(st.sampled_from([(), (0,), (1,), (1, 2)]))
    )
    hole = builders.opening(
        0, draw(size), draw(size), draw(st.sampled_from(["stair", "gate"])), "o"
    )
    holes = draw(st.sampled_from([(hole,), (hole, replace(hole, id="p", edge=1))]))
    holes = tuple(
        replace(
            o,
            hinge=draw(st.sampled_from(["near", "far"])),
            opens=draw(st.sampled_from(["in", "out"])),
        )
        for o in holes
    )
    thin = st.one_of(st.just(1.5), figures)
    direction = draw(st.sampled_from([0.0, 90.0, 33.3, -1e6]))
    spacing, first, joist, rim = draw(size), draw(size), draw(thin), draw(thin)
    framing = Framing(direction, spacing, first, joist, rim, "/levels/0/framing")
    points = builders.rectangle(draw(st.sampled_from([120.0, 240.0])), 120.0)
    if draw(st.booleans()):
        points = points[::-1]
    main = builders.level(
        points, edges=edges, openings=holes, framing=draw(st.sampled_from([None, framing]))
    )
    low = builders.level(
        builders.turned(
            builders.rectangle(150.0, 60.0),
            0.0,
            draw(st.sampled_from([(0.0, -60.0), (30.0, -30.0), (1e5, 0.0)])),
        )
    )
    low = replace(
        low, id="low", pointer="/levels/1", drops=Drops(draw(st.sampled_from([48.0, 20.0, None])))
    )
    made = builders.deck(points, infill=draw(st.sampled_from(["picket", "glass"])), height=36.0)
    measures = tuple(
        SiteMeasure(
            draw(st.sampled_from(["B1", "B2", "B5", "B99"])),
            draw(either),
            draw(either),
            f"/site_measures/{n}",
        )
        for n in range(draw(st.sampled_from([0, 0, 1, 2])))
    )
    levels = draw(st.sampled_from([(main,), (main, low)]))
    return replace(
        made,
        levels=levels,
        stairs=draw(st.sampled_from([(), (draw(stairs(size)),)])),
        site_measures=measures,
    )


def test_a_layout_or_a_refusal() -> None:
    """Every deck is laid out or refused, and enough of them are laid out, with flights and with
    gates."""
    laid: list[Layout] = []

    @bounded(250)
    @given(decks(), kits())
    def lay(deck: Deck, kit: Kit) -> None:
        answer = builders.laid_or_refused(deck, kit)
        if isinstance(answer, Layout):
            laid.append(answer)
            check(answer)

    lay()
    assert len(laid) > 30
    assert sum(bool(layout.flights) for layout in laid) > 2
    assert sum(bool(layout.gates) for layout in laid) > 5


def check(layout: Layout) -> None:
    """Assert what every layout has: posts of some height, no run shorter than nothing, and rails
    and leaves that can be cut."""
    assert layout.posts
    assert all(run.length > -1e-6 for run in layout.runs if run.flight is None)
    assert all(post.height > 0 for post in layout.posts)
    cuts = [(bay.fill.top_cut, bay.fill.bottom_cut) for bay in layout.bays if not bay.measured]
    assert all(min(pair) > 0 for pair in cuts)
    assert all(gate.width > 0 and gate.height > 0 for gate in layout.gates)
