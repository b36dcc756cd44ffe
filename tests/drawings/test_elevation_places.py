"""Elevations: where the parts of a bay are drawn, worked by hand."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import partial
from itertools import pairwise

import pytest

from service.core.records.layout import Run
from service.drawings.elevations.built import LEVEL, Pitch, draw_fill, rail_heights
from service.drawings.elevations.kinds import look_up
from service.drawings.elevations.sharing import Drawn, in_rows
from service.drawings.elevations.sheet import draw_elevations
from service.drawings.elevations.standing import StandingRun, rail_span, stand
from service.drawings.marks import Disc, Mark, Stroke, Words
from service.drawings.pages import room
from service.drawings.parts import Subject, View
from service.drawings.points import Rect, extent
from service.drawings.scales import Scale
from tests.core.builders import kit_document
from tests.drawings.drawn import LEVEL_ONE, README, everything, heading
from tests.drawings.subjects import case, example, subject_of
from tests.drawings.test_plan_room import beside_a_lawn, in_the_notch, with_a_gate


def _row(subject: Subject, name: str) -> StandingRun:
    run = next(run for run in subject.layout.runs if run.id == name)
    return stand(run, look_up(subject).bays[name], subject.kit)


def _views(subject: Subject) -> dict[str, View]:
    """The views of a subject by the ids in their titles."""
    pages = draw_elevations(subject, heading(subject))
    views = [placed.view for page in pages for placed in page.views]
    return {view.title.partition(":")[0]: view for view in views}


def _boxes(marks: list[Mark], layer: str, pattern: str = "full") -> list[tuple[float, ...]]:
    """The left, bottom, right and top of each shape of a layer."""
    found: list[tuple[float, ...]] = []
    for mark in marks:
        if isinstance(mark, Stroke) and (mark.layer, mark.pattern) == (layer, pattern):
            low, high = extent(mark.points)
            found.append((*low, *high))
    return found


def _first_bay(subject: Subject) -> list[Mark]:
    row, kit = _row(subject, "R1"), subject.kit
    spot = row.spots[0]
    heights = rail_heights(kit, spot.bay.infill, kit.bottom_gap, spot.bay.height)
    return list(draw_fill(spot, heights, LEVEL, kit, Scale(24, subject.deck.unit)))


def test_where_rails_begin_is_told_by_what_holds_their_left_ends() -> None:
    """Places are told from a face, and a rail at the bench begins off it by the kit's allowance.

    The kit has 3/16 for a top rail and 1/8 for a bottom rail in a socket, 1/8 for both in a wall
    bracket, and 1/2 and 7/16 in a swivel bracket. R3 of against-a-house has posts at every left
    end. R4 has the wall at its first one. On the bow of bowed-edge the second chord, R2, meets its
    posts askew.
    """
    socket = 'in a socket: top 3/16", bottom 1/8".'
    swivel = 'in a swivel bracket: top 1/2", bottom 7/16".'
    for name, run, told in (
        ("against-a-house", "R3", socket),
        ("against-a-house", "R4", f'in a wall bracket: 1/8"; {socket}'),
        ("bowed-edge", "R2", swivel),
    ):
        marks = _views(example(name))[run].marks
        words = " ".join(mark.text for mark in marks if isinstance(mark, Words))
        assert f"Rails begin off a bay's left face, {told}" in words, (name, run)


def test_a_picket_bay_of_the_readme_deck() -> None:
    """The parts of the README deck's first bay are drawn where these sums put them.

    240 less 2 setbacks of 3.5 is 233: 4 bays of 58.25, with posts 2.25 wide.

    B1 is clear from 1.125 to 58.25 - 1.125 = 57.125, which is 56. Top rail: 56 - 2 * 0.1875 =
    55.625, from 1.3125 to 56.9375; 1.75 deep under 36. Bottom rail: 56 - 2 * 0.125 = 55.75, from
    1.25 to 57; 1.25 deep over 2.5. 12 pickets of 0.75 with 11 gaps of 3.75 leave 56 - 9 - 41.25 =
    5.75, 2.875 at each end: the first from 4 to 4.75, the last from 53.5 to 54.25, seen from 3.75
    up to 34.25. One foot, 1.25 wide, in the middle: 1.125 + 28 = 29.125.
    """
    marks = _first_bay(subject_of(README))
    assert _boxes(marks, "rail") == [
        pytest.approx((1.3125, 34.25, 56.9375, 36.0)),
        pytest.approx((1.25, 2.5, 57.0, 3.75)),
    ]
    pickets = _boxes(marks, "picket")
    assert len(pickets) == 12
    assert pickets[0] == pytest.approx((4.0, 3.75, 4.75, 34.25))
    assert pickets[-1] == pytest.approx((53.5, 3.75, 54.25, 34.25))
    assert _boxes(marks, "block") == [pytest.approx((28.5, 0.0, 29.75, 2.5))]


def test_a_glass_bay_in_millimetres() -> None:
    """The panel, blocks, foot and weep holes of a bay clear from 30 to 1310, which is 1280 wide.

    Panel: 1280 - 2 * 30 = 1220, from 60 to 1280. The bottom rail is 36 deep over 70, to 106, and
    the panel reaches 12 into it, down to 94; it is 1100 - 50 - 36 - 70 + 16 + 12 = 972 high, up to
    1066, and seen between 106 and 1100 - 50 = 1050. Blocks 100 long stand 220 from its ends, at 280
    and 1060, so they begin at 230 and 1010; they fill half of 36 - 12, which is 12, below the
    panel, from 82. Feet: 1280 / 850 makes two stretches, so there is one, 30 wide, in the middle at
    670.
    """
    marks = _first_bay(example("millimetre-glass"))
    assert _boxes(marks, "glass") == [pytest.approx((60.0, 106.0, 1280.0, 1050.0))]
    assert _boxes(marks, "glass", "dashed") == [pytest.approx((60.0, 94.0, 1280.0, 1066.0))]
    assert _boxes(marks, "block") == [
        pytest.approx((230.0, 82.0, 330.0, 94.0)),
        pytest.approx((1010.0, 82.0, 1110.0, 94.0)),
        pytest.approx((655.0, 0.0, 685.0, 70.0)),
    ]
    holes = [mark.at[0] - 30 for mark in marks if isinstance(mark, Disc)]
    assert holes == pytest.approx(example("millimetre-glass").layout.bays[0].fill.weep_holes)


def test_a_raked_rail_begins_its_allowance_off_the_face() -> None:
    """A raked rail is drawn as long as its cut, as far off the face at one end as at the other.

    At 175 up on 280 a length along the slope is longer than in plan by sqrt(175² + 280²) / 280 =
    1.17924. B8 is 730 clear: 860.85 along the slope, less 2 * 10 is 840.85, cut 840. In plan that
    is 840 / 1.17924 = 712.32, so (730 - 712.32) / 2 = 8.84 off each face.
    """
    subject = example("glass-flight")
    run = next(run for run in subject.layout.runs if run.id == "R5")
    row = stand(run, look_up(subject).bays["R5"], subject.kit, -90.0)
    spot = row.spots[0]
    assert (spot.start, spot.end) == pytest.approx((-60.0, 670.0))
    rail = subject.kit.rails["glass"].top
    span = rail_span(spot, rail, spot.bay.fill.top_cut, 280 / math.hypot(175, 280))
    assert span == pytest.approx((-60.0 + 8.84, 670.0 - 8.84), abs=0.01)


@pytest.mark.parametrize(("name", "falls"), [("R5", "right"), ("R6", "left")])
def test_raked_panels_have_the_corners_of_the_reply(name: str, falls: str) -> None:
    """Raked panels are drawn with the reply's corners, and fall the way that the reply says.

    The corners are as they stand in the view, from the lower left one.
    """
    subject = example("glass-flight")
    bays = [bay for bay in subject.reply["bays"] if bay["run"] == name]
    view = _views(subject)[name]
    panels = [
        mark.points
        for mark in view.marks
        if isinstance(mark, Stroke) and (mark.layer, mark.pattern) == ("glass", "dashed")
    ]
    assert len(panels) == len(bays) == 3
    for bay, points in zip(bays, panels, strict=True):
        x, y = points[0]
        moved = [(a - x, b - y) for a, b in points]
        assert bay["falls"] == falls
        assert moved == [pytest.approx(corner) for corner in bay["glass"]["corners"]]


def test_a_flight_steps_down_to_its_rise() -> None:
    """The steps of a flight go down by its risers and out by its goings.

    9 risers of 175 lead from 0 to -1575, and 8 goings of 280 to the lowest nosing, 2240 out, at
    -1400. Treads reach 15 past the risers under them, which so stand at -15, 265 and so on.
    """
    view = _views(example("glass-flight"))["R5"]
    steps, nosings = (
        next(
            mark.points
            for mark in view.marks
            if isinstance(mark, Stroke) and (mark.layer, mark.pattern) == ("stair", pattern)
        )
        for pattern in ("full", "chain")
    )
    assert min(y for _, y in steps) == pytest.approx(-1575.0)
    assert {round(y, 6) for _, y in steps} == {-175.0 * i for i in range(10)}
    risers = [a[0] for a, b in pairwise(steps) if a[0] == b[0]]
    assert risers == pytest.approx([280.0 * i - 15.0 for i in range(9)])
    first, last = nosings
    assert first == pytest.approx((0.0, 0.0))
    assert last == pytest.approx((2240.0, -1400.0))


def test_posts_of_a_flight_stand_on_their_treads() -> None:
    """The posts of a flight begin at their treads, or at the ground, and end at the rail's top.

    P8 is on tread 3 (u = 700, between 560 and 840): 3 risers of 175 down, at -525. The rail's top
    over it is 1043.75 - 700 * 0.625 = 606.25. P9 stands on tread 6 (u = 1540, between 1400 and
    1680): -1050, and 1043.75 - 962.5 = 81.25. P10, at 2300, stands past the lowest nosing, at 8 x
    280 = 2240, and so on the ground, 9 risers down: -1575, and 1043.75 - 1437.5 = -393.75. P3, at
    -90, stands on the deck, where the raked rail's top is at 1043.75 + 56.25 = 1100.
    """
    view = _views(example("glass-flight"))["R5"]
    posts = _boxes(list(view.marks), "post")
    assert [(box[0] + box[2]) / 2 for box in posts] == pytest.approx([-90.0, 700.0, 1540.0, 2300.0])
    assert [box[1] for box in posts] == pytest.approx([0.0, -525.0, -1050.0, -1575.0])
    assert [box[3] for box in posts] == pytest.approx([1100.0, 606.25, 81.25, -393.75])


def test_heights_of_a_flight_are_dimensioned() -> None:
    """A flight shows the heights of its guard and its handrail, and of its first and last post.

    The guard's 900 and the handrail's 950 are plumb lines from the line of nosings, at 180 in 250.
    The posts' heights are 1100 at the head and 990 at the foot, as in the reply; that of the post
    between is given in words.
    """
    subject = subject_of(beside_a_lawn())
    view = _views(subject)["R7"]
    lines = [
        sorted(mark.points)
        for mark in view.marks
        if isinstance(mark, Stroke) and mark.layer == "dimension" and len(mark.points) == 2
    ]
    upright = [(a[0], a[1], b[1]) for a, b in lines if a[0] == b[0]]
    for height in (900.0, 950.0):
        (found,) = [each for each in upright if each[2] - each[1] == pytest.approx(height)]
        assert found[1] == pytest.approx(-found[0] * 180 / 250)
    posts = {post["id"]: post["height"] for post in subject.reply["posts"]}
    assert (posts["P5"], posts["P11"], posts["P12"]) == (1100, 990, 990)
    for height, foot in ((1100.0, 0.0), (990.0, -1080.0)):
        assert [each[1] for each in upright if each[2] - each[1] == pytest.approx(height)] == [
            pytest.approx(foot)
        ]
    texts = [mark.text for mark in view.marks if isinstance(mark, Words)]
    assert {"guard 900 mm", "handrail 950 mm", "1100 mm", "990 mm", "P11: 990 mm high."} <= {*texts}


def test_ids_of_a_steep_flight_stand_beside_its_rail() -> None:
    """The ids of posts on a steep flight stand 8.5 mm square to the rail's top over the post.

    Four risers of 30 on goings of 8: sqrt(30^2 + 8^2) = 31.0483, so the pitch has a sine of
    30/31.0483 = 0.966237 and a cosine of 8/31.0483 = 0.257663. At 1:48 the 8.5 mm are 8.5 x 48/25.4
    = 16.0630 in: 15.5207 along and 4.1388 up. The rail's top is 36 over the nosings: over the post
    on tread 2, at 12, 36 - 45 = -9, and over the one on tread 3, at 20, -39.
    """
    opening = {"id": "s", "edge": 0, "from": 50, "width": 40, "use": "stair"}
    flight = {"id": "f", "opening": "main/s", "rise": 120, "risers": 4, "going": 8}
    level = {**LEVEL_ONE, "drop": 120, "openings": [opening]}
    document = {**README, "guard": {"infill": "picket", "height": 36}, "levels": [level]}
    views = _views(subject_of({**document, "stairs": [{**flight, "guards": ["left", "right"]}]}))
    sides = [view for view in views.values() if "side of flight" in view.title]
    for view, sense, anchor in zip(sides, (1, -1), ("start", "end"), strict=True):
        assert view.scale.ratio == 48
        ids = [mark for mark in view.marks if isinstance(mark, Words) and mark.text[:1] == "P"]
        places = [(12 + 15.5207, -9 + 4.1388), (20 + 15.5207, -39 + 4.1388)]
        for mark, (x, y) in zip(ids[1:3], places, strict=True):
            assert mark.at == pytest.approx((sense * x, y), abs=1e-3)
            assert mark.anchor == anchor


def test_one_bay_has_the_heights_of_guard_and_handrail() -> None:
    """A flight side of few bays shows both heights in one of them, each between two pickets.

    It is the right side of five risers, 36 in high, with a handrail.
    """
    document = with_a_gate()
    document["stairs"][0]["height"] = 36
    view = _views(subject_of(document))["R7"]
    texts = [mark.text for mark in view.marks if isinstance(mark, Words)]
    assert [each for each in texts if each.startswith(("guard ", "handrail "))][:2] == [
        "guard 3'", "handrail 3'",
    ]  # fmt: skip


def test_a_gate_hangs_off_its_hinge() -> None:
    """A gate's leaf is off its posts by the kit's gaps at hinge and latch.

    42 clear less 0.75 at the hinge and 0.5 at the latch leaves a leaf of 40.75, from 0.75 to 41.5
    as it hangs on the left. It is 36 - 2.5 = 33.5 high, down to 2.5.
    """
    view = _views(example("two-levels"))["Gate upper/head, from outside"]
    leaf = [mark for mark in view.marks if isinstance(mark, Stroke) and mark.layer == "gate"][0]
    low, high = extent(leaf.points)
    assert low == pytest.approx((0.75, 2.5))
    assert high == pytest.approx((41.5, 36.0))
    posts = _boxes(list(view.marks), "post")
    assert [box[::2] for box in posts] == [
        pytest.approx((-2.25, 0.0)),
        pytest.approx((42.0, 44.25)),
    ]


def test_a_gate_between_two_walls_hangs_on_the_one_asked() -> None:
    """A gate between two walls hangs on the far one, as asked: it is on the right from outside.

    48 clear leaves a leaf of 46.75, from 48 - 0.75 - 46.75 = 0.5 to 47.25.
    """
    gate = {"id": "g", "edge": 0, "from": 2, "width": 44, "use": "gate", "hinge": "far"}
    level = {
        **{"id": "main", "drop": 48, "openings": [gate]},
        "outline": {"points": [[0, 0], [48, 0], [48, 96], [0, 96]]},
        "edges": [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)],
    }
    view = _views(subject_of({**README, "levels": [level]}))["Gate main/g, from outside"]
    leaf = [mark for mark in view.marks if isinstance(mark, Stroke) and mark.layer == "gate"][0]
    low, high = extent(leaf.points)
    assert low == pytest.approx((0.5, 2.5))
    assert high == pytest.approx((47.25, 36.0))
    at = {mark.text: mark.at[0] for mark in view.marks if isinstance(mark, Words)}
    assert at["wall (latch)"] < at["wall (hinge)"]


def test_gates_that_hang_on_other_sides_are_not_alike() -> None:
    """Two gates that differ in the side of their hinge alone have a view each.

    The kit's two gaps are equal, so that both leaves stand 0.75 off either face. The middle of 42
    clear is 21.
    """
    kit = kit_document("picket-glass-surface-in")
    kit["gate"] |= {"hinge_gap": 0.75, "latch_gap": 0.75}
    gates = [
        {"id": hinge, "edge": 0, "from": start, "width": 42, "use": "gate", "hinge": hinge}
        for hinge, start in (("near", 50), ("far", 150))
    ]
    views = _views(subject_of({**README, "kit": kit, "levels": [{**LEVEL_ONE, "openings": gates}]}))
    for name, on_the_left in (("near", True), ("far", False)):
        marks = views[f"Gate main/{name}, from outside"].marks
        words = [mark for mark in marks if isinstance(mark, Words)]
        (hinge,) = [each for each in words if each.text.endswith("(hinge)")]
        assert (hinge.at[0] < 21) == on_the_left


def test_a_fascia_post_goes_on_below_the_deck() -> None:
    """A fascia post and its plate reach 4 below the deck, which is the plate's width."""
    view = _views(example("fascia-mixed"))["R1"]
    assert {box[1] for box in _boxes(list(view.marks), "post")} == {-4.0}
    assert {(box[1], box[3]) for box in _boxes(list(view.marks), "base")} == {(-4.0, 0.0)}


