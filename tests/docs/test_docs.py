"""What is written for readers matches the service: examples, figures, guide, reference and
README."""

from __future__ import annotations

import doctest
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest

from deploy import publish, rulebook, tables
from deploy.figures import pen
from service.core import limits
from service.core.records.figures import FIGURES
from service.core.records.kit import End
from service.data.catalogue import load_catalogue
from service.drawings.looks import LOOKS
from service.drawings.sheets import SHEETS
from service.refusals import KINDS
from service.rules.judge import CHECKS
from service.rules.table import RULES
from service.web.app import create_app
from service.web.metrics import NONE, OTHER, Metrics
from service.web.settings import TABLE, Settings
from service.wire.publishing.components import components, schemas
from service.wire.slugs import SLUGS

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = ROOT / "schema"
GUIDE = (SCHEMA / "guide.md").read_text(encoding="utf-8")
REFERENCE = (SCHEMA / "reference.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMES = sorted(publish.requests())
MARKERS = re.findall(r"<!-- (?!end)(.+?) -->", REFERENCE)

SHOWN = (
    "points",
    "sides",
    "ties",
    "openings",
    "obstructions",
    "no_post",
    "amendments",
    "stairs",
    "to_level",
    "handrail",
    "arc_rise",
    "framing",
    "site_measures",
    "per_length",
    "waste",
    "cutting",
    "discounts",
)
"""Members that the examples have to show between them."""
LETTER = 5.0
"""The least average width of a letter of the figures' text, in pixels. Words of many narrow letters
are taken for longer than they are."""

Json = Any


def schema_of(kind: Any) -> jsonschema.Draft202012Validator:
    """Validator for a published schema, by a library that the service does not use."""
    return jsonschema.Draft202012Validator(schemas()[kind])


def test_the_proxy_has_another_to_ask_where_a_reply_is_lost() -> None:
    """nginx sends a request on by `proxy_next_upstream` only where an upstream has another server
    (its reference, from memory); a server that is named twice counts as two."""
    example = (ROOT / "deploy/nginx.conf.example").read_text(encoding="utf-8")
    (servers,) = re.findall(r"^upstream \w+ \{(.*?)^\}", example, re.MULTILINE | re.DOTALL)
    assert len(re.findall(r"^ +server ", servers, re.MULTILINE)) == 2
    assert re.search(r"^ +proxy_next_upstream .*error", example, re.MULTILINE)


def test_all_that_is_made_is_as_it_would_be_made() -> None:
    """The committed schemas, OpenAPI document, example replies, figures and tables of the reference
    are those that `deploy.publish` makes."""
    told = list(publish.differences())
    assert told == [], "run `python -m deploy.publish`, and commit what it writes"


def test_what_differs_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that differs, one that is missing and one that nothing makes are each named."""
    guide, missing = SCHEMA / "reference.md", SCHEMA / "nowhere.json"
    made = [(guide, REFERENCE + "more\n"), (missing, "{}\n")]
    monkeypatch.setattr(publish, "published", lambda: iter(made))
    told = list(publish.differences())
    assert told[0].startswith("schema/reference.md: ")
    assert told[1].startswith("schema/nowhere.json: ")
    assert "schema/deck.json: nothing makes this file" in told
    assert publish.main(["--check"]) == 1


@pytest.mark.parametrize(
    "module", [publish, tables, pen, rulebook], ids=lambda module: module.__name__
)
def test_doctests_of_the_makers(module: Any) -> None:
    """The examples in the docstrings of these modules hold."""
    found = doctest.testmod(module)
    assert found.attempted > 0
    assert found.failed == 0


def test_there_are_enough_examples() -> None:
    """At least nine example decks are laid out, and two are refused."""
    statuses = [status for status, _ in publish.replies().values()]
    assert statuses.count(200) >= 9
    assert statuses.count(422) == 2
    assert set(statuses) == {200, 422}


@pytest.mark.parametrize("name", NAMES)
def test_an_example_is_what_the_service_replies(name: str) -> None:
    """A POST of the example's request gets the committed reply, with its numbers byte for byte."""
    client = create_app(Settings()).test_client()
    sent = (SCHEMA / "examples" / f"{name}.request.json").read_bytes()
    reply = client.post("/v1/layout", data=sent, content_type="application/json")
    held = SCHEMA / "examples" / publish.reply_name(name, reply.status_code)
    assert json.dumps(reply.get_json()) == json.dumps(json.loads(held.read_text("utf-8")))


@pytest.mark.parametrize("name", NAMES)
def test_an_example_fits_the_published_schemas(name: str) -> None:
    """Request and reply fit the published schemas, by another library than the service's."""
    status, reply = publish.replies()[name]
    assert schema_of("deck").is_valid(json.loads(publish.requests()[name]))
    assert schema_of("layout" if status == 200 else "problem").is_valid(reply)


def test_the_examples_between_them_show_every_form() -> None:
    """The examples show all forms of outline, units, mountings and infills; what stands in a
    railing's way; flights with all that belongs to them, a bowed edge, framing and measures."""
    told = " ".join(request.decode() for request in publish.requests().values())
    for member in SHOWN:
        assert f'"{member}"' in told
    replies = [reply for status, reply in publish.replies().values() if status == 200]
    bays = [bay for reply in replies for bay in reply["bays"]]
    assert {reply["unit"] for reply in replies} == {"in", "mm"}
    assert {bay["infill"] for bay in bays} == {"picket", "glass"}
    ends: set[End] = {"socket", "swivel", "wall", "rake"}
    assert {end for bay in bays for end in bay["ends"]} == ends
    for member in ("flights", "gates", "blocking"):
        assert any(reply.get(member) for reply in replies)
    raked = [bay for bay in bays if bay["pitch"] > 0]
    assert {bay["infill"] for bay in raked} == {"picket", "glass"}
    assert {bay["falls"] for bay in raked} == {"left", "right"}
    assert any(bay["measured"] for bay in raked)
    assert any(bay["measured"] for bay in bays if bay["pitch"] == 0)
    assert any("corner_bracket" in post.get("parts", ()) for r in replies for post in r["posts"])


def rows(marker: str) -> list[str]:
    """Names in code style in the first two cells of each row of the reference's table under a
    marker."""
    block = REFERENCE.split(f"<!-- {marker} -->\n", 1)[1].split("<!-- end -->", 1)[0]
    cells = [line.split(" | ") for line in block.splitlines()[2:]]
    return [name for row in cells for name in re.findall(r"`([^`]+)`", " ".join(row[:2]))]


def test_every_limit_is_in_the_reference() -> None:
    """Each published limit has its row, and nothing else has a description as a limit."""
    named = {name.lower() for name, value in vars(limits).items() if isinstance(value, int)}
    batch = {"line", "batch_lines", "batch_bytes", "batch_seconds"}
    assert set(tables.LIMITS) == {"body", *named, *batch}, (
        "give each limit of core/limits its words in LIMITS of deploy/tables.py"
    )
    assert set(rows("limits")) == {"body", *named, *batch}


def test_every_rule_is_in_the_reference() -> None:
    """The reference's table of rules lists each rule, in the order in which they are run."""
    assert [name for name in rows("rules") if name in RULES] == list(CHECKS)


def test_every_figure_of_codes_is_in_the_reference() -> None:
    """The reference's table of figures lists the closed vocabulary, in its order."""
    assert rows("figures") == list(FIGURES)


def test_every_setting_is_in_the_reference_and_in_the_readme() -> None:
    """Reference and README list each environment variable that the service reads, and no other; the
    README gives its default."""
    names = [setting.name for setting in TABLE]
    assert [name for name in rows("settings") if name.isupper()] == names
    for setting in TABLE:
        row = rf"^\| `{setting.name}` \| .*{re.escape(setting.default)}"
        assert re.search(row, README, re.M), f"give {setting.name} its row in the README"
    assert set(re.findall(r"GUARDS_[A-Z_]+", REFERENCE + README)) <= set(names)


def test_every_code_of_a_problem_is_in_the_reference() -> None:
    """The codes of problems in documents have their own table; those of requests are among the
    kinds of refusal."""
    assert set(rows("codes")) | set(rows("statuses")) == set(SLUGS)
    assert set(rows("statuses")) == set(KINDS)


def test_every_published_object_has_its_table() -> None:
    """Each object that the schemas define has its table of members in the reference."""
    shown = {marker.split()[-1] for marker in MARKERS if marker.startswith(("members", "parts"))}
    shown |= {"BatchLine"} & {"BatchLine" for marker in MARKERS if marker == "line"}
    by_example = {"Figures", "Amendments", "RailsByInfill", "Rails"}
    held = {name for name, node in components().items() if node.get("type") == "object"}
    figures = {name for name in held if name.endswith(("Figure", "When"))}
    assert held - figures - by_example - shown == set(), (
        "give each object its table in schema/reference.md, between `<!-- members deck NAME -->` "
        "and `<!-- end -->`"
    )


INSIDE = {
    **{"core": "Inside core", "rules": "Inside rules", "wire": "Inside wire", "data": "The house"},
    **{"drawings": "Inside drawings", "web": "Inside web, and the commands"},
    **{"bulk": "Inside web, and the commands"},
}
"""The section of DEVELOPERS.md that has the modules of a room."""


def section(heading: str) -> str:
    """What DEVELOPERS.md has under a heading."""
    return DEVELOPERS.split(f"\n## {heading}\n", 1)[1].split("\n## ", 1)[0]


@pytest.mark.parametrize("room", INSIDE)
def test_every_module_of_a_room_is_in_the_house(room: str) -> None:
    """DEVELOPERS.md names each module of each room, in the section on that room."""
    named = set(re.findall(r"`([a-z_]+)(?:\.[a-z_]+)?`", section(INSIDE[room])))
    held = {path.stem for path in (ROOT / "service" / room).rglob("[!_]*.py")}
    assert held - named == set(), f"name each module in DEVELOPERS.md, under {INSIDE[room]}"


@pytest.mark.parametrize("room", ["core", "rules", "wire", "drawings", "web"])
def test_the_tables_of_a_room_name_what_is_there(room: str) -> None:
    """Each name in the tables on a room is that of a module, a folder or a function there."""
    rows = re.findall(r"^\|.*", section(INSIDE[room]), re.M)
    named = set(re.findall(r"`([a-z_]+)/?`", " ".join(rows)))
    paths = list((ROOT / "service" / room).rglob("[!_]*"))
    text = "".join(path.read_text("utf-8") for path in paths if path.suffix == ".py")
    there = {path.stem for path in paths} | set(re.findall(r"^def (\w+)", text, re.M))
    assert named - there == set(), f"gone, or called something else: mend {INSIDE[room]}"


def known_words() -> set[str]:
    """Every name that the guide and the reference may write as code."""
    words = {*RULES, *FIGURES, *SLUGS, *KINDS, *tables.LIMITS}
    words |= {each.name for each in TABLE} | {each.default for each in TABLE}
    words |= {*load_catalogue().kits, *load_catalogue().codes, *components()}
    for node in walk(components()):
        words |= {*node.get("properties", ()), *map(str, node.get("enum", ()))}
    words |= {*SHEETS, *(layer.upper() for layer in LOOKS)}
    words |= {*metrics(), "method", "route", OTHER, NONE}
    return words | {"corner_bracket", "true", "false", "null", "main", "code", "kit"}


def metrics() -> set[str]:
    """The name of every metric."""
    return set(re.findall(r"^# TYPE (\S+) ", Metrics().write().decode(), re.M))


def test_the_reference_lists_every_metric() -> None:
    """The reference lists each metric that is counted, and no other."""
    listed = set(re.findall(r"^\| `(guards_\w+)` ", REFERENCE, re.M))
    assert listed == metrics(), "schema/reference.md has a row for each metric, written by hand"


def walk(node: Json) -> Iterator[dict[str, Any]]:
    """Every object in a document, at any depth."""
    if isinstance(node, dict):
        yield node
    for each in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from walk(each)


@pytest.mark.parametrize(
    ("text", "least"), [(REFERENCE, 150), (GUIDE, 60)], ids=["reference", "guide"]
)
def test_every_word_of_both_is_one_of_the_service(text: str, least: int) -> None:
    """Whatever the prose writes as code is a member, a word, a rule or a code of the service: none
    is stale."""
    prose = re.sub(r"```.*?```", "", text, flags=re.DOTALL)
    written = re.findall(r"`([a-z][a-z0-9_]*(?:\.[a-z_]+)*)(?:\[\])?`", prose)
    parts = {part for word in written for part in word.split(".")}
    assert parts - known_words() == set(), "written as code, but no name of the service (any more)"
    assert len(parts) > least


def test_the_guide_is_read_in_ten_minutes() -> None:
    """The guide has under 2500 words, ten minutes at 250 words a minute, with its tables and
    captions but without its blocks of code."""
    words = re.sub(r"```.*?```|<!--.*?-->", "", GUIDE, flags=re.DOTALL).split()
    assert len(words) < 2500, (
        "the guide is full: for what is added, leave out something that the reference says as well"
    )


def test_the_guide_goes_by_the_steps_of_the_method() -> None:
    """The guide has the method's twelve steps, in their order, each with its figure where one is
    drawn for it."""
    method = GUIDE.split("## The method", 1)[1].split("\n## ", 1)[0]
    assert re.findall(r"^\*\*([0-9]+)\. ", method, re.M) == [str(n) for n in range(1, 13)]
    shown = {int(n) for n in re.findall(r"\(figures/([0-9]+)-", method)}
    assert shown == {int(path.name.split("-")[0]) for path in (SCHEMA / "figures").iterdir()}


def test_the_guide_names_what_a_deck_may_hold() -> None:
    """The guide names every member of the deck document except the few that its first lines
    name."""
    members = schemas()["deck"]["properties"].keys()
    left = {name for name in members if f"`{name}`" not in GUIDE}
    assert left <= {"title", "precision"}, "name each member in schema/guide.md"


@pytest.mark.parametrize(
    "name",
    ["Guard", "Level", "Outline", "Side", "Ties", "Tie", "Edge", "Opening", "NoPost"]
    + ["Obstruction", "Framing", "Stair", "SiteMeasure", "Site", "Prices", "OnHand", "Variant"],
)
def test_the_guide_names_what_an_object_of_a_deck_may_hold(name: str) -> None:
    """The guide names every member of the object; the README says that it gives each object with
    its defaults."""
    members = components()[name]["properties"]
    left = [each for each in members if not re.search(f'[`"]{each}[`"]', GUIDE)]
    assert left == [], f"name each of these members of {name} in schema/guide.md"


def test_the_reference_names_every_sheet_and_the_others_lead_there() -> None:
    """The reference lists the sheets in the order of the table, and nothing else; README and guide
    name a few of them and lead to that list."""
    listed = [name for name in rows("sheets") if "/" not in name]
    assert listed == [*SHEETS], "run `python -m deploy.publish`"
    readme = re.search(r"^\| `POST /v1/sheets/\{sheet\}` \|.*$", README, re.M)
    guide = re.search(r"^- \*\*Drawings and lists\.\*\*.*?(?=^- )", GUIDE, re.M | re.DOTALL)
    for told, page in ((readme, "schema/reference.md"), (guide, "reference.md")):
        assert told is not None
        assert f"]({page}#sheets)" in told[0]
        named = set(re.findall(r"`(?:/v1/sheets/)?([a-z-]+)`", told[0]))
        assert {"plan", "job"} <= named <= {*SHEETS}


def test_every_figure_is_shown_and_every_one_shown_is_there() -> None:
    """The reference shows each figure once, with words for readers who cannot see it."""
    shown = re.findall(r"!\[([^\]]+)\]\((figures/[^)]+)\)", REFERENCE)
    held = {path.relative_to(SCHEMA).as_posix() for path in (SCHEMA / "figures").iterdir()}
    assert {path for _, path in shown} == held
    assert len(shown) == len(held)


@pytest.mark.parametrize("path", sorted((SCHEMA / "figures").iterdir()), ids=lambda path: path.stem)
def test_a_figure_is_whole_and_stays_on_its_sheet(path: Path) -> None:
    """A figure is well-formed, has a title and a description, and takes nothing from outside; no
    words begin or end off the sheet."""
    text = path.read_text(encoding="utf-8")
    root = ElementTree.fromstring(text)
    space = "{http://www.w3.org/2000/svg}"
    assert root.findtext(f"{space}title")
    assert root.findtext(f"{space}desc")
    assert "href" not in text.replace("http://www.w3.org/2000/svg", "")
    width, height = (float(part) for part in root.attrib["viewBox"].split()[2:])
    for words in root.iter(f"{space}text"):
        if "transform" not in words.attrib:
            size = LETTER * len(words.text or "")
            before = {"start": 0.0, "middle": size / 2, "end": size}[words.attrib["text-anchor"]]
            first = float(words.attrib["x"]) - before
            assert 0 <= first <= first + size <= width, words.text
        assert 8 <= float(words.attrib["y"]) <= height - 3, words.text


@pytest.mark.parametrize(
    "page",
    ["README.md", "DEVELOPERS.md", "schema/guide.md", "schema/reference.md", "schema/rules.md"],
)
def test_links_lead_somewhere(page: str) -> None:
    """No link leads out of the repository; each leads to a file that exists, and its anchor to a
    heading there."""
    here = ROOT / page
    text = here.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        path, _, anchor = target.partition("#")
        assert "://" not in target, f"{target} leads out"
        there = here.parent / path if path else here
        assert there.exists(), target
        if anchor:
            found = re.findall(r"^#+ (.+)$", there.read_text(encoding="utf-8"), re.M)
            assert anchor in {slug(line) for line in found}, target


def slug(heading: str) -> str:
    """The anchor that a heading gets."""
    return re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-")


@pytest.mark.parametrize("text", [GUIDE, REFERENCE, README], ids=["guide", "reference", "readme"])
def test_nothing_claims_what_only_an_authority_may(text: str) -> None:
    """The texts claim nothing that only an authority may, and refer to the local one; the title of
    a code is a name, not a claim."""
    plain = text.replace("Approved Document", "")
    assert not re.search(r"\b(approved|certified|compliant)\b", plain, re.IGNORECASE)
    assert "local building authority" in text.lower()


def fenced(text: str, language: str) -> list[str]:
    """The code blocks of one language in a page."""
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.M | re.DOTALL)


def holds(whole: Json, part: Json) -> bool:
    """Whether `whole` has every member that `part` has, at any depth; lists have to be equal.

    >>> holds({"a": 1, "b": [1, 2]}, {"b": [1, 2]}), holds({"a": 1}, {"a": 2})
    (True, False)
    """
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            name in whole and holds(whole[name], value) for name, value in part.items()
        )
    return bool(whole == part)


def test_the_call_of_the_readme_gets_what_the_readme_shows() -> None:
    """The README's document is laid out, and every part of a reply that the README shows is in that
    reply."""
    call = re.search(r"curl .*?/v1/layout .*?-d '(.*?)'", README, re.DOTALL)
    assert call is not None
    status, reply = publish.reply_to(call[1].encode())
    assert status == 200
    shown = [json.loads(block) for block in fenced(README, "json")]
    assert len(shown) >= 2
    for part in shown:
        assert any(holds(node, part) for node in walk(reply)), part
    told = re.search(r"of ([0-9]+) posts and ([0-9]+) bays", README)
    assert told is not None
    assert [int(each) for each in told.groups()] == [
        reply["summary"]["posts"],
        reply["summary"]["bays"],
    ]
