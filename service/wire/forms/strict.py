"""Wire: the fields of which every document is made. Each reads strictly and publishes itself.

A field knows its JSON Schema (2020-12) and refuses exactly what that refuses: nothing is
coerced. A fault says what is accepted; the words about what was sent are put in gate.py.
"""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final

from marshmallow import ValidationError, fields

from service.core import limits

ID: Final = r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,39}$"
CONTROL: Final = r"[\u0000-\u001f\u007f]"
# By ECMA-262 `$` is the very end; in some languages it also stands before a last newline, so
# each pattern that ends in it comes with this one denied.
NEWLINE: Final = {"pattern": r"\n"}
NAMED: Final = 24
"""Words of a list that a message names."""

QUOTED: Final = (re.compile(r"\A\s*-?[0-9]+(\.[0-9]*)?\s*\Z"), "a number takes no quotes")
"""What reads as a number but is text, and what is said of it."""

_ID = re.compile(ID[1:-1])
_CONTROL = re.compile(CONTROL)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one value. code: a stable slug; accepts: what would have been taken.

    names: of a name that does not fit, those that would; they are told after `accepts`. why: what
    of the value does not fit, where it can be told.
    """

    code: str
    accepts: str
    names: tuple[str, ...] = ()
    why: str = ""


class Strict(fields.Field[Any], ABC):
    """A field that coerces nothing. `null` is never taken unless it says so.

    title, about, example: for readers of the published schema; about names the unit.
    """

    accepts = "another value"

    def __init__(
        self,
        title: str,
        about: str = "",
        *,
        required: bool = True,
        name: str | None = None,
        example: Any = None,
        metadata: Mapping[str, Any] | None = None,
        **more: Any,
    ) -> None:
        told: dict[str, Any] = {"title": title}
        if about:
            told["description"] = about
        if example is not None:
            told["examples"] = [example]
        super().__init__(
            required=required, data_key=name, metadata={**told, **(metadata or {})}, **more
        )

    @abstractmethod
    def published(self, converter: Any) -> dict[str, Any]:
        """The field's own JSON Schema, without title and description."""

    def fault(self, code: str, why: str = "") -> ValidationError:
        """A refusal of the value at hand."""
        return ValidationError([Fault(code, self.accepts, why=why)])

    def make_error(self, key: str, **_: Any) -> ValidationError:
        """What marshmallow itself finds: a member missing, or null."""
        if key == "required":
            return self.fault("missing_member")
        return self.fault("wrong_type", "" if self.required else "leave the member out instead")


def is_number(value: Any) -> bool:
    """Whether JSON calls it a number; `true` is none.

    >>> is_number(1), is_number(1.5), is_number(True), is_number("1")
    (True, True, False, False)
    """
    return isinstance(value, int | float) and not isinstance(value, bool)


def quoted(value: Any) -> str:
    """What keeps text from being a number, where it reads as one."""
    slip, why = QUOTED
    return why if isinstance(value, str) and slip.match(value) else ""


class Number(Strict):
    """A JSON number within bounds, both ends in; `above` is the bound that is out."""

    def __init__(
        self,
        title: str,
        about: str = "",
        *,
        least: float | None = None,
        above: float | None = None,
        most: float | None = limits.NUMBER,
        **more: Any,
    ) -> None:
        super().__init__(title, about, **more)
        self.bounds = {"minimum": least, "exclusiveMinimum": above, "maximum": most}
        words = [("from", least), ("above", above), ("to", most)]
        said = " ".join(f"{word} {bound:.15g}" for word, bound in words if bound is not None)
        self.accepts = f"a number {said}".strip()

    def published(self, converter: Any) -> dict[str, Any]:
        """A number and its bounds."""
        return {"type": "number", **{k: v for k, v in self.bounds.items() if v is not None}}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value):
            raise self.fault("wrong_type", quoted(value))
        if not self._within(value):
            raise self.fault("out_of_range")
        return value

    def _within(self, value: float) -> bool:
        least, above, most = self.bounds.values()
        return (
            (least is None or value >= least)
            and (above is None or value > above)
            and (most is None or value <= most)
        )


