"""Core: which fixing of a base lands in timber, and the blocking that the others need (method 11).

Across the joists a place is counted along `across`, the unit vector square to them that points
to +x (to +y where they run along x); joist k has its centre at first + k * spacing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, TypeAlias

import shapely

from service.core.arcs import ArcSide
from service.core.deck import Framing, Level
from service.core.kit import Base, Kit
from service.core.layout import BlockingPiece, PostFraming
from service.core.measure import TOUCH, Degrees, Length, Point, ceil_to_mark, floor_to_mark
from service.core.outline import Side
from service.core.posts import PostDraft, quarter
from service.core.problems import unbuildable

Span: TypeAlias = tuple[Length, Length]
STILL: Final = 1e-9
"""A pace across the joists below which a move along a side crosses none."""
FEW: Final = 64
"""Joists within reach of a move above which no move is looked for."""
Landing: TypeAlias = Literal["rim", "joist", "none"]
_PLACES: Final = (
    (-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0),
    (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0),
)  # fmt: skip
"""Places of fixings on a base, by its half width less the inset: corners first, then mid-sides."""


@dataclass(frozen=True)
class Frame:
    """A level's joists and rim in plan."""

    framing: Framing
    outline: shapely.Polygon

    @cached_property
    def along(self) -> Point:
        """Unit vector along the joists."""
        angle = math.radians(self.framing.joist_direction)
        return math.cos(angle), math.sin(angle)

    @cached_property
    def across(self) -> Point:
        """Unit vector square to the joists."""
        x, y = -self.along[1], self.along[0]
        flip = -1.0 if x < -1e-12 or (abs(x) <= 1e-12 and y < 0) else 1.0
        return flip * x, flip * y

    @cached_property
    def first(self) -> Length:
        """Place across of the first joist's centre."""
        places = [self.place_across(p) for p in shapely.get_coordinates(self.outline).tolist()]
        return min(places) + self.framing.first_joist

    @cached_property
    def last(self) -> int:
        """Number of the last joist, counted from 0."""
        places = [self.place_across(p) for p in shapely.get_coordinates(self.outline).tolist()]
        return max(0, math.floor((max(places) - self.first) / self.framing.joist_spacing + TOUCH))

    def place_across(self, point: Point) -> Length:
        """Where a point lies across the joists."""
        return point[0] * self.across[0] + point[1] * self.across[1]

    def place_along(self, point: Point) -> Length:
        """Where a point lies along the joists."""
        return point[0] * self.along[0] + point[1] * self.along[1]

    def joist_centre(self, number: int) -> Length:
        """Place across of a joist's centre."""
        return self.first + number * self.framing.joist_spacing

    @cached_property
    def inner(self) -> shapely.Polygon:
        """What the rim leaves of the outline: what lies as far as it is wide from every edge."""
        inner = self.outline.buffer(-self.framing.rim_width, quad_segs=64)
        shapely.prepare(inner)
        return inner

    def lands(self, point: Point, edge_distance: Length) -> Landing:
        """What a fixing goes into, with at least that distance to the timber's edges."""
        place = shapely.points(point)
        if not self.outline.covers(place):
            return "none"
        deep = float(self.outline.exterior.distance(place))
        rim = self.framing.rim_width
        if edge_distance - TOUCH <= deep <= rim - edge_distance + TOUCH:
            return "rim"
        number = round((self.place_across(point) - self.first) / self.framing.joist_spacing)
        number = min(max(number, 0), self.last)
        off = abs(self.place_across(point) - self.joist_centre(number))
        return "joist" if off <= self.framing.joist_width / 2 - edge_distance + TOUCH else "none"

    def rim_reach(self, base: Base) -> Length:
        """How deep from the deck's edge a fixing of that base may be and still be in the rim."""
        return self.framing.rim_width - base.fixing_edge_distance

    def over_joists(self, point: Point, along: Point, base: Base, far: Length) -> list[Span]:
        """Moves of a point along a direction, `far` at most either way, that bring it over a
        joist with the fixing's distance to its edges; few, or none is told."""
        spare = self.framing.joist_width / 2 - base.fixing_edge_distance
        pace = along[0] * self.across[0] + along[1] * self.across[1]
        off = self.place_across(point) - self.first
        spacing = self.framing.joist_spacing
        if spare < 0:
            return []
        if abs(pace) < STILL:
            near = round(off / spacing)
            over = 0 <= near <= self.last and abs(off - near * spacing) <= spare + TOUCH
            return [(-far, far)] if over else []
        reach = abs(pace) * far
        first = max(0, math.ceil((off - reach - spare) / spacing))
        last = min(self.last, math.floor((off + reach + spare) / spacing))
        if last - first > FEW:
            return []
        ends = (
            ((number * spacing - spare - off) / pace, (number * spacing + spare - off) / pace)
            for number in range(first, last + 1)
        )
        return [(min(pair), max(pair)) for pair in ends]

    def block_at(self, point: Point) -> BlockingPiece:
        """Blocking between the two joists (or the rim) beside a point, square to the joists."""
        place = (self.place_across(point) - self.first) / self.framing.joist_spacing
        below = math.floor(place + TOUCH)
        numbers = below, below + 1
        faces = self._face(point, below, 1.0), self._face(point, below + 1, -1.0)
        room = faces if self._is_open(point, faces) else self._between_rims(point)
        stops: list[Length] = []
        between: list[int | None] = []
        for number, face, rim, side in zip(numbers, faces, room, (1.0, -1.0), strict=True):
            at_joist = math.isfinite(face) and side * (face - rim) >= -TOUCH
            stops.append(face if at_joist else rim)
            between.append(number if at_joist else None)
        return BlockingPiece(
            between=(between[0], between[1]),
            at=self.place_along(point),
            length=max(0.0, stops[1] - stops[0]),
            direction=round(math.degrees(math.atan2(self.across[1], self.across[0])), 9) % 180,
        )

    def _face(self, point: Point, number: int, side: float) -> Length:
        """From a point across the joists to the `side` face of one; endless past the last."""
        if not 0 <= number <= self.last:
            return -side * math.inf
        half = self.framing.joist_width / 2
        return self.joist_centre(number) + side * half - self.place_across(point)

    def _is_open(self, point: Point, span: Span) -> bool:
        """Whether no rim stands between two places across the joists."""
        if not (math.isfinite(span[0]) and math.isfinite(span[1])) or span[1] <= span[0]:
            return False
        ends = [(point[0] + w * self.across[0], point[1] + w * self.across[1]) for w in span]
        return bool(self.inner.covers(shapely.linestrings(ends)))

    def _between_rims(self, point: Point) -> Span:
        """From where to where, from a point across the joists, the rim leaves room: of the part
        that it lies in, or nearest to. Alongside a rim, less the rim's width of the way between
        the deck's own edges."""
        x0, y0, x1, y1 = self.outline.bounds
        far = math.hypot(x1 - x0, y1 - y0) + 1
        ends = [(point[0] + w * self.across[0], point[1] + w * self.across[1]) for w in (-far, far)]
        line = shapely.LineString(ends)
        spans = self._spans(line.intersection(self.inner), point)
        if not spans:
            rim = self.framing.rim_width
            around = self._spans(line.intersection(self.outline), point) or [(-rim, rim)]
            spans = [(low + rim, high - rim) for low, high in around]
        return min(spans, key=lambda span: max(span[0], -span[1], 0.0))

    def _spans(self, shared: shapely.Geometry, point: Point) -> list[Span]:
        spans = []
        for part in getattr(shared, "geoms", [shared]):
            places = [
                self.place_across((x, y)) - self.place_across(point)
                for x, y in shapely.get_coordinates(part).tolist()
            ]
            if places:
                spans.append((min(places), max(places)))
        return spans


