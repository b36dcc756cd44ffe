"""The search for a sphere's way off a level: from over its deck to where it falls (`ways_off`).

The sphere's middle may be wherever no body is nearer than its radius, no higher than the guard lets
the sphere, and no deeper than its own size below the deck. At some twenty heights all such places
are found in plan; places at one height are joined to those at the next that they lie over. If what
is over the deck's middle is joined to a place off all decks, the sphere gets out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tests.properties.sphere.bodies import ENDLESS, Bodies, Surface

MORE: Final = (1.004, 0.003)
"""How much wider the sphere is than the code's, as circles are polygons here: by this factor, and
by so much of an inch."""
LEAST_STEP: Final = 0.15
"""In inches: heights closer together than this are one."""


class Way(NamedTuple):
    """A way off a level: its id, how high over its deck it ends, where it crosses decks' edges."""

    level: str
    height: float
    at: tuple[tuple[float, float], ...]


def ways_off(
    bodies: Bodies, closed: Sequence[BaseGeometry], diameter: float | None = None
) -> list[Way]:
    """The ways of a sphere off each level that needs a guard, one of each level.

    closed: places in plan that count as closed, whatever stands there. diameter: of the sphere,
    the code's where left out.
    """
    wide = bodies.sphere * MORE[0] + MORE[1] * bodies.inch if diameter is None else diameter
    found = []
    for level in bodies.levels.values():
        if bodies.needs_guard(level.height):
            way = _Search(bodies, level, wide / 2, closed).way()
            if way is not None:
                found.append(way)
    return found