def test_bays_are_as_wide_as_they_say() -> None:
    """In every deck each bay is drawn as wide as it is, beginning at its own post.

    Between the faces of what stands at its ends lies its clear opening, and by how much it was
    measured wider at the other rail.
    """
    for name, subject in everything():
        seen = look_up(subject)
        for run in subject.layout.runs:
            row = stand(run, seen.bays[run.id], subject.kit)
            assert len(row.spots) == len(seen.bays[run.id]), name
            for spot in row.spots:
                wide = spot.bay.clear + spot.bay.wider
                assert spot.end - spot.start == pytest.approx(wide, abs=1e-5), (name, spot.bay.id)
                assert row.uprights[spot.bay.index].id == spot.bay.start, name
                assert row.uprights[spot.bay.index + 1].id == spot.bay.end, name


def test_a_run_with_a_stretch_left_open_keeps_its_places() -> None:
    """Posts and bays keep their places in a run where a stretch between them has no bay.

    Of stretches of 50, 4 and 40 between marks, the bays of 50 and 40 are the first and third.
    """
    subject = subject_of(README)
    bays = look_up(subject).bays["R1"]
    first = replace(bays[0][0], index=0, centres=50.0, clear=47.75, start="P1", end="P2")
    last = replace(bays[1][0], index=2, centres=40.0, clear=37.75, start="P3", end="P4")
    run = Run("R1", "main", 0, "P1", "P4", 94.0, (0.0, 50.0, 54.0, 94.0), ((0.0, 0.0), (94.0, 0.0)))
    row = stand(run, [(first, bays[0][1]), (last, bays[1][1])], subject.kit)
    assert [spot.bay.index for spot in row.spots] == [0, 2]
    assert [each.id for each in row.uprights] == ["P1", "P2", "P3", "P4"]
    assert [each.at for each in row.uprights] == [0.0, 50.0, 54.0, 94.0]


