"""The counter page in a browser, as a counter hand uses it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import (
    KIOSK,
    PHONE,
    WIDTH,
    await_taking,
    await_tile,
    open_example,
    paste,
    tiles,
)
from tests.web.running import ROOT, Server, running

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


def test_the_first_answer_is_that_of_the_readme(page: Any) -> None:
    """README: 9 posts, 10 bays, B1 from P1 to P2 with centres at 58.25, rails 55.625 and 55.75.

    The line, 3 1/2 in inside: (240 - 7) + 2 x (144 - 3.5) = 514 in = 42' 10".
    """
    told = tiles(page)
    assert (told["Posts"], told["Bays"], told["Railing"]) == ("9", "10", "42' 10\"")
    row = page.locator("#bays tbody tr").first.locator("th, td").all_inner_texts()
    assert row[:2] == ["B1", "P1, P2"]
    assert row[3:6] == ["4' 10 1/4\"", "4' 7 5/8\"", "4' 7 3/4\""]
    assert page.locator("#verdict").inner_text() == "No violation found"
    assert page.locator("#cautions-list li").count() >= 3
    line = page.locator("#deck-line").inner_text()
    assert line == "20' × 12' · guard 3' high by the code · drop 48 in"


def test_a_bad_length_is_told_at_its_field_and_nothing_typed_is_lost(page: Any) -> None:
    """Marked, described, listed with a link to it; put right, all of that goes."""
    field = page.locator(WIDTH)
    field.fill("20 fx")
    api.expect(field).to_have_attribute("aria-invalid", "true")
    message = page.locator("[id='f.rectangle.width.fault']")
    assert "f.rectangle.width.fault" in field.get_attribute("aria-describedby").split()
    assert message.inner_text() == ("This cannot be read as a length. Type it like 12' 6 1/2\".")
    assert field.input_value() == "20 fx"
    assert page.locator("#faults-list li").count() == 1
    assert page.locator("#stale").is_visible()
    page.locator("#faults-list a").click()
    api.expect(field).to_be_focused()
    field.fill("10'")
    # (120 - 7) + 2 x 140.5 = 394 in
    await_tile(page, "Railing", "32' 10\"")
    assert field.get_attribute("aria-invalid") is None
    assert not page.locator("#faults").is_visible()
    assert not page.locator("#stale").is_visible()


@pytest.mark.parametrize(
    ("way", "field"),
    [("rectangle", "rectangle.width"), ("points", "points.1.x"), ("rectangle", "columns.0.from")],
)
def test_inches_after_feet_that_are_a_foot_and_more(page: Any, way: str, field: str) -> None:
    """Of a length, a corner and a column, which go out in three ways; with the inch mark or not."""
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


def test_feet_typed_as_plain_numbers_are_asked_about(page: Any) -> None:
    """Read back under the field, which it describes, and asked beside the verdict."""
    read = page.locator("[id='f.rectangle.width.read']")
    assert read.count() == 0
    for name, number in (("width", "20"), ("depth", "12")):
        page.locator(f"[id='f.rectangle.{name}']").fill(number)
    assert read.inner_text() == "= 1' 8\""
    assert "f.rectangle.width.read" in page.locator(WIDTH).get_attribute("aria-describedby").split()
    asked = page.locator("#doubts li")
    api.expect(asked).to_have_text(["20 in wide: was 20' meant?", "12 in deep: was 12' meant?"])
    page.locator(WIDTH).fill("20'")
    assert read.count() == 0
    api.expect(asked).to_have_text(["12 in deep: was 12' meant?"])


def test_a_finding_without_a_clause_says_where_and_no_more(page: Any) -> None:
    """With no code most rules are not checked, and have no clause to go by."""
    page.locator("[id='f.code']").select_option("")
    place = page.locator("#unchecked-list .place")
    api.expect(place.first).to_have_text("At main/edge 0, main/edge 1, main/edge 3.")
    assert "undefined" not in page.locator("body").inner_text()


def test_a_change_that_the_answer_offers_can_be_made_and_taken_back(page: Any) -> None:
    """The code asks 36 in of every guard (IRC 2021 R312.1.2); 24 and 30 fail in two findings. The
    button is off while the answer is of another deck."""
    for edge, height in ((0, "24"), (1, "30"), (3, "30")):
        page.locator(f"[id='f.edges.{edge}.height']").fill(height)
    api.expect(page.locator("#failed .violation")).to_have_count(2)
    button = page.locator("[data-cure]")
    api.expect(button).to_have_count(1)
    held: list[Any] = []
    page.route("**/v1/layout", lambda route: held.append(route))
    page.locator("[id='f.title']").fill("Ashby")
    api.expect(button).to_be_disabled()
    page.wait_for_timeout(600)
    held[0].continue_()
    page.unroute("**/v1/layout")
    api.expect(button).to_be_enabled()
    button.click()
    api.expect(page.locator("#verdict")).to_have_text("No violation found")
    heights = [page.locator(f"[id='f.edges.{edge}.height']") for edge in (0, 1, 3)]
    assert {field.input_value() for field in heights} == {"36"}
    assert page.locator("[id='f.title']").input_value() == "Ashby"
    api.expect(page.locator("#answer-head")).to_be_focused()
    page.locator("#undo").click()
    api.expect(heights[0]).to_have_value("24")
    api.expect(page.locator("#verdict")).to_have_text("2 violations")


def test_what_a_change_brings_is_said_beside_its_button(page: Any) -> None:
    """A flight's guard raised to the code's 34 in stands apart from the deck's 36 in rail at its
    head, which is said before it is made, and heard with the button; it is then as was said."""
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    for name, text in {"risers": "7", "going": "10 1/2", "height": "33.7143"}.items():
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    button = page.locator("[data-cure]")
    api.expect(button).to_have_count(1)
    api.expect(page.locator("#failed .brings")).to_have_text(
        "It brings a warning, or what cannot be checked: head heights."
    )
    api.expect(button).to_have_accessible_description(re.compile("^It brings a warning.* heights"))
    heads = page.locator("#failed .warning, #unchecked-list li", has_text="head")
    before = heads.count()
    button.click()
    api.expect(page.locator("#failed .violation")).to_have_count(0)
    assert heads.count() == before + 1
    page.locator("#undo").click()
    page.locator("[id='f.openings.0.flight.height']").fill("")
    page.locator("[id='f.height']").fill("30")
    api.expect(page.locator("#failed .cure").first).to_contain_text("3' high")
    assert page.locator("#failed .brings").count() == 0


def test_nothing_is_handed_out_while_the_answer_is_out_of_date(page: Any) -> None:
    """Off with a fault in a field and while a request is under way; on with the next answer."""
    await_taking(page, on=True)
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#stale")).to_be_visible()
    await_taking(page, on=False)
    held: list[Any] = []
    page.route("**/v1/layout", lambda route: held.append(route))
    page.locator(WIDTH).fill("10'")
    await_taking(page, on=False)
    page.wait_for_timeout(600)  # More than the pause after a key: the request is under way.
    assert len(held) == 1
    await_taking(page, on=False)
    held[0].continue_()
    await_tile(page, "Railing", "32' 10\"")
    await_taking(page, on=True)


def test_an_answer_to_an_earlier_deck_gives_nothing_out(page: Any) -> None:
    """It comes after the next key and before the next request: it is not shown, either."""
    held: list[Any] = []
    page.route("**/v1/layout", lambda route: held.append(route))
    page.locator(WIDTH).fill("10'")
    page.wait_for_timeout(600)
    page.clock.install()
    page.locator(WIDTH).fill("10' 6")  # Its own request waits for the clock, which stands.
    held[0].continue_()
    page.clock.run_for(100)
    await_taking(page, on=False)
    assert tiles(page)["Railing"] == "42' 10\""


def test_a_slow_answer_is_said_and_a_late_one_given_up(page: Any) -> None:
    """After 0.6 s the answer shown is called old, after 20 s none is waited for; the next change
    asks anew."""
    page.locator("#plan:not(.old) img").wait_for()
    page.clock.install()
    page.route("**/v1/layout", lambda route: None)
    page.locator(WIDTH).fill("10'")
    page.clock.run_for(400 + 500)
    assert (
        page.locator("#short").inner_text()
        == "9 posts, 10 bays. No violation found, 1 not checked."
    )
    page.clock.run_for(200)
    for told in ("#short", "#spoken"):
        assert page.locator(told).inner_text() == "Working it out…"
    assert page.locator("#answer").get_attribute("class") == "slow"
    page.clock.run_for(20_000)
    assert page.locator("#faults-title").inner_text() == "The service does not answer"
    assert page.locator("#stale").is_visible()
    assert page.locator("#answer").get_attribute("aria-busy") is None
    page.unroute("**/v1/layout")
    page.locator(WIDTH).fill("10' ")
    page.clock.run_for(400)
    await_tile(page, "Railing", "32' 10\"")
    assert page.locator("#answer").get_attribute("class") == ""
    assert (
        page.locator("#short").inner_text() == "7 posts, 8 bays. No violation found, 1 not checked."
    )


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("<title>Sign in</title>", "The service does not answer"),
        ("null", "The answer cannot be read"),
        ('{"posts": []}', "The answer cannot be read"),
    ],
)
def test_what_is_no_answer_leaves_none_that_looks_current(
    browser: Any, server: Server, body: str, told: str
) -> None:
    """A 200 of someone between, say: out of date, with a word, and nothing is handed out."""
    page = browser.new_page(viewport=KIOSK)
    page.goto(server.url)
    await_taking(page, on=True)
    page.route("**/v1/layout", lambda route: route.fulfill(body=body, content_type="text/html"))
    page.locator(WIDTH).fill("10'")
    api.expect(page.locator("#faults-title")).to_have_text(told)
    assert page.locator("#stale").is_visible()
    await_taking(page, on=False)
    assert page.locator("#answer").get_attribute("aria-busy") is None
    page.close()


def test_paper_says_out_of_date_from_the_first_key_on(page: Any) -> None:
    """Also before the answer has come that says so on the screen."""
    page.emulate_media(media="print")
    assert not page.locator("#stale").is_visible()
    page.route("**/v1/layout", lambda route: None)
    page.evaluate(
        "field => { const input = document.getElementById(field); input.value = '10';"
        " input.dispatchEvent(new InputEvent('input', { bubbles: true })); }",
        "f.rectangle.width",
    )
    assert page.locator("#stale").is_visible()


def test_the_sheets_are_of_the_deck_that_is_shown(page: Any) -> None:
    """A PDF, and a CSV with a row for each row of the cut list on the page, of the same lengths."""
    page.locator(WIDTH).fill("10'")
    await_tile(page, "Railing", "32' 10\"")
    with page.expect_download() as saved, page.expect_request("**/v1/sheets/job") as sent:
        page.locator("[data-sheet=job]").click()
    assert sent.value.post_data_json["levels"][0]["outline"]["sides"][0] == {"length": "10'"}
    assert saved.value.suggested_filename == "job.pdf"
    assert Path(saved.value.path()).read_bytes().startswith(b"%PDF-")
    api.expect(page.locator("#sheet-told")).to_have_text("job.pdf is saved.")
    with page.expect_download() as saved:
        page.locator("[data-sheet=cut-list]").click()
    assert saved.value.suggested_filename == "cut-list.csv"
    text = Path(saved.value.path()).read_text("utf-8-sig")
    rows = text.splitlines()
    shown = page.locator("#cuts tbody td:nth-child(2)").all_inner_texts()
    assert shown
    quoted = [length.replace('"', '""') for length in shown]
    found = [any(length in row for row in rows) for length in quoted]
    assert found == [True] * len(quoted)


def test_a_sheet_under_way_is_not_saved_once_the_deck_is_another(page: Any) -> None:
    """It would be of the deck before."""
    held: list[Any] = []
    saved: list[Any] = []
    page.on("download", lambda file: saved.append(file))
    page.route("**/v1/sheets/job", lambda route: held.append(route))
    page.locator("[data-sheet=job]").click()
    api.expect(page.locator("#sheet-told")).to_have_text("Fetching.")
    page.locator(WIDTH).fill("10'")
    held[0].fulfill(body="%PDF-1.4", content_type="application/pdf")
    await_tile(page, "Railing", "32' 10\"")
    await_taking(page, on=True)
    assert saved == []
    assert page.locator("#sheet-told").inner_text() == ""


def test_the_plan_is_the_drawing_that_the_service_makes(page: Any) -> None:
    """Its own plan as an image, of what is drawn alone: as large as the drawing's view, 96 px to
    the inch of 25.4 mm, and so with nothing of the title and the words beside it."""
    page.locator("#plan:not(.old) img").wait_for()  # the first deck's plan is not the one asked for
    with page.expect_response("**/v1/sheets/plan") as got:
        page.locator(WIDTH).fill("20' 1\"")
    (view,) = re.findall(r'<view id="drawing-1" viewBox="(.*?)"/>', got.value.text())
    _, _, wide, tall = map(float, view.split())
    image = page.locator("#plan:not(.old) img")
    api.expect(image).to_have_js_property("naturalWidth", round(wide * 96 / 25.4))
    api.expect(image).to_have_js_property("naturalHeight", round(tall * 96 / 25.4))
    assert image.get_attribute("alt").startswith("Plan. 9 posts, 10 bays")
    box = image.bounding_box()
    assert box["width"] / box["height"] == pytest.approx(wide / tall, rel=0.01)


def test_the_drawing_by_itself_is_drawn_by_its_own_style(page: Any) -> None:
    """A tab of its own under the page's policy, which knows that style sheet: lines have no fill,
    where without it they would be black areas."""
    link = page.get_by_role("link", name="Open the drawing by itself")
    link.wait_for()
    assert link.bounding_box()["height"] >= 44
    with page.context.expect_page() as opened:
        link.click()
    drawing = opened.value
    drawing.locator("polyline, line, path").first.wait_for(state="attached")
    assert drawing.evaluate("document.styleSheets.length") == 1
    assert drawing.evaluate("document.styleSheets[0].cssRules.length") > 0
    line = drawing.locator("polyline").first
    assert line.evaluate("each => getComputedStyle(each).fill") == "none"


def test_a_plan_of_each_level_is_shown(page: Any) -> None:
    """Of a deck of two levels, two images of one drawing."""
    open_example(page, "two-levels")
    page.locator("#plan a + a img").wait_for()
    assert page.locator("#plan img").count() == 2
    assert page.locator("#plan img").nth(1).get_attribute("alt") == "Plan, page 2"


def test_glass_has_a_panel_a_bay_and_no_picket(page: Any) -> None:
    """The order has as many as the bays."""
    page.locator("label[for='f.infill.glass']").click()
    page.locator("#glass tbody tr").first.wait_for()
    told = tiles(page)
    assert told["Glass panels"] == told["Bays"]
    assert "Pickets" not in told


def test_millimetres_are_the_same_deck(page: Any) -> None:
    """48 in is 1219.2 mm; 514 in of line are 13055.6 mm, 13056 by the nearest mark."""
    page.locator("label[for='f.unit.mm']").click()
    await_tile(page, "Railing", "13056 mm")
    assert page.locator("[id='f.drop']").input_value() == "1219.2"
    assert page.locator("#cuts tbody td").first.inner_text().endswith(" mm")


def test_the_tape_is_held_by_lengths_that_are_not_shown_and_says_so(page: Any) -> None:
    """A price each goes with either tape; another drop of a level, in inches, holds it."""
    deck = page.evaluate("fetch('counter/start.json').then((reply) => reply.json())")
    deck["prices"] = {"currency": "USD", "parts": {"post_cap": {"each": "10.00"}}}
    paste(page, deck)
    await_tile(page, "Priced so far", "90.00 USD")
    inches, millimetres = (page.locator(f"[id='f.unit.{unit}']") for unit in ("in", "mm"))
    why = page.locator("#unit-why")
    assert (millimetres.is_enabled(), why.inner_text()) == (True, "")
    page.locator("label[for='f.unit.mm']").click()
    await_tile(page, "Railing", "13056 mm")
    await_tile(page, "Priced so far", "90.00 USD")
    deck["levels"][0]["drop_to_ground"] = 60
    paste(page, deck)
    api.expect(millimetres).to_be_disabled()
    # The one that holds can be reached by the keyboard, with the reason.
    assert inches.is_enabled()
    assert inches.get_attribute("aria-describedby") == "unit-why"
    told = "Stays ft-in: what is kept of the opened document goes by it (drop_to_ground)."
    assert why.inner_text() == told


def test_joists_that_are_typed_tell_what_posts_are_fixed_into(page: Any) -> None:
    """Asked for only where they are known; what was not checked is, and blocking is listed."""
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


def test_corners_may_be_typed_as_a_tape_reads_them(page: Any) -> None:
    """10' across in place of 20': (120 - 7) + 2 x 140.5 = 394 in."""
    page.locator("label[for='f.way.points']").click()
    for corner in (1, 2):
        page.locator(f"[id='f.points.{corner}.x']").fill("10'")
    await_tile(page, "Railing", "32' 10\"")
    page.locator("[id='f.points.1.x']").fill("10 fx")
    message = page.locator("[id='f.points.1.x.fault']")
    api.expect(message).to_have_text("This cannot be read as a length. Type it like 12' 6 1/2\".")


def test_a_violation_comes_first_with_its_clause_and_a_cure(page: Any) -> None:
    """A guard of 30 in where 36 are required (IRC 2021 R312.1.2)."""
    page.locator("[id='f.height']").fill("30")
    first = page.locator("#failed li").first
    api.expect(first).to_contain_text("IRC 2021 R312.1.2")
    assert first.get_attribute("class") == "violation"
    assert "3' high" in first.locator(".cure").inner_text()


def test_findings_name_their_flags_on_the_plan(page: Any) -> None:
    """A flight of steep risers that meets the guard too high: the numbers are those that the
    drawing's own list has beside the plan."""
    page.locator("#plan:not(.old) img").wait_for()
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    page.locator("[id='f.openings.0.flight.risers']").fill("5")
    with page.expect_response("**/v1/sheets/plan") as got:
        page.locator("[id='f.openings.0.flight.going']").fill("9")
    drawn = re.findall(r">Flag (\d+), (\w+): ", got.value.text())
    assert [severity for _, severity in drawn] == ["violation", "violation", "warning"]
    rows = page.locator("#failed li")
    api.expect(rows).to_have_count(3)
    told = [(row.locator(".flag").inner_text(), row.get_attribute("class")) for row in rows.all()]
    assert told == drawn


