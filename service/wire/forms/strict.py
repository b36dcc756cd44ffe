"""Wire: the fields of which every document is made. Each reads strictly and publishes itself.

A field knows its own JSON Schema (2020-12) and refuses exactly what that schema refuses; it coerces
nothing. A fault says only what would be accepted; gate.py adds what was sent.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Final

from marshmallow import ValidationError, fields

from service.core import limits

ID: Final = r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,39}$"
CONTROL: Final = r"[\u0000-\u001f\u007f]"
# In ECMA-262 `$` matches at the very end only, but in some languages before a final newline too.
# So each pattern that ends in `$` is published with this pattern denied.
NEWLINE: Final = {"pattern": r"\n"}
REFERENCE: Final = "#/components/schemas/"
"""The beginning of a reference to a component of the OpenAPI document."""
NAMED: Final = 24
"""The most words of a list that a message names."""

QUOTED: Final = (re.compile(r"\A\s*-?[0-9]+(\.[0-9]*)?\s*\Z"), "a number takes no quotes")
"""A pattern of text that reads as a number, and the reason given for its refusal."""

_ID = re.compile(ID[1:-1])
_CONTROL = re.compile(CONTROL)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one value.

    code: a stable slug. accepts: words for what would be accepted. names: where a member's name
    does not fit, the names that would. why: what is wrong with the value, where that is known.
    """

    code: str
    accepts: str
    names: tuple[str, ...] = ()
    why: str = ""


class Strict(fields.Field[Any]):
    """A field that coerces nothing, and refuses `null` unless its subclass allows it.

    about, title, default, example, examples: published in the schema; `about` names the unit, and
    the title is the member's name in words where none is given. A member with a default may be left
    out. name: the member's name where it is not the attribute's. accepts: words for what it takes.
    json_schema: the JSON Schema of a field that needs no other component for it.
    """

    accepts = "another value"
    json_schema: Mapping[str, Any] = {}

    def __init__(
        self,
        about: str = "",
        *,
        title: str = "",
        required: bool = True,
        name: str | None = None,
        default: Any = None,
        example: Any = None,
        examples: Sequence[Any] = (),
        **more: Any,
    ) -> None:
        told: dict[str, Any] = {}
        if title:
            told["title"] = title
        if about:
            told["description"] = about
        if example is not None:
            told["examples"] = [example]
        if default is not None:
            told["default"] = default
        if examples:
            told["examples"] = examples
        required = required and default is None
        super().__init__(required=required, data_key=name, metadata=told, **more)

    def published(self, converter: Any) -> dict[str, Any]:
        """The JSON Schema of the field, without title and description. converter: apispec's."""
        return dict(self.json_schema)

    def fault(self, code: str, why: str = "") -> ValidationError:
        """The error that refuses the value being read. why: as in `Fault`."""
        return ValidationError([Fault(code, self.accepts, why=why)])

    def make_error(self, key: str, **_: Any) -> ValidationError:
        """The error for what marshmallow itself finds: a missing member, or null."""
        if key == "required":
            return self.fault("missing_member")
        return self.fault("wrong_type", "" if self.required else "leave the member out instead")


def reference(component: str) -> dict[str, Any]:
    """A reference to a component of the OpenAPI document."""
    return {"$ref": f"{REFERENCE}{component}"}


def is_number(value: Any) -> bool:
    """Whether a value is a number in JSON, which `true` is not.

    >>> is_number(1), is_number(1.5), is_number(True), is_number("1")
    (True, True, False, False)
    """
    return isinstance(value, int | float) and not isinstance(value, bool)


def quoted(value: Any) -> str:
    """The reason to give where a value is text that reads as a number; else empty."""
    slip, why = QUOTED
    return why if isinstance(value, str) and slip.match(value) else ""


class Number(Strict):
    """A JSON number within bounds. `least` and `most` are allowed themselves, `above` is not.

    unit: what the number is in, as a refusal says it, such as `in degrees`.
    """

    def __init__(
        self,
        about: str = "",
        *,
        unit: str = "",
        least: float | None = None,
        above: float | None = None,
        most: float | None = limits.NUMBER,
        **more: Any,
    ) -> None:
        super().__init__(about, **more)
        self.bounds = {"minimum": least, "exclusiveMinimum": above, "maximum": most}
        words = [("from", least), ("above", above), ("to", most)]
        said = " ".join(f"{word} {bound:.15g}" for word, bound in words if bound is not None)
        self.accepts = f"a number {said}".strip() + (f", {unit}" if unit else "")
        held = {name: bound for name, bound in self.bounds.items() if bound is not None}
        self.json_schema = {"type": "number", **held}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value):
            raise self.fault("wrong_type", quoted(value))
        if not self.allows(value):
            raise self.fault("out_of_range")
        return value

    def allows(self, value: float) -> bool:
        """Whether a number is within the bounds."""
        least, above, most = self.bounds.values()
        return (
            (least is None or value >= least)
            and (above is None or value > above)
            and (most is None or value <= most)
        )


