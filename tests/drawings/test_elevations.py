"""Elevations: what holds for every deck, the examples and all decks worked by hand."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

import pytest
import shapely

from service.core.measure import Point
from service.core.records.seen import MeasureSeen
from service.drawings.elevations.notes import bay_note, measures_words
from service.drawings.elevations.sheet import draw_elevations
from service.drawings.marks import Disc, Mark, Stroke, Words, width_of
from service.drawings.pages import INSET, MARGIN, STRIP
from service.drawings.parts import Page, Subject, View
from service.drawings.sheets import head, make_sheet
from tests.bench.decks import flights, largest
from tests.drawings.drawn import LEVEL_ONE, README, everything, heading, ten_fronts
from tests.drawings.subjects import EXAMPLES, example, subject_of
from tests.drawings.test_plan_names import room_of

Views = list[tuple[str, Subject, View]]
NEAR = 1e-6


@cache
def _pages(name: str) -> tuple[Page, ...]:
    subject = dict(everything())[name]
    return draw_elevations(subject, heading(subject))


def _views() -> Iterator[tuple[str, Subject, View]]:
    for name, subject in everything():
        for page in _pages(name):
            yield from ((name, subject, placed.view) for placed in page.views)


def _shapes(view: View, layer: str, pattern: str = "full") -> list[shapely.Polygon]:
    return [
        shapely.Polygon(mark.points)
        for mark in view.marks
        if isinstance(mark, Stroke)
        and mark.closed
        and (mark.layer, mark.pattern) == (layer, pattern)
    ]


def _box(mark: Mark, view: View) -> list[Point]:
    """Corners of what a mark takes up; for text by its width and the height of its capitals."""
    if isinstance(mark, Stroke):
        return list(mark.points)
    (x, y), k = mark.at, view.scale.per_unit
    if isinstance(mark, Disc):
        return [(x - mark.radius, y - mark.radius), (x + mark.radius, y + mark.radius)]
    width = width_of(mark.text, mark.size)
    low = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    turn = math.radians(mark.turn)
    along, up = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    return [
        (x + (a * along[0] + b * up[0]) / k, y + (a * along[1] + b * up[1]) / k)
        for a, b in ((low, 0.0), (low + width, 0.0), (low + width, mark.size), (low, mark.size))
    ]


def test_views_enclose_all_that_is_in_them() -> None:
    """No mark reaches out of its view.

    Text is taken with the width and the height that drawings count for it.
    """
    astray = [
        (name, view.title, mark)
        for name, _, view in _views()
        for mark in view.marks
        for x, y in _box(mark, view)
        if not view.box.low[0] - NEAR <= x <= view.box.high[0] + NEAR
        or not view.box.low[1] - NEAR <= y <= view.box.high[1] + NEAR
    ]
    assert astray == []


def test_views_keep_within_their_pages() -> None:
    """Every view lies inside the frame and over the title strip."""
    for name, _ in everything():
        for page in _pages(name):
            for placed in page.views:
                (x, y), (wide, tall) = placed.at, placed.view.size
                assert x >= MARGIN + INSET - NEAR, name
                assert y >= MARGIN + STRIP + INSET - NEAR, name
                assert x + wide <= page.size[0] - MARGIN - INSET + NEAR, (name, placed.view.title)
                assert y + tall <= page.size[1] - MARGIN - INSET + NEAR, (name, placed.view.title)


def _long_flight() -> Iterator[tuple[str, Subject, View]]:
    """The views of a flight of 60 risers, which a page holds at 1:192."""
    subject = subject_of(flights(1, 60))
    yield from (("60 risers", subject, view) for view in _all_views(subject))


def _wide_gate() -> Iterator[tuple[str, Subject, View]]:
    """The views of a gate of 61 7/8 in.

    At its middle, over its clear width, a picket is measured with eleven letters: 3 5/16 and 7
    steps of 4 1/2 are 34 13/16, 2' 10 13/16".
    """
    gate = {"id": "g", "edge": 0, "from": 60, "width": 61.875, "use": "gate"}
    subject = subject_of({**README, "levels": [{**LEVEL_ONE, "openings": [gate]}]})
    yield from (("a wide gate", subject, view) for view in _all_views(subject))


def test_no_text_lies_over_other_text() -> None:
    """No text lies over other text: it is lifted, or left out and given under the view."""
    over = []
    for name, _, view in [*_views(), *_long_flight(), *_wide_gate()]:
        words = [mark for mark in view.marks if isinstance(mark, Words) and mark.text]
        shapes = [shapely.Polygon(_box(mark, view)) for mark in words]
        tree = shapely.STRtree(shapes)
        for a, b in tree.query(shapes, predicate="intersects").T.tolist():
            shared = shapes[a].intersection(shapes[b]).area * view.scale.per_unit**2
            # In square millimetres on paper: a corner's touch of slanted text is no harm.
            if a < b and shared > 0.3:
                over.append((name, view.title, words[a].text, words[b].text))
    assert over == []


def _struck(view: View) -> list[str]:
    """Words that a dimension line runs through.

    It counts if more than 0.6 mm of it lie within the words' middle, which is what is left where
    0.45 mm of each side is cut.
    """
    k = view.scale.per_unit
    lines = [mark for mark in view.marks if isinstance(mark, Stroke) and mark.layer == "dimension"]
    tree = shapely.STRtree([shapely.LineString(each.points) for each in lines])
    found = []
    for mark in view.marks:
        if isinstance(mark, Words):
            inner = room_of(mark, k).buffer(-0.45 / k)
            cut = shapely.intersection(tree.geometries[tree.query(inner)], inner)
            if (shapely.length(cut) * k > 0.6).any():
                found.append(mark.text)
    return found


def test_no_line_of_a_dimension_strikes_words() -> None:
    """No dimension line runs through words, on any elevation but one.

    That is of a guard of 5 9/16, which is lower than its own words are wide.
    """
    found = {(text, name) for name, _, view in _views() for text in _struck(view)}
    assert found == {('5 9/16"', "pickets/one_mark_between_rails")}


def test_the_height_over_the_nosings_stands_clear_of_a_raked_bottom_rail() -> None:
    """The words of a guard's height lie over no rail of a flight with panels.

    It is drawn at 1:20, where 13 letters of 1.44 mm are 18.7 and half of the height is 25. On a
    flight that falls to the right, the rail left of a plumb line is higher than at that line.
    """
    level = {"id": "deck", "drop": 900, "edges": [{"edge": 2, "condition": "wall"}]}
    level["outline"] = {"points": [[0, 0], [4200, 0], [4200, 3600], [0, 3600]]}
    level["openings"] = [{"id": "g", "edge": 0, "from": 1600, "width": 900, "use": "stair"}]
    stair = {"id": "f", "opening": "deck/g", "rise": 900, "risers": 5, "going": 260, "nosing": 20}
    kit = {"unit": "mm", "kit": "glass-picket-surface-mm"}
    guard = {"infill": "glass", "height": 1000}
    stairs = [{**stair, "guards": ["left", "right"]}]
    subject = subject_of({**kit, "guard": guard, "levels": [level], "stairs": stairs})
    told = 0
    for view in _all_views(subject):
        for mark in view.marks:
            if isinstance(mark, Words) and mark.text == "guard 1000 mm":
                room = room_of(mark, view.scale.per_unit)
                assert all(room.disjoint(rail) for rail in _shapes(view, "rail"))
                told += 1
    assert told == 2


def test_a_flight_is_as_large_as_its_page_has_room_for() -> None:
    """A flight is drawn at 1:25, where it takes 134 of the page's 137 mm; at 1:20 it would be 160.

    From the ground 1575 under the deck to the head of a post of 1100 it is 107 mm at 1:25, 3.3 with
    the post's id, and 23.7 with the rows under it (8, 4, 1.6 and 7 letters of 1.44).
    """
    views = [view for page in _flight_pages() for view in (each.view for each in page.views)]
    sides = [view for view in views if "side of flight" in view.title]
    assert [view.scale.ratio for view in sides] == [25, 25]
    for view in sides:
        drawn = [mark for mark in view.marks if mark.layer in ("post", "dimension")]
        ends = [point for mark in drawn for point in _box(mark, view)]
        (name,) = [each for each in view.marks if isinstance(each, Words) and each.text in HEADS]
        high = name.at[1] + 1.8 / view.scale.per_unit
        tall = (high - min(y for _, y in ends)) * view.scale.per_unit
        assert tall == pytest.approx(107.0 + 3.3 + 23.68, abs=0.01)


def test_the_id_of_the_post_at_the_head_stands_close_over_it() -> None:
    """The id of the post at a flight's head stands 1.5 mm over it: 37.5 at 1:25, over 1100.

    It ends over the face where the rail begins, which is 30 off a middle that stands 90 inside the
    edge, on either side of a flight.
    """
    found = {
        mark.text: mark
        for page in _flight_pages()
        for placed in page.views
        for mark in placed.view.marks
        if "side of flight" in placed.view.title
        if isinstance(mark, Words) and mark.text in HEADS
    }
    assert [found[name].anchor for name in HEADS] == ["end", "start"]
    assert found["P3"].at == pytest.approx((-60.0, 1137.5))
    assert found["P4"].at == pytest.approx((60.0, 1137.5))


HEADS = ("P3", "P4")


def _flight_pages() -> tuple[Page, ...]:
    subject = example("glass-flight")
    return draw_elevations(subject, heading(subject))


@pytest.mark.parametrize("layer", ["rail", "glass", "picket"])
def test_nothing_in_a_bay_lies_in_a_post(layer: str) -> None:
    """Rails, panels and pickets end at the posts' faces or before them, in measured bays too."""
    for name, _, view in _views():
        posts = shapely.union_all(_shapes(view, "post"))
        patterns = ("full", "dashed") if layer == "glass" else ("full",)
        for pattern in patterns:
            for shape in _shapes(view, layer, pattern):
                assert shape.intersection(posts).area < 1e-6, (name, view.title)


