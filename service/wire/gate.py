"""Wire: whether a document fits its published schema, and where it does not.

The main entry is `check_fit`. The schema made from the forms is compiled once and decides; where
it refuses, the forms themselves load the document to explain every fault. Both refuse the same
documents (tests/wire/test_agreement.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from functools import cache, reduce
from operator import getitem
from typing import Any, Final

import jsonschema_rs
from marshmallow import Schema

from service.core.problems import Misfit, Problem
from service.wire.counts import check_counts
from service.wire.decode import cap
from service.wire.echo import echo
from service.wire.forms.nested import HERE, name_text
from service.wire.forms.strict import Fault
from service.wire.pointers import Path, build
from service.wire.publishing.components import ROOTS, Root, schemas

NAMED: Final = 40
"""The most names that a message lists; the schema has them all."""
_OF_A_MEMBER = ("unknown_member", "bad_name")
"""Codes of faults in a member's name. Their path ends in that name, even where the name is HERE."""


@cache
def compiled(kind: Root) -> jsonschema_rs.Draft202012Validator:
    """The published schema of a kind of document, compiled."""
    return jsonschema_rs.Draft202012Validator(schemas()[kind])


@cache
def _form(kind: Root) -> Schema:
    return ROOTS[kind]()


def check_fit(kind: Root, document: Any) -> None:
    """Refuse a document that does not fit its schema.

    The refusal is TooLarge where a published count is exceeded, else Misfit with every fault. The
    schema holds the limits on counts too, so a document that fits need not be counted.
    """
    if not compiled(kind).is_valid(document):
        check_counts(kind, document)
        raise Misfit(explain(kind, document))


def explain(kind: Root, document: Any) -> list[Problem]:
    """The problems of a document that does not fit its schema, in order of place; at least one."""
    faults = sorted(form_faults(kind, document), key=lambda fault: tuple(map(_order, fault[0])))
    problems = cap(faults, lambda fault: _problem(*fault, document))
    return problems or cap(_schema_problems(kind, document), lambda problem: problem)


def form_faults(kind: Root, document: Any) -> list[tuple[Path, Fault]]:
    """The faults that the forms find, each with its path; empty where the document fits."""
    return list(_flatten(_form(kind).validate(document), ()))


def _order(name: str | int) -> tuple[bool, int, str]:
    """A key that sorts entries by number and members by name."""
    return (False, name, "") if isinstance(name, int) else (True, 0, name)


def _flatten(faults: Any, path: Path) -> Iterator[tuple[Path, Fault]]:
    if isinstance(faults, list):
        yield from ((path, fault) for fault in faults)
        return
    for name, inner in faults.items():
        if name == HERE and isinstance(inner, list):
            for fault in inner:
                yield ((*path, name) if fault.code in _OF_A_MEMBER else path), fault
        else:
            yield from _flatten(inner, (*path, name))


def _problem(path: Path, fault: Fault, document: Any) -> Problem:
    name = name_text(str(path[-1])) if path else ""
    if fault.code == "missing_member":
        message = f"The member {name} is missing: send {fault.accepts}."
    elif fault.code == "unknown_member":
        message = f"No member {name} is known here; known are {_listed(name, fault.names)}."
    elif fault.code == "bad_name":
        names = f": {_listed(name, fault.names)}" if fault.names else ""
        message = f"The name {name} does not fit: send {fault.accepts}{names}."
    else:
        what = echo(reduce(getitem, path, document))
        what = f"A{what[1:]}" if what.startswith(("an object", "a list of")) else what
        why = f" ({fault.why})" if fault.why else ""
        message = f"{what} does not fit{why}: send {fault.accepts}."
    return Problem(build(path), fault.code, message)


def _listed(name: str, known: Sequence[str]) -> str:
    """The known names, those that look most like the unknown `name` first."""
    near = get_close_matches(name, known, n=3)
    names = [*near, *(one for one in known if one not in near)]
    more = f" and {len(names) - NAMED} more, in the schema" if len(names) > NAMED else ""
    return ", ".join(names[:NAMED]) + more


def _schema_problems(kind: Root, document: Any) -> Iterator[Problem]:
    """Problems in the compiled schema's own words, in case the forms find no fault."""
    for error in compiled(kind).iter_errors(document):
        yield Problem(build(error.instance_path), "does_not_fit", f"{error.message[:200]}.")
