"""Decks as bodies, built in plan from document, kit and reply, without anything of core.

A post is a square, a picket or a panel a line along its bay, a rail a line between the faces that
hold it, and a level's deck its outline; each stands from one height to another above the ground.
Two bodies in the same place, or a gap that lets more through than findings say, are faults that no
rule of the method alone would show, however the corners, walls and levels of a deck come together.
"""

from __future__ import annotations

import copy
import json
import math
import random
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import shapely
from shapely import LineString, Polygon

import service.data
from service.answer import answer_document
from service.core.problems import Refusal
from service.data.catalogue import load_catalogue

Json = dict[str, Any]
Point = tuple[float, float]

KITS = ("picket-glass-surface-in", "picket-glass-fascia-in")
A_MARK = 1 / 16
"""In inches: bodies that share no more than this merely touch."""


@cache
def kit_of(name: str) -> Json:
    """A shipped kit's own document."""
    file = Path(service.data.__file__).parent / "kits" / f"{name}.json"
    kit: Json = json.loads(file.read_text("utf-8"))
    return kit


def drawn_level(rng: random.Random, name: str, drop: float, middle: Point) -> Json:
    """A level with corners of any angle about `middle`, inner ones too, walls and open edges."""
    count = rng.randint(3, 7)
    turn = 2 * math.pi / count
    radii = [rng.uniform(70, 170) for _ in range(count)]
    points = [
        [round(middle[k] + r * (math.cos, math.sin)[k](turn * i), 4) for k in (0, 1)]
        for i, r in enumerate(radii)
    ]
    edges = []
    for number in range(count):
        condition = rng.choice(["guard", "guard", "guard", "wall", "open"])
        ends = {}
        if condition == "guard":
            ends = {
                "wall_end": rng.choice(["bracket", "post"]),
                "open_end": rng.choice(["setback", "edge"]),
            }
        infill = {"infill": rng.choice(["picket", "glass"])} if condition == "guard" else {}
        edges.append({"edge": number, "condition": condition, **ends, **infill})
    if rng.random() < 0.4:
        points.reverse()
    return {"id": name, "drop": drop, "outline": {"points": points}, "edges": edges}


@cache
def decks(count: int, seed: int, levels: int) -> list[tuple[Json, Json]]:
    """Random documents that are not refused, with their replies."""
    rng, catalogue = random.Random(seed), load_catalogue()
    found: list[tuple[Json, Json]] = []
    while len(found) < count:
        drawn = [drawn_level(rng, "high", 60, (0, 0))]
        if levels > 1:
            middle = rng.uniform(100, 260), rng.uniform(-90, 90)
            drawn.append(drawn_level(rng, "low", rng.choice([31, 45, 52]), middle))
        guard = {"infill": "picket", "height": 36}
        deck = {"unit": "in", "kit": rng.choice(KITS), "guard": guard, "levels": drawn}
        deck["code"] = "us-irc-2021"
        try:
            found.append((deck, answer_document(deck, catalogue)))
        except Refusal:
            continue
    return found


class Body(NamedTuple):
    """A body: its names, its shape in plan, and the heights from which to which it reaches."""

    names: frozenset[str]
    shape: shapely.Geometry
    foot: float
    top: float


class Placed(NamedTuple):
    """A bay: the faces of what it stands between, and each body of its infill as a line."""

    bay: Json
    faces: tuple[Point, Point]
    infill: list[LineString]


