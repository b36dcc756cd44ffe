"""What cutting down to the mark leaves: how infill is held in its rails, how rails reach their
posts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.measure import Length, Point
from service.core.records.deck import Obstruction
from service.core.records.kit import Engagement
from service.core.records.layout import Bay, Run
from service.core.records.seen import MeasureSeen
from service.rules.finding import Finding

from . import small
from .small import Parts, bay, flight, found, glass, glass_bay, kit, only, pickets, raked_bay
from .strong import RAIL, strong_kit

COSINE = 10.5 / math.hypot(7.0, 10.5)
"""Cosine of a pitch of 7 in 10.5."""


@pytest.mark.parametrize(
    ("height", "result", "severity", "words"),
    [
        (31.375, "pass", "note", "reaches into both"),
        (31.0625, "pass", "note", "reaches into both"),
        (31.0, "fail", "warning", 'would go 1/4" into the top one, of the kit\'s 5/8"'),
        (30.75, "fail", "violation", "would end under the top one: lay"),
        (30.5, "fail", "violation", 'would end under the top one, 1/4" off: lay'),
    ],
    ids=["whole", "half and more", "less than half", "just touching", "short"],
)
def test_a_panel_in_its_top_channel(height: float, result: str, severity: str, words: str) -> None:
    """The height of a panel decides how far it reaches into its top channel.

    A guard of 36 less rails of 1 1/2 each and the 2 3/4 under them leaves 30 1/4 between the rails,
    and 1/2 of the panel stands in the bottom one: 31 3/8 goes the whole 5/8 into the top one, 30
    3/4 not at all.
    """
    finding = only("infill_held", bays=(glass_bay(1, glass(50.0, height)),))
    assert (finding.result, finding.severity) == (result, severity)
    assert words in finding.message


@pytest.mark.parametrize(("length", "result"), [(31.375, "pass"), (30.75, "fail")])
def test_pickets_too(length: float, result: str) -> None:
    """Pickets are held as panels are, as their engagements are the same, 5/8 and 1/2."""
    row = replace(pickets(3.75, 3.5), length=length)
    finding = only("infill_held", bays=(bay(pickets=row),))
    assert finding.result == result
    assert ("pickets that stand in the bottom rail" in finding.message) == (result == "fail")


def test_a_bay_without_a_picket_has_nothing_to_hold() -> None:
    """A clear opening within the gap takes no picket, and the bay gives no finding."""
    assert found("infill_held", bays=(bay(pickets=pickets(3.5, 3.5, count=0)),)) == []


@pytest.mark.parametrize(
    ("length", "result", "held"),
    [(30.71875, "pass", None), (30.6875, "pass", None), (30.625, "fail", -0.125)],
    ids=["a thirty-second under it", "a sixteenth", "an eighth"],
)
def test_pickets_that_end_under_their_top_rail(
    length: float, result: str, held: float | None
) -> None:
    """In a kit whose pickets do not go into the top rail, one may end up to a sixteenth under it,
    lost to the mark: 30 1/4 between the rails and 1/2 in the bottom one is 30 3/4."""
    plain = kit()
    assert plain.picket is not None
    under = kit(picket=replace(plain.picket, engagement=Engagement(0.0, 0.5)))
    row = replace(pickets(3.75, 3.5), length=length)
    finding = only("infill_held", with_kit=under, bays=(bay(pickets=row),))
    assert (finding.result, finding.actual) == (result, held)


@pytest.mark.parametrize(("length", "result"), [(29.25, "pass"), (29.125, "fail")])
def test_a_sixteenth_in_millimetres(length: float, result: str) -> None:
    """In millimetres that sixteenth is 1.5875 mm: in a kit with the same numbers in millimetres,
    30.75 less 1.5 passes and less 1.625 fails."""
    plain = kit()
    assert plain.picket is not None
    under = kit(unit="mm", picket=replace(plain.picket, engagement=Engagement(0.0, 0.5)))
    row = replace(pickets(3.75, 3.5), length=length)
    finding = only("infill_held", with_kit=under, unit="mm", bays=(bay(pickets=row),))
    assert finding.result == result


@pytest.mark.parametrize(("length", "result"), [(32.5625, "fail"), (32.625, "pass")])
def test_on_a_slope_depths_are_plumb(length: float, result: str) -> None:
    """On a slope the depths of rails and the engagements are taken plumb.

    On 7 in 10.5, a cosine of 0.83205, 36 less 3/0.83205 = 3.6056 and the stair's gap of 3/4 leaves
    31.6444 between the rails. The bottom rail's 1/2 is 0.6009 plumb, and half of the top's 0.7512
    is 0.3756, so that a picket of 32.6209 is the shortest that is held.
    """
    row = replace(pickets(3.75, 3.5), length=length)
    finding = only("infill_held", bays=(raked_bay(pickets=row),), flights=(flight(),))
    assert finding.result == result


@pytest.mark.parametrize(
    ("rise", "result", "severity", "words"),
    [
        (20.0, "pass", "note", "reaches into both"),
        (19.75, "pass", "note", "reaches into both"),
        (19.625, "fail", "warning", 'would stand 0.2259" in it, of the kit\'s 0.6009"'),
        (19.375, "fail", "violation", 'would stand 0.0241" above it'),
    ],
    ids=["whole", "half and more", "less than half", "out"],
)
def test_a_raked_panel_that_rises_less_than_its_rails(
    rise: float, result: str, severity: str, words: str
) -> None:
    """A raked panel that rises less than its rails loses the difference in the bottom rail, at its
    lower end. A panel of 30 on 7 in 10.5 is to rise 20; the bottom rail's 1/2 is 0.6009 plumb."""
    corners = ((0.0, 0.0), (30.0, -rise), (30.0, 33.0 - rise), (0.0, 33.0))
    panel = replace(glass(30.0, 33.0), corners=corners)
    raked = raked_bay(infill="glass", pickets=None, glass=panel)
    finding = only("infill_held", bays=(raked,), flights=(flight(infill="glass"),))
    assert (finding.result, finding.severity) == (result, severity)
    assert words in finding.message