def test_a_measured_bay_beside_a_stretch_left_open_keeps_its_place() -> None:
    """What follows a measured bay is drawn nearer by as much as the bay was measured shorter.

    160 less 2 setbacks of 3.5 is 153. No base, 4.5 wide, stands from 14 to 74: two posts stand 2.25
    off at 11.75 and 76.25, which is 8.25 and 72.75 from P1, and posts 2.25 wide leave 6 and 62.25.

    The first stretch is under the kit's least bay and stays open. B1, in the second, is measured
    30, so it comes to 30 + 2.25 = 32.25 from post to post for the 64.5 that are drawn, and what
    follows stands 32.25 nearer: P3 at 40.5, P4, drawn at 114.75, at 82.5, and P5, drawn at 153, at
    120.75.
    """
    level = {
        **{"id": "main", "drop": 48},
        "outline": {"points": [[0, 0], [160, 0], [160, 144], [0, 144]]},
        "edges": [{"edge": edge, "condition": "open"} for edge in (1, 2, 3)],
        "no_post": [{"edge": 0, "from": 14, "width": 60}],
    }
    measures = [{"bay": "B1", "clear_top": 30, "clear_bottom": 30}]
    subject = subject_of({**README, "levels": [level], "site_measures": measures})
    (run,) = subject.reply["runs"]
    assert run["marks"] == [0, 8.25, 72.75, 114.75, 153]
    row = _row(subject, "R1")
    assert [each.id for each in row.uprights] == ["P1", "P2", "P3", "P4", "P5"]
    assert [each.at for each in row.uprights] == [0.0, 8.25, 40.5, 82.5, 120.75]
    assert [spot.bay.index for spot in row.spots] == [1, 2, 3]
    named = [
        (mark.at[0], mark.text)
        for mark in _views(subject)["R1"].marks
        if isinstance(mark, Words) and re.fullmatch(r"P[0-9]", mark.text)
    ]
    assert sorted(named) == [(each.at, each.id) for each in row.uprights]


