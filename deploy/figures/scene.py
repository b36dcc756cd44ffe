"""Figures: sample decks laid out by the engine itself, and the drawing of their plans."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from deploy.figures.pen import Point, Sheet, View
from service.core.engine import lay_out
from service.core.flights.drafts import FlightDraft
from service.core.flights.straight import draw_flights
from service.core.levels.level import LevelDraft, draw_level, see_neighbours
from service.core.levels.railing import LineDraft
from service.core.line.arcs import ArcSide
from service.core.line.corners import Terminal
from service.core.line.posts import PostDraft, post_on_side, square_at
from service.core.measure import DECIMALS, DEFAULT_PRECISION, tape_text, tidy
from service.core.records.deck import (
    Corners,
    Deck,
    Drops,
    Edge,
    Guard,
    Level,
    Obstruction,
    Opening,
    Stair,
)
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.runs.bays import BayMaker
from service.core.runs.budget import Budget
from service.core.runs.measures import Measures

KIT = "picket-glass-surface-in"
FASCIA = "picket-glass-fascia-in"


def edge(number: int, condition: Any, **said: Any) -> Edge:
    """An edge of a deck document."""
    return Edge(number, "", condition, **said)


def opening(number: int, start: float, width: float) -> Opening:
    """An opening for a stair, named "steps"."""
    return Opening("steps", number, start, width, "stair", "")


def column(points: Sequence[Point]) -> Obstruction:
    """An obstruction."""
    return Obstruction("column", tuple(points), "")


def flight_down(rise: float, risers: int, going: float, **said: Any) -> Stair:
    """A flight down from the opening "steps"."""
    return Stair("front", "main/steps", rise, risers, going, "", **said)


def deck_of(
    points: Sequence[Point], infill: Any = "picket", stairs: tuple[Stair, ...] = (), **said: Any
) -> Deck:
    """A deck of one level in inches, with guards of 36."""
    level = Level("main", Corners(tuple(points), ""), "", Drops(48.0), **said)
    return Deck("in", DEFAULT_PRECISION["in"], Guard(infill, 36.0), (level,), stairs=stairs)


def draft(kit: Kit, points: Sequence[Point], **said: Any) -> LevelDraft:
    """The draft of a level, as the engine makes it before anything has an id."""
    deck = deck_of(points, **said)
    return draw_level(deck, deck.levels[0], None, _maker(kit, deck))


def _maker(kit: Kit, deck: Deck) -> BayMaker:
    return BayMaker(kit, deck.step, Budget(kit.pointer), Measures(deck.unit, kit.post.width))


def draft_flight(
    kit: Kit, points: Sequence[Point], stair: Stair, infill: Any = "picket", **said: Any
) -> FlightDraft:
    """The draft of a flight, with its level."""
    deck = deck_of(points, infill, (stair,), **said)
    maker = _maker(kit, deck)
    levels = see_neighbours([draw_level(deck, deck.levels[0], None, maker)], deck.unit)
    return draw_flights(deck, levels, maker, None)[0]


def layout(kit: Kit, points: Sequence[Point], infill: Any = "picket", **said: Any) -> Layout:
    """The layout of a deck."""
    return lay_out(deck_of(points, infill, **said), kit, None)


def tape(value: float) -> str:
    """A length as an inch tape reads it."""
    return tape_text(value, "in", DEFAULT_PRECISION["in"])


def plain(value: float) -> str:
    """A length as a reply writes it."""
    return str(tidy(value, DECIMALS["in"])).replace("-", "\N{MINUS SIGN}")


def posts_of(kit: Kit, line: LineDraft) -> Iterator[PostDraft]:
    """Every post on a line."""
    yield from (terminal.post for terminal in line.terminals() if terminal.post is not None)
    for run in line.runs:
        start = run.stretch.start.t
        yield from (post_on_side(kit, line.side, start + m, "line") for m in run.marks[1:-1])


def draw_rails(sheet: Sheet, view: View, kit: Kit, line: LineDraft, wide: float) -> None:
    """Draw the top rails of a line in plan. wide: their width."""
    s = kit.post.setback
    for run in line.runs:
        start, end = run.stretch.start, run.stretch.end
        marks = [start.t + mark for mark in run.marks]
        allowance = kit.rails[line.side.spec.infill].top.end_allowance
        faces = [start.t + start.half(kit) + allowance[start.end(kit)]]
        for mark in marks[1:-1]:
            faces += [mark - kit.post.width / 2, mark + kit.post.width / 2]
        faces.append(end.t - end.half(kit) - allowance[end.end(kit)])
        for low, high in zip(faces[::2], faces[1::2], strict=True):
            if not run.small:
                draw_rail(sheet, view, line, (low, high), s, wide)


def draw_rail(
    sheet: Sheet, view: View, line: LineDraft, span: tuple[float, float], s: float, wide: float
) -> None:
    """Draw one rail in plan. span: from and to along the side. s: its centre's setback."""
    side, (low, high) = line.side, span
    corners = [(low, s - wide / 2), (high, s - wide / 2), (high, s + wide / 2), (low, s + wide / 2)]
    sheet.shape("rail", view.all([side.place(t, inward) for t, inward in corners]))


