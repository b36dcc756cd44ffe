"""The answer on the counter page: what it says, when it is out of date, and what can be taken
along."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.web.counter_page import (
    KIOSK,
    LAYOUT,
    PHONE,
    PLAN,
    WIDTH,
    await_held,
    await_taking,
    await_tile,
    open_example,
    paste,
    reply_to,
    resize,
    stop_clock,
    tiles,
)
from tests.web.running import DECK, ROOT, Server

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


def column(page: Any, section: str, head: str) -> list[str]:
    """The cells of a table's column, by its heading; none where there is no such column."""
    cells: list[str] = page.locator(f"{section} tbody [data-head='{head}']").all_inner_texts()
    return cells


def saved_deck(page: Any) -> Any:
    """The deck document as the page saves it."""
    if not page.locator("#save-deck").is_visible():
        page.locator("details summary", has_text="Open or save").click()
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    return json.loads(Path(saved.value.path()).read_text("utf-8"))


def test_the_first_answer_is_that_of_the_readme(page: Any) -> None:
    """README: 9 posts, 10 bays, B1 from P1 to P2 with centres at 58.25, rails 55.625 and 55.75.

    The railing line runs 3 1/2 in inside the edges: (240 - 7) + 2 x (144 - 3.5) = 514 in = 42' 10".
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


def test_a_finding_without_a_clause_says_where_and_no_more(page: Any) -> None:
    """With no code most rules are not checked, and their findings have no clause to cite."""
    page.locator("[id='f.code']").select_option("")
    place = page.locator("#unchecked-list .place")
    api.expect(place.first).to_have_text("At edges 0, 1, 3.")
    told = page.locator("#unchecked-list p").first
    api.expect(told).to_contain_text("Edges 0, 1, 3: whether a guard is required was not checked")
    # What has one reason at the same places is told once.
    both = page.locator("#unchecked-list li", has_text="the height of the guard, ")
    api.expect(both).to_have_count(1)
    api.expect(both).to_contain_text(
        "were not checked; choose a Building code to have them checked."
    )
    assert "undefined" not in page.locator("body").inner_text()


def test_a_change_that_the_answer_offers_can_be_made_and_taken_back(page: Any) -> None:
    """The code requires 36 in of every guard (IRC 2021 R312.1.2); 24 and 30 in fail in two
    findings, for which the answer offers one change. Its button is off while the answer is of an
    earlier deck."""
    with reply_to(page, LAYOUT, height=24):
        for edge, height in ((1, "30"), (3, "30"), (0, "24")):
            page.locator(f"[id='f.edges.{edge}.height']").fill(height)
    api.expect(page.locator("#failed .violation")).to_have_count(2)
    button = page.locator("[data-cure]")
    api.expect(button).to_have_count(1)
    held: list[Any] = []
    page.route(f"**{LAYOUT}", lambda route: held.append(route))
    page.locator("[id='f.title']").fill("Ashby")
    api.expect(button).to_be_disabled()
    await_held(page, held).continue_()
    page.unroute(f"**{LAYOUT}")
    api.expect(button).to_be_enabled()
    button.click()
    api.expect(page.locator("#verdict")).to_have_text("No violation found")
    heights = [page.locator(f"[id='f.edges.{edge}.height']") for edge in (0, 1, 3)]
    assert {field.input_value() for field in heights} == {"3'"}
    assert page.locator("[id='f.title']").input_value() == "Ashby"
    api.expect(page.locator("#answer-head")).to_be_focused()
    page.locator("#undo").click()
    api.expect(heights[0]).to_have_value("24")
    api.expect(page.locator("#verdict")).to_have_text("2 violations")


def test_an_opening_that_a_change_moves_moves_in_its_field(page: Any) -> None:
    """An opening 12 in from the corner leaves 12 - 3 1/2 - 3 x 1 1/8 = 5 1/8 in up to its post,
    where the least bay is 7: it has to move by 1 7/8 (the kit's own sizes), and its field shows the
    new place as a tape reads it.

    What is typed in other fields stays: those of a column, those of steps that are off, and a rise
    that goes with the drop.
    """
    page.locator("#add-column").click()
    column = {"from": "12'", "in": "5' 6", "width": "6 1/2", "depth": '6"'}
    for name, text in column.items():
        page.locator(f"[id='f.columns.0.{name}']").fill(text)
    page.locator("#add-opening").click()
    start = page.locator("[id='f.openings.0.from']")
    with reply_to(page, LAYOUT, width=36):
        start.fill("1'")
        page.locator("[id='f.openings.0.width']").fill("36")
    failed = page.locator("#failed .violation", has_text="least bay")
    api.expect(failed.locator(".cure")).to_contain_text("moved to begin at 1' 1 7/8\"")
    told = failed.locator(".cure").text_content()
    assert "1'\u00a01\u00a07/8\"" in told, "it is not broken at the end of a line"
    page.locator("#has-flight-0").check()
    page.locator("[id='f.openings.0.flight.going']").fill("10 1/2")
    page.locator("#has-flight-0").uncheck()
    button = failed.locator("[data-cure]")
    api.expect(button).to_be_enabled()
    button.click()
    api.expect(failed).to_have_count(0)
    api.expect(page.locator("#undone")).to_have_text(
        "The change was made: the opening A moved to begin at 1' 1 7/8\" along its edge."
    )
    assert start.input_value() == "1' 1 7/8\""
    assert page.locator("[id='f.openings.0.width']").input_value() == "36"
    held = {name: page.locator(f"[id='f.columns.0.{name}']").input_value() for name in column}
    assert held == column
    page.locator("#has-flight-0").check()
    assert page.locator("[id='f.openings.0.flight.going']").input_value() == "10 1/2"
    page.locator("[id='f.drop']").fill("50")
    assert page.locator("[id='f.openings.0.flight.rise']").input_value() == "50"
    page.locator("#has-flight-0").uncheck()
    page.locator("#undo").click()
    api.expect(start).to_have_value("1'")


def test_a_change_of_the_smallest_mark_is_shown(page: Any) -> None:
    """Rails cut to 10 mm need finer marks. A change to 5 mm is offered; once made, it is shown in
    its field and saved with the deck, and Undo takes it back."""
    deck = {
        "unit": "mm",
        "kit": "glass-picket-surface-mm",
        "code": "us-irc-2021",
        "precision": 10,
        "advise": True,
        "guard": {"infill": "picket"},
        "levels": [
            {
                "id": "main",
                "drop": 1200,
                "outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]},
                "edges": [{"edge": 2, "condition": "wall"}],
            }
        ],
    }
    button = page.locator("#failed [data-cure]")
    with page.expect_response(f"**{LAYOUT}"):
        paste(page, deck)
    api.expect(page.locator("#failed .cure")).to_contain_text("cut to 5 mm")
    api.expect(button).to_be_enabled()
    button.click()
    api.expect(page.locator("#verdict")).to_have_text("No violation found")
    api.expect(page.locator("#undone")).to_have_text(
        "The change was made: the deck laid out and cut to 5 mm."
    )
    mark = page.get_by_label("Smallest mark")
    api.expect(mark.locator("option:checked")).to_have_text("5 mm")
    assert page.locator("#kept").is_hidden()
    assert saved_deck(page)["precision"] == 5
    page.locator("#undo").click()
    api.expect(page.locator("#failed .cure")).to_contain_text("cut to 5 mm")
    assert saved_deck(page) == deck
    mark.select_option(label="1 mm, as usual")
    api.expect(page.locator("#verdict")).to_have_text("No violation found")
    assert "precision" not in saved_deck(page)


def test_a_change_that_nobody_answers_is_in_the_form_and_can_be_taken_back(page: Any) -> None:
    """The service refuses the changed deck because too many ask (429): the change stays in the form
    until Undo takes it back."""
    with reply_to(page, LAYOUT, height=30):
        page.locator("[id='f.height']").fill("30")
    button = page.locator("[data-cure]")
    api.expect(button).to_be_enabled()
    page.route(f"**{LAYOUT}", lambda route: route.fulfill(status=429, body="{}"))
    button.click()
    api.expect(page.locator("#faults")).to_be_visible()
    height = page.locator("[id='f.height']")
    assert height.input_value() == "3'"
    api.expect(button).to_be_disabled()
    page.unroute(f"**{LAYOUT}")
    page.locator("#undo").click()
    api.expect(height).to_have_value("30")
    api.expect(page.locator("#redo")).to_be_focused()
    api.expect(button).to_be_enabled()
    assert page.locator("#faults").is_hidden()


def test_a_kit_that_a_change_is_made_in_is_this_decks_own(page: Any) -> None:
    """Under the loads of BS 6399-1 glass asks more of the kit's bolts than they hold at 5 ft
    between posts, so closer posts are offered. That changes a figure of the kit, and the list of
    kits says that it is this deck's own."""
    page.locator("[id='f.code']").select_option("gb-eng-adk-2013")
    page.locator("label[for='f.infill.glass']").click()
    with reply_to(page, LAYOUT, height=34, infill="glass"):
        page.locator("[id='f.height']").fill("34")
    cure = page.locator("#failed .cure", has_text=re.compile("passes: posts of glass bays at most"))
    button = cure.locator("xpath=..").locator("[data-cure]")
    api.expect(button).to_be_enabled()
    button.click()
    api.expect(page.locator("#failed .violation", has_text="fixings is pulled")).to_have_count(0)
    kit = page.locator("[id='f.kit']")
    told = kit.evaluate("each => each.selectedOptions[0].textContent")
    assert told.endswith("(this deck's own)")
    saved = saved_deck(page)
    assert saved["kit"]["max_centres"]["glass"] != 60
    paste(page, saved)
    api.expect(page.locator("#opened")).to_have_text("Opened.")
    assert saved_deck(page) == saved


def test_a_length_off_all_marks_is_about_what_a_tape_reads(page: Any) -> None:
    """A rise of 48 in over five risers is 9.6 in each, 9 5/8 to the nearest sixteenth. 1100 mm are
    43.3071 in: 3 ft 7 5/16 is the least mark that reaches them."""
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    page.locator("[id='f.openings.0.flight.going']").fill("10")
    page.locator("[id='f.openings.0.flight.risers']").fill("5")
    api.expect(page.locator("#failed")).to_contain_text('each riser is about 9 5/8" high')
    page.locator("[id='f.height']").fill("34")
    page.locator("[id='f.code']").select_option("gb-eng-adk-2013")
    api.expect(page.locator("#failed")).to_contain_text(
        "at least 3' 7 5/16\" (1100 mm) is required"
    )


def test_a_refused_amendment_is_told_at_its_field(page: Any) -> None:
    """An amendment of 36 in a millimetre document is refused at its field; the code has 36 in, and
    prints 914 mm beside it."""
    paste(page, {**DECK, "unit": "mm", "amendments": {"guard_height": 36}})
    fault = page.locator("[id='f.amendments.0.value.fault']")
    said = '36 is not taken: the code has 914 mm. Type it with its unit: 36" or 36 mm.'
    api.expect(fault).to_have_text(said)
    assert page.locator("#kept").is_hidden()
    await_taking(page, on=False)
    page.locator("[id='f.amendments.0.value']").fill('36"')
    await_taking(page, on=True)
    assert page.locator("#faults").is_hidden()
    page.locator("#undo").click()
    api.expect(page.locator("#amendments fieldset")).to_have_count(0)
    await_taking(page, on=True)


def test_a_refusal_outlives_what_is_loaded_after_it(page: Any) -> None:
    """The words for a code's figures come after the amendment was refused; its fields are drawn
    anew with them, and the refusal stays."""
    held: list[Any] = []
    page.route("**/v1/schemas/deck.json", lambda route: held.append(route))
    paste(page, {**DECK, "unit": "mm", "amendments": {"guard_height": 36}})
    fault = page.locator("[id='f.amendments.0.value.fault']")
    api.expect(fault).to_contain_text("36 is not taken")
    held[0].continue_()
    api.expect(page.locator("[id='amendments.0.told']")).to_contain_text("Least height of a guard")
    api.expect(fault).to_contain_text("36 is not taken")


def test_what_a_change_brings_is_said_beside_its_button(page: Any) -> None:
    """A change that raises a flight's guard to the code's 34 in leaves it apart from the deck's 36
    in rail at its head. The page says so beside the button, and in the button's accessible
    description, before the change is made; once made, it has that effect."""
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    for name, text in {"risers": "7", "going": "10 1/2", "height": "33.7143"}.items():
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    button = page.locator("[data-cure]")
    api.expect(button).to_have_count(1)
    api.expect(page.locator("#failed .brings")).to_have_text(
        "It brings a warning, or what cannot be checked: "
        "the heights of rails at the head of the flight."
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
    """The buttons are off with a fault in a field and while a request is under way, and on again
    with the next answer."""
    await_taking(page, on=True)
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#stale")).to_be_visible()
    await_taking(page, on=False)
    held: list[Any] = []
    page.route(f"**{LAYOUT}", lambda route: held.append(route))
    page.locator(WIDTH).fill("10'")
    await_taking(page, on=False)
    await_held(page, held)  # After the pause that follows a key: the request is under way.
    await_taking(page, on=False)
    assert len(held) == 1
    held[0].continue_()
    await_tile(page, "Railing", "32' 10\"")
    await_taking(page, on=True)


def test_where_there_is_no_answer_yet_none_is_called_out_of_date(page: Any) -> None:
    """The page is loaded again with a fault in a field: the fault is told, and nothing is said of
    an answer below, as there is none. Once the fault is put right, the answer comes."""
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#stale")).to_be_visible()
    page.reload()
    api.expect(page.locator("#faults-list li")).to_have_count(1)
    api.expect(page.locator("#short")).to_have_text("Something is to be put right.")
    assert page.locator("#answer").is_hidden()
    assert page.locator("#stale").is_hidden()
    page.locator(WIDTH).fill("10'")
    # (120 - 7) + 2 x 140.5 = 394 in
    await_tile(page, "Railing", "32' 10\"")
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#stale")).to_be_visible()


def test_an_answer_to_an_earlier_deck_gives_nothing_out(page: Any) -> None:
    """The answer comes after the next key, but before the next request is sent: it is not shown
    either."""
    held: list[Any] = []
    page.route(f"**{LAYOUT}", lambda route: held.append(route))
    page.locator(WIDTH).fill("10'")
    first = await_held(page, held)
    stop_clock(page)
    page.locator(WIDTH).fill("10' 6")  # Its own request waits for the clock, which stands.
    first.continue_()
    page.clock.run_for(100)
    await_taking(page, on=False)
    assert tiles(page)["Railing"] == "42' 10\""


def test_a_slow_answer_is_said_and_a_late_one_given_up(page: Any) -> None:
    """After 0.6 s the answer shown is marked as old, and after 20 s the request is given up; the
    next change asks anew."""
    stop_clock(page)
    page.route(f"**{LAYOUT}", lambda route: None)
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
    page.unroute(f"**{LAYOUT}")
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
    """A reply of 200 that is no answer, such as one from a proxy between, is told: the answer shown
    is marked out of date, and nothing is handed out."""
    page = browser.new_page(viewport=KIOSK)
    page.goto(server.url)
    await_taking(page, on=True)
    page.route(f"**{LAYOUT}", lambda route: route.fulfill(body=body, content_type="text/html"))
    page.locator(WIDTH).fill("10'")
    api.expect(page.locator("#faults-title")).to_have_text(told)
    assert page.locator("#stale").is_visible()
    await_taking(page, on=False)
    assert page.locator("#answer").get_attribute("aria-busy") is None
    page.close()


def test_paper_says_out_of_date_from_the_first_key_on(page: Any) -> None:
    """A print made right after a key was pressed says that the answer is out of date, before any
    reply has come that makes the screen say so."""
    page.emulate_media(media="print")
    assert not page.locator("#stale").is_visible()
    page.route(f"**{LAYOUT}", lambda route: None)
    page.evaluate(
        "field => { const input = document.getElementById(field); input.value = '10';"
        " input.dispatchEvent(new InputEvent('input', { bubbles: true })); }",
        "f.rectangle.width",
    )
    assert page.locator("#stale").is_visible()


def test_the_sheets_are_of_the_deck_that_is_shown(page: Any) -> None:
    """The whole set is saved as PDF. The cut list is saved as CSV, where each length of the cut
    list on the page is found."""
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
    """A sheet that was asked for before the deck changed is of the earlier deck."""
    held: list[Any] = []
    saved: list[Any] = []
    page.on("download", lambda file: saved.append(file))
    page.route("**/v1/sheets/job", lambda route: held.append(route))
    page.locator("[data-sheet=job]").click()
    api.expect(page.locator("#sheet-told")).to_have_text("Fetching.")
    await_held(page, held)
    page.locator(WIDTH).fill("10'")
    held[0].fulfill(body="%PDF-1.4", content_type="application/pdf")
    await_tile(page, "Railing", "32' 10\"")
    await_taking(page, on=True)
    assert saved == []
    assert page.locator("#sheet-told").inner_text() == ""


def test_the_plan_is_the_drawing_that_the_service_makes(page: Any) -> None:
    """The image shows only the view of the service's own plan, without its title and the words
    beside it. It is as large as that view, at 96 px to the inch of 25.4 mm."""
    with reply_to(page, PLAN, length="20' 1\"") as got:
        page.locator(WIDTH).fill("20' 1\"")
    (view,) = re.findall(r'<view id="drawing-1" viewBox="(.*?)">', got.value.text())
    _, _, wide, tall = map(float, view.split())
    image = page.locator("#plan:not(.old) img")
    api.expect(image).to_have_js_property("naturalWidth", round(wide * 96 / 25.4))
    api.expect(image).to_have_js_property("naturalHeight", round(tall * 96 / 25.4))
    assert image.get_attribute("alt").startswith("Plan. 9 posts, 10 bays")
    box = image.bounding_box()
    assert box["width"] / box["height"] == pytest.approx(wide / tall, rel=0.01)


def test_the_drawing_by_itself_is_drawn_by_its_own_style(page: Any) -> None:
    """The drawing opens in a tab of its own. The page's policy allows its style sheet, by which
    lines have no fill; without it they would be black areas."""
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
    """A deck of two levels has two images, both of one drawing, each under its level's name. The
    only image of one level needs no name."""
    assert page.locator("#plan p").count() == 0
    open_example(page, "two-levels")
    path = ROOT / "schema" / "examples" / "two-levels.request.json"
    levels = json.loads(path.read_text("utf-8"))["levels"]
    names = [f"Plan of {level['id']}" for level in levels]
    api.expect(page.locator("#plan p")).to_have_text(names)
    assert page.locator("#plan p + a img").count() == page.locator("#plan img").count() == 2
    assert page.locator("#plan img").nth(1).get_attribute("alt") == names[1]


def test_glass_has_a_panel_a_bay_and_no_picket(page: Any) -> None:
    """In glass there are as many panels as bays, and no figure of pickets."""
    page.locator("label[for='f.infill.glass']").click()
    page.locator("#glass tbody tr").first.wait_for()
    told = tiles(page)
    assert told["Glass panels"] == told["Bays"]
    assert "Pickets" not in told


def test_a_violation_comes_first_with_its_clause_and_a_cure(page: Any) -> None:
    """A guard of 30 in, where 36 are required (IRC 2021 R312.1.2), is told first, with its clause
    and a change that cures it."""
    page.locator("[id='f.height']").fill("30")
    first = page.locator("#failed li").first
    api.expect(first).to_contain_text("IRC 2021 R312.1.2")
    assert first.get_attribute("class") == "violation"
    assert "3' high" in first.locator(".cure").inner_text()


def test_findings_name_their_flags_on_the_plan(page: Any) -> None:
    """A flight of steep risers, whose rail meets the head posts higher than the deck's rail does,
    has three findings. The numbers beside them are those of the flags in the list that the drawing
    has beside the plan."""
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.locator("#has-flight-0").check()
    page.locator("[id='f.openings.0.flight.risers']").fill("5")
    with reply_to(page, PLAN, going=9) as got:
        page.locator("[id='f.openings.0.flight.going']").fill("9")
    drawn = re.findall(r">Flag (\d+), (\w+): ", got.value.text())
    assert [severity for _, severity in drawn] == ["violation", "violation", "warning"]
    rows = page.locator("#failed li")
    api.expect(rows).to_have_count(3)
    told = [(row.locator(".flag").inner_text(), row.get_attribute("class")) for row in rows.all()]
    assert told == drawn


def test_feet_that_were_meant_are_one_press_away(page: Any) -> None:
    """16 by 10 in, 30 in up, were probably meant as feet: the page asks before the verdict, which
    is not shown as good meanwhile, and the question is spoken. One press for each makes it feet:
    (192 - 7) + 2 x (120 - 3.5) = 418 in."""
    page.locator("[id='f.drop']").fill("30")
    page.locator(WIDTH).fill("16")
    page.locator("[id='f.rectangle.depth']").fill("10")
    lines = page.locator("#doubts li")
    api.expect(lines).to_have_count(2)
    for told in ("#spoken", "#short"):
        api.expect(page.locator(told)).to_have_text(
            re.compile("^16 in wide: was 16' meant\\? 10 in deep: was 10' meant\\? ")
        )
    assert page.locator("#verdict").get_attribute("class") == "mind"
    page.get_by_role("button", name="Yes, 16'").click()
    api.expect(page.locator(WIDTH)).to_have_value("16'")
    api.expect(page.locator(WIDTH)).to_be_focused()
    api.expect(lines).to_have_count(1)
    page.get_by_role("button", name="Yes, 10'").click()
    await_tile(page, "Railing", "34' 10\"")
    api.expect(lines).to_have_count(0)
    assert page.locator("#verdict").get_attribute("class") == "good"


def test_a_change_that_cures_stands_out_and_one_that_does_not_does_not(page: Any) -> None:
    """A height of 30 in is cured by a greater one. A post that a bow leaves askew, under the load
    of a guard of 42 in, is cured by a lower guard; where the local authority asks for 42, by none
    of the spacings that are tried."""
    page.locator("[id='f.height']").fill("30")
    api.expect(page.locator("#failed .cure").first).to_contain_text("3' high")
    assert page.locator("#failed .tried").count() == 0
    page.locator("[id='f.height']").fill("42")
    page.locator("[id='f.edges.0.bow']").fill("18")
    api.expect(page.locator("#failed .cure").first).to_contain_text("the guard 3' ")
    paste(page, {**saved_deck(page), "amendments": {"guard_height": 42}})
    api.expect(page.locator("#failed .tried").first).to_contain_text("None of the changes")
    api.expect(page.locator("#failed .cure")).to_have_count(0)


def test_posts_that_no_price_covers_are_told_as_such(page: Any) -> None:
    """Worked in orders/posts_that_no_kit_height_reaches: posts have a price, but two of them are
    higher than any post that it is for."""
    case = ROOT / "tests/cases/orders/posts_that_no_kit_height_reaches.json"
    paste(page, json.loads(case.read_text("utf-8"))["request"])
    await_tile(page, "Priced so far", "224.00 USD")
    told = page.locator("#quote .mind").inner_text()
    assert told.startswith("No price covers these, or not all of them: Line post, box of 4, ")
    assert column(page, "#parts", "Size")[:2] == ["3'", "none stocked so high"]


def test_the_saw_is_told_its_angle_and_the_blanks(page: Any) -> None:
    """A flight of 175 over 280: atan(175/280) = 32.0°, so its rails' ends are 58.0° to the length.

    The blanks of its pieces are lengths in the stick plan, where they read the same.
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
    """Panes on a level are not raked, so their table has no such column; panes of a flight are."""
    open_example(page, "millimetre-glass")
    assert len(column(page, "#glass", "Width")) > 0
    assert column(page, "#glass", "Raked by") == []
    # The parts list names panels by their marks, and gives a gasket its length.
    marks = column(page, "#glass", "Mark")
    sizes = column(page, "#parts", "Size")
    assert [mark for mark in marks if mark not in sizes] == []
    assert any(told.endswith(" mm") for told in column(page, "#parts", "Needed"))
    page.locator("#file").set_input_files(
        ROOT / "schema" / "examples" / "glass-flight.request.json"
    )
    api.expect(page.locator("#glass tbody [data-head='Raked by']").last).to_have_text("400 mm")


@pytest.mark.parametrize(
    ("scheme", "edge"),
    [("light", "rgba(22, 36, 44, 0.45)"), ("dark", "rgba(180, 193, 200, 0.45)")],
)
def test_a_table_that_goes_on_sideways_shows_it(page: Any, scheme: str, edge: str) -> None:
    """A shadow stays at the edge of the window (scroll), and a cover moves with the end of the
    table (local).

    The shadow has to differ in lightness from the paper. 22, 36, 44 by 0.45 over 255 is 150, 157,
    160, of luminance 0.33: 1.05 to 0.38, 2.8 to 1. In dark colours the same shadow over 26, 37, 43,
    of luminance 0.018, would be 24, 37, 43, of 0.018: 1.0 to 1; 180, 193, 200 is 95, 107, 114, of
    0.14: 2.8 to 1.
    """
    page.emulate_media(color_scheme=scheme)
    resize(page, PHONE)
    wide = page.locator("#bays .wide")
    assert wide.evaluate("each => each.scrollWidth > each.clientWidth")
    layers = wide.evaluate("each => getComputedStyle(each).backgroundAttachment").split(", ")
    assert layers[:4] == ["local", "local", "scroll", "scroll"]
    image = wide.evaluate("each => getComputedStyle(each).backgroundImage")
    assert image.count(f"{edge}, ") == 2


def test_a_drawing_is_an_image_in_which_nothing_runs(blank: Any, server: Server) -> None:
    """An SVG with a script in it is shown, and the script is not run."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="30" height="20">'
        "<script>parent.ran = 1; window.ran = 1</script><rect width='30' height='20'/></svg>"
    )
    blank.route(
        f"**{PLAN}",
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
    """Where the service has no plan to give, each post is shown as a square, and the buttons for
    sheets are hidden."""
    blank.route(f"**{PLAN}", lambda route: route.fulfill(status=404, body="{}"))
    blank.goto(server.url)
    api.expect(blank.locator("#plan polygon.post")).to_have_count(9)
    assert not blank.locator("[data-sheet=job]").is_visible()


def test_a_drawing_that_hangs_takes_nothing_from_the_answer(blank: Any, server: Server) -> None:
    """The drawing of a deck with a flight does not come. Its answer can be taken at once; after 20
    s its posts, those of the flight too, are shown in place of the drawing."""
    blank.goto(server.url)
    blank.locator("#plan:not(.old) img").wait_for()
    blank.locator("[id='f.kit'] option").nth(1).wait_for(state="attached")
    stop_clock(blank)
    blank.route(f"**{PLAN}", lambda route: None)
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
    """Where the drawing is refused, posts are shown in its place, and the answer is not called out
    of date."""
    blank.route(f"**{PLAN}", lambda route: route.fulfill(status=429, body="{}"))
    blank.goto(server.url)
    api.expect(blank.locator("#plan figcaption")).to_contain_text("did not come")
    assert not blank.locator("#stale").is_visible()
    assert not blank.locator("#faults").is_visible()


@pytest.mark.parametrize(("width", "beside"), [(1024, False), (1440, False), (1600, True)])
def test_the_plan_is_wide_enough_to_be_read(page: Any, width: int, beside: bool) -> None:
    """The plan takes the full width of the answer, or from 100rem on stands beside the cut list:
    5/11 of what 1600 px leave beside the form are over 500."""
    resize(page, {"width": width, "height": 800})
    page.locator("#plan img").evaluate("image => image.decode()")
    plan, cuts = (page.locator(each).bounding_box() for each in ("#plan img", "#cuts"))
    assert plan["width"] >= 500
    assert (cuts["y"] < plan["y"] + plan["height"]) == beside


def test_paper_has_the_answer_and_not_the_form(page: Any) -> None:
    """A print has the tables and the cautions, and no form."""
    page.emulate_media(media="print")
    assert not page.locator("#deck").is_visible()
    assert page.locator("#cuts table").is_visible()
    assert not page.locator("#marks-keys").is_visible()
    assert page.locator("#cautions-list").is_visible()


def test_what_a_hand_wants_of_the_answer_is_one_press_away(page: Any) -> None:
    """Under the figures there are links to those tables that the answer has, and to no others. On a
    phone the form is one press away, too."""
    jump = page.get_by_role("navigation", name="In this answer")
    names = ["Cut list", "Sticks to buy", "Parts", "Where the posts go", "Bay by bay"]
    assert jump.get_by_role("link").all_inner_texts() == names
    page.locator("label[for='f.infill.glass']").click()
    api.expect(jump.get_by_role("link", name="Glass order")).to_be_visible()
    jump.get_by_role("link", name="Glass order").click()
    api.expect(page.locator("#glass h3")).to_be_in_viewport()
    back = page.get_by_role("link", name="The deck", exact=True)
    assert not back.is_visible()
    resize(page, PHONE)
    back.click()
    api.expect(page.locator("#asked-head")).to_be_in_viewport()
    page.emulate_media(media="print")
    assert not jump.is_visible()


def test_the_tables_name_gates_and_levels_as_the_form_does(page: Any) -> None:
    """A gate in the opening `head` of the level `upper` is named as the form names it. Runs have
    their level beside them, since each level has an edge 0."""
    open_example(page, "two-levels")
    cuts = page.locator("#cuts td[data-head='Bays']")
    assert "opening head of upper" in cuts.all_inner_texts()
    assert [text for text in cuts.all_inner_texts() if "/" in text] == []
    assert page.locator("#gates tbody th").all_inner_texts() == ["head of upper"]
    levels = page.locator("#marks td[data-head='Level']")
    assert set(levels.all_inner_texts()) == {"upper", "lower"}


def test_one_level_is_not_told_run_by_run(page: Any) -> None:
    """Where a deck has one level, the table of runs has no column for it."""
    assert page.locator("#marks th").all_inner_texts()[:2] == ["Run", "Edge"]


def test_glass_that_is_sized_from_the_drawing_says_so_where_it_is_ordered(page: Any) -> None:
    """The kit wants its posts to stand before glass is ordered. Of 13 bays of the example 1, 2, 8,
    9 were measured; the warning leaves these out."""
    page.locator("label[for='f.infill.glass']").click()
    told = page.locator("#glass .mind")
    api.expect(told).to_have_text(
        "Sized from the drawing at B1 to B10: order it once the posts stand and these openings are "
        "measured."
    )
    open_example(page, "glass-flight-measured")
    api.expect(told).to_have_text(
        "Sized from the drawing at B3 to B7, B10 to B13: order it once the posts stand and these "
        "openings are measured."
    )


def test_paper_says_that_a_drawing_has_not_come(page: Any) -> None:
    """A print made before the drawing has come shows neither the drawing of an earlier deck nor a
    gap without an explanation."""
    page.route(f"**{PLAN}", lambda route: None)
    page.locator(WIDTH).fill("10'")
    page.locator("#plan.old").wait_for()
    page.emulate_media(media="print")
    assert not page.locator("#plan img").is_visible()
    said = page.locator("#plan").evaluate(
        "each => (({ content, visibility, position }) => [content, visibility, position])"
        "(getComputedStyle(each, '::before'))"
    )
    assert said == ['"The drawing had not come yet when this was printed."', "visible", "static"]


def test_a_flight_is_measured_as_the_tables_say(page: Any) -> None:
    """Runs of a flight are named by the flight, not by the edge that it leaves. 43 1/4 in clear and
    45 1/2 in between centres in plan, at risers of 7 in over goings of 12 in, are 50.07 and 52.68
    along the slope (by sqrt(7 * 7 + 12 * 12) / 12 = 1.1577): 4' 2 1/16" and 4' 4 11/16"."""
    open_example(page, "two-levels")
    assert column(page, "#marks", "Edge")[-2:] == ["flight middle", "flight middle"]
    assert page.locator("#marks .hint").inner_text() == (
        "Along a flight marks are level, from its head, not along the slope."
    )
    assert column(page, "#bays", "Clear")[-2:] == ["4' 2 1/16\"", "4' 2 1/16\""]
    assert column(page, "#bays", "Centres")[-2:] == ["4' 4 11/16\"", "4' 4 11/16\""]
    assert page.locator("#bays .hint").inner_text() == (
        "Of a flight, clear and centres are along the slope."
    )
    page.locator("#afresh").scroll_into_view_if_needed()
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#afresh").click()
    await_tile(page, "Posts", "9")
    assert page.locator("#marks .hint, #bays .hint").count() == 0


def test_the_glass_order_says_which_panels_were_measured(page: Any) -> None:
    """B1, B2, B8 and B9 were measured, and each has a row of its own: the first two come first, and
    the two of the flight after the rows of B3 and of B4 to B7. Where nothing was measured there is
    no such column."""
    open_example(page, "glass-flight-measured")
    drawn, taken = "as drawn", "as measured"
    assert column(page, "#glass", "Sized") == [
        taken,
        taken,
        drawn,
        drawn,
        taken,
        taken,
        *[drawn] * 4,
    ]
    open_example(page, "glass-flight")
    api.expect(page.locator("#glass [data-head='Sized']")).to_have_count(0)
    assert len(column(page, "#glass", "Width")) > 0


def printed(page: Any) -> list[str]:
    """The text of each printed page: single spaces between words, and ligatures as separate
    letters."""
    reader = PdfReader(io.BytesIO(page.pdf(format="Letter")))
    texts = (unicodedata.normalize("NFKC", each.extract_text()) for each in reader.pages)
    return [" ".join(text.split()) for text in texts]


def test_what_could_not_be_checked_is_printed_whole(page: Any) -> None:
    """The list is printed whole even where it was folded on the screen, and its heading stands on
    the page of its first entry.

    There are five: what the wall is that the lower rails are bracketed to, what the brackets of the
    handrail, the posts on levels and those on treads are fixed into, and the gate's frame.
    """
    open_example(page, "two-levels")
    page.locator("#plan:not(.old) img").first.wait_for()
    for _ in range(2):
        pages = printed(page)
        (headed,) = (text for text in pages if "Not checked: 5" in text)
        assert "Not checked. Edges 0, 2 of lower:" in headed
        assert sum(text.count("Not checked. ") for text in pages) == 5
        page.locator("#unchecked-head").click()


def test_a_bay_stays_a_bay_whatever_a_level_is_called(page: Any) -> None:
    """On a level with the name B1, B1 in the tables is still a bay. A front of 60 in has one bay,
    as posts may be up to 72 in apart, and the sides have three each, of another length."""
    outline = {"points": [[0, 0], [60, 0], [60, 144], [0, 144]]}
    level = {**DECK["levels"][0], "id": "B1", "outline": outline}
    paste(page, {**DECK, "levels": [level], "guard": {"infill": "glass"}})
    await_tile(page, "Glass panels", "7")
    for section in ("#cuts", "#glass"):
        assert "B1" in column(page, section, "Bays")
    api.expect(page.locator("#glass .mind")).to_contain_text("the drawing at B1 to B7:")