def test_a_raked_bottom_rail_is_told_above_the_nosings() -> None:
    """The note gives the kit's 20 mm from the nosings up to the bottom rail.

    It says nothing of what is under the rail: nothing of a guard is below its nosings.
    """
    view = _views(example("glass-flight"))["R5"]
    told = " ".join(mark.text for mark in view.marks if isinstance(mark, Words))
    assert "plumb over the line of nosings; bottom rail 20 mm plumb above the nosings;" in told
    assert "under it" not in told


def test_a_flight_fills_its_page() -> None:
    """1260 down under a head post of 1100 are 2360, which is 94 mm at 1:25 of the 137 that A4 has.

    Title and notes stand beside the flight.
    """
    view = _views(subject_of(beside_a_lawn()))["R8"]
    assert view.scale.ratio == 25
    posts = _boxes(list(view.marks), "post")
    title = next(mark for mark in view.marks if isinstance(mark, Words) and "R8: " in mark.text)
    assert title.at[0] > max(right for _, _, right, _ in posts)


def test_marks_of_a_right_side_run_to_the_left() -> None:
    """On a flight's right side u runs to the left: 10 down the flight lies 10 to the left.

    At a slope of 1:2 that is also 5 lower.
    """
    assert Pitch(0.5, -1).at(10.0, 0.0) == (-10.0, -5.0)
    view = _views(example("glass-flight"))["R6"]
    at = {mark.text: mark.at[0] for mark in view.marks if isinstance(mark, Words)}
    assert at["P13"] < at["P12"] < at["P11"] < at["P4"]


