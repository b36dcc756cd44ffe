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
from service.core.line.corners import Terminal
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
    """What stands at one side of an opening: a post, or else a wall or obstructions.

    face: place of its face along the deck's side.
    """

    terminal: Terminal
    face: Length

    @property
    def post(self) -> PostDraft | None:
        """The post; None at a wall or an obstruction."""
        return self.terminal.post

    def beside(self) -> list[shapely.Geometry]:
        """Where no post stands, the obstructions, or a wall that may be askew to the line."""
        return [] if self.post else self.terminal.beside()

    def body(self, kit: Kit, side: Side) -> shapely.Geometry:
        """The post in plan; of a wall or an obstruction the point at which the line ends."""
        if self.post is not None:
            return body(kit, self.post)
        return shapely.Point(side.place(self.face, kit.post.setback))


@dataclass(frozen=True, slots=True)
class OpeningDraft(AskedOpening):
    """An opening on a line that has been cut. jambs: at its beginning and at its end."""

    jambs: tuple[Jamb, Jamb]

    @property
    def faces(self) -> FromTo:
        """Places of the faces at its two sides, along the deck's side."""
        return self.jambs[0].face, self.jambs[1].face

    @property
    def posts(self) -> list[PostDraft]:
        """The posts beside the opening."""
        return [jamb.post for jamb in self.jambs if jamb.post is not None]

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
        beside = [jamb.beside() for jamb in self.jambs]
        if not any(beside):
            return self._between_bodies(kit, side)
        near, far = (
            shapely.GeometryCollection([jamb.body(kit, side), *bodies])
            for jamb, bodies in zip(self.jambs, beside, strict=True)
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
        places = [jamb.terminal.t for jamb in self.jambs]
        x, y = side.place(places[0], kit.post.setback)
        heading = math.radians(side.heading_at(sum(places) / 2))
        ux, uy = math.cos(heading), math.sin(heading)
        bodies = [shapely.get_coordinates(jamb.body(kit, side)).tolist() for jamb in self.jambs]
        along = [[(px - x) * ux + (py - y) * uy for px, py in corners] for corners in bodies]
        return (x, y), (ux, uy), (max(along[0]), min(along[1]))

    def _is_square(self, side: Side) -> bool:
        """Whether the faces at its two sides are square to the line between them."""
        square = all(abs(jamb.terminal.skew) <= TOUCH for jamb in self.jambs)
        return square and not isinstance(side, ArcSide)


def role_beside(opening: Opening) -> Role:
    """Role of a post that is set for an opening, or stands beside it."""
    return "end" if opening.use == "passage" else opening.use
