"""Kits with flights and gates, and flights drawn at random, for tests that place them in space.

A drawn flight goes down from a deck that is turned by any angle and given in either direction. Its
places are taken back here to the flight's own axes: u down the flight from the deck's edge, v along
the edge counter-clockwise, and z up from the deck.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace
from typing import Any

from service.core.measure import Point
from service.core.problems import Refusal
from service.core.records.deck import Deck, Stair
from service.core.records.kit import GateKit, HandrailKit, Kit, Stock
from service.core.records.layout import Layout, Post
from tests.core import builders


def stair_kit(name: str) -> Kit:
    """A shipped kit with its figures for flights, gates and site measures."""
    document = builders.kit_document(name)
    handrail = dict(document["handrail"])
    stock = Stock(tuple(handrail.pop("stock")), handrail.pop("kerf"))
    return replace(
        builders.kit_of(document),
        stair_bottom_gap=document["stair_bottom_gap"],
        out_of_plumb=document["out_of_plumb"],
        handrail=HandrailKit(**handrail, stock=stock),
        gate=GateKit(**document["gate"]),
    )


SURFACE = stair_kit("picket-glass-surface-in")
FASCIA = stair_kit("picket-glass-fascia-in")
MILLIMETRE = stair_kit("glass-picket-surface-mm")
STEP = {"in": 0.0625, "mm": 1.0}


def stair(rise: float, risers: int, going: float, **said: Any) -> Stair:
    """A flight from the opening `o`, guarded on both sides."""
    said = {"id": "f", "opening": "main/o", "guards": ("left", "right")} | said
    return Stair(rise=rise, risers=risers, going=going, pointer="/stairs/0", **said)


@dataclass(frozen=True)
class DrawnFlight:
    """A rectangle of `size` with an opening in its first side, and a flight down from the opening.

    turn: degrees by which the deck is turned; backwards: whether its corners are given clockwise.
    """

    kit: Kit
    unit: Any
    size: Point
    start: float
    width: float
    stair: Stair
    infill: Any
    height: float
    turn: float = 0.0
    backwards: bool = False
    use: str = "stair"

    @property
    def step(self) -> float:
        """The smallest mark."""
        return STEP[self.unit]

    @property
    def tangent(self) -> float:
        """Rise over run: the tangent of the pitch."""
        return self.stair.rise / self.stair.risers / self.stair.going

    @property
    def cosine(self) -> float:
        """Run over length along the slope: the cosine of the pitch."""
        return math.cos(math.atan(self.tangent))

    def deck(self) -> Deck:
        """The deck's record."""
        points = builders.turned(builders.rectangle(*self.size), self.turn)
        number, start = 0, self.start
        if self.backwards:
            points = points[::-1]
            number, start = 2, self.size[0] - self.start - self.width
        hole = builders.opening(number, start, self.width, self.use, "o")
        made = builders.deck(
            points,
            unit=self.unit,
            step=self.step,
            infill=self.infill,
            height=self.height,
            openings=(hole,),
        )
        return replace(made, stairs=(self.stair,))

    def layout(self) -> Layout | Refusal:
        """The layout, or the refusal where the deck is refused."""
        return builders.laid_or_refused(self.deck(), self.kit)

    def own(self, point: Point) -> Point:
        """(u, v) of a point in plan: down the flight, and along the edge."""
        v, inward = builders.turned([point], -self.turn)[0]
        return -inward, v

    def surface(self, post: Post) -> float:
        """z of the surface that a post stands on."""
        going, risers = self.stair.going, self.stair.risers
        if post.flight is None:
            return 0.0
        tread = math.floor(self.own(post.at)[0] / going) + 1
        return -min(tread, risers) * self.stair.rise / risers


def draw_flight(rng: random.Random) -> DrawnFlight:
    """A random flight of any sensible pitch, length, guard and kit."""
    unit = rng.choice(["in", "in", "mm"])
    scale, step = (1.0, 0.0625) if unit == "in" else (25.0, 1.0)

    def length(low: float, high: float) -> float:
        return round(rng.uniform(low, high) * scale / step) * step

    kit = MILLIMETRE if unit == "mm" else rng.choice([SURFACE, FASCIA])
    kit = replace(kit, stair_bottom_gap=length(0.25, 3.0))
    kit = builders.with_picket(kit, spacing=rng.choice(["spacer", "punched", "equal"]))
    risers = rng.randint(1, 14)
    going = length(9.0, 14.0)
    flight = stair(
        length(4.0, 8.5) * risers + rng.choice([0.0, step]),
        risers,
        going,
        nosing=length(0.0, 1.5),
        infill=rng.choice(["picket", "glass"]),
        height=length(33.0, 44.0),
        foot_post=rng.choice(["tread", "ground"]),
        guards=rng.choice([("left",), ("right",), ("left", "right")]),
        handrail=("right",),
    )
    return DrawnFlight(
        kit=kit,
        unit=unit,
        size=(240.0 * scale, 144.0 * scale),
        start=length(60.0, 120.0),
        width=length(36.0, 60.0),
        stair=flight,
        infill="picket",
        height=length(34.0, 42.0),
        turn=rng.choice([0.0, 90.0, 37.0, 211.3]),
        backwards=rng.random() < 0.5,
    )


def drawn_flights(count: int, seed: int = 3) -> list[tuple[DrawnFlight, Layout]]:
    """The first `count` random flights that can be laid out, each with its layout."""
    rng = random.Random(seed)
    found: list[tuple[DrawnFlight, Layout]] = []
    while len(found) < count:
        drawn = draw_flight(rng)
        layout = drawn.layout()
        if isinstance(layout, Layout):
            found.append((drawn, layout))
    return found