def test_a_long_run_is_broken_over_views() -> None:
    """A run too long for a page is drawn in several views of whole bays, as even as can be.

    640 less 2 setbacks of 3.5 is 633, in 10 bays of 63.3 (9 would be 70.3, over the kit's 69). A
    page's 251.4 mm, less 40 for names and heights, hold 211.4 * 32 / 25.4 = 266 at 1:32, which is 4
    bays: 3 parts, evenly of 3, 4 and 3.
    """
    level = {**LEVEL_ONE, "outline": {"points": [[0, 0], [640, 0], [640, 60], [0, 60]]}}
    subject = subject_of({**README, "levels": [level]})
    assert subject.kit.max_centres["picket"] == 69
    pages = draw_elevations(subject, heading(subject))
    views = [placed.view for page in pages for placed in page.views]
    parts = [view for view in views if view.title.startswith("R1")]
    assert [view.title.rpartition(", ")[2] for view in parts] == [
        f"part {i} of 3" for i in (1, 2, 3)
    ]
    labels = [[mark.text for mark in view.marks if isinstance(mark, Words)] for view in parts]
    counts = [sum(re.fullmatch(r"B[0-9]+", text) is not None for text in each) for each in labels]
    assert counts == [3, 4, 3]


def test_a_raked_panel_is_drawn_by_itself() -> None:
    """Each mark of the glass order that has raked panels has a view with the order's sizes."""
    subject = example("glass-flight")
    views = _views(subject)
    rows = [row for row in subject.reply["glass_order"] if "edge_rise" in row]
    assert len(rows) == 6
    for row in rows:
        (name,) = (name for name in views if name.startswith(f"{row['mark']} of {row['bays'][0]},"))
        texts = {mark.text for mark in views[name].marks if isinstance(mark, Words)}
        members = ("width", "height", "edge_rise", "lower_edge")
        assert {row[f"{member}_text"] for member in members} <= texts
        shapes = [mark for mark in views[name].marks if isinstance(mark, Stroke)]
        assert [pytest.approx(corner) for corner in row["corners"]] == list(shapes[0].points)