@pytest.mark.parametrize(
    ("cut", "result", "severity"),
    [(55.5, "pass", "note"), (55.25, "pass", "note"), (55.1875, "fail", "warning")],
    ids=["whole", "the limit", "a sixteenth over"],
)
def test_a_rail_in_its_opening(cut: float, result: str, severity: str) -> None:
    """A rail may be up to 1/4 short in its opening (common practice, no source): 55 7/8 less 3/16
    at each end is 55 1/2."""
    finding = only("rails_reach", bays=(bay(top_cut=cut),))
    assert (finding.result, finding.severity, finding.limit) == (result, severity, 0.25)


def test_each_end_has_its_own_allowance() -> None:
    """Each end of a rail has its own allowance, a socket 3/16, a swivel 1/2: 55 7/8 less both is 55
    3/16, and a cut of 54 7/8 is 5/16 short."""
    ends = ("swivel", "socket")
    finding = only("rails_reach", bays=(bay(ends=ends, top_cut=54.875, bottom_cut=55.1875),))
    assert (finding.result, finding.actual) == ("fail", 0.3125)


def test_raked_rails_are_read_along_the_slope() -> None:
    """Raked rails are held against their opening along the slope: 39.5 in plan is 47.4731 along 7
    in 10.5; less 3/8 at each rake it is 46.7231, and 46 7/16 is 0.2856 short."""
    bays = (raked_bay(top_cut=46.4375, bottom_cut=46.6875),)
    finding = only("rails_reach", bays=bays, flights=(flight(),))
    assert finding.result == "fail"
    assert finding.actual == pytest.approx(0.2856, abs=1e-4)


def test_the_bottom_rail_too() -> None:
    """Of a bay's two rails the finding states the one that is the more short; in millimetres the
    limit is 6.35, which is 1/4 in."""
    finding = only("rails_reach", bays=(bay(bottom_cut=55.0),))
    assert (finding.result, finding.actual) == ("fail", 0.5)
    metric = only("rails_reach", unit="mm", bays=(bay(bottom_cut=49.15),))
    assert (metric.result, metric.limit) == ("pass", 6.35)


def test_each_rail_of_a_measured_bay_is_held_against_its_own_opening() -> None:
    """Each rail of a measured bay is held against its own opening.

    The marks here are whole inches. A bay is measured as 55 3/8 at the top and 56 7/8 at the
    bottom, which less 3/16 at each end is 55 and 56 1/2. Its rails are cut to 55 and 56, so that
    the bottom one is 1/2 short; by the lesser measure it would be an inch too long. The bay beside
    it, as drawn, is 55 7/8 and its rails 55 1/2. A flight's bay is measured along the slope: 46 3/4
    and 47 1/2 less 3/8 at each end are 46 and 46 3/4, of which a cut of 46 is 3/4 short.
    """
    measures = (
        MeasureSeen("B1", "R1", 55.375, 56.875, 55.875),
        MeasureSeen("B3", "R5", 46.75, 47.5, 47.0),
    )
    level = bay(1, measured=True, clear=55.375, wider=1.5, top_cut=55.0, bottom_cut=56.0)
    fails, keeps = found("rails_reach", bays=(level, bay(2)), measures=measures)
    assert (fails.result, fails.actual, fails.where) == ("fail", 0.5, ("B1",))
    assert (keeps.result, keeps.where) == ("pass", ("B2",))
    raked = raked_bay(
        3, measured=True, clear=46.75 * COSINE, wider=0.75 * COSINE, top_cut=46.0, bottom_cut=46.0
    )
    (down,) = found("rails_reach", bays=(raked,), flights=(flight(),), measures=measures)
    assert (down.result, down.actual) == ("fail", 0.75)


