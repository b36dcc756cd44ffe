"""Every sheet, in every form in which it is offered."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from service.core import limits
from service.core.measure import Unit
from service.core.problems import TooLarge
from service.drawings import job
from service.drawings.elevations.sheet import draw_elevations
from service.drawings.job import make_job
from service.drawings.look_at import NONE, look_at
from service.drawings.looks import LOOKS
from service.drawings.marks import Layer, Stroke, Words, width_of
from service.drawings.pages import MARGIN, SIZES, STRIP, strip_of
from service.drawings.parts import Heading, Json, Page, Subject, Table
from service.drawings.plans.closer import MOST_PARTS
from service.drawings.points import Rect
from service.drawings.sheets import SHEETS, SUFFIXES, head, make_sheet
from service.drawings.writers.svg import page_style, page_svg, write_svg
from service.wire.writing.cautions import (
    ALWAYS,
    GLASS,
    MEASURE_AGAIN,
    RAKED_GLASS,
    STRENGTH,
    TREATED_TIMBER,
)
from tests.bench.decks import stepped
from tests.drawings.pieces import heading, page
from tests.drawings.subjects import example, request, subject_of

BEGINS = {
    "svg": b"<?xml",
    "pdf": b"%PDF-1.4",
    "dxf": b"0\nSECTION\n2\nHEADER\n",
    "csv": b"\xef\xbb\xbf",
    "html": b"<!DOCTYPE html>",
}
ROOT = Path(__file__).resolve().parents[2]
EVERY = [(name, media) for name, sheet in SHEETS.items() for media in sheet.medias]


@pytest.mark.parametrize(("name", "media"), EVERY)
@pytest.mark.parametrize("deck", ["against-a-house", "bowed-edge", "glass-flight"])
def test_every_sheet_is_written(name: str, media: str, deck: str) -> None:
    """Every sheet is a file of its own kind.

    The decks are in inches and in millimetres, straight and bowed, and one has a flight.
    """
    written = make_sheet(name, media, example(deck))
    assert written.startswith(BEGINS[SUFFIXES[media]])
    assert written.endswith((b"\n", b"%%EOF\n"))


def test_a_plan_is_to_be_had_in_three_forms() -> None:
    """A plan is offered as a picture first, then for print, then as a drawing for CAD."""
    assert SHEETS["plan"].medias[:3] == ("image/svg+xml", "application/pdf", "image/vnd.dxf")


def test_the_same_bytes_in_every_process() -> None:
    """No byte depends on the seed of hashes, the time zone or the time."""
    told = []
    for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland")):
        around = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(ROOT)}
        command = [sys.executable, "-m", "tests.drawings.fingerprints"]
        told.append(subprocess.run(command, env=around, cwd=ROOT, capture_output=True, check=True))
    assert told[0].stdout == told[1].stdout
    assert len(told[0].stdout.splitlines()) == 2 + len(EVERY)


def finding(rule: str, result: str, severity: str) -> Json:
    """A finding of a reply, with a message made up from its rule."""
    return {
        "rule": rule,
        "result": result,
        "severity": severity,
        "where": ["main/1", "main/2"],
        "message": f"{rule} says so.",
    }


def judged(*findings: Json) -> Subject:
    """The subject of an example with the given findings in place of its own."""
    own = example("against-a-house")
    return replace(own, reply={**own.reply, "findings": list(findings)})


def test_what_to_look_at_first() -> None:
    """The list has violations, then warnings, then what was not checked; what passes is left out.

    A row of a failed finding has the number of its flag on the plan, which goes by the reply's
    order.
    """
    passed = finding("guard_height", "pass", "note")
    unseen = finding("base_on_deck", "not_checked", "note")
    own = {"cite": "picket-glass-surface-in"}
    warned = {**finding("weep_holes", "fail", "warning"), **own, "source": "kit"}
    heads = {**finding("head_heights", "fail", "warning"), **own, "source": "engineering"}
    glass = {**finding("order_before_posts", "not_checked", "note"), **own, "source": "survey"}
    failed = {**finding("opening_size", "fail", "violation"), "cite": "IRC 2021 R312.1.3"}
    (shown,) = look_at(judged(passed, unseen, glass, warned, heads, failed), heading())
    where = "main/1, main/2"
    assert shown.rows == (
        ("3", "opening size", "fails", where, "opening_size says so.", "IRC 2021 R312.1.3"),
        ("1", "weep holes", "fails (warning)", where, "weep_holes says so.", "the kit"),
        ("2", "head heights", "fails (warning)", where, "head_heights says so.", "engineering"),
        ("", "base on deck", "not checked", where, "base_on_deck says so.", ""),
        (
            "",
            "order before posts",
            "not checked",
            where,
            "order_before_posts says so.",
            "the survey",
        ),
    )
    assert shown.note == ""


def test_a_flag_in_the_list_is_the_one_on_the_plan() -> None:
    """Each row of the list has the number of its flag on the plan.

    Six posts whose fixings miss the timber have flag 1, and so have their rows. Where nothing
    fails, the list has no column of flags.
    """
    (shown,) = look_at(example("framing-and-blocking"), heading())
    rows = [row for row in shown.rows if row[2].startswith("fails")]
    assert {row[0] for row in rows} == {"1"}
    assert {row[1] for row in rows} == {"fixing into framing"}
    (unflagged,) = look_at(example("against-a-house"), heading())
    assert [column.key for column in unflagged.columns][0] == "rule"


def test_an_edge_to_look_at_is_called_as_a_person_calls_it() -> None:
    """A place on an edge is named "edge 3 of main", also where it is the last edge.

    That edge is open over a drop of 48 in, where a guard is required.
    """
    level = {
        **{"id": "main", "drop": 48, "edges": [{"edge": 3, "condition": "open"}]},
        "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
    }
    kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    (shown,) = look_at(subject_of({**kit, "code": "us-irc-2021", "levels": [level]}), heading())
    where = [row[3] for row in shown.rows if row[1] == "guard required"]
    assert where == ["edge 3 of main"]


def test_a_bay_to_look_at_is_not_called_as_a_level_or_a_flight_of_its_id() -> None:
    """Where a level and a flight have ids of bays, a finding names that level `level B1` (reply,
    `where`), and `B1` and `B2` alone may be bays: they stay as they are."""
    both = json.dumps(request("two-levels")).replace('"upper"', '"B1"').replace("upper/", "B1/")
    own = subject_of(json.loads(both.replace('"middle"', '"B2"')))
    places = ["B1", "B2", "B1/edge 0", "level B1", "lower"]
    said = {**finding("weep_holes", "fail", "warning"), "where": places, "source": "engineering"}
    (shown,) = look_at(replace(own, reply={**own.reply, "findings": [said]}), heading())
    assert shown.rows[0][3] == "B1, B2, edge 0 of B1, level B1, level lower"


def test_nothing_to_look_at() -> None:
    """A table without rows says why it has none, and does not say that all is in order."""
    (shown,) = look_at(judged(finding("guard_height", "pass", "note")), heading())
    assert shown.rows == ()
    assert shown.note == NONE


def test_every_finding_that_asks_for_somebody_is_in_the_set() -> None:
    """The list has as many rows as the reply has findings that do not pass."""
    asked = example("against-a-house")
    (shown,) = look_at(asked, heading())
    assert len(shown.rows) == sum(each["result"] != "pass" for each in asked.reply["findings"])
    assert shown.rows


def test_findings_name_places_as_drawings_do() -> None:
    """An edge, a flight and a gate are named as in the titles of views, and a kit as "the kit".

    Ids are named as they are.
    """
    asked = example("two-levels")
    where = ["upper/edge 0", "upper/head", "middle", "lower", "B1", "B2", "B3"]
    where.append(asked.reply["kit"]["id"])
    finding = {**asked.reply["findings"][0], "result": "fail", "where": where}
    (shown,) = look_at(replace(asked, reply={**asked.reply, "findings": [finding]}), heading())
    at = [column.key for column in shown.columns].index("where")
    named = "edge 0 of upper, gate upper/head, flight middle, level lower, B1-B3, the kit"
    assert shown.rows[0][at] == named


def test_a_set_is_in_its_order() -> None:
    """In the whole set findings come before the plan, and each part has its own name."""
    findings, *parts = make_job(example("two-levels"), heading())
    assert isinstance(findings, Table)
    pages = [part for part in parts if isinstance(part, Page)]
    told = [{getattr(mark, "text", "") for mark in each.strip} for each in pages]
    assert all(f"Plan, page {i} of 2" in told[i - 1] for i in (1, 2))
    raised = len(pages) - 2
    assert f"Elevations, page 1 of {raised}" in told[2]
    lists = [part for part in parts if isinstance(part, Table)]
    assert lists[0].title == "Posts"
    assert parts[: len(pages)] == pages


def test_a_set_of_too_many_pages_is_refused_before_its_plan_is_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A set whose levels and elevations are too many pages is refused before its plan is drawn.

    Two levels and the pages of elevations are one page too many.
    """
    asked = example("two-levels")
    raised = len(draw_elevations(asked, heading()))
    monkeypatch.setattr(limits, "PAGES", raised + 1)
    monkeypatch.setattr(job, "draw_plan", None)
    with pytest.raises(TooLarge) as refused:
        make_sheet("job", "application/pdf", asked)
    assert f"{raised + 2} pages" in refused.value.problems[0].message