def test_pickets_stand_between_the_rails() -> None:
    """What is seen of a picket begins and ends at a rail, level or raked."""
    for name, _, view in _views():
        rails = shapely.union_all(_shapes(view, "rail"))
        for picket in _shapes(view, "picket"):
            assert picket.intersection(rails).area < 1e-6, name
            # Its four corners lie on the two rails, or within a rail's allowance off its end.
            corners = shapely.points(list(picket.exterior.coords))
            assert max(shapely.distance(rails, corners)) < 1.0 * (25.4 if _mm(view) else 1.0), name


def _mm(view: View) -> bool:
    return view.scale.unit == "mm"


def test_weep_holes_lie_in_a_rail() -> None:
    """The middle of each weep hole lies within the length of a bottom rail."""
    found = 0
    for name, _, view in _views():
        rails = shapely.union_all(_shapes(view, "rail"))
        for mark in view.marks:
            if isinstance(mark, Disc) and mark.layer == "block":
                found += 1
                # Discs that are drawn larger than the hole lie a little higher than it.
                assert rails.distance(shapely.Point(mark.at)) < mark.radius, (name, view.title)
    assert found > 1000


def test_unlike_end_spacers_are_told_by_their_ends() -> None:
    """A bay whose end spacers differ has each of them with the end that it belongs to.

    End gaps are (44.9375 - 7.5 - 33.75)/2 = 1.84375, less 3/16 into a socket and 1/8 into a wall
    bracket: 1 5/8 by the post and 1 11/16 by the wall. The wall is right of B7 and left of B8; B5
    has sockets alone.
    """
    said = {each["id"]: each for each in example("against-a-house").reply["bays"]}
    deck = example("against-a-house").deck
    notes = {
        name: bay_note(said[name], None, deck, "", places=False) for name in ("B5", "B7", "B8")
    }
    assert 'spacers top 9 x 3 3/4", 2 x 1 5/8";' in notes["B5"]
    assert 'spacers top 9 x 3 3/4", 1 x 1 5/8" left, 1 x 1 11/16" right;' in notes["B7"]
    assert 'spacers top 9 x 3 3/4", 1 x 1 11/16" left, 1 x 1 5/8" right;' in notes["B8"]


