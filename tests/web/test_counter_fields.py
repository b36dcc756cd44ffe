"""The fields of the counter page for edges, openings, columns, levels, the deck's use and more."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import (
    LAYOUT,
    PLAN,
    WIDTH,
    await_taking,
    await_tile,
    open_example,
    paste,
    reply_to,
    tiles,
)
from tests.web.running import DECK, ROOT

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")

COLUMN = {"from": "10'", "width": "6", "in": "0", "depth": "6"}
CAUTIONS = "#cautions-list li"


def type_a_column(page: Any, typed: dict[str, str]) -> None:
    """Add a column, and type these texts into its fields, by their names."""
    row = page.locator("#columns fieldset").count()
    page.locator("#add-column").click()
    for name, text in typed.items():
        page.locator(f"[id='f.columns.{row}.{name}']").fill(text)


@pytest.mark.parametrize(
    ("way", "field"),
    [("rectangle", "rectangle.width"), ("points", "points.1.x"), ("rectangle", "columns.0.from")],
)
def test_inches_after_feet_that_are_a_foot_and_more(page: Any, way: str, field: str) -> None:
    """Inches after feet, with the inch mark or without it, may not come to a foot: tried with a
    length, a corner and a column, which are sent in three ways."""
    page.locator(f"label[for='f.way.{way}']").click()
    if field.startswith("columns"):
        type_a_column(page, COLUMN)
        await_tile(page, "Railing", "42' 4\"")
    said = page.locator(f"[id='f.{field}.fault']")
    for text in ("20' 13\"", "20' 12 1/2"):
        page.locator(f"[id='f.{field}']").fill(text)
        api.expect(said).to_have_text(
            "This cannot be read as a length. After feet, inches go to 11 and a fraction. "
            "Type it like 12' 6 1/2\"."
        )
        page.locator(f"[id='f.{field}']").fill("8' 11 3/4")
        api.expect(said).to_have_count(0)


def test_what_a_wall_is_said_to_have_is_shown_and_saved(page: Any) -> None:
    """A wall that has a height and an infill in the document has fields for them. The page says
    where a document cannot be saved as it was."""
    deck = json.loads((ROOT / "service/web/static/counter/start.json").read_bytes())
    (level,) = deck["levels"]
    level["edges"][0] |= {"infill": "glass", "height": '42"'}
    paste(page, deck)
    api.expect(page.locator("#opened")).to_have_text("Opened.")
    await_taking(page, on=True)
    assert page.locator("[id='f.edges.2.height']").input_value() == '42"'
    assert page.locator("[id='f.edges.2.infill']").input_value() == "glass"
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text()) == deck
    level["outline"]["sides"][1]["colour"] = "red"
    paste(page, deck)
    api.expect(page.locator("#opened")).to_have_text(
        "Opened. Not as in the document, so look at it before it is saved: "
        "/levels/0/outline/sides/1/colour."
    )


def test_joists_that_are_typed_tell_what_posts_are_fixed_into(page: Any) -> None:
    """The sizes of joists are asked for only once their direction is chosen. Then what was not
    checked for want of them is checked, and blocking is listed."""
    joists = {
        "joist_spacing": "16",
        "first_joist": "3/4",
        "joist_width": "1 1/2",
        "rim_width": "1 1/2",
    }
    spacing = page.locator("[id='f.framing.joist_spacing']")
    open_ = page.locator("#unchecked-list", has_text="type its joists under Joists and rim")
    api.expect(open_).to_be_visible()
    assert spacing.count() == 0
    page.locator("[id='f.framing.joist_direction']").select_option(label="Out from the house")
    for name, length in joists.items():
        page.locator(f"[id='f.framing.{name}']").fill(length)
    api.expect(page.locator("#blocking caption")).to_have_text("Blocking between joists")
    api.expect(open_).to_have_count(0)
    spacing.fill("1")
    api.expect(page.locator("[id='f.framing.joist_spacing.fault']")).to_contain_text("Joists")
    page.locator("[id='f.framing.joist_direction']").select_option(label="Not known")
    api.expect(page.locator("#blocking")).to_be_hidden()


def test_an_edge_bows(page: Any) -> None:
    """A front that bows out by 2' over 20': an arc of radius (120^2 + 24^2) / (2 x 24) = 312 in,
    turned by 2 asin(120 / 312) = 45.24 degrees, is 246.35 in along: 20' 6 3/8" by the nearest mark,
    as the plan says it. A fault of a bow is told under its row."""
    page.locator("label[for='f.way.points']").click()
    bow = page.locator("[id='f.edges.0.bow']")
    with reply_to(page, PLAN, arc_rise="2'") as got:
        bow.fill("2'")
        assert "edge 0: 20' straight, bowed out 2', 20' 6 3/8\" along" in got.value.text()
    bow.fill("2 fx")
    fault = page.locator("[id='f.edges.0.bow.fault']")
    api.expect(fault).to_have_text(
        "Bow: This cannot be read as a length. Type it like 12' 6 1/2\"."
    )
    assert fault.bounding_box()["width"] > 3 * bow.bounding_box()["width"]
    assert page.locator("#faults-list a").inner_text().startswith("Edge 0, Bow: ")
    # A bow stands in its own column, before the keys of a tape have come into its row and after.
    wall, guard = (page.locator(f"[id='f.edges.{edge}.bow']") for edge in (2, 1))
    for field in (wall, guard):
        field.focus()
        assert wall.bounding_box()["x"] == guard.bounding_box()["x"]


def test_steps_from_an_opening(page: Any) -> None:
    """An opening gets a flight: 48 in of drop in 7 risers, with guards on both sides. Its infill
    can be chosen."""
    page.locator("#add-opening").click()
    page.locator("[id='f.openings.0.from']").fill("8'")
    page.locator("[id='f.openings.0.width']").fill("48")
    page.locator("#has-flight-0").check()
    assert page.locator("[id='f.openings.0.flight.rise']").input_value() == "48"
    page.locator("[id='f.openings.0.flight.risers']").fill("7")
    page.locator("[id='f.openings.0.flight.going']").fill("10 1/2")
    row = page.locator("#steps tbody tr")
    api.expect(row).to_contain_text("7 of")
    assert '10 1/2"' in row.inner_text()
    assert page.locator("#glass").is_hidden()
    page.locator("[id='f.openings.0.flight.infill']").select_option(label="Glass")
    api.expect(page.locator("#glass tbody tr").first).to_be_visible()


def test_the_rise_goes_with_the_drop_until_it_is_typed(page: Any) -> None:
    """The rise follows the drop, in its field and in its reading, until something else is typed
    there."""
    page.locator("#add-opening").click()
    page.locator("#has-flight-0").check()
    rise, drop = page.locator("[id='f.openings.0.flight.rise']"), page.locator("[id='f.drop']")
    drop.fill("50")
    assert rise.input_value() == "50"
    assert page.locator("[id='f.openings.0.flight.rise.read']").inner_text() == "= 4' 2\""
    rise.fill("40")
    drop.fill("60")
    assert rise.input_value() == "40"
    page.reload()
    api.expect(rise).to_have_value("40")
    drop.fill("50")
    assert rise.input_value() == "40"


def test_a_passage_takes_its_steps_off_and_steps_come_again_as_typed(page: Any) -> None:
    """An opening made a passage has no flight. Its seven risers are there again once it is for
    stairs again, and when its flight is switched off and on."""
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    for name, text in {"risers": "7", "going": "10 1/2"}.items():
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    steps = page.locator("#steps tbody tr")
    api.expect(steps).to_have_count(1)
    page.locator("[id='f.openings.0.use']").select_option("passage")
    api.expect(page.locator("#steps")).to_be_hidden()
    await_taking(page, on=True)
    assert page.locator("#faults").is_hidden()
    page.locator("[id='f.openings.0.use']").select_option("stair")
    api.expect(page.locator("#steps")).to_be_visible()
    page.locator("#has-flight-0").uncheck()
    api.expect(page.locator("#steps")).to_be_hidden()
    page.locator("#has-flight-0").check()
    assert page.locator("[id='f.openings.0.flight.risers']").input_value() == "7"
    api.expect(page.locator("#steps")).to_be_visible()


COUNTED = """(deck) => {
  const { compareDocumentPosition: compare } = Node.prototype;
  let asked = 0;
  Node.prototype.compareDocumentPosition = function (other) {
    asked += 1;
    return compare.call(this, other);
  };
  document.getElementById("pasted").value = JSON.stringify(deck);
  document.getElementById("use-pasted").click();
  Node.prototype.compareDocumentPosition = compare;
  return asked;
}"""
"""A script that opens a deck, and tells how often two elements were compared in that."""


def test_a_long_list_of_bays_is_drawn_in_as_many_steps_as_it_has_fields(page: Any) -> None:
    """What the Enter key does at each field is found by one look at the list's last field. Before,
    each field was compared with all of those before it: with 2,500 measured bays, as many as are
    taken, the page stood still for minutes."""

    def asked(bays: int) -> int:
        measured = [{"bay": f"B{i + 1}", "clear_top": 50} for i in range(bays)]
        found: int = page.evaluate(COUNTED, {**DECK, "site_measures": measured})
        return found

    assert asked(200) - asked(100) <= 2 * 100


def test_bays_are_measured_again_after_the_posts_stand(page: Any) -> None:
    """B1 is drawn 56 in clear with rails of 55 5/8 and 55 3/4: measured 56 1/8 above and 55 7/8
    below, its rails become 1/8 longer and 1/8 shorter. A bay of which one measure is typed is still
    to type, not at fault; typing never moves the caret."""
    page.locator("#list-bays").click()
    top, bottom = (page.locator(f"[id='f.measures.0.clear_{rail}']") for rail in ("top", "bottom"))
    api.expect(top).to_be_focused()
    assert page.locator("#measures .measure").count() == 1 + 10
    said = page.locator("#measures .measure p").first
    assert said.inner_text() == "B1 P1 to P2\ndrawn\xa04'\xa08\""
    for field in (top, bottom):  # In words beside the field, and not in it as if it were typed.
        assert field.get_attribute("placeholder") is None
        assert field.get_attribute("aria-describedby") == said.get_attribute("id")
    top.fill("56 1/8")
    api.expect(page.locator("#faults-list")).to_have_text("B1, at the bottom: Still to type.")
    assert page.locator("#put-bays-away").is_hidden()
    bottom.press_sequentially("55 7/8", delay=5)
    api.expect(page.locator("#deck-line")).to_contain_text("1 bay as measured")
    row = page.locator("#bays tbody tr").first.locator("th, td")
    for cell, cut in ((4, "4' 7 3/4\""), (5, "4' 7 5/8\"")):
        api.expect(row.nth(cell)).to_have_text(cut)
    assert said.inner_text() == "B1 P1 to P2\nas measured"
    bottom.press_sequentially(" in")
    assert bottom.input_value() == "55 7/8 in"
    page.locator(WIDTH).fill("10'")
    # Two bays in front and three at either side.
    api.expect(page.locator("#measures .measure")).to_have_count(1 + 8)
    assert top.input_value() == "56 1/8"
    page.reload()
    api.expect(page.locator("#deck-line")).to_contain_text("1 bay as measured")
    assert top.input_value() == "56 1/8"
    top.fill("")
    bottom.fill("")
    page.locator("#put-bays-away").click()
    api.expect(page.locator("#list-bays")).to_be_focused()
    assert page.locator("#measures .measure").count() == 0


def test_a_second_level_with_steps_down_to_it(page: Any) -> None:
    """A second level, 16' by 10' in front of the first, with all edges guarded: (192 - 7) x 2 +
    (120 - 7) x 2 = 596 in beside the 514 of the first, less what the opening takes. The link of a
    fault on a level that is not shown leads to its field there."""
    page.locator("#add-level").click()
    api.expect(page.locator(WIDTH)).to_be_focused()
    api.expect(page.locator("#faults-title")).to_have_text("Still to type")
    typed = {"width": "16'", "depth": "10'", "right": "2'", "out": "11' 9"}
    for name, text in typed.items():
        page.locator(f"[id='f.rectangle.{name}']").fill(text)
    await_tile(page, "Railing", "92' 6\"")  # 514 + 596 = 1110 in
    assert page.locator("#deck-line").inner_text().endswith("and 1 more level")
    level = page.locator("[id='f.at']")
    assert level.locator("option").all_inner_texts() == ["main", "level-2"]
    page.locator("[id='f.rectangle.depth']").fill("10 fx")
    level.select_option("main")
    assert page.locator(WIDTH).input_value() == "20'"
    link = page.locator("#faults-list a", has_text="level-2")
    api.expect(link).to_have_text(
        "On level-2, depth: This cannot be read as a length. Type it like 12' 6 1/2\"."
    )
    link.click()  # Its level is shown, and the field is where to type.
    api.expect(page.locator("[id='f.rectangle.depth']")).to_be_focused()
    assert level.input_value() == "1"
    page.locator("[id='f.rectangle.depth']").fill("10'")
    await_tile(page, "Railing", "92' 6\"")
    level.select_option("main")
    page.locator("#add-opening").click()
    page.locator("[id='f.openings.0.from']").fill("8'")
    page.locator("[id='f.openings.0.width']").fill("4'")
    page.locator("[id='has-flight-0']").check()
    page.locator("[id='f.openings.0.flight.to_level']").select_option("level-2")
    rise = page.locator("[id='f.openings.0.flight.rise']")
    assert rise.input_value() == ""  # Of level-2 no drop is said.
    level.select_option("level-2")
    page.locator("[id='f.drop']").fill("2'")
    level.select_option("main")
    assert rise.input_value() == "24"  # 48 - 24
    for name, text in {"risers": "4", "going": "10 1/2"}.items():
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    api.expect(page.locator("#steps tbody tr")).to_have_count(1)
    page.reload()
    api.expect(page.locator("#steps tbody tr")).to_have_count(1)
    level.select_option("level-2")
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#remove-level").click()
    fault = page.locator("#faults-list a", has_text="There is no level level-2")
    api.expect(fault).to_have_count(1)
    assert page.locator("#levels").is_hidden()


def test_an_opening_stays_when_its_edge_goes(page: Any) -> None:
    """Six sides, with an opening in the last. When that side is removed, the opening stays, to be
    put on another edge; so it does when the deck is measured by its four corners instead."""
    page.locator("label[for='f.way.sides']").click()
    for _ in range(2):
        page.locator("#add-row").click()
    page.locator("#add-opening").click()
    edge = page.locator("[id='f.openings.0.edge']")
    edge.select_option("5")
    page.locator("#measured [data-do=remove-row]").last.click()
    api.expect(page.locator("#measured [data-do=remove-row]")).to_have_count(5)
    assert edge.input_value() == "5"
    assert page.locator("label[for='f.openings.0.from']").inner_text() == "From first corner"
    await_taking(page, on=False)
    edge.select_option("4")
    page.locator("label[for='f.way.points']").click()
    api.expect(page.locator("#measured [data-do=remove-row]")).to_have_count(4)
    assert edge.input_value() == "4"


def test_what_a_document_says_of_a_gate_and_is_no_choice_is_seen(page: Any) -> None:
    """Where an opened document has hinges at "left", that stands in the field at which it is
    refused, as what is no choice does in other fields."""
    gate = {"id": "A", "edge": 0, "from": 36, "width": 36, "use": "gate", "hinge": "left"}
    paste(page, {**DECK, "levels": [{**DECK["levels"][0], "openings": [gate]}]})
    hinge = page.locator("[id='f.openings.0.hinge']")
    api.expect(hinge).to_have_value("left")
    api.expect(hinge).to_have_attribute("aria-invalid", "true")


def test_a_gate_says_its_hinges_and_its_swing(page: Any) -> None:
    """Hinges and swing are asked for a gate only; hinges, like the place of an opening, go by the
    named ends of the edge."""
    page.locator("#add-opening").click()
    place = page.locator("label[for='f.openings.0.from']")
    hinge = page.locator("[id='f.openings.0.hinge']")
    assert place.inner_text() == "From left end"
    assert "the left end (seen from the yard)" in page.locator("#openings .hint").inner_text()
    assert hinge.count() == 0
    page.locator("[id='f.openings.0.use']").select_option("gate")
    assert hinge.locator("option").all_inner_texts() == ["the left end", "the right end"]
    page.locator("[id='f.openings.0.edge']").select_option("1")
    assert place.inner_text() == "From yard end"
    page.locator("[id='f.openings.0.from']").fill("4'")
    page.locator("[id='f.openings.0.width']").fill("36")
    hinge.select_option("far")
    page.locator("[id='f.openings.0.opens']").select_option("out")
    row = page.locator("#gates tbody tr")
    api.expect(row.locator("[data-head=Opens]")).to_have_text("out")
    # Along edge 1 posts are numbered toward the house: the far one is the later.
    hinged, latched = (
        int(row.locator(f"[data-head='{head}']").inner_text().removeprefix("P"))
        for head in ("Hinges at", "Latch at")
    )
    assert hinged == latched + 1


def test_a_place_where_no_post_may_stand(page: Any) -> None:
    """The middle post of the front, at 120 in of 240, moves away where a downpipe takes 116 to 124,
    and the plan gives the reason. A no-post place on the house side, which has no railing, is
    refused at its field."""
    page.locator("#add-no-post").click()
    edge = page.locator("[id='f.no_post.0.edge']")
    api.expect(edge).to_be_focused()
    lines = page.locator("#faults-list li")
    api.expect(lines).to_have_text(
        [
            "No-post place 1, From left end: Still to type.",
            "No-post place 1, Length, along edge: Still to type.",
        ]
    )
    page.locator("[id='f.no_post.0.from']").fill("9' 8")
    page.locator("[id='f.no_post.0.why']").fill("downpipe")
    with reply_to(page, PLAN, width=8, why="downpipe") as got:
        page.locator("[id='f.no_post.0.width']").fill("8")
    (level,) = got.value.request.post_data_json["levels"]
    place = {"edge": 0, "from": "9' 8\"", "width": 8, "why": "downpipe"}
    assert level["no_post"] == [place]
    assert "no post: downpipe" in got.value.text()
    with reply_to(page, LAYOUT, why="vent") as told:
        page.locator("[id='f.no_post.0.why']").fill("vent")
    ends = [
        end
        for post in told.value.json()["posts"]
        if post["at"][1] < 12
        for end in (min(x for x, _ in post["base"]), max(x for x, _ in post["base"]))
    ]
    assert len(ends) == 2 * 5
    assert [x for x in ends if 116 < x < 124] == []
    edge.select_option("2")
    api.expect(lines).to_have_text([re.compile("^No-post place 1, On edge: ")])
    assert page.locator("label[for='f.no_post.0.from']").inner_text() == "From right end"
    edge.select_option("1")
    api.expect(page.locator("#faults")).to_be_hidden()


def test_a_column_in_the_line(page: Any) -> None:
    """A column of 6 by 6 in stands at 10' along the front: the railing of 514 in ends at it on both
    sides, and 508 in are 42' 4". The plan names it. A column taken out by a slip can be put back,
    also after a reload. In mm it stands at the same place, 120 x 25.4 = 3048."""
    type_a_column(page, COLUMN)
    await_tile(page, "Railing", "42' 4\"")
    name = page.locator("[id='f.columns.0.name']")
    assert name.get_attribute("placeholder") == "column 1"
    with reply_to(page, PLAN, name="roof column") as got:
        name.fill("roof column")
    assert "roof column" in got.value.text()
    page.get_by_role("button", name="Remove column 1").click()
    api.expect(page.locator("#add-column")).to_be_focused()
    assert page.locator("#undone").inner_text() == "Column 1 was taken out."
    await_tile(page, "Railing", "42' 10\"")
    page.locator("#undo").click()
    await_tile(page, "Railing", "42' 4\"")
    page.reload()
    await_tile(page, "Railing", "42' 4\"")
    assert name.input_value() == "roof column"
    with reply_to(page, LAYOUT, unit="mm") as told:
        page.locator("label[for='f.unit.mm']").click()
    (column,) = told.value.request.post_data_json["levels"][0]["obstructions"]
    corners = [[3048, 0], [3200.4, 0], [3200.4, 152.4], [3048, 152.4]]
    assert column == {"name": "roof column", "points": corners}


def test_a_column_as_high_as_the_guard_is_nothing_to_look_at(page: Any) -> None:
    """A column takes 6 in of the front, more than the 4 in that may stay open, so one without a
    height has to be looked at. A column of 8 ft guards as well as a railing of 36 in; one of 2 ft
    does not."""
    type_a_column(page, COLUMN)
    unsure = page.get_by_text("how high that stands is not given")
    unsure.first.wait_for(state="attached")
    high = page.locator("[id='f.columns.0.height']")
    high.fill("8'")
    api.expect(unsure).to_have_count(0)
    assert page.get_by_text("No violation found").count() > 0
    high.fill("2'")
    page.get_by_text("column 1, in the railing's place, is 2' high").first.wait_for()


def test_what_is_wrong_with_a_column_is_told_at_its_fields(page: Any) -> None:
    """A missing size, a size below 0 and what the service has against a column's place are told at
    its fields. A width of the deck that cannot be read is told once, at the deck."""
    type_a_column(page, {"from": "10'", "width": "6"})
    lines = page.locator("#faults-list li")
    api.expect(lines).to_have_text(
        [
            "Column 1, In from the edge: Still to type.",
            "Column 1, Depth, inward: Still to type.",
        ]
    )
    page.locator("[id='f.columns.0.in']").fill("0")
    page.locator("[id='f.columns.0.depth']").fill("-6")
    api.expect(page.locator("[id='f.columns.0.depth.fault']")).to_have_text(
        "Type a length above 0, such as 12' 6 1/2\"."
    )
    page.locator("[id='f.columns.0.depth']").fill("6")
    await_tile(page, "Railing", "42' 4\"")
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    # The post at the opening's left has a base up to 3.5 + 2.25 in from the edge.
    page.locator("[id='f.columns.0.from']").fill("90")
    page.locator("[id='f.columns.0.in']").fill("5.5")
    api.expect(lines).to_have_text(
        [re.compile("^Column 1, From left end: column 1 stands in the base of the fixed post")]
    )
    page.locator("[id='f.columns.0.in']").fill("6")
    api.expect(page.locator("#faults")).to_be_hidden()
    page.locator(WIDTH).fill("20-6")
    api.expect(lines).to_have_text(
        [re.compile("^Width, along house: This may be feet and inches or not")]
    )


@pytest.mark.parametrize(
    ("way", "typed"),
    [
        ("sides", {"sides.0.length": "20' 1\"", "sides.1.turn": "88", "sides.3.length": ""}),
        (
            "ties",
            {
                "baseline": "20'",
                "corners.0.from_a": "12' 1\"",
                "corners.0.from_b": "23'",
                "corners.1.from_a": "22' 6\"",
                "corners.1.from_b": "11' 3\"",
            },
        ),
    ],
)
def test_a_column_stands_where_the_service_has_its_edge(
    page: Any, way: str, typed: dict[str, str]
) -> None:
    """The outline is a walk that misses its start, with one length left out, or is measured by two
    tapes. The column stands 24 in from a corner that the service works out, toward the next corner,
    and 3 in to the left of that line."""
    page.locator(f"label[for='f.way.{way}']").click()
    for name, text in typed.items():
        page.locator(f"[id='f.{name}']").fill(text)
    await_taking(page, on=True)
    type_a_column(page, {"from": "2'", "width": "6", "in": "3", "depth": "5"})
    page.locator("[id='f.columns.0.edge']").select_option("1")
    await_taking(page, on=True)
    with reply_to(page, LAYOUT, name="roof column") as told:
        page.locator("[id='f.columns.0.name']").fill("roof column")
    ((_, *ends, _),) = (each["corners"] for each in told.value.json()["surveyed"])
    start, end = (complex(*point) for point in ends)
    (column,) = told.value.request.post_data_json["levels"][0]["obstructions"]
    along = (end - start) / abs(end - start)
    for point, place in zip(column["points"], (24 + 3j, 30 + 3j, 30 + 8j, 24 + 8j), strict=True):
        assert abs(complex(*point) - (start + along * place)) < 1e-3


def test_an_opened_column_is_shown_by_its_edge_and_an_odd_one_kept(page: Any) -> None:
    """The example's column from 141 to 147 in along edge 0 is shown in the fields. One whose shape
    the fields cannot show is kept, and the page says so."""
    open_example(page, "column-and-downpipe")
    shown = {"edge": "0", "from": "141", "width": "6", "in": "0", "depth": "6"}
    for name, value in {**shown, "name": "roof column"}.items():
        assert page.locator(f"[id='f.columns.0.{name}']").input_value() == value
    for name, value in {"edge": "0", "from": "237", "width": "8", "why": "downpipe"}.items():
        assert page.locator(f"[id='f.no_post.0.{name}']").input_value() == value
    assert page.locator("#kept").is_hidden()
    assert page.locator("[id='f.unit.mm']").is_enabled()
    deck = json.loads((ROOT / "schema/examples/column-and-downpipe.request.json").read_bytes())
    odd_one = {"name": "odd", "points": [[60, 0], [63, 3], [60, 7], [57, 3]]}
    deck["levels"][0]["obstructions"].append(odd_one)
    paste(page, deck)
    api.expect(page.locator("#kept")).to_contain_text("not shown here: more columns.")
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8")) == deck


def test_a_round_column_and_a_turned_one(page: Any) -> None:
    """A round column of 10 in, with its middle on the railing's line 3 1/2 in from the edge, takes
    10 in of that line: 514 - 10 = 504 in, 42 ft. A square of 6 turned by 45 degrees takes 6 times
    the root of 2 = 8.485 there: 505.51, 42' 1 1/2" by the mark."""
    page.locator("#add-column").click()
    shape, depth = (page.locator(f"[id='f.columns.0.{name}']") for name in ("shape", "depth"))
    shape.focus()
    shape.select_option(label="Round")
    api.expect(shape).to_be_focused()
    assert depth.count() == 0
    for name, text in {"from": "9' 7", "width": "10", "in": "-1 1/2"}.items():
        page.locator(f"[id='f.columns.0.{name}']").fill(text)
    await_tile(page, "Railing", "42'")
    shape.select_option(label="Turned")
    # `in` goes to the corner nearest the edge, which is 3 1/2 - 4.2426 in from it.
    for name, text in {"width": "6", "depth": "6", "in": "-0.7426", "turn": "45"}.items():
        page.locator(f"[id='f.columns.0.{name}']").fill(text)
    await_tile(page, "Railing", "42' 1 1/2\"")
    page.reload()
    await_tile(page, "Railing", "42' 1 1/2\"")
    shape.select_option(label="Square to the edge")
    assert page.locator("[id='f.columns.0.turn']").count() == 0