def read_frame(level: Level, outline: shapely.Polygon) -> Frame | None:
    """The level's framing in plan, or None. Refuses joists closer than their own width."""
    framing = level.framing
    if framing is None:
        return None
    if framing.joist_spacing <= framing.joist_width + TOUCH:
        raise unbuildable(
            f"{framing.pointer}/joist_spacing",
            "joists_too_close",
            f"Joists {framing.joist_width:.6g} wide cannot stand {framing.joist_spacing:.6g}"
            " apart, centre to centre.",
        )
    return Frame(framing, outline)


def fixing_places(base: Base, at: Point, turned: Degrees) -> list[Point]:
    """Centres of a base's fixings in plan."""
    half = base.width / 2 - base.fixing_inset
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    return [
        (at[0] + half * (x * c - y * s), at[1] + half * (x * s + y * c))
        for x, y in _PLACES[: base.fixings]
    ]


def frame_post(frame: Frame, kit: Kit, post: PostDraft, step: Length) -> PostFraming:
    """Where a post's fixings land, and the blocking that the others need.

    A fixing that sits against timber, too near its edge, where it meets the next one keeps
    `none`: there is no room for a block, and none is given. A fascia post goes through its rim:
    its blocking stands behind the rim.
    """
    if kit.mounting == "fascia":
        return _frame_fascia(frame, kit, post, step)
    base = kit.post.base
    places = fixing_places(base, post.at, post.turned)
    landings = tuple(frame.lands(place, base.fixing_edge_distance) for place in places)
    loose = [place for place, landing in zip(places, landings, strict=True) if landing == "none"]
    beside = [(place, frame.block_at(place)) for place in loose]
    roomy = [(place, block) for place, block in beside if _has_length(block, step)]
    spare = None
    if loose and post.role == "line" and post.rim is not None:
        spare = _spare_shift(frame, kit, *post.rim, step)
    blocks = tuple(_blocks(frame, base, roomy))
    return PostFraming(landings, blocks, spare, len(loose) - len(roomy))


