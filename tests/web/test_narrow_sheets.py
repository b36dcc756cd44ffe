"""Lists and whole sets as HTML on a screen as narrow as a phone's, in a browser."""

from __future__ import annotations

from typing import Any

import pytest

from service.drawings.sheets import HTML, MEDIAS, make_sheet
from tests.drawings.subjects import example

WIDTH = 360


@pytest.mark.parametrize("sheet", [name for name, medias in MEDIAS.items() if HTML in medias])
def test_a_phone_shows_what_is_said_of_a_table(browser: Any, sheet: str) -> None:
    """The page is no wider than the screen: only a wide table is moved sideways, in a place of its
    own, and what is said of it stays in view."""
    page = browser.new_page(viewport={"width": WIDTH, "height": 740})
    page.set_content(make_sheet(sheet, HTML, example("glass-flight")).decode())
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTH
    ends = page.evaluate(
        "[...document.querySelectorAll('caption>*')].map(one => one.getBoundingClientRect().right)"
    )
    assert ends
    assert max(ends) <= WIDTH
    tables = page.evaluate(
        "[...document.querySelectorAll('section')].map(one => [one.scrollWidth, one.clientWidth])"
    )
    assert any(whole > shown for whole, shown in tables)
    page.close()
