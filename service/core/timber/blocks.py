"""Core: blocking in plan (method 11): what stands beside a fixing, square to the joists, and what
fixings close together share.

A block is as wide as its plies, with its middle at its place along the joists. Where a rim ends it
the end is cut to that rim, and its length is that of its longest edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

import shapely

from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.kit import Base
from service.core.records.layout import BlockingPiece
from service.core.timber.frame import Frame, FromTo

Ends: TypeAlias = tuple[Degrees, Degrees]
SQUARE: Final = 90.0


@dataclass(frozen=True, slots=True)
class _Gap:
    """What lies between joist `below` and the next beside a point. faces: from the point across
    to theirs; endless past the last joist."""

    point: Point
    below: int
    faces: FromTo

    def is_bound(self) -> bool:
        """Whether it lies between two joists, with room."""
        return -math.inf < self.faces[0] < self.faces[1] < math.inf


def plies_for(frame: Frame, base: Base, spread: Length) -> int:
    """How many pieces side by side hold fixings so far apart along the joists, each as far from
    the block's edges as the kit asks."""
    needs = spread + 2 * base.fixing_edge_distance
    return max(1, math.ceil((needs - TOUCH) / frame.framing.joist_width))


def share_blocks(
    frame: Frame, base: Base, beside: Sequence[tuple[Point, BlockingPiece]]
) -> list[BlockingPiece]:
    """The block beside each fixing, or one in the middle of those whose blocks would overlap and
    that has room there."""
    groups: list[tuple[list[Point], BlockingPiece]] = []
    for place, block in beside:
        served, one = [place], block
        while (met := _first_met(frame, groups, one)) is not None:
            shared = _shared_block(frame, base, groups[met][0] + served)
            if shared.length <= TOUCH:
                break
            served, one = groups.pop(met)[0] + served, shared
        groups.append((served, one))
    return [block for _, block in groups]


def _first_met(
    frame: Frame, groups: Sequence[tuple[list[Point], BlockingPiece]], block: BlockingPiece
) -> int | None:
    """The first of the groups whose block a block would overlap."""
    for number, (_, other) in enumerate(groups):
        reach = _half(frame, block.plies + other.plies)
        low = max(block.across[0], other.across[0])
        high = min(block.across[1], other.across[1])
        if abs(block.at - other.at) < reach - TOUCH and low < high - TOUCH:
            return number
    return None


def _shared_block(frame: Frame, base: Base, served: Sequence[Point]) -> BlockingPiece:
    """The block in the middle of several fixings."""
    along = [frame.place_along(place) for place in served]
    low, high = min(along), max(along)
    middle = _off(frame, served[0], 0.0, (low + high) / 2 - along[0])
    return blocks_at(frame, [middle], plies_for(frame, base, high - low))[0]


def _half(frame: Frame, plies: int) -> Length:
    """Half as wide as so many plies."""
    return plies * frame.framing.joist_width / 2


def blocks_at(frame: Frame, points: Sequence[Point], plies: int = 1) -> list[BlockingPiece]:
    """Blocking of so many plies beside each point, square to the joists: between two joists, or
    the rim."""
    gaps = [_gap(frame, point) for point in points]
    stops = _stops(frame, gaps)
    rimmed = [i for i, gap in enumerate(gaps) if None in _joists(gap, stops[i])]
    shapes = _cut_to_rim(frame, [(gaps[i], stops[i]) for i in rimmed], _half(frame, plies))
    cut = dict(zip(rimmed, shapes, strict=True))
    return [
        _block(frame, gap, middle, cut.get(i, _square(middle)), plies)
        for i, (gap, middle) in enumerate(zip(gaps, stops, strict=True))
    ]


def _gap(frame: Frame, point: Point) -> _Gap:
    here, half = frame.place_across(point), frame.framing.joist_width / 2
    below = math.floor((here - frame.first) / frame.framing.joist_spacing + TOUCH)
    low, high = -math.inf, math.inf
    if 0 <= below <= frame.last:
        low = frame.joist_centre(below) + half - here
    if 0 <= below + 1 <= frame.last:
        high = frame.joist_centre(below + 1) - half - here
    return _Gap(point, below, (low, high))


def _stops(frame: Frame, gaps: Sequence[_Gap]) -> list[FromTo]:
    """From where to where, from each gap's point across, there is room: between joists or rims."""
    stops = [gap.faces for gap in gaps]
    rimmed = [i for i, is_open in enumerate(_are_open(frame, gaps)) if not is_open]
    rooms = _between_rims(frame, [gaps[i].point for i in rimmed])
    for i, room in zip(rimmed, rooms, strict=True):
        low, high = gaps[i].faces
        stops[i] = (
            low if low >= room[0] - TOUCH else room[0],
            high if high <= room[1] + TOUCH else room[1],
        )
    return stops


def _joists(gap: _Gap, stops: FromTo) -> tuple[int | None, int | None]:
    """The joists that a block with those ends stands between, None for the rim."""
    return (
        gap.below if stops[0] == gap.faces[0] else None,
        gap.below + 1 if stops[1] == gap.faces[1] else None,
    )


def _block(
    frame: Frame, gap: _Gap, middle: FromTo, cut: tuple[Length, Ends], plies: int
) -> BlockingPiece:
    """middle: the stops on its middle line. cut: its length and how its ends are cut."""
    here = frame.place_across(gap.point)
    return BlockingPiece(
        between=_joists(gap, middle),
        at=frame.place_along(gap.point),
        across=(here + middle[0], here + max(middle)),
        length=cut[0],
        end_cuts=cut[1],
        direction=frame.square,
        plies=plies,
    )