def test_a_column_of_a_level_that_is_not_shown(page: Any) -> None:
    """A fault of a column on another level is named with that level; the column's fields are there
    once its level is chosen."""
    type_a_column(page, COLUMN)
    page.locator("#add-level").click()
    assert page.locator("#columns fieldset").count() == 0
    for name, text in {"width": "16'", "depth": "10'", "right": "2'", "out": "11' 9"}.items():
        page.locator(f"[id='f.rectangle.{name}']").fill(text)
    type_a_column(page, {**COLUMN, "depth": "6 fx"})
    page.locator("[id='f.at']").select_option("main")
    assert page.locator("[id='f.columns.0.depth']").input_value() == "6"
    api.expect(page.locator("#faults-list li")).to_have_text(
        ["On level-2, column 1, depth: This cannot be read as a length. Type it like 12' 6 1/2\"."]
    )
    page.locator("[id='f.at']").select_option("level-2")
    api.expect(page.locator("[id='f.columns.0.depth']")).to_have_attribute("aria-invalid", "true")


def test_who_uses_the_deck_is_said_with_one_choice(page: Any) -> None:
    """The NBC requires 900 mm for one dwelling and 1070 for a shared deck under 1800 mm of drop
    (NBC 2020 9.8.8.3), so guards of 1000 mm, 39 3/8 in, are too low for a shared deck alone.

    A caution names the field and says for which use the code was read; the choice outlives a reload
    and can be taken back.
    """
    use = page.locator("[id='f.occupancy']")
    assert use.input_value() == ""
    house = "One household, in a house of one or two"
    two = "Shared by two households and nobody else"
    words = ["Not said", "One household", house, two, "Shared, or open to others"]
    assert use.locator("option").all_inner_texts() == words
    page.locator("[id='f.code']").select_option("ca-nbc-2020")
    page.locator("[id='f.height']").fill("1000 mm")
    unsaid = page.locator(CAUTIONS, has_text="Who uses the deck is not said")
    api.expect(unsaid).to_contain_text("read for the deck of one household, not a shared deck")
    low = page.locator("#failed .violation", has_text="9.8.8.3")
    assert low.count() == 0
    use.select_option(label="Shared, or open to others")
    api.expect(low).to_have_count(1)
    api.expect(unsaid).to_have_count(0)
    said = page.locator(CAUTIONS, has_text="By what is said under Who uses the deck")
    api.expect(said).to_contain_text("the code was read for a shared deck")
    page.reload()
    api.expect(low).to_have_count(1)
    assert use.input_value() == "shared"
    with page.expect_request(f"**{LAYOUT}") as sent:
        use.select_option(label="One household")
    assert sent.value.post_data_json["occupancy"] == "dwelling"
    api.expect(low).to_have_count(0)
    with page.expect_request(f"**{LAYOUT}") as sent:
        use.select_option(label="Not said")
    assert "occupancy" not in sent.value.post_data_json
    api.expect(unsaid).to_have_count(1)


