"""Wire: the published limits on the entries of a document's lists and tables (413), as the fields
of its form have them.

The main entry is `check_counts`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from service.core import limits
from service.core.problems import Problem, TooLarge
from service.wire.forms.code import AmendmentsForm
from service.wire.forms.nested import Inner, Items, Record, Table, members_of
from service.wire.pointers import Path, build
from service.wire.publishing.components import ROOTS, Root

_OF_OBJECTS: Final[dict[type[Record], int]] = {AmendmentsForm: limits.AMENDMENTS}
"""The most members of an object with a closed list of names, where unknown ones may be many."""


def check_counts(kind: Root, document: Any) -> None:
    """Refuse (TooLarge) a document that holds more of anything than the published limits allow.

    The document may be any JSON, whether or not it fits its schema.
    """
    problems = list(_over_in_object(document, ROOTS[kind], ()))
    if problems:
        raise TooLarge(problems)


def _over_in_object(value: Any, form: Any, path: Path) -> Iterator[Problem]:
    if not isinstance(value, dict):
        return
    if len(value) > _OF_OBJECTS.get(form, len(value)):
        yield _too_many(value, _OF_OBJECTS[form], path)
        return
    for name, field in members_of(form):
        if name in value:
            yield from _over(value[name], field, (*path, name))


def _over(value: Any, field: Any, path: Path) -> Iterator[Problem]:
    """The problems of a value and of all within it. field: the one that reads the value."""
    if isinstance(field, Inner):
        yield from _over_in_object(value, field.nested, path)
    elif isinstance(field, Items | Table) and isinstance(value, dict | list):
        if len(value) > field.most and field.least != field.most:
            # Nothing below is counted, as the list or object itself is too large already.
            yield _too_many(value, field.most, path)
            return
        inner = field.inner if isinstance(field, Items) else field.value_field
        for key, entry in enumerate(value) if isinstance(value, list) else value.items():
            yield from _over(entry, inner, (*path, key))


def _too_many(value: dict[str, Any] | list[Any], most: int, path: Path) -> Problem:
    message = f"There are {len(value)} entries; at most {most} are taken."
    return Problem(build(path), "too_many", message)
