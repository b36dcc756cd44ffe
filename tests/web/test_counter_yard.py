"""The counter page in a browser: comparisons, prices, local changes, sticks on hand, and what a
busy yard runs into."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import (
    KIOSK,
    LAYOUT,
    WIDTH,
    await_held,
    await_tile,
    paste,
    reply_to,
    resize,
    stop_clock,
)
from tests.web.running import DECK, PATIENCE, Server

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


def rows(page: Any, section: str) -> list[list[str]]:
    """The rows of a table of the answer, cell by cell."""
    lines = page.locator(f"{section} tbody tr").all()
    return [line.locator("th, td").all_inner_texts() for line in lines]


def test_the_other_infill_is_compared_with_beside_the_deck_itself(page: Any) -> None:
    """Posts stand at most 69 in apart with pickets and 60 with glass, so with either the 233 in of
    front are 4 bays and each side of 140.5 in has 3. Ten panels at 100 each are 1000; what has no
    price yet is listed to be priced."""
    page.get_by_label("Compare with all in glass").check()
    lines = page.locator("#compared tbody tr")
    api.expect(lines).to_have_count(2)
    told = dict(zip(("typed", "glass"), rows(page, "#compared"), strict=True))
    assert told["typed"][:3] == ["As typed", "9", "10"]
    assert told["typed"][4:6] == ["108", "0"]
    assert told["glass"][:3] == ["All in glass", "9", "10"]
    assert told["glass"][4:6] == ["0", "10"]
    page.locator("[id='f.prices.currency']").fill("usd")
    api.expect(page.locator("#compared p").first).to_contain_text("no price was given for")
    assert "0.00" not in page.locator(".told").inner_text(), "no sum while nothing is priced"
    page.get_by_label("Glass panel, priced", exact=True).select_option(label="each")
    page.get_by_label("Glass panel", exact=True).fill("100")
    await_tile(page, "All in glass", "1000.00 USD so far")
    assert [line[-1] for line in rows(page, "#compared")] == ["", "1000.00 so far"]
    page.locator("label[for='f.infill.glass']").click()
    page.get_by_label("Compare with all in pickets").wait_for()
    await_tile(page, "Priced so far", "1000.00 USD")
    page.get_by_label("Compare with all in pickets").uncheck()
    api.expect(page.locator("#compared")).to_be_hidden()


def test_another_way_that_cannot_be_built_says_why(page: Any) -> None:
    """Where a variant in an opened document cannot be built, the reason stands under the table,
    with its places named as the form names them. Posts 130 in from edges 20 ft long: the two ends
    of a run pass each other."""
    deck = page.evaluate("fetch('counter/start.json').then((reply) => reply.json())")
    kit = page.evaluate(f"fetch('v1/kits/{deck['kit']}').then((reply) => reply.json())")
    kit["post"]["setback"] = 130
    deck["compare"] = [{"label": "low", "kit": "no-such-kit"}, {"label": "far in", "kit": kit}]
    paste(page, deck)
    why = page.locator("#compared p")
    api.expect(why.first).to_contain_text("low: cannot be built.")
    api.expect(why.last).to_contain_text("far in: cannot be built.")
    api.expect(why.last).to_contain_text(" along edge 0 needs ")


def test_another_height_and_kit_are_compared_with(page: Any) -> None:
    """The deck is compared with a guard of 42 in where the code has 36, and with the kit on the
    rim, whose line is outside the deck, so that its railing is longer. A height that cannot be read
    is told at its field."""
    page.locator("#compare-more summary").click()
    page.get_by_label("At a guard height of").fill("3 ft 6x")
    fault = page.locator("[id='f.compared.height.fault']")
    api.expect(fault).to_contain_text("This cannot be read as a length")
    page.get_by_label("At a guard height of").fill("42")
    page.get_by_label("With the kit").select_option("picket-glass-fascia-in")
    lines = page.locator("#compared tbody tr")
    api.expect(lines).to_have_count(3)
    own, high, hung = rows(page, "#compared")
    assert [own[0], high[0], hung[0]] == [
        "As typed",
        "Guards 3' 6\" high",
        "Square post hung on the rim",
    ]
    assert own[1:5] == high[1:5]
    assert own[3] != hung[3]
    offered = page.locator("[id='f.compared.kit'] option[value='picket-glass-surface-in']")
    api.expect(offered).to_have_count(0)


def test_sticks_are_planned_longer_where_that_may_help(page: Any) -> None:
    """A longer search is offered where the plan is not proven; a proven plan says that it is, and
    has no such offer."""
    told = page.locator("#stock-told")
    api.expect(told).to_have_text("Proven: no other plan takes less.")
    longer = page.get_by_label("Search longer for the least waste")
    api.expect(longer).to_be_hidden()

    def unproven(route: Any) -> None:
        reply = route.fetch()
        layout = reply.json()
        layout["stock_plan"][0]["optimal"] = False
        route.fulfill(response=reply, json=layout)

    page.route(f"**{LAYOUT}", unproven)
    page.locator(WIDTH).fill("21'")
    api.expect(told).to_have_text("Not proven: another plan may take less.")
    page.unroute(f"**{LAYOUT}")
    with reply_to(page, LAYOUT, plan_effort="thorough"):
        longer.check()
    api.expect(told).to_have_text("Proven: no other plan takes less.")
    api.expect(longer).to_be_checked()
    longer.uncheck()
    api.expect(longer).to_be_hidden()


def test_a_least_charge_of_a_panel_counts(page: Any) -> None:
    """Ten panels of some 11 sq ft at 1.00 a sq ft come to less than the least charge of 500 each,
    so they cost ten times 500."""
    page.locator("label[for='f.infill.glass']").click()
    page.locator("[id='f.prices.currency']").fill("usd")
    panel = "Panel to the glass order"
    page.get_by_label(panel, exact=True).fill("1.00")
    page.get_by_label(f"{panel}, at least, each").fill("500")
    await_tile(page, "Priced so far", "5000.00 USD")


def test_a_sketch_is_typed_side_by_side_with_enter(page: Any) -> None:
    """16' = 10' + 6' and 14' = 8' 6" + 5' 6": an L, of which Enter leads from side to side. Its
    inner corner turns the other way; as all turns are still the default, the page asks whether -90
    was meant there. In the last row Enter asks for the answer, as in any other field."""
    page.locator("label[for='f.way.sides']").click()
    for _ in range(2):
        page.locator("#add-row").click()
    page.locator("[id='f.sides.0.length']").focus()
    page.keyboard.press("Control+A")
    for length in ("16'", "8' 6", "6'", "5' 6", "10'"):
        page.keyboard.type(length)
        page.keyboard.press("Enter")
    last = page.locator("[id='f.sides.5.length']")
    api.expect(last).to_be_focused()
    lengths = page.locator("#measured .length").all()
    hints = [field.get_attribute("enterkeyhint") for field in lengths]
    assert hints == ["next"] * 5 + ["done"]
    page.keyboard.type("14'")
    page.keyboard.press("Enter")
    api.expect(last).to_be_focused()
    question = page.locator("#faults-meant li", has_text="was -90 meant?")
    question.get_by_role("button", name="Yes, -90").click()
    api.expect(page.locator("[id='f.sides.2.turn']")).to_have_value("-90")
    api.expect(page.locator("#deck-line")).to_contain_text("6 sides")
    api.expect(page.locator("#faults")).to_be_hidden()


def test_a_plain_number_that_was_hardly_meant_is_asked_about_at_its_field(page: Any) -> None:
    """A deck 3 in deep was hardly meant: its field and the line at the foot ask whether it is 3',
    and say nothing else."""
    page.locator("[id='f.rectangle.depth']").fill("3")
    said = "3 in deep: was 3' meant?"
    api.expect(page.locator("[id='f.rectangle.depth.fault']")).to_have_text(said)
    api.expect(page.locator("#short")).to_have_text(said)
    page.locator("#faults-meant").get_by_role("button", name="Yes, 3'").click()
    api.expect(page.locator("#faults")).to_be_hidden()


UNCOVERED = """(name) => {
  const words = document.querySelector(name), box = words.getBoundingClientRect();
  const shown = (y) => document.elementFromPoint(box.x + box.width / 2, y) === words;
  return box.height > 4 && shown(box.top + 2) && shown(box.bottom - 2);
}"""
"""A script that tells whether words are in sight from top to bottom, with no bar over them."""


def test_a_deck_is_saved_and_opened_from_the_head_of_the_page(page: Any, tmp_path: Path) -> None:
    """A returning customer brings a file. Where it is no deck document, the reason is in sight;
    once one is opened the focus is on the deck."""
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save this deck as a document").click()
    deck = json.loads(Path(saved.value.path()).read_text())
    deck["title"] = "Back again"

    def choose(document: dict[str, Any]) -> None:
        file = tmp_path / "deck.json"
        file.write_text(json.dumps(document))
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Open a deck document").click()
        chooser.value.set_files(file)

    choose({**deck, "guard": "no guard"})
    api.expect(page.locator("#opened")).to_have_text("This is no deck document: it has no guard.")
    page.wait_for_function(UNCOVERED, arg="#opened")
    api.expect(page.locator("#asked-head")).not_to_be_focused()
    choose(deck)
    api.expect(page.locator("#deck-line")).to_contain_text("Back again")
    api.expect(page.locator("#asked-head")).to_be_focused()


def test_figures_keep_their_names_where_the_vocabulary_does_not_come(page: Any) -> None:
    """Where the words for a code's figures do not come, figures keep their names, and a local
    change is sent all the same."""
    page.route("**/v1/schemas/deck.json", lambda route: route.fulfill(status=404))
    page.locator("#local summary").click()
    page.get_by_role("button", name="Add a local change").click()
    page.get_by_label("Figure of the code").select_option(label="guard height")
    with reply_to(page, LAYOUT, guard_height=42):
        page.get_by_label("Here", exact=True).fill("42")
    api.expect(page.locator("#deck-line")).to_contain_text("by the local authority")


def test_a_local_change_is_chosen_in_words_beside_what_the_code_has(page: Any) -> None:
    """The code asks for 36 in, the local authority for 42. The figure is sent by its name, and what
    it decides says so. Another code or unit of the tape leaves the change as it is. IBC 2021: 42
    in, 36 for a dwelling."""
    page.locator("#local summary").click()
    page.get_by_role("button", name="Add a local change").click()
    chooser = page.get_by_label("Figure of the code")
    api.expect(chooser).to_be_focused()
    chooser.select_option(label="Least height of a guard above the walking surface")
    told = page.locator("[id='amendments.0.told']")
    api.expect(told).to_contain_text("the code has 3', by IRC 2021 R312.1.2")
    here = page.get_by_label("Here", exact=True)
    with reply_to(page, LAYOUT, guard_height=42):
        here.fill("42")
    line = page.locator("#deck-line")
    api.expect(line).to_contain_text("guard 3' 6\" high by the local authority")
    api.expect(line).to_contain_text("1 local change: guard height 42")
    passed = page.locator("#passed-list li", has_text="the guard is 3' 6\" high")
    api.expect(passed).to_contain_text("By IRC 2021 R312.1.2, as the local authority has it.")
    page.locator("label[for='f.unit.mm']").click()
    api.expect(here).to_have_value("1066.8")
    page.locator("[id='f.code']").select_option("us-ibc-2021")
    api.expect(told).to_contain_text("the code has 1067 mm; 914 mm where one household uses")
    page.locator("[id='f.code']").select_option("")
    said = "No building code is chosen that this would change"
    api.expect(page.locator("[id='f.amendments.0.figure.fault']")).to_contain_text(said)
    page.get_by_role("button", name="Remove local change 1").click()
    api.expect(page.locator("#deck-line")).to_contain_text("by the kit")
    assert page.locator("#local").is_hidden(), "no code, nothing to change"
    page.locator("#undo").click()
    api.expect(here).to_have_value("1066.8")


def test_a_local_change_that_the_answer_does_not_go_by_says_so(page: Any) -> None:
    """A deck without steps has no risers for a changed figure to bind, and the page says so. A
    figure with a choice of words has a list."""
    paste(page, {**DECK, "amendments": {"riser_max": 7, "glass_top_rail": "required"}})
    idle = "The last answer does not go by it: nothing here that it binds."
    api.expect(page.locator("[id='amendments.0.told']")).to_contain_text(idle)
    api.expect(page.locator("[id='f.amendments.1.value'] option")).to_have_text(
        ["As the code", "required"]
    )
    offered = page.locator("[id='f.amendments.1.figure'] option[value='riser_max']")
    api.expect(offered).to_have_count(0)


def test_a_local_change_of_a_number_outlives_a_reload(page: Any) -> None:
    """The vocabulary, by which a figure's unit is known, comes after the form is drawn."""
    paste(page, {**DECK, "amendments": {"handrail_required_risers": 3}})
    here = page.get_by_label("Here", exact=True)
    told = page.locator("[id='amendments.0.told']")
    api.expect(told).to_contain_text("the code has 4")
    with reply_to(page, LAYOUT, handrail_required_risers=2):
        here.fill("2")
    page.reload()
    api.expect(here).to_have_value("2")
    api.expect(told).to_contain_text("the code has 4")