def test_how_many_people_is_asked_where_the_code_goes_by_it(page: Any) -> None:
    """A stair 42 in wide: 44 are required for 50 people and more, else 36 (IBC 2021 1011.2). A
    number of people that is no whole number is told at the field, which stays as long as something
    stands in it."""
    people = page.locator("[id='f.occupants']")
    assert people.is_hidden()
    page.locator("[id='f.code']").select_option("us-ibc-2021")
    api.expect(people).to_be_visible()
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "42"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    for name, text in {"risers": "7", "going": "11"}.items():
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    asked = page.locator("#unchecked-list li", has_text="1011.2)")
    api.expect(asked).to_contain_text("(type it under Who uses the deck), which is not given")
    people.fill("50")
    narrow = page.locator("#failed .violation", has_text="1011.2)")
    api.expect(narrow).to_have_count(1)
    api.expect(asked).to_have_count(0)
    people.fill("49")
    api.expect(narrow).to_have_count(0)
    api.expect(asked).to_have_count(0)
    people.fill("many")
    fault = page.locator("[id='f.occupants.fault']")
    api.expect(fault).to_contain_text("Type a whole number")
    page.locator("[id='f.code']").select_option("us-irc-2021")
    api.expect(fault).to_be_visible()
    people.fill("")
    api.expect(page.locator("#faults")).to_be_hidden()
    page.locator("[id='f.code']").select_option("us-irc-2024")
    assert people.is_hidden()


