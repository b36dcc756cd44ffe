"""Wire: the numbers and lengths of a document that fits its schema, read as floats in the unit of
the deck document, whichever unit they were sent in."""

from __future__ import annotations

import copy
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
"""N in a lbf, kN/m in a lbf/ft, kPa in a lbf/sq ft."""
STAND_IN: Final = 1.0
"""What a length that cannot be, and must be there, is read as until the document is refused."""


class Lengths:
    """Reads the members of one document as floats in the unit `to`: a number is in the document's
    `own` unit, text in the unit that it names.

    problems: what is wrong with values. unknown: pointers at which nothing can be said, as a length
    there is wrong: to the object that holds it, where something stands in for it, or to the member
    alone where it counts as left out.
    """

    def __init__(self, own: Unit, to: Unit) -> None:
        self.own: Unit = own
        self.to: Unit = to
        self.problems: list[Problem] = []
        self.unknown: list[str] = []
        self._whole: str | None = None
        self._times = PER_UNIT[to] if own != to else 1.0
        self._over = PER_UNIT[own] if own != to else 1.0

    def deciding(self, pointer: str) -> Lengths:
        """The same reader, for lengths that shape all that stands at `pointer`: where one is wrong,
        nothing can be said of any of it."""
        other = copy.copy(self)
        other._whole = pointer
        return other

    def above(self, node: Json, name: str, pointer: str) -> Length:
        """The member `name`: a length above 0."""
        length = self._above(node[name], f"{pointer}/{name}")
        return self._stand_in(pointer) if length is None else length

    def length(self, node: Json, name: str, pointer: str) -> Length:
        """The member `name`: a length with as wide bounds as its field has, 0 among them."""
        length = self._length(node[name], f"{pointer}/{name}")
        return self._stand_in(pointer) if length is None else length

    def above_or_none(self, node: Json, name: str, pointer: str) -> Length | None:
        """The member `name`: left out, or above 0. One that cannot be counts as left out."""
        return self._or_none(self._above, node, name, pointer)

    def length_or_none(self, node: Json, name: str, pointer: str) -> Length | None:
        """The member `name`: left out, or from 0. One that cannot be counts as left out."""
        return self._or_none(self._length, node, name, pointer)

    def all_above(self, node: Json, name: str, pointer: str) -> tuple[Length, ...]:
        """The member `name`: a list of lengths above 0."""
        here = f"{pointer}/{name}"
        lengths = [self._above(value, f"{here}/{i}") for i, value in enumerate(node[name])]
        return tuple([self._stand_in(here) if one is None else one for one in lengths])

    def each(
        self, read: Callable[[Json, str, Lengths], T], node: Json, name: str, pointer: str
    ) -> tuple[T, ...]:
        """The member `name`: a list of objects, each by its own reader; left out, it is empty."""
        objects = enumerate(node.get(name, ()))
        return tuple([read(each, f"{pointer}/{name}/{i}", self) for i, each in objects])

    def back(self, length: Length) -> float:
        """A length as the document's own unit has it."""
        return length * self._over / self._times

    def of_name(self, name: str) -> Length | None:
        """The length that a member's name is: a number in the document's own unit, or text."""
        if re.fullmatch(r"[0-9]{1,7}(?:\.[0-9]{1,9})?", name):
            return self.plain(float(name))
        try:
            return parse_length(name, self.to)
        except ValueError:
            return None

    def area(self, value: float) -> Area:
        """An area in the square of the unit."""
        return value * self._times**2 / self._over**2

    def _stand_in(self, pointer: str) -> Length:
        """What stands for a length that cannot be. pointer: of the object that holds it."""
        self.unknown.append(self._whole or pointer)
        return STAND_IN

    def _or_none(
        self,
        read: Callable[[float | str, str], Length | None],
        node: Json,
        name: str,
        pointer: str,
    ) -> Length | None:
        if name not in node:
            return None
        here = f"{pointer}/{name}"
        length = read(node[name], here)
        if length is None:
            self.unknown.append(self._whole or here)
        return length

    def _above(self, value: float | str, pointer: str) -> Length | None:
        """A length above 0; one within TOUCH of 0 is 0, in numbers as in text. None of one that
        cannot be, with its problem kept."""
        length = self._length(value, pointer)
        if length is None or length > TOUCH:
            return length
        least = f"a length above {TOUCH:.6f} {self.to}"
        self.problems.append(_problem(pointer, "length_of_nought", value, least))
        return None

    def _length(self, value: float | str, pointer: str) -> Length | None:
        """A length; None of a text beyond the limit, with its problem kept."""
        if isinstance(value, str):
            return self._of_text(value, pointer)
        return self.plain(value)

    def plain(self, value: float) -> Length:
        """A number as a length."""
        # Adding 0.0 makes a whole number a float and minus nought nought.
        return value * self._times / self._over + 0.0

    def _of_text(self, text: str, pointer: str) -> Length | None:
        length = parse_length(text, self.to)
        if length > limits.NUMBER:
            most = f"a length of at most {limits.NUMBER} {self.to}"
            self.problems.append(_problem(pointer, "length_too_great", text, most))
            return None
        return length

    def load(self, value: float, kind: FigureKind) -> float:
        """A load: lbf, lbf/ft and psf, or N, kN/m and kPa."""
        if self.own == self.to:
            return float(value)
        return value * SI[kind] if self.to == "mm" else value / SI[kind]

    def power(self, value: float, power: int) -> float:
        """A section modulus (3) or a second moment (4), in that power of the unit."""
        return float(value * self._times**power / self._over**power)

    def settle(self) -> None:
        """Refuse (Unbuildable) with everything that was kept."""
        if self.problems:
            raise Unbuildable(self.problems)


def _problem(pointer: str, code: str, value: float | str, accepts: str) -> Problem:
    return Problem(pointer, code, f"{echo(value)} is not accepted: send {accepts}.")
