"""What deck, kit, code and amendments are read as, and what only the value of a member shows."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from service.answer import answer_document
from service.core.limits import RISERS
from service.core.problems import Misfit, Problem, Unbuildable
from service.core.records.deck import (
    Corners,
    Drops,
    Edge,
    Framing,
    NoPost,
    Opening,
    SiteMeasure,
    Stair,
    Tie,
    Ties,
    Walk,
    WalkSide,
)
from service.core.records.figures import FIGURES, WORDS
from service.core.records.kit import Stock
from service.data.catalogue import load_catalogue
from service.wire.gate import compiled
from service.wire.reading.code import amend_code, read_code
from service.wire.reading.kit import read_kit

from .documents import (
    code,
    deck,
    every_member,
    kit,
    places,
    problems,
    put,
    read_deck,
    reply,
    small,
)


def test_every_member_of_a_deck_is_read() -> None:
    """Each record holds what was sent and where it stood; a member that was left out is None."""
    found = read_deck(deck())
    main, walk, ties = found.levels
    assert (found.unit, found.step, found.title) == ("in", 0.0625, "Everything once")
    assert (found.guard.infill, found.guard.height) == ("picket", 42.0)
    assert main.outline == Corners(
        ((0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0)), "/levels/0/outline"
    )
    assert main.drops == Drops(48.0, 50.0, None)
    assert main.edges == (
        Edge(2, "/levels/0/edges/0", condition="wall"),
        Edge(1, "/levels/0/edges/1", infill="glass", glass=1, height=42.0, wall_end="post"),
    )
    assert main.openings == (
        Opening("gate", 0, 96.0, 36.0, "gate", "/levels/0/openings/0", "near", "out"),
        Opening("steps", 0, 150.0, 42.0, "stair", "/levels/0/openings/1"),
    )
    assert main.obstructions[0].name == "column"
    assert main.obstructions[0].pointer == "/levels/0/obstructions/0"
    assert main.no_post == (NoPost(1, 30.0, 6.0, "downpipe", "/levels/0/no_post/0"),)
    sides = (240.0, 144.0, None, 144.0)
    assert walk.outline == Walk(tuple(WalkSide(each, 90.0) for each in sides), "/levels/1/outline")
    assert ties.outline == Ties(240.0, (Tie(120.5, 170.25),), "/levels/2/outline/ties")
    assert ties.drops == Drops()
    assert walk.edges == (
        Edge(1, "/levels/1/edges/0", arc_rise=15.0),
        Edge(3, "/levels/1/edges/1", arc_rise=-6.0),
    )


def test_every_member_of_a_flight_is_read() -> None:
    """Texts are read as the lengths that they name: 4' is 48, 3' is 36. Sides keep their order."""
    front, _ = read_deck(deck()).stairs
    assert front == Stair(
        id="front",
        opening="main/steps",
        rise=48.0,
        risers=7,
        going=10.5,
        pointer="/stairs/0",
        nosing=1.0,
        guards=("left", "right"),
        infill="glass",
        height=36.0,
        foot_post="ground",
        handrail=("right",),
        to_level="walk",
    )


def test_what_a_flight_leaves_out() -> None:
    """A flight has by default no nosing, no guards, no handrail, and a foot post on the lowest
    tread; the other members left out are None."""
    _, side = read_deck(deck()).stairs
    assert side == Stair(
        id="side",
        opening="main/gate",
        rise=48.0,
        risers=8,
        going=11.0,
        pointer="/stairs/1",
        nosing=0.0,
        guards=(),
        infill=None,
        height=None,
        foot_post="tread",
        handrail=(),
        to_level=None,
    )


def test_framing_and_measures_are_read_with_their_places() -> None:
    """1' 4" is read as 16; the framing of a level without it is None; a deck without flights or
    site measures has empty ones."""
    found = read_deck(deck())
    main, walk, _ = found.levels
    assert main.framing == Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    assert walk.framing is None
    assert found.site_measures == (SiteMeasure("B1", 43.5, 43.25, "/site_measures/0"),)
    plain = read_deck(small())
    assert (plain.stairs, plain.site_measures) == ((), ())
    assert plain.levels[0].edges[0].arc_rise == 0.0


@pytest.mark.parametrize(
    ("pointer", "value", "code_"),
    [
        ("/stairs/0/rise", "0'", "length_of_nought"),
        ("/stairs/0/going", "0 mm", "length_of_nought"),
        ("/stairs/0/height", '0"', "length_of_nought"),
        ("/stairs/0/nosing", "99999'", "length_too_great"),
        ("/stairs/1/going", "99999'", "length_too_great"),
        ("/levels/0/framing/joist_spacing", "0 m", "length_of_nought"),
        ("/levels/0/framing/first_joist", "99999'", "length_too_great"),
        ("/levels/0/framing/joist_width", '0"', "length_of_nought"),
        ("/levels/0/framing/rim_width", '0"', "length_of_nought"),
        ("/levels/1/edges/0/arc_rise", "99999'", "length_too_great"),
        ("/site_measures/0/clear_top", "0'", "length_of_nought"),
        ("/site_measures/0/clear_bottom", "99999'", "length_too_great"),
    ],
)
def test_texts_of_flights_framing_arcs_and_measures_have_their_bounds(
    pointer: str, value: str, code_: str
) -> None:
    """A text whose value is out of bounds is a 422 at its own place (contract, section 1)."""
    kind, (problem,) = problems(put(deck(), pointer, value))
    assert (kind, problem.pointer, problem.code) == (Unbuildable, pointer, code_)


@pytest.mark.parametrize("pointer", ["/kit/post/heights", "/kit/rails/picket/top/stock"])
def test_a_nought_in_a_list_of_a_kit_whose_parts_go_by_it(pointer: str) -> None:
    """A zero length in a list is refused at its own place, beside parts whose sizes the list
    lacks."""
    kind, told = problems(put(small(kit=kit()), pointer, [150, "0'"]))
    assert kind is Unbuildable
    assert (f"{pointer}/1", "length_of_nought") in [(each.pointer, each.code) for each in told]


def test_a_length_of_a_kit_that_cannot_be_is_all_that_is_refused() -> None:
    """Whichever length of a good kit is no length at all, or too great, one problem is told, at its
    place: the kit is not said to lack or to contradict a length that nobody sent."""
    own, tried = every_member()["kit"], 0
    numbers = [at for at in places(own) if isinstance(_at(own, at), int | float)]
    for place in numbers:
        pointer = "".join(f"/{step}" for step in place)
        for value, code_ in ((1e-7, "length_of_nought"), ("99999'", "length_too_great")):
            told = _told_of_kit(put(copy.deepcopy(own), pointer, value))
            if not any(each.code == code_ for each in told):
                break  # No length, or one that may be 0.
            assert [(each.pointer, each.code) for each in told] == [(f"/kit{pointer}", code_)]
            tried += 1
    assert tried > 60


def _at(document: Any, place: tuple[Any, ...]) -> Any:
    """The value at a path."""
    for step in place:
        document = document[step]
    return document


def _told_of_kit(document: dict[str, Any]) -> tuple[Problem, ...]:
    """The problems of a kit that fits its schema; none where it does not, or can be read."""
    try:
        if compiled("kit").is_valid(document):
            read_kit(document, "in")
    except Unbuildable as refusal:
        return refusal.problems
    return ()


@pytest.mark.parametrize(
    ("name", "unit", "size"),
    [("picket-glass-surface-in", "mm", "37"), ("glass-picket-surface-mm", "in", "901")],
)
def test_sizes_are_told_as_the_kit_writes_them(name: str, unit: str, size: str) -> None:
    """A refusal lists sizes as the kit writes them, whatever the unit of the deck, as parts are
    named by them (contract, section 1)."""
    own = kit(name)
    own["parts"] = {"post_line": {"number": "1", "description": "a", "sizes": {size: "2"}}}
    _, (problem,) = problems(small(kit=own, unit=unit))
    assert problem.pointer == f"/kit/parts/post_line/sizes/{size}"
    heights = ", ".join(f"{height} {own['unit']}" for height in own["post"]["heights"])
    assert problem.message.endswith(f"; it has {heights}.")


def test_a_size_may_be_named_by_a_length_in_any_unit() -> None:
    """3' is 36 in and 1066.8 mm are 42; the same length by a second name is refused."""
    own = kit()
    sizes = {"3'": "a", "1066.8 mm": "b"}
    own["parts"] = {"post_line": {"number": "1", "description": "a", "sizes": sizes}}
    found = read_kit(own, "in")
    assert found.parts["post_line"].sizes == ((36.0, "a"), (42.0, "b"))
    sizes["36"] = "c"
    _, (problem,) = problems(small(kit=own))
    assert (problem.pointer, problem.code) == ("/kit/parts/post_line/sizes/36", "given_twice")