def test_sticks_on_hand_are_cut_first(page: Any) -> None:
    """The ten top rails are cut first from two sticks of 16' 6" on hand. Sticks taken out by a slip
    can be put back."""
    page.get_by_role("button", name="Add sticks").click()
    api.expect(page.locator("[id='f.on_hand.0.part']")).to_be_focused()
    length = page.locator("[id='f.on_hand.0.length']")
    api.expect(page.locator("[id='f.on_hand.0.length.fault']")).to_have_text("Still to type.")
    length.fill("16' 6")
    with reply_to(page, LAYOUT, part="top_rail_picket", count=2):
        page.locator("[id='f.on_hand.0.count']").fill("2")
    first = page.locator("#stock tbody tr").first
    api.expect(first).to_contain_text("on hand")
    page.get_by_role("button", name="Remove sticks 1").click()
    api.expect(page.locator("#undone")).to_have_text("Sticks 1 were taken out.")
    api.expect(page.locator("#add-sticks")).to_be_focused()
    api.expect(page.locator("#stock")).not_to_contain_text("on hand")
    page.locator("#undo").click()
    api.expect(length).to_have_value("16' 6")
    api.expect(first).to_contain_text("on hand")


def test_every_step_is_taken_back_one_by_one(page: Any) -> None:
    """Undo takes back two openings that were taken out one after the other, and what was typed
    between; Redo does the steps again, until another step is made."""
    openings = page.locator("#openings .opening > legend")
    undo, redo, line = (page.locator(f"#{name}") for name in ("undo", "redo", "undone"))
    for _ in range(2):
        page.locator("#add-opening").click()
    page.get_by_role("button", name="Remove opening A").click()
    page.locator("[id='f.title']").fill("Back garden")
    page.get_by_role("button", name="Remove opening B").click()
    assert openings.count() == 0
    undo.click()
    assert openings.all_inner_texts() == ["Opening B"]
    assert page.locator("[id='f.title']").input_value() == "Back garden"
    assert line.inner_text() == "Put back as it was. Before that: Opening A was taken out."
    undo.click()
    assert openings.all_inner_texts() == ["Opening A", "Opening B"]
    assert page.locator("[id='f.title']").input_value() == ""
    assert line.inner_text() == "Put back as it was."
    redo.click()
    assert line.inner_text() == "Done again: Opening A was taken out."
    assert page.locator("[id='f.title']").input_value() == "Back garden"
    redo.click()
    assert openings.count() == 0
    assert redo.is_hidden()
    undo.click()
    page.get_by_role("button", name="Remove opening B").click()
    assert redo.is_hidden(), "another step: what was undone is no longer ahead"


