"""Drawings, plans: numbered flags at the places where findings fail."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import box_of
from service.drawings.marks import Stroke, Words
from service.drawings.naming import cited, together
from service.drawings.parts import Json
from service.drawings.plans.paper import LEADER, SOLID, Paper
from service.drawings.plans.placing import Aside, Label, best_led, cost_of_line, nearest
from service.drawings.plans.scene import Scene
from service.drawings.points import between

MOST: Final = 40
"""The most flags of one drawing."""
EACH: Final = 8
"""The most places that get a flag for one finding.

A place that it names and that has a flag for another finding shows its number too.
"""
NUMBERS: Final = 4
"""The most numbers, or ranges of numbers, on a flag."""
AWAY: Final = 4.0
"""In mm, from a place to its flag."""


@dataclass(frozen=True, slots=True)
class Flagged:
    """The failed findings of one rule, clause and severity, which share a number.

    number: in the reply's order, over all levels. where: the places that they name.
    """

    number: int
    rule: str
    cite: str
    severity: str
    where: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Concern:
    """What failed findings of one number say of a level.

    here: the places on this level, empty where they concern the whole level. flags: those of the
    places that get a flag, as a drawing has no room for all.
    """

    flagged: Flagged
    here: tuple[str, ...]
    flags: tuple[str, ...]

    @property
    def places(self) -> str:
        """How many places there are, and which have no flag; empty where there is at most one.

        >>> flagged, ids = Flagged(1, "guard_height", "", "violation", ()), ("B1", "B2", "B3")
        >>> Concern(flagged, ids, ids).places, Concern(flagged, ids, ids[:2]).places
        (' (3 places)', ' (3 places; no flag at B3)')
        """
        if len(self.here) < 2:
            return ""
        bare = together(name for name in self.here if name not in self.flags)
        return f" ({len(self.here)} places{f'; no flag at {bare}' if bare else ''})"


def flagged_of(reply: Json) -> list[Flagged]:
    """The violations and warnings of a reply, numbered in its order."""
    found: dict[tuple[str, str, str], dict[str, None]] = {}
    for each in reply["findings"]:
        if each["result"] == "fail" and each["severity"] in ("violation", "warning"):
            key = each["rule"], cited(each, reply), each["severity"]
            found.setdefault(key, {}).update(dict.fromkeys(each["where"]))
    return [Flagged(i, *key, tuple(where)) for i, (key, where) in enumerate(found.items(), 1)]


def places_of(scene: Scene) -> dict[str, Point]:
    """Where everything lies on a level that a finding may name, by that name."""
    found = {each.flight.id: each.at(0.5, each.flight.total_going / 2) for each in scene.courses}
    found |= {place: placed.middle for place, placed in scene.openings.items()}
    found |= {
        f"{scene.level.id}/edge {number}": edge.place(0.5) for number, edge in scene.edges.items()
    }
    # Findings name only corners measured by two tapes (ties), which are counted from the corner
    # after A.
    found |= {
        f"{scene.level.id}/corner {number - 1}": edge.place(0.0)
        for number, edge in scene.edges.items()
        if number
    }
    for track in scene.tracks.values():
        found[track.run.id] = track.middle
        for bay in track.bays:
            found[bay.id] = between(*scene.bay_ends(track, bay))
    return found | {post.id: post.at for post in scene.posts.values()}


def concerning(flagged: list[Flagged], scene: Scene, places: Mapping[str, Point]) -> list[Concern]:
    """What failed findings say of a level."""
    found = [(each, tuple(name for name in each.where if name in places)) for each in flagged]
    whole = scene.subject.layout.level_place(scene.level.id)
    found = [(each, here) for each, here in found if here or whole in each.where]
    first = (name for _, here in found for name in here[:EACH])
    flags = frozenset(list(dict.fromkeys(first))[:MOST])
    return [Concern(each, here, tuple(x for x in here if x in flags)) for each, here in found]


def draw_flags(paper: Paper, concerns: list[Concern], places: Mapping[str, Point]) -> None:
    """Draw one flag at each place, with the numbers of all that failed there."""
    flags: dict[str, list[int]] = {}
    for concern in concerns:
        for name in concern.flags:
            flags.setdefault(name, []).append(concern.flagged.number)
    for name, numbers in flags.items():
        _flag(paper, places[name], _numbered(numbers))


def _numbered(numbers: list[int]) -> str:
    """The numbers on a flag, three or more that follow on each other drawn together.

    >>> _numbered([2, 3, 4, 5, 8]), _numbered([1, 2]), _numbered([1, 3, 5, 7, 9])
    ('2-5,8', '1,2', '1,3,5,7…')
    """
    runs = together(map(str, numbers), lambda one, other: int(one) + 1 == int(other)).split(", ")
    return ",".join(runs[:NUMBERS]) + ("…" if len(runs) > NUMBERS else "")


def _flag(paper: Paper, at: Point, text: str) -> None:
    def crossed(words: Words) -> int:
        end = nearest(box_of(words, paper.scale, 0.4), at)
        return cost_of_line(paper, (at, end), AWAY / 2)

    aside = Aside(at, (-0.6, 0.8), AWAY)
    words, cost = best_led(paper, aside, Label(text), crossed)
    if words is None or cost >= SOLID:
        paper.left_out += 1
        return
    corners = box_of(words, paper.scale, 0.4)
    paper.draw(Stroke("words", (at, nearest(corners, at)), leads_to=words), LEADER)
    paper.draw(Stroke("words", corners, closed=True, filled=True, under=words))
    paper.draw(words)