@pytest.mark.parametrize("pointer", ["/levels/0/framing/first_joist", "/stairs/0/nosing"])
@pytest.mark.parametrize("nought", [0, -0.0, "0'", "0 mm"])
def test_what_may_be_nought(pointer: str, nought: Any) -> None:
    """A joist may lie on the outline and a nosing may be 0, given as a number or as a text."""
    found = read_deck(put(deck(), pointer, nought))
    framing = found.levels[0].framing
    assert framing is not None
    read = found.stairs[0].nosing if "stairs" in pointer else framing.first_joist
    assert str(read) == "0.0"


@pytest.mark.parametrize(
    ("rise", "read"), [(0, 0.0), ("0'", 0.0), (-12, -12.0), ('2 1/2"', 2.5), ("254 mm", 10.0)]
)
def test_an_arc_rises_either_way_or_not_at_all(rise: Any, read: float) -> None:
    """Outward is positive, and a text has no sign (contract, section 3); 254/25.4 is 10."""
    document = put(deck(), "/levels/1/edges/0/arc_rise", rise)
    assert read_deck(document).levels[1].edges[0].arc_rise == read


def test_a_rise_of_nought_bends_nothing() -> None:
    """An `arc_rise` of 0 gets the same reply as the member left out, but for the digest."""
    straight = small()
    straight["levels"][0]["edges"].append({"edge": 0, "arc_rise": 0})
    one, other = reply(straight), reply(small())
    assert one.pop("digest") != other.pop("digest")
    assert one == other