def test_a_change_that_cures_stands_out_and_one_that_does_not_does_not(page: Any) -> None:
    """30 in of height is cured by more; a post that a bow leaves askew, under the load of a guard
    of 42 in, by none of the spacings that are tried."""
    page.locator("[id='f.height']").fill("30")
    api.expect(page.locator("#failed .cure").first).to_contain_text("3' high")
    assert page.locator("#failed .tried").count() == 0
    page.locator("[id='f.height']").fill("42")
    page.locator("[id='f.edges.0.bow']").fill("18")
    api.expect(page.locator("#failed .tried").first).to_contain_text("None of the changes")
    assert page.locator("#failed .cure").count() == 0


def test_an_edge_bows(page: Any) -> None:
    """A front that bows out by 2' over 20': an arc of radius (120^2 + 24^2) / (2 x 24) = 312 in,
    turned by 2 asin(120 / 312) = 45.24 degrees, is 246.35 in along: 20' 6 3/8" by the nearest mark,
    as the plan says it. What is wrong with a bow is told under its row."""
    with page.expect_response("**/v1/sheets/plan"):
        page.locator("label[for='f.way.points']").click()
    page.locator("#plan:not(.old) img").wait_for()
    bow = page.locator("[id='f.edges.0.bow']")
    with page.expect_response("**/v1/sheets/plan") as got:
        bow.fill("2'")
    assert "edge 0 bowed: 20' 6 3/8" in got.value.text()
    bow.fill("2 fx")
    fault = page.locator("[id='f.edges.0.bow.fault']")
    api.expect(fault).to_have_text(
        "Bow: This cannot be read as a length. Type it like 12' 6 1/2\"."
    )
    assert fault.bounding_box()["width"] > 3 * bow.bounding_box()["width"]
    assert page.locator("#faults-list a").inner_text().startswith("Edge 0, Bow: ")
    # Before and after the keys of a tape have come into its row, a bow stands in its own column.
    wall, guard = (page.locator(f"[id='f.edges.{edge}.bow']") for edge in (2, 1))
    for field in (wall, guard):
        field.focus()
        assert wall.bounding_box()["x"] == guard.bounding_box()["x"]


