"""The counter page in a browser: what a yard asks besides, both infills and sticks of its own."""

from __future__ import annotations

from typing import Any

import pytest

from tests.web.counter_page import LAYOUT, await_tile, paste, reply_to

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


def rows(page: Any, section: str) -> list[list[str]]:
    """The rows of a table of the answer, cell by cell."""
    lines = page.locator(f"{section} tbody tr").all()
    return [line.locator("th, td").all_inner_texts() for line in lines]


def test_the_other_infill_is_compared_with_beside_the_deck_itself(page: Any) -> None:
    """Posts at most 69 in apart with pickets and 60 with glass: 233 in of front are 4 bays and both
    sides of 140.5 in 3 each, either way. A panel at 100 each is 1000, and what has no price
    yet is listed to be priced."""
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
    assert "0.00" not in page.locator("#tiles").inner_text()
    page.get_by_label("Glass panel, priced", exact=True).select_option(label="each")
    page.get_by_label("Glass panel", exact=True).fill("100")
    await_tile(page, "All in glass", "1000.00 USD so far")
    page.locator("label[for='f.infill.glass']").click()
    page.get_by_label("Compare with all in pickets").wait_for()
    await_tile(page, "Priced so far", "1000.00 USD")
    page.get_by_label("Compare with all in pickets").uncheck()
    api.expect(page.locator("#compared")).to_be_hidden()


def test_another_way_that_cannot_be_built_says_why(page: Any) -> None:
    """The fault of a change that a document brings along stands under the table."""
    deck = page.evaluate("fetch('counter/start.json').then((reply) => reply.json())")
    deck["compare"] = [{"label": "low", "kit": "no-such-kit"}]
    paste(page, deck)
    api.expect(page.locator("#compared p")).to_contain_text("low: cannot be built.")


def test_sticks_on_hand_are_cut_first(page: Any) -> None:
    """Two of 16' 6" for the ten top rails; taken out again by a slip and put back."""
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
    """Two openings taken out, one after the other, and what was typed in between."""
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