def test_a_number_of_risers_is_whole() -> None:
    """JSON Schema calls 2.0 an integer and 1.5 none; a flight has from 1 riser to the published
    limit."""
    found = read_deck(put(deck(), "/stairs/0/risers", 2.0)).stairs[0].risers
    assert (found, type(found)) == (2, int)
    for odd, code_ in ((1.5, "wrong_type"), (0, "out_of_range"), (RISERS + 1, "out_of_range")):
        kind, (problem,) = problems(put(deck(), "/stairs/0/risers", odd))
        assert (kind, problem.pointer, problem.code) == (Misfit, "/stairs/0/risers", code_)
        assert str(RISERS) in problem.message or code_ == "wrong_type"
    assert read_deck(put(deck(), "/stairs/0/risers", RISERS)).stairs[0].risers == RISERS


def test_a_side_given_twice_is_that_side_once() -> None:
    """The flight is the same as with the side given once: one row of posts and one handrail."""
    once = put(put(deck(), "/stairs/0/guards", ["left"]), "/stairs/0/handrail", ["right"])
    twice = put(
        put(deck(), "/stairs/0/guards", ["left", "left"]),
        "/stairs/0/handrail",
        ["right", "right"],
    )
    one, other = reply(once), reply(twice)
    assert one.pop("digest") != other.pop("digest")
    assert one == other
    front = one["flights"][0]
    assert (front["guards"], len(front["handrails"])) == (["left"], 1)


def test_the_order_of_sides_is_no_matter() -> None:
    """The reply is the same in whichever order sides are given: left stands before right."""
    turned = put(deck(), "/stairs/0/guards", ["right", "left"])
    one, other = reply(turned), reply(deck())
    assert one.pop("digest") != other.pop("digest")
    assert one == other


@pytest.mark.parametrize(("unit", "step"), [("in", 0.0625), ("mm", 1.0)])
def test_precision_left_out(unit: str, step: float) -> None:
    """The default is 1/16 in or 1 mm (contract, section 1)."""
    assert read_deck(small(unit=unit)).step == step