def test_lengths_without_room_are_told_under_the_view() -> None:
    """Lengths of a bay that is too narrow for their text are given under the view.

    R3 of an L has one bay of 13.125. Its cuts, 12.75 and 12.875, are 13.5 and 13.6 mm long at 1:24,
    and their text, 9 letters of 1.44 mm, has no room between two ticks of 1.2 mm; nor has that of
    the clear opening in 13.9 mm.
    """
    view = _views(example("inner-corner"))["R3"]
    texts = [mark.text for mark in view.marks if isinstance(mark, Words)]
    told = " ".join(texts)
    assert """B7: top rail 1' 0 3/4", bottom rail 1' 0 7/8", clear 1' 1 1/8".""" in told
    assert """1' 1 1/8\"""" not in texts


def test_what_a_rail_ends_at_is_named() -> None:
    """A view names what a rail ends at, wall or column, at the end where it stands.

    The front of a deck of 288 by 120 goes from the house walls at both sides to a column between
    them: the first run has a wall, then the column; the second the column, then a wall.
    """
    views = _views(example("column-and-downpipe"))
    solid = {"wall", "roof column"}
    told = {
        name: [
            mark.text
            for mark in sorted(
                (mark for mark in views[name].marks if isinstance(mark, Words)),
                key=lambda mark: mark.at[0],
            )
            if mark.text in solid
        ]
        for name in ("R1", "R2")
    }
    assert told == {"R1": ["wall", "roof column"], "R2": ["roof column", "wall"]}