class Count(Number):
    """A whole number. 2.0 counts as one, as in JSON Schema."""

    def __init__(self, about: str = "", *, least: int = 0, **more: Any) -> None:
        super().__init__(about, least=least, **{"example": max(least, 2), **more})
        self.accepts = self.accepts.replace("a number", "a whole number")
        self.json_schema = {**self.json_schema, "type": "integer"}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value) or value % 1 != 0:
            raise self.fault("wrong_type", quoted(value))
        return super()._deserialize(value)


class Flag(Strict):
    """true or false."""

    accepts = "true or false"
    json_schema = {"type": "boolean"}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, bool):
            raise self.fault("wrong_type")
        return value


class Text(Strict):
    """Text without control characters, which sheets could not print."""

    barred: ClassVar[dict[str, Any]] = {"not": {"pattern": CONTROL}}

    def __init__(
        self, about: str = "", *, least: int = 1, most: int = limits.TEXT, **more: Any
    ) -> None:
        super().__init__(about, **more)
        self.least, self.most = least, most
        span = f"{least} to {most}" if least else f"at most {most}"
        self.accepts = f"text of {span} characters with no control characters"
        shortest = {"minLength": least} if least else {}
        self.json_schema = {"type": "string", **shortest, "maxLength": most, **self.barred}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if not self.least <= len(value) <= self.most:
            raise self.fault("bad_text", f"it has {len(value)} characters")
        barred = _CONTROL.search(value) if self.barred else None
        if barred is not None:
            raise self.fault("bad_text", f"it has U+{ord(barred[0]):04X}")
        return value


class Name(Strict):
    """An id, which is safe in a path, a file name and a pointer."""

    accepts = "an id: 1 to 40 of A-Z a-z 0-9 _ . -, the first a letter or a digit"
    json_schema = {"type": "string", "pattern": ID, "not": NEWLINE}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if not is_id(value):
            raise self.fault("bad_id")
        return value


def is_id(value: str) -> bool:
    """Whether the whole text is an id.

    >>> is_id("main"), is_id("main\\n"), is_id(""), is_id("-a")
    (True, False, False, False)
    """
    return _ID.fullmatch(value) is not None


class Choice(Strict):
    """One of a few words."""

    def __init__(self, about: str, *words: str, **more: Any) -> None:
        super().__init__(about, **more)
        self.words = words
        named = ", ".join(words[:NAMED])
        rest = f" and {len(words) - NAMED} more of the schema's list"
        whole = named + (rest if len(words) > NAMED else "")
        self.accepts = f"one of {whole}" if len(words) > 1 else words[0]
        self.json_schema = {"type": "string", "enum": list(words)}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if value not in self.words:
            raise self.fault("not_one_of")
        return value


class NumberChoice(Strict):
    """One of a few numbers."""

    def __init__(self, about: str, *numbers: float, **more: Any) -> None:
        super().__init__(about, **more)
        self.numbers = numbers
        self.accepts = "one of " + ", ".join(f"{number:g}" for number in numbers)
        bounds = {"minimum": min(numbers), "maximum": max(numbers)}
        # The list stands under a double `not`: client generators read lists of text only, and leave
        # out a document with a plain list of numbers.
        self.json_schema = {"type": "number", **bounds, "not": {"not": {"enum": list(numbers)}}}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value):
            raise self.fault("wrong_type")
        if value not in self.numbers:
            raise self.fault("not_one_of")
        return value


class Matched(Strict):
    """Text that matches a pattern as a whole. says: words for what the pattern accepts."""

    def __init__(self, pattern: str, says: str, about: str, **more: Any) -> None:
        super().__init__(about, **more)
        self.accepts = says
        self.json_schema = {"type": "string", "pattern": pattern, "not": NEWLINE}
        self._whole = re.compile(pattern[1:-1])

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if self._whole.fullmatch(value) is None:
            raise self.fault("not_as_written")
        return value