def test_by_the_keyboard_alone(page: Any) -> None:
    """Tab leads to the width, Shift-Tab and an arrow to the tape walk, Enter asks at once."""
    focused = "document.activeElement.id"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    for _ in range(12):
        if page.evaluate(focused) == "f.rectangle.width":
            break
        page.keyboard.press("Tab")
    assert page.evaluate(focused) == "f.rectangle.width"
    page.keyboard.press("Control+A")
    page.keyboard.type("10'")
    page.keyboard.press("Enter")
    await_tile(page, "Railing", "32' 10\"")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("ArrowRight")
    api.expect(page.locator("[id='f.sides.0.length']")).to_have_value("10'")
    assert page.evaluate(focused) == "f.way.sides"


def test_steps_from_an_opening(page: Any) -> None:
    """An opening with its flight: 48 in of drop in 7 risers, guards on both sides."""
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


def test_the_rise_goes_with_the_drop_until_it_is_typed(page: Any) -> None:
    """Seen in its field, and read back there."""
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
    drop.fill("50")
    assert rise.input_value() == "40"


def test_a_passage_takes_its_steps_off_and_steps_come_again_as_typed(page: Any) -> None:
    """Seven risers are there again after the opening was a passage and after a second thought."""
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


def test_one_step_back_from_what_takes_typed_things_away(page: Any) -> None:
    """An opening that was taken out by a slip, and a deck that another was opened over; and forth
    again."""
    line, undo = page.locator("#undone"), page.locator("#undo")
    assert undo.is_hidden()
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.get_by_role("button", name="Remove opening A").click()
    assert line.inner_text() == "Opening A was taken out."
    undo.click()
    assert page.locator("[id='f.openings.0.from']").input_value() == "8'"
    undo.click()
    assert page.locator("[id='f.openings.0.from']").count() == 0
    page.get_by_role("button", name="Put this line away").click()
    assert undo.is_hidden()
    api.expect(page.locator("#asked-head")).to_be_focused()
    page.locator(WIDTH).fill("10'")
    page.locator("details summary", has_text="Open or save").click()
    page.locator("#pasted").fill("old")
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#afresh").click()
    assert page.locator("#pasted").input_value() == ""
    assert page.locator(WIDTH).input_value() == "20'"
    undo.click()
    assert page.locator(WIDTH).input_value() == "10'"
    await_tile(page, "Railing", "32' 10\"")


