"""Wire: a deck document that fits its schema, read into the record that core takes.

The main entry is `read_deck_so_far`, which reads on past faults so that all of them are found.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from service.core.measure import DEFAULT_PRECISION, PRECISIONS, Length, Point, Unit
from service.core.problems import Problem
from service.core.records.deck import (
    Corners,
    Deck,
    Drops,
    Edge,
    Framing,
    Guard,
    Level,
    NoPost,
    Obstruction,
    Opening,
    Outline,
    SiteMeasure,
    Stair,
    Tie,
    Ties,
    Walk,
    WalkSide,
)
from service.wire.echo import echo
from service.wire.reading.lengths import Json, Lengths, Node
from service.wire.reading.strength import read_site


@dataclass(frozen=True, slots=True)
class DeckSoFar:
    """A deck as far as it can be read.

    faults: problems that only the unit or the value of a text shows. unknown: pointers to places
    where the deck is not as meant: a faulty length counts there as left out, or as
    `lengths.STAND_IN` where it is required.
    """

    deck: Deck
    faults: tuple[Problem, ...]
    unknown: tuple[str, ...]

    def tells_of(self, pointer: str) -> bool:
        """Whether a problem found in the deck at `pointer` is true of the document as sent too."""
        return not any(f"{pointer}/".startswith(f"{each}/") for each in self.unknown)


def read_deck_so_far(document: Json) -> DeckSoFar:
    """The deck of a document, with the problems found in reading it."""
    unit: Unit = document["unit"]
    lengths = Lengths(unit, unit)
    root = Node(document, "", lengths)
    guard = root.at("guard")
    deck = Deck(
        unit=unit,
        step=_read_step(document, unit, lengths),
        guard=Guard(guard.sent["infill"], guard.positive_or_none("height")),
        levels=root.each(_read_level, "levels"),
        title=document.get("title", ""),
        stairs=root.each(_read_stair, "stairs"),
        site_measures=root.each(_read_measure, "site_measures"),
        advise=document.get("advise", False),
        site=read_site(document),
    )
    return DeckSoFar(deck, tuple(lengths.problems), tuple(lengths.unknown))


def _read_step(document: Json, unit: Unit, lengths: Lengths) -> Length:
    step = document.get("precision", DEFAULT_PRECISION[unit])
    if step not in PRECISIONS[unit]:
        accepts = ", ".join(f"{each:g}" for each in PRECISIONS[unit])
        message = f"A precision of {echo(step)} {unit} is not taken: send one of {accepts} {unit}."
        lengths.problems.append(Problem("/precision", "precision_of_other_unit", message))
        return DEFAULT_PRECISION[unit]
    return float(step)


def _read_level(node: Node) -> Level:
    level = node.pointer
    return Level(
        id=node.sent["id"],
        outline=_read_outline(node.shaping(level).at("outline")),
        pointer=level,
        drops=_read_drops(node),
        edges=node.each(partial(_read_edge, level), "edges"),
        openings=node.each(_read_opening, "openings"),
        obstructions=node.each(_read_obstruction, "obstructions"),
        no_post=node.each(_read_no_post, "no_post"),
        framing=node.one(_read_framing, "framing"),
    )


def _read_outline(node: Node) -> Outline:
    if "points" in node.sent:
        return Corners(_read_points(node), node.pointer)
    if "sides" in node.sent:
        return Walk(node.each(_read_side, "sides"), node.pointer)
    ties = node.at("ties")
    corners = ties.each(_read_tie, "corners")
    return Ties(ties.positive("baseline"), corners, ties.pointer)


def _read_side(node: Node) -> WalkSide:
    return WalkSide(node.positive_or_none("length"), node.sent.get("turn", 90) + 0.0)


def _read_tie(node: Node) -> Tie:
    return Tie(node.positive("from_a"), node.positive("from_b"))


def _read_points(node: Node) -> tuple[Point, ...]:
    # Adding 0.0 turns an int into a float, and -0.0 into 0.0.
    return tuple((x + 0.0, y + 0.0) for x, y in node.sent["points"])


def _read_drops(node: Node) -> Drops:
    return Drops(
        node.length_or_none("drop"),
        node.length_or_none("drop_to_ground"),
        node.length_or_none("drop_to_next_level"),
        node.sent.get("beneath"),
    )


def _read_edge(level: str, node: Node) -> Edge:
    """What the document says of an edge. level: the pointer of its level."""
    glass = node.sent.get("glass")
    return Edge(
        number=int(node.sent["edge"]),
        pointer=node.pointer,
        condition=node.sent.get("condition"),
        infill=node.sent.get("infill"),
        glass=None if glass is None else int(glass),
        height=node.positive_or_none("height"),
        drops=_read_drops(node),
        wall_end=node.sent.get("wall_end"),
        open_end=node.sent.get("open_end"),
        arc_rise=node.shaping(level).length("arc_rise") if "arc_rise" in node.sent else 0.0,
    )


def _read_opening(node: Node) -> Opening:
    return Opening(
        id=node.sent["id"],
        edge=int(node.sent["edge"]),
        start=node.length("from"),
        width=node.positive("width"),
        use=node.sent["use"],
        pointer=node.pointer,
        hinge=node.sent.get("hinge", "near"),
        opens=node.sent.get("opens", "in"),
    )


def _read_no_post(node: Node) -> NoPost:
    return NoPost(
        edge=int(node.sent["edge"]),
        start=node.length("from"),
        width=node.positive("width"),
        why=node.sent.get("why", ""),
        pointer=node.pointer,
    )


def _read_framing(node: Node) -> Framing:
    return Framing(
        joist_direction=node.sent["joist_direction"] + 0.0,
        joist_spacing=node.positive("joist_spacing"),
        first_joist=node.length("first_joist"),
        joist_width=node.positive("joist_width"),
        rim_width=node.positive("rim_width"),
        pointer=node.pointer,
    )


def _read_obstruction(node: Node) -> Obstruction:
    height = node.positive_or_none("height")
    return Obstruction(node.sent["name"], _read_points(node), node.pointer, height)


def _read_stair(node: Node) -> Stair:
    glass = node.sent.get("glass")
    return Stair(
        id=node.sent["id"],
        opening=node.sent["opening"],
        rise=node.positive("rise"),
        risers=int(node.sent["risers"]),
        going=node.positive("going"),
        pointer=node.pointer,
        nosing=node.length_or_none("nosing") or 0.0,
        guards=tuple(node.sent.get("guards", ())),
        infill=node.sent.get("infill"),
        height=node.positive_or_none("height"),
        foot_post=node.sent.get("foot_post", "tread"),
        handrail=tuple(node.sent.get("handrail", ())),
        to_level=node.sent.get("to_level"),
        top_as_handrail=node.sent.get("top_as_handrail", False),
        glass=None if glass is None else int(glass),
    )


def _read_measure(node: Node) -> SiteMeasure:
    return SiteMeasure(
        bay=node.sent["bay"],
        clear_top=node.positive("clear_top"),
        clear_bottom=node.positive("clear_bottom"),
        pointer=node.pointer,
    )
