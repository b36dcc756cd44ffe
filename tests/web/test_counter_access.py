"""The counter page for those who hear it, use it by the keyboard, or see it in colours of their
own."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.web.counter_page import (
    KIOSK,
    LAYOUT,
    PLAN,
    WIDTH,
    await_tile,
    open_example,
    resize,
    stop_clock,
)
from tests.web.running import Server

api = pytest.importorskip("playwright.sync_api", reason="no playwright to drive a browser with")

CONTRAST = (Path(__file__).parent / "counter" / "contrast.js").read_text("utf-8")
"""The script that works out the contrast of every text that is shown."""


def as_it_begins(page: Any) -> None:
    """The first answer."""


def out_of_date(page: Any) -> None:
    """An answer that is faded, under a fault."""
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#answer")).to_have_class("stale")


def slow(page: Any) -> None:
    """An answer that is faded while another is waited for."""
    page.route(f"**{LAYOUT}", lambda route: None)
    page.locator(WIDTH).fill("10'")
    api.expect(page.locator("#answer")).to_have_class("slow")


def drawn_before(page: Any) -> None:
    """The answer, with the drawing of the one before until its own comes."""
    page.route(f"**{PLAN}", lambda route: None)
    page.locator(WIDTH).fill("10'")
    page.locator("#plan.old").wait_for()


def asked_and_warned(page: Any) -> None:
    """A size that is asked about, a violation and its cure."""
    page.locator("[id='f.height']").fill("30")
    page.locator("[id='f.rectangle.depth']").fill("35")
    api.expect(page.locator("#doubts li")).to_have_count(1)
    page.locator("#failed .cure").first.wait_for()


def still_to_type(page: Any) -> None:
    """A form with new rows still to type, with all folds open, prices, a list of bays, the question
    about the house, and a row that was taken out."""
    page.locator("#edge-more summary").click()
    page.locator("[id='f.prices.currency']").fill("usd")
    page.locator("#prices .price").first.wait_for()
    page.locator("label[for='f.infill.glass']").click()
    page.locator("#list-bays").click()
    page.locator("label[for='f.way.sides']").click()
    page.locator("#add-row").click()
    page.locator("#measured [data-do=remove-row]").last.click()
    for fold in ("local", "site-more"):
        page.locator(f"#{fold} summary").click()
    for new in ("opening", "no-post", "column", "amendment"):
        page.locator(f"#add-{new}").click()
    api.expect(page.locator("#faults.open")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "state", [as_it_begins, out_of_date, slow, drawn_before, asked_and_warned, still_to_type]
)
def test_every_text_can_be_read(page: Any, state: Callable[[Any], None], scheme: str) -> None:
    """Every text has a contrast of 4.5 to 1, or 3 to 1 where it is large (WCAG 2.2, 1.4.3), also
    where the answer is faded, and in dark colours where the reader's screen is set to them."""
    page.emulate_media(color_scheme=scheme)
    state(page)
    # Waits until nothing fades any more; an answer that comes meanwhile ends a fade.
    page.evaluate(
        """async () => {
          const fading = () =>
            document.getAnimations().filter(({ playState }) => playState === "running");
          for (let now = fading(); now.length; now = fading()) {
            await Promise.allSettled(now.map((each) => each.finished));
          }
        }"""
    )
    told = page.evaluate(CONTRAST)
    assert told["all"] > 100
    assert told["low"] == []


def test_the_reckoning_of_contrast_itself(page: Any) -> None:
    """#777 on white, known to miss 4.5 by a hair, is 4.48 to 1 and #767676 meets it; black faded by
    half over white is of luminance ((0.5 + 0.055) / 1.055) ** 2.4 = 0.214: 1.05 to 0.264."""
    page.evaluate(
        """() => {
          document.body.replaceChildren();
          document.body.style.background = "#fff";
          const texts = [["#000", 1], ["#777", 1], ["#000", 0.5], ["#767676", 1]];
          for (const [color, opacity] of texts) {
            const line = document.body.appendChild(document.createElement("p"));
            line.textContent = color;
            Object.assign(line.style, { color, opacity });
          }
        }"""
    )
    low = page.evaluate(CONTRAST)["low"]
    assert [each["text"] for each in low] == ["#777", "#000"]
    assert [each["ratio"] for each in low] == pytest.approx([4.48, 1.05 / 0.264], abs=0.005)


