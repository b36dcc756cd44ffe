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
from service.wire.reading.lengths import Json, Lengths
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
    guard = document["guard"]
    deck = Deck(
        unit=unit,
        step=_read_step(document, unit, lengths),
        guard=Guard(guard["infill"], lengths.positive_or_none(guard, "height", "/guard")),
        levels=lengths.each(_read_level, document, "levels", ""),
        title=document.get("title", ""),
        stairs=lengths.each(_read_stair, document, "stairs", ""),
        site_measures=lengths.each(_read_measure, document, "site_measures", ""),
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


def _read_level(node: Json, pointer: str, lengths: Lengths) -> Level:
    shaping = lengths.shaping(pointer)
    return Level(
        id=node["id"],
        outline=_read_outline(node["outline"], f"{pointer}/outline", shaping),
        pointer=pointer,
        drops=_read_drops(node, pointer, lengths),
        edges=lengths.each(partial(_read_edge, shaping), node, "edges", pointer),
        openings=lengths.each(_read_opening, node, "openings", pointer),
        obstructions=lengths.each(_read_obstruction, node, "obstructions", pointer),
        no_post=lengths.each(_read_no_post, node, "no_post", pointer),
        framing=lengths.one(_read_framing, node, "framing", pointer),
    )


def _read_outline(node: Json, pointer: str, lengths: Lengths) -> Outline:
    if "points" in node:
        return Corners(_read_points(node), pointer)
    if "sides" in node:
        sides = tuple(
            WalkSide(
                lengths.positive_or_none(side, "length", f"{pointer}/sides/{i}"),
                side.get("turn", 90) + 0.0,
            )
            for i, side in enumerate(node["sides"])
        )
        return Walk(sides, pointer)
    ties, here = node["ties"], f"{pointer}/ties"
    corners = tuple(
        Tie(
            lengths.positive(corner, "from_a", f"{here}/corners/{i}"),
            lengths.positive(corner, "from_b", f"{here}/corners/{i}"),
        )
        for i, corner in enumerate(ties["corners"])
    )
    return Ties(lengths.positive(ties, "baseline", here), corners, here)


def _read_points(node: Json) -> tuple[Point, ...]:
    # Adding 0.0 turns an int into a float, and -0.0 into 0.0.
    return tuple((x + 0.0, y + 0.0) for x, y in node["points"])


def _read_drops(node: Json, pointer: str, lengths: Lengths) -> Drops:
    return Drops(
        lengths.length_or_none(node, "drop", pointer),
        lengths.length_or_none(node, "drop_to_ground", pointer),
        lengths.length_or_none(node, "drop_to_next_level", pointer),
        node.get("beneath"),
    )


def _read_edge(shaping: Lengths, node: Json, pointer: str, lengths: Lengths) -> Edge:
    """What the document says of an edge. shaping: the reader for lengths that shape the level."""
    glass = node.get("glass")
    return Edge(
        number=int(node["edge"]),
        pointer=pointer,
        condition=node.get("condition"),
        infill=node.get("infill"),
        glass=None if glass is None else int(glass),
        height=lengths.positive_or_none(node, "height", pointer),
        drops=_read_drops(node, pointer, lengths),
        wall_end=node.get("wall_end"),
        open_end=node.get("open_end"),
        arc_rise=shaping.length(node, "arc_rise", pointer) if "arc_rise" in node else 0.0,
    )


def _read_opening(node: Json, pointer: str, lengths: Lengths) -> Opening:
    return Opening(
        id=node["id"],
        edge=int(node["edge"]),
        start=lengths.length(node, "from", pointer),
        width=lengths.positive(node, "width", pointer),
        use=node["use"],
        pointer=pointer,
        hinge=node.get("hinge", "near"),
        opens=node.get("opens", "in"),
    )


def _read_no_post(node: Json, pointer: str, lengths: Lengths) -> NoPost:
    return NoPost(
        edge=int(node["edge"]),
        start=lengths.length(node, "from", pointer),
        width=lengths.positive(node, "width", pointer),
        why=node.get("why", ""),
        pointer=pointer,
    )


def _read_framing(node: Json, pointer: str, lengths: Lengths) -> Framing:
    return Framing(
        joist_direction=node["joist_direction"] + 0.0,
        joist_spacing=lengths.positive(node, "joist_spacing", pointer),
        first_joist=lengths.length(node, "first_joist", pointer),
        joist_width=lengths.positive(node, "joist_width", pointer),
        rim_width=lengths.positive(node, "rim_width", pointer),
        pointer=pointer,
    )


def _read_obstruction(node: Json, pointer: str, lengths: Lengths) -> Obstruction:
    height = lengths.positive_or_none(node, "height", pointer)
    return Obstruction(node["name"], _read_points(node), pointer, height)


def _read_stair(node: Json, pointer: str, lengths: Lengths) -> Stair:
    glass = node.get("glass")
    return Stair(
        id=node["id"],
        opening=node["opening"],
        rise=lengths.positive(node, "rise", pointer),
        risers=int(node["risers"]),
        going=lengths.positive(node, "going", pointer),
        pointer=pointer,
        nosing=lengths.length_or_none(node, "nosing", pointer) or 0.0,
        guards=tuple(node.get("guards", ())),
        infill=node.get("infill"),
        height=lengths.positive_or_none(node, "height", pointer),
        foot_post=node.get("foot_post", "tread"),
        handrail=tuple(node.get("handrail", ())),
        to_level=node.get("to_level"),
        top_as_handrail=node.get("top_as_handrail", False),
        glass=None if glass is None else int(glass),
    )


def _read_measure(node: Json, pointer: str, lengths: Lengths) -> SiteMeasure:
    return SiteMeasure(
        bay=node["bay"],
        clear_top=lengths.positive(node, "clear_top", pointer),
        clear_bottom=lengths.positive(node, "clear_bottom", pointer),
        pointer=pointer,
    )
