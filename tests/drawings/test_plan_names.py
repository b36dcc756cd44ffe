"""The plan: each name stands nearer to what it names than to anything else of its kind."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator

import pytest
import shapely

from service.core.measure import Point
from service.drawings.marks import Words, width_of
from service.drawings.parts import Subject, View
from service.drawings.plans import closer, flight_names, sheet
from service.drawings.plans.placed import Course, Track
from service.drawings.plans.scene import Scene, scenes_of
from tests.bench.decks import flights
from tests.cases.test_cases import FILES, request_of
from tests.drawings.plans import strokes, views_of, wholes_of
from tests.drawings.subjects import EXAMPLES, ROOT, request, subject_of


@pytest.fixture(autouse=True)
def whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draws lines without gaps for words, as these tests look at where words find room."""
    for module in (sheet, closer):
        monkeypatch.setattr(module, "break_lines", lambda paper: None)


INCH_KIT = "picket-glass-surface-in"


def case(name: str) -> Subject:
    """The subject of a worked case of a flight."""
    (path,) = (each for each in FILES if each.parent.name == "flights" and each.stem == name)
    return subject_of(request_of(json.loads(path.read_text("utf-8"))))


def two_on_one_side(apart: int, names: tuple[str, str] = ("left", "right")) -> Subject:
    """Two flights of 36 in off one edge, from 40 and from `apart` past the end of the first."""
    openings = [
        {"id": name, "edge": 0, "from": start, "width": 36, "use": "stair"}
        for name, start in zip(names, (40, 76 + apart), strict=True)
    ]
    stairs = [
        {
            **{"id": name, "opening": f"main/{name}", "rise": 49, "risers": 7, "going": 10},
            **{"nosing": 1, "guards": ["left", "right"], "height": 36},
        }
        for name in names
    ]
    outline = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    level = {"id": "main", "outline": outline, "drop": 49, "openings": openings}
    kit = {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "picket"}}
    return subject_of({**kit, "levels": [level], "stairs": stairs})


def drawn(view: View) -> Iterator[Words]:
    """The words of a plan, without those beside it."""
    assert view.drawing_box is not None
    (x0, y0), (x1, y1) = view.drawing_box
    for mark in view.marks:
        if isinstance(mark, Words) and x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1:
            yield mark


def room_of(mark: Words, per_unit: float) -> shapely.Polygon:
    """The box that words take up, from their line to the tops of their capitals."""
    width, rise = width_of(mark.text, mark.size) / per_unit, mark.size / per_unit
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    (x, y) = mark.at
    level = shapely.box(x + start, y, x + start + width, y + rise)
    return shapely.affinity.rotate(level, mark.turn, origin=(x, y))


def shape_of(course: Course) -> shapely.Polygon:
    """A flight's treads, from the deck's edge to its lowest nosing."""
    foot = max(course.flight.total_going, 1.0)
    return shapely.Polygon([*course.head, course.at(1.0, foot), course.at(0.0, foot)])


def test_the_name_of_a_flight_is_whole() -> None:
    """A name wider than 30 mm is broken after a hyphen, and what else is said follows below it.

    A letter takes 1.8 x 0.8 = 1.44 mm, so 20 of them have room: "steps-to-the-side-of" has 20, and
    its last hyphen is the 18th; "of-the-garden: down," has 20. A row is 2.9 mm below the one above.
    """
    name = "steps-to-the-side-of-the-garden"
    (view,) = views_of(two_on_one_side(90, ("left", name)))
    rows = ["steps-to-the-side-", "of-the-garden: down,", "7 risers", 'rise 4\' 1", going 10"']
    (first,) = [mark for mark in drawn(view) if mark.text == rows[0]]
    block = [mark for mark in drawn(view) if mark.text in rows and mark.at[0] == first.at[0]]
    assert [mark.text for mark in block] == rows
    deep = [(first.at[1] - mark.at[1]) * view.scale.per_unit for mark in block]
    assert deep == pytest.approx([0.0, 2.9, 5.8, 8.7])


