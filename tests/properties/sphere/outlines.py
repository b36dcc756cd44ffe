"""Levels that share edges, drawn at random in inches, each counter-clockwise.

They lie side by side, in each other's inner corner, at the foot of a flight, or alone; a third one
may lie along the edge of one of them.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from shapely import Polygon

from tests.properties.test_solid import Json, Point

STEP = 1 / 16
"""In inches: columns lie on this grid, as they would by tape."""


@dataclass
class Level:
    """A level as it is drawn: `edges[i]` runs from corner i to the next, counter-clockwise."""

    name: str
    drop: float
    corners: list[Point]
    edges: list[Json]
    openings: list[Json] = field(default_factory=list)
    obstructions: list[Json] = field(default_factory=list)
    no_post: list[Json] = field(default_factory=list)

    def ends(self, edge: int) -> tuple[Point, Point]:
        """The two corners of an edge."""
        return self.corners[edge], self.corners[(edge + 1) % len(self.corners)]

    def length(self, edge: int) -> float:
        """The straight length of an edge."""
        return math.dist(*self.ends(edge))

    def plain_guards(self, least: float) -> list[int]:
        """The straight guarded edges of at least a length that have no opening."""
        taken = {opening["edge"] for opening in self.openings}
        return [
            number
            for number, edge in enumerate(self.edges)
            if edge["condition"] == "guard"
            and "arc_rise" not in edge
            and number not in taken
            and self.length(number) >= least
        ]

    def open(self, edge: int, start: float, width: float, use: str) -> None:
        """Put an opening into an edge."""
        opening = {"id": f"to-{len(self.openings)}", "edge": edge, "use": use}
        self.openings.append(opening | {"from": round(max(start, 0.0), 4), "width": width})


def drawn_edge(rng: random.Random, *conditions: str) -> Json:
    """An edge of one of the conditions; a guarded one with infill, height and ends of its own."""
    edge: Json = {"condition": rng.choice(conditions)}
    if edge["condition"] == "guard":
        if rng.random() < 0.5:
            edge["infill"] = rng.choice(["picket", "glass"])
        if rng.random() < 0.2:
            edge["height"] = rng.choice([36, 42])
        if rng.random() < 0.5:
            edge["wall_end"] = rng.choice(["bracket", "post"])
        if rng.random() < 0.8:
            edge["open_end"] = "edge"
    return edge


def drops(rng: random.Random) -> tuple[float, float]:
    """The drops of two levels, the higher one first, each over the figure of most codes."""
    high, step = (
        float(rng.choice([40, 48, 60])),
        rng.choice([6, 7, 7.5, 12, 16, 20, 24, 29, 30, 36, 38]),
    )
    high += max(0.0, 31 + step - high)
    return high, high - step


def side_by_side(rng: random.Random) -> list[Level]:
    """Two levels along one line, askew or square, that share a part of it or the whole."""
    length, depth = rng.choice([100, 150, 200]), rng.choice([80, 120])
    small = rng.choice([3.5, 4, 2.25, 6.9375])
    low = rng.choice([0, 0, 0, rng.uniform(2, 30), -rng.uniform(2, 30), small])
    high = depth + rng.choice([0, 0, rng.uniform(2, 30), -rng.uniform(2, 30)])
    lean = rng.choice([0, 0, 0, rng.uniform(-0.3, 0.3), rng.uniform(-0.02, 0.02)])
    apart = rng.choice([0, 0, 0, 0, 0.0625, 0.125])
    over, under = drops(rng)
    if rng.random() < 0.3:
        over, under = under, over
    crossed = rng.choice(["open", "open", "open", "gate", "passage", "guard"])
    first, last = max(0.0, low), min(depth, high)

    def at(y: float, off: float = 0.0) -> Point:
        return length + lean * (y - depth / 2) + off, y

    places = sorted({0.0, first, last, float(depth)})
    one = Level("one", over, [(0, 0), *map(at, places), (0, depth)], [])
    one.edges = [drawn_edge(rng, "guard", "guard", "wall")]
    for start, end in zip(places, places[1:], strict=False):
        shared = first <= start and end <= last
        one.edges.append(drawn_edge(rng, "open" if shared and crossed == "open" else "guard"))
        if shared and crossed in ("gate", "passage") and end - start > 66:
            start_at = rng.choice([10, end - start - 46, rng.uniform(8, end - start - 44)])
            one.open(len(one.edges) - 1, start_at, 36, crossed)
    one.edges += [drawn_edge(rng, "guard", "guard", "wall"), drawn_edge(rng, "guard", "wall")]
    places = sorted({low, first, last, high}, reverse=True)
    width, skews = (
        rng.choice([60, 100, 140]),
        [rng.choice([0, 0, rng.uniform(-20, 20)]) for _ in "ab"],
    )
    far = [(length + width, low + skews[0]), (length + width, high + skews[1])]
    two = Level("two", under, [*(at(y, apart) for y in places), *far], [])
    beside = ["open", "open", "open", "guard", "wall"] if crossed == "open" else ["open", "guard"]
    for end, start in zip(places, places[1:], strict=False):
        shared = first <= start and end <= last
        others = ["guard", "guard", "guard", "wall"]
        two.edges.append(drawn_edge(rng, *(beside if shared else others)))
    two.edges += [drawn_edge(rng, "guard", "guard", "guard", "wall") for _ in range(3)]
    return [one, two]


def in_a_notch(rng: random.Random) -> list[Level]:
    """A level with an inner corner, and another one in that corner, smaller or larger than it."""
    length, depth = rng.choice([120, 160, 200]), rng.choice([120, 160])
    x, y = rng.choice([60, 80]), rng.choice([50, 70])
    lean = rng.choice([0, 0, rng.uniform(-6, 6)])
    over, under = drops(rng)
    if rng.random() < 0.25:
        over, under = under, over
    right = length + rng.choice([0, 0, -rng.uniform(5, 30), rng.uniform(5, 30)])
    top = depth + rng.choice([0, 0, -rng.uniform(5, 30), rng.uniform(5, 30)])

    def at(high: float) -> Point:
        return x + lean * (depth - high) / (depth - y), high

    kinds = [rng.choice(["open", "open", "guard"]) for _ in "ab"]
    one = Level("one", over, [(0, 0), (length, 0), (length, y)], [])
    one.edges = [drawn_edge(rng, "guard", "wall"), drawn_edge(rng, "guard")]
    if right < length:
        one.corners.append((right, y))
        one.edges.append(drawn_edge(rng, "guard"))
    one.corners.append(at(y))
    one.edges.append(drawn_edge(rng, kinds[0]))
    if top < depth:
        one.corners.append(at(top))
    one.edges.append(drawn_edge(rng, kinds[1]))
    if top < depth:
        one.edges.append(drawn_edge(rng, "guard"))
    one.corners += [at(depth), (0, depth)]
    one.edges += [drawn_edge(rng, "guard", "wall"), drawn_edge(rng, "guard", "wall")]
    two = Level("two", under, [at(y)], [])
    if right > length:
        two.corners.append((length, y))
        two.edges.append(drawn_edge(rng, "open", "open", "guard"))
        two.edges.append(drawn_edge(rng, "guard"))
    else:
        two.edges.append(drawn_edge(rng, "open", "open", "guard"))
    two.corners += [(right, y), (right, top), at(top)]
    two.edges += [drawn_edge(rng, "guard"), drawn_edge(rng, "guard", "wall")]
    if top > depth:
        two.corners.append(at(depth))
        two.edges.append(drawn_edge(rng, "guard"))
    two.edges.append(drawn_edge(rng, "open", "open", "guard"))
    return [one, two]


def alone(rng: random.Random) -> list[Level]:
    """One level with corners of any angle, some of its edges bowed."""
    kind = rng.choice(["any", "bend", "inner"])
    if kind == "any":
        count = rng.randint(4, 7)
        radii = [rng.uniform(60, 140) for _ in range(count)]
        turn = 2 * math.pi / count
        corners = [(r * math.cos(turn * i), r * math.sin(turn * i)) for i, r in enumerate(radii)]
    elif kind == "bend":
        bend, end = rng.choice([148, 152, 145, 160]), rng.choice([121, 118, 130])
        corners = [(0, 0), (150, 0), (150, rng.choice([60, 90])), (bend, 120), (80, end), (0, 120)]
    else:
        x, far = rng.uniform(70, 90), rng.uniform(70, 90)
        corners = [(0, 0), (160, 0), (160, 60), (x, 60), (far, 130), (0, 130)]
    edges = [drawn_edge(rng, "guard", "guard", "guard", "wall") for _ in corners]
    return [
        Level("one", rng.choice([48, 60]), [(round(x, 3), round(y, 3)) for x, y in corners], edges)
    ]


def down_to(rng: random.Random) -> tuple[list[Level], Json]:
    """A level with a flight down to a lower one, which has the foot at its edge or round it."""
    risers, going, width = (
        rng.choice([3, 4, 5]),
        rng.choice([10, 10.5, 11]),
        rng.choice([36, 40, 48]),
    )
    high, at, run = rng.choice([75, 84]), rng.uniform(20, 80), (risers - 1) * going
    one = Level("one", high, [(0, 0), (160, 0), (160, 80), (0, 80)], [])
    one.edges = [
        drawn_edge(rng, *each) for each in (["guard"], ["guard"], ["wall"], ["wall", "guard"])
    ]
    one.open(0, at, width, "stair")
    off = rng.choice([0, 0, 0, rng.uniform(0, 6)])
    back, beside = -run - off, rng.uniform(-1, 8)
    left, right = at - rng.uniform(5, 60), at + width + rng.uniform(5, 60)
    kind = rng.choice(["open", "passage", "parted", "inner"])
    if kind == "open":
        left, right = at - rng.uniform(1, 10), at + width + rng.uniform(1, 10)
    foot = [(right, back), (left, back)]
    middle: list[list[str]] = [["open"]] if kind == "open" else [["guard"]]
    if kind == "parted":
        foot[1:1] = [(at + width + beside, back), (at - beside, back)]
        middle = [["guard"], ["open"], ["guard"]]
    elif kind == "inner":
        side = at + width + abs(beside)
        foot = [(right, 0), (side, 0), (side, -run), (left, -run)]
        middle = [["open", "guard"], ["open", "guard"], ["open"]]
    two = Level("two", high - risers * 7.5, [(left, back - 80), (right, back - 80), *foot], [])
    kinds = [["guard"], ["guard", "wall"], *middle, ["guard", "wall"]]
    two.edges = [drawn_edge(rng, *each) for each in kinds]
    if kind == "passage":
        two.open(2, right - at - width - beside, width + 2 * beside, "passage")
    stair = stair_to(one, risers, going, risers * 7.5)
    return [one, two], stair | {"foot_post": rng.choice(["tread", "ground"])}


def stair_to(level: Level, risers: int, going: float, rise: float) -> Json:
    """A flight down from the last opening of a level."""
    stair: Json = {"id": "down", "opening": f"{level.name}/{level.openings[-1]['id']}"}
    stair |= {"rise": rise, "risers": risers, "going": going, "nosing": 1}
    return stair | {"guards": ["left", "right"], "handrail": ["right"]}


def add_third(rng: random.Random, levels: list[Level]) -> None:
    """Open a guarded edge of a level to a third level, as long as it or longer at either end."""
    beside = rng.choice(levels)
    guards = beside.plain_guards(40)
    if not guards:
        return
    edge = rng.choice(guards)
    (x, y), end = beside.ends(edge)
    length = beside.length(edge)
    ux, uy = (end[0] - x) / length, (end[1] - y) / length
    step = rng.choice([6, 7, 7.5, 12, 20, 24])
    drop = beside.drop - step if beside.drop - step >= 31 else beside.drop + step
    more = [rng.choice([0, 0, 0, rng.uniform(4, 25)]) for _ in "ab"]
    depth, lean = rng.choice([40, 70]), rng.choice([0, 0, rng.uniform(-8, 8)])

    def at(along: float, out: float) -> Point:
        return round(x + ux * along + uy * out, 6), round(y + uy * along - ux * out, 6)

    outline = [at(length, 0), at(0, 0), at(-more[0] + lean, depth), at(length + more[1], depth)]
    kinds = [["open"], *[["guard", "guard", "guard", "wall"]] * 3]
    if more[0]:
        outline.insert(2, at(-more[0], 0))
        kinds.insert(1, ["guard"])
    if more[1]:
        outline.append(at(length + more[1], 0))
        kinds.append(["guard"])
    if any(Polygon(one.corners).intersection(Polygon(outline)).area > 1 for one in levels):
        return
    beside.edges[edge] = drawn_edge(rng, "open")
    levels.append(Level("three", drop, outline, [drawn_edge(rng, *each) for each in kinds]))


def put_columns(rng: random.Random, level: Level, places: Sequence[Point], count: int) -> None:
    """Put columns and planters near places, some of a known height."""
    for number in range(count):
        x, y = (round((v + rng.uniform(-9, 9)) / STEP) * STEP for v in rng.choice(places))
        wide, deep = (rng.choice([1, 2, 3, 4, 6, 8]) for _ in "ab")
        turn = complex(math.cos(a := rng.choice([0, 0, 0, 0.3, 0.785])), math.sin(a))
        ring = [
            complex(*c) * turn for c in ((-wide, -deep), (wide, -deep), (wide, deep), (-wide, deep))
        ]
        points = [[x + at.real / 2, y + at.imag / 2] for at in ring]
        column: Json = {"name": f"column {level.name} {number}", "points": points}
        height = rng.choice([None, 96, 96, 96, 36, 12, 30, 42])
        level.obstructions.append(column | ({"height": height} if height else {}))
