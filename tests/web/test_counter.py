"""The counter page and its files: served with their policy, from this host alone, and well
formed."""

from __future__ import annotations

import ast
import base64
import hashlib
import json
import os
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urljoin

import pytest
from flask.testing import FlaskClient

from service.core import limits
from service.rules.table import RULES
from service.web.settings import SettingsError
from tests.web.conftest import Make
from tests.web.running import DECK, ROOT

STATIC = ROOT / "service" / "web" / "static" / "counter"
ASSETS = [f"/counter/{name}" for name in ("counter.css", "counter.js", "icon.svg", "start.json")]
VOID = {"meta", "link", "input", "img", "br"}
NAMESPACE = "http://www.w3.org/2000/svg"
"""An address that names a vocabulary; nothing is fetched from it."""


class Page(HTMLParser):
    """What a page loads, its labels, ids and references, and where its tags do not match."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.loaded: list[str] = []
        self.linked: list[str] = []
        self.inline: list[str] = []
        self.labelled: list[str] = []
        self.ids: list[str] = []
        self.controls: list[str] = []
        self.referred: list[str] = []
        self.wrong: list[str] = []
        self.open: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Sort what the tag names."""
        named = {name: value or "" for name, value in attrs}
        if tag not in VOID:
            self.open.append(tag)
        if "id" in named:
            self.ids.append(named["id"])
        if tag in ("input", "select", "textarea"):
            self.controls.append(named.get("id", ""))
        if tag == "label":
            self.labelled.append(named.get("for", ""))
        for name in ("aria-labelledby", "aria-describedby"):
            self.referred += named.get(name, "").split()
        for name in ("src", "href"):
            if name in named:
                (self.linked if tag == "a" else self.loaded).append(named[name])
        if tag == "style" or (tag == "script" and "src" not in named):
            self.inline.append(tag)
        self.inline += [name for name in named if name.startswith("on") or name == "style"]

    def handle_endtag(self, tag: str) -> None:
        """Note a tag that does not close the one opened last."""
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


@pytest.fixture
def page(client: FlaskClient) -> Page:
    """The page, parsed."""
    return Page(client.get("/").get_data(as_text=True))


def test_the_policy_allows_this_host_and_images_out_of_memory(client: FlaskClient) -> None:
    """The policy allows nothing by default, no script or style inside the page, and no text read as
    HTML. A drawing that is opened by itself takes the policy along, which names the drawing's style
    by its SHA-256."""
    headers = client.get("/").headers
    rules = dict(
        rule.strip().split(" ", 1) for rule in headers["Content-Security-Policy"].split(";")
    )
    style = rules.pop("style-src").split()
    assert rules == {
        "default-src": "'none'",
        "script-src": "'self'",
        "img-src": "'self' blob:",
        "connect-src": "'self'",
        "base-uri": "'none'",
        "form-action": "'none'",
        "frame-ancestors": "'none'",
        "require-trusted-types-for": "'script'",
        "trusted-types": "'none'",
    }
    assert headers["X-Content-Type-Options"] == "nosniff"
    drawing = client.post("/v1/sheets/plan", json=DECK, headers={"Accept": "image/svg+xml"})
    (sheet,) = re.findall(r"<style>(.*?)</style>", drawing.get_data(as_text=True), re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(sheet.encode()).digest()).decode()
    assert style == ["'self'", f"'sha256-{digest}'"]


