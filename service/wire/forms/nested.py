"""Wire: the forms of objects (`Record`), and the fields of objects, lists and tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, ClassVar, Final

from marshmallow import RAISE, Schema, ValidationError, fields, validates_schema

from service.wire.echo import echo
from service.wire.forms.strict import NEWLINE, Fault, Name, Strict, is_id

HERE: Final = "_schema"
"""The key under which marshmallow, and these fields, keep the faults of an object or list as a
whole."""
_FEW: Final = 12
"""The most members that a message names where none of an object's members is required."""


class Record(Schema):
    """The form of an object that may have no other members. Its docstring is published.

    constraint: keywords that its JSON Schema has beyond its members, for which `faults_between`
    looks. examples: whole documents, for a form that is a document by itself.
    """

    class Meta:
        """Unknown members are refused."""

        unknown = RAISE

    constraint: ClassVar[dict[str, Any]] = {}
    examples: ClassVar[list[dict[str, Any]]] = []
    error_messages = {"type": Fault("wrong_type", "an object")}  # type: ignore[dict-item]

    @classmethod
    def named(cls, name: str, about: str, members: dict[str, Any]) -> type[Record]:
        """A form of this class with the given members. about: its description."""
        return type(name, (cls,), {"__doc__": about, **members})

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        known = tuple(name for name, _ in members_of(type(self)))
        self.error_messages["unknown"] = Fault("unknown_member", "", known)  # type: ignore[assignment]
        self.error_messages["type"] = Fault("wrong_type", object_of(type(self)))  # type: ignore[assignment]

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """Faults that show only between the members of an object, by the member or HERE."""
        return {}

    @validates_schema(skip_on_field_errors=False, pass_original=True)
    def _check_between(self, _: Any, sent: Any, **__: Any) -> None:
        faults = self.faults_between(sent) if isinstance(sent, dict) else {}
        if faults:
            raise ValidationError({place: [fault] for place, fault in faults.items()})


def members_of(form: type[Record]) -> list[tuple[str, Any]]:
    """The fields of an object's members, each with the member's name."""
    return [(field.data_key or name, field) for name, field in form._declared_fields.items()]


def object_of(form: type[Record]) -> str:
    """Words for an object: its required members, if any.

    Else the members of which it must have exactly one, if any; else all its members, where they
    are few; else just "an object".

    >>> object_of(Record.named("Post", "A post.", {"at": Name("At"), "of": Name("Of")}))
    'an object with at, of'
    """
    members = members_of(form)
    needed = [name for name, field in members if field.required]
    if needed:
        return f"an object with {', '.join(needed)}"
    forms = [name for each in form.constraint.get("oneOf", ()) for name in each["required"]]
    if forms:
        return f"an object with exactly one of {', '.join(forms)}"
    may = ", ".join(name for name, _ in members)
    return f"an object of {may}" if 0 < len(members) <= _FEW else "an object"


class Inner(Strict, fields.Nested):
    """A member that is an object of another form."""

    def __init__(self, form: type[Record], about: str = "", **more: Any) -> None:
        super().__init__(about, nested=form, **more)
        self.accepts = object_of(form)

    def published(self, converter: Any) -> dict[str, Any]:
        """A reference to the component of the form."""
        reference: dict[str, Any] = converter.resolve_nested_schema(self.schema)
        return reference


class OrId(Inner):
    """A whole document inline, or the id of a loaded one."""

    def __init__(self, form: type[Record], about: str = "", **more: Any) -> None:
        super().__init__(form, about, **more)
        self.accepts = "an id, or a whole document inline"

    def published(self, converter: Any) -> dict[str, Any]:
        """The schema of either an id or the document.

        By `anyOf` some client generators would merge both, and send an empty object for an id.
        """
        return {"oneOf": [Name.json_schema, super().published(converter)]}

    def _deserialize(self, value: Any, *args: Any, **more: Any) -> Any:
        if isinstance(value, str):
            if not is_id(value):
                raise self.fault("bad_id", Name.accepts)
            return value
        if not isinstance(value, dict):
            raise self.fault("wrong_type")
        if value.keys() == {"id"}:
            raise self.fault("wrong_type", "a loaded one is named by its id alone, as text")
        return super()._deserialize(value, *args, **more)