def test_a_measured_bay_is_told_with_its_measures() -> None:
    """A measured bay has both its measures, as the lesser alone may be under the bottom rail's cut.

    B1 of glass_flight_measured measured 932 at the top rail and 929 at the bottom rail, B8, down
    its flight, 859 and 860 along the rails. A bay measured alike at both has the one length. A bay
    that was not measured has none.
    """
    subject = example("glass-flight-measured")
    views = [
        each.view for page in draw_elevations(subject, heading(subject)) for each in page.views
    ]
    marks = (mark for view in views for mark in view.marks)
    words = " ".join(mark.text for mark in marks if isinstance(mark, Words))
    on_site = "sizes as measured on site,"
    assert f"{on_site} 932 mm at the top rail and 929 mm at the bottom rail." in words
    assert f"{on_site} 859 mm at the top rail and 860 mm at the bottom rail." in words
    assert words.count(on_site) == len(subject.layout.measures)
    even = MeasureSeen("B1", "R1", 46.75, 46.75, 46.75)
    assert measures_words(even, {"unit": "in"}) == "3' 10 3/4\" at both rails"


def test_numbers_are_finite() -> None:
    """Every coordinate of every mark of any deck is a finite number."""
    for name, _, view in _views():
        points = [point for mark in view.marks for point in _box(mark, view)]
        assert all(math.isfinite(x) and math.isfinite(y) for x, y in points), name