def test_an_opened_use_is_shown_and_comes_back_as_it_was_sent(page: Any) -> None:
    """A use that the contract does not know is kept too, and told at its field."""
    start = json.loads((ROOT / "service/web/static/counter/start.json").read_bytes())
    deck = {**start, "occupancy": "shared", "occupants": 12}
    paste(page, deck)
    await_taking(page, on=True)
    assert page.locator("[id='f.occupancy']").input_value() == "shared"
    assert page.locator("[id='f.occupants']").input_value() == "12"
    assert page.locator("#kept").is_hidden()
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8")) == deck
    paste(page, {**start, "occupancy": "a club"})
    api.expect(page.locator("#faults-list li")).to_have_text(re.compile("^Who uses the deck: "))
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8"))["occupancy"] == "a club"


def test_what_is_below_the_edges_is_asked_of_glass_where_the_code_goes_by_it(page: Any) -> None:
    """Tempered glass has to be laminated where people walk below it (IBC 2021 2407.1), so the page
    asks what is below each level in glass, and not below one in pickets."""
    below = page.locator("[id='f.beneath']")
    page.locator("[id='f.code']").select_option("us-ibc-2021")
    assert below.is_hidden()
    page.locator("label[for='f.infill.glass']").click()
    api.expect(below).to_be_visible()
    make = page.locator("#failed .violation", has_text="2407.1")
    api.expect(make).to_contain_text("say so at Below the edges where nobody can")
    with page.expect_request(f"**{LAYOUT}") as sent:
        below.select_option(label="Nobody can, or falling glass cannot reach them")
    (level,) = sent.value.post_data_json["levels"]
    assert level["beneath"] == "shielded"
    api.expect(make).to_have_count(0)
    page.locator("#add-level").click()
    assert below.input_value() == ""
    page.locator("[id='f.at']").select_option("main")
    assert below.input_value() == "shielded"
    page.locator("label[for='f.infill.picket']").click()
    assert below.is_visible()
    below.select_option(label="Not said")
    page.locator("[id='f.edges.0.infill']").select_option("glass")
    assert below.is_visible()
    page.locator("[id='f.edges.0.infill']").select_option("picket")
    assert below.is_hidden()