class Twin:
    """A deck's bodies.

    wrong: bays whose posts do not leave their clear opening.
    """

    def __init__(self, deck: Json, reply: Json) -> None:
        self.kit, self.reply = kit_of(deck["kit"]), reply
        self.levels = {level["id"]: level for level in deck["levels"]}
        self.width = self.kit["post"]["width"]
        self.posts = {post["id"]: post for post in reply["posts"]}
        self.runs = {run["id"]: run for run in reply["runs"]}
        self.wrong: list[str] = []
        self.bays = [placed for bay in reply["bays"] if (placed := self._placed(bay)) is not None]

    def square(self, post: str) -> Polygon:
        """The square of a post in plan."""
        (x, y), turned = self.posts[post]["at"], self.posts[post]["turned"]
        far = self.width / math.sqrt(2)
        angles = [math.radians(turned + 45 + 90 * k) for k in range(4)]
        return Polygon((x + far * math.cos(a), y + far * math.sin(a)) for a in angles)

    def heading(self, run: Json) -> Point:
        """The heading of a run, which is its edge's, counter-clockwise round the outline."""
        points = self.levels[run["level"]]["outline"]["points"]
        (ax, ay), (bx, by) = points[run["edge"]], points[(run["edge"] + 1) % len(points)]
        way = 1 if Polygon(points).exterior.is_ccw else -1
        apart = math.dist((ax, ay), (bx, by)) * way
        return (bx - ax) / apart, (by - ay) / apart

    def _placed(self, bay: Json) -> Placed | None:
        """Where a bay stands; None of a bay between two walls, as no post places it."""
        run, ids = self.runs[bay["run"]], (bay["from"], bay["to"])
        ux, uy = self.heading(run)
        if ids == (None, None):
            return None
        known = self.posts[ids[0] or ids[1]]["at"]
        back = 0.0 if ids[0] else bay["centres"]
        x, y = known[0] - ux * back, known[1] - uy * back
        ends = zip(ids, bay["ends"], strict=True)
        halves = [self._halves(post, end, (ux, uy)) for post, end in ends]
        off, first, last = min(
            (abs(bay["centres"] - one - two - bay["clear"]), one, two)
            for one in halves[0]
            for two in halves[1]
        )
        if off > 0.002:
            self.wrong.append(bay["id"])

        def at(along: float) -> Point:
            return x + ux * (first + along), y + uy * (first + along)

        if "glass" in bay:
            width = bay["glass"]["width"]
            starts = [(bay["clear"] - width) / 2]
        else:
            width, row = self.kit["picket"]["width"], bay["pickets"]
            starts = [row["end_gap"] + i * (width + row["gap"]) for i in range(row["count"])]
        infill = [LineString([at(start), at(start + width)]) for start in starts]
        return Placed(bay, (at(0.0), at(bay["centres"] - first - last)), infill)

    def _halves(self, post: str | None, end: str, along: Point) -> list[float]:
        """The lengths that may lie between a post's middle and the face that a bay meets.

        Two adjacent faces of the post may be meant.
        """
        if post is None:
            return [0.0]
        if end == "socket":
            return [self.width / 2]
        angle = math.degrees(math.atan2(along[1], along[0])) - self.posts[post]["turned"]
        skews = (angle % 90, 90 - angle % 90)
        return [self.width / 2 / math.cos(math.radians(skew)) for skew in skews if skew < 89]

    def standing(self) -> list[Body]:
        """Posts and rails, each with its own name and the names of what it is joined to."""
        bodies = []
        for name, post in self.posts.items():
            foot = self.levels[post["level"]]["drop"]
            joined = {run["id"] for run in self.runs.values() if name in (run["from"], run["to"])}
            joined |= {b["run"] for b in self.reply["bays"] if name in (b["from"], b["to"])}
            names = frozenset([name, *joined])
            bodies.append(Body(names, self.square(name), foot, foot + post["height"]))
        for bay, faces, _ in self.bays:
            foot = self.levels[self.runs[bay["run"]]["level"]]["drop"]
            low, high = foot + self.kit["bottom_gap"], foot + bay["height"]
            names = frozenset([bay["run"], *filter(None, (bay["from"], bay["to"]))])
            bodies.append(Body(names, LineString(faces), low, high))
        return bodies

    def unsaid(self) -> list[str]:
        """What stands in something else without a finding that says so.

        That may be posts and rails in each other, or rails in the decks of other levels.
        """
        bodies = self.standing()
        tree = shapely.STRtree([body.shape for body in bodies])
        pairs = tree.query([body.shape for body in bodies], predicate="intersects").T.tolist()
        met = [
            one.names | other.names
            for one, other in ((bodies[i], bodies[j]) for i, j in pairs if i < j)
            if not one.names & other.names
            and min(one.top, other.top) - max(one.foot, other.foot) > A_MARK
            and _shares(one.shape, other.shape)
        ]
        for bay, faces, _ in self.bays:
            own = self.runs[bay["run"]]["level"]
            for level in self.levels.values():
                above = level["drop"] - self.levels[own]["drop"]
                deck = Polygon(level["outline"]["points"]).buffer(-0.3)
                in_height = self.kit["bottom_gap"] < above < bay["height"]
                inside = deck.intersection(LineString(faces)).length
                if level["id"] != own and in_height and inside > A_MARK:
                    met.append(frozenset([bay["run"]]))
        rules = ("rails_clear", "bases_apart")
        return [
            " and ".join(sorted(names))
            for names in met
            if not any(finding["result"] == "fail" for finding in _about(self.reply, rules, names))
        ]

    def ends(self, placed: Placed) -> list[shapely.Geometry]:
        """What a bay's infill stands between, at either end.

        That is a post, with the infill of the other bay that comes to it, which may be nearer at an
        acute corner; or the walls of its level at that end, without those at the other end.
        """
        level = self.levels[self.runs[placed.bay["run"]]["level"]]
        points = level["outline"]["points"]
        walls = [
            LineString([points[n], points[(n + 1) % len(points)]])
            for n in (e["edge"] for e in level["edges"] if e["condition"] == "wall")
        ]
        found = []
        for post, face in zip((placed.bay["from"], placed.bay["to"]), placed.faces, strict=True):
            if post is None:
                at = shapely.Point(face)
                here = [wall for wall in walls if wall.distance(at) < placed.bay["clear"] / 2]
                found.append(shapely.GeometryCollection([at, *here]))
                continue
            others = [one for one in self.bays if post in (one.bay["from"], one.bay["to"])]
            infill = [body for one in others if one is not placed for body in one.infill]
            found.append(shapely.GeometryCollection([self.square(post), *infill]))
        return found

    def passes(self, placed: Placed) -> float:
        """The diameter of the largest sphere that passes through a bay, between its rails."""
        start, end = self.ends(placed)
        left = [*placed.infill, end]
        reach: list[float] = [start.distance(body) for body in left]
        widest = 0.0
        while True:
            nearest = min(range(len(left)), key=reach.__getitem__)
            widest = max(widest, reach.pop(nearest))
            body = left.pop(nearest)
            if body is end:
                return widest
            reach = [min(far, body.distance(each)) for far, each in zip(reach, left, strict=True)]

    def wider(self) -> list[str]:
        """Bays that let through more than a finding says of them."""
        found = []
        for placed in self.bays:
            names = frozenset([placed.bay["id"]])
            told = [each["actual"] for each in _about(self.reply, ("opening_size",), names)]
            if self.passes(placed) > max(told, default=0.0) + A_MARK / 2:
                found.append(placed.bay["id"])
        return found