def test_what_was_typed_outlives_a_reload_and_goes_when_told(page: Any) -> None:
    """Nothing of it stands in the address."""
    page.locator(WIDTH).fill("10'")
    await_tile(page, "Railing", "32' 10\"")
    page.reload()
    await_tile(page, "Railing", "32' 10\"")
    assert page.evaluate("location.search + location.hash") == ""
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#afresh").click()
    await_tile(page, "Railing", "42' 10\"")


def test_a_corner_that_was_forgotten_comes_between(page: Any) -> None:
    """A front corner cut off at 45 degrees: after side 0 a side that is left empty, 4' less of both
    beside it, so 4' x the root of 2 = 67.88 in, 5' 7 7/8" by the nearest mark."""
    page.locator("label[for='f.way.sides']").click()
    page.get_by_role("button", name="Add a side after side 0").click()
    cut = page.locator("[id='f.sides.1.length']")
    api.expect(cut).to_be_focused()
    assert page.locator("[id='f.sides.2.length']").input_value() == "12'"
    for name, text in {
        "0.length": "16'",
        "0.turn": "45°",
        "1.turn": "45",
        "2.length": "8'",
    }.items():
        page.locator(f"[id='f.sides.{name}']").fill(text)
    api.expect(cut).to_have_attribute("placeholder", "= 5' 7 7/8\"")


def test_a_walk_that_does_not_close_waits_for_a_side_that_is_still_to_type(page: Any) -> None:
    """A side in the middle: first it is still to type; left empty, the walk is what is wrong, and
    so it is after the page was loaded again, when nothing is being typed."""
    page.locator("label[for='f.way.sides']").click()
    page.get_by_role("button", name="Add a side after side 0").click()
    lines = page.locator("#faults-list li")
    api.expect(lines).to_have_text(["Side 1: Still to type."])
    page.get_by_role("button", name="Remove side 1").click()
    # Also where the field that the press leaves had the name that is the new one's.
    page.locator("[id='f.sides.1.length']").focus()
    page.get_by_role("button", name="Add a side after side 0").click()
    api.expect(lines).to_have_text(["Side 1: Still to type."])
    page.locator("[id='f.sides.2.length']").focus()
    api.expect(lines).to_have_text(re.compile("^The walk misses its start"))
    page.reload()
    api.expect(lines).to_have_text(re.compile("^The walk misses its start"))


def test_other_edges_ask_again_where_the_house_is(page: Any) -> None:
    """A side less: the wall that the form began with is a guard, until it is said anew."""
    page.locator("label[for='f.way.sides']").click()
    house = page.locator("[id='f.edges.2.condition']")
    asked = page.locator("#house")
    assert (house.input_value(), asked.inner_text()) == ("wall", "")
    page.locator("#add-row").click()
    api.expect(house).to_have_value("guard")
    api.expect(asked).to_contain_text("say again which of them stand against the house")
    page.locator("[id='f.sides.0.length']").fill("")
    page.locator("[id='f.sides.4.length']").fill("1'")
    page.locator("[id='f.sides.3.turn']").fill("0")
    page.locator("[id='f.sides.3.length']").fill("11'")
    beside = page.locator("#doubts li")
    api.expect(beside).to_contain_text(["Which edges stand against the house?"])
    page.locator("[id='f.edges.4.condition']").select_option("wall")
    api.expect(asked).to_have_text("")
    api.expect(beside).to_have_count(0)
    page.reload()
    api.expect(page.locator("[id='f.edges.4.condition']")).to_have_value("wall")


