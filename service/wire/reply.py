"""Wire: what the forms of replies are made of. They are open: members may be added."""

from __future__ import annotations

from typing import Any, Final

from marshmallow import EXCLUDE

from service.wire.nested import Items, Record
from service.wire.strict import Number, Strict, Text

MANY: Final = 1_000_000
SENTENCES: Final = 100_000


class Reply(Record):
    """An object of a reply."""

    class Meta:
        """Members may be added."""

        unknown = EXCLUDE


class Measure(Number):
    """A number of a reply, of any sign and size."""

    def __init__(self, title: str, about: str = "", **more: Any) -> None:
        super().__init__(title, about, most=None, **more)


class PostId(Strict):
    """The id of a post, or null at a wall."""

    accepts = "the id of a post, or null"

    def __init__(self, title: str, about: str = "", **more: Any) -> None:
        super().__init__(title, about, allow_none=True, **more)

    def published(self, converter: Any) -> dict[str, Any]:
        """A string or null."""
        return {"type": ["string", "null"]}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, str):
            raise self.fault("wrong_type")
        return value


class Bound(Strict):
    """What a finding compares: a number, or words."""

    accepts = "a number or words"

    def published(self, converter: Any) -> dict[str, Any]:
        """A number or a string."""
        return {"type": ["number", "string"]}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise self.fault("wrong_type")
        return value


def text(title: str, about: str = "", **more: Any) -> Text:
    """Text of a reply."""
    return Text(title, about, least=0, most=SENTENCES, **more)


def tape(what: str, **more: Any) -> Text:
    """The tape reading beside a number."""
    return text(f"{what}, text", "The tape reading.", metadata={"examples": ["4' 7 1/2\""]}, **more)


def tapes(what: str, **more: Any) -> Items:
    """The tape readings beside a list of numbers."""
    return Items(
        text("Tape reading"), f"{what}, text", "The tape readings, one each.", most=MANY, **more
    )


def measures(title: str, about: str, **more: Any) -> Items:
    """A list of places or lengths."""
    return Items(Measure("Place"), title, about, most=MANY, **more)


def ids(title: str, about: str, **more: Any) -> Items:
    """A list of ids or places."""
    return Items(text("Id"), title, about, most=MANY, **more)


def place(title: str, about: str) -> Items:
    """A place in plan, or in a panel, wherever it lies."""
    return Items(Measure("Coordinate"), title, about, least=2, most=2)


def points(title: str, about: str) -> Items:
    """A list of corners."""
    return Items(place("Corner", "[x, y] in the document's unit."), title, about, most=MANY)