def test_a_second_press_of_a_double_click_takes_no_other_row_out(page: Any) -> None:
    """By the second press of a double click the next side has come under the pointer; it stays."""
    page.locator("label[for='f.way.sides']").click()
    page.locator("#add-row").click()
    sides = page.locator("#measured .row")
    api.expect(sides).to_have_count(5)
    page.get_by_role("button", name="Remove side 1").dblclick()
    assert sides.count() == 4


@pytest.fixture
def troubled(browser: Any, server: Server) -> Iterator[Any]:
    """The counter page with its first answer, on which the browser may log that the service does
    not answer."""
    context = browser.new_context(viewport=KIOSK)
    context.set_default_timeout(PATIENCE * 1000)
    page = context.new_page()
    page.goto(server.url)
    page.locator("#plan:not(.old) img").wait_for()
    page.locator("[id='f.kit'] option").nth(1).wait_for(state="attached")
    yield page
    context.close()


def test_a_busy_service_is_asked_again_by_itself_and_says_when(troubled: Any) -> None:
    """The page asks again after the reply's own Retry-After; 10' across are (120 - 7) + 2 x 140.5 =
    394 in."""
    page = troubled
    said = {"Retry-After": "2", "Content-Type": "application/problem+json"}
    stop_clock(page)
    page.route(f"**{LAYOUT}", lambda route: route.fulfill(status=503, headers=said, body="{}"))
    page.locator(WIDTH).fill("10'")
    page.clock.run_for(500)
    api.expect(page.locator("#faults-list li")).to_have_text(
        "Nothing typed is lost. It is asked again by itself in 2 s."
    )
    page.unroute(f"**{LAYOUT}")
    page.clock.run_for(2000)
    await_tile(page, "Railing", "32' 10\"")


