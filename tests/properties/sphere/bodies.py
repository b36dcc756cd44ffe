"""A deck's bodies, as solids over the plan: made from document, kit and reply, nothing of core.

A `Solid` is a shape in plan from one height to another. A level's surface lies as high as its drop.
Lengths are in the document's unit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, NamedTuple

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from tests.properties.sphere.plan import chain, direction, outward, square, stretch
from tests.properties.test_solid import Json, Point, kit_of

ENDLESS: Final = 1e5
"""As high or as low as no deck reaches."""

FIGURES: Final[dict[str, tuple[str, float, bool, float, float]]] = {
    "us-irc-2021": ("in", 30, False, 4, 36),
    "us-irc-2024": ("in", 30, False, 4, 36),
    "us-ibc-2021": ("in", 30, False, 4, 36),
    "us-ibc-2024": ("in", 30, False, 4, 36),
    "ca-nbc-2020": ("mm", 600, False, 100, 900),
    "gb-eng-adk-2013": ("mm", 600, False, 100, 1100),
    "au-ncc-2022": ("mm", 1000, True, 125, 1000),
    "nz-f4-as1": ("mm", 1000, True, 100, 1000),
}
"""What the codes print: the unit, the drop past which a guard is required, whether also at it, the
sphere that must not pass, and a guard's least height."""
TWINS: Final = (762.0, 102.0, 914.0)
"""What the American codes print in millimetres for 30, 4 and 36 in."""


class Solid(NamedTuple):
    """A body: its shape in plan, the heights from which to which it reaches, and what it is."""

    shape: BaseGeometry
    low: float
    high: float
    kind: str


@dataclass
class Surface:
    """A level's deck, or a tread, that somebody stands on.

    height: its surface. guard: the least height of a guard on it. own: id of the level, or of the
    level that the tread's flight leads down from.
    """

    own: str
    height: float
    shape: Polygon
    guard: float
    drawn: Json = field(default_factory=dict)
    edges: dict[int, LineString] = field(default_factory=dict)
    is_ccw: bool = True

    def heading(self, edge: int) -> Point:
        """Unit vector along the chord of an edge, counter-clockwise round the outline."""
        line = self.edges[edge]
        ux, uy = direction(line)
        return (ux, uy) if self.is_ccw else (-ux, -uy)

    def condition(self, edge: int) -> str:
        """Whether an edge is a guard's, a wall, or open."""
        return next(str(e["condition"]) for e in self.drawn["edges"] if e["edge"] == edge)


class Course(NamedTuple):
    """Where a flight leads down: from which level, from where on, in which direction."""

    level: Surface
    start: Point
    down: Point

    def along(self, x: float, y: float) -> float:
        """How far down the flight a place lies, in plan."""
        return (x - self.start[0]) * self.down[0] + (y - self.start[1]) * self.down[1]