RING = """(element) => {
  element.focus();
  const opaque = (each) => !/^rgba\\(.*, 0\\)$/.test(getComputedStyle(each).backgroundColor);
  let behind = element.parentElement;
  while (!opaque(behind)) behind = behind.parentElement;
  const { outlineStyle, outlineColor } = getComputedStyle(element);
  return [outlineStyle, outlineColor, getComputedStyle(behind).backgroundColor];
}"""
"""A script for the style and colour of the ring around the focused element, and the colour behind
it."""


def luminance(color: str) -> float:
    """Relative luminance of rgb(r, g, b), as WCAG 2.2 defines it."""
    shares = [int(each) / 255 for each in re.findall("[0-9]+", color)[:3]]
    r, g, b = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", ["#afresh", WIDTH, "#answer a", "#short"])
def test_the_ring_around_what_has_the_focus_is_seen(page: Any, place: str, scheme: str) -> None:
    """The ring has a contrast of 3 to 1 with what it lies on (WCAG 2.2, 1.4.11), on the dark strips
    above and below as well as on paper."""
    page.emulate_media(color_scheme=scheme)
    # After this key a focus counts as come by the keyboard.
    page.keyboard.press("Tab")
    style, *colors = page.locator(place).first.evaluate(RING)
    assert style == "solid"
    dark, light = sorted(map(luminance, colors))
    assert (light + 0.05) / (dark + 0.05) >= 3.0


def test_what_is_printed_from_a_dark_screen_is_ink_on_paper(page: Any) -> None:
    """On paper words are dark and the ground is white, even from a screen in dark colours."""
    page.emulate_media(color_scheme="dark", media="print")
    told = page.locator("#deck-line").evaluate("each => getComputedStyle(each).color")
    assert luminance(told) < 0.05
    ground = page.locator(".summary").evaluate("each => getComputedStyle(each).backgroundColor")
    assert luminance(ground) == pytest.approx(1.0)


def test_what_is_chosen_is_seen_in_dark_colours(page: Any) -> None:
    """A choice is marked by a line within it, of a contrast of 3 to 1 with the ground of a choice
    not taken (WCAG 2.2, 1.4.11)."""
    page.emulate_media(color_scheme="dark")
    line = "each => getComputedStyle(each).boxShadow"
    ground = "each => getComputedStyle(each).backgroundColor"
    chosen = page.locator("label[for='f.unit.in']").evaluate(line)
    other = page.locator("label[for='f.unit.mm']").evaluate(ground)
    assert "inset" in chosen
    dark, light = sorted(map(luminance, (chosen, other)))
    assert (light + 0.05) / (dark + 0.05) >= 3.0


def test_colours_of_the_readers_own_leave_what_is_chosen_to_be_seen(
    browser: Any, server: Server
) -> None:
    """Forced colours take away every ground but that of a choice taken; a field with a fault keeps
    its frame."""
    context = browser.new_context(viewport=KIOSK, forced_colors="active")
    page = context.new_page()
    page.goto(server.url)
    await_tile(page, "Posts", "9")
    assert page.evaluate("matchMedia('(forced-colors: active)').matches")
    ground = "each => getComputedStyle(each).backgroundColor"
    for chosen, other in (
        ("unit.in", "unit.mm"),
        ("way.rectangle", "way.ties"),
        ("infill.picket", "infill.glass"),
    ):
        looks = [
            page.locator(f"label[for='f.{value}']").evaluate(ground) for value in (chosen, other)
        ]
        assert looks[0] != looks[1], chosen
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator(WIDTH)).to_have_css("border-top-width", "2px")
    context.close()