def _expanded(text: str, letter: str) -> Iterator[str]:
    """The ids in a list, where a dash stands for all those between."""
    for first, last in re.findall(rf"\b{letter}([0-9]+)(?:-{letter}([0-9]+))?", text):
        yield from (f"{letter}{number}" for number in range(int(first), int(last or first) + 1))


def _told(views: list[View], letter: str) -> Counter[str]:
    """How often each id is printed as a label, or listed as alike to one that is."""
    told: Counter[str] = Counter()
    for view in views:
        for mark in view.marks:
            if isinstance(mark, Words) and re.fullmatch(rf"{letter}[0-9]+", mark.text):
                told[mark.text] += 1
        lines = " ".join(mark.text for mark in view.marks if isinstance(mark, Words))
        for listed in re.findall(r"Alike: .*?\.|Alike to .*", lines):
            told.update(_expanded(listed.removeprefix("Alike to "), letter))
    return told


def _all_views(subject: Subject) -> list[View]:
    pages = draw_elevations(subject, heading(subject))
    return [placed.view for page in pages for placed in page.views]


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_bay_is_told_once(name: str) -> None:
    """Every bay is printed once, as the label of a drawn bay or in a list of bays alike to one."""
    subject = example(name)
    told = _told(_all_views(subject), "B")
    assert told == Counter(bay.id for bay in subject.layout.bays)


def test_every_run_with_something_built_is_in_one_title() -> None:
    """In all decks every run with something built is named in one title, which its parts share.

    A flight's guard has posts even where its bays are too small to have rails.
    """
    for name, subject in everything():
        heads = {view.title.partition(":")[0]: view for view in _all_views(subject)}
        told = Counter(each for head in heads for each in _expanded(head, "R"))
        railed = {bay.run for bay in subject.layout.bays}
        built = (run.id for run in subject.layout.runs if run.id in railed or run.flight)
        assert told == Counter(built), name