@pytest.mark.parametrize("path", ["/", *ASSETS])
def test_a_copy_is_kept_and_always_asked_about(client: FlaskClient, path: str) -> None:
    """A client with a current copy gets 304, and no old module stays beside a new one (RFC 9111,
    section 5.2.2.4)."""
    first = client.get(path)
    assert first.status_code == 200
    assert first.headers["Cache-Control"] == "public, no-cache"
    again = client.get(path, headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    head = client.head(path)
    assert (head.status_code, head.data) == (200, b"")
    assert head.headers["ETag"] == first.headers["ETag"]


@pytest.mark.parametrize("path", ["/", ASSETS[0]])
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_another_method_is_405(client: FlaskClient, path: str, method: str) -> None:
    """The refusal is a problem document, and Allow names the methods that are taken."""
    reply = client.open(path, method=method)
    assert (reply.status_code, reply.content_type) == (405, "application/problem+json")
    assert reply.headers["Allow"] == "GET, HEAD, OPTIONS"


@pytest.mark.parametrize(
    ("path", "media"),
    [
        ("/", "text/html"),
        ("/counter/counter.css", "text/css"),
        ("/counter/counter.js", "text/javascript"),
    ],
)
def test_each_file_has_its_type(client: FlaskClient, path: str, media: str) -> None:
    """Each file has its media type; a browser would not run a module of another one."""
    assert client.get(path).content_type == f"{media}; charset=utf-8"


@pytest.mark.parametrize("name", ["none.js", "counter.html", "form.js", "..%2fdocs.js"])
def test_nothing_else_is_served(client: FlaskClient, name: str) -> None:
    """The page has one address, and no name leads out of its folder."""
    assert client.get(f"/counter/{name}").status_code == 404


def test_one_who_wants_only_json_is_told_406(client: FlaskClient) -> None:
    """The page comes as HTML only."""
    assert client.get("/", headers={"Accept": "application/json"}).status_code == 406


def test_no_key_is_wanted_for_the_empty_form(make_client: Make) -> None:
    """The page needs no key; it asks for the one that its requests are to carry."""
    client = make_client(keys=("k" * 16,), log_level="error")
    assert client.get("/").status_code == client.get(ASSETS[0]).status_code == 200
    assert client.get("/v1/kits").status_code == 401


def test_everything_that_is_named_is_served_here(client: FlaskClient, page: Page) -> None:
    """All that the page names is served by the same host, under addresses relative to the page, so
    that it works below any prefix."""
    named = page.loaded + [link for link in page.linked if not link.startswith("#")]
    for address in named:
        assert not address.startswith("/")
        assert client.get(urljoin("/", address)).status_code == 200, address
    assert {link[1:] for link in page.linked if link.startswith("#")} <= set(page.ids)


def test_every_module_is_in_the_one_that_is_served(client: FlaskClient, page: Page) -> None:
    """Every module is in the file that is served, once, so the page gets them all by one request,
    however slow each request is."""
    assert page.loaded == ["counter/icon.svg", "counter/counter.css", "counter/counter.js"]
    served = client.get("/counter/counter.js").get_data(as_text=True)
    joined = re.findall(r"^const module_([a-z]+) = ", served, re.MULTILINE)
    assert sorted(joined) == sorted(file.stem for file in STATIC.glob("*.js"))
    assert joined[-1] == "counter"


def test_no_text_of_a_module_goes_on_over_a_line() -> None:
    """No template text runs over several lines: what joins the modules leaves out lines of comment,
    and could not tell a line of such a text from one."""
    for file in STATIC.glob("*.js"):
        for line in file.read_text("utf-8").splitlines():
            ticks = re.sub(r"/(?:\\.|\[[^]]*\]|[^/\\])+/g?", "", line).count("`")
            assert ticks % 2 == 0, (file.name, line)
            assert not line.lstrip().startswith("/*"), (file.name, line)


def test_what_the_page_says_in_other_words_the_service_says() -> None:
    """plainly.js finds sentences of rules and cautions by their words, which have to change there
    when they change in the service."""
    said = [
        node.value
        for room in ("rules", "wire/writing")
        for file in (ROOT / "service" / room).rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    table = re.search(
        r"FIELDS = \[(.*?)^\];", (STATIC / "plainly.js").read_text("utf-8"), re.S | re.M
    )
    assert table is not None
    asked = re.findall(r'^  \["([^"]+)", "', table[1], re.M)
    assert len(asked) == 25
    assert [words for words in asked if not any(words in each for each in said)] == []
    wanted = re.findall(
        r'\["(money[^"]+|a [^"]+)", "Type', (STATIC / "places.js").read_text("utf-8")
    )
    forms = "".join(file.read_text("utf-8") for file in (ROOT / "service/wire").rglob("*.py"))
    assert len(wanted) == 3
    assert [words for words in wanted if words not in forms] == []


def test_the_page_opens_as_much_as_the_service_takes() -> None:
    """The page's own table of limits has the figures of the published ones, by their names."""
    table = re.search(r"MOST = \{(.*?)\};", (STATIC / "limits.js").read_text("utf-8"), re.S)
    assert table is not None
    told = {name: int(most) for name, most in re.findall(r"(\w+): (\d+)", table[1])}
    assert len(told) == 9
    assert told == {name: getattr(limits, name.upper()) for name in told}


def test_no_file_names_an_outside_address() -> None:
    """No file names a host, with a scheme or without; the name of a vocabulary does not count."""
    for file in STATIC.iterdir():
        text = file.read_text("utf-8").replace(NAMESPACE, "")
        assert re.findall(r"[a-z]://|[\"'(]//", text) == [], file.name
        assert re.findall(r"@import|url\(", text) == [], file.name


def test_no_module_reads_text_as_html_or_script() -> None:
    """Elements are built one by one; text is never read as HTML or run."""
    sinks = (
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|DOMParser|\beval\(|new Function"
    )
    for file in STATIC.glob("*.js*"):
        assert re.findall(sinks, file.read_text("utf-8")) == [], file.name


def test_every_module_says_first_what_it_is_and_may_touch() -> None:
    """Each module begins with a comment on what it is and what it touches."""
    for file in STATIC.glob("*.js"):
        head = re.match(r"(?:// .*\n)+", file.read_text("utf-8"))
        assert head, file.name
        assert re.search(r"[Tt]ouches|in this tab|memory", head[0]), file.name


def test_the_page_is_well_formed(page: Page) -> None:
    """Every tag is closed in its turn, no id occurs twice, and the page itself holds no script or
    style."""
    assert (page.wrong, page.open) == ([], [])
    assert len(page.ids) == len(set(page.ids))
    assert set(page.referred) <= set(page.ids)
    assert page.inline == []


def test_every_label_names_an_input_and_every_input_has_one(page: Page) -> None:
    """Each field can be spoken of by its label, and reached by a touch on it."""
    assert page.labelled
    assert sorted(page.labelled) == sorted(page.controls)


def test_the_page_is_the_same_whatever_is_sent(client: FlaskClient) -> None:
    """Nothing of a request is written into the page."""
    sent = client.get("/?deck=<script>", headers={"Host": "evil.example"})
    assert sent.data == client.get("/").data


def own(tmp_path: Path, text: str) -> str:
    """A file with this text, for the deck that the page is to begin with."""
    file = tmp_path / "own.json"
    file.write_text(text)
    return str(file)


def test_a_fresh_page_begins_with_the_deck_of_the_readme(client: FlaskClient) -> None:
    """20 ft by 12 ft against a house, 4 ft up; a document that the service answers."""
    told = client.get("/counter/start.json")
    assert told.mimetype == "application/json"
    answered = client.post("/v1/layout", json=told.get_json())
    assert answered.get_json()["summary"]["posts"] == 9


def test_a_yard_has_the_page_begin_with_a_deck_of_its_own(
    make_client: Make, tmp_path: Path
) -> None:
    """The yard's own file is served as it is written, to the byte."""
    text = json.dumps(
        {**DECK, "prices": {"currency": "USD", "parts": {"base_plate": {"each": "1.10"}}}}, indent=3
    )
    client = make_client(counter=own(tmp_path, text))
    assert client.get("/counter/start.json").get_data(as_text=True) == text
    assert client.get("/").status_code == 200


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("{", r"/: .*JSON"),
        ('{"unit": "in"}', r"/guard: .*\n/kit: .*\n/levels: "),
        (json.dumps({**DECK, "kit": "none"}), "/kit: "),
        (json.dumps({**DECK, "unit": "in", "stairs": [{"opening": "x"}]}), "/stairs/0"),
    ],
)
def test_one_that_cannot_be_laid_out_stops_the_start(
    make_client: Make, tmp_path: Path, text: str, told: str
) -> None:
    """The error names the file and every faulty place in it."""
    with pytest.raises(SettingsError, match=f"^GUARDS_COUNTER, .*own.json, cannot be.*\n{told}"):
        make_client(counter=own(tmp_path, text))


def test_one_that_cannot_be_read_stops_the_start(make_client: Make, tmp_path: Path) -> None:
    """A path that is a folder cannot be read as a file."""
    with pytest.raises(SettingsError, match="^GUARDS_COUNTER cannot be read: "):
        make_client(counter=str(tmp_path))


@pytest.mark.skipif(shutil.which("node") is None, reason="no node to run the pure modules with")
def test_the_pure_modules_by_node(tmp_path: Path) -> None:
    """The modules that touch nothing (form to deck and back, lengths, places of faults, words) are
    run by node, with tests of their own."""
    for file in STATIC.glob("*.js*"):
        shutil.copy(file, tmp_path)
    # A browser takes them for modules by the tag that loads them, node by this file.
    (tmp_path / "package.json").write_text('{"type": "module"}')
    ended = subprocess.run(
        ["node", "--test", str(ROOT / "tests" / "web" / "counter" / "pure.test.mjs")],
        env={
            **os.environ,
            "MODULES": str(tmp_path),
            "EXAMPLES": str(ROOT / "schema" / "examples"),
            "SCHEMA": str(ROOT / "schema" / "deck.json"),
        },
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout[-4000:] + ended.stderr[-2000:]


def test_what_a_rule_is_about_is_worded_as_the_service_does() -> None:
    """The page's module of rule subjects has every rule, with its subject in the service's own
    words."""
    told = dict(re.findall(r'(\w+): "([^"]+)"', (STATIC / "rulewords.js").read_text("utf-8")))
    assert told == {name: rule.subject for name, rule in RULES.items()}
