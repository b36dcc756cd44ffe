"""Wire: the fields that forms of replies are made of. Such forms are open: members may be added."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, Literal, TypeAlias

from marshmallow import EXCLUDE

from service.wire.forms.nested import Inner, Items, Record
from service.wire.forms.points import PointBuilt
from service.wire.forms.strict import Count, Number, Strict, Text, is_number

MANY: Final = 1_000_000
SENTENCES: Final = 100_000


class Reply(Record):
    """The form of an object of a reply."""

    class Meta:
        """Members may be added."""

        unknown = EXCLUDE


Quantity: TypeAlias = Literal["length", "angle", "area", "mass", "plain", "own"]

QUANTITIES: Final[dict[Quantity, tuple[str, float]]] = {
    "length": ("In the document's unit.", 55.5),
    "angle": ("In degrees.", 22.5),
    "area": ("In sq ft, in millimetre documents in m2.", 17.625),
    "mass": ("In lb, in millimetre documents in kg.", 55.25),
    "plain": ("Without a unit.", 0.75),
    "own": ("", 12),
}
"""The unit of each quantity in words (contract, section 1), and an example. The unit of an "own"
quantity stands in its description."""


class Measure(Number):
    """A number of a reply, of any sign and size. of: the kind of quantity, which gives the unit."""

    def __init__(self, about: str = "", of: Quantity = "length", **more: Any) -> None:
        words, example = QUANTITIES[of]
        about = f"{about} {words}".strip()
        super().__init__(about, most=None, **{"example": example, **more})


class Tally(Count):
    """A whole number of a reply, of any size."""

    def __init__(self, about: str = "", **more: Any) -> None:
        super().__init__(about, most=None, **more)


_OF_TYPE: Final[dict[str, Callable[[Any], bool]]] = {
    "string": lambda value: isinstance(value, str),
    "number": is_number,
    "integer": lambda value: is_number(value) and value % 1 == 0,
    "null": lambda value: value is None,
}
"""Whether a value is of a JSON type."""


class Mixed(Strict):
    """A value of one of several JSON types; any value but null where no type is named."""

    def __init__(self, about: str, *types: str, **more: Any) -> None:
        super().__init__(about, allow_none="null" in types, **more)
        self.types = types
        self.accepts = " or ".join(types) or "any value"
        self.json_schema = {"type": list(types)} if types else {}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if self.types and not any(_OF_TYPE[each](value) for each in self.types):
            raise self.fault("wrong_type")
        return value


def post_id(about: str = "", **more: Any) -> Mixed:
    """The field of the id of a post; null at a wall."""
    return Mixed(about, "string", "null", example="P1", **more)


def bound(about: str = "", **more: Any) -> Mixed:
    """The field of a limit or a reading that a finding compares: a number, or words."""
    return Mixed(about, "number", "string", example=36, **more)


def text(about: str = "", **more: Any) -> Text:
    """The field of text in a reply."""
    return Text(about, least=0, most=SENTENCES, **more)


def named(about: str = "", **more: Any) -> tuple[Measure, Text]:
    """The fields of a length that a person works to and of its tape reading, `<name>_text`."""
    reading = text("The tape reading.", example="4' 7 1/2\"", **more)
    return Measure(about, **more), reading


def listed(about: str, **more: Any) -> tuple[Items, Items]:
    """The fields of a list of such lengths and of their tape readings, `<name>_text`."""
    told = "The tape readings, one each."
    readings = Items(text(title="Tape reading"), told, most=MANY, **more)
    return measures(about, **more), readings


def measures(about: str, **more: Any) -> Items:
    """The field of a list of places along something, or of lengths."""
    about = f"{about} {QUANTITIES['length'][0]}"
    return Items(Measure(title="Place"), about, most=MANY, **more)


def ids(about: str, **more: Any) -> Items:
    """The field of a list of ids, or of places by name."""
    return Items(text(title="Id"), about, most=MANY, **more)


def end_cuts() -> Items:
    """The field of the angles at which a piece's two ends are cut."""
    about = "Degrees between each end and the length."
    return Items(Measure("", "angle", title="Angle"), about, least=2, most=2)


def objects(form: type[Record], one: str, about: str, **more: Any) -> Items:
    """The field of a list of objects. one: the title of each of them."""
    return Items(Inner(form, title=one), about, most=MANY, **more)


def points(about: str) -> Items:
    """The field of a list of corners."""
    return Items(PointBuilt(title="Corner"), about, most=MANY)