class _Search:
    """The search from one level. radius: the sphere's."""

    def __init__(
        self, bodies: Bodies, level: Surface, radius: float, closed: Sequence[BaseGeometry]
    ) -> None:
        self.bodies, self.level, self.radius = bodies, level, radius
        # Who goes over to these levels falls no further than the code lets them.
        self.reached = [
            each
            for each in bodies.levels.values()
            if not bodies.needs_guard(level.height - each.height)
        ]
        sides = [*closed, *bodies.closed.get(level.own, []), *self.ways_over()]
        self.shapes = np.array([each.shape for each in bodies.solids] + sides, dtype=object)
        ends = [(each.low, each.high) for each in bodies.solids]
        self.spans = np.array(ends + [(-ENDLESS, ENDLESS)] * len(sides))

    @cached_property
    def decks(self) -> BaseGeometry:
        """The decks that nobody falls from the level onto, and the flights."""
        return shapely.union_all([each.shape for each in self.reached] + self.bodies.flights)

    @cached_property
    def plan(self) -> BaseGeometry:
        """All that is looked at in plan: 30 in round the decks."""
        return self.decks.envelope.buffer(30 * self.bodies.inch, join_style="mitre")

    def ways_over(self) -> Iterator[BaseGeometry]:
        """The level's openings onto another level's open edge: past them somebody is on that level.

        The ends of those levels' railings are looked at from over the open edges, and from there.
        So it is past its open edges onto levels that need no guard: there its railings end.
        """
        open_edges = [
            line
            for each in self.reached
            if each is not self.level
            for edge, line in each.edges.items()
            if each.condition(edge) == "open"
        ]
        near = 0.3 * self.bodies.inch
        low = [each for each in self.reached if not self.bodies.needs_guard(each.height)]
        for edge, line in self.level.edges.items():
            if self.level.condition(edge) == "open":
                yield from (line.intersection(each.shape.buffer(near)) for each in low)
        for opening in self.level.drawn["openings"]:
            edge = self.level.edges[opening["edge"]]
            middle = edge.interpolate(opening["from"] + opening["width"] / 2)
            if any(line.distance(middle) < near for line in open_edges):
                yield self.bodies.named[f"{self.level.own}/{opening['id']}"]

    def heights(self) -> list[float]:
        """The heights of the sphere's middle that are looked at, from the lowest.

        They lie by the deck, under the bottom rail, evenly up to the guard's top, and just beside
        the top and the foot of each body, where the sphere may get over or under it.
        """
        r, foot = self.radius, self.level.height
        top = foot + self.level.guard - r
        found = [foot + part * r for part in (-1.05, -0.6, -0.2, 0.3, 0.7)]
        found += [foot + r + 1e-3, foot + self.bodies.bottom_gap + 1e-3]
        found += np.linspace(foot + r + 1e-3, top - 1e-3, 9).tolist()
        for solid in self.bodies.solids:
            if solid.kind not in ("rail", "wall", "raked"):
                found += [solid.high + r + 2e-3, solid.high - 1e-3]
                found += [solid.low - r - 2e-3, solid.low + 1e-3]
        found += [each.height + each.guard - r - 1e-3 for each in self.reached]
        kept: list[float] = []
        for height in sorted(found):
            in_reach = foot - 1.06 * r <= height <= top
            if in_reach and (not kept or height - kept[-1] > LEAST_STEP * self.bodies.inch):
                kept.append(height)
        return kept

    def free(self, height: float) -> list[BaseGeometry]:
        """The parts of the plan where the sphere's middle may be at a height."""
        off = np.maximum(np.maximum(self.spans[:, 0] - height, height - self.spans[:, 1]), 0.0)
        near = off < self.radius
        reach = np.sqrt(self.radius**2 - off[near] ** 2)
        taken = shapely.union_all(shapely.buffer(self.shapes[near], reach, quad_segs=16))
        open_to = self.plan.difference(shapely.union_all([taken, *self.barred(height)]))
        return [part for part in shapely.get_parts(open_to) if part.geom_type == "Polygon"]

    def barred(self, height: float) -> Iterator[BaseGeometry]:
        """Where a sphere would go over another deck, which is no way off the level.

        It is none over or beside a level that is low enough to need no guard, nor over the middle
        of any other level, from where that level's own search begins; nor so high over a lower deck
        or tread that it would pass over the guard there.
        """
        r, level = self.radius, self.level
        for each in self.reached:
            if each is not level:
                low = not self.bodies.needs_guard(each.height)
                over = each.shape.buffer(r) if low else self.middle(each)
                yield over.difference(level.shape)
        for each in [*self.reached, *self.bodies.treads]:
            if height > each.height + each.guard - r + 1e-6:
                yield self._over(each)

    def _over(self, deck: Surface) -> BaseGeometry:
        """The place over a deck from which nothing higher lies between it and the sphere."""
        higher = [each.shape for each in self._surfaces if each.height > deck.height]
        over = deck.shape.difference(shapely.union_all(higher)).buffer(0.97 * self.radius)
        own = self.level.shape.buffer(-self.radius)
        return over if deck is self.level else over.difference(own)

    @cached_property
    def _surfaces(self) -> list[Surface]:
        return [*self.reached, *self.bodies.treads]

    def middle(self, level: Surface) -> BaseGeometry:
        """The part of a level that somebody on it can be over, up to its open edges.

        From a railing it is the sphere's radius off; from a bow, whose chords lie further inside,
        a hand's breadth more.
        """
        bodies, rail = self.bodies, max(self.bodies.setback + self.radius, 0.0)
        closed = []
        for edge, line in level.edges.items():
            condition = level.condition(edge)
            more = 0.0 if len(line.coords) == 2 else bodies.width + 2 * bodies.inch
            if condition != "open":
                closed.append(line.buffer(rail + more if condition == "guard" else self.radius))
        return level.shape.difference(shapely.union_all(closed))

    def way(self) -> Way | None:
        """A way off the level; None if there is none, or the level is too narrow to begin one."""
        bodies, r, foot = self.bodies, self.radius, self.level.height
        # At a corner between two open edges its tip may lie past what stands on other levels.
        start = self.middle(self.level).buffer(-r)
        if start.is_empty:
            return None
        slices = [(height, self.free(height)) for height in self.heights()]
        parts = [(height, part) for height, each in slices for part in each]
        groups = _joined([each for _, each in slices], 1e-4 * bodies.inch**2)
        begun = {
            group
            for group, (height, part) in zip(groups, parts, strict=True)
            if height >= foot + 0.9 * r and part.intersects(start)
        }
        # Out is off all decks: further than a rail and a post reach, or down beside the deck.
        hung = 0.0 if bodies.setback >= 0 else abs(bodies.setback) + bodies.width
        far = self.plan.difference(self.decks.buffer(r + max(0.5 * bodies.inch, hung)))
        below = self.plan.difference(self.decks.buffer(0.9 * r))
        for group, (height, part) in zip(groups, parts, strict=True):
            low = height <= foot - 0.99 * r
            if group in begun and (part.intersects(far) or (low and part.intersects(below))):
                met = shapely.get_parts(part.intersection(self.decks.boundary))
                at = [each.centroid.coords[0] for each in met if not each.is_empty]
                places = tuple((round(x, 2), round(y, 2)) for x, y in at[:4])
                return Way(self.level.own, round(height - foot, 2), places)
        return None


def _joined(slices: Sequence[Sequence[BaseGeometry]], least: float) -> list[int]:
    """The group of each part of each slice; parts of slices that follow are one group if they
    share more than the least area."""
    first = np.cumsum([0, *map(len, slices)]).tolist()
    group = list(range(first[-1]))

    def of(part: int) -> int:
        while group[part] != part:
            group[part] = group[group[part]]
            part = group[part]
        return part

    for number, (lower, upper) in enumerate(zip(slices, slices[1:], strict=False)):
        for i, j in shapely.STRtree(upper).query(lower, predicate="intersects").T.tolist():
            one, two = of(first[number] + i), of(first[number + 1] + j)
            if one != two and lower[i].intersection(upper[j]).area > least:
                group[one] = two
    return [of(part) for part in range(len(group))]