@pytest.mark.parametrize(
    ("unit", "step", "taken"),
    [
        *(("in", 1 / 2**k, True) for k in range(7)),
        *(("mm", step, True) for step in (0.5, 1, 2, 5, 10)),
        *(("in", step, False) for step in (2, 5, 10)),
        *(("mm", step, False) for step in (0.25, 0.0625, 0.015625)),
    ],
)
def test_a_precision_belongs_to_a_unit(unit: str, step: float, taken: bool) -> None:
    """Each value is in the schema's list, but a precision of the other unit is a 422 that lists
    those of the document's."""
    document = small(unit=unit, precision=step)
    if taken:
        assert read_deck(document).step == step
        return
    kind, (problem,) = problems(document)
    assert (kind, problem.pointer) == (Unbuildable, "/precision")
    assert problem.code == "precision_of_other_unit"
    assert f"{step:g}" in problem.message
    assert unit in problem.message


def test_a_whole_number_with_a_point_is_a_count() -> None:
    """A count may be sent as 1.0, which JSON Schema calls an integer; it is read as an int."""
    document = put(deck(), "/levels/0/edges/1/glass", 1.0)
    put(document, "/levels/0/edges/0/edge", 2.0)
    found = read_deck(document).levels[0].edges
    assert (found[0].number, found[1].glass) == (2, 1)
    assert type(found[0].number) is type(found[1].glass) is int


def test_all_that_reading_finds_is_told_at_once() -> None:
    """One refusal holds the faults of deck, kit, code and amendments, each with its place."""
    document = deck(kit=kit(), precision=5)
    put(document, "/guard/height", '0"')
    put(document, "/levels/2/outline/ties/corners/0/from_a", "0 mm")
    put(document, "/levels/0/no_post/0/width", "99999'")
    put(document, "/levels/0/framing/rim_width", "0'")
    put(document, "/levels/1/edges/0/arc_rise", "99999'")
    put(document, "/stairs/1/rise", "0 m")
    put(document, "/site_measures/0/clear_top", '0"')
    put(document, "/kit/picket/width", "0 m")
    put(
        document,
        "/kit/handrail",
        {"diameter": '0"', "height": 36, "stock": ["0'"], "kerf": 0, "max_bracket_interval": 48},
    )
    put(document, "/kit/gate", {"hinge_gap": 0, "latch_gap": '0"', "max_leaf": "0 mm"})
    put(document, "/code", "none-such")
    kind, found = problems(document)
    assert kind is Unbuildable
    assert {problem.pointer for problem in found} == {
        "/precision",
        "/guard/height",
        "/levels/2/outline/ties/corners/0/from_a",
        "/levels/0/no_post/0/width",
        "/levels/0/framing/rim_width",
        "/levels/1/edges/0/arc_rise",
        "/stairs/1/rise",
        "/site_measures/0/clear_top",
        "/kit/picket/width",
        "/kit/handrail/diameter",
        "/kit/handrail/stock/0",
        "/kit/gate/max_leaf",
        "/code",
    }


def test_what_goes_by_a_tape_that_cannot_be_is_not_told() -> None:
    """Whether an opening lies on its edge depends on how long the edge is, which the faulty tape
    says: only the tape is refused."""
    document = small()
    corners = [{"from_a": "0 mm", "from_b": 239.9}, {"from_a": 250, "from_b": 60}]
    document["levels"][0] |= {
        "outline": {"ties": {"baseline": 240, "corners": corners}},
        "edges": [],
        "openings": [{"id": "steps", "edge": 0, "from": 12, "width": 36, "use": "stair"}],
    }
    _, found = problems(document)
    assert [(p.pointer, p.code) for p in found] == [
        ("/levels/0/outline/ties/corners/0/from_a", "length_of_nought")
    ]


def test_what_goes_by_a_side_that_cannot_be_is_not_told() -> None:
    """A side with a faulty length counts as left out, and another side of that walk is left out,
    too; that there are two is no further fault."""
    _, (problem,) = problems(put(deck(), "/levels/1/outline/sides/0/length", "0'"))
    assert problem.pointer == "/levels/1/outline/sides/0/length"


def test_what_goes_by_sides_that_can_be_is_told_beside_other_faults() -> None:
    """The walk has no edge 77, and the refusal says so, whatever is wrong elsewhere."""
    _, found = problems(put(deck(precision=5), "/levels/1/edges/0/edge", 77))
    assert {p.pointer for p in found} == {"/precision", "/levels/1/edges/0/edge"}