def test_a_run_of_two_sizes_is_told() -> None:
    """A run with bays of two sizes gives a note, which names the run and both clear openings.

    Bays of 66.75 and 67.875 clear have rails of 66.375 and 67.5, in sockets that take 3/16 at each
    end: 66.75 and 67.875 again.
    """
    narrow = bay(1, clear=66.75, top_cut=66.375)
    wide = bay(2, clear=67.875, top_cut=67.5)
    finding = only("rail_sizes", bays=(narrow, wide))
    assert (finding.result, finding.severity, finding.where) == ("pass", "note", ("R1",))
    assert "from 5' 6 3/4\" to 5' 7 7/8\" clear" in finding.message


def test_a_run_of_one_size_is_not_told_of() -> None:
    """A run of one size gives no such note, though its rails differ by their ends (1/2 at a swivel,
    3/16 in sockets, of 55.875); nor does a measured bay, which has its own size in any run."""
    swivel = bay(2, ends=("swivel", "socket"), top_cut=55.1875)
    measured = bay(3, clear=60.0, top_cut=59.625, measured=True)
    seen = MeasureSeen("B3", "R1", 60.0, 60.0, 60.0)
    bays = (bay(1), swivel, measured)
    assert found("rail_sizes", bays=bays, measures=(seen,)) == []


def _askew(degrees: float, **changes: Any) -> Bay:  # noqa: ANN401  (members of a Bay)
    """A bay of 55 7/8 whose rails go from a socket to a swivel bracket on a wall off square.

    The socket takes 3/16 and the swivel 1/2, so that rails of 55 3/16 have nothing to spare.
    """
    cuts = {"top_cut": 55.1875, "bottom_cut": 55.1875}
    ends = {"end": None, "ends": ("socket", "swivel"), "skews": (0.0, degrees)}
    return bay(1, **{**cuts, **ends, **changes})


ALONG = ((0.0, 0.0), (57.125, 0.0))
WALLED = Run("R1", "main", 0, "P1", None, 57.125, (0.0, 57.125), ALONG, oblique_walls=(False, True))
"""A run from a post to a bracket on a wall that is not square to it."""
WIDE = replace(RAIL, width=2.0)
"""At atan(1/2), 26.565 degrees off square, half of its width reaches 1/2."""
BOTH = {f"{rail}_rail_picket": WIDE for rail in ("top", "bottom")}


@pytest.mark.parametrize(
    ("degrees", "reach", "result", "severity"),
    [(26.5, 0.4986, "pass", "note"), (27.0, 0.5095, "fail", "warning")],
)
def test_a_square_end_at_a_wall_off_square(
    degrees: float, reach: float, result: str, severity: str
) -> None:
    """A square end has room at a wall off square while its corner stays clear of the wall.

    The corner comes nearer by half of 2 times the tangent; the middle of the end is 1/2 off the
    wall. What has to be cut off is given in marks, rounded up.
    """
    by = strong_kit(rails=BOTH)
    told = found("rail_ends", with_kit=by, bays=(_askew(degrees),), runs=(WALLED,))
    assert len(told) == (1 if result == "pass" else 2)
    for finding in told:
        assert (finding.result, finding.severity, finding.limit) == (result, severity, 0.5)
        assert finding.actual == pytest.approx(reach, abs=1e-4)
        assert (finding.source, finding.where) == ("kit", ("B1",))
    marks = 'from a piece 9/16" longer, or the rail 1/16" shorter'
    assert (marks in told[0].message) == (result == "fail")