def draw_line(sheet: Sheet, view: View, kit: Kit, line: LineDraft) -> None:
    """Draw the railing line of a side, from its first terminal to its last."""
    low, high = (terminal.t for terminal in line_ends(line))
    count = 48 if isinstance(line.side, ArcSide) else 1
    along = [low + (high - low) * i / count for i in range(count + 1)]
    places = [line.side.place(t, kit.post.setback) for t in along]
    sheet.line("line", *view.all(places))


def line_ends(line: LineDraft) -> tuple[Terminal, Terminal]:
    """The first and the last terminal of a line."""
    terminals = sorted(line.terminals(), key=lambda terminal: terminal.t)
    return terminals[0], terminals[-1]


def draw_plan(sheet: Sheet, view: View, kit: Kit, drawn: LevelDraft, wide: float = 1.5) -> None:
    """Draw bases, rails, posts and railing lines of a level, but not its outline."""
    posts = list(dict.fromkeys(post for line in drawn.lines for post in posts_of(kit, line)))
    for post in posts:
        sheet.shape("base", view.all(post.base))
    for line in drawn.lines:
        draw_rails(sheet, view, kit, line, wide)
    for post in posts:
        sheet.shape("post", view.all(square_at(post.at, kit.post.width, post.turned)))
    for line in drawn.lines:
        draw_line(sheet, view, kit, line)


def draw_wall(sheet: Sheet, view: View, points: Sequence[Point]) -> None:
    """Draw something solid in plan."""
    sheet.shape("wall", view.all(points))


def clip(sheet: Sheet, name: str, one: Point, other: Point) -> None:
    """Clip all that is drawn from here to `end_clip` to a box, given by two opposite corners."""
    x, y = min(one[0], other[0]), min(one[1], other[1])
    width, height = abs(one[0] - other[0]), abs(one[1] - other[1])
    sheet.marks.append(
        f'<clipPath id="{name}"><rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}"/>'
        f'</clipPath><g clip-path="url(#{name})">'
    )


def end_clip(sheet: Sheet) -> None:
    """End the clipping that `clip` began."""
    sheet.marks.append("</g>")


def far(from_: Point, angle: float, distance: float) -> Point:
    """The point at a distance from another, at an angle in degrees counter-clockwise from +x."""
    turn = math.radians(angle)
    return from_[0] + distance * math.cos(turn), from_[1] + distance * math.sin(turn)


HOUSE = ((0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0))
"""A deck of 20 ft by 12 ft, whose edge 2 stands against a house."""


def house(kit: Kit, infill: str = "picket") -> Layout:
    """The layout of the deck HOUSE."""
    return layout(kit, HOUSE, infill, edges=(edge(2, "wall"),))


def between(view: View, low: Point, high: Point) -> tuple[Point, Point]:
    """Pixels of two points: opposite corners of a box, or the ends of a dimension."""
    return view.at(low), view.at(high)
