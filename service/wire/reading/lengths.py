"""Wire: reads the objects of a document that fits its schema (`Node`), and its lengths (`Lengths`).

They become floats in the unit of the deck document, whichever unit they were sent in.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final, TypeAlias, TypeVar

from service.core import limits
from service.core.measure import (
    MM_PER_IN,
    N_PER_LBF,
    PER_UNIT,
    TOUCH,
    Area,
    Length,
    Unit,
    parse_length,
)
from service.core.problems import Problem, Unbuildable
from service.core.records.figures import FigureKind
from service.wire.echo import echo

T = TypeVar("T")
Json: TypeAlias = dict[str, Any]
"""An object of a document, decoded."""
SI: Final[dict[FigureKind, float]] = {
    "force": N_PER_LBF,
    "line_load": N_PER_LBF / (12 * MM_PER_IN),
    "pressure": N_PER_LBF / (12 * MM_PER_IN) ** 2 * 1000,
}
"""Factors to SI units: N in one lbf, kN/m in one lbf/ft, kPa in one lbf/sq ft."""
STAND_IN: Final = 1.0
"""The value of a required length that is faulty, so that reading can go on until the document is
refused."""


class Lengths:
    """Reads the values of one document as floats in the unit `to`.

    A number is in the document's `own` unit, text in the unit that it names. stand_in: the value of
    a required length that is faulty. problems: the faults of values found so far. unknown: pointers
    to what cannot be judged as a length there is faulty: the object that holds a length where
    `stand_in` takes its place, or the member alone where it counts as left out.
    """

    def __init__(self, own: Unit, to: Unit, stand_in: Length = STAND_IN) -> None:
        self.own: Unit = own
        self.to: Unit = to
        self.stand_in = stand_in
        self.problems: list[Problem] = []
        self.unknown: list[str] = []
        self._times = PER_UNIT[to] if own != to else 1.0
        self._over = PER_UNIT[own] if own != to else 1.0

    def back(self, length: Length) -> float:
        """A length converted back into the document's own unit."""
        return length * self._over / self._times

    def from_name(self, name: str) -> Length | None:
        """The length that a member's name stands for; None where the name is no length.

        The name is a number in the document's own unit, or text with a unit.
        """
        if re.fullmatch(r"[0-9]{1,7}(?:\.[0-9]{1,9})?", name):
            return self.plain(float(name))
        try:
            return parse_length(name, self.to)
        except ValueError:
            return None

    def area(self, value: float) -> Area:
        """An area of the document, in the square of the unit `to`."""
        return value * self._times**2 / self._over**2

    def positive(self, value: float | str, pointer: str) -> Length | None:
        """A length above 0; None where it is faulty, and its problem is added.

        A length within TOUCH of 0 counts as 0, whether it was sent as a number or as text.
        """
        length = self.length(value, pointer)
        if length is None or length > TOUCH:
            return length
        least = f"a length above {TOUCH:.6f} {self.to}"
        self.problems.append(_problem(pointer, "length_of_nought", value, least))
        return None

    def length(self, value: float | str, pointer: str) -> Length | None:
        """A length; None where it is text beyond the published limit, and its problem is added."""
        if isinstance(value, str):
            return self._of_text(value, pointer)
        return self.plain(value)

    def plain(self, value: float) -> Length:
        """A number of the document, as a length in the unit `to`."""
        # Adding 0.0 turns an int into a float, and -0.0 into 0.0.
        return value * self._times / self._over + 0.0

    def _of_text(self, text: str, pointer: str) -> Length | None:
        length = parse_length(text, self.to)
        if length > limits.NUMBER:
            most = f"a length of at most {limits.NUMBER} {self.to}"
            self.problems.append(_problem(pointer, "length_too_great", text, most))
            return None
        return length

    def load(self, value: float, kind: FigureKind) -> float:
        """A load of the document in the units that go with `to`: lbf, lbf/ft and psf for "in"; N,
        kN/m and kPa for "mm"."""
        if self.own == self.to:
            return float(value)
        return value * SI[kind] if self.to == "mm" else value / SI[kind]

    def power(self, value: float, power: int) -> float:
        """A section modulus (power 3) or a second moment (power 4), in that power of `to`."""
        return float(value * self._times**power / self._over**power)

    def settle(self) -> None:
        """Refuse (Unbuildable) with all problems found so far, where there are any."""
        if self.problems:
            raise Unbuildable(self.problems)


class Node:
    """An object of a document: its members as sent, where it stands, and what reads its lengths."""

    def __init__(
        self, sent: Json, pointer: str, lengths: Lengths, shapes: str | None = None
    ) -> None:
        self.sent = sent
        self.pointer = pointer
        self.lengths = lengths
        self._shapes = shapes

    def shaping(self, pointer: str) -> Node:
        """This object, whose lengths shape all at `pointer`: nothing there can be judged where one
        of them is faulty."""
        return Node(self.sent, self.pointer, self.lengths, pointer)

    def positive(self, name: str) -> Length:
        """The member `name`, a length above 0; the stand-in where it is faulty."""
        length = self.lengths.positive(self.sent[name], f"{self.pointer}/{name}")
        return self._stand_in(self.pointer) if length is None else length

    def length(self, name: str) -> Length:
        """The member `name`, a length of 0 or what else its field allows; else the stand-in."""
        length = self.lengths.length(self.sent[name], f"{self.pointer}/{name}")
        return self._stand_in(self.pointer) if length is None else length

    def positive_or_none(self, name: str) -> Length | None:
        """The member `name`, a length above 0; None where it is left out or faulty."""
        return self._or_none(self.lengths.positive, name)

    def length_or_none(self, name: str) -> Length | None:
        """The member `name`, a length that may be 0; None where it is left out or faulty."""
        return self._or_none(self.lengths.length, name)

    def all_positive(self, name: str) -> tuple[Length, ...]:
        """The member `name`, a list of lengths above 0; the stand-in for each that is faulty."""
        here, read = f"{self.pointer}/{name}", self.lengths.positive
        lengths = [read(value, f"{here}/{i}") for i, value in enumerate(self.sent[name])]
        return tuple([self._stand_in(here) if one is None else one for one in lengths])

    def at(self, name: str) -> Node:
        """The member `name`, an object."""
        return Node(self.sent[name], f"{self.pointer}/{name}", self.lengths, self._shapes)

    def each(self, read: Callable[[Node], T], name: str) -> tuple[T, ...]:
        """The member `name`, a list of objects that `read` reads; empty where it is left out."""
        here, lengths, shapes = f"{self.pointer}/{name}", self.lengths, self._shapes
        objects = enumerate(self.sent.get(name, ()))
        return tuple([read(Node(sent, f"{here}/{i}", lengths, shapes)) for i, sent in objects])

    def one(self, read: Callable[[Node], T], name: str) -> T | None:
        """The member `name`, an object that `read` reads; None where it is left out."""
        return read(self.at(name)) if name in self.sent else None

    def _stand_in(self, pointer: str) -> Length:
        """Value for a faulty length. pointer: of what holds it, which is now unknown."""
        self.lengths.unknown.append(self._shapes or pointer)
        return self.lengths.stand_in

    def _or_none(
        self, read: Callable[[float | str, str], Length | None], name: str
    ) -> Length | None:
        if name not in self.sent:
            return None
        here = f"{self.pointer}/{name}"
        length = read(self.sent[name], here)
        if length is None:
            self.lengths.unknown.append(self._shapes or here)
        return length


def _problem(pointer: str, code: str, value: float | str, accepts: str) -> Problem:
    return Problem(pointer, code, f"{echo(value)} is not accepted: send {accepts}.")