class Count(Number):
    """A whole number; 2.0 is one, as JSON Schema has it."""

    def __init__(self, title: str, about: str = "", *, least: int = 0, **more: Any) -> None:
        super().__init__(title, about, least=least, **{"example": max(least, 2), **more})
        self.accepts = self.accepts.replace("a number", "a whole number")

    def published(self, converter: Any) -> dict[str, Any]:
        """An integer and its bounds."""
        return {**super().published(converter), "type": "integer"}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value) or value % 1 != 0:
            raise self.fault("wrong_type", quoted(value))
        return super()._deserialize(value)


class Flag(Strict):
    """true or false."""

    accepts = "true or false"

    def published(self, converter: Any) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean"}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, bool):
            raise self.fault("wrong_type")
        return value


class Text(Strict):
    """Text of one line: no control characters, which could not be printed."""

    barred: ClassVar[dict[str, Any]] = {"not": {"pattern": CONTROL}}

    def __init__(
        self, title: str, about: str = "", *, least: int = 1, most: int = limits.TEXT, **more: Any
    ) -> None:
        super().__init__(title, about, **more)
        self.least, self.most = least, most
        span = f"{least} to {most}" if least else f"at most {most}"
        self.accepts = f"text of {span} characters with no control characters"

    def published(self, converter: Any) -> dict[str, Any]:
        """A string, its lengths, and the characters that it may not hold."""
        least = {"minLength": self.least} if self.least else {}
        return {"type": "string", **least, "maxLength": self.most, **self.barred}

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
    """An id: safe in a path, a file name and a pointer."""

    accepts = "an id: 1 to 40 of A-Z a-z 0-9 _ . -, the first a letter or a digit"

    def published(self, converter: Any) -> dict[str, Any]:
        """A string with the pattern of ids."""
        return id_form()

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if not is_id(value):
            raise self.fault("bad_id")
        return value


def id_form() -> dict[str, Any]:
    """What is published of an id."""
    return {"type": "string", "pattern": ID, "not": NEWLINE}


def is_id(value: str) -> bool:
    """Whether the whole of it is an id.

    >>> is_id("main"), is_id("main\\n"), is_id(""), is_id("-a")
    (True, False, False, False)
    """
    return _ID.fullmatch(value) is not None


class Choice(Strict):
    """One of a few words."""

    def __init__(self, title: str, about: str, *words: str, **more: Any) -> None:
        super().__init__(title, about, **more)
        self.words = words
        named = ", ".join(words[:NAMED])
        rest = f" and {len(words) - NAMED} more of the schema's list"
        whole = named + (rest if len(words) > NAMED else "")
        self.accepts = f"one of {whole}" if len(words) > 1 else words[0]

    def published(self, converter: Any) -> dict[str, Any]:
        """A string and its list."""
        return {"type": "string", "enum": list(self.words)}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if value not in self.words:
            raise self.fault("not_one_of")
        return value


class NumberChoice(Strict):
    """One of a few numbers."""

    def __init__(self, title: str, about: str, *numbers: float, **more: Any) -> None:
        super().__init__(title, about, **more)
        self.numbers = numbers
        self.accepts = "one of " + ", ".join(f"{number:g}" for number in numbers)

    def published(self, converter: Any) -> dict[str, Any]:
        """A number within the list's bounds, and in it.

        The list is denied twice: what makes clients from a schema reads lists of text alone, and
        leaves out a document whose numbers are listed plainly.
        """
        listed = list(self.numbers)
        bounds = {"minimum": min(listed), "maximum": max(listed)}
        return {"type": "number", **bounds, "not": {"not": {"enum": listed}}}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not is_number(value):
            raise self.fault("wrong_type")
        if value not in self.numbers:
            raise self.fault("not_one_of")
        return value


class Matched(Strict):
    """Text that one pattern takes whole. says: what it takes, in words."""

    def __init__(self, pattern: str, says: str, title: str, about: str, **more: Any) -> None:
        super().__init__(title, about, **more)
        self.pattern, self.accepts = pattern, says
        self._whole = re.compile(pattern[1:-1])

    def published(self, converter: Any) -> dict[str, Any]:
        """A string and its pattern."""
        return {"type": "string", "pattern": self.pattern, "not": NEWLINE}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        if self._whole.fullmatch(value) is None:
            raise self.fault("not_as_written")
        return value