class Bodies:
    """All that stands on the levels of a deck, but for the bays (`bays.stand`).

    named: shapes in plan by the names that findings have for them. closed: for each level, lines
    that count as closed for whoever comes from it: a flight down from it, which other rules judge.
    """

    def __init__(self, deck: Json, reply: Json) -> None:
        self.deck, self.reply, self.unit = deck, reply, deck["unit"]
        self.kit = kit_of(deck["kit"]) if isinstance(deck["kit"], str) else deck["kit"]
        self.inch = 1.0 if self.unit == "in" else 25.4
        unit, *figures = FIGURES[deck["code"]]
        drop, self.at_drop, sphere, guard = figures
        if unit == "in" != self.unit:
            drop, sphere, guard = TWINS
        else:
            drop, sphere, guard = (self._converted(each, unit) for each in (drop, sphere, guard))
        self.drop, self.sphere, self.guard = drop, sphere, guard
        self.width, self.setback = self._of_post("width"), self._of_post("setback")
        self.bottom_gap = self.in_unit(self.kit["bottom_gap"])
        self.posts = {post["id"]: post for post in reply["posts"]}
        self.runs = {run["id"]: run for run in reply["runs"]}
        self.bays = {bay["id"]: bay for bay in reply["bays"]}
        self.solids: list[Solid] = []
        self.named: dict[str, BaseGeometry] = {}
        self.treads: list[Surface] = []
        self.closed: dict[str, list[BaseGeometry]] = {}
        self.flights: list[BaseGeometry] = []
        self.feet: dict[str, LineString] = {}
        self.courses: dict[str, Course] = {}
        self.levels = {level["id"]: self._level(level) for level in deck["levels"]}
        for level in self.levels.values():
            self._walls(level)
        for stair in deck.get("stairs", []):
            self._flight(stair)
        for post in reply["posts"]:
            self._post(post)

    def in_unit(self, length: float) -> float:
        """A length of the kit in the document's unit."""
        return self._converted(length, self.kit["unit"])

    def needs_guard(self, drop: float) -> bool:
        """Whether the code requires a guard over a drop."""
        return drop >= self.drop - 1e-9 if self.at_drop else drop > self.drop + 1e-9

    def _converted(self, length: float, unit: str) -> float:
        if unit == self.unit:
            return length
        return length * 25.4 if unit == "in" else length / 25.4

    def _of_post(self, member: str) -> float:
        return self.in_unit(self.kit["post"][member])

    def add(self, shape: BaseGeometry, low: float, high: float, kind: str) -> None:
        if not shape.is_empty:
            self.solids.append(Solid(shape, low, high, kind))

    def _level(self, drawn: Json) -> Surface:
        """A level with its obstructions and the places of its openings."""
        points = [(x, y) for x, y in drawn["outline"]["points"]]
        ccw = Polygon(points).exterior.is_ccw
        rises = {each["edge"]: each.get("arc_rise", 0.0) for each in drawn["edges"]}
        edges = {
            number: chain(points[number], points[(number + 1) % len(points)], rises[number], ccw)
            for number in range(len(points))
        }
        outline = [at for line in edges.values() for at in line.coords[:-1]]
        level = Surface(drawn["id"], drawn["drop"], Polygon(outline), self.guard, drawn, edges, ccw)
        self.add(level.shape, -ENDLESS, level.height, "deck")
        for number, line in edges.items():
            self.named[f"{level.own}/edge {number}"] = line
        for each in drawn["obstructions"]:
            shape = Polygon(each["points"])
            self.named[each["name"]] = self.named[f"{level.own}/{each['name']}"] = shape
            if "height" in each:
                self.add(shape, level.height, level.height + each["height"], "obstruction")
        for each in drawn["openings"]:
            gap = stretch(edges[each["edge"]], each["from"], each["from"] + each["width"])
            reach = max(abs(self.setback), 0.0) + 2 * self.width
            self.named[f"{level.own}/{each['id']}"] = gap.buffer(reach)
        return level

    def _walls(self, level: Surface) -> None:
        """Walls as high as any, but for a part that may be no more than the face below a deck.

        A fascia's line takes a wall as going on past its outside corners (step 1): 8 in of it.
        """
        higher = shapely.union_all(
            [
                other.shape.buffer(0.3 * self.inch)
                for other in self.levels.values()
                if other.height > level.height + 1e-9
            ]
        )
        for number, line in level.edges.items():
            if level.condition(number) == "wall":
                # A wall that only comes up to a higher deck with its end stands beside it.
                below = line.intersection(higher).length > self.inch
                stands = line.difference(higher) if below else line
                self.add(stands, -ENDLESS, ENDLESS, "wall")
                if self.kit["mounting"] == "fascia":
                    (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
                    ux, uy = direction(line)
                    far = 8 * self.inch
                    on = [LineString([(ax, ay), (ax - ux * far, ay - uy * far)])]
                    on.append(LineString([(bx, by), (bx + ux * far, by + uy * far)]))
                    for each in on:
                        outside = each.difference(level.shape.buffer(1e-6))
                        self.add(outside, -ENDLESS, ENDLESS, "wall")

    def _flight(self, stair: Json) -> None:
        """A flight's treads; its sides and its foot are closed to whoever comes from its level.

        It is somewhat wider than its opening, as far as its guards' posts reach. A side without a
        guard is closed to all: what lies beside it is judged by other rules.
        """
        own, name = stair["opening"].split("/")
        level = self.levels[own]
        opening = next(each for each in level.drawn["openings"] if each["id"] == name)
        gap = stretch(
            level.edges[opening["edge"]], opening["from"], opening["from"] + opening["width"]
        )
        (ax, ay), (bx, by) = gap.coords[0], gap.coords[-1]
        ox, oy = outward(gap, level.is_ccw)
        ux, uy = direction(gap)
        self.courses[stair["id"]] = Course(level, (ax, ay), (ox, oy))
        more = 1.2 * self.width
        start, end = (ax - ux * more, ay - uy * more), (bx + ux * more, by + uy * more)

        def down(at: Point, along: float) -> Point:
            return at[0] + ox * along, at[1] + oy * along

        def strip(first: float, last: float) -> Polygon:
            return Polygon(
                [down(start, first), down(end, first), down(end, last), down(start, last)]
            )

        going, riser = stair["going"], stair["rise"] / stair["risers"]
        run = (stair["risers"] - 1) * going
        for number in range(1, stair["risers"]):
            height, shape = (
                level.height - number * riser,
                strip((number - 1) * going, number * going),
            )
            self.treads.append(Surface(own, height, shape, self.guard))
            self.add(shape, -ENDLESS, height, "tread")
        sides = [LineString([at, down(at, run)]) for at in (start, end)]
        foot = LineString([down(start, run), down(end, run)])
        self.closed.setdefault(own, []).extend([foot, *sides])
        self.feet[stair["id"]] = foot
        self.flights.append(strip(-0.01, max(run, 1.0)))
        self.named[stair["id"]] = self.flights[-1]
        # As seen going up, that is into the level, the left side lies to the left of `-o`.
        lefts = (ax - bx) * oy - (ay - by) * ox > 0
        for side, hand in zip(
            sides, ("left", "right") if lefts else ("right", "left"), strict=True
        ):
            if hand not in stair["guards"]:
                self.add(side, -ENDLESS, ENDLESS, "wall")

    def _post(self, post: Json) -> None:
        """A post on the surface that it stands on; of a fascia's, some of what hangs below it."""
        shape = square(post["at"], post["turned"], self.width)
        self.named[post["id"]] = shape
        foot = self._foot(post) if "flight" in post else self.levels[post["level"]].height
        low = foot if self.setback >= 0 else foot - 6 * self.inch
        self.add(shape, low, foot + post["height"], "post")

    def _foot(self, post: Json) -> float:
        """The height of the tread or the ground that a flight's post stands on."""
        stair = next(each for each in self.deck["stairs"] if each["id"] == post["flight"])
        level = self.courses[post["flight"]].level
        at = shapely.Point(post["at"])
        under = [
            each.height for each in self.treads if each.own == level.own and each.shape.covers(at)
        ]
        return max(under, default=level.height - stair["rise"])