def test_a_set_has_as_many_parts_of_its_plan_as_pages_are_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A set has a level in parts only if pages are left for as many parts as a level may have.

    A deck of forty corners is drawn in parts. With one page less left than that, the set has the
    level whole, and is not refused.
    """
    asked = subject_of(stepped(19, 1))
    raised = len(draw_elevations(asked, heading()))

    def plans(most: int) -> int:
        monkeypatch.setattr(limits, "PAGES", most)
        parts = [each for each in make_job(asked, heading()) if isinstance(each, Page)]
        return len(parts) - raised

    assert plans(raised + 1 + MOST_PARTS) > 1
    assert plans(raised + MOST_PARTS) == 1


@pytest.mark.parametrize("layer", LOOKS)
def test_a_picture_has_the_looks_of_print(layer: Layer) -> None:
    """Every layer's lines and fill are in the style sheet, from the table that print uses."""
    look, style = LOOKS[layer], page_style()
    width = f"{look.width:g}"
    assert f".{layer}{{stroke:{look.stroke};stroke-width:{width}}}" in style
    assert (f".{layer}.filled{{fill:{look.fill}}}" in style) == bool(look.fill)


def test_a_picture_names_where_its_pages_draw() -> None:
    """An SVG view frames a page's drawing, without the margins and the title, which is the view's
    own title.

    A letter sheet, 279.4 by 215.9, without margins of 10 and a title of 45 leaves 259.4 by 150.9;
    the second page lies a page lower.
    """
    told = write_svg(heading(), [page(), page()]).decode()
    found = re.findall(r'<view id="(.*?)" viewBox="(.*?)"><title>(.*?)</title></view>', told)
    assert found == [
        ("drawing-1", "10 10 259.4 150.9", "Plan of main"),
        ("drawing-2", "10 225.9 259.4 150.9", "Plan of main"),
    ]