def test_the_largest_deck_is_drawn_by_its_kinds() -> None:
    """2432 bays of few kinds are each named once, in a handful of views."""
    subject = subject_of(largest())
    views = _all_views(subject)
    assert _told(views, "B") == Counter(bay.id for bay in subject.layout.bays)
    assert len(views) < 12


def test_the_same_deck_gives_the_same_bytes() -> None:
    """A deck that is drawn again, and laid out anew and drawn, gives the same bytes."""
    name = "two-levels"
    made = [make_sheet("elevations", "image/svg+xml", example(name)) for _ in range(2)]
    example.cache_clear()
    made.append(make_sheet("elevations", "image/svg+xml", example(name)))
    assert made[0] == made[1] == made[2]
    assert b"nan" not in made[0]


def test_what_is_alike_is_told_by_its_bays_and_posts() -> None:
    """A run that is alike to a drawn one is listed under it by its bays and posts.

    Steps in the middle of a front part it into two runs of one kind. The second, of B3 from P4 to
    P5 and B4 from there to P6, is listed under the first.
    """
    subject = example("against-a-house")
    bays = {bay["id"]: (bay["run"], bay["from"], bay["to"]) for bay in subject.reply["bays"]}
    assert (bays["B3"], bays["B4"]) == (("R2", "P4", "P5"), ("R2", "P5", "P6"))
    pages = draw_elevations(subject, head(subject, "Elevations"))
    marks = [mark for page in pages for placed in page.views for mark in placed.view.marks]
    told = [mark.text for mark in marks if isinstance(mark, Words)]
    assert "Alike: R2: B3, B4, at P4-P6." in told


def test_a_long_list_of_what_is_alike_shares_a_page_with_drawings() -> None:
    """The fronts and the sides of notches are listed: 9 are like the first front, 17 like a side.

    Each list is as narrow as the notes of a view, 80 mm, and stands beside a drawing. The runs of a
    kind are one view each, so with the two outer sides there are five drawings.
    """
    subject = subject_of(ten_fronts())
    views = [
        [placed.view for placed in page.views]
        for page in draw_elevations(subject, heading(subject))
    ]
    lists = [[view for view in page if view.title.startswith("Alike to")] for page in views]
    assert [view.title for page in lists for view in page] == ["Alike to R1", "Alike to R2"]
    assert all(view.size[0] <= 80.0 for page in lists for view in page)
    assert [len(page) - len(some) for page, some in zip(views, lists, strict=True)] == [2, 1, 1, 1]


def test_the_scale_of_a_page_is_that_of_its_drawings() -> None:
    """A list of what is alike has none: drawings beside it are at 1:32, and nothing is at 1:24."""
    subject = subject_of(ten_fronts())
    page, *_ = draw_elevations(subject, heading(subject))
    told = [mark.text for mark in page.strip if isinstance(mark, Words)]
    assert [text for text in told if text.startswith("Scale")] == ["Scale 3/8\" = 1' (1:32)"]


def test_a_deck_between_walls_has_words_in_place_of_drawings() -> None:
    """A deck between walls, with nothing to draw, has a sentence on its page and no scale."""
    walls = [{"edge": i, "condition": "wall"} for i in range(4)]
    square = {"points": [[0, 0], [60, 0], [60, 60], [0, 60]]}
    level = {"id": "main", "drop": 48, "outline": square, "edges": walls}
    subject = subject_of({**README, "levels": [level]})
    (page,) = draw_elevations(subject, heading(subject))
    (placed,) = page.views
    assert [each.text for each in placed.view.marks if isinstance(each, Words)] == [
        "There is no railing to draw."
    ]
    assert not any(mark.text.startswith("Scale") for mark in page.strip if isinstance(mark, Words))