def test_a_refusal_of_someone_between_is_not_the_decks(page: Any) -> None:
    """A refusal that is not the service's own, such as a proxy's, marks nothing that was typed as
    wrong."""
    page.route(f"**{LAYOUT}", lambda route: route.fulfill(status=413, body="<p>too large</p>"))
    page.locator(WIDTH).fill("10'")
    api.expect(page.locator("#faults-title")).to_have_text("The deck is too large to be sent")
    assert page.locator("[aria-invalid]").count() == 0


def test_a_network_that_comes_back_brings_the_answer(troubled: Any) -> None:
    """The page asks again by itself, with nothing pressed."""
    page = troubled
    page.context.set_offline(True)
    page.locator(WIDTH).fill("10'")
    api.expect(page.locator("#faults-title")).to_have_text("The service does not answer")
    page.context.set_offline(False)
    await_tile(page, "Railing", "32' 10\"")
    assert page.locator("#faults").is_hidden()


def test_a_side_is_one_line_on_a_small_phone(page: Any) -> None:
    """A side's length, turn and both buttons are on one line, and a long length can still be read
    in full."""
    resize(page, {"width": 360, "height": 740})
    page.locator("label[for='f.way.sides']").click()
    length = page.locator("[id='f.sides.0.length']")
    length.fill("12' 11 15/16")
    row = page.locator("#measured .row").first
    middles = {
        round(box["y"] + box["height"] / 2)
        for box in (each.bounding_box() for each in row.locator("input, .remove").all())
    }
    assert len(middles) == 1
    assert length.evaluate("field => field.scrollWidth <= field.clientWidth")


