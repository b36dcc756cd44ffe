"""Core: an opening in a side's guard: where it is asked for along the side and, once the line is
cut there, what stands at its two sides and how wide it comes (method 1)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import shapely

from service.core.line.arcs import ArcSide
from service.core.line.corners import Faces, Terminal
from service.core.line.posts import body
from service.core.line.sides import Side
from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.deck import Opening
from service.core.records.kit import Kit
from service.core.records.layout import Role


@dataclass(frozen=True, slots=True)
class AskedOpening:
    """Where an opening is asked for. near, far: its two sides, along the side that it is in."""

    opening: Opening
    near: Length
    far: Length

    @property
    def role(self) -> Role:
        """Role of a post of its own."""
        return _role_beside(self.opening)


class Jamb(NamedTuple):
    """What stands at one side of an opening, None of a wall; face: where its face is; wall: the
    wall in plan, where it may not be square to the line."""

    terminal: Terminal | None
    face: Length
    wall: Faces = ()


@dataclass(frozen=True, slots=True)
class OpeningDraft:
    """An opening on a line that is cut. near, far: its two sides as asked.

    jambs, faces: what stands at the near and at the far one (None: a wall), and where its face is;
    walls: the walls there in plan, where they may not be square to the line.
    """

    opening: Opening
    near: Length
    far: Length
    jambs: tuple[Terminal | None, Terminal | None]
    faces: FromTo
    walls: tuple[Faces, Faces] = ((), ())

    @property
    def role(self) -> Role:
        """Role of a post beside it."""
        return _role_beside(self.opening)

    def clear_width(self, kit: Kit, side: Side) -> Length:
        """Between what stands at its two sides, square to the way through: on a bow posts lean
        together, and the post of an oblique corner turns an edge to the opening. 0 or less where
        that leaves no way. A gate's leaf, which shuts on the line, meets a wall there."""
        if self.opening.use != "gate":
            return self.way_through(kit, side)
        return self._between_bodies(kit, side)

    def way_through(self, kit: Kit, side: Side) -> Length:
        """The same to whoever goes through: a wall off square is nearest beside the line."""
        if not any(self.walls):
            return self._between_bodies(kit, side)
        near, far = (
            shapely.GeometryCollection([standing, *map(shapely.LineString, wall)])
            for standing, wall in zip(self._bodies(kit, side), self.walls, strict=True)
        )
        apart: Length = near.distance(far)
        return apart

    def _between_bodies(self, kit: Kit, side: Side) -> Length:
        if self._is_square(side):
            return self.faces[1] - self.faces[0]
        _, _, reaches = self._across(kit, side)
        return reaches[1] - reaches[0]

    def ends(self, kit: Kit, side: Side) -> tuple[Point, Point]:
        """Where the clear width begins and ends in plan, as seen square to the straight line
        between the centres of the posts, or the faces of the walls, at its two sides."""
        if self._is_square(side):
            first, last = (side.place(face, kit.post.setback) for face in self.faces)
            return first, last
        (x, y), (ux, uy), reaches = self._across(kit, side)
        first, last = ((x + ux * reach, y + uy * reach) for reach in reaches)
        return first, last

    def _across(self, kit: Kit, side: Side) -> tuple[Point, Point, FromTo]:
        """The middle of what stands at its near side, the side's direction midway to that at its
        far one, and how far along that the one ends and the other begins."""
        places = [
            face if terminal is None or terminal.post is None else terminal.t
            for terminal, face in zip(self.jambs, self.faces, strict=True)
        ]
        x, y = side.place(places[0], kit.post.setback)
        heading = math.radians(side.heading_at(sum(places) / 2))
        ux, uy = math.cos(heading), math.sin(heading)
        along = [
            [(px - x) * ux + (py - y) * uy for px, py in shapely.get_coordinates(body).tolist()]
            for body in self._bodies(kit, side)
        ]
        return (x, y), (ux, uy), (max(along[0]), min(along[1]))

    def _is_square(self, side: Side) -> bool:
        """Whether the two faces are square to the line between them."""
        square = all(each is None or abs(each.skew) <= TOUCH for each in self.jambs)
        return square and not isinstance(side, ArcSide)

    def _bodies(self, kit: Kit, side: Side) -> tuple[shapely.Geometry, shapely.Geometry]:
        """What stands at its two sides, in plan; of a wall the point that it is met at."""
        near, far = (
            shapely.Point(side.place(face, kit.post.setback))
            if terminal is None or terminal.post is None
            else body(kit, terminal.post)
            for terminal, face in zip(self.jambs, self.faces, strict=True)
        )
        return near, far


def _role_beside(opening: Opening) -> Role:
    return "end" if opening.use == "passage" else opening.use