def test_bays_are_measured_again_after_the_posts_stand(page: Any) -> None:
    """B1, drawn 56 clear with rails of 55 5/8 and 55 3/4: measured 56 1/8 above and 55 7/8 below
    its rails are 1/8 more and 1/8 less. What is half typed is no fault; no caret jumps."""
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
    row = page.locator("#bays tbody tr").first.locator("th, td").all_inner_texts()
    assert row[4:6] == ["4' 7 3/4\"", "4' 7 5/8\""]
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
    """16' by 10' in front of the first, all edges guarded: (192 - 7) x 2 + (120 - 7) x 2 = 596 in
    beside the 514 of the first and less what the opening takes; a fault on a level that is not
    shown leads to where levels are chosen."""
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
        "Level shown: On level-2: This cannot be read as a length. Type it like 12' 6 1/2\"."
    )
    link.click()
    api.expect(level).to_be_focused()
    level.select_option("level-2")
    page.locator("[id='f.rectangle.depth']").fill("10'")
    await_tile(page, "Railing", "92' 6\"")
    level.select_option("main")
    page.locator("#add-opening").click()
    page.locator("[id='f.openings.0.from']").fill("8'")
    page.locator("[id='f.openings.0.width']").fill("4'")
    page.locator("[id='has-flight-0']").check()
    page.locator("[id='f.openings.0.flight.to_level']").select_option("level-2")
    for name, text in {"rise": "24", "risers": "4", "going": "10 1/2"}.items():
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


def test_a_side_that_is_left_empty_tells_its_length(page: Any) -> None:
    """12' across from 12'; while another length is typed it is not known."""
    page.locator("label[for='f.way.sides']").click()
    side = page.locator("[id='f.sides.3.length']")
    side.fill("")
    api.expect(side).to_have_attribute("placeholder", "= 12'")
    page.locator("[id='f.sides.1.length']").fill("x")
    api.expect(side).to_have_attribute("placeholder", "")
    page.locator("[id='f.sides.1.length']").fill("10'")
    api.expect(side).to_have_attribute("placeholder", "= 10'")


def test_a_new_field_is_no_fault_until_it_was_left(page: Any) -> None:
    """Plain and not marked wrong; left empty, it is a fault, under itself and by its row's name."""
    page.locator("label[for='f.way.ties']").click()
    first = page.locator("[id='f.corners.0.from_b']")
    wall = page.locator("[id='f.baseline']")
    message = page.locator("[id='f.corners.0.from_b.fault']")
    wall.fill("20'")
    api.expect(message).to_have_text("Still to type.")
    assert page.locator("#faults-title").inner_text() == "Still to type"
    assert page.locator("[aria-invalid]").count() == 0
    assert page.locator("#short").inner_text() == "Something is still to be typed."
    first.focus()
    wall.focus()
    api.expect(message).to_have_text("Something is needed here.")
    api.expect(first).to_have_attribute("aria-invalid", "true")
    assert [each.get_attribute("id") for each in page.locator("[aria-invalid]").all()] == [
        "f.corners.0.from_b"
    ]
    field = page.locator(".field", has=first)
    assert field.locator(".fault").count() == 1
    link = page.locator("#faults-list a[href='#f.corners.0.from_b']")
    assert link.inner_text() == "Corner 1, B: Something is needed here."


def test_a_click_is_not_lost_to_a_message_that_grows(page: Any) -> None:
    """Add a side, wait until its empty length is still to type, add another by the mouse: leaving
    the field makes its message longer, and the button is where it was until it is let go."""
    page.locator("label[for='f.way.sides']").click()
    rows = page.locator("#measured .row")
    for count in (5, 6, 7):
        page.locator("#add-row").click()
        api.expect(rows).to_have_count(count)
        message = page.locator(f"[id='f.sides.{count - 1}.length.fault']")
        api.expect(message).to_have_text("Still to type.")
    api.expect(page.locator("[id='f.sides.4.length.fault']")).to_have_text(
        re.compile("Only one|needed")
    )


def test_a_row_that_comes_again_is_new_again(page: Any) -> None:
    """An opening whose width was left empty goes; the next one has no fault yet."""
    page.locator("#add-opening").click()
    width = page.locator("[id='f.openings.0.width']")
    message = page.locator("[id='f.openings.0.width.fault']")
    api.expect(message).to_have_text("Still to type.")
    width.focus()
    page.locator("[id='f.openings.0.from']").focus()
    api.expect(message).to_have_text("Something is needed here.")
    page.get_by_role("button", name="Remove opening A").click()
    api.expect(message).to_have_count(0)
    page.locator("#add-opening").click()
    api.expect(message).to_have_text("Still to type.")
    page.keyboard.press("Enter")  # On the list of uses: nothing is sent by it.
    width.press("Enter")
    api.expect(message).to_have_text("Something is needed here.")


def test_an_opening_stays_when_its_edge_goes(page: Any) -> None:
    """Six sides, an opening in the last: the side goes and the form is whole, the opening to be
    put elsewhere. So it is when the deck is said by its four corners."""
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


def test_a_gate_says_its_hinges_and_its_swing(page: Any) -> None:
    """Shown for a gate only, by the ends of its edge; an opening is measured from a named end."""
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


LAYOUT = "**/v1/layout"
COLUMN = {"from": "10'", "width": "6", "in": "0", "depth": "6"}


def type_a_column(page: Any, typed: dict[str, str]) -> None:
    """A column more, of which this is typed, by the names of the fields."""
    row = page.locator("#columns fieldset").count()
    page.locator("#add-column").click()
    for name, text in typed.items():
        page.locator(f"[id='f.columns.{row}.{name}']").fill(text)


