"""Wire: faults of a code document that show only between its members.

They are twins that are too far apart, a least figure above the greatest, cases that never hold as
an earlier case holds first, and halves of a pair (`code_pairs`). The main entry is `check_code`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import OTHER_UNIT, TOUCH, Unit, convert, number_text
from service.core.problems import Problem
from service.core.records.figures import COUNT_MEASURES, FIGURES, LOAD_KINDS, FigureKind
from service.rules.words import LOAD_UNITS
from service.wire.reading.code_cases import comparable, covers, length_of
from service.wire.reading.code_pairs import halves
from service.wire.reading.lengths import Json, Lengths, Node

LOADS_APART: Final = 0.1
"""How far the twin of a load may be off it, as a fraction: 20 psf beside 1 kPa is 4 % off."""
LENGTHS_APART: Final = 0.02
"""How far the twin of a length may be off it, as a fraction: 25 mm to the inch is 1.6 % off."""
NEAR: Final = 2.0
"""How far, in mm, the twin of any length may be off it, however short it is: 40 mm beside 1 1/2 in
is 1.9 mm off."""
PAIRS: Final = (
    ("riser_min", "riser_max"),
    ("going_min", "going_max"),
    ("risers_and_going_min", "risers_and_going_max"),
    ("nosing_min", "nosing_max"),
    ("flight_risers_min", "flight_risers_max"),
    ("handrail_height_min", "handrail_height_max"),
    ("guard_top_as_handrail_min", "guard_top_as_handrail_max"),
    ("handrail_grip_min", "handrail_grip_max"),
    ("handrail_wall_clear", "handrail_wall_clear_max"),
    ("climb_zone_from", "climb_zone_to"),
    ("opening_not_required_guard", "opening_not_required_guard_wide"),
)
"""Pairs of figures whose second may not be less than the first."""


class Stated(NamedTuple):
    """A value that a figure or one of its cases has. told: the value as written in the document."""

    pointer: str
    number: float
    told: object


def check_code(document: Json, pointer: str) -> Iterator[Problem]:
    """Problems of figures that contradict themselves or each other. pointer: of the code."""
    own: Unit = document["unit"]
    figures: Json = document["figures"]
    for name, node in figures.items():
        at, kind = f"{pointer}/figures/{name}", FIGURES[name].kind
        yield from _twins(node, at, kind, own, "value")
        for i, case in enumerate(node.get("when", ())):
            here = f"{at}/when/{i}"
            yield from _twins(case, here, kind, own, "value")
            if case["measure"] not in COUNT_MEASURES:
                yield from _twins(case, here, "length", own, "above")
                yield from _twins(case, here, "length", own, "from")
            if kind == "count" and case.get("value", 1) % 1:
                message = f"{case['value']:g} is not taken: it is a count, and has to be whole."
                yield Problem(f"{here}/value", "count_not_whole", message)
        yield from _shadowed(node.get("when", ()), at, own)
    for least, greatest in PAIRS:
        yield from _crossed(figures, least, greatest, pointer, own)
    yield from halves(figures, pointer, own)


def _twins(node: Json, at: str, kind: FigureKind, own: Unit, name: str) -> Iterator[Problem]:
    """Problems of the twin of `name`: too far from what it is the twin of, or the twin of nothing.

    own: the unit of the code document; a twin is in the other unit.
    """
    twin = "twin" if name == "value" else f"{name}_twin"
    if twin not in node:
        return
    if name not in node:
        message = f"The {twin} says what {name} is in the other unit: give {name} too."
        yield Problem(f"{at}/{twin}", "twin_of_nothing", message)
        return
    other = OTHER_UNIT[own]
    if kind in LOAD_KINDS:
        wanted = Lengths(own, other).load(float(node[name]), kind)
        given, unit = float(node[twin]), LOAD_UNITS[kind, other]
        most = LOADS_APART * wanted
    else:
        has, printed = comparable(own), comparable(other)
        wanted = convert(Node(node, at, has).length(name), own, other)
        given, unit = Node(node, at, printed).length(twin), other
        yield from (*has.problems, *printed.problems)
        most = max(LENGTHS_APART * wanted, convert(NEAR, "mm", other))
    if abs(given - wanted) > most + TOUCH:
        message = (
            f"The {twin} {number_text(given, 3)} {unit} is not taken: it is what the code prints "
            f"for the same in the other unit, some {number_text(wanted, 3)} {unit}."
        )
        yield Problem(f"{at}/{twin}", "twins_apart", message)


def _shadowed(cases: list[Json], at: str, own: Unit) -> Iterator[Problem]:
    """Problems of cases that never hold, as an earlier one holds wherever they would."""
    for i, case in enumerate(cases):
        for j, earlier in enumerate(cases[:i]):
            if covers(earlier, case, own):
                message = (
                    f"It never holds, as when/{j} holds wherever it would and the first case that "
                    "applies counts: put it before that one."
                )
                yield Problem(f"{at}/when/{i}", "case_never_holds", message)
                break


def _crossed(
    figures: Json, least: str, greatest: str, pointer: str, own: Unit
) -> Iterator[Problem]:
    """Problems where the figure `least` has a greater value than `greatest` in the same case.

    In the order of the values of `greatest`.
    """
    lows, highs = (_stated(figures, name, pointer, own) for name in (least, greatest))
    for where, high in highs.items():
        low = lows.get(where)
        if low is not None and low.number > high.number + TOUCH:
            message = f"{greatest} is {high.told} and {least} {low.told}: nothing keeps both."
            yield Problem(high.pointer, "least_over_greatest", message)


def _stated(figures: Json, name: str, pointer: str, own: Unit) -> dict[object, Stated]:
    """Every value of a figure by where it holds.

    The key is the case's measure and tests, all of them None for the figure's own value.
    """
    node, kind = figures.get(name, {}), FIGURES[name].kind
    at = f"{pointer}/figures/{name}"
    found: dict[object, Stated] = {}
    cases = [(case, f"{at}/when/{i}") for i, case in enumerate(node.get("when", ()))]
    for case, here in ((node, at), *cases):
        if "value" in case:
            where = tuple(case.get(each) for each in ("measure", "above", "from", "is"))
            number = float(case["value"]) if kind == "count" else length_of(case, "value", own)
            found[where] = Stated(f"{here}/value", number, case["value"])
    return found