def test_a_picture_names_what_a_plan_draws_without_its_words() -> None:
    """An SVG view of a plan frames its drawing box, without the words beside it, with 2 mm around.

    At 1:24 a box from (12, 6) to (84, 42) of a view whose corner is at (18, 60) lies from 18 + 12 k
    to 18 + 84 k across and from 60 + 6 k to 60 + 42 k up, k = 25.4 / 24. With 2 around it, it is
    28.7 from the left and 80.2 by 42.1 large, and its top is 215.9 - 106.45 from the top of the
    page.
    """
    made = page()
    (placed,) = made.views
    view = replace(placed.view, drawing_box=Rect((12.0, 6.0), (84.0, 42.0)))
    told = write_svg(heading(), [replace(made, views=(replace(placed, view=view),))]).decode()
    assert '<view id="drawing-1" viewBox="28.7 109.45 80.2 42.1">' in told


@pytest.mark.parametrize("name", ["against-a-house", "two-levels", "glass-flight"])
def test_of_a_plan_all_that_is_drawn_can_be_seen_by_itself(name: str) -> None:
    """Every post and dimension of a level lies in its SVG view.

    What stands beside the plan, with its title, bar and samples, does not.
    """
    told = ElementTree.fromstring(make_sheet("plan", "image/svg+xml", example(name)))
    views = [view.attrib["viewBox"] for view in told.findall("{*}view")]
    pages = told.findall("{*}g")
    assert len(views) == len(pages) == len(example(name).deck.levels)
    for view, drawn in zip(views, pages, strict=True):
        left, top, wide, tall = map(float, view.split())
        down = float(re.findall(r"[\d.]+", drawn.attrib["transform"])[1])
        spots = list(_spots(drawn))
        ((panel, _),) = [(x, y) for kind, x, y in spots if kind == "title"]
        kinds = set()
        for kind, x, y in spots:
            if kind in ("post", "dimension") and x < panel - 2.0:
                assert left <= x <= left + wide
                assert top <= y + down <= top + tall
                kinds.add(kind)
        assert kinds == {"post", "dimension"}
        assert panel > left + wide


