"""Drawings, plans: what stands beside a plan: its title, the axes, a scale bar, notes, the key, and
what was found.

`rows_of` is the main entry.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point, Unit, tape_text
from service.drawings.marks import (
    LARGE,
    LETTER,
    NORMAL,
    SMALL,
    Mark,
    Stroke,
    Words,
    box,
    clipped,
    line,
    lines_in,
    most_width,
)
from service.drawings.pages import lines_at_most
from service.drawings.plans.flags import Concern
from service.drawings.plans.key import Pen, key_of, swatch
from service.drawings.plans.level_notes import EDGES, notes_of
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

COLUMN: Final = 58.0
"""In mm, the width of a column of rows."""
GAP: Final = 5.0
"""In mm, between a plan and what stands beside it."""
ROW: Final = 3.3
TITLE_ROW: Final = 4.0
"""In mm, the height of a further line of a title."""
MOST: Final = 12
"""The most findings that are listed on one drawing."""
WHOLE: Final = 4
"""The most lines of a paragraph that is never broken over columns, and of any finding."""
WIDE: Final = COLUMN - SMALL * LETTER
"""In mm, the width of lines in a column."""
MORE: Final = "More: beside the plan of the whole."
"""What stands in place of rows that do not fit beside a part."""
ELSEWHERE: Final = "see the elevations"
BAR: Final = 26.0
"""In mm, the greatest length of the scale bar."""

_ROUND: Final[dict[Unit, tuple[tuple[int, int], ...]]] = {
    "in": ((1, 2), (2, 2), (4, 4), (5, 5)),
    "mm": ((1, 2), (2, 2), (5, 5)),
}
"""Round numbers, each with the number of divisions of a bar of that length."""


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A row beside a plan. height: in mm. draw: gives its marks from its upper left corner."""

    height: float
    draw: Pen


def rows_of(
    scene: Scene,
    texts: Sequence[str],
    concerns: Sequence[Concern],
    part: Sequence[NoteRow] = (),
) -> list[NoteRow]:
    """All rows beside the plan of a level or of a part of it.

    texts: what is said of this drawing alone. part: rows that say which part it is, and where.
    """
    return [
        title_of(f"Plan of {scene.level.id}"),
        NoteRow(16.0, _axes_and_bar()),
        *part,
        *(block for text in (*notes_of(scene), *texts) for block in _paragraph(text)),
        NoteRow(ROW / 2, _text()),
        *(NoteRow(ROW, swatch(kind, text)) for kind, text in key_of(scene)),
        *_findings(concerns),
    ]


def flow(rows: Sequence[NoteRow], height: float) -> list[list[NoteRow]]:
    """Rows in columns no higher than `height`, unless a single row is."""
    columns: list[list[NoteRow]] = [[]]
    used = 0.0
    for row in rows:
        if columns[-1] and used + row.height > height:
            columns.append([])
            used = 0.0
        columns[-1].append(row)
        used += row.height
    return columns


def column_of(rows: Sequence[NoteRow], height: float) -> list[NoteRow]:
    """One column of rows beside a part.

    Where it has no room for all of them, its last row says where the others stand.
    """
    column, *more = flow(rows, height)
    return [*flow(rows, height - ROW)[0], NoteRow(ROW, _text(MORE))] if more else column


def least_height(rows: Sequence[NoteRow], columns: int) -> float:
    """The least height at which rows flow into so many columns, to within half a row."""
    height = max(max(row.height for row in rows), sum(row.height for row in rows) / columns)
    while len(flow(rows, height)) > columns:
        height += ROW / 2
    return height


def draw_rows(columns: Sequence[Sequence[NoteRow]], scale: Scale, corner: Point) -> Iterator[Mark]:
    """The marks of columns of rows, from the upper left corner of the first."""
    for i, column in enumerate(columns):
        x, y = corner[0] + scale.of_paper(i * COLUMN), corner[1]
        for row in column:
            yield from row.draw(scale, (x, y))
            y -= scale.of_paper(row.height)


def _paragraph(text: str, most: int | None = None) -> Iterator[NoteRow]:
    """Text as wide as a column, a short one in one row so that it stays together.

    most: its greatest number of lines; where it has more, the last one is cut short.
    """
    lines = lines_in(text, WIDE)
    if most and len(lines) > most:
        lines[most - 1 :] = [clipped(" ".join(lines[most - 1 :]), SMALL, WIDE)]
    if len(lines) <= WHOLE:
        yield NoteRow(ROW * len(lines), _text(*lines))
    else:
        yield from (NoteRow(ROW, _text(each)) for each in lines)