def test_drops_are_told_apart_where_the_code_does(page: Any) -> None:
    """Over 1800 mm to finished ground a guard is 1070 mm high, else 900 (NBC 2020 9.8.8.3): 42 1/8
    and 35 7/16 in by the mark. With other codes the drop to the ground is not asked for."""
    ground = page.locator("[id='f.drop_to_ground']")
    of_edge = page.locator("[id='f.edges.1.drop_to_ground']")
    assert ground.is_hidden()
    assert of_edge.count() == 0
    page.locator("[id='f.code']").select_option("ca-nbc-2020")
    api.expect(ground).to_be_visible()
    api.expect(page.locator("#deck-line")).to_contain_text("guard 2' 11 7/16\" high")
    ground.fill("2000 mm")
    api.expect(page.locator("#deck-line")).to_contain_text("guard 3' 6 1/8\" high")
    ground.fill("")
    page.locator("#edge-more summary").click()
    with reply_to(page, LAYOUT, edge=1, drop_to_ground="2000 mm"):
        of_edge.fill("2000 mm")
    api.expect(page.locator("#deck-line")).to_contain_text(
        "guards 2' 11 7/16\" and 3' 6 1/8\" high"
    )
    page.locator("[id='f.code']").select_option("us-irc-2021")
    assert ground.is_hidden() is False  # It is said of an edge.
    of_edge.fill("")
    page.locator("[id='f.code']").select_option("us-irc-2024")
    assert ground.is_hidden()


