"""Wire: a code document that fits its schema, read into the record of a code; and amendments.

The main entries are `read_code` and `amend_code`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from service.core.measure import Length, Unit
from service.core.problems import Problem
from service.core.records.code import Code, Figure, When
from service.core.records.figures import COUNT_MEASURES, FIGURES, LOAD_KINDS, FigureKind
from service.wire.reading.code_checks import check_code
from service.wire.reading.code_pairs import halved
from service.wire.reading.code_units import of_other_unit
from service.wire.reading.lengths import Json, Lengths, Node


def read_code(document: Json, unit: Unit, pointer: str = "/code") -> Code:
    """The code in `unit`: figures by their twin in that unit, else converted by 25.4 exactly.

    pointer: where the code stands in the document sent. Refuses (Unbuildable) faults that the
    schema cannot show: in the value of a text, or between members.
    """
    lengths = Lengths(document["unit"], unit)
    figures = Node(document, pointer, lengths).at("figures")
    code = Code(
        id=document["id"],
        title=document["title"],
        edition=document["edition"],
        figures={name: _read_figure(name, figures.at(name)) for name in figures.sent},
    )
    # A twin or what it is the twin of, where that is faulty, has been told of already.
    more = check_code(document, pointer)
    lengths.problems.extend([each for each in more if each not in lengths.problems])
    lengths.settle()
    return code


def _read_figure(name: str, node: Node) -> Figure:
    kind = FIGURES[name].kind
    return Figure(
        value=_value(kind, node),
        reads=node.sent.get("reads", FIGURES[name].reads[0]),
        cite=node.sent["cite"],
        basis=node.sent.get("basis", "seen"),
        when=node.each(partial(_read_when, kind), "when"),
        name=name,
    )


def _value(kind: FigureKind, node: Node) -> Length | str | None:
    """The value of a figure or of a case in the wanted unit; None where the node has no value.

    Where the code prints a twin in the wanted unit, the twin is the value.
    """
    if "value" not in node.sent:
        return None
    twin = _twin(node, "twin")
    if kind == "length":
        return node.positive("value") if twin is None else twin.positive("twin")
    value: Length | str = node.sent["value"]
    if kind not in LOAD_KINDS:
        return value
    return node.lengths.load(float(value), kind) if twin is None else float(twin.sent["twin"])


def _read_when(kind: FigureKind, node: Node) -> When:
    return When(
        measure=node.sent["measure"],
        above=_bound(node, "above"),
        starts=_bound(node, "from"),
        word=node.sent.get("is"),
        value=_value(kind, node),
        cite=node.sent["cite"],
        basis=node.sent.get("basis"),
    )


def _bound(node: Node, name: str) -> float | None:
    """The bound that a case holds its measure against under `name`; None where it has none there.

    A count has no unit.
    """
    if name not in node.sent:
        return None
    if node.sent["measure"] in COUNT_MEASURES:
        return float(node.sent[name])
    twin = _twin(node, f"{name}_twin")
    return node.length(name) if twin is None else twin.length(f"{name}_twin")


def _twin(node: Node, name: str) -> Node | None:
    """The object as one in the wanted unit, where its twin `name` is in that; else None."""
    lengths = node.lengths
    if lengths.own == lengths.to or name not in node.sent:
        return None
    as_printed = Lengths(lengths.to, lengths.to)
    as_printed.problems = lengths.problems
    return Node(node.sent, node.pointer, as_printed)


def amend_code(code: Code, amendments: Json, unit: Unit) -> Code:
    """The code with the local authority's amendments.

    An amendment replaces the whole figure, with all its cases. unit: the document's. Refuses
    (Unbuildable) an amendment of a figure that the code does not state, a number that is plainly in
    the other unit, half of a pair, and a length of 0 or beyond the published limit.
    """
    lengths, pointer = Lengths(unit, unit), "/amendments"
    amended = Node(amendments, pointer, lengths)
    lengths.problems.extend(_unknown(code, amendments, pointer))
    figures = dict(code.figures)
    for name, value in amendments.items():
        if name in figures:
            length = FIGURES[name].kind == "length"
            new = amended.positive(name) if length else value
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