def test_unknown_ids_are_told_with_those_there_are() -> None:
    """One refusal names both the unknown kit and the unknown code, with the ids that are known."""
    kind, found = problems(deck(kit="no-kit", code="no-code"))
    assert kind is Unbuildable
    assert [(p.pointer, p.code) for p in found] == [
        ("/kit", "unknown_kit"),
        ("/code", "unknown_code"),
    ]
    assert "picket-glass-surface-in" in found[0].message
    assert "us-irc-2021" in found[1].message


def test_every_figure_of_a_kit_is_read_in_its_own_unit() -> None:
    """In the kit's own unit each number is read as it stands in the file."""
    found, document = read_kit(kit(), "in"), kit()
    assert (found.post.width, found.post.setback) == (2.25, 3.5)
    assert found.post.heights == (36.0, 39.0, 42.0, 48.0)
    assert (found.post.base.width, found.post.base.fixings) == (4.5, 4)
    assert found.max_centres == {"picket": 69.0, "glass": 60.0}
    rail = found.rails["glass"].bottom
    assert rail.end_allowance == document["rails"]["glass"]["bottom"]["end_allowance"]
    assert (rail.depth, rail.stock) == (1.375, Stock((150.0, 198.0), kerf=0.125, trim=0.5))
    assert found.picket is not None
    assert (found.picket.gap, found.picket.engagement.top) == (3.75, 0.625)
    assert found.glass is not None
    assert found.glass.panes[1].nominal_mm == 10
    assert (found.glass.max_area, found.glass.block.inset) == (2300, 9)
    assert found.rail_support is not None
    assert found.weep is not None
    assert found.parts["spacer"].pack == 25


def test_a_kit_in_the_other_unit() -> None:
    """Lengths are converted by 25.4 and areas by its square; angles, counts and `nominal_mm` are
    not."""
    inches, found = read_kit(kit(), "in"), read_kit(kit(), "mm")
    assert found.post.setback == pytest.approx(3.5 * 25.4)
    assert found.post.heights == pytest.approx([914.4, 990.6, 1066.8, 1219.2])
    assert found.glass is not None
    assert found.glass.max_area == pytest.approx(2300 * 25.4**2)
    assert found.glass.panes[0].nominal == pytest.approx(6.35)
    assert found.glass.panes[0].nominal_mm == 6
    assert (found.straight_limit, found.swivel_greatest) == (2.5, 55)
    assert found.post.base.fixings == inches.post.base.fixings


def test_what_a_kit_may_leave_out() -> None:
    """A kit may leave out what flights and site measures need, and what a yard may not have."""
    document = kit()
    for name in ("stair_bottom_gap", "out_of_plumb", "posts_before_glass", "rail_support"):
        del document[name]
    for name in ("weep", "parts", "glass", "gate", "handrail"):
        del document[name]
    del document["rails"]["glass"]
    del document["max_centres"]["glass"]
    found = read_kit(document, "in")
    assert (found.posts_before_glass, found.rail_support, found.weep) == (False, None, None)
    assert (found.parts, found.glass, set(found.rails)) == ({}, None, {"picket"})
    assert (found.gate, found.handrail) == (None, None)
    bay = reply(small(kit=document))["bays"][0]
    assert "rail_supports" not in bay
    assert "weep_holes_text" not in bay


@pytest.mark.parametrize(
    ("base", "pointer", "value", "code_"),
    [
        ("picket-glass-surface-in", "/post/setback", 0, "setback_of_wrong_sign"),
        ("picket-glass-surface-in", "/post/setback", -2, "setback_of_wrong_sign"),
        ("picket-glass-fascia-in", "/post/setback", 0, "setback_of_wrong_sign"),
        ("picket-glass-fascia-in", "/post/setback", 2, "setback_of_wrong_sign"),
        ("picket-glass-surface-in", "/picket/gap", 0.5, "gap_less_than_picket"),
    ],
)
def test_kit_members_that_do_not_go_together(
    base: str, pointer: str, value: Any, code_: str
) -> None:
    """Each value fits the schema but contradicts another member: a 422 at its place."""
    kind, (problem,) = problems(small(kit=put(kit(base), pointer, value)))
    assert (kind, problem.pointer, problem.code) == (Unbuildable, f"/kit{pointer}", code_)