def test_a_gate_that_hangs_on_a_column_names_it() -> None:
    """The view of a gate that hangs on a column has the column's name, not that of a wall."""
    view = _views(case("gates/hung_on_a_column_off_the_line"))["Gate main/g, from outside"]
    texts = [mark.text for mark in view.marks if isinstance(mark, Words)]
    assert [text for text in texts if "(hinge)" in text] == ["chimney (hinge)"]


def test_the_size_of_a_narrow_panel_is_in_two_lines() -> None:
    """The size of a panel that is too narrow for it in one line is written in two.

    260 mm at 1:20 are 13, less 1: "260 mm x 972 mm" of 15 letters of 1.44 mm takes 21.6, and "260
    mm x" 11.5. A panel of 869 mm has its size in one line.
    """
    views = _views(example("glass-flight-measured"))
    for name, rows in (("R2", ["G3", "260 mm x", "972 mm"]), ("R1", ["G1", "869 mm x 972 mm"])):
        texts = [mark.text for mark in views[name].marks if isinstance(mark, Words)]
        start = texts.index(rows[0])
        assert texts[start : start + len(rows)] == rows


def test_runs_come_first_then_flights_then_gates() -> None:
    """Runs come first, then flights, then gates, each in their own order.

    The runs of edges 1 and 3 are alike, and R6 and R7 are the flight's.
    """
    titles = list(_views(subject_of(with_a_gate())))
    assert titles == ["R1", "R2", "R3, R5", "R4", "R6", "R7", "Gate lower/yard, from outside"]


def test_a_view_comes_before_its_turn_where_that_saves_a_page() -> None:
    """A view is put beside an earlier one, before its turn, where that saves a page.

    R6, 192 less 2 setbacks of 3.5 long, and R5 and R7, 144 less 3.5, take a page each in their
    order, the sides of the flight one and the gate another. At 1:32 R7 is 140.5 * 25.4 / 32 = 112
    mm and what stands beside it, and the leaf's notes are 80: the gate goes in beside R7.
    """
    subject = example("two-levels")
    titles = list(_views(subject))
    assert titles == [*(f"R{i}" for i in range(1, 8)), "Gate upper/head, from outside", "R8", "R9"]
    pages = draw_elevations(subject, heading(subject))
    assert [len(page.views) for page in pages] == [2, 1, 1, 1, 1, 2, 2]


def test_no_page_has_room_for_the_view_after_its_last() -> None:
    """No page of any deck has room beside its last view for the one after it, 6 mm off."""
    for name, subject in everything():
        wide, _ = room(subject.deck.unit)
        for page, after in pairwise(draw_elevations(subject, heading(subject))):
            row = page.views[-1].at[1] + page.views[-1].view.size[1]
            tops = [each.at[1] + each.view.size[1] for each in page.views]
            last = [
                each for each, top in zip(page.views, tops, strict=True) if math.isclose(top, row)
            ]
            taken = sum(each.view.size[0] + 6.0 for each in last)
            assert taken + after.views[0].view.size[0] > wide, (name, page.title)


def _wide(name: str, width: float) -> View:
    """A view of a given width in mm."""
    return View(name, Scale(1, "mm"), Rect((0.0, 0.0), (width, 50.0)), ())


def _smaller(name: str, width: float) -> View:
    return _wide(name, width)


def _in_rows(*sizes: tuple[str, float, float | None], kin: str = "") -> list[tuple[str, float]]:
    """Views of given widths as they are put in rows of 200 mm, each with the width that it gets.

    sizes: name, width, and the least width that the view may have. kin: the names of those that are
    kin.
    """
    drawn = [
        Drawn(
            _wide(name, large),
            "kin" if name in kin else name,
            partial(_smaller, name, small) if small else None,
        )
        for name, large, small in sizes
    ]
    return [(view.title, view.size[0]) for view in in_rows(drawn, 200.0)]