def test_feet_that_were_meant_are_asked_about_where_nothing_can_be_built(page: Any) -> None:
    """A deck of 8 in by 6 in with a guard of 3 in cannot be built, and the page asks whether feet
    were meant. 8' across and 6' deep are (96 - 7) + 2 x (72 - 3.5) = 226 in."""
    for name, number in (("rectangle.width", "8"), ("rectangle.depth", "6"), ("height", "3")):
        page.locator(f"[id='f.{name}']").fill(number)
    asked = page.locator("#faults-meant li")
    api.expect(asked).to_contain_text(
        [
            "8 in wide: was 8' meant?",
            "6 in deep: was 6' meant?",
            "3 in high: was 3' meant?",
        ]
    )
    api.expect(page.locator("#spoken")).to_contain_text("8 in wide: was 8' meant?")
    for meant in ("8'", "6'", "3'"):
        page.get_by_role("button", name=f"Yes, {meant}").click()
    await_tile(page, "Railing", "18' 10\"")
    assert page.locator("#faults").is_hidden()
    # A question of an answer can no longer be answered once something else is typed.
    page.locator(WIDTH).fill("20")
    yes = page.locator("#doubts button")
    api.expect(yes).to_be_enabled()
    page.locator(WIDTH).fill("20' 1 fx")
    api.expect(yes).to_be_disabled()


def test_what_was_asked_of_a_row_that_is_gone_cannot_be_answered(page: Any) -> None:
    """Opening A of 3 in, with which nothing can be built, stands before B of 48 in. With A taken
    out B is the first row, to which the question about 3' does not apply."""
    page.locator("[id='f.rectangle.width']").fill("8")
    for row, width in enumerate(("3", "48")):
        page.get_by_role("button", name="Add an opening").click()
        page.locator(f"[id='f.openings.{row}.from']").fill("12")
        page.locator(f"[id='f.openings.{row}.width']").fill(width)
    yes = page.locator("#faults-meant button", has_text="Yes, 3'")
    api.expect(yes).to_be_enabled()
    held: list[Any] = []
    page.route(f"**{LAYOUT}", lambda route: held.append(route))
    page.locator("[data-do='remove-opening'][data-row='0']").click()
    api.expect(yes).to_be_disabled()
    await_held(page, held).continue_()
    api.expect(yes).to_have_count(0)
    assert page.locator("[id='f.openings.0.width']").input_value() == "48"
    api.expect(page.locator("#faults-meant button", has_text="Yes, 8'")).to_be_enabled()


def test_kits_of_the_tapes_own_unit_come_first(page: Any) -> None:
    """Kits in the tape's unit are listed first; the kit that is chosen stays chosen."""
    kit = page.locator("[id='f.kit']")
    chosen = kit.input_value()
    first = kit.locator("option").first
    assert first.inner_text().endswith("(in)")
    page.locator("label[for='f.unit.mm']").click()
    api.expect(first).to_have_text(re.compile(r"\(mm\)$"))
    assert kit.input_value() == chosen