def test_a_rail_that_is_cut_short_has_so_much_more_room() -> None:
    """A rail that is cut short has that much more room at its end.

    Cut 1/16 short, the top rail's middle is 9/16 off the wall, more than the 0.5095 of 27 degrees;
    the bottom rail, cut to its whole length, fails. Measured 1/16 wider at the bottom, it has room
    too.
    """
    by, short = strong_kit(rails=BOTH), _askew(27.0, top_cut=55.125)
    told = found("rail_ends", with_kit=by, bays=(short,), runs=(WALLED,))
    (fails,) = [finding for finding in told if finding.result == "fail"]
    assert "the bottom rail" in fails.message
    seen = MeasureSeen("B1", "R1", 55.875, 55.9375, 55.875)
    wider = replace(short, measured=True, wider=0.0625)
    parts: Parts = {"bays": (wider,), "measures": (seen,), "runs": (WALLED,)}
    assert only("rail_ends", with_kit=by, **parts).result == "pass"


def test_a_rail_whose_width_is_not_known() -> None:
    """Without strength in the kit, a rail is taken to be as broad as two posts of 2 1/2: 2 1/2
    times tan 11 is 0.4860, under the 1/2, and times tan 12 it is 0.5314."""
    assert found("rail_ends", bays=(_askew(11.0),), runs=(WALLED,)) == []
    unknown = found("rail_ends", bays=(_askew(12.0),), runs=(WALLED,))
    assert [(f.result, f.severity, f.where) for f in unknown] == [
        ("not_checked", "note", ("B1",)),
        ("not_checked", "note", ("B1",)),
    ]
    assert "give the rail's width in the kit's strength" in unknown[0].message


@pytest.mark.parametrize(("cut", "told"), [(55.4375, 1), (55.375, 0)], ids=["0.25", "0.3125"])
def test_a_square_end_at_a_turned_post(cut: float, told: int) -> None:
    """The corner of a turned post comes nearer to a rail's square end than the face's middle does.

    A post of 2 1/2 turned by 28 degrees has its corner 1.25(cos 28 - sin 28) = 0.5168 off the
    middle of a rail that is 2 wide; there it is tan 28 times that, 0.2748, nearer than the face at
    the middle. Between 55 7/8 and the cut are 7/16 or 1/2, of which the socket takes 3/16.
    """
    by, turned = strong_kit(rails=BOTH), _askew(28.0, end="P2", top_cut=cut)
    found_there = found("rail_ends", with_kit=by, bays=(turned,))
    assert len(found_there) == told
    for finding in found_there:
        assert (finding.result, finding.severity, finding.limit) == ("fail", "warning", 0.25)
        assert finding.actual == pytest.approx(0.2748, abs=1e-4)
        assert "ends on a post 28° off square" in finding.message


COLUMN = replace(WALLED, oblique_walls=(False, False))
"""The same run, to a bracket on an obstruction."""


def _at_column(
    monkeypatch: pytest.MonkeyPatch,
    corners: Sequence[Point],
    degrees: float,
    width: Length | None,
    height: Length | None = None,
) -> list[Finding]:
    """Findings of a rail of this width that ends on an obstruction with these corners.

    corners: how far each lies past the end of the line, and how far to its left.
    """
    points = tuple((57.125 + along, aside) for along, aside in corners)
    column = Obstruction("column", points, "/levels/0/obstructions/0", height)
    plain = small.deck()
    levels = (replace(plain.levels[0], obstructions=(column,)),)
    monkeypatch.setattr(small, "deck", lambda *_: replace(plain, levels=levels))
    rails = {name: replace(WIDE, width=width) for name in BOTH}
    by = kit() if width is None else strong_kit(rails=rails)
    return found("rail_ends", with_kit=by, bays=(_askew(degrees),), runs=(COLUMN,))


def _face(degrees: float) -> list[Point]:
    """Corners of an obstruction whose face is `degrees` off square and goes 10 to either side; a
    strip of 2 1/2 first meets it at the strip's end."""
    slope = math.tan(math.radians(degrees))
    return [(slope * (aside + 1.25), aside) for aside in (-10.0, 10.0)] + [(20.0, 10.0)]


@pytest.mark.parametrize(
    ("degrees", "result"),
    [(26.5, "pass"), (27.0, "fail")],
    ids=["0.4986 past the strip", "0.5095 past the strip"],
)
def test_a_rail_broader_than_its_post_at_a_turned_obstruction(
    monkeypatch: pytest.MonkeyPatch, degrees: float, result: str
) -> None:
    """A rail broader than its post may have no room at an obstruction off square.

    The line is cut where a strip as wide as a post of 2 1/2 first meets the obstruction, and the
    bracket holds the rail 1/2 off there. A rail 4 1/2 wide reaches 1 in further to the side than
    the strip, where the face is nearer by 0.4986 at tan 26.5 and by 0.5095 at tan 27. A rail no
    broader than the post has room at any angle.
    """
    told = _at_column(monkeypatch, _face(degrees), degrees, 4.5)
    assert [f.result for f in told] == ([] if result == "pass" else ["fail", "fail"])
    for finding in told:
        assert "ends on an obstruction that is not square to it" in finding.message
        assert 'or the rail 1/16" shorter' in finding.message
        assert finding.actual == pytest.approx(0.5095, abs=1e-4)
        assert finding.limit == pytest.approx(0.5)
    assert _at_column(monkeypatch, _face(55.0), 55.0, 2.5) == []