def test_what_is_wrong_is_spoken_by_its_field(page: Any) -> None:
    """The first fault is spoken in full with its field, then how many more there are; faults come
    before what is still to type."""
    spoken = page.locator("#spoken")
    page.locator(WIDTH).fill("20 fx")
    fault = "Width, along house: This cannot be read as a length. Type it like 12' 6 1/2\"."
    api.expect(spoken).to_have_text(f"Something is to be put right. {fault}")
    page.locator("#add-opening").click()
    api.expect(page.locator("#faults-list li")).to_have_text(
        [
            fault,
            "Opening A, From left end: Still to type.",
            "Opening A, Clear width: Still to type.",
        ]
    )
    api.expect(spoken).to_have_text(f"Something is to be put right. {fault} And 2 more.")


def test_each_region_has_a_name_of_its_own_and_each_table_a_heading(page: Any) -> None:
    """Tried with a deck that has a flight and glass."""
    open_example(page, "glass-flight")
    names = page.get_by_role("region").evaluate_all(
        """all => all.map((each) => each.getAttribute("aria-label")
          ?? document.getElementById(each.getAttribute("aria-labelledby")).textContent)"""
    )
    assert len(names) == len(set(names))
    captions = page.locator("#answer caption").all_inner_texts()
    assert len(captions) == page.locator("#answer table:visible").count() >= 5
    heads = page.get_by_role("heading", level=3).all_inner_texts()
    assert [head for head in heads if head in captions] == captions


LIVE = """() => {
  window.heard = [];
  for (const line of document.querySelectorAll("[role=status], [aria-live]")) {
    new MutationObserver(() => window.heard.push([line.id, line.textContent.trim()]))
      .observe(line, { childList: true, characterData: true, subtree: true });
  }
}"""
"""A script that records every line that is spoken as it changes."""


def test_what_is_spoken_is_said_once(page: Any) -> None:
    """The same answer under another title is not spoken again, nor is the question about the house.
    The clock is stopped, because an answer that takes longer than a moment is said to be waited
    for."""
    stop_clock(page)
    page.evaluate(LIVE)
    page.locator("[id='f.title']").fill("Ashby")
    page.clock.run_for(400)
    api.expect(page.locator("#deck-line")).to_contain_text("Ashby")
    assert page.evaluate("window.heard") == []
    page.locator("label[for='f.way.sides']").click()
    for _ in range(2):
        page.locator("#add-row").click()
    page.clock.run_for(10)
    api.expect(page.locator("#faults")).to_be_visible()
    told = page.evaluate("window.heard")
    assert [name for name, _ in told].count("house") == 1
    assert all(one != other for one, other in itertools.pairwise(told))


def test_only_tables_that_are_scrolled_are_stops_of_the_tab_key(page: Any) -> None:
    """At a kiosk's width no table is a stop of the Tab key; on a narrow screen those that are cut
    off are, and are named by their captions."""
    boxes = page.locator("#answer .wide:visible")
    cut = "each => each.scrollWidth > each.clientWidth"
    for size in (KIOSK, {"width": 320, "height": 800}, KIOSK):
        resize(page, size)
        stops = page.locator("#answer .wide[tabindex='0']")
        scrolled = [box for box in boxes.all() if box.evaluate(cut)]
        api.expect(stops).to_have_count(len(scrolled))
        assert (len(scrolled) > 0) == (size != KIOSK)
        for box in scrolled:
            name = box.locator("caption").inner_text()
            assert box.get_attribute("aria-label") == name
            assert box.get_attribute("role") == "region"


TREE_ROLES = ("textbox", "combobox", "radio", "checkbox", "button", "link", "table", "region")


