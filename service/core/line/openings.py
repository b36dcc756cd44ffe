"""Core: an opening in a side's guard (method 1).

An AskedOpening is where the document asks for it along the side. Once the line is cut there, an
OpeningDraft has what stands at its two sides and how wide it comes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import shapely

from service.core.line.arcs import ArcSide
from service.core.line.corners import Faces, Terminal
from service.core.line.posts import PostDraft, body
from service.core.line.sides import Side
from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.deck import Opening
from service.core.records.kit import Kit
from service.core.records.layout import Role


@dataclass(frozen=True, slots=True)
class AskedOpening:
    """An opening, and where it is asked for.

    near, far: where it begins and ends along the deck's side.
    """

    opening: Opening
    near: Length
    far: Length


class Jamb(NamedTuple):
    """What stands at one side of an opening.

    terminal: None at a wall or an obstruction. face: place of the face there, along the deck's
    side. wall: where there is no terminal, the obstructions, or a wall that may not be square to
    the line, as paths in plan; else empty.
    """

    terminal: Terminal | None
    face: Length
    wall: Faces = ()


@dataclass(frozen=True, slots=True)
class OpeningDraft:
    """An opening on a line that has been cut.

    near, far: where it begins and ends along the deck's side, as asked for.
    jambs: what stands at its beginning and at its end; None for a wall or an obstruction.
    faces: places of the faces there, along the deck's side.
    walls: for a jamb that is None, the obstructions there, or a wall that may not be square to the
    line, as paths in plan; else empty.
    """

    opening: Opening
    near: Length
    far: Length
    jambs: tuple[Terminal | None, Terminal | None]
    faces: FromTo
    walls: tuple[Faces, Faces] = ((), ())

    @property
    def posts(self) -> list[PostDraft]:
        """The posts beside the opening."""
        found = (jamb.post for jamb in self.jambs if jamb is not None)
        return [post for post in found if post is not None]

    def clear_width(self, kit: Kit, side: Side) -> Length:
        """Clear width between what stands at its two sides, square to the way through.

        On a bow the posts lean together, and the post of an oblique corner turns an edge to the
        opening. 0 or less where no way is left. The leaf of a gate shuts on the line, so a gate's
        width is read to where the line meets a wall; any other opening's is `way_through`.
        """
        if self.opening.use != "gate":
            return self.way_through(kit, side)
        return self._between_bodies(kit, side)

    def way_through(self, kit: Kit, side: Side) -> Length:
        """Clear width to walk through.

        An oblique wall, or an obstruction, counts where it comes nearest, which may be beside the
        line rather than on it.
        """
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
        """Where the clear width begins and ends in plan.

        Both points lie on the straight line between the centres of the posts, or the faces of the
        walls, at its two sides; the bodies there are read square to that line.
        """
        if self._is_square(side):
            first, last = (side.place(face, kit.post.setback) for face in self.faces)
            return first, last
        (x, y), (ux, uy), reaches = self._across(kit, side)
        first, last = ((x + ux * reach, y + uy * reach) for reach in reaches)
        return first, last

    def _across(self, kit: Kit, side: Side) -> tuple[Point, Point, FromTo]:
        """The straight line across the opening, and where along it the clear width begins and ends.

        Returns the middle of what stands at the near side, the side's direction midway to the far
        one, and the places, along that direction from that middle, where the near body ends and the
        far one begins.
        """
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
        """Whether the faces at its two sides are square to the line between them."""
        square = all(each is None or abs(each.skew) <= TOUCH for each in self.jambs)
        return square and not isinstance(side, ArcSide)

    def _bodies(self, kit: Kit, side: Side) -> tuple[shapely.Geometry, shapely.Geometry]:
        """What stands at its two sides, in plan: a post, else the point at which the line ends."""
        near, far = (
            shapely.Point(side.place(face, kit.post.setback))
            if terminal is None or terminal.post is None
            else body(kit, terminal.post)
            for terminal, face in zip(self.jambs, self.faces, strict=True)
        )
        return near, far


def role_beside(opening: Opening) -> Role:
    """Role of a post that is set for an opening, or stands beside it."""
    return "end" if opening.use == "passage" else opening.use