@pytest.mark.parametrize("width", [4.5, None], ids=["4.5", "not known"])
def test_a_column_whose_corner_points_at_a_rail(
    monkeypatch: pytest.MonkeyPatch, width: Length | None
) -> None:
    """A column whose corner points at the rail leaves room for a rail of any width, as its faces
    recede to both sides; the corner is at the rail's middle, or 1/2 to one side of it."""
    for aside in (0.0, 0.5):
        corners = [(0.0, aside), (4.0, aside - 4.0), (8.0, aside), (4.0, aside + 4.0)]
        assert _at_column(monkeypatch, corners, 45.0, width) == []


def test_a_face_that_ends_within_the_breadth_of_a_rail(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a face ends within the rail's breadth, the obstruction's corner is the nearest point.

    The corner points at the rail 1 3/4 to its right, at 45 degrees on both sides, and lies 1/2
    before the strip's end, where the face is at 1 1/4. A rail 4 1/2 wide goes out to 2 1/4, but the
    corner itself is nearest: 1/2, for which there is room; with the corner 2 to its right it is
    3/4.
    """
    for aside, told in ((-1.75, 0), (-2.0, 2)):
        nearest = aside + 1.25
        corners = [(nearest, aside), (nearest + 4, aside - 4), (nearest + 8, aside)]
        corners.append((nearest + 4, aside + 4))
        fails = _at_column(monkeypatch, corners, 45.0, 4.5)
        assert [f.actual for f in fails] == [pytest.approx(0.75)] * told


def test_an_obstruction_that_is_not_at_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """An obstruction beside the strip, 30 before its end, is left to `rails_clear`. Where the end
    of a chord stands an inch inside what ends it, a rail as broad as its post gives no finding, and
    one 1/16 broader does."""
    beside = [(-30.0, 1.5), (-26.0, 1.5), (-26.0, 9.0), (-30.0, 9.0)]
    assert _at_column(monkeypatch, beside, 45.0, 4.5) == []
    into = [(-1.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-1.0, 9.0)]
    assert _at_column(monkeypatch, into, 45.0, 2.5) == []
    assert len(_at_column(monkeypatch, into, 45.0, 2.5625)) == 2


def test_an_obstruction_under_the_broad_top_rail(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only rails that the obstruction is high enough for are judged. The guard is 36 high, its top
    rail 1 1/2 deep: an obstruction 34 1/2 high is under that rail and in the way of the bottom one
    alone; one 2 3/4 high is under that, too."""
    assert _at_column(monkeypatch, _face(27.0), 27.0, 4.5, 2.75) == []
    (told,) = _at_column(monkeypatch, _face(27.0), 27.0, 4.5, 34.5)
    assert "the bottom rail" in told.message
    assert len(_at_column(monkeypatch, _face(27.0), 27.0, 4.5, 34.625)) == 2


def test_an_obstruction_at_a_rail_of_a_width_that_is_not_known(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A rail of unknown width, taken as broad as two posts, reaches 1 1/4 further to each side than
    the strip: times tan 21 this is 0.4798, times tan 22 0.5050. One finding covers both rails."""
    assert _at_column(monkeypatch, _face(21.0), 21.0, None) == []
    (told,) = _at_column(monkeypatch, _face(22.0), 22.0, None)
    assert (told.result, told.severity, told.where) == ("not_checked", "note", ("B1",))
    assert "give the widths of the rails in the kit's strength" in told.message


def test_a_rail_end_elsewhere_is_left_alone() -> None:
    """At a post turned by 45 degrees the rail's middle is at the post's own corner, and a fixed
    bracket takes up what is off square by itself; neither gives a finding."""
    by = strong_kit(rails=BOTH)
    assert found("rail_ends", with_kit=by, bays=(_askew(45.0, end="P2"),), runs=(WALLED,)) == []
    fixed = _askew(2.0, ends=("socket", "wall"))
    assert found("rail_ends", with_kit=by, bays=(fixed,), runs=(WALLED,)) == []
