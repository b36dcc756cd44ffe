"""The counter page in a browser: how a deck is typed, kept and opened, on any screen."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import (
    KIOSK,
    LAYOUT,
    PHONE,
    WIDTH,
    await_held,
    await_tile,
    paste,
    resize,
    stop_clock,
)
from tests.web.running import ROOT, Server, running

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


def test_a_bad_length_is_told_at_its_field_and_nothing_typed_is_lost(page: Any) -> None:
    """The field is marked as invalid and described by the fault, which is listed with a link to it.
    Once the length is put right, all of that goes."""
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


def test_feet_typed_as_plain_numbers_are_asked_about(page: Any) -> None:
    """A plain number is read back under its field, which that reading describes, and is asked about
    beside the verdict."""
    read = page.locator("[id='f.rectangle.width.read']")
    assert read.count() == 0
    for name, number in (("width", "20"), ("depth", "12")):
        page.locator(f"[id='f.rectangle.{name}']").fill(number)
    assert read.inner_text() == "= 1' 8\""
    assert "f.rectangle.width.read" in page.locator(WIDTH).get_attribute("aria-describedby").split()
    asked = page.locator("#doubts li")
    api.expect(asked).to_contain_text(["20 in wide: was 20' meant?", "12 in deep: was 12' meant?"])
    page.locator(WIDTH).fill("20'")
    assert read.count() == 0
    api.expect(asked).to_have_count(1)
    api.expect(asked).to_contain_text("12 in deep: was 12' meant?")


def test_millimetres_are_the_same_deck(page: Any) -> None:
    """48 in is 1219.2 mm; 514 in of line are 13055.6 mm, 13056 by the nearest mark."""
    page.locator("label[for='f.unit.mm']").click()
    await_tile(page, "Railing", "13056 mm")
    assert page.locator("[id='f.drop']").input_value() == "1219.2"
    assert page.locator("#cuts tbody td").first.inner_text().endswith(" mm")


def test_the_tape_is_held_by_lengths_that_are_not_shown_and_says_so(page: Any) -> None:
    """A price for each piece goes with either unit of the tape; a smallest mark in inches fixes the
    unit, and the page says so."""
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
    deck["precision"] = 0.125
    paste(page, deck)
    api.expect(millimetres).to_be_disabled()
    # The unit that stays can be reached by the keyboard, with the reason.
    assert inches.is_enabled()
    assert inches.get_attribute("aria-describedby") == "unit-why"
    told = "Stays ft-in: what cannot be converted goes by it: the smallest mark."
    assert why.inner_text() == told


def test_corners_may_be_typed_as_a_tape_reads_them(page: Any) -> None:
    """10' across in place of 20': (120 - 7) + 2 x 140.5 = 394 in."""
    page.locator("label[for='f.way.points']").click()
    for corner in (1, 2):
        page.locator(f"[id='f.points.{corner}.x']").fill("10'")
    await_tile(page, "Railing", "32' 10\"")
    page.locator("[id='f.points.1.x']").fill("10 fx")
    message = page.locator("[id='f.points.1.x.fault']")
    api.expect(message).to_have_text("This cannot be read as a length. Type it like 12' 6 1/2\".")


def test_by_the_keyboard_alone(page: Any) -> None:
    """Tab leads to the width, Enter asks for the answer at once, and Shift-Tab and an arrow key
    lead to the tape walk.

    The clock is stopped: without Enter the page would ask 400 ms after the last key.
    """
    focused = "document.activeElement.id"
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    for _ in range(12):
        if page.evaluate(focused) == "f.rectangle.width":
            break
        page.keyboard.press("Tab")
    assert page.evaluate(focused) == "f.rectangle.width"
    stop_clock(page)
    page.keyboard.press("Control+A")
    page.keyboard.type("10'")
    page.clock.run_for(10)
    assert not [url for url in asked if url.endswith(LAYOUT)]
    page.keyboard.press("Enter")
    page.clock.run_for(10)
    await_tile(page, "Railing", "32' 10\"")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("ArrowRight")
    api.expect(page.locator("[id='f.sides.0.length']")).to_have_value("10'")
    assert page.evaluate(focused) == "f.way.sides"


def test_one_step_back_from_what_takes_typed_things_away(page: Any) -> None:
    """Undo brings back an opening that was taken out by a slip, and a deck that was replaced by a
    fresh one; Redo does the step again."""
    line, undo = page.locator("#undone"), page.locator("#undo")
    assert undo.is_hidden()
    page.locator("#add-opening").click()
    for name, text in {"from": "8'", "width": "48"}.items():
        page.locator(f"[id='f.openings.0.{name}']").fill(text)
    page.get_by_role("button", name="Remove opening A").click()
    assert line.inner_text() == "Opening A was taken out."
    undo.click()
    assert page.locator("[id='f.openings.0.from']").input_value() == "8'"
    api.expect(page.locator("#redo")).to_be_focused()
    assert undo.is_hidden()
    page.locator("#redo").click()
    api.expect(undo).to_be_focused()
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
    """A typed deck is kept over a reload, none of it in the address, until it is begun afresh."""
    page.locator(WIDTH).fill("10'")
    await_tile(page, "Railing", "32' 10\"")
    page.reload()
    await_tile(page, "Railing", "32' 10\"")
    assert page.evaluate("location.search + location.hash") == ""
    page.on("dialog", lambda dialog: dialog.accept())
    page.locator("#afresh").click()
    await_tile(page, "Railing", "42' 10\"")


def test_a_corner_that_was_forgotten_comes_between(page: Any) -> None:
    """A front corner is cut off at 45 degrees. After side 0 a side is added and left empty, and
    both sides beside it are 4' shorter, so its length is 4' x the root of 2 = 67.88 in, 5' 7 7/8"
    by the nearest mark."""
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
    """A side added in the middle is first still to type. Once it is left empty, the fault is that
    the walk does not close; so it is after a reload, when nothing is being typed."""
    page.locator("label[for='f.way.sides']").click()
    page.get_by_role("button", name="Add a side after side 0").click()
    lines = page.locator("#faults-list li")
    api.expect(lines).to_have_text(["Side 1: Still to type."])
    page.get_by_role("button", name="Remove side 1").click()
    # The same where the focused field has the name that the new side's field gets.
    page.locator("[id='f.sides.1.length']").focus()
    page.get_by_role("button", name="Add a side after side 0").click()
    api.expect(lines).to_have_text(["Side 1: Still to type."])
    page.locator("[id='f.sides.2.length']").focus()
    api.expect(lines).to_have_text(re.compile("^The walk misses its start"))
    page.reload()
    api.expect(lines).to_have_text(re.compile("^The walk misses its start"))


def test_other_edges_ask_again_where_the_house_is(page: Any) -> None:
    """When the number of sides changes, the edge that was the house becomes a guard, and the page
    asks for the house until an edge is made a wall."""
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
    api.expect(beside).to_contain_text(["Which edges stand against the house? Those not said"])
    # The line at the foot asks it too, in no more words than needed.
    short = re.compile(r"^Which edges stand against the house\? \d+ posts")
    api.expect(page.locator("#short")).to_have_text(short)
    page.locator("[id='f.edges.4.condition']").select_option("wall")
    api.expect(asked).to_have_text("")
    api.expect(beside).to_have_count(0)
    page.reload()
    api.expect(page.locator("[id='f.edges.4.condition']")).to_have_value("wall")


def test_an_edge_of_a_walk_is_called_by_its_length_as_it_is_typed(page: Any) -> None:
    """Edges are named by their typed lengths, both in their list and where openings choose one; a
    side that is left empty has only its number."""
    page.locator("label[for='f.way.sides']").click()
    page.locator("#add-opening").click()
    names = page.locator("#edges legend")
    chosen = page.locator("[id='f.openings.0.edge'] option")
    assert names.all_inner_texts() == [
        "Edge 0 (20')",
        "Edge 1 (12')",
        "Edge 2 (20')",
        "Edge 3 (12')",
    ]
    page.locator("[id='f.sides.1.length']").fill("12' 6")
    page.locator("[id='f.sides.3.length']").fill("")
    assert names.all_inner_texts()[1::2] == ["Edge 1 (12' 6)", "Edge 3"]
    assert chosen.all_inner_texts() == ["0 (20')", "1 (12' 6)", "2 (20')", "3"]


def test_a_side_that_is_left_empty_tells_its_length(page: Any) -> None:
    """A side left empty shows the length that closes the walk, 12' across from 12'; while another
    length cannot be read it shows none."""
    page.locator("label[for='f.way.sides']").click()
    side = page.locator("[id='f.sides.3.length']")
    side.fill("")
    api.expect(side).to_have_attribute("placeholder", "= 12'")
    page.locator("[id='f.sides.1.length']").fill("x")
    api.expect(side).to_have_attribute("placeholder", "")
    page.locator("[id='f.sides.1.length']").fill("10'")
    api.expect(side).to_have_attribute("placeholder", "= 10'")


def test_a_new_field_is_no_fault_until_it_was_left(page: Any) -> None:
    """A new field is still to type, and not marked as invalid. Once it is left empty, that is a
    fault, told under it and in the list by the name of its row."""
    page.locator("label[for='f.way.ties']").click()
    first = page.locator("[id='f.corners.0.from_b']")
    wall = page.locator("[id='f.baseline']")
    message = page.locator("[id='f.corners.0.from_b.fault']")
    wall.fill("20'")
    api.expect(message).to_have_text("Still to type.")
    api.expect(page.locator("#faults-title")).to_have_text("Still to type")
    api.expect(page.locator("[aria-invalid]")).to_have_count(0)
    api.expect(page.locator("#short")).to_have_text("Something is still to be typed.")
    first.focus()
    wall.focus()
    api.expect(message).to_have_text("Something is needed here.")
    api.expect(first).to_have_attribute("aria-invalid", "true")
    api.expect(page.locator("[aria-invalid]")).to_have_count(1)
    field = page.locator(".field", has=first)
    api.expect(field.locator(".fault")).to_have_count(1)
    link = page.locator("#faults-list a[href='#f.corners.0.from_b']")
    api.expect(link).to_have_text("Corner 1, B: Something is needed here.")


def test_a_click_is_not_lost_to_a_message_that_grows(page: Any) -> None:
    """A side is added, and while its empty length is still to type another is added by the mouse.
    Leaving the field makes its message longer, yet the button stays in place until it is let go."""
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
    """An opening whose width was left empty is taken out; the next one added has no fault yet."""
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


def test_the_panes_scroll_and_the_page_does_not(page: Any) -> None:
    """The page itself is no higher than the window, so a link into the answer scrolls the answer
    and not the strip at the foot."""
    assert page.evaluate("document.documentElement.scrollHeight") == KIOSK["height"]
    link, cautions = (
        page.get_by_role("link", name="Cautions", exact=True),
        page.locator("#cautions"),
    )
    strip = link.bounding_box()
    assert page.evaluate("document.querySelector('.told').scrollTop") == 0
    api.expect(cautions).not_to_be_in_viewport()
    link.click()
    api.expect(cautions).to_be_in_viewport()
    page.wait_for_function("document.querySelector('.told').scrollTop > 0")
    assert page.evaluate("[scrollY, document.querySelector('.asked').scrollTop]") == [0, 0]
    assert link.bounding_box() == strip


def test_an_opened_document_is_text_and_comes_back_whole(page: Any, tmp_path: Path) -> None:
    """A title that is markup is shown as it was typed; members for which the form has no fields are
    kept."""
    title = "<img src=x onerror=alert(1)>"
    deck = {
        "title": title,
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "guard": {"infill": "picket"},
        "levels": [{"id": "main", "outline": {"points": [[0, 0], [120, 0], [120, 96], [0, 96]]}}],
        "stock_on_hand": [{"part": "top_rail_picket", "length": 88, "count": 2}],
        "site": {"temperature_range": 100},
        "compare": [{"label": "Higher", "guard": {"height": 48}}],
    }
    file = tmp_path / "deck.json"
    file.write_text(json.dumps(deck))
    page.locator("details summary", has_text="Open or save").click()
    page.locator("#file").set_input_files(file)
    api.expect(page.locator("#deck-line")).to_contain_text(title)
    assert page.locator("#deck-line img").count() == 0
    told = "Kept with the deck, and not shown here: other ways to compare."
    assert page.locator("#kept").inner_text() == told
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8")) == deck


def test_a_phone_has_no_sideways_scroll_and_targets_for_a_thumb(page: Any) -> None:
    """Targets are 44 px high at least, and the short answer is on the first screen."""
    resize(page, PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    boxes = page.locator("button:visible, select:visible, #deck input[type=text]:visible").all()
    assert len(boxes) > 10
    assert min(box.bounding_box()["height"] for box in boxes) >= 44
    assert page.locator("#short").inner_text().startswith("9 posts, 10 bays")
    api.expect(page.locator("#short")).to_be_in_viewport()


def test_marks_of_a_tape_for_who_types_with_fingers(browser: Any, server: Server) -> None:
    """On a touch screen there are keys for the marks of feet and inches: 12, the key of feet, 6,
    the key of inches."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(server.url)
    field = page.locator(WIDTH)
    field.fill("")
    page.keyboard.type("12")
    page.locator('[data-mark="\'"]').tap()
    api.expect(field).to_have_value("12'")
    page.keyboard.type("6")
    page.locator("[data-mark='\"']").tap()
    api.expect(field).to_have_value("12'6\"")
    # (150 - 7) + 2 x 140.5 = 424 in
    await_tile(page, "Railing", "35' 4\"")
    context.close()


