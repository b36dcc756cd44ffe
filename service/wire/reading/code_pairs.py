"""Wire: faults in pairs of figures that mean something only together, as the ends of a zone do.

One of a pair may hold without the other in a code document (`halves`), or by an amendment of one
of the two (`halved`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from service.core.measure import Unit
from service.core.problems import Problem
from service.core.records.code import Figure
from service.wire.echo import echo
from service.wire.reading.code_cases import covers
from service.wire.reading.lengths import Json

TOGETHER: Final = (
    ("climb_zone_from", "climb_zone_to"),
    ("climb_zone_to", "climb_zone_from"),
    ("opening_sphere_upper", "opening_sphere_upper_from"),
    ("opening_sphere_upper_from", "opening_sphere_upper"),
    ("opening_not_required_guard_wide", "opening_not_required_guard"),
)
"""Pairs of figures whose first means nothing where the second has no value."""


def halves(figures: Json, pointer: str, own: Unit) -> Iterator[Problem]:
    """Problems of figures in a code document that have a value where their partner has none."""
    for name, other in TOGETHER:
        yield from _alone(
            figures.get(name, {}), figures.get(other, {}), (name, other), pointer, own
        )


def _alone(
    node: Json, partner: Json, names: tuple[str, str], pointer: str, own: Unit
) -> Iterator[Problem]:
    """Problems of each value of a figure, its own or a case's, where the partner has no value.

    names: of the figure and of its partner.
    """
    name, other = names
    at = f"{pointer}/figures/{name}"
    cases, others = node.get("when", []), partner.get("when", [])
    if "value" in node and "value" not in partner:
        yield _problem(at, node, names, f"give {other} a value as well")
    for i, case in enumerate(cases):
        held = "value" in partner or any(
            "value" in each and covers(each, case, own) for each in others
        )
        if "value" in case and not held:
            yield _problem(f"{at}/when/{i}", case, names, f"give {other} the same case")
    if "value" not in node or "value" not in partner:
        return
    for i, case in enumerate(others):
        if "value" not in case and not any(covers(each, case, own) for each in cases):
            there = f"{pointer}/figures/{other}/when/{i}"
            message = (
                f"{other} has no value in this case and {name} has, {echo(node['value'])}, which "
                f"says nothing without it: give {name} the same case."
            )
            yield Problem(there, "half_of_a_pair", message)


def _problem(at: str, node: Json, names: tuple[str, str], cure: str) -> Problem:
    name, other = names
    message = (
        f"{name} is {echo(node['value'])} where {other} has no value, and says nothing without it: "
        f"{cure}, or leave this out."
    )
    return Problem(f"{at}/value", "half_of_a_pair", message)


def halved(figures: Mapping[str, Figure], amendments: Json, pointer: str) -> Iterator[Problem]:
    """Problems of amended figures whose partner has no value outside its cases.

    An amended figure holds everywhere. figures: the code's, with the amendments.
    """
    for name, other in TOGETHER:
        partner = figures.get(other)
        if name in amendments and partner is not None and partner.value is None:
            message = (
                f"An amended {name}, here {echo(amendments[name])}, holds everywhere, and the code "
                f"has {other} in its cases alone; the one says nothing without the other: amend "
                f"{other} as well."
            )
            yield Problem(f"{pointer}/{name}", "half_of_a_pair", message)