def test_which_glass_is_asked_once_and_edge_by_edge(page: Any) -> None:
    """The kit has panes of 1/4 in and 3/8 in. They can be chosen for all edges and for each; with
    pickets they are not asked for."""
    pane, of_front = (page.locator(f"[id='f.{name}']") for name in ("pane", "edges.0.glass"))
    assert pane.is_hidden()
    page.locator("label[for='f.infill.glass']").click()
    api.expect(pane).to_be_visible()
    assert pane.locator("option").all_inner_texts() == ['1/4", tempered', '3/8", tempered']
    thick = page.locator("#glass tbody [data-head='Glass']")
    api.expect(thick.first).to_have_text('1/4", tempered')
    with page.expect_request(f"**{LAYOUT}") as sent:
        pane.select_option(label='3/8", tempered')
    assert {edge["glass"] for edge in sent.value.post_data_json["levels"][0]["edges"]} == {1}
    api.expect(thick.first).to_have_text('3/8", tempered')
    assert of_front.input_value() == "1"
    assert of_front.is_hidden()
    page.locator("#edge-more summary").click()
    of_front.focus()
    of_front.select_option(label='1/4", tempered')
    api.expect(of_front).to_be_focused()
    assert pane.locator("option:checked").inner_text() == "By edge"
    api.expect(thick).to_contain_text(['1/4"', '3/8"'])
    pane.select_option(label='1/4", tempered')
    assert [of_front.input_value(), page.locator("[id='f.edges.1.glass']").input_value()] == [
        "",
        "",
    ]
    page.locator("label[for='f.infill.picket']").click()
    assert pane.is_hidden()