class Sized(Strict):
    """A list or an object of bounded size: it has `least` to `most` entries."""

    least: int
    most: int

    def faults_of_all(self, held: Any) -> Iterator[Fault]:
        """Faults of the list or object as a whole."""
        if not self.least <= len(held) <= self.most:
            yield Fault("too_few" if len(held) < self.least else "too_many", self.accepts)

    def refuse(self, held: Any, faults: dict[Any, Any]) -> None:
        """Raise the faults of entries, by their place, and those of the whole, if any."""
        if whole := list(self.faults_of_all(held)):
            faults.setdefault(HERE, []).extend(whole)
        if faults:
            raise ValidationError(faults)


def _faults_of(entries: Iterable[tuple[Any, Any]], read: Any, **more: Any) -> dict[Any, Any]:
    """The faults of entries, by place. read: the field that reads each of them."""
    faults = {}
    for place, entry in entries:
        try:
            read.deserialize(entry, **more)
        except ValidationError as error:
            faults[place] = error.messages
    return faults


class Items(Sized, fields.List[Any]):
    """A list of bounded length, whose entries are all read by the field `inner`."""

    def __init__(
        self, inner: Strict, about: str = "", *, least: int = 0, most: int, **more: Any
    ) -> None:
        super().__init__(about, cls_or_instance=inner, **more)
        self.least, self.most = least, most
        many = f"{least} to {most}" if least != most else f"{least}"
        self.accepts = f"a list of {many}, each {inner.accepts}"

    def published(self, converter: Any) -> dict[str, Any]:
        """The schema of an array with its bounds and its entries."""
        least = {"minItems": self.least} if self.least else {}
        items = converter.field2property(self.inner)
        return {"type": "array", **least, "maxItems": self.most, "items": items}

    def _deserialize(self, value: Any, attr: Any, data: Any, **more: Any) -> Any:
        if not isinstance(value, list):
            raise self.fault("wrong_type")
        self.refuse(value, _faults_of(enumerate(value), self.inner, **more))
        return value


class Table(Sized, fields.Dict):
    """An object of bounded size, whose values are all read by the field `inner`.

    A subclass says which names its members may have: those in `names`, if there are any, else
    those that match the whole of `pattern`. named: words for the same.
    """

    names: ClassVar[tuple[str, ...]] = ()
    pattern: ClassVar[str]
    named: ClassVar[str]

    def __init__(
        self, inner: Strict, about: str, *, least: int = 0, most: int, **more: Any
    ) -> None:
        super().__init__(about, values=inner, **more)
        self.least, self.most = least, most
        many = f"{least} to {most}" if least else f"at most {most}"
        self.accepts = f"an object of {many} members, each named {self.named}"

    def published(self, converter: Any) -> dict[str, Any]:
        """The schema of an object with the names of its members, and their values."""
        least = {"minProperties": self.least} if self.least else {}
        names: dict[str, Any] = {"enum": list(self.names)}
        if not self.names:
            names = {"pattern": self.pattern, "not": NEWLINE}
        return {
            "type": "object",
            **least,
            "maxProperties": self.most,
            "propertyNames": names,
            "additionalProperties": converter.field2property(self.value_field),
        }

    def _deserialize(self, value: Any, attr: Any, data: Any, **more: Any) -> Any:
        if not isinstance(value, dict):
            raise self.fault("wrong_type")
        known = {name: entry for name, entry in value.items() if self._knows(name)}
        faults = _faults_of(known.items(), self.value_field, **more)
        for name in value.keys() - known.keys():
            faults[name] = [Fault("bad_name", self.accepts, self.names)]
        self.refuse(value, faults)
        return value

    def _knows(self, name: str) -> bool:
        if self.names:
            return name in self.names
        return re.fullmatch(self.pattern[1:-1], name) is not None


def name_text(name: str) -> str:
    """A member's name for a message: as it is where it could be an id, else quoted.

    >>> name_text("from_a"), name_text("a b")
    ('from_a', '"a b"')
    """
    return name if is_id(name) else echo(name)