def _has_length(block: BlockingPiece, step: Length) -> bool:
    """Whether a block comes to a mark: where two timbers meet there is no room for one."""
    return floor_to_mark(block.length, step) > TOUCH


def _blocks(
    frame: Frame, base: Base, beside: Sequence[tuple[Point, BlockingPiece]]
) -> Iterator[BlockingPiece]:
    """The block beside each fixing, or one in the middle of those that it serves: between the same
    two timbers, each with the fixing's distance to the block's own edges."""
    serves = max(0.0, frame.framing.joist_width - 2 * base.fixing_edge_distance)
    groups: list[tuple[BlockingPiece, list[Point]]] = []
    for place, block in beside:
        for first, served in groups:
            along = [frame.place_along(each) for each in (*served, place)]
            if first.between == block.between and max(along) - min(along) <= serves + TOUCH:
                served.append(place)
                break
        else:
            groups.append((block, [place]))
    for first, served in groups:
        along = [frame.place_along(each) for each in served]
        off = (max(along) + min(along)) / 2 - along[0]
        if abs(off) <= TOUCH:
            yield first
            continue
        x, y = served[0]
        yield frame.block_at((x + off * frame.along[0], y + off * frame.along[1]))


def _frame_fascia(frame: Frame, kit: Kit, post: PostDraft, step: Length) -> PostFraming:
    landings = tuple("rim" for _ in range(kit.post.base.fixings))
    if post.rim is None:
        return PostFraming(landings, ())
    side, t = post.rim
    block = _block_behind(frame, side, t)
    return PostFraming(landings, (block,) if _has_length(block, step) else ())


def _block_behind(frame: Frame, side: Side, t: Length) -> BlockingPiece:
    """Behind the rim: between the two joists beside the post, or the rim and the next joist."""
    return frame.block_at(side.place(t, frame.framing.rim_width + frame.framing.joist_width / 2))


def _spare_shift(frame: Frame, kit: Kit, side: Side, t: Length, step: Length) -> Length | None:
    """The least move along a straight side, a base's width at most, at which every fixing lands.

    A fixing in the side's own rim stays in it; each other one must come over a joist.
    """
    if isinstance(side, ArcSide):
        return None
    base = kit.post.base
    far, turned = base.width, quarter(side.heading)
    spans: list[Span] = [(-far, far)]
    for place in fixing_places(base, side.place(t, kit.post.setback), turned):
        depth = side.locate(place)[1]
        if base.fixing_edge_distance > depth or depth > frame.rim_reach(base):
            spans = _shared(spans, frame.over_joists(place, side.along, base, far))
    for move in sorted(_marks_within(spans, step), key=lambda move: (abs(move), move)):
        at = side.place(t + move, kit.post.setback)
        places = fixing_places(base, at, turned)
        if all(frame.lands(p, base.fixing_edge_distance) != "none" for p in places):
            return move
    return None


def _shared(one: list[Span], two: list[Span]) -> list[Span]:
    pairs = ((max(a[0], b[0]), min(a[1], b[1])) for a in one for b in two)
    return [(low, high) for low, high in pairs if low <= high + TOUCH]


def _marks_within(spans: list[Span], step: Length) -> list[Length]:
    """The mark of each span that is nearest to no move."""
    marks = []
    for low, high in spans:
        nearest = ceil_to_mark(low, step) if low > 0 else -ceil_to_mark(-high, step)
        if low <= 0 <= high:
            nearest = 0.0
        if low - TOUCH <= nearest <= high + TOUCH:
            marks.append(nearest)
    return marks