def test_a_place_where_no_post_may_stand(page: Any) -> None:
    """The middle post of the front, at 120 in of 240, stands no more where a downpipe takes 116 to
    124; the plan says why. The house side has no railing, which is told at the place."""
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
    with page.expect_response("**/v1/sheets/plan") as got:
        page.locator("[id='f.no_post.0.width']").fill("8")
    (level,) = got.value.request.post_data_json["levels"]
    place = {"edge": 0, "from": "9' 8\"", "width": 8, "why": "downpipe"}
    assert level["no_post"] == [place]
    assert "no post: downpipe" in got.value.text()
    with page.expect_response(LAYOUT) as told:
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
    """6 by 6 in at 10' of the front: the railing of 514 in ends at it on both sides, 508 in are
    42' 4"; the plan names it. Taken out by a slip it comes back, also after a reload; in mm it
    stands where it stood, at 120 x 25.4 = 3048."""
    type_a_column(page, COLUMN)
    await_tile(page, "Railing", "42' 4\"")
    name = page.locator("[id='f.columns.0.name']")
    assert name.get_attribute("placeholder") == "column 1"
    with page.expect_response("**/v1/sheets/plan") as got:
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
    with page.expect_response(LAYOUT) as told:
        page.locator("label[for='f.unit.mm']").click()
    (column,) = told.value.request.post_data_json["levels"][0]["obstructions"]
    corners = [[3048, 0], [3200.4, 0], [3200.4, 152.4], [3048, 152.4]]
    assert column == {"name": "roof column", "points": corners}


def test_what_is_wrong_with_a_column_is_told_at_its_fields(page: Any) -> None:
    """What it lacks, a size with a minus, and what the service has against its place; an unread
    width of the deck once, at the deck."""
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
    """Of a walk that misses its start with a length left out, and of two tapes: 24 in from the
    corner that the service works out toward the next one, 3 in to the left of that line."""
    page.locator(f"label[for='f.way.{way}']").click()
    for name, text in typed.items():
        page.locator(f"[id='f.{name}']").fill(text)
    await_taking(page, on=True)
    type_a_column(page, {"from": "2'", "width": "6", "in": "3", "depth": "5"})
    page.locator("[id='f.columns.0.edge']").select_option("1")
    await_taking(page, on=True)
    with page.expect_response(LAYOUT) as told:
        page.locator("[id='f.columns.0.name']").fill("roof column")
    ((_, *ends, _),) = (each["corners"] for each in told.value.json()["surveyed"])
    start, end = (complex(*point) for point in ends)
    (column,) = told.value.request.post_data_json["levels"][0]["obstructions"]
    along = (end - start) / abs(end - start)
    for point, place in zip(column["points"], (24 + 3j, 30 + 3j, 30 + 8j, 24 + 8j), strict=True):
        assert abs(complex(*point) - (start + along * place)) < 1e-3


def test_an_opened_column_is_shown_by_its_edge_and_an_odd_one_kept(page: Any) -> None:
    """141 to 147 in of edge 0, as the example has it; a round one goes along and says so."""
    open_example(page, "column-and-downpipe")
    shown = {"edge": "0", "from": "141", "width": "6", "in": "0", "depth": "6"}
    for name, value in {**shown, "name": "roof column"}.items():
        assert page.locator(f"[id='f.columns.0.{name}']").input_value() == value
    for name, value in {"edge": "0", "from": "237", "width": "8", "why": "downpipe"}.items():
        assert page.locator(f"[id='f.no_post.0.{name}']").input_value() == value
    assert page.locator("#kept").is_hidden()
    assert page.locator("[id='f.unit.mm']").is_enabled()
    deck = json.loads((ROOT / "schema/examples/column-and-downpipe.request.json").read_bytes())
    round_one = {"name": "round", "points": [[60, 0], [63, 3], [60, 6], [57, 3]]}
    deck["levels"][0]["obstructions"].append(round_one)
    paste(page, deck)
    api.expect(page.locator("#kept")).to_contain_text("not shown here: more obstructions.")
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text()) == deck


def test_a_column_of_a_level_that_is_not_shown(page: Any) -> None:
    """Its fault is told where levels are chosen; its fields are there when its level is."""
    type_a_column(page, COLUMN)
    page.locator("#add-level").click()
    assert page.locator("#columns fieldset").count() == 0
    for name, text in {"width": "16'", "depth": "10'", "right": "2'", "out": "11' 9"}.items():
        page.locator(f"[id='f.rectangle.{name}']").fill(text)
    type_a_column(page, {**COLUMN, "depth": "6 fx"})
    page.locator("[id='f.at']").select_option("main")
    assert page.locator("[id='f.columns.0.depth']").input_value() == "6"
    api.expect(page.locator("#faults-list li")).to_have_text(
        ["Level shown: On level-2: This cannot be read as a length. Type it like 12' 6 1/2\"."]
    )
    page.locator("[id='f.at']").select_option("level-2")
    api.expect(page.locator("[id='f.columns.0.depth']")).to_have_attribute("aria-invalid", "true")


def column(page: Any, section: str, head: str) -> list[str]:
    """The cells of a column of a table, by its head; none where there is no such column."""
    cells: list[str] = page.locator(f"{section} tbody [data-head='{head}']").all_inner_texts()
    return cells


def test_the_saw_is_told_its_angle_and_the_blanks(page: Any) -> None:
    """A flight of 175 over 280: atan(175/280) = 32.0°, so its rails' ends are 58.0° to the length.

    Their blanks are lengths of the stick plan, read the same there.
    """
    assert (column(page, "#cuts", "Ends"), column(page, "#cuts", "Blank")) == ([], [])
    open_example(page, "glass-flight")
    assert set(column(page, "#cuts", "Ends")) == {"square", "both 58° (saw 32°)"}
    assert "both ends are parallel" in page.locator("#cuts .hint").inner_text()
    blanks = {text for text in column(page, "#cuts", "Blank") if text}
    assert len(blanks) == 6
    planned = " ".join(column(page, "#stock", "Cut from each")).replace("\xa0", " ")
    assert {text for text in blanks if f"{text} blank" in planned} == blanks
    left = column(page, "#stock", "Left of each")
    assert left
    assert [text for text in left if "." in text] == []


def test_a_column_with_nothing_in_it_is_left_out(page: Any) -> None:
    """Panes on the level are not raked; those of a flight are."""
    open_example(page, "millimetre-glass")
    assert len(column(page, "#glass", "Width")) > 0
    assert column(page, "#glass", "Raked by") == []
    # Panels of the parts list by their marks; a gasket by its length.
    marks = column(page, "#glass", "Mark")
    sizes = column(page, "#parts", "Size")
    assert [mark for mark in marks if mark not in sizes] == []
    assert any(told.endswith(" mm") for told in column(page, "#parts", "Needed"))
    page.locator("#file").set_input_files(
        ROOT / "schema" / "examples" / "glass-flight.request.json"
    )
    api.expect(page.locator("#glass tbody [data-head='Raked by']").last).to_have_text("400 mm")


