"""Drawings, plans: notes beside a plan, of what holds all round its level."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH, Length
from service.drawings.ground import distance_along, origin_of
from service.drawings.plans.edges import named_edges
from service.drawings.plans.scene import Scene

EDGES: Final = 24
"""The most edges, runs or flights that one note tells of."""
BESIDE: Final = 4
"""The most other levels that are told of."""


def notes_of(scene: Scene) -> Iterator[str]:
    """Sentences of what holds all round a level."""
    deck, kit = scene.subject.deck, scene.subject.kit
    for other, numbers in list(scene.beside.items())[:BESIDE]:
        yield f"{named_edges(numbers[:EDGES]).capitalize()} along or over level {other}."
    if not scene.posts and not scene.runs:
        return
    yield f"{origin_of(tuple(scene.edges.values()), deck.unit, deck.step)}."
    setback = deck.tape(abs(kit.post.setback))
    side = "inside" if kit.post.setback >= 0 else "outside"
    yield f"{'Post centres' if scene.posts else 'Middles of rails'} {setback} {side} the edge."
    walls = any(None in (run.start, run.end) for run in scene.runs.values())
    marks = [*(["post centres"] if scene.posts else []), *(["wall faces"] if walls else [])]
    yield f"Marks are to {' and '.join(marks)}, from the dot of each run."
    if starts := _starts(scene):
        yield f"Dots lie along their edges, from the corner behind them: {'; '.join(starts)}."
    if scene.openings:
        yield "Openings are measured clear, face to face."
    if drops := _drops(scene):
        yield f"Drop: {'; '.join(drops)}."
    if heights := _heights(scene):
        yield f"Height of guards: {'; '.join(heights)}."


def _drops(scene: Scene) -> list[str]:
    """The level's drop, then the drops of edges that have another one."""
    deck, level = scene.subject.deck, scene.level
    own: dict[Length, list[int]] = {}
    for edge in level.edges:
        drop = edge.drops.drop
        if drop is not None and drop != level.drops.drop and edge.condition != "wall":
            own.setdefault(drop, []).append(edge.number)
    texts = [] if level.drops.drop is None else [deck.tape(level.drops.drop)]
    for drop, numbers in list(own.items())[:EDGES]:
        texts.append(f"{deck.tape(drop)} below {named_edges(numbers)}")
    return texts


def _heights(scene: Scene) -> list[str]:
    """The height of the level's guards; where they differ, each height with its edges."""
    found: dict[str, set[int]] = {}
    for track in scene.tracks.values():
        for bay in track.bays:
            if bay.flight is None:
                text = scene.said["bays", bay.id]["height_text"]
                found.setdefault(text, set()).add(track.run.edge)
    if len(found) < 2:
        return list(found)
    return [f"{text} on {named_edges(sorted(edges))}" for text, edges in found.items()][:EDGES]


def _starts(scene: Scene) -> list[str]:
    """Where runs begin along their edges, of those that begin at an end, stair or gate post.

    A corner's post or a wall's face needs no note, as a tape finds it by itself.
    """
    deck, found = scene.subject.deck, []
    for run in scene.runs.values():
        edge = scene.edges[run.edge]
        post = scene.posts[run.start] if run.start else None
        if run.flight is None and not edge.rise and post and post.role in ("end", "stair", "gate"):
            far = distance_along(edge, run.ends[0])
            text = deck.tape(abs(far))
            found.append(f"{run.id} {text}{' before it' if far < -TOUCH else ''}")
    return found[:EDGES]