def _shares(one: shapely.Geometry, other: shapely.Geometry) -> bool:
    """Whether two bodies share more than a touch, which two rails do where they cross."""
    inner = [
        shape if shape.geom_type == "LineString" else shape.buffer(-A_MARK / 2, join_style="mitre")
        for shape in (one, other)
    ]
    return bool(inner[0].intersects(inner[1]))


def _about(reply: Json, rules: tuple[str, ...], names: frozenset[str]) -> list[Json]:
    """The findings of any of the rules about any of the names."""
    return [
        each for each in reply["findings"] if each["rule"] in rules and names & {*each["where"]}
    ]


def test_posts_leave_the_clear_openings() -> None:
    """Between the faces that a bay meets lies its clear opening.

    It does not for a bay whose centres are changed by an inch.
    """
    for deck, reply in decks(30, 11, 1):
        assert Twin(deck, reply).wrong == []
    deck, reply = copy.deepcopy(next(each for each in decks(30, 11, 1) if each[1]["bays"]))
    reply["bays"][0]["centres"] += 1
    assert Twin(deck, reply).wrong == [reply["bays"][0]["id"]]


def test_nothing_stands_in_another() -> None:
    """No post or rail stands in another, and no rail in a deck, unless a finding says so.

    Without these findings, some of the same decks would have such bodies.
    """
    met = 0
    for deck, reply in decks(30, 13, 2):
        assert Twin(deck, reply).unsaid() == []
        silent = [each for each in reply["findings"] if each["rule"] != "rails_clear"]
        met += bool(Twin(deck, {**reply, "findings": silent}).unsaid())
    assert met > 5