def test_a_name_that_a_line_cannot_hold_past_its_hyphen_has_no_space_put_in() -> None:
    """What is left past a hyphen and is longer than a line begins on a line of its own.

    Of "steps-to_the_side_of_the_garden:" the only hyphen within 20 letters is the 6th; 26 are left,
    of which 20 make a line, so that "arden:" and "down," follow. With "7 risers" that would be 21.
    """
    (view,) = views_of(two_on_one_side(90, ("left", "steps-to_the_side_of_the_garden")))
    rows = ["steps-", "to_the_side_of_the_g", "arden: down,", "7 risers"]
    texts = [mark.text for mark in drawn(view)]
    assert [texts[i : i + 4] for i, text in enumerate(texts) if text == rows[0]] == [rows]


def test_the_names_of_a_flight_from_another_level_are_whole() -> None:
    """Below, a flight has its own name and that of its level in rows of at most 20 letters.

    "(between-the-two-decks," has 23 letters, and its last hyphen within 20 is the 17th; that of the
    26 letters of "the-deck-behind-the-house)" is the 20th. Above, "to" and a name are one word.
    """
    document = request("two-levels")
    stair, upper = document["stairs"][0], document["levels"][0]
    stair["id"], upper["id"] = "between-the-two-decks", "the-deck-behind-the-house"
    stair["opening"] = "the-deck-behind-the-house/head"
    document["levels"][1]["id"] = stair["to_level"] = "lower-deck-by-the-pond"
    above, below = views_of(subject_of(document))
    told = [mark.text for mark in drawn(above)]
    assert told[told.index("to lower-deck-by-") + 1] == "the-pond"
    rows = ["(between-the-two-", "decks, down from", "the-deck-behind-the-", "house)"]
    (first,) = [mark for mark in drawn(below) if mark.text == rows[0]]
    assert [mark.text for mark in drawn(below) if mark.at[0] == first.at[0]] == rows