def test_where_keys_are_set_the_page_asks_for_one(browser: Any, tmp_path: Path) -> None:
    """The key is sent as a bearer token and stored nowhere."""
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
    """A page that the yard has begin with its own prices: nine posts with a cap each at 10.00 are
    90.00, and the seven of a front of 10 ft are 70.00. The sum stands among the figures at the top,
    and a fresh start has the same prices."""
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
        paste(page, shipped)
        page.get_by_role("button", name="Use the yard's prices").click()
        await_tile(page, "Priced so far", "90.00 USD")
        assert page.locator("[id='f.prices.currency']").input_value() == "USD"
        page.on("dialog", lambda dialog: dialog.accept())
        page.locator("#afresh").click()
        await_tile(page, "Priced so far", "90.00 USD")
        assert page.get_by_role("button", name="Use the yard's prices").count() == 0
        page.close()


def test_a_page_whose_module_does_not_come_says_so(browser: Any, server: Server) -> None:
    """After two seconds a line says so, which a page that has started does not show."""
    page = browser.new_page(viewport=KIOSK)
    line = page.locator("#unstarted")
    page.goto(server.url)
    await_tile(page, "Posts", "9")
    assert line.is_hidden()
    page.route("**/counter/counter.js", lambda route: route.abort())
    page.reload()
    # The line's one animation delays it by two seconds; it is set to just before and just after.
    seen = line.evaluate(
        """each => {
          const [glance] = each.getAnimations();
          return [1999, 2001].map((moment) => {
            glance.currentTime = moment;
            return getComputedStyle(each).visibility;
          });
        }"""
    )
    assert seen == ["hidden", "visible"]
    api.expect(line).to_be_visible()
    assert line.inner_text().startswith("This page has not started")
    page.close()


