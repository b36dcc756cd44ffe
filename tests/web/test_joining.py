"""Modules joined into one: the whole does what the modules would do by themselves."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from service.web.joining import join

MODULES = {
    "entry": """// What is run.

import { Pen, later as told, same } from "./first.js";
import {
  count,
  names,
} from "./second.js";

const same_here = same; // Of its own, and not another module's.
console.log([count(), later.name, names.join("+"), new Pen().words, same_here].join(" "));
async function later() {
  return told();
}
later().then(console.log);
""",
    "first": """// The first.
import { count } from "./second.js";
export class Pen {
  words = `${count()} // no comment`;
}
export async function later() {
  // A line of comment.
  return "told";
}
export const same = "first";
""",
    "second": """let counted = 0;
const same = "second";
export const names = [same];
export function count() {
  counted += 1;
  return counted;
}
""",
}


@pytest.mark.skipif(shutil.which("node") is None, reason="no node to run modules with")
def test_it_does_what_the_modules_do(tmp_path: Path) -> None:
    """The joined module prints the same lines as the modules themselves.

    Worked by hand: count() is 1 in the entry's list, then 2 in the Pen that is made after it. Every
    module's own `same` stays its own, and what is shared is shared.
    """
    for name, text in MODULES.items():
        (tmp_path / f"{name}.js").write_text(text)
    (tmp_path / "joined.js").write_text(join(MODULES, "entry"))
    (tmp_path / "package.json").write_text('{"type": "module"}')
    for name in ("entry", "joined"):
        ended = subprocess.run(
            ["node", tmp_path / f"{name}.js"],
            capture_output=True,
            text=True,
            timeout=60,
            check=True,
        )
        assert ended.stdout == "1 later second 2 // no comment first\ntold\n", name


def test_each_comes_once_after_what_it_imports_and_without_its_comments() -> None:
    """Each module comes once, though the second is imported by both others."""
    joined = join(MODULES, "entry")
    places = [joined.index(f"const module_{name} = ") for name in ("second", "first", "entry")]
    assert places == sorted(places)
    assert joined.count("const module_") == 3
    assert "// A line of comment." not in joined
    assert "// The first." not in joined
    assert join(MODULES, "second").count("const module_") == 1


@pytest.mark.parametrize(
    ("modules", "told"),
    [
        (
            {"a": 'import { b } from "./b.js";\n', "b": 'import { a } from "./a.js";\n'},
            "modules that import each other: a, b, a",
        ),
        ({"a": 'import { b } from "./b.js";\n'}, "there is no module b"),
        ({"a": 'import "./b.js";\n', "b": ""}, "joined to nothing: import "),
        ({"a": "export default 7;\n"}, "joined to nothing: export default"),
        ({"a": "export let b = 7;\n"}, "joined to nothing: export let"),
        ({"a": 'export { b } from "./b.js";\n'}, "joined to nothing: export {"),
    ],
)
def test_what_is_written_in_another_way_is_refused(modules: dict[str, str], told: str) -> None:
    """What cannot be joined is refused at the start, not where the page is run."""
    with pytest.raises(ValueError, match=told):
        join(modules, "a")