def test_parts_are_priced_where_a_currency_is_said(page: Any) -> None:
    """9 caps at 4.25 and 7 line posts at 58 are 38.25 + 406 = 444.25, with 8 % of tax 479.79. A
    price by the foot fixes the tape's unit. A price that cannot be read is told where it was
    typed."""
    rows = page.locator("#prices .price")
    assert rows.count() == 0
    page.locator("[id='f.prices.currency']").fill("usd")
    rows.first.wait_for()
    assert page.locator("[id='f.unit.mm']").is_enabled()
    for name, amount in (("Line post with base plate", "58"), ("Flat cap 2 1/4 in", "$4")):
        page.get_by_label(name, exact=True).fill(amount)
    api.expect(page.locator("#faults-list li")).to_have_text(
        ["Flat cap 2 1/4 in: Type an amount with no sign before it, such as 61.50."]
    )
    page.get_by_label("Flat cap 2 1/4 in", exact=True).fill("4.25")
    page.locator("[id='f.prices.tax']").fill("8")
    await_tile(page, "Priced so far", "479.79 USD")
    by = page.get_by_label("Top rail, picket, priced", exact=True)
    assert by.input_value() == "per_stick"
    page.get_by_label("Top rail, picket, 16' 6\"", exact=True).wait_for()
    by.select_option(label="a foot")
    foot = page.get_by_label("Top rail, picket", exact=True)
    with reply_to(page, LAYOUT, per_length="5"):
        foot.fill("5")
    assert page.locator("[id='f.unit.mm']").is_disabled()
    assert page.locator("#unit-why").inner_text().endswith("goes by it: prices.")
    foot.fill("")
    assert page.locator("[id='f.unit.mm']").is_enabled()
    page.reload()
    await_tile(page, "Priced so far", "479.79 USD")
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#afresh").click()
    api.expect(page.locator(WIDTH)).to_be_focused()
    assert page.locator("[id='f.prices.currency']").input_value() == ""
    page.get_by_role("button", name="Use the prices of the deck before").click()
    await_tile(page, "Priced so far", "479.79 USD")
    page.locator("[id='f.prices.currency']").fill("")
    api.expect(page.locator("#tiles")).not_to_contain_text("Priced")
    assert rows.count() == 0


