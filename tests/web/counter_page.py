"""What tests of the counter page share: its sizes, its first field, and what they wait for."""

from __future__ import annotations

import json
import re
import time
from typing import Any

import pytest

from tests.web.running import PATIENCE, ROOT

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")

KIOSK = {"width": 1280, "height": 800}
PHONE = {"width": 390, "height": 844}
WIDTH = "[id='f.rectangle.width']"
LAYOUT, PLAN = "/v1/layout", "/v1/sheets/plan"


def tiles(page: Any) -> dict[str, str]:
    """The figures of the summary by their names."""
    return dict(
        zip(*(page.locator(f"#tiles {tag}").all_inner_texts() for tag in ("dt", "dd")), strict=True)
    )


def await_tile(page: Any, name: str, value: str) -> None:
    """Wait until the summary gives this figure this value."""
    tile = page.locator("#tiles > div", has_text=name)
    api.expect(tile.locator("dd")).to_have_text(value)


TAKEN = "#save-answer, [data-sheet]"
"""The buttons that hand out the answer and its sheets."""


def await_taking(page: Any, *, on: bool) -> None:
    """Wait until all three buttons are on, or all are off with the reason beside them."""
    buttons = page.locator(TAKEN)
    api.expect(buttons).to_have_count(3)
    for button in buttons.all():
        api.expect(button).to_be_enabled(enabled=on)
        assert button.get_attribute("aria-describedby") == "take-why"
    api.expect(page.locator("#take-why")).to_have_text(re.compile("^$" if on else "^Off "))


def reply_to(page: Any, path: str, **said: object) -> Any:
    """A context manager for the next reply of this path to a deck document that has all these
    members somewhere. A reply to an earlier deck, which may still be under way, is never taken."""
    parts = [f"{json.dumps(name)}:{json.dumps(value)}" for name, value in said.items()]
    return page.expect_response(
        lambda reply: (
            reply.url.endswith(path)
            and all(part in (reply.request.post_data or "") for part in parts)
        )
    )


def await_held(page: Any, held: list[Any]) -> Any:
    """The first request that a route holds back, once there is one."""
    end = time.monotonic() + PATIENCE
    while not held:
        assert time.monotonic() < end, "nothing was asked"
        page.wait_for_timeout(20)
    return held[0]


def stop_clock(page: Any) -> None:
    """Stop the page's clock, which from now on moves by `page.clock.run_for` alone.

    The page must be waiting for nothing, because its clock is an hour later now.
    """
    page.clock.install(time=0)
    page.clock.pause_at(3600)


def resize(page: Any, size: dict[str, int]) -> None:
    """Give the page a window of another size, and wait until it has it."""
    page.set_viewport_size(size)
    page.wait_for_function(
        "size => innerWidth === size.width && innerHeight === size.height", arg=size
    )


def open_example(page: Any, name: str) -> None:
    """Open an example request of the contract, and wait for its answer."""
    request = ROOT / "schema" / "examples" / f"{name}.request.json"
    page.locator("details summary", has_text="Open or save").click()
    page.locator("#file").set_input_files(request)
    api.expect(page.locator("#opened")).to_have_text("Opened.")
    await_taking(page, on=True)


def paste(page: Any, deck: dict[str, Any]) -> None:
    """Paste a deck document over what the form holds."""
    if not page.locator("#pasted").is_visible():
        page.locator("details summary", has_text="Open or save").click()
    page.locator("#pasted").fill(json.dumps(deck))
    page.locator("#use-pasted").click()
