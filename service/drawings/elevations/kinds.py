"""Drawings: which bays, runs and gates are alike, so that each kind is drawn once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final, TypeVar

from service.core.measure import Point
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Bay, Run
from service.drawings.elevations.notes import bay_note, measures_words
from service.drawings.elevations.standing import SaidBay
from service.drawings.ground import edges_of, solid_at
from service.drawings.marks import SMALL, clipped
from service.drawings.parts import Json, Subject

T = TypeVar("T")
NAME: Final = 24.0
"""In mm, the room for the name of what a rail ends at."""
_OWN: Final = {"id", "run", "from", "to", "flight"}
"""Members of a bay that say which one it is, not what it is like."""


@dataclass(frozen=True, slots=True)
class Lookup:
    """The parts of a layout, by what they are looked up by.

    bays: by run, each with the reply's record. runs: the reply's, by id. first: by bay, the first
    bay with the same filling, under which it is told. kinds: by bay, a key that is equal for bays
    wholly alike. panels: rows of the glass order, by bay or opening. heights: of posts, as the
    reply has them. height_texts: their texts. measures: by measured bay, its two measures in words.
    """

    subject: Subject
    bays: dict[str, list[SaidBay]]
    runs: dict[str, Json]
    first: dict[str, str]
    kinds: dict[str, str]
    panels: dict[str, Json]
    heights: dict[str, float]
    height_texts: dict[str, str]
    measures: dict[str, str]

    @property
    def kit(self) -> Kit:
        """The kit of the job."""
        return self.subject.kit

    @property
    def deck(self) -> Deck:
        """The deck of the job."""
        return self.subject.deck

    def note(self, said: Json, *, places: bool) -> str:
        """A sentence of what is built into a bay, as `bay_note` says it."""
        panel, measures = self.panels.get(said["id"]), self.measures.get(said["id"], "")
        return bay_note(said, panel, self.subject.deck, measures, places=places)


def look_up(subject: Subject) -> Lookup:
    """The lookup of a job, ready to be drawn from."""
    reply, bays = subject.reply, {run.id: list[SaidBay]() for run in subject.layout.runs}
    panels = {place: row for row in reply["glass_order"] for place in row["bays"]}
    measures = {each.bay: measures_words(each, reply) for each in subject.layout.measures}
    kinds, firsts, first = {}, dict[str, str](), {}
    for bay, said in zip(subject.layout.bays, reply["bays"], strict=True):
        bays[bay.run].append((bay, said))
        like = {name: value for name, value in said.items() if name not in _OWN}
        skews = tuple(round(skew, 4) for skew in bay.skews)
        measured = measures.get(bay.id, "")
        kinds[bay.id] = repr((like, skews, said["from"] is None, said["to"] is None, measured))
        note = bay_note(said, panels.get(bay.id), subject.deck, measured, places=True)
        first[bay.id] = firsts.setdefault(note.partition(":")[2], bay.id)
    heights = {post["id"]: post["height"] for post in reply["posts"]}
    height_texts = {post["id"]: post["height_text"] for post in reply["posts"]}
    runs = {run["id"]: run for run in reply["runs"]}
    return Lookup(subject, bays, runs, first, kinds, panels, heights, height_texts, measures)


def is_first(lookup: Lookup, bay: Bay) -> bool:
    """Whether a bay is told in full; of other bays it is said which bay they are filled as."""
    return lookup.first[bay.id] == bay.id


def alike(things: Iterable[T], kind: Callable[[T], object]) -> list[list[T]]:
    """Things in groups of one kind, in the order of their first members.

    >>> alike(["ab", "c", "de"], len)
    [['ab', 'de'], ['c']]
    """
    found: dict[object, list[T]] = {}
    for thing in things:
        found.setdefault(kind(thing), []).append(thing)
    return list(found.values())


def met_at(lookup: Lookup, level: str, at: Point) -> str:
    """What a rail or a leaf meets where it has no post, in words short enough for a view."""
    deck = lookup.deck
    its = next(each for each in deck.levels if each.id == level)
    edges = edges_of(deck, its) if its.obstructions else ()
    return clipped(solid_at(its, edges, at), SMALL, NAME)


def run_kind(lookup: Lookup, run: Run) -> object:
    """A key equal for runs drawn alike: their marks, bays, post heights, and what they end at."""
    bays = lookup.bays[run.id]
    posts = dict.fromkeys(post for bay, _ in bays for post in (bay.start, bay.end) if post)
    return (
        tuple(lookup.runs[run.id]["marks"]),
        tuple(lookup.kinds[bay.id] for bay, _ in bays),
        tuple(lookup.heights[post] for post in posts),
        tuple(
            None if post or run.flight else met_at(lookup, run.level, at)
            for post, at in zip((run.start, run.end), run.ends, strict=True)
        ),
        run.flight is None,
    )