def test_an_edge_has_a_drop_of_its_own(page: Any) -> None:
    """The drops of edges are folded away until they are wanted. An open front 48 in up requires a
    guard, and one 20 in up does not (IRC 2021 R312.1.1: more than 30 in)."""
    drop = page.locator("[id='f.edges.0.drop']")
    assert drop.is_hidden()
    page.locator("[id='f.edges.0.condition']").select_option("open")
    open_ = page.locator("#failed .violation", has_text="R312.1.1")
    api.expect(open_).to_have_count(1)
    page.locator("#edge-more summary").click()
    drop.fill("20")
    api.expect(open_).to_have_count(0)
    assert page.locator("[id='f.edges.0.drop.read']").inner_text() == "= 1' 8\""
    assert page.locator("[id='f.edges.2.drop']").count() == 0
    drop.fill("20 fx")
    link = page.locator("#faults-list a")
    api.expect(link).to_have_text(re.compile("^Edge 0, front, drop: This cannot be read"))
    page.locator("#edge-more summary").click()
    link.click()
    api.expect(drop).to_be_focused()


def test_a_railing_ends_at_an_open_edge_set_in_or_close_to_it(page: Any) -> None:
    """The end at an open edge is asked for where an open edge is beside. With the front open the
    railings of both its neighbours end 3 1/2 in before it, or half a base of 4 1/2 in before it
    where they stand close to it: each of the two, 11' 8 1/2" long (2 x 11' 8 1/2"), gets 1 1/4 in
    longer."""
    page.locator("#edge-more summary").click()
    ends = {edge: page.locator(f"[id='f.edges.{edge}.open_end']") for edge in range(4)}
    assert [ends[edge].count() for edge in range(4)] == [0, 0, 0, 0]
    page.locator("[id='f.edges.0.condition']").select_option(label="Open")
    await_tile(page, "Railing", "23' 5\"")
    assert [ends[edge].count() for edge in range(4)] == [0, 1, 0, 1]
    for edge in (1, 3):
        ends[edge].select_option(label="Close to it")
    await_tile(page, "Railing", "23' 7 1/2\"")


def test_a_railing_ends_at_a_wall_in_a_bracket_or_a_post(page: Any) -> None:
    """The end at a wall is asked for beside the house or at a column only. The base is 4 1/2 in
    wide, so a post half a base off the wall takes 2 1/4 in of 42' 10". An opened document's ends
    are shown and saved, those that say `bracket` too."""
    page.locator("#edge-more summary").click()
    ends = {edge: page.locator(f"[id='f.edges.{edge}.wall_end']") for edge in range(4)}
    assert [ends[edge].count() for edge in range(4)] == [0, 1, 0, 1]
    ends[1].select_option(label="Post")
    await_tile(page, "Railing", "42' 7 3/4\"")
    assert tiles(page)["Posts"] == "10"
    page.reload()
    assert ends[1].input_value() == "post"
    assert ends[1].is_visible()
    ends[1].select_option(label="Bracket")
    await_tile(page, "Railing", "42' 10\"")
    type_a_column(page, COLUMN)
    assert ends[0].count() == 1
    deck = json.loads((ROOT / "service/web/static/counter/start.json").read_bytes())
    deck["levels"][0]["edges"] = [
        {"edge": 1, "drop": "6'", "wall_end": "bracket"},
        {"edge": 2, "condition": "wall"},
        {"edge": 3, "wall_end": "post"},
    ]
    paste(page, deck)
    assert [ends[edge].input_value() for edge in (1, 3)] == ["bracket", "post"]
    assert page.locator("#kept").is_hidden()
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8")) == deck


def test_a_decimal_comma_is_read_where_it_parts_no_thousands(page: Any) -> None:
    """6,0 m by 3,65 m are sent as 6.0 by 3.65, and 1200,5 reads as 1.2005 m. 1,200 may be twelve
    hundred or a little over one: the field says what to type."""
    page.locator("label[for='f.unit.mm']").click()
    with reply_to(page, LAYOUT, drop=1200.5) as reply:
        page.locator(WIDTH).fill("6,0 m")
        page.locator("[id='f.rectangle.depth']").fill("3,65 m")
        page.locator("[id='f.drop']").fill("1200,5")
    assert reply.value.status == 200
    outline = reply.value.request.post_data_json["levels"][0]["outline"]
    assert [side["length"] for side in outline["sides"][:2]] == ["6.0 m", "3.65 m"]
    assert page.locator("[id='f.drop.read']").inner_text() == "= 1.2005 m"
    page.locator("[id='f.drop']").fill("1,200")
    api.expect(page.locator("[id='f.drop.fault']")).to_have_text(
        "This cannot be read as a length. Thousands are typed with nothing between, decimals with "
        "a point. Type it like 2400 mm."
    )