def _spots(drawn: ElementTree.Element) -> Iterator[tuple[str, float, float]]:
    """What is drawn on a page and where: corners of posts, ends of dimensions, the title."""
    for each in drawn:
        kind = each.get("class", "").split(" ")[0]
        if (each.text or "").startswith("Plan of "):
            yield "title", float(each.attrib["x"]), float(each.attrib["y"])
        for point in each.get("points", "").split():
            x, y = map(float, point.split(","))
            yield kind, x, y


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_all_cautions_that_there_are_stand_in_the_strip(unit: Unit) -> None:
    """All cautions together fit into the title strip, on either paper, inside the frame.

    They are those of a deck with raked glass and a strength check.
    """
    use = "No occupancy is given: the code was read for one dwelling's deck, not a shared deck."
    most = (*ALWAYS, use, TREATED_TIMBER, GLASS, RAKED_GLASS, MEASURE_AGAIN, STRENGTH)
    told = Heading("Plan", ("Back deck", "Kit", "Code", "Units", "sha256:" + "0" * 64), most, unit)
    words = [mark for mark in strip_of(told, 1, 1, ["1:50"]) if isinstance(mark, Words)]
    assert len(words) > len(most)
    for mark in words:
        assert MARGIN + 0.5 <= mark.at[1] <= MARGIN + STRIP - mark.size
        end = mark.at[0] + width_of(mark.text, mark.size)
        assert end <= SIZES[unit][0] - MARGIN


def test_a_glass_order_draws_each_raked_panel_once() -> None:
    """A glass order draws each raked panel once, by its mark, with the corners of the reply.

    It draws none of a deck with rectangles alone. In the whole set they are drawn among the
    elevations alone.
    """
    asked = example("glass-flight")
    raked = {row["mark"]: row for row in asked.reply["glass_order"] if "edge_rise" in row}
    assert raked
    parts = list(SHEETS["glass-order"].parts(asked, heading()))
    views = [placed.view for part in parts if isinstance(part, Page) for placed in part.views]
    assert [view.title.split(" of ")[0] for view in views] == list(raked)
    for view, row in zip(views, raked.values(), strict=True):
        shape = next(m for m in view.marks if isinstance(m, Stroke) and m.layer == "glass")
        assert [list(point) for point in shape.points] == row["corners"]
    level = SHEETS["glass-order"].parts(example("octagon-corner"), heading())
    assert all(isinstance(part, Table) for part in level)
    drawn = [
        placed.view.title
        for part in make_job(asked, heading())
        if isinstance(part, Page)
        for placed in part.views
        if placed.view.title.startswith("G")
    ]
    assert len(drawn) == len(set(drawn)) == len(raked)