def test_a_table_that_goes_on_sideways_shows_it(page: Any) -> None:
    """A shadow stays at the edge (scroll), and a cover goes with the table's end (local)."""
    page.set_viewport_size(PHONE)
    wide = page.locator("#bays .wide")
    assert wide.evaluate("each => each.scrollWidth > each.clientWidth")
    layers = wide.evaluate("each => getComputedStyle(each).backgroundAttachment").split(", ")
    assert layers[:4] == ["local", "local", "scroll", "scroll"]


def test_the_panes_scroll_and_the_page_does_not(page: Any) -> None:
    """A link into the answer moves the answer, and not the strip at the foot."""
    assert page.evaluate("document.documentElement.scrollHeight") == KIOSK["height"]


def test_an_opened_document_is_text_and_comes_back_whole(page: Any, tmp_path: Path) -> None:
    """A title of markup is shown as typed; members that the form has not are kept."""
    title = "<img src=x onerror=alert(1)>"
    deck = {
        "title": title,
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "guard": {"infill": "picket"},
        "levels": [{"id": "main", "outline": {"points": [[0, 0], [120, 0], [120, 96], [0, 96]]}}],
        "stock_on_hand": [{"part": "top_rail_picket", "length": 88, "count": 2}],
    }
    file = tmp_path / "deck.json"
    file.write_text(json.dumps(deck))
    page.locator("details summary", has_text="Open or save").click()
    page.locator("#file").set_input_files(file)
    api.expect(page.locator("#deck-line")).to_contain_text(title)
    assert page.locator("#deck-line img").count() == 0
    assert "stock_on_hand" in page.locator("#kept").inner_text()
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text()) == deck


def test_a_drawing_is_an_image_in_which_nothing_runs(blank: Any, server: Server) -> None:
    """An SVG with a script in it is shown, and the script is not run."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="30" height="20">'
        "<script>parent.ran = 1; window.ran = 1</script><rect width='30' height='20'/></svg>"
    )
    blank.route(
        "**/v1/sheets/plan",
        lambda route: route.fulfill(body=svg, content_type="image/svg+xml"),
    )
    blank.goto(server.url)
    image = blank.locator("#plan img")
    image.wait_for()
    assert image.get_attribute("alt").startswith("Plan. 9 posts, 10 bays")
    api.expect(image).to_have_js_property("naturalWidth", 30)
    assert blank.evaluate("window.ran") is None
    assert blank.locator("[data-sheet=job]").is_visible()


def test_without_drawings_posts_are_shown_and_no_sheet_is_offered(
    blank: Any, server: Server
) -> None:
    """A square a post; buttons for what is not there are hidden."""
    blank.route("**/v1/sheets/plan", lambda route: route.fulfill(status=404, body="{}"))
    blank.goto(server.url)
    api.expect(blank.locator("#plan polygon.post")).to_have_count(9)
    assert not blank.locator("[data-sheet=job]").is_visible()


def test_a_drawing_that_hangs_takes_nothing_from_the_answer(blank: Any, server: Server) -> None:
    """Of a deck with a flight: the answer can be had at once; after 20 s its posts, those of the
    flight too, are shown instead."""
    blank.goto(server.url)
    blank.locator("#plan:not(.old) img").wait_for()
    blank.clock.install()
    blank.route("**/v1/sheets/plan", lambda route: None)
    blank.locator("details summary", has_text="Open or save").click()
    file = ROOT / "schema" / "examples" / "glass-flight.request.json"
    blank.locator("#file").set_input_files(file)
    api.expect(blank.locator("#undone")).to_be_visible()
    blank.clock.run_for(10)
    steps = blank.locator("#steps tbody tr")
    api.expect(steps).to_have_count(1)
    await_taking(blank, on=True)
    assert blank.locator("#plan.old").count() == 1
    assert blank.locator("#stale").is_hidden()
    blank.clock.run_for(20_000)
    api.expect(blank.locator("#plan figcaption")).to_contain_text("did not come")
    assert blank.locator("#plan.old").count() == 0
    posts = int(tiles(blank)["Posts"])
    assert blank.locator("#plan polygon.post").count() == posts
    assert blank.locator("#plan text").count() == posts


def test_a_drawing_that_fails_takes_nothing_from_the_answer(blank: Any, server: Server) -> None:
    """Posts in its place, and the answer is not called out of date."""
    blank.route("**/v1/sheets/plan", lambda route: route.fulfill(status=429, body="{}"))
    blank.goto(server.url)
    api.expect(blank.locator("#plan figcaption")).to_contain_text("did not come")
    assert not blank.locator("#stale").is_visible()
    assert not blank.locator("#faults").is_visible()


def test_a_phone_has_no_sideways_scroll_and_targets_for_a_thumb(page: Any) -> None:
    """44 px high at least; the short answer is on the first screen."""
    page.set_viewport_size(PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    boxes = page.locator("button:visible, select:visible, #deck input[type=text]:visible").all()
    assert len(boxes) > 10
    assert min(box.bounding_box()["height"] for box in boxes) >= 44
    assert page.locator("#short").inner_text().startswith("9 posts, 10 bays")
    api.expect(page.locator("#short")).to_be_in_viewport()


def test_marks_of_a_tape_for_who_types_with_fingers(browser: Any, server: Server) -> None:
    """12, the key of feet, 6, the key of inches; by a mouse they are not there."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(server.url)
    field = page.locator(WIDTH)
    field.fill("")
    page.keyboard.type("12")
    page.locator('[data-mark="\'"]').tap()
    page.keyboard.type("6")
    page.locator("[data-mark='\"']").tap()
    assert field.input_value() == "12'6\""
    # (150 - 7) + 2 x 140.5 = 424 in
    await_tile(page, "Railing", "35' 4\"")
    context.close()


@pytest.mark.parametrize(("width", "beside"), [(1024, False), (1440, False), (1600, True)])
def test_the_plan_is_wide_enough_to_be_read(page: Any, width: int, beside: bool) -> None:
    """Over the full width of the answer, or from 100rem on beside the cut list: 5/11 of what 1600
    px leave beside the form are over 500."""
    page.set_viewport_size({"width": width, "height": 800})
    page.locator("#plan img").wait_for()
    plan, cuts = (page.locator(each).bounding_box() for each in ("#plan img", "#cuts"))
    assert plan["width"] >= 500
    assert (cuts["y"] < plan["y"] + plan["height"]) == beside


def test_paper_has_the_answer_and_not_the_form(page: Any) -> None:
    """With its cautions."""
    page.emulate_media(media="print")
    assert not page.locator("#deck").is_visible()
    assert page.locator("#cuts table").is_visible()
    assert not page.locator("#marks-keys").is_visible()
    assert page.locator("#cautions-list").is_visible()


