"""Make everything under schema/ that can be made, and what the counter page has of it; or say what
of it is not as it would be made.

    python -m deploy.publish            writes
    python -m deploy.publish --check    writes nothing; fails where something differs

The JSON Schemas and openapi.json come from the wire room, the figures from the engine, the
replies of schema/examples/ from the requests beside them, rules.md from the shipped codes and
what is said by them, and the guide's tables and excerpts are filled in between its markers. The
counter page's words for rules are those of the service.
"""

from __future__ import annotations

import difflib
import json
import re
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

from deploy import tables
from deploy.figures.every import draw_figures
from deploy.rulebook import rulebook
from service.answer import answer
from service.core.problems import Refusal
from service.data.catalogue import Catalogue, load_catalogue
from service.drawings.sheets import MEDIAS, SHEETS
from service.refusals import refuse_document
from service.rules.judge import CHECKS
from service.rules.table import RULES
from service.web.settings import Settings
from service.wire.publishing.components import Root, schema_of_line, schemas
from service.wire.publishing.publish import published as schemas_published

ROOT: Final = Path(__file__).resolve().parent.parent / "schema"
EXAMPLES: Final = ROOT / "examples"
GUIDES: Final = (ROOT / "guide.md", ROOT / "reference.md")
RULE_WORDS: Final = ROOT.parent / "service" / "web" / "static" / "counter" / "rulewords.js"
WIDTH: Final = 96
"""The most columns of a list or an object that stays on one line."""

_MARKED = re.compile(r"(<!-- (?P<what>[a-z]+(?: [\w/.-]+)*) -->\n).*?(<!-- end -->)", re.DOTALL)


def lay_lines(value: Any, indent: str = "", before: int = 0) -> str:
    """JSON with short lists and objects on one line.

    >>> print(lay_lines({"a": [1, 2.5], "b": {"c": "x" * 84}}))
    {
      "a": [1, 2.5],
      "b": {
        "c": "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
      }
    }
    """
    short = json.dumps(value, ensure_ascii=False)
    if not isinstance(value, dict | list) or len(indent) + before + len(short) <= WIDTH:
        return short
    inner = indent + "  "
    if isinstance(value, list) and not any(isinstance(each, dict | list) for each in value):
        words = [json.dumps(each, ensure_ascii=False) for each in value]
        return f"[\n{inner}" + f"\n{inner}".join(_fill(words, WIDTH - len(inner))) + f"\n{indent}]"
    if isinstance(value, list):
        ends, held = "[]", [lay_lines(each, inner) for each in value]
    else:
        ends = "{}"
        names = {name: json.dumps(name, ensure_ascii=False) for name in value}
        held = [f"{names[n]}: {lay_lines(v, inner, len(names[n]) + 2)}" for n, v in value.items()]
    return f"{ends[0]}\n{inner}" + f",\n{inner}".join(held) + f"\n{indent}{ends[1]}"


def _fill(words: list[str], width: int) -> Iterator[str]:
    """Lines of words with commas between, as many words to a line as fit."""
    line = ""
    for i, word in enumerate(words):
        part = word + ("," if i < len(words) - 1 else "")
        if line and len(line) + 1 + len(part) > width:
            yield line
            line = part
        else:
            line = f"{line} {part}" if line else part
    yield line


@cache
def catalogue() -> Catalogue:
    """The shipped kits and codes."""
    return load_catalogue()


def reply_to(request: bytes) -> tuple[int, Any]:
    """The status and the decoded document that a request is answered with."""
    try:
        return 200, json.loads(answer(request, catalogue()).body)
    except Refusal as refusal:
        refused = refuse_document(refusal)
        return refused.status, json.loads(refused.body)


def requests() -> dict[str, bytes]:
    """Every example request, by the example's name."""
    found = sorted(EXAMPLES.glob("*.request.json"))
    return {path.name.removesuffix(".request.json"): path.read_bytes() for path in found}


@cache
def replies() -> dict[str, tuple[int, Any]]:
    """Status and reply of every example request, laid out now, by the example's name."""
    return {name: reply_to(request) for name, request in requests().items()}


def reply_name(name: str, status: int) -> str:
    """The file name of an example's reply, or of its problem document where it is refused."""
    return f"{name}.{'reply' if status == 200 else 'problem'}.json"