def test_the_tree_that_a_screen_reader_is_given(page: Any) -> None:
    """In the browser's own accessibility tree every control has a name, no two fields of a group
    have the same one, and a field with a fault says so and what the fault is."""
    for fold in ("edge-more", "site-more"):
        page.locator(f"#{fold} summary").click()
    for new in ("opening", "column"):
        page.locator(f"#add-{new}").click()
    page.locator("#has-flight-0").check()
    page.locator("[id='f.prices.currency']").fill("usd")
    page.locator(WIDTH).fill("20 fx")
    page.locator("[id='f.code']").select_option("ca-nbc-2020")
    page.locator("label[for='f.infill.glass']").click()
    api.expect(page.locator("[id='f.rectangle.width.fault']")).to_be_visible()
    nodes = accessibility_tree(page)
    named = [(node["role"], node["name"], node["group"]) for node in nodes]
    operated = [each for each in named if each[0] in TREE_ROLES]
    assert len(operated) > 60
    assert [each for each in operated if not each[1]] == []
    fields = [each for each in operated if each[0] not in ("button", "link")]
    assert [each for each, count in Counter(fields).items() if count > 1] == []
    (wrong,) = (
        node for node in nodes if node["role"] == "textbox" and node["name"] == "Width, along house"
    )
    assert wrong["invalid"] == "true"
    assert "cannot be read as a length" in wrong["description"]
    assert [node["name"] for node in nodes if node["invalid"] == "true"] == ["Width, along house"]
    boxes = {node["name"]: node for node in nodes if node["role"] == "textbox"}
    heat = boxes["Metal, coldest to hottest, °F"]
    assert heat["description"].startswith("How many degrees lie between the coldest and")
    panes = [node for node in nodes if node["name"] == "Glass" and node["role"] == "combobox"]
    assert [node["group"] for node in panes] == ["Railing", "Openings / Opening A"]