def test_a_page_that_is_still_on_its_way_is_not_said_to_be_broken(
    browser: Any, server: Server
) -> None:
    """With a slow service each reply takes its time, and loading the page again starts anew. So the
    page asks for few files, and what it says meanwhile is true whether they come or not."""
    page = browser.new_page(viewport=KIOSK)
    held: list[Any] = []
    for name in ("counter.js", "start.json"):
        page.route(f"**/counter/{name}", lambda route: held.append(route))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(server.url, wait_until="commit")
    line = page.locator("#unstarted")
    api.expect(line).to_be_visible()
    api.expect(line).to_have_text(
        "This page has not started yet. Until this line is gone, nothing that is typed is laid "
        "out; where it stays, a part of the page did not come: load it again."
    )
    await_held(page, held).continue_()
    held.clear()
    deck = await_held(page, held)  # Until that is there the form holds nothing.
    # Waited for again: the line is visible before its style has come, then hidden for two seconds.
    api.expect(line).to_be_visible()
    deck.continue_()
    await_tile(page, "Posts", "9")
    page.locator("#plan:not(.old) img").wait_for()
    assert line.is_hidden()
    # The page, its icon, style and module, the deck to begin with; answer and plan, kits and codes.
    assert len([url for url in asked if not url.startswith("blob:")]) <= 9
    page.close()


def test_a_page_without_its_deck_says_so(browser: Any, server: Server) -> None:
    """Where the deck to begin with does not come, the page says so and shows no answer."""
    page = browser.new_page(viewport=KIOSK)
    page.route("**/counter/start.json", lambda route: route.abort())
    page.goto(server.url)
    api.expect(page.locator("#faults")).to_contain_text("The service does not answer")
    assert not page.locator("#answer").is_visible()
    page.close()
