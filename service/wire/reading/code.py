"""Wire: a code document that fits its schema, read into the record of a code; and amendments.

The main entries are `read_code` and `amend_code`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.core.measure import Length, Unit
from service.core.problems import Problem
from service.core.records.code import Code, Figure, When
from service.core.records.figures import COUNT_MEASURES, FIGURES, LOAD_KINDS, FigureKind
from service.wire.reading.code_checks import check_code
from service.wire.reading.code_pairs import halved
from service.wire.reading.code_units import of_other_unit
from service.wire.reading.lengths import Json, Lengths


def read_code(document: Json, unit: Unit, pointer: str = "/code") -> Code:
    """The code in `unit`: figures by their twin in that unit, else converted by 25.4 exactly.

    pointer: where the code stands in the document sent. Refuses (Unbuildable) faults that the
    schema cannot show: in the value of a text, or between members.
    """
    lengths = Lengths(document["unit"], unit)
    code = Code(
        id=document["id"],
        title=document["title"],
        edition=document["edition"],
        figures={
            name: _read_figure(name, node, f"{pointer}/figures/{name}", lengths)
            for name, node in document["figures"].items()
        },
    )
    lengths.problems.extend(check_code(document, pointer))
    lengths.settle()
    return code


def _read_figure(name: str, node: Json, pointer: str, lengths: Lengths) -> Figure:
    return Figure(
        value=_value(node, pointer, lengths, FIGURES[name].kind),
        reads=node.get("reads", FIGURES[name].reads[0]),
        cite=node["cite"],
        basis=node.get("basis", "seen"),
        when=tuple(
            _read_when(each, f"{pointer}/when/{i}", lengths, FIGURES[name].kind)
            for i, each in enumerate(node.get("when", ()))
        ),
        name=name,
    )


def _value(node: Json, pointer: str, lengths: Lengths, kind: FigureKind) -> Length | str | None:
    """The value of a figure or of a case in the wanted unit; None where the node has no value.

    Where the code prints a twin in the wanted unit, the twin is the value.
    """
    if "value" not in node:
        return None
    if kind == "length":
        return _printed(node, pointer, lengths)
    value: Length | str = node["value"]
    if kind not in LOAD_KINDS:
        return value
    if lengths.own != lengths.to and "twin" in node:
        return float(node["twin"])
    return lengths.load(float(value), kind)


def _read_when(node: Json, pointer: str, lengths: Lengths, kind: FigureKind) -> When:
    counts = node["measure"] in COUNT_MEASURES
    return When(
        measure=node["measure"],
        above=_bound(node, "above", pointer, lengths, counts=counts),
        starts=_bound(node, "from", pointer, lengths, counts=counts),
        word=node.get("is"),
        value=_value(node, pointer, lengths, kind),
        cite=node["cite"],
        basis=node.get("basis"),
    )


def _bound(node: Json, name: str, pointer: str, lengths: Lengths, *, counts: bool) -> float | None:
    """The bound that a case holds its measure against under `name`; None where it has none there.

    counts: whether the measure is a count, which has no unit.
    """
    if name not in node:
        return None
    if counts:
        return float(node[name])
    if lengths.own != lengths.to and f"{name}_twin" in node:
        return _twin(node, f"{name}_twin", pointer, lengths, positive=False)
    return lengths.length(node, name, pointer)


def _printed(node: Json, pointer: str, lengths: Lengths) -> Length:
    """The value of a length: the twin where it is in the wanted unit, else the value converted."""
    if lengths.own != lengths.to and "twin" in node:
        return _twin(node, "twin", pointer, lengths, positive=True)
    return lengths.positive(node, "value", pointer)


def _twin(node: Json, name: str, pointer: str, lengths: Lengths, *, positive: bool) -> Length:
    """The twin `name`, which is in the wanted unit already.

    positive: whether it must be above 0.
    """
    as_printed = Lengths(lengths.to, lengths.to)
    read = as_printed.positive if positive else as_printed.length
    value = read(node, name, pointer)
    lengths.problems.extend(as_printed.problems)
    return value


def amend_code(code: Code, amendments: Json, unit: Unit) -> Code:
    """The code with the local authority's amendments.

    An amendment replaces the whole figure, with all its cases. unit: the document's. Refuses
    (Unbuildable) an amendment of a figure that the code does not state, a number that is plainly in
    the other unit, half of a pair, and a length of 0 or beyond the published limit.
    """
    lengths, pointer = Lengths(unit, unit), "/amendments"
    lengths.problems.extend(_unknown(code, amendments, pointer))
    figures = dict(code.figures)
    for name, value in amendments.items():
        if name in figures:
            length = FIGURES[name].kind == "length"
            new = lengths.positive(amendments, name, pointer) if length else value
            old = figures[name]
            slip = of_other_unit(old, value, unit, f"{pointer}/{name}")
            lengths.problems.extend([] if slip is None else [slip])
            figures[name] = replace(
                old,
                value=new,
                when=(),
                amended=True,
                published=old.value,
                replaced=old if old.when else None,
            )
    lengths.problems.extend(halved(figures, amendments, pointer))
    lengths.settle()
    return replace(code, figures=figures)


def _unknown(code: Code, amendments: Json, pointer: str) -> Iterator[Problem]:
    for name in amendments:
        if name not in code.figures:
            has = ", ".join(code.figures) or "none"
            message = f"The code {code.id} states no {name} to amend; it states {has}."
            yield Problem(f"{pointer}/{name}", "figure_not_in_code", message)