def accessibility_tree(page: Any) -> list[dict[str, str]]:
    """The nodes of the browser's accessibility tree that are not ignored, each with the names of
    the groups that it is in."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes = {each["nodeId"]: each for each in session.send("Accessibility.getFullAXTree")["nodes"]}

    def value(node: dict[str, Any], name: str) -> str:
        return str(node.get(name, {}).get("value", ""))

    def groups(node: dict[str, Any]) -> str:
        above = nodes.get(node.get("parentId", ""))
        if above is None:
            return ""
        own = value(above, "name") if value(above, "role") == "group" else ""
        return " / ".join(filter(None, (groups(above), own)))

    return [
        {
            **{name: value(node, name) for name in ("role", "name", "description")},
            "group": groups(node),
            "invalid": next(
                (
                    str(each["value"].get("value"))
                    for each in node.get("properties", [])
                    if each["name"] == "invalid"
                ),
                "",
            ),
        }
        for node in nodes.values()
        if not node.get("ignored")
    ]


def described(page: Any, field: str) -> str:
    """All that describes a field, in the order in which it is spoken."""
    words: str = page.locator(f"[id='f.{field}']").evaluate(
        """each => (each.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean)
          .map((id) => document.getElementById(id).textContent.trim()).join(" | ")"""
    )
    return words


def test_hints_are_heard_with_their_fields(page: Any) -> None:
    """How lengths are typed is heard at each length, and how a walk goes at its first side; a fault
    does not replace these hints."""
    assert described(page, "rectangle.width").startswith("Lengths: 12' 6 1/2\"")
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("[id='f.rectangle.width.fault']")).to_be_visible()
    assert described(page, "rectangle.width").startswith("Lengths: ")
    assert "cannot be read" in described(page, "rectangle.width")
    page.locator(WIDTH).fill("20'")
    api.expect(page.locator("#faults")).to_be_hidden()
    assert described(page, "rectangle.width").startswith("Lengths: ")
    assert "cannot be read" not in described(page, "rectangle.width")
    page.locator("label[for='f.way.sides']").click()
    assert "yard on your right" in described(page, "sides.0.length")
    assert "yard on your right" not in described(page, "sides.1.length")
    assert described(page, "sides.1.length").startswith("Lengths: ")
    for field in ("edges.0.drop", "edges.1.wall_end"):
        assert "At a wall or a column a railing ends in" in described(page, field)
    page.locator("#add-opening").click()
    assert "the start of side 0" in described(page, "openings.0.from")
    for new in ("no-post", "column"):
        page.locator(f"#add-{new}").click()
    for field in ("no_post.0.from", "columns.0.from", "columns.0.in"):
        assert "the start of side 0" in described(page, field)


def test_every_field_of_the_form_has_a_name_and_its_row_one(page: Any) -> None:
    """The rows of a no-post place and of a column are named by their legends, and each of their
    fields by its label."""
    for new in ("no-post", "column"):
        page.locator(f"#add-{new}").click()
    place = page.get_by_role("group", name="No-post place 1", exact=True)
    column = page.get_by_role("group", name="Column 1", exact=True)
    for group, names in (
        (place, ("On edge", "Why (optional)", "From left end", "Length, along edge")),
        (
            column,
            (
                "Name",
                "Along edge",
                "Shape",
                "From left end",
                "Width, along edge",
                "In from the edge",
                "Depth, inward",
                "How high (optional)",
            ),
        ),
    ):
        assert group.locator("[data-field]").count() == len(names)
        for name in names:
            api.expect(group.get_by_label(name, exact=True)).to_have_count(1)


COVERED = """() => {
  const at = document.activeElement.matches(".choice input")
    ? document.activeElement.labels[0] : document.activeElement;
  const box = at.getBoundingClientRect();
  const high = Math.min(box.height, 24) / 2;
  const seen = document.elementFromPoint(box.x + box.width / 2, box.y + high);
  return seen === at || at.contains(seen) || Boolean(seen?.contains(at)) ? "" : at.outerHTML;
}"""
"""A script for the element that has the focus, where its beginning is covered or off the screen;
else ""."""


@pytest.mark.parametrize("size", [{"width": 640, "height": 400}, {"width": 360, "height": 740}])
def test_the_answer_is_in_sight_as_one_types_by_the_keys_alone(
    page: Any, size: dict[str, int]
) -> None:
    """A kiosk at 200 % is 640 by 400: its short answer stays in sight, at most 48 px high, and
    covers nothing that the Tab key comes to (WCAG 2.2, 2.4.11). A front of 10 ft has two bays, as
    posts stand at most 6 ft apart, and each side three, as at first."""
    resize(page, size)
    page.locator(WIDTH).focus()
    api.expect(page.locator("#short")).to_be_in_viewport(ratio=1)
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("10'")
    api.expect(page.locator("#short")).to_have_text(
        "7 posts, 8 bays. No violation found, 1 not checked."
    )
    api.expect(page.locator("#short")).to_be_in_viewport(ratio=1)
    if size["height"] < 480:
        strip = page.locator("footer p").first.bounding_box()
        assert strip["height"] <= 48
        assert strip["y"] + strip["height"] == pytest.approx(size["height"], abs=1)
    for step in ("Tab", "Shift+Tab"):
        for _ in range(40):
            page.keyboard.press(step)
            assert page.evaluate(COVERED) == "", step


def test_a_verdict_of_another_deck_has_no_colour_of_its_own(page: Any) -> None:
    """A verdict that is out of date is neither good nor bad for what the form says now."""
    verdict = page.locator("#verdict")
    colour = "each => getComputedStyle(each).color"
    assert verdict.evaluate(colour) != page.locator("#deck-line").evaluate(colour)
    page.locator(WIDTH).fill("20 fx")
    api.expect(page.locator("#answer")).to_have_class("stale")
    assert verdict.evaluate(colour) == page.locator("#deck-line").evaluate(colour)