def _square(middle: FromTo) -> tuple[Length, Ends]:
    """A block as long as its middle, its ends square; of no length where there is no room."""
    return max(0.0, middle[1] - middle[0]), (SQUARE, SQUARE)


def _cut_to_rim(
    frame: Frame, gaps: Sequence[tuple[_Gap, FromTo]], half: Length
) -> list[tuple[Length, Ends]]:
    """Length and ends of blocks that a rim ends, from their gaps and stops: of what the rim leaves
    in the gap, as wide as the block, the part that has its middle."""
    if not gaps:
        return []
    strips = [_strip(frame, gap, half) for gap, _ in gaps]
    middles = shapely.points([_off(frame, gap.point, sum(stops) / 2, 0) for gap, stops in gaps])
    left = shapely.intersection(shapely.polygons(strips), frame.inner)
    parts, whose = shapely.get_parts(left, return_index=True)
    is_its = shapely.intersects(parts, middles[whose]).tolist()
    cut = [_square(stops) for _, stops in gaps]
    for part, i, has_middle in zip(parts, whose.tolist(), is_its, strict=True):
        if has_middle:
            cut[i] = _extent(frame, gaps[i][0].point, shapely.get_coordinates(part), half)
    return cut


def _strip(frame: Frame, gap: _Gap, half: Length) -> list[Point]:
    """Corners of what lies in a gap, `half` to both sides of its point along the joists."""
    x0, y0, x1, y1 = frame.outline.bounds
    far = math.hypot(x1 - x0, y1 - y0) + 1
    low, high = max(gap.faces[0], -far), min(gap.faces[1], far)
    corners = ((low, -half), (high, -half), (high, half), (low, half))
    return [_off(frame, gap.point, *corner) for corner in corners]


def _off(frame: Frame, point: Point, across: Length, along: Length) -> Point:
    """A point so far off, across the joists and along them."""
    (ux, uy), (vx, vy) = frame.across, frame.along
    return point[0] + across * ux + along * vx, point[1] + across * uy + along * vy


def _extent(frame: Frame, point: Point, corners: Any, half: Length) -> tuple[Length, Ends]:
    """How far corners reach across the joists; the cuts of the ends that their reach on the two
    edges, `half` off a point, makes. An end that meets a corner of the rim is square."""
    across = (corners @ frame.across).tolist()
    along = (corners @ frame.along - frame.place_along(point)).tolist()
    edges = [
        [x for x, y in zip(across, along, strict=True) if abs(y - edge) <= TOUCH]
        for edge in (-half, half)
    ]
    cuts = []
    for reach in (min, max):
        ends = [reach(edge) for edge in edges if edge]
        whole = len(ends) == 2 and abs(reach(ends) - reach(across)) <= TOUCH
        off = abs(ends[0] - ends[1]) if whole else 0.0
        cuts.append(SQUARE - math.degrees(math.atan2(off, 2 * half)))
    return max(across) - min(across), (cuts[0], cuts[1])


def _are_open(frame: Frame, gaps: Sequence[_Gap]) -> list[bool]:
    """Whether no rim stands in each gap."""
    found = [False] * len(gaps)
    asked = [i for i, gap in enumerate(gaps) if gap.is_bound()]
    if asked:
        ways = _ways(frame, ((gaps[i].point, gaps[i].faces) for i in asked))
        for i, is_open in zip(asked, shapely.covers(frame.inner, ways).tolist(), strict=True):
            found[i] = is_open
    return found


def _between_rims(frame: Frame, points: Sequence[Point]) -> list[FromTo]:
    """From where to where, from each point across the joists, the rim leaves room: of the part
    that it lies in, or nearest to; of two as near, the lesser across. Alongside a rim, less the
    rim's width of the way between the deck's own edges."""
    rooms = _crossed(frame, frame.inner, points)
    alongside, rim = [i for i, spans in enumerate(rooms) if not spans], frame.framing.rim_width
    around = _crossed(frame, frame.outline, [points[i] for i in alongside])
    for i, spans in zip(alongside, around, strict=True):
        rooms[i] = [(low + rim, high - rim) for low, high in spans or [(-rim, rim)]]
    return [min(spans, key=_nearness) for spans in rooms]


def _crossed(frame: Frame, shape: shapely.Polygon, points: Sequence[Point]) -> list[list[FromTo]]:
    """From where to where, from each point across the joists, each part of a shape lies."""
    crossed: list[list[FromTo]] = [[] for _ in points]
    if not points:
        return crossed
    x0, y0, x1, y1 = frame.outline.bounds
    far = math.hypot(x1 - x0, y1 - y0) + 1
    ways = _ways(frame, ((point, (-far, far)) for point in points))
    parts, whose = shapely.get_parts(shapely.intersection(ways, shape), return_index=True)
    corners, part_of = shapely.get_coordinates(parts, return_index=True)
    x, y = corners.T
    across = (x * frame.across[0] + y * frame.across[1]).tolist()
    places: list[list[Length]] = [[] for _ in parts]
    for place, part in zip(across, part_of.tolist(), strict=True):
        places[part].append(place)
    for row, i in zip(places, whose.tolist(), strict=True):
        if row:
            here = frame.place_across(points[i])
            crossed[i].append((min(row) - here, max(row) - here))
    return crossed


def _ways(frame: Frame, spans: Iterable[tuple[Point, FromTo]]) -> Any:
    """Lines across the joists, each from where to where from a point."""
    ux, uy = frame.across
    return shapely.linestrings([[(x + w * ux, y + w * uy) for w in s] for (x, y), s in spans])


def _nearness(span: FromTo) -> tuple[Length, Length]:
    """How far off a stretch lies, steadied so that a tie is one, and then where it begins."""
    return round(max(span[0], -span[1], 0.0), 6), span[0]