def published() -> Iterator[tuple[Path, str]]:
    """Every file that is made, with its text."""
    for name, (status, reply) in replies().items():
        yield EXAMPLES / reply_name(name, status), lay_lines(reply) + "\n"
    # The OpenAPI document shows the examples as they are in their folder, so they come first.
    for name, text in schemas_published(MEDIAS).items():
        yield ROOT / name, text
    for name, drawn in draw_figures().items():
        yield ROOT / "figures" / name, drawn
    yield ROOT / "rules.md", rulebook(catalogue())
    for guide in GUIDES:
        yield guide, fill_guide(guide.read_text(encoding="utf-8"))
    yield RULE_WORDS, word_rules(RULE_WORDS.read_text(encoding="utf-8"))


def word_rules(text: str) -> str:
    """The text of the counter page's module of rule words, with its table made anew."""
    rows = (f"  {name}: {json.dumps(RULES[name].subject)},\n" for name in CHECKS)
    before, rest = text.split("const ABOUT = {\n")
    return f"{before}const ABOUT = {{\n{''.join(rows)}}};{rest.partition('};')[2]}"


def fill_guide(text: str) -> str:
    """The text of the guide or the reference, with all that stands between markers made anew."""

    def fill(found: re.Match[str]) -> str:
        word, *rest = found["what"].split(" ")
        return f"{found[1]}{_FILLERS[word](*rest)}\n{found[3]}"

    return _MARKED.sub(fill, text)


def _members(kind: Root, name: str) -> str:
    return tables.members(schemas()[kind], name)


def _parts(kind: Root, name: str) -> str:
    return tables.parts(schemas()[kind], name)


def _line() -> str:
    return tables.parts(schema_of_line(), "BatchLine")


def _request(name: str) -> str:
    return f"```json\n{requests()[name].decode().rstrip()}\n```"


def _reply(name: str, *places: str) -> str:
    """The parts of an example's reply at some places, as JSON; the whole reply where none is given.

    places: paths with `/` between their steps.
    """
    whole = replies()[name][1]
    shown: dict[str, Any] = {}
    for place in places:
        _copy(whole, shown, place.split("/"))
    return f"```json\n{lay_lines(shown or whole)}\n```"


def _copy(whole: Any, shown: dict[str, Any], steps: list[str]) -> None:
    """Copy the part at a place from `whole` into `shown`. Of a list on the way, the entry of the
    step's number is copied alone, and whole."""
    name, *rest = steps
    value = whole[name]
    if rest and isinstance(value, list):
        value = [value[int(rest[0])]]
        rest = []
    if rest:
        _copy(value, shown.setdefault(name, {}), rest)
    else:
        shown[name] = shown.get(name, []) + value if isinstance(value, list) else value


_FILLERS: Final[dict[str, Callable[..., str]]] = {
    "members": _members,
    "parts": _parts,
    "line": _line,
    "request": _request,
    "reply": _reply,
    "rules": tables.rules,
    "roles": tables.roles,
    "figures": tables.figures,
    "statuses": tables.statuses,
    "codes": tables.codes,
    "limits": lambda: tables.limits(Settings()),
    "settings": tables.settings,
    "examples": lambda: tables.examples(
        requests(), {name: status for name, (status, _) in replies().items()}
    ),
    "sheets": lambda: tables.sheets(SHEETS.values()),
    "shipped": lambda: tables.shipped(catalogue()),
}
"""The functions that make what stands between markers, by the first word of the marker."""


def differences() -> Iterator[str]:
    """A few lines for each file that differs from what would be made, or that nothing makes."""
    made = dict(published())
    for path, text in made.items():
        held = path.read_text(encoding="utf-8") if path.exists() else ""
        if held != text:
            name = path.relative_to(ROOT.parent).as_posix()
            lines = difflib.unified_diff(held.splitlines(), text.splitlines(), lineterm="", n=0)
            yield f"{name}: " + "\n  ".join(list(lines)[2:8] or ["other line ends"])
    for path in sorted({*ROOT.glob("*.json"), *EXAMPLES.glob("*"), *(ROOT / "figures").glob("*")}):
        if path not in made and not path.name.endswith(".request.json"):
            yield f"{path.relative_to(ROOT.parent).as_posix()}: nothing makes this file"


def main(words: list[str]) -> int:
    """Write every file, or with --check print what differs; return the exit status."""
    if words == ["--check"]:
        found = list(differences())
        print("\n".join(found) or "schema/ is as it would be made")
        return 1 if found else 0
    if words:
        print(__doc__)
        return 2
    for path, text in published():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
