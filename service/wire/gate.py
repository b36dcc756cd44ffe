"""Wire: whether a document fits its published schema, and where it does not.

The schema made from the forms is compiled once and decides; the forms' own reading then
explains. They refuse the same documents (tests/wire/test_agreement.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import jsonschema_rs
from marshmallow import Schema

from service.core.problems import Misfit, Problem
from service.wire.components import ROOTS, Kind, schemas
from service.wire.counts import check_counts
from service.wire.decode import cap
from service.wire.echo import echo
from service.wire.nested import HERE, name_text
from service.wire.pointers import order, resolve, step
from service.wire.strict import Fault

_OF_A_MEMBER = ("unknown_member", "bad_name")
"""Faults of a member's name: they stand under that name, even where it is HERE."""


@cache
def compiled(kind: Kind) -> jsonschema_rs.Draft202012Validator:
    """The published schema, compiled."""
    return jsonschema_rs.Draft202012Validator(schemas()[kind])


@cache
def _form(kind: Kind) -> Schema:
    return ROOTS[kind]()


def check_fit(kind: Kind, document: Any) -> None:
    """Refuse a document that does not fit: TooLarge where there is too much of anything, else
    Misfit with every fault.

    The schema has every limit too, so that nothing need be counted of a document that fits.
    """
    if not compiled(kind).is_valid(document):
        check_counts(kind, document)
        raise Misfit(cap(explain(kind, document)))


def explain(kind: Kind, document: Any) -> list[Problem]:
    """Every fault of a document that does not fit, by place."""
    problems = sorted(form_problems(kind, document), key=lambda problem: order(problem.pointer))
    return problems or list(_schema_problems(kind, document))


def form_problems(kind: Kind, document: Any) -> list[Problem]:
    """The faults that the forms find; none where the document fits."""
    return list(_flatten(_form(kind).validate(document), "", document))


def _flatten(faults: Any, pointer: str, document: Any) -> Iterator[Problem]:
    if isinstance(faults, list):
        yield from (_problem(fault, pointer, document) for fault in faults)
        return
    for name, inner in faults.items():
        if name == HERE and isinstance(inner, list):
            for fault in inner:
                inside = fault.code in _OF_A_MEMBER
                yield _problem(fault, step(pointer, name) if inside else pointer, document)
        else:
            yield from _flatten(inner, step(pointer, name), document)


def _problem(fault: Fault, pointer: str, document: Any) -> Problem:
    name = name_text(pointer.rpartition("/")[2].replace("~1", "/").replace("~0", "~"))
    if fault.code == "missing_member":
        message = f"The member {name} is missing: send {fault.accepts}."
    elif fault.code == "unknown_member":
        message = f"No member {name} is known here; known are {fault.accepts}."
    elif fault.code == "bad_name":
        message = f"The name {name} does not fit: send {fault.accepts}."
    else:
        message = f"{echo(resolve(document, pointer))} does not fit: send {fault.accepts}."
    return Problem(pointer, fault.code, message)


def _schema_problems(kind: Kind, document: Any) -> Iterator[Problem]:
    """The compiled schema's own words, should the forms ever find nothing."""
    for error in compiled(kind).iter_errors(document):
        pointer = ""
        for part in error.instance_path:
            pointer = step(pointer, part)
        yield Problem(pointer, "does_not_fit", f"{error.message[:200]}.")
