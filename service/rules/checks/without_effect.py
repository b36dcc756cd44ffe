"""Rules: what a document asks for that has no effect, as what it is asked for is not there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.core.records.deck import Edge, Opening, Stair
from service.core.records.seen import edge_place, opening_place
from service.rules.finding import Finding
from service.rules.job import Job
from service.rules.saying import Saying, say
from service.rules.words import list_text

_OF_GATES: Final = (("hinge", "near"), ("opens", "in"))
_OF_RAILINGS: Final = (
    ("infill", None), ("height", None), ("glass", 0), ("wall_end", "bracket"),
    ("open_end", "setback"),
)  # fmt: skip
_OF_GUARDS: Final = (
    ("infill", None), ("height", None), ("glass", None), ("foot_post", "tread"),
    ("top_as_handrail", False),
)  # fmt: skip
"""Members with their defaults, which say no more than when left out."""


def without_effect(job: Job) -> Iterator[Saying]:
    """Members of gates on other openings, and of railings and guards where there are none."""
    for level in job.deck.levels:
        for opening in level.openings:
            names = () if opening.use == "gate" else _asked(opening, _OF_GATES)
            if names:
                why = f"as the opening's use is {opening.use} and only a gate's leaf turns: give it"
                place = opening_place(level.id, opening.id)
                yield _say(names, f"{why} the use gate"), [(place,)]
        for edge in level.edges:
            names = _asked(edge, _OF_RAILINGS) if edge.condition in ("wall", "open") else ()
            if names:
                why = f"as the edge's condition is {edge.condition}, which has no railing: make it"
                place = edge_place(level.id, edge.number)
                yield _say(names, f"{why} a guard"), [(place,)]
    # Where something stands on its deck, the height of a flight says what is as high as a guard.
    obstructed = {
        opening_place(level.id, opening.id)
        for level in job.deck.levels
        for opening in level.openings
        if level.obstructions
    }
    for stair in job.deck.stairs:
        names = () if stair.guards else _asked(stair, _OF_GUARDS)
        if stair.opening in obstructed:
            names = [name for name in names if name != "height"]
        if names:
            why = "as the flight has no guards: name the sides that have one in `guards`"
            yield _say(names, why), [(stair.id,)]


def _asked(said: Opening | Edge | Stair, members: Sequence[tuple[str, object]]) -> Sequence[str]:
    """The members that ask for something else than their default."""
    return [name for name, usual in members if getattr(said, name) not in (None, usual)]


def _say(names: Sequence[str], why: str) -> Finding:
    has, them = ("has", "it") if len(names) == 1 else ("have", "them")
    told = list_text([f"`{name}`" for name in names])
    return say("without_effect", "warning", f"{told} {has} no effect, {why}, or leave {them} out")