def test_where_keys_are_set_the_page_asks_for_one(browser: Any, tmp_path: Path) -> None:
    """It is sent as a bearer's, and written nowhere."""
    key = "counter-key-of-32-characters-abc"
    with running(tmp_path / "log", GUARDS_KEYS=key) as server:
        page = browser.new_page()
        page.goto(server.url)
        page.locator("#key-input").wait_for()
        api.expect(page.locator("#key-input")).to_be_focused()
        api.expect(page.locator("#faults-title")).to_have_text("The service asks for a key")
        page.locator("#key-input").fill("another")
        page.keyboard.press("Enter")
        api.expect(page.locator("#faults-title")).to_have_text("This key is not right")
        api.expect(page.locator("#short")).to_have_text("This key is not right.")
        page.locator("#key-input").fill(key)
        page.keyboard.press("Enter")
        await_tile(page, "Posts", "9")
        api.expect(page.locator("[id='f.kit'] option")).not_to_have_count(1)
        kept = page.evaluate(
            "JSON.stringify([{...sessionStorage}, {...localStorage}, document.cookie])"
        )
        assert key not in kept
        page.close()


def test_a_yard_begins_with_its_own_prices(browser: Any, tmp_path: Path) -> None:
    """A cap each for nine posts at 10.00 is 90.00, for the seven of a front of 10 ft 70.00, told at
    the top; a fresh start begins with them again."""
    prices = {"currency": "USD", "parts": {"post_cap": {"each": "10.00"}}}
    shipped = json.loads((ROOT / "service/web/static/counter/start.json").read_bytes())
    (tmp_path / "own.json").write_text(json.dumps({**shipped, "prices": prices}))
    own = str(tmp_path / "own.json")
    with running(tmp_path / "log", GUARDS_COUNTER=own) as server:
        page = browser.new_page(viewport=KIOSK)
        page.goto(server.url)
        await_tile(page, "Priced so far", "90.00 USD")
        assert page.locator("#quote tbody th").last.inner_text() == "Priced so far"
        page.locator(WIDTH).fill("10'")
        await_tile(page, "Priced so far", "70.00 USD")
        page.on("dialog", lambda dialog: dialog.accept())
        page.locator("#afresh").click()
        await_tile(page, "Priced so far", "90.00 USD")
        page.close()


def test_a_page_whose_module_does_not_come_says_so(browser: Any, server: Server) -> None:
    """After a glance, in words that a page which has started does not show."""
    page = browser.new_page(viewport=KIOSK)
    line = page.locator("#unstarted")
    page.goto(server.url)
    await_tile(page, "Posts", "9")
    assert line.is_hidden()
    page.route("**/counter/saw.js", lambda route: route.abort())
    page.reload()
    assert not line.is_visible()
    api.expect(line).to_be_visible()
    assert line.inner_text().startswith("This page has not started")
    page.close()


def test_a_page_without_its_deck_says_so(browser: Any, server: Server) -> None:
    """Nothing is shown that nobody asked for."""
    page = browser.new_page(viewport=KIOSK)
    page.route("**/counter/start.json", lambda route: route.abort())
    page.goto(server.url)
    api.expect(page.locator("#faults")).to_contain_text("The service does not answer")
    assert not page.locator("#answer").is_visible()
    page.close()


CAUTIONS = "#cautions-list li"


def test_who_uses_the_deck_is_said_with_one_choice(page: Any) -> None:
    """The NBC has 900 mm for one dwelling and 1070 for a shared deck under 1800 mm of drop (NBC
    2020 9.8.8.3): guards of 1000 mm, 39 3/8 in, are too low for a shared one alone. What the code
    was read for is said by the field's name; the choice outlives a reload and goes when unsaid."""
    use = page.locator("[id='f.occupancy']")
    assert use.input_value() == ""
    words = ["Not said", "One household", "Shared, or open to others"]
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
    with page.expect_request(LAYOUT) as sent:
        use.select_option(label="One household")
    assert sent.value.post_data_json["occupancy"] == "dwelling"
    api.expect(low).to_have_count(0)
    with page.expect_request(LAYOUT) as sent:
        use.select_option(label="Not said")
    assert "occupancy" not in sent.value.post_data_json
    api.expect(unsaid).to_have_count(1)


def test_how_many_people_is_asked_where_the_code_goes_by_it(page: Any) -> None:
    """A stair 42 in wide: 44 are required for 50 people and more, else 36 (IBC 2021 1011.2). What
    is no count is told at the field, which stays while something stands in it."""
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
    """A word that is none of the contract stays, too, and is told at its field."""
    start = json.loads((ROOT / "service/web/static/counter/start.json").read_bytes())
    deck = {**start, "occupancy": "shared", "occupants": 12}
    paste(page, deck)
    await_taking(page, on=True)
    assert page.locator("[id='f.occupancy']").input_value() == "shared"
    assert page.locator("[id='f.occupants']").input_value() == "12"
    assert page.locator("#kept").is_hidden()
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text()) == deck
    paste(page, {**start, "occupancy": "a club"})
    api.expect(page.locator("#faults-list li")).to_have_text(re.compile("^Who uses the deck: "))
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text())["occupancy"] == "a club"


def test_what_is_below_the_edges_is_asked_of_glass_where_the_code_goes_by_it(page: Any) -> None:
    """Tempered glass has to be laminated where people walk below it (IBC 2021 2407.1); of pickets
    it is not asked. It is each level's own."""
    below = page.locator("[id='f.beneath']")
    page.locator("[id='f.code']").select_option("us-ibc-2021")
    assert below.is_hidden()
    page.locator("label[for='f.infill.glass']").click()
    api.expect(below).to_be_visible()
    make = page.locator("#failed .violation", has_text="2407.1")
    api.expect(make).to_contain_text("say so at Below the edges where nobody can")
    with page.expect_request(LAYOUT) as sent:
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


def test_an_edge_has_a_drop_of_its_own(page: Any) -> None:
    """Put away until it is wanted. An open front 48 in up wants a guard, and one 20 in up does not
    (IRC 2021 R312.1.1: more than 30 in)."""
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


def test_a_railing_ends_at_a_wall_in_a_bracket_or_a_post(page: Any) -> None:
    """Beside the house only, or at a column. The base is 4 1/2 in wide: a post half a base off the
    wall takes 2 1/4 in of 42' 10". An opened document shows what it says, of a bracket, too."""
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
    assert json.loads(Path(saved.value.path()).read_text()) == deck
