"""Drawings, plans: what belongs to each level and where it lies, found once for the whole deck."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Protocol, TypeVar

import shapely

from service.core.measure import TOUCH, Length, Point
from service.core.records.deck import Level
from service.core.records.layout import Bay, Post, Run
from service.core.records.seen import WallEndSeen
from service.drawings.ground import Edge, edges_of, outline_of
from service.drawings.parts import Json, Subject
from service.drawings.plans.placed import (
    Course,
    PlacedOpening,
    Track,
    course_of,
    placed_opening,
    track_of,
)
from service.drawings.scales import Scale

TIGHT: Final = 5.0
"""In mm on paper, the shortest bay that has room for its id and its post's, if for nothing else."""
NARROW: Final = 10.0
"""In mm on paper, the shortest bay that has room for both ids next to each other."""
SHARED: Final = 0.01
"""An edge lies along another level where it shares more than this length with it."""


class _OfLevel(Protocol):
    @property
    def level(self) -> str: ...


T = TypeVar("T", bound=_OfLevel)


@dataclass(frozen=True, slots=True)
class Scene:
    """A level and all that stands on it or goes down from it.

    edges: by number. posts, runs: by id. tracks: of runs, those down flights too, by id; runs
    without length have none. openings: by place. courses: of the flights that go down from it.
    said: the reply's own records, by member and id. lengths: the texts of edges that were measured
    by tape. beside: other levels, each with the numbers of the edges that lie along or over it.
    landed_on: whether a flight comes down to this level from another one. wall_ends: walls that
    have to go on past the deck's corner.
    """

    subject: Subject
    level: Level
    edges: Mapping[int, Edge]
    posts: Mapping[str, Post]
    runs: Mapping[str, Run]
    tracks: Mapping[str, Track]
    openings: Mapping[str, PlacedOpening]
    courses: tuple[Course, ...]
    said: Mapping[tuple[str, str], Json]
    lengths: Mapping[int, str]
    beside: Mapping[str, tuple[int, ...]]
    landed_on: bool
    wall_ends: tuple[WallEndSeen, ...]

    @property
    def outline(self) -> tuple[Point, ...]:
        """The level's outline as a closed shape."""
        return outline_of(self.edges.values())

    def bay_ends(self, track: Track, bay: Bay) -> tuple[Point, Point]:
        """The centres of a bay's posts, or the wall faces that it meets."""
        return (
            self.posts[bay.start].at if bay.start is not None else track.points[0],
            self.posts[bay.end].at if bay.end is not None else track.points[-1],
        )

    def large_bay(self, scale: Scale) -> float:
        """Length in mm on paper that nine of ten bays do not exceed; infinite without a bay."""
        bays = sorted(self.bay_lengths())
        return bays[len(bays) * 9 // 10] * scale.per_unit if bays else math.inf

    def bay_lengths(self) -> Iterator[Length]:
        """The length of each bay of the level and of its flights, from mark to mark."""
        for track in self.tracks.values():
            yield from (math.dist(*pair) for pair in pairwise(track.points))

    def is_tight(self, scale: Scale) -> bool:
        """Whether nine of ten bays are so short on paper that their ids find no room."""
        return self.large_bay(scale) < TIGHT

    def is_narrow(self, scale: Scale) -> bool:
        """Whether nine of ten bays are so short on paper that their ids stand away from them.

        There they stand among the marks of other bays.
        """
        return self.large_bay(scale) < NARROW


def scenes_of(subject: Subject) -> list[Scene]:
    """A scene of every level, in the deck's order."""
    layout, setback = subject.layout, subject.kit.post.setback
    posts, runs = _by_level(layout.posts), _by_level(layout.runs)
    flights, wall_ends = _by_level(layout.flights), _by_level(layout.wall_ends)
    gates = {gate.place: gate for gate in layout.gates}
    openings = {each.place: placed_opening(each, gates.get(each.place)) for each in layout.openings}
    courses = {f.id: course_of(f, openings[f.opening], setback) for f in layout.flights}
    bays: dict[str, list[Bay]] = defaultdict(list)
    for bay in layout.bays:
        bays[bay.run].append(bay)
    said, lengths = _said(subject), _lengths(subject)
    edges = {each.id: edges_of(subject.deck, each) for each in subject.deck.levels}
    beside = _beside(edges)
    led_to = {flight.to_level for flight in layout.flights}

    def track(run: Run) -> Track:
        head = openings[courses[run.flight].flight.opening].opening if run.flight else None
        return track_of(run, tuple(bays[run.id]), head)

    return [
        Scene(
            subject=subject,
            level=level,
            edges={edge.number: edge for edge in edges[level.id]},
            posts={post.id: post for post in posts[level.id]},
            runs={run.id: run for run in runs[level.id]},
            tracks={run.id: track(run) for run in runs[level.id] if math.dist(*run.ends) > TOUCH},
            openings={k: each for k, each in openings.items() if each.opening.level == level.id},
            courses=tuple(courses[flight.id] for flight in flights[level.id]),
            said=said,
            lengths=lengths[level.id],
            beside=beside[level.id],
            landed_on=level.id in led_to,
            wall_ends=tuple(seen for seen in wall_ends[level.id] if not seen.is_inner),
        )
        for level in subject.deck.levels
    ]


def _by_level(records: Iterable[T]) -> dict[str, list[T]]:
    found: dict[str, list[T]] = defaultdict(list)
    for record in records:
        found[record.level].append(record)
    return found


def _said(subject: Subject) -> dict[tuple[str, str], Json]:
    names = {"runs": "id", "bays": "id", "openings": "opening", "flights": "id"}
    return {
        (member, each[name]): each
        for member, name in names.items()
        for each in subject.reply.get(member, ())
    }


def _lengths(subject: Subject) -> dict[str, dict[int, str]]:
    """By level, the length texts of edges in an outline that the reply says was taken by tape."""
    found: dict[str, dict[int, str]] = defaultdict(dict)
    for outline in subject.reply.get("surveyed", ()):
        sides = outline["sides"]
        found[outline["level"]] = {side["edge"]: side["length_text"] for side in sides}
    return found


def _beside(edges: Mapping[str, Sequence[Edge]]) -> dict[str, dict[str, tuple[int, ...]]]:
    """By level, the other levels that its edges lie along or over, with the edges' numbers."""
    names = list(edges)
    found: dict[str, dict[str, tuple[int, ...]]] = {name: {} for name in names}
    placed = [(i, edge) for i, name in enumerate(names) for edge in edges[name]]
    lines = [shapely.LineString(edge.points) for _, edge in placed]
    shapes = [shapely.Polygon(outline_of(edges[name])) for name in names]
    wide = shapely.buffer(shapes, TOUCH, join_style="mitre")
    shapely.prepare(wide)
    met = shapely.STRtree(wide).query(lines, predicate="intersects").T.tolist()
    for k, j in sorted(met):
        i, edge = placed[k]
        if i != j and _length_in(lines[k], wide[j]) > SHARED:
            name, other = names[i], names[j]
            found[name][other] = (*found[name].get(other, ()), edge.number)
    return found


def _length_in(line: shapely.LineString, shape: shapely.Polygon) -> float:
    """The length of a line within a shape.

    Asking first whether the shape covers all of it is far faster.
    """
    shared = line if shapely.covers(shape, line) else line.intersection(shape)
    length: float = shared.length
    return length
