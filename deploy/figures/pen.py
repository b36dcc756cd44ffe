"""Figures: lines, text and dimensions as SVG (`Sheet`), written the same on every machine.

Pixels run right and down from the upper left corner. A View turns points of a deck, whose axes run
right and up, into pixels.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final, Literal, TypeAlias

from service.drawings.writers.svg import number

Point: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]

ARROW: Final = 7.0
"""Length of an arrowhead in pixels."""
STYLE: Final = """
text{font:12px 'Liberation Sans',Arial,Helvetica,sans-serif;fill:#1d2429}
text.halo{paint-order:stroke;stroke:#fff;stroke-width:4px;stroke-linejoin:round}
.head{font-size:13px;font-weight:bold}.small{font-size:11px;fill:#59636b}
.sum{font-size:12.5px;fill:#a23b12}
.ink{fill:none;stroke:#1d2429;stroke-width:1.2}
.thin{fill:none;stroke:#59636b;stroke-width:.8}
.dash{fill:none;stroke:#59636b;stroke-width:.8;stroke-dasharray:5 3}
.line{fill:none;stroke:#a23b12;stroke-width:1.2;stroke-dasharray:9 3 2 3}
.accent{fill:none;stroke:#a23b12;stroke-width:1.4}
.deck{fill:#f3f1ec;stroke:#1d2429;stroke-width:1.2}
.slab{fill:#f3f1ec;stroke:none}
.wall{fill:#c9ced2;stroke:#1d2429;stroke-width:1}
.base{fill:#fff;stroke:#59636b;stroke-width:.8}
.post{fill:#3a444c;stroke:#1d2429;stroke-width:.8}
.rail{fill:#e2e6e9;stroke:#1d2429;stroke-width:.9}
.wood{fill:#efe6d2;stroke:#59636b;stroke-width:.7}
.block{fill:#f0cdb9;stroke:#a23b12;stroke-width:1}
.glass{fill:#dfe9ec;stroke:#1d2429;stroke-width:.9}
.mark{fill:#a23b12;stroke:none}.fill{fill:#1d2429;stroke:none}.blank{fill:#fff;stroke:none}
""".strip().replace("\n", "")


@dataclass(frozen=True, slots=True)
class View:
    """How a deck lies on the sheet. origin: pixels of its (0, 0). scale: pixels for one unit."""

    origin: Point
    scale: float

    def at(self, point: Point) -> Point:
        """Pixels of a point of the deck.

        >>> View((100.0, 200.0), 2.0).at((10.0, 5.0))
        (120.0, 190.0)
        """
        return self.origin[0] + point[0] * self.scale, self.origin[1] - point[1] * self.scale

    def all(self, points: Sequence[Point]) -> list[Point]:
        """Pixels of several points."""
        return [self.at(point) for point in points]


def along(start: Point, end: Point, distance: float) -> Point:
    """The point `distance` pixels from `start` toward `end`."""
    size = math.dist(start, end)
    share = distance / size
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


class Sheet:
    """One figure. title, description: read out to people who cannot see it."""

    def __init__(self, width: int, height: int, title: str, description: str) -> None:
        self.size = width, height
        self.title = title
        self.description = description
        self.marks: list[str] = []

    def line(self, style: str, *points: Point) -> None:
        """An open path."""
        self.marks.append(f'<polyline class="{style}" points="{_points(points)}"/>')

    def shape(self, style: str, points: Sequence[Point]) -> None:
        """A closed path."""
        self.marks.append(f'<polygon class="{style}" points="{_points(points)}"/>')

    def box(self, style: str, one: Point, other: Point) -> None:
        """An upright rectangle by two opposite corners."""
        self.shape(style, [one, (other[0], one[1]), other, (one[0], other[1])])

    def dot(self, style: str, at: Point, radius: float = 2.5) -> None:
        """A small disc."""
        x, y = number(at[0]), number(at[1])
        self.marks.append(f'<circle class="{style}" cx="{x}" cy="{y}" r="{number(radius)}"/>')

    def text(
        self,
        at: Point,
        words: str,
        style: str = "",
        anchor: Anchor = "start",
        halo: bool = True,
        turn: float = 0.0,
    ) -> None:
        """One line of text, its baseline at `at`. turn: degrees counter-clockwise."""
        x, y = number(at[0]), number(at[1])
        place = f'x="{x}" y="{y}" text-anchor="{anchor}"'
        if turn:
            place += f' transform="rotate({number(-turn)} {x} {y})"'
        shown = escape(words, quote=False)
        names = f"{style} halo".strip() if halo else style
        self.marks.append(f'<text class="{names}" {place}>{shown}</text>')

    def lines(self, at: Point, words: Sequence[str], style: str = "", lead: float = 16.0) -> None:
        """Several lines of text, one under the other."""
        for i, each in enumerate(words):
            self.text((at[0], at[1] + i * lead), each, style, halo=False)

    def arrow(self, tip: Point, tail: Point, style: str = "fill") -> None:
        """An arrowhead at `tip`, pointing away from `tail`."""
        back = along(tip, tail, ARROW)
        dx, dy = (tip[0] - back[0]) * 0.28, (tip[1] - back[1]) * 0.28
        wings = (back[0] - dy, back[1] + dx), (back[0] + dy, back[1] - dx)
        self.shape(style, [tip, *wings])

    def dimension(
        self,
        one: Point,
        other: Point,
        words: str,
        off: float = 0.0,
        side: float = 1.0,
        style: str = "",
        nudge: Point = (0.0, 0.0),
    ) -> None:
        """A dimension from `one` to `other`, drawn `off` pixels to the left of that direction.

        side: 1 writes the words on the left of the direction, -1 on its right. nudge: moves the
        words by so many pixels right and down. Where the points are near each other, the arrows
        stand outside and point in.
        """
        size = math.dist(one, other)
        ux, uy = (other[0] - one[0]) / size, (other[1] - one[1]) / size
        left = uy, -ux
        a, b = _shift(one, left, off), _shift(other, left, off)
        for point, moved in ((one, a), (other, b)):
            if abs(off) > 3:
                gap, past = math.copysign(3, off), math.copysign(4, off)
                self.line("thin", _shift(point, left, gap), _shift(moved, left, past))
        if size >= 3 * ARROW:
            self.line("thin", a, b)
            self.arrow(a, b)
            self.arrow(b, a)
        else:
            for tip, sense in ((a, -1.0), (b, 1.0)):
                tail = tip[0] + ux * sense * 2.4 * ARROW, tip[1] + uy * sense * 2.4 * ARROW
                self.line("thin", tip, tail)
                self.arrow(tip, tail)
        self._label(a, b, left, words, side, style, nudge)

    def _label(
        self,
        a: Point,
        b: Point,
        left: Point,
        words: str,
        side: float,
        style: str,
        nudge: Point,
    ) -> None:
        x, y = (a[0] + b[0]) / 2 + nudge[0], (a[1] + b[1]) / 2 + nudge[1]
        level = abs(left[1]) > 0.5
        out = side * left[1] if level else side * left[0]
        if level:
            self.text((x, y - 5 if out < 0 else y + 15), words, style, "middle")
        else:
            self.text(
                (x + math.copysign(6, out), y + 4), words, style, "start" if out > 0 else "end"
            )

    def leader(self, to: Point, words_at: Point, words: str, style: str = "") -> None:
        """Words with a thin line to the thing that they name. words_at: start of the words."""
        right = words_at[0] >= to[0]
        self.line("thin", to, (words_at[0] - 3 if right else words_at[0] + 3, words_at[1] - 4))
        self.dot("fill", to, 1.6)
        self.text(words_at, words, style, "start" if right else "end")

    def arc(
        self, centre: Point, radius: float, start: float, end: float, style: str = "accent"
    ) -> None:
        """An arc from the angle `start` to `end`, in degrees counter-clockwise from the right."""
        count = max(2, math.ceil(abs(end - start) / 3))
        self.line(
            style,
            *(polar(centre, radius, start + (end - start) * i / count) for i in range(count + 1)),
        )

    def document(self) -> str:
        """The whole figure as an SVG document."""
        width, height = self.size
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}"'
            f' width="{width}" height="{height}" role="img">'
            f"\n<title>{escape(self.title)}</title>\n<desc>{escape(self.description)}</desc>"
            f"\n<style>{STYLE}</style>"
            f'\n<rect class="blank" width="{width}" height="{height}"/>\n'
            + "\n".join(self.marks)
            + "\n</svg>\n"
        )


def polar(centre: Point, radius: float, angle: float) -> Point:
    """The point at an angle from a centre, in degrees counter-clockwise from the right."""
    turn = math.radians(angle)
    return centre[0] + radius * math.cos(turn), centre[1] - radius * math.sin(turn)


def _shift(point: Point, direction: Point, distance: float) -> Point:
    return point[0] + direction[0] * distance, point[1] + direction[1] * distance


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