def test_a_fascia_kit_says_what_it_does_at_a_corner() -> None:
    """A fascia kit needs the member `corner` of its post, and no other kit has it."""
    document = kit("picket-glass-fascia-in")
    del document["post"]["corner"]
    _, (problem,) = problems(small(kit=document))
    assert (problem.pointer, problem.code) == ("/kit/post/corner", "kit_incomplete")
    assert "corner" not in kit()["post"]


@pytest.mark.parametrize("infill", ["picket", "glass"])
@pytest.mark.parametrize(
    "left_out", [["rails"], ["max_centres"], ["figures"], ["rails", "figures"]]
)
def test_an_infill_is_whole_or_not_there(infill: str, left_out: list[str]) -> None:
    """An infill needs rails, figures and spacing in the kit; each that is missing is refused at its
    place."""
    document = kit()
    holders = {name: document[name] for name in ("rails", "max_centres")} | {"figures": document}
    paths = {"rails": f"/kit/rails/{infill}", "max_centres": f"/kit/max_centres/{infill}"}
    for part in left_out:
        del holders[part][infill]
    _, found = problems(small(kit=document))
    assert {problem.code for problem in found} == {"kit_incomplete"}
    assert {p.pointer for p in found} == {paths.get(part, f"/kit/{infill}") for part in left_out}


def test_a_kit_with_neither_infill_does_not_fit() -> None:
    """The schema asks for at least one infill."""
    kind, (problem,) = problems(small(kit=put(kit(), "/rails", {})))
    assert (kind, problem.pointer, problem.code) == (Misfit, "/kit/rails", "too_few")


def test_a_code_in_its_own_unit_and_in_the_other() -> None:
    """In the other unit a figure is the twin that the code prints (36 in is 914 mm there), else its
    value by 25.4 (contract, section 1)."""
    document = code()
    del document["figures"]["opening_sphere"]["twin"]
    inches, millimetres = read_code(document, "in"), read_code(document, "mm")
    assert inches.figures["guard_height"].value == 36
    assert millimetres.figures["guard_height"].value == 914
    assert millimetres.figures["opening_sphere"].value == pytest.approx(101.6)
    assert millimetres.figures["geometry_applies_to"].value == "required guards"
    assert inches.figures["guard_height"].basis == "near"


LOADS_AND_METHOD = (
    *("strength_method", "load_factor", "loads_concur", "guard_line_load", "guard_point_load"),
    *("guard_vertical_load", "infill_point_load", "infill_load_side", "infill_pressure"),
    *("handrail_point_load", "handrail_line_load", "glass_load_factor"),
)
"""Figures that are compared with nothing, as they are loads or say how loads are taken."""