def test_no_more_passes_than_is_told() -> None:
    """No sphere larger than a finding says passes through a bay.

    This holds at whatever corner or wall the bay ends. A bay that loses a picket lets more through.
    """
    thinned = 0
    for deck, reply in decks(30, 11, 1):
        twin = Twin(deck, reply)
        assert twin.wider() == []
        for placed in twin.bays:
            if len(placed.infill) > 2:
                placed.infill.pop(1)
                assert placed.bay["id"] in twin.wider()
                thinned += 1
    assert thinned > 20


def narrow_decks(count: int, seed: int) -> list[tuple[Json, Json]]:
    """Random decks of one level with a neck, a slot or a sharp notch, turned, and their replies."""
    rng, catalogue = random.Random(seed), load_catalogue()
    found: list[tuple[Json, Json]] = []
    while len(found) < count:
        left, low, high = rng.uniform(60, 90), rng.uniform(7, 16), rng.uniform(60, 140)
        right = left + rng.choice([rng.uniform(2, 14), rng.uniform(14, 60)])
        tip = rng.choice([[], [left + rng.uniform(-20, 60)]])
        floor = [(x, low + 14) for x in tip] or [(right, low), (left, low)]
        corners = [(0, 0), (200, 0), (200, high), (right, high), *floor, (left, high), (0, high)]
        turn = complex(math.cos(seed + len(found)), math.sin(seed + len(found)))
        turned = [complex(*corner) * turn for corner in corners]
        kinds = rng.choices(["guard", "wall", "open"], [7, 1, 2], k=len(corners))
        edges = [{"edge": n, "condition": kind} for n, kind in enumerate(kinds)]
        outline = {"points": [[round(at.real, 4), round(at.imag, 4)] for at in turned]}
        level = {"id": "main", "drop": 48, "outline": outline, "edges": edges}
        guard = {"infill": "picket", "height": 36}
        deck = {"unit": "in", "kit": rng.choice(KITS), "guard": guard, "levels": [level]}
        try:
            found.append((deck, answer_document(deck, catalogue)))
        except Refusal:
            continue
    return found


def across(deck: Json, twin: Twin) -> list[str]:
    """Posts of a fascia kit in the deck that they hang off, where no finding says so."""
    surface = Polygon(deck["levels"][0]["outline"]["points"]).buffer(-0.3)
    return [
        post
        for post in twin.posts
        if twin.kit["mounting"] == "fascia"
        and twin.square(post).intersection(surface).area > A_MARK**2
        and not _about(twin.reply, ("rails_clear",), frozenset([post]))
    ]


def test_a_narrow_deck_has_no_post_in_a_rail_or_in_the_deck() -> None:
    """Bodies stay apart, or a finding says so, along edges of one level that come near each other.

    Two such edges lie beside each other or meet at a sharp corner. Nor does a post that hangs off
    the deck stand in the deck beyond a slot.
    """
    met = hung = 0
    for deck, reply in narrow_decks(120, 19):
        twin = Twin(deck, reply)
        assert (twin.unsaid(), across(deck, twin)) == ([], [])
        silent = [each for each in reply["findings"] if each["rule"] != "rails_clear"]
        quiet = Twin(deck, {**reply, "findings": silent})
        met += bool(quiet.unsaid())
        hung += bool(across(deck, quiet))
    assert met > 2
    assert hung > 5


