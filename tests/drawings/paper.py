"""Reads back what lies on a page of a PDF by its operators, in mm from the lower left."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from typing import Any

from pypdf import PageObject, PdfReader

POINT = 72 / 25.4
Matrix = tuple[float, ...]
Spot = tuple[float, float]
STILL: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass
class Shape:
    """A path, how it is painted and in what. points: of a curve, its ends alone."""

    points: list[Spot]
    painted: str
    stroke: tuple[float, ...]
    fill: tuple[float, ...]
    width: float
    dash: list[float]


@dataclass
class Said:
    """A line of text.

    at: where its baseline begins. wide: its length. way: the direction of its baseline.
    """

    text: str
    at: Spot
    wide: float
    way: Spot
    size: float
    colour: tuple[float, ...]
    font: str


@dataclass
class Sheet:
    """All that a page shows."""

    shapes: list[Shape] = field(default_factory=list)
    texts: list[Said] = field(default_factory=list)

    def said(self, text: str) -> Said:
        """The one line of text that reads `text`."""
        (found,) = [each for each in self.texts if each.text == text]
        return found

    @property
    def words(self) -> str:
        """All text, each on a line of its own."""
        return "\n".join(each.text for each in self.texts)


def times(one: Matrix, other: Matrix) -> Matrix:
    """The transform that applies `one` and then `other`."""
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return (
        *(a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s),
        *(e * p + f * r + t, e * q + f * s + u),
    )


def read_pages(written: bytes) -> list[Sheet]:
    """Every page of a file."""
    return [read_page(page) for page in PdfReader(io.BytesIO(written), strict=True).pages]


def fonts_of(page: PageObject) -> dict[str, Any]:
    """The fonts that a page's text is set in, by the names that the page has for them."""
    resources: Any = page["/Resources"]
    return {
        name: font.get_object()
        for name, font in resources["/Font"].items()
        if "+" in str(font.get_object()["/BaseFont"])
    }


def read_page(page: PageObject) -> Sheet:
    """The shapes and the texts of a page; only operators that our writer uses are known."""
    pen = Pen({name: (font, letters_of(font)) for name, font in fonts_of(page).items()})
    contents = page.get_contents()
    assert contents is not None
    for given, operator in contents.operations:
        pen.do(operator.decode(), given)
    return pen.sheet


@dataclass
class Pen:
    """What holds while a page's operators are read: transforms, colours, a path, a text's place."""

    fonts: dict[str, tuple[Any, dict[int, str]]]
    sheet: Sheet = field(default_factory=Sheet)
    now: Matrix = STILL
    inks: dict[str, Any] = field(
        default_factory=lambda: {"RG": (), "rg": (), "w": (1,), "d": ([], 0)}
    )
    held: list[tuple[Matrix, Any]] = field(default_factory=list)
    points: list[Spot] = field(default_factory=list)
    place: Matrix = STILL
    font: tuple[str, float] = ("", 0.0)

    def do(self, sign: str, given: Any) -> None:
        """Carry out one operator."""
        if sign in self.inks:
            self.inks[sign] = tuple(given)
        elif sign in ("q", "Q", "cm"):
            self.move(sign, given)
        elif sign in ("m", "l", "c"):
            x, y = map(float, given[-2:])
            *_, x, y = times((1, 0, 0, 1, x, y), self.now)
            self.points.append((x, y))
        elif sign in ("n", "S", "s", "B", "b", "B*", "f", "f*"):
            self.paint(sign)
        elif sign in ("BT", "Tm"):
            self.place = tuple(map(float, given)) if given else STILL
        elif sign == "Tf":
            self.font = str(given[0]), float(given[1])
        elif sign == "Tj":
            self.say(given[0])

    def move(self, sign: str, given: Any) -> None:
        """Keep a transform, restore the last one that was kept, or apply another."""
        if sign == "q":
            self.held.append((self.now, dict(self.inks)))
        elif sign == "Q":
            self.now, self.inks = self.held.pop()
        else:
            self.now = times(tuple(map(float, given)), self.now)

    def paint(self, sign: str) -> None:
        """Paint the path so far, which ends it."""
        points = [(x / POINT, y / POINT) for x, y in self.points]
        self.points = []
        if sign != "n":
            stroke, fill = (tuple(map(float, self.inks[key])) for key in ("RG", "rg"))
            k = self.now[0] / POINT
            dash = [float(length) * k for length in self.inks["d"][0]]
            width = float(self.inks["w"][0]) * k
            self.sheet.shapes.append(Shape(points, sign, stroke, fill, width, dash))

    def say(self, raw: Any) -> None:
        """Write a text at its place."""
        name, size = self.font
        said = said_by(raw, *self.fonts[name], size, times(self.place, self.now))
        said.colour = tuple(map(float, self.inks["rg"]))
        self.sheet.texts.append(said)


def said_by(raw: Any, font: Any, letters: dict[int, str], size: float, place: Matrix) -> Said:
    """The text that the codes of its letters stand for."""
    codes = raw.original_bytes
    first, widths = int(font["/FirstChar"]), [float(width) for width in font["/Widths"]]
    a, b, _, d, x, y = place
    length = sum(widths[code - first] for code in codes) / 1000 * size
    stretch = (a * a + b * b) ** 0.5
    return Said(
        text="".join(letters[code] for code in codes),
        at=(x / POINT, y / POINT),
        wide=length * stretch / POINT,
        way=(a / stretch, b / stretch),
        size=size * (d * d + place[2] ** 2) ** 0.5 / POINT,
        colour=(),
        font=str(font["/BaseFont"]),
    )


def letters_of(font: Any) -> dict[int, str]:
    """The letters that a font's codes stand for."""
    told = font["/ToUnicode"].get_data().decode("ascii")
    pairs = re.findall(r"<([0-9A-F]{2})> <([0-9A-F]{4})>", told)
    return {int(code, 16): chr(int(letter, 16)) for code, letter in pairs}
