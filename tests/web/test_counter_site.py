"""The counter page's fields for the site, and for a flight's own pane."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import LAYOUT, await_taking, paste, reply_to
from tests.web.running import DECK, ROOT

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")


SCREWED = "picket-glass-surface-in"
"""The shipped kit that a test has screwed down, with no timber of its own."""


def screwed_kit() -> dict[str, Any]:
    """The shipped inch kit, held by lag screws into timber that it does not name."""
    kit: dict[str, Any] = json.loads(
        (ROOT / "service" / "data" / "kits" / f"{SCREWED}.json").read_text("utf-8")
    )
    kit["id"] = "lagged-in"
    fixing = {"kind": "lag_screw", "diameter": 0.375, "in_tension": 2, "lever_arm": 3.8125}
    kit["strength"]["fixing"] = {**fixing, "length": 5, "thread": 3, "tip": 0.25, "side": 1.5}
    del kit["strength"]["timber"]
    return kit


def test_the_site_is_asked_in_a_fold_as_far_as_kit_and_code_go_by_it(page: Any) -> None:
    """For a bolted kit only the heat is asked for. For lag screws their timber is asked for too,
    and without it the answer names the field that it misses: hem-fir is of G 0.43 (NDS table
    12.3.3A)."""
    fold, heat = page.locator("#site-more"), page.locator("[id='f.site.temperature_range']")
    assert heat.is_hidden()
    fold.locator("summary").click()
    assert fold.locator("[data-field]").count() == 1
    with reply_to(page, LAYOUT, temperature_range=130) as answered:
        heat.fill("130")
    growth = [
        each for each in answered.value.json()["findings"] if each["rule"] == "thermal_growth"
    ]
    assert growth
    assert all("130 °F" in each["message"] for each in growth)
    paste(page, {**DECK, "kit": screwed_kit()})
    unchecked = page.locator("#unchecked-list")
    api.expect(unchecked).to_contain_text("choose the timber that it goes into under The site")
    assert fold.locator("label").all_inner_texts() == [
        "Metal, coldest to hottest, °F",
        "Timber under it",
        "A push lasts",
        "Timber",
        "or its specific gravity",
    ]
    page.locator("[id='f.site.species']").select_option(label="Hem-fir")
    api.expect(unchecked).not_to_contain_text("The site")
    page.locator("[id='f.site.wet_service']").select_option(label="Stays dry")
    with reply_to(page, LAYOUT, load_duration="ten_minutes") as answered:
        page.locator("[id='f.site.load_duration']").select_option(label="Ten minutes")
    sent = answered.value.request.post_data_json["site"]
    assert sent == {
        "wet_service": False,
        "load_duration": "ten_minutes",
        "timber": {"species": "hem_fir"},
    }
    methods = [each.get("method", "") for each in answered.value.json()["findings"]]
    assert any("G 0.43, C_D 1.6, dry" in method for method in methods), methods
    page.locator("[id='f.code']").select_option("gb-eng-adk-2013")
    api.expect(page.locator("[id='f.site.grade']")).to_be_visible()


def test_a_site_that_is_said_is_shown_open_and_saved_as_it_was(page: Any, tmp_path: Path) -> None:
    """The site of an opened document is shown, even what the form would not ask for with this kit.
    A switch of the tape's unit keeps the heat the same: 90 °F are 50 K."""
    site = {"temperature_range": 90, "wet_service": True, "timber": {"grade": "C24"}}
    paste(page, {**DECK, "site": site})
    api.expect(page.locator("#opened")).to_have_text("Opened.")
    heat = page.locator("[id='f.site.temperature_range']")
    api.expect(heat).to_be_visible()
    assert heat.input_value() == "90"
    assert page.locator("[id='f.site.wet_service'] option:checked").inner_text() == (
        "Gets wet, as outdoors"
    )
    assert page.locator("#kept").is_hidden()
    await_taking(page, on=True)
    with page.expect_download() as saved:
        page.locator("#save-deck").click()
    assert json.loads(Path(saved.value.path()).read_text("utf-8"))["site"] == site
    page.locator("label[for='f.unit.mm']").click()
    assert heat.input_value() == "50"
    assert page.locator("label[for='f.site.temperature_range']").inner_text() == (
        "Metal, coldest to hottest, °C"
    )
    heat.fill("hot")
    api.expect(page.locator("[id='f.site.temperature_range.fault']")).to_have_text(
        "Type a number from 0 to 1000."
    )


def test_a_flight_in_glass_has_its_edges_pane_or_one_of_its_own(page: Any) -> None:
    """The kit has panes of 1/4 in and 3/8 in. A flight in glass can have its own, and has that of
    its edge otherwise, as the hint at the choice for all edges says."""
    page.locator("#add-opening").click()
    page.locator("[id='f.openings.0.from']").fill("8'")
    page.locator("[id='f.openings.0.width']").fill("48")
    page.locator("#has-flight-0").check()
    for name, text in (("risers", "7"), ("going", "10 1/2")):
        page.locator(f"[id='f.openings.0.flight.{name}']").fill(text)
    infill, pane = (
        page.locator(f"[id='f.openings.0.flight.{name}']") for name in ("infill", "glass")
    )
    assert pane.count() == 0
    infill.focus()
    with reply_to(page, LAYOUT, infill="glass"):
        infill.select_option("glass")
    api.expect(infill).to_be_focused()
    assert pane.locator("option").all_inner_texts() == [
        'As its edge, 1/4", tempered',
        '1/4", tempered',
        '3/8", tempered',
    ]
    thick = page.locator("#glass tbody [data-head='Glass']")
    api.expect(thick.first).to_have_text('1/4", tempered')
    assert set(thick.all_inner_texts()) == {'1/4", tempered'}
    with reply_to(page, LAYOUT, glass=1) as answered:
        pane.select_option(label='3/8", tempered')
    assert [each["glass"] for each in answered.value.request.post_data_json["stairs"]] == [1]
    api.expect(thick.first).to_have_text('3/8", tempered')
    pane.select_option("")
    page.locator("label[for='f.infill.glass']").click()
    page.locator("[id='f.pane']").select_option(label='3/8", tempered')
    api.expect(pane.locator("option").first).to_have_text('As its edge, 3/8", tempered')
    assert page.locator("#pane-hint").inner_text() == (
        "Of all edges, and of flights in glass that have none of their own."
    )
    api.expect(thick).not_to_contain_text(['1/4", tempered'])
    assert set(thick.all_inner_texts()) == {'3/8", tempered'}
    infill.select_option("picket")
    api.expect(pane).to_have_count(0)