def flights(count: int, seed: int) -> list[tuple[Json, Json]]:
    """Decks with a random flight that is guarded on its left, with their replies."""
    rng, catalogue = random.Random(seed), load_catalogue()
    found: list[tuple[Json, Json]] = []
    for _ in range(count):
        risers, guard = rng.randint(5, 9), {"infill": "picket", "height": 36}
        rise, going = risers * rng.uniform(6.1, 8.5), rng.uniform(8, 13)
        stair: Json = {"id": "down", "opening": "main/steps", "rise": rise, "risers": risers}
        stair |= {"going": going, "nosing": rng.choice([0, 0.75, 1.25]), "guards": ["left"]}
        stair |= {"foot_post": rng.choice(["tread", "ground"]), **guard}
        steps = {"id": "steps", "edge": 0, "from": 50, "width": 40, "use": "stair"}
        level: Json = {"id": "main", "drop": rise, "openings": [steps]}
        level["outline"] = {"points": [[0, 0], [140, 0], [140, 90], [0, 90]]}
        deck: Json = {"unit": "in", "kit": rng.choice(KITS), "guard": guard, "levels": [level]}
        deck |= {"stairs": [stair], "code": "us-irc-2021"}
        found.append((deck, answer_document(deck, catalogue)))
    return found


def under_rails(deck: Json, reply: Json, lift: float = 0.0) -> shapely.Geometry:
    """The space under the bottom rails of a flight, seen from the side.

    It goes from the face of the head post to the face of the foot post, above the deck, the treads
    and the ground. lift: how much higher than in the kit the rails lie.
    """
    kit, stair, flight = kit_of(deck["kit"]), deck["stairs"][0], reply["flights"][0]
    posts = {post["id"]: -post["at"][1] for post in reply["posts"]}
    run = next(run for run in reply["runs"] if run.get("flight") == "down")
    half, going, riser = kit["post"]["width"] / 2, flight["going"], flight["riser"]
    head, foot = posts[run["from"]] + half, posts[run["to"]] - half
    floor = [(-1e3, 0.0)]
    for step in range(stair["risers"]):
        out, high = step * going, -step * riser
        floor += [(out, high), (out - stair["nosing"], high), (out - stair["nosing"], high - riser)]
    floor.append((1e3, floor[-1][1]))
    rail = [(u, kit["stair_bottom_gap"] + lift - u * riser / going) for u in (1e3, -1e3)]
    under = Polygon([*floor, (1e3, 2e3), (-1e3, 2e3)]) & Polygon([*rail, (-1e3, -2e3), (1e3, -2e3)])
    return under & shapely.box(head, -1e3, foot, 1e3)


def widest(shape: shapely.Geometry) -> float:
    """The diameter of the largest circle in a shape, to a thousandth."""
    parts = [part for part in shapely.get_parts(shape) if part.area]
    circles = [shapely.maximum_inscribed_circle(part, tolerance=0.0005) for part in parts]
    return max((2 * circle.length for circle in circles), default=0.0)


def test_what_passes_under_raked_rails_is_told() -> None:
    """Findings give the largest circles under a flight's rails, over its treads and the deck.

    Under rails that lie a quarter higher, a larger one fits. Each post on a tread or on the ground
    is as high as the rail's top is at its middle.
    """
    over_decks = 0
    for deck, reply in flights(25, 17):
        flight, down = reply["flights"][0], frozenset(["down"])
        under = under_rails(deck, reply)
        (triangle,) = (each["actual"] for each in _about(reply, ("stair_triangle",), down))
        assert abs(widest(under) - triangle) < 0.002
        assert widest(under_rails(deck, reply, 0.25)) > triangle + 0.1
        for each in _about(reply, ("gap_under_rail",), down):
            assert abs(widest(under & shapely.box(-9, -1, 0, 9)) - each["actual"]) < 0.002
            over_decks += 1
        for post in (post for post in reply["posts"] if post.get("flight") == "down"):
            u = -post["at"][1]
            foot = -min(u // flight["going"] + 1, flight["risers"]) * flight["riser"]
            top = deck["stairs"][0]["height"] - u * flight["riser"] / flight["going"]
            assert abs(foot + post["height"] - top) < 0.001
    assert over_decks > 5
