"""Web: joins modules of JavaScript into one, so that a page gets them with a single request.

Each module becomes a function after all that it imports, which returns its exports; comment lines
are left out. The modules have to be written as the counter page's are: imports and exports by name
at the beginning of a line, no circular imports, no string over more than one line, and no exported
variable that is assigned again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

_IMPORT: Final = re.compile(r'^import \{([^}]*)\} from "\./([a-z]+)\.js";\n', re.MULTILINE)
_EXPORT: Final = re.compile(
    r"^export (?=(?:async function|function|const|class) (\w+))", re.MULTILINE
)
_COMMENT: Final = re.compile(r"^ *//.*\n", re.MULTILINE)
_OTHER: Final = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)


def join(modules: Mapping[str, str], entry: str) -> str:
    """The text of one module that does what the module `entry` does.

    modules: the text of each module by its name, without `.js`. Raises ValueError where a module is
    missing, imports itself by way of others, or has an import or export of another form.

    >>> wanted = 'import { b } from "./b.js";\\nb();\\n'
    >>> print(join({"a": wanted, "b": "export const b = () => 1;\\n"}, "a"))
    const module_b = (() => {
    const b = () => 1;
    return { b };
    })();
    const module_a = (() => {
    const { b } = module_b;
    b();
    return {  };
    })();
    <BLANKLINE>
    """
    return "".join(_wrapped(name, modules[name]) for name in _in_order(modules, entry))


def _in_order(modules: Mapping[str, str], entry: str) -> list[str]:
    """Names of the modules that `entry` needs, each after those that it imports."""
    order: list[str] = []
    under_way: list[str] = []

    def reach(name: str) -> None:
        if name in order:
            return
        if name in under_way:
            raise ValueError(f"modules that import each other: {', '.join([*under_way, name])}")
        if name not in modules:
            raise ValueError(f"there is no module {name}, wanted by way of {under_way}")
        under_way.append(name)
        for other in _imported(modules[name]):
            reach(other)
        order.append(under_way.pop())

    reach(entry)
    return order


def _imported(text: str) -> Iterator[str]:
    return (found[2] for found in _IMPORT.finditer(text))


def _wrapped(name: str, text: str) -> str:
    exported = ", ".join(_EXPORT.findall(text))
    body = _COMMENT.sub("", _EXPORT.sub("", _IMPORT.sub(_taken, text)))
    odd = _OTHER.search(body)
    if odd:
        raise ValueError(f"module {name} has a line that is joined to nothing: {odd[0]}")
    return f"const module_{name} = (() => {{\n{body}return {{ {exported} }};\n}})();\n"


def _taken(found: re.Match[str]) -> str:
    names = found[1].replace(" as ", ": ").strip().rstrip(",")
    return f"const {{ {names} }} = module_{found[2]};\n"