def test_cautions_stand_apart_where_the_strip_has_room() -> None:
    """Cautions have a gap between them where the strip has room.

    There are three of six lines, 2.6 apart; the second and the third caution begin 1.2 further
    down.
    """
    told = Heading("Plan", ("Back deck",), ALWAYS, "mm")
    words = [mark for mark in strip_of(told, 1, 1) if isinstance(mark, Words)]
    begins = [next(mark for mark in words if mark.text[:9] == each[:9]) for each in ALWAYS]
    rows = [mark.at[1] for mark in words if mark.at[0] == begins[0].at[0]]
    steps = [round(one - other, 9) for one, other in pairwise(rows)]
    assert sorted(set(steps)) == [2.6, 3.8]
    assert steps.count(3.8) == 2
    for before, after in pairwise(begins):
        assert 3.8 in [steps[i] for i in range(rows.index(before.at[1]), rows.index(after.at[1]))]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_long_title_and_code_are_named_in_full(unit: Unit) -> None:
    """A long title, kit and code take two lines each, and all lines stay within the strip."""
    named = "Protection from falling, collision and impact, " * 2 + "2013"
    lines = (f"Deck: {named}", f"Kit: {named}", f"Code: {named}", "Units", "sha256:" + "0" * 64)
    strip = strip_of(Heading("Plan", lines, (), unit), 1, 1, ["1:50"])
    words = [mark for mark in strip if isinstance(mark, Words)]
    for name in lines[:3]:
        first = next(i for i, mark in enumerate(words) if mark.text.startswith(name[:5]))
        assert f"{words[first].text} {words[first + 1].text}" == name
        assert words[first].strong == words[first + 1].strong == name.startswith("Deck")
    assert min(mark.at[1] for mark in words) > MARGIN + 0.5


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_longest_title_is_named_in_full(unit: Unit) -> None:
    """A title of 200 letters, the most that the schema allows, is printed in full.

    Its letters are 288 mm at 0.8 of 1.8 each: three lines of 104, over a kit and a code of two. The
    eleven rows are a line's height of 1.55 x 1.8 = 2.79 apart, and stay off the frame.
    """
    title = ("Guard of the rear deck with its steps " * 6)[:199] + "s"
    assert len(title) == 200
    named = "Protection from falling, collision and impact, " * 2 + "2013"
    lines = (title, f"Kit: {named}", f"Code: {named}", "Units", "sha256:" + "0" * 64)
    strip = strip_of(Heading("Plan", lines, (), unit), 1, 1, ["1:50"])
    words = [mark for mark in strip if isinstance(mark, Words)]
    assert " ".join(mark.text for mark in words if mark.strong) == title
    places = [mark.at[1] for mark in words]
    assert len(places) == 11
    assert min(one - other for one, other in pairwise(places)) > 2.79
    assert min(places) > MARGIN + 0.5


def test_a_sheet_of_too_many_pages_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan of two levels, which has two pages, is refused where the limit is one page.

    The message names the pages and the limit. A list of the same deck is written all the same.
    """
    monkeypatch.setattr(limits, "PAGES", 1)
    with pytest.raises(TooLarge) as refused:
        make_sheet("plan", "image/svg+xml", example("two-levels"))
    (problem,) = refused.value.problems
    assert problem.code == "too_many_pages"
    assert "2 pages" in problem.message
    assert "1 are allowed" in problem.message
    assert make_sheet("cut-list", "text/csv", example("two-levels"))


def test_bold_words_are_bold_in_a_picture() -> None:
    """Bold words have the class of bold text in SVG, and plain words have not."""
    marks = [Words("words", (9.0, 9.0), name, strong=name == "bold") for name in ("bold", "plain")]
    told = page_svg(page(*marks))
    assert re.findall(r'<text class="([^"]*)"[^>]*>(\w+)<', told) == [
        ("words strong", "bold"),
        ("words", "plain"),
    ]


def test_every_sheet_says_what_the_local_authority_has_amended() -> None:
    """A sheet names amended figures under the code, and says nothing where there are none.

    A county asks for 42 in where the code prints 36: a sheet that names the code alone would say
    that the code's own figure was used.
    """
    told = head(example("own-kit-and-amendments"), "Plan").lines
    code = next(i for i, each in enumerate(told) if each.startswith("Code: "))
    assert told[code + 1] == "Amended by the local authority: guard height"
    assert "Amended" not in " ".join(head(example("against-a-house"), "Plan").lines)


def test_an_amended_figure_is_named_whatever_comes_of_it() -> None:
    """An amended figure is named even if no rule uses it, or if the deck meets it anyway.

    A guard is required over 30 in by the code and over 24 in by the local authority; the deck's
    drop is 48 in.
    """
    level = {
        "id": "main",
        "drop": 48,
        "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
    }
    document = {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "code": "us-irc-2021",
        "levels": [level],
    }
    amended = {
        "guard": {"infill": "picket"},
        "amendments": {"headroom": 84, "guard_required_drop": 24},
    }
    told = head(subject_of({**document, **amended}), "Plan").lines
    assert "Amended by the local authority: guard required drop, headroom" in told