def test_a_figure_of_value_and_clause_alone() -> None:
    """Of a figure in the contract's shortest form, with its value and clause alone, `reads` is what
    its kind of figure implies, and `basis` is `seen`."""
    document = code()
    document["figures"] = {
        name: {"value": WORDS[name][-1] if kind == "words" else 36, "cite": "invented"}
        for name, (kind, *_) in FIGURES.items()
    }
    found = read_code(document, "in").figures
    assert {name: figure.reads for name, figure in found.items()} == {
        "guard_required_drop": "more_than",
        "guard_drop_reach": "binds",
        "guard_height": "at_least",
        "opening_sphere": "less_than",
        "geometry_applies_to": "binds",
        "guard_height_stair": "at_least",
        "opening_sphere_stair": "less_than",
        "stair_triangle_sphere": "less_than",
        "riser_min": "at_least",
        "riser_max": "at_most",
        "riser_uniformity": "at_most",
        "going_min": "at_least",
        "going_max": "at_most",
        "risers_and_going_min": "at_least",
        "risers_and_going_max": "at_most",
        "pitch_max": "at_most",
        "stair_width": "at_least",
        "handrail_required_risers": "at_least",
        "handrail_both_sides_width": "at_least",
        "handrail_height_min": "at_least",
        "handrail_height_max": "at_most",
        "opening_sphere_upper": "less_than",
        "opening_sphere_upper_from": "binds",
        "opening_not_required_guard": "less_than",
        "opening_not_required_guard_wide": "at_least",
        "gap_under_rail_sphere": "less_than",
        "stair_gap_sphere": "less_than",
        "climb_zone_from": "less_than",
        "climb_zone_to": "at_least",
        "horizontal_rails": "binds",
        "guard_top_as_handrail_min": "at_least",
        "guard_top_as_handrail_max": "at_most",
        "riser_uniformity_neighbours": "at_most",
        "nosing_min": "at_least",
        "nosing_max": "at_most",
        "flight_rise_max": "at_most",
        "flight_risers_min": "at_least",
        "flight_risers_max": "at_most",
        "handrail_required_rise": "at_least",
        "handrail_sides": "at_least",
        "handrail_grip_min": "at_least",
        "handrail_grip_max": "at_most",
        "handrail_extension_top": "at_least",
        "glass_make": "binds",
        "glass_thickness_min": "at_least",
        "glass_top_rail": "binds",
        "guard_required_risers": "at_least",
        "landing_no_deeper_than": "binds",
        "opening_sphere_loaded": "less_than",
        "going_uniformity": "at_most",
        "going_uniformity_neighbours": "at_most",
        "nosing_uniformity": "at_most",
        "tread_overlap": "at_least",
        "stair_tread_load": "binds",
        "stair_width_at_handrail": "at_least",
        "handrail_wall_clear_max": "at_most",
        "open_riser_sphere": "less_than",
        "solid_risers": "binds",
        "headroom": "at_least",
        "landing_depth": "at_least",
        "tread_slope": "binds",
        "stair_rules_apply_to": "binds",
        "finished_surface": "binds",
        "handrail_continuity": "binds",
        "handrail_wall_clear": "at_least",
        "handrail_projection": "at_most",
        "handrail_reach": "at_most",
        "glass_marking": "binds",
        "glass_standard": "binds",
        "wire_infill": "binds",
        **{name: "binds" for name in LOADS_AND_METHOD},
        "guard_deflection": "at_most",
        "glass_deflection_ratio": "binds",
        "infill_load_pickets": "binds",
    }
    numbers = [name for name in found if FIGURES[name].kind not in ("words", "text")]
    assert {found[name].value for name in numbers} == {36}
    assert {figure.basis for figure in found.values()} == {"seen"}


def test_cases_of_a_figure_with_their_twins() -> None:
    """Both the drop and the value of a case are taken as printed in the unit that is asked for."""
    document = code("gb-eng-adk-2013")
    case = {"measure": "drop", "above": 1800, "above_twin": 72, "value": 1200, "cite": "invented"}
    document["figures"]["guard_height"]["when"] = [{**case, "above": "6'", "twin": 48}, case]
    second, first = read_code(document, "in").figures["guard_height"].when
    assert first.above == 72
    assert first.value == pytest.approx(1200 / 25.4)
    assert (second.above, second.value) == (72, 48)
    second, first = read_code(document, "mm").figures["guard_height"].when
    assert (first.above, first.value) == (1800, 1200)
    assert second.above == pytest.approx(1828.8)
    assert second.value == 1200


def test_amendments_take_the_place_of_the_figure() -> None:
    """An amendment is in the deck's unit and leaves no case over; the value that the code printed
    is kept beside it."""
    document = code("gb-eng-adk-2013")
    document["figures"]["guard_height"]["when"] = [
        {"measure": "drop", "above": 1800, "value": 1200, "cite": "invented"}
    ]
    published = read_code(document, "in")
    words = {"guard_height": "3' 6\"", "geometry_applies_to": "all guards"}
    found = amend_code(published, words, "in").figures
    height, applies = found["guard_height"], found["geometry_applies_to"]
    assert (height.value, height.amended, height.when) == (42.0, True, ())
    assert height.published == pytest.approx(1100 / 25.4)
    assert (applies.value, applies.published) == ("all guards", "required guards")
    assert not found["opening_sphere"].amended
    assert published.figures["guard_height"].when != ()