def test_a_long_name_of_a_flight_is_whole_beside_the_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a flight has room for no more than a name, which is cut short, all of it is told beside
    the plan."""
    monkeypatch.setattr(flight_names, "_write_rows", lambda *_: False)
    name = "steps-to-the-side-of-the-garden"
    (view,) = views_of(two_on_one_side(90, ("left", name)))
    assert "steps-to-the-side-o…" in [mark.text for mark in drawn(view)]
    told = "".join(mark.text for mark in view.marks if isinstance(mark, Words))
    assert f"{name}: down" in told


@pytest.mark.parametrize(
    ("made", "told"),
    [
        pytest.param(case("two_side_by_side"), 2, id="side by side"),
        pytest.param(case("one_over_another"), 1, id="of two levels"),
        pytest.param(two_on_one_side(12), 2, id="a foot apart"),
        pytest.param(two_on_one_side(48), 2, id="four feet apart"),
        pytest.param(two_on_one_side(90), 2, id="far apart"),
        pytest.param(subject_of(flights(2, 7)), 2, id="long names"),
    ],
)
def test_a_flights_words_are_nearest_to_their_own_flight(made: Subject, told: int) -> None:
    """The words of each flight of a level stand once, nearer to its own treads than to all others.

    They are its text, or its id alone.
    """
    for scene, view in zip(scenes_of(made), views_of(made), strict=True):
        courses = scene.courses
        assert len(courses) in (0, told)
        for own in courses:
            name = own.flight.id
            texts = (name, f"{name}: down, {own.flight.risers} risers")
            (said,) = [mark for mark in drawn(view) if mark.text in texts and mark.layer == "words"]
            room = room_of(said, view.scale.per_unit)
            near = sorted(courses, key=lambda course: shape_of(course).distance(room))
            assert near[0] is own


RUN = re.compile(r"R\d+(?: and R\d+)?\b")


def along_and_off(start: Point, end: Point, at: Point) -> tuple[float, float]:
    """How far a point is along a line from its start, and off it to the right."""
    size = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / size, (end[1] - start[1]) / size
    x, y = at[0] - start[0], at[1] - start[1]
    return x * ux + y * uy, x * uy - y * ux


def beside(line: shapely.LineString, start: Point, end: Point, k: float) -> float | None:
    """How far in mm a line lies to the right of one from `start` to `end` that it is parallel to.

    It has to lie beside a part of that line which begins at one of its ends; None where it does
    not.
    """
    places = [along_and_off(start, end, at) for at in line.coords]
    (first, one), (last, other) = sorted(places)
    size = math.dist(start, end)
    ends = abs(first) * k < 0.05, abs(last - size) * k < 0.05
    if abs(one - other) * k > 0.05 or (last - first) * k < 5 or not any(ends):
        return None
    return one * k if first * k > -0.05 and (last - size) * k < 0.05 else None


def measured_on(
    lines: list[shapely.LineString], track: Track, k: float
) -> shapely.LineString | None:
    """The line that a run is measured on; None if there is none.

    It is as long as the run, the nearest of those more than 4 mm off, and on the outer side of a
    flight.
    """
    found = []
    for each in lines:
        off = beside(each, track.points[0], track.points[-1], k)
        is_whole = abs(each.length - track.run.length) * k < 0.05
        is_there = off is not None and (track.run.flight is None or off * track.out > 0)
        if is_there and is_whole and abs(off or 0.0) > 4:
            found.append((abs(off or 0.0), each))
    return min(found, key=lambda each: each[0])[1] if found else None


def edge_lines(
    lines: list[shapely.LineString], scene: Scene, k: float
) -> Iterator[shapely.LineString]:
    """The lines that edges are measured on, outside of them, in pieces where flights lie."""
    for each in lines:
        offs = [beside(each, edge.points[0], edge.points[-1], k) for edge in scene.edges.values()]
        if any(off is not None and off > 4.5 for off in offs):
            yield each


def check_run_names(scene: Scene, view: View) -> int:
    """Check that each run's name on a level is by the run's own line, or that a line leads to it.

    Returns how many of the names are of runs that are measured.
    """
    k = view.scale.per_unit
    drawn_lines = [each for each in strokes(view, "dimension") if len(set(each.points)) == 2]
    lines = [shapely.LineString(each.points) for each in drawn_lines]
    tracks = scene.tracks
    runs = {name: measured_on(lines, track, k) for name, track in tracks.items()}
    edges = [
        each
        for each in edge_lines(lines, scene, k)
        if not any(each is line for line in runs.values())
    ]
    count = 0
    for mark in drawn(view):
        if mark.layer != "dimension" or not RUN.match(mark.text):
            continue
        named, room = re.findall(r"R\d+", mark.text), room_of(mark, k)
        own = [runs[name] for name in named if runs[name] is not None]
        if not own:
            continue
        count += 1
        rest = [line for name, line in runs.items() if name not in named and line is not None]
        others = [line for line in (*rest, *edges) if not any(line is each for each in own)]
        off = min(line.distance(room) for line in own if line is not None)
        led = any(
            line.distance(room) * k < 1.2 and shapely.Point(line.coords[0]).distance(its) * k < 0.05
            for line in lines
            for its in own
            if not any(line is each for each in (*rest, *own, *edges))
        )
        nearest = min((line.distance(room) for line in others), default=math.inf)
        assert led or (off * k < 3 and off < nearest), mark.text
    return count


def check_runs(subject: Subject) -> int:
    """Check the names of runs on all plans of a subject; returns how many were checked."""
    pairs = zip(scenes_of(subject), wholes_of(subject), strict=True)
    return sum(check_run_names(*pair) for pair in pairs)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_name_of_a_run_is_by_its_own_line(name: str) -> None:
    """A run's name stands at most 3 mm from its own line, or a leader goes from that line to it.

    Without a leader it is nearer to that line than to the line of any other run or edge. This holds
    in every example, most of whose runs are measured.
    """
    subject = subject_of(request(name))
    assert 2 * check_runs(subject) > len(subject.layout.runs) / 2


def test_the_names_of_runs_by_flights_are_by_their_own_lines() -> None:
    """The same holds in every worked case of a flight."""
    for path in (each for each in FILES if each.parent.name == "flights"):
        document = json.loads(path.read_text("utf-8"))
        if document["status"] == 200:
            assert check_runs(subject_of(request_of(document))) > 0


NAMES = re.compile(rf"{RUN.pattern}|.*: down, ")


def struck(view: View, which: re.Pattern[str] = NAMES) -> list[str]:
    """Words of a kind (names of runs and words of flights) that a line runs through.

    The line is of a dimension or leads to a name. It counts if more than 0.6 mm of it lie within
    the words' middle, which is what is left where 0.45 mm of each side is cut.
    """
    k = view.scale.per_unit
    lines = [each for each in strokes(view, "dimension") if len(set(each.points)) == 2]
    tree = shapely.STRtree([shapely.LineString(each.points) for each in lines])
    found = []
    for mark in drawn(view):
        if which.match(mark.text):
            inner = room_of(mark, k).buffer(-0.45 / k)
            cut = shapely.intersection(tree.geometries[tree.query(inner)], inner)
            if (shapely.length(cut) * k > 0.6).any():
                found.append(mark.text)
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_line_strikes_the_name_of_a_run_or_a_flight(name: str) -> None:
    """No line runs through the name of a run or the words of a flight in any example."""
    assert [text for view in views_of(subject_of(request(name))) for text in struck(view)] == []


@pytest.mark.parametrize("name", ["to_a_level", "foot_on_the_ground", "two_side_by_side"])
def test_no_line_to_a_bay_strikes_a_name(name: str) -> None:
    """No line to a bay's id runs through a name beside a flight.

    The ids of bays and posts have little room there.
    """
    assert [text for view in views_of(case(name)) for text in struck(view)] == []


@pytest.mark.parametrize("name", ["seven_risers", "glass_millimetre", "height_of_the_code"])
def test_no_line_strikes_where_the_marks_of_a_flight_begin(name: str) -> None:
    """No line runs through the 0 at which the marks of a flight begin.

    It stands by the flight's head, which the line of the run along the level's next side goes past.
    """
    nought = re.compile('0( mm|")$')
    views = views_of(case(name))
    assert any(nought.match(mark.text) for view in views for mark in drawn(view))
    assert [text for view in views for text in struck(view, nought)] == []


@pytest.mark.parametrize("name", ["head_without_a_level_rail", "over_an_inner_corner"])
def test_the_name_of_a_post_is_nearest_to_that_post(name: str) -> None:
    """A post's name stands nearest to its base, or a line leads from the base to it.

    This holds at the head of a flight beside a corner, too.
    """
    subject = case(name)
    for scene, view in zip(scenes_of(subject), wholes_of(subject), strict=True):
        bases = {post.id: shapely.Polygon(post.base) for post in scene.posts.values()}
        k = view.scale.per_unit
        leads = [each.points for each in strokes(view, "dimension") if len(each.points) == 2]
        for mark in drawn(view):
            if mark.text in bases:
                room = room_of(mark, k)
                led = any(
                    shapely.Point(start).within(bases[mark.text])
                    and shapely.Point(end).distance(room) * k < 1.2
                    for start, end in leads
                )
                nearest = min(bases, key=lambda each: bases[each].distance(room))
                assert led or nearest == mark.text


def test_a_line_to_the_name_of_a_bay_runs_through_no_post() -> None:
    """The line that leads to a bay's name keeps off the bases of posts.

    The bay goes from a passage to a corner, and the marks of the run along the front leave no room
    beside it for its name. A line along its own rail and through the corner's post would end below
    the corner, as if the corner were what is named.
    """
    front = {"id": "front", "edge": 0, "from": 100, "width": 40, "use": "gate", "opens": "out"}
    side = {"id": "side", "edge": 3, "from": 60, "width": 36, "use": "passage"}
    level = {"id": "main", "drop": 36, "openings": [front, side]}
    level["outline"] = {"points": [[0, 0], [240, 0], [240, 150], [0, 150]]}
    level["edges"] = [{"edge": 2, "condition": "wall"}]
    flight = {"id": "down", "opening": "main/front", "rise": 36, "risers": 5, "going": 11}
    stairs = [{**flight, "guards": ["left"], "handrail": ["left"]}]
    guard = {"infill": "picket"}
    document = {"unit": "in", "kit": INCH_KIT, "guard": guard, "levels": [level], "stairs": stairs}
    subject = subject_of(document)
    (scene,), (view,) = scenes_of(subject), wholes_of(subject)
    (bay,) = (bay for bay in subject.layout.bays if bay.end == "P1")
    middle = shapely.Point(3.5, (scene.posts[str(bay.start)].at[1] + 3.5) / 2)
    room = room_of(next(each for each in drawn(view) if each.text == bay.id), view.scale.per_unit)
    near = 1.2 / view.scale.per_unit
    (lead,) = (
        line
        for each in strokes(view, "dimension")
        if len(each.points) == 2
        and (line := shapely.LineString(each.points)).distance(middle) < near
        and shapely.Point(each.points[1]).distance(room) < near
    )
    bases = shapely.union_all([shapely.Polygon(post.base) for post in scene.posts.values()])
    assert lead.disjoint(bases)


def test_the_number_of_an_edge_is_nearest_to_that_edge() -> None:
    """An edge's number stands nearest to that edge, or a line leads to it from the edge's middle.

    The deck has eleven corners, and its short sides have no room for their lengths.
    """
    outlines = json.loads((ROOT / "tests/data/outlines_in.json").read_text("utf-8"))["outlines"]
    (points,) = (each["points"] for each in outlines if each["id"] == "deck-33")
    level = {"id": "main", "outline": {"points": points}}
    document = {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "picket"}, "levels": [level]}
    subject = subject_of(document)
    (scene,), (view,) = scenes_of(subject), wholes_of(subject)
    k = view.scale.per_unit
    leads = [each.points for each in strokes(view, "dimension") if len(each.points) == 2]
    edges = {number: shapely.LineString(edge.points) for number, edge in scene.edges.items()}
    told = []
    for mark in drawn(view):
        if found := re.fullmatch(r"(?:edge )?(\d+)", mark.text):
            number, room = int(found[1]), room_of(mark, k)
            middle = edges[number].interpolate(0.5, normalized=True)
            led = any(
                middle.distance(shapely.Point(start)) < 1e-6
                and shapely.Point(end).distance(room) * k < 1.2
                for start, end in leads
            )
            assert led or min(edges, key=lambda each: edges[each].distance(room)) == number
            told.append(number)
    lengths = [mark.text for mark in drawn(view) if re.match(r"edge \d+: ", mark.text)]
    assert sorted([*told, *(int(text[5:].split(":")[0]) for text in lengths)]) == list(range(11))
    assert len(told) > 5


def test_the_length_of_an_edge_is_not_read_on_from_the_words_of_its_flight() -> None:
    """The length of an edge stands more than 1.6 mm off the last row of a flight's words.

    Below the flight of the example, whose last row is "to lower", stands the line of edge 0, and
    beside it the edge's length. Rows of one text stand 0.5 apart.
    """
    view = views_of(subject_of(request("two-levels")))[0]
    found = {mark.text: room_of(mark, view.scale.per_unit) for mark in drawn(view)}
    gap = found["to lower"].distance(found["edge 0: 16'"]) * view.scale.per_unit
    assert gap > 1.6


def test_sides_a_degree_off_square_are_read_from_the_right() -> None:
    """Names of sides that are nearly upright are turned to read from the right, as upright ones.

    Going up, the left side leans 2 in 144 to the left, 0.8 degrees, and the right side as much to
    the right. The front is read from below.
    """
    points = [[0, 0], [240, 0], [242, 144], [-2, 144]]
    level = {"id": "main", "outline": {"points": points}}
    document = {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "picket"}, "levels": [level]}
    (view,) = wholes_of(subject_of(document))
    lean = math.degrees(math.atan2(2.0, 144.0))
    turns = {"0": 0.0, "1": 90.0 - lean, "3": 90.0 + lean}
    for number, turn in turns.items():
        names = re.compile(rf"edge {number}: |R{int(number) + 1} ")
        found = [mark.turn for mark in drawn(view) if names.match(mark.text)]
        assert found == pytest.approx([turn, turn])
