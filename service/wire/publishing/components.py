"""Wire: every form as a JSON Schema component, made by apispec.

The main entries are `components`, for the OpenAPI document, and `schemas`, for the JSON Schemas.
"""

from __future__ import annotations

import inspect
import re
from functools import cache
from typing import Any, Final, Literal, TypeAlias

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import RAISE, Schema, fields

from service import RELEASE
from service.wire.forms.batch import BatchLineForm
from service.wire.forms.code import CodeForm
from service.wire.forms.deck import DeckForm
from service.wire.forms.kit import KitForm
from service.wire.forms.layout import LayoutForm
from service.wire.forms.lengths import LENGTHS, length_form
from service.wire.forms.nested import Record
from service.wire.forms.points import Point, PointBuilt
from service.wire.forms.problem import ProblemForm
from service.wire.forms.strict import REFERENCE, Strict

Root: TypeAlias = Literal["deck", "kit", "code", "layout", "problem"]

ROOTS: Final[dict[Root, type[Record]]] = {
    "deck": DeckForm,
    "kit": KitForm,
    "code": CodeForm,
    "layout": LayoutForm,
    "problem": ProblemForm,
}
"""The published documents, by the name of their schema."""

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


class Publisher(OpenAPIConverter):
    """apispec's converter, with what apispec does not find out about our forms by itself."""

    def schema2jsonschema(self, schema: Any) -> dict[str, Any]:
        """The schema of an object: title, description, constraint, and whether it is closed.

        apispec itself would leave an object open once it has a description.
        """
        published: dict[str, Any] = super().schema2jsonschema(schema)  # type: ignore[no-untyped-call]
        form: type[Record] = schema if isinstance(schema, type) else type(schema)
        closed = {"additionalProperties": False} if form.Meta.unknown == RAISE else {}
        return {
            "title": _words(form.__name__),
            "description": inspect.cleandoc(form.__doc__ or ""),
            **published,
            **closed,
            **_beside(form.constraint),
            **({"examples": form.examples} if form.examples else {}),
        }

    def field2property(self, field: fields.Field[Any]) -> dict[str, Any]:
        """The schema of a member: title, description, examples, and what its field publishes."""
        assert isinstance(field, Strict), f"{field!r} would coerce"
        told = self.metadata2properties(field)
        title = told.get("title") or _title(field.name or "")
        return {"title": title, **told, **field.published(self)}


class Plugin(MarshmallowPlugin):
    """apispec's plugin for marshmallow, with our converter."""

    Converter = Publisher


def new_spec(**options: Any) -> APISpec:
    """An empty OpenAPI 3.1 document."""
    return APISpec(title="Deck guards", version=RELEASE, openapi_version="3.1.0", **options)


@cache
def components() -> dict[str, dict[str, Any]]:
    """Every form as a component, by the component's name."""
    plugin = Plugin(schema_name_resolver=_component)
    spec = new_spec(plugins=[plugin])
    assert plugin.converter is not None
    for floor, name in LENGTHS.items():
        spec.components.schema(name, length_form(floor))
    for point in (Point(), PointBuilt()):
        titled = {"title": _words(point.component), **point.form(plugin.converter)}
        spec.components.schema(point.component, titled)
    for form in (*ROOTS.values(), BatchLineForm):
        plugin.converter.resolve_nested_schema(form)  # type: ignore[no-untyped-call]
    return dict(spec.components.schemas)


@cache
def schemas() -> dict[Root, dict[str, Any]]:
    """The published JSON Schemas by kind of document, each with all its definitions."""
    return {name: _alone(_component(form)) for name, form in ROOTS.items()}


def schema_of_line() -> dict[str, Any]:
    """The schema of one line of a batch's reply, with all its definitions."""
    return _alone(_component(BatchLineForm))


def _beside(constraint: dict[str, Any]) -> dict[str, Any]:
    """The constraint of an object as it is published; alternatives go one level down, in `allOf`.

    Client generators make a class of each alternative that stands beside the members, with a
    number for its name and sometimes without the members; they ignore alternatives one level down.

    >>> _beside({"oneOf": [{"required": ["points"]}, {"required": ["sides"]}]})
    {'allOf': [{'oneOf': [{'required': ['points']}, {'required': ['sides']}]}]}
    >>> _beside({"minProperties": 1})
    {'minProperties': 1}
    """
    return {"allOf": [constraint]} if {"oneOf", "anyOf"} & constraint.keys() else constraint


def _component(form: type[Schema] | Schema) -> str:
    name = (form if isinstance(form, type) else type(form)).__name__
    return name.removesuffix("Form")


def _words(name: str) -> str:
    """A form's name as a title.

    >>> _words("ProblemErrorForm")
    'Problem error'
    """
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.removesuffix("Form")).capitalize()


def _title(name: str) -> str:
    """The name of a form's attribute as the title of its member.

    >>> _title("max_leaf"), _title("height_text"), _title("from_")
    ('Max leaf', 'Height, text', 'From')
    """
    words = name.removesuffix("_").replace("_", " ").capitalize()
    return f"{words.removesuffix(' text')}, text" if name.endswith("_text") else words


def _alone(name: str) -> dict[str, Any]:
    used = sorted(_reach(name) - {name})
    root = {"$schema": DIALECT, **_local(components()[name])}
    return root | ({"$defs": {each: _local(components()[each]) for each in used}} if used else {})


def _reach(name: str) -> set[str]:
    """The names of the components that a component refers to, directly or not, and its own."""
    found = {name}
    left = [name]
    while left:
        for other in _references(components()[left.pop()]):
            if other not in found:
                found.add(other)
                left.append(other)
    return found


def _references(node: Any) -> set[str]:
    if isinstance(node, dict):
        inner = set().union(*map(_references, node.values()))
        return inner | ({node["$ref"].removeprefix(REFERENCE)} if "$ref" in node else set())
    return set().union(*map(_references, node)) if isinstance(node, list) else set()


def _local(node: Any) -> Any:
    """A component whose references point into the `$defs` of its own schema."""
    if isinstance(node, dict):
        return {
            key: value.replace(REFERENCE, "#/$defs/") if key == "$ref" else _local(value)
            for key, value in node.items()
        }
    return [_local(entry) for entry in node] if isinstance(node, list) else node