def _text(*lines: str) -> Pen:
    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        for i, text in enumerate(lines):
            y = at[1] - scale.of_paper(2.4 + i * ROW)
            yield Words("words", (at[0], y), text, SMALL, "start")

    return draw


def title_of(text: str) -> NoteRow:
    """Large letters; where they are too wide, smaller ones, on as many lines as they take."""
    fits = most_width(text, LARGE) <= COLUMN
    size, lines = (
        (LARGE, [text]) if fits else (NORMAL, lines_at_most(text, COLUMN + 1e-6, MOST, NORMAL))
    )

    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        for i, row in enumerate(lines):
            y = at[1] - scale.of_paper(LARGE + i * TITLE_ROW)
            yield Words("words", (at[0], y), row, size, "start")

    return NoteRow(7.0 + TITLE_ROW * (len(lines) - 1), draw)


def untold(short: Sequence[str], left_out: int, where: str = ELSEWHERE) -> list[str]:
    """Sentences of what a drawing has no room for.

    short: what is said of the edges, runs and flights whose own words have no room beside them.
    left_out: how many texts are left out; where: where to look for what they would say.
    """
    told = []
    if short:
        more = f"; and {len(short) - EDGES} more" if len(short) > EDGES else ""
        told.append(f"Told here for want of room: {'; '.join(short[:EDGES])}{more}.")
    if left_out:
        texts = "1 text" if left_out == 1 else f"{left_out} texts"
        told.append(f"Left out for want of room at this scale: {texts}; {where}.")
    return told


def _axes_and_bar() -> Pen:
    """Arrows along the document's x and y, and a scale bar."""

    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        mm = scale.of_paper
        x, y = at[0] + mm(2.0), at[1] - mm(12.5)
        for tip, wings, name, place in (
            ((9.0, 0.0), ((7.0, 0.6), (7.0, -0.6)), "x", (11.0, -0.9)),
            ((0.0, 9.0), ((0.6, 7.0), (-0.6, 7.0)), "y", (0.0, 10.2)),
        ):
            points = [(x + mm(a), y + mm(b)) for a, b in (tip, *wings)]
            yield line("words", (x, y), points[0])
            yield Stroke("words", tuple(points), closed=True)
            yield Words("words", (x + mm(place[0]), y + mm(place[1])), name, SMALL)
        length, parts = bar_of(scale)
        left, part = x + mm(18.0), length / parts
        for i in range(parts):
            low = (left + i * part, y)
            yield box("post", low, (left + (i + 1) * part, y + mm(1.4)), filled=i % 2 == 0)
        for i in (0, parts):
            text = tape_text(i * part, scale.unit, 1.0) if i else "0"
            yield Words("words", (left + i * part, y + mm(2.4)), text, SMALL)

    return draw


def bar_of(scale: Scale) -> tuple[Length, int]:
    """A round length of at most BAR on paper, and the number of divisions that a bar of it has.

    >>> bar_of(Scale(48, "in")), bar_of(Scale(50, "mm"))
    ((48.0, 4), (1000.0, 2))
    """
    feet = [(12.0 * size * 10.0**i, parts) for i in range(6) for size, parts in _ROUND["in"]]
    inches = [(1.0, 2), (3.0, 3), (6.0, 2)]
    metric = [(10.0 ** (i + 1) * size, parts) for i in range(6) for size, parts in _ROUND["mm"]]
    lengths = [*inches, *feet] if scale.unit == "in" else metric
    return next((each for each in lengths[::-1] if each[0] * scale.per_unit <= BAR), lengths[0])


def _findings(concerns: Sequence[Concern]) -> Iterator[NoteRow]:
    """The number, rule and clause of each finding that fails here."""
    if not concerns:
        return
    yield NoteRow(ROW / 2, _text())
    for concern in concerns[:MOST]:
        flagged = concern.flagged
        rule = flagged.rule.replace("_", " ")
        cite = f", {flagged.cite}" if flagged.cite else ""
        said = f"Flag {flagged.number}, {flagged.severity}: {rule}{cite}{concern.places}"
        yield from _paragraph(said, WHOLE)
    more = len(concerns) - MOST
    if more > 0:
        yield NoteRow(ROW, _text(f"and {more} more: see the findings of the layout"))