def test_only_lengths_are_converted() -> None:
    """Degrees and counts are the same in either unit; a riser of 200 mm is 200/25.4 in."""
    document = code("gb-eng-adk-2013")
    document["figures"]["riser_max"] = {"value": 200, "cite": "invented"}
    document["figures"]["pitch_max"] = {"value": 42, "cite": "invented"}
    document["figures"]["handrail_required_risers"] = {"value": 2.0, "cite": "invented"}
    inches = read_code(document, "in")
    assert inches.figures["riser_max"].number() == pytest.approx(200 / 25.4)
    assert inches.figures["pitch_max"].number() == 42
    assert inches.figures["handrail_required_risers"].number() == 2
    words = {"pitch_max": 38.5, "handrail_required_risers": 4, "riser_max": "190.5 mm"}
    found = amend_code(inches, words, "in").figures
    assert found["pitch_max"].number() == 38.5
    assert found["handrail_required_risers"].number() == 4
    assert found["riser_max"].number() == pytest.approx(7.5)


def test_amendments_that_amend_nothing() -> None:
    """Amendments without a code, or of a figure that the code does not state, are a 422 at their
    place."""
    document = small(amendments={"guard_height": 42})
    _, (problem,) = problems(document)
    assert (problem.pointer, problem.code) == ("/amendments", "amendments_without_code")
    _, found = problems(
        {
            **document,
            "code": "gb-eng-adk-2013",
            "amendments": {"guard_drop_reach": 36, "guard_height": '0"'},
        }
    )
    assert {(p.pointer, p.code) for p in found} == {
        ("/amendments/guard_drop_reach", "figure_not_in_code"),
        ("/amendments/guard_height", "length_of_nought"),
    }
    assert reply(small(amendments={}))["summary"]["violations"] == 0


def test_an_unknown_figure_or_one_of_the_wrong_kind_does_not_fit() -> None:
    """The vocabulary is closed and each figure's kind is in the schema, so each fault is a 400 with
    its place."""
    bad = {"guard_width": 42, "geometry_applies_to": 42, "guard_height": "all guards"}
    kind, found = problems(deck(amendments=bad))
    assert kind is Misfit
    assert {(p.pointer, p.code) for p in found} == {
        ("/amendments/guard_width", "unknown_member"),
        ("/amendments/geometry_applies_to", "wrong_type"),
        ("/amendments/guard_height", "not_a_length"),
    }


BESIDE = [
    pytest.param({"/precision": 5}, ["precision_of_other_unit"], id="precision"),
    pytest.param({"/code": "none"}, ["unknown_code"], id="code"),
    pytest.param({"/levels/0/no_post/0/width": "0 mm"}, ["length_of_nought"], id="no_post"),
    pytest.param({"/guard/height": '0"'}, ["length_of_nought"], id="height"),
    pytest.param({"/levels/0/drop_to_ground": "99999'"}, ["length_too_great"], id="drop"),
    pytest.param(
        {"/precision": 5, "/code": "none", "/guard/height": '0"'},
        ["precision_of_other_unit", "length_of_nought", "unknown_code"],
        id="several",
    ),
]


@pytest.mark.parametrize(("changes", "codes"), BESIDE)
def test_a_fault_does_not_hide_those_beside_it(changes: dict[str, Any], codes: list[str]) -> None:
    """An edge that does not exist and an opening off its edge are reported beside each other
    fault."""
    document = small(code="us-irc-2021")
    level = document["levels"][0]
    level["no_post"] = [{"edge": 0, "from": 60, "width": 2}]
    level["openings"] = [{"id": "o", "edge": 0, "from": 230, "width": 36, "use": "passage"}]
    level["edges"] = [{"edge": 9}]
    for pointer, value in changes.items():
        document = put(document, pointer, value)
    assert codes_of(document) == [*codes, "no_such_edge", "off_its_edge"]


def test_what_goes_by_a_length_that_cannot_be_is_not_judged_by_another() -> None:
    """With a baseline of zero nothing is known of how long edges are, so no opening is said to be
    off its edge."""
    document = small()
    level = document["levels"][0]
    level["outline"] = {
        "ties": {
            "baseline": '0"',
            "corners": [{"from_a": 50, "from_b": 160}, {"from_a": 160, "from_b": 50}],
        }
    }
    level["edges"] = []
    level["openings"] = [{"id": "o", "edge": 0, "from": 40, "width": 36, "use": "passage"}]
    assert codes_of(document) == ["length_of_nought"]


def codes_of(document: Any) -> list[str]:
    """The codes of the problems for which a document is refused."""
    with pytest.raises(Unbuildable) as refused:
        answer_document(document, load_catalogue())
    return [problem.code for problem in refused.value.problems]