def test_views_share_a_page_smaller_if_they_must() -> None:
    """Views share a row of 200 mm, with 6 between them, each in its smaller form if it has to be.

    120 and 70 fit; 120 and 100 fit as 100 and 80; 190 and 150 do not fit as 160 and 120. A view
    without a smaller form stays as it is beside one that has one: 90 and 100. Three of 80 fit as
    62, with 12 between.
    """
    assert _in_rows(("a", 120, 90), ("b", 70, 60)) == [("a", 120), ("b", 70)]
    assert _in_rows(("a", 120, 100), ("b", 100, 80)) == [("a", 100), ("b", 80)]
    assert _in_rows(("a", 190, 160), ("b", 150, 120)) == [("a", 190), ("b", 150)]
    assert _in_rows(("a", 120, 90), ("b", 100, None)) == [("a", 90), ("b", 100)]
    three = [("a", 80.0, 62.0), ("b", 80.0, 62.0), ("c", 80.0, 62.0)]
    assert _in_rows(*three) == [("a", 62), ("b", 62), ("c", 62)]


def test_the_order_gives_way_to_fewer_rows_alone() -> None:
    """Views leave their order only where that makes fewer rows.

    150, 190 and 40 are three rows of 200 in their order, and two where the last goes beside the
    first. With another 150 before the last, which it might as well go beside, there are three rows
    either way, and it stays. It also stays behind a view of its own flight or run.
    """
    a, b, c, d = ("a", 150.0, 150.0), ("b", 190.0, 190.0), ("c", 40.0, 40.0), ("d", 150.0, 150.0)
    assert [name for name, _ in _in_rows(a, b, c)] == ["a", "c", "b"]
    assert [name for name, _ in _in_rows(a, b, d, c)] == ["a", "b", "d", "c"]
    assert [name for name, _ in _in_rows(a, b, c, kin="bc")] == ["a", "b", "c"]
    assert [name for name, _ in _in_rows(a, b, c, kin="ac")] == ["a", "c", "b"]


def test_two_sides_of_a_short_flight_share_a_page() -> None:
    """The two sides of a short flight are drawn beside each other.

    Five risers of 11 in going: 44 and about half as much beside it are some 75 mm at 1:24, and the
    notes are no wider than it takes for them to be as deep as the drawing.
    """
    subject = subject_of(with_a_gate())
    pages = draw_elevations(subject, heading(subject))
    (both,) = [page for page in pages if any("left side" in each.view.title for each in page.views)]
    assert [each.view.title.partition(":")[0] for each in both.views] == ["R6", "R7"]


def test_runs_share_pages_in_their_order() -> None:
    """The first two runs of an L share a page.

    They are 8' 5 1/8" and 7' long, which is 80 and 67 mm at 1:32.
    """
    subject = subject_of(in_the_notch())
    first = draw_elevations(subject, heading(subject))[0]
    assert [each.view.title.partition(":")[0] for each in first.views] == ["R1", "R2"]


def test_weep_holes_of_flights_are_told_along_the_rail_too() -> None:
    """Weep holes of raked bays are told along the rail, from its upper end.

    The pitch is that of 3 to 4, its cosine 0.8. A hole at 23.125 in plan is 28.90625 from the
    post's face along the slope, and the glass rail begins 5/16 off it: 28.59375, between two marks,
    so 28 9/16. At 25.4375, with the picket rail 3/8 off, 31.796875 - 0.375 = 31.421875, nearest to
    31 7/16. One line tells the bays of a view, each kind where it is first drawn.
    """
    subject = case("orders/glass_with_a_gate_and_two_flights")
    views = [
        each.view for page in draw_elevations(subject, heading(subject)) for each in page.views
    ]
    said = [" ".join(mark.text for mark in v.marks if isinstance(mark, Words)) for v in views]
    along = "Weep holes along the bottom rail, from its upper end: "
    for holes in ("B13 2' 4 9/16\"; B14 2' 6 7/16\".", "B17 2' 7 7/16\"; B18 2' 9 5/16\"."):
        assert any(f"{along}{holes}" in text.replace("\xa0", " ") for text in said)
