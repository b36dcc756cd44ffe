"""Drawings: the elevations sheet: runs in their order, then flights, then gates.

`draw_elevations` is the main entry. A view may come before its turn to fill up a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Final

from service.core.measure import Unit
from service.core.records.deck import HANDS
from service.core.records.layout import Run
from service.drawings.boxes import extent_of
from service.drawings.elevations.built import Pitch
from service.drawings.elevations.flight_sides import FlightSide
from service.drawings.elevations.flights import sketch_side
from service.drawings.elevations.gates import Hung, hang, sketch_gate
from service.drawings.elevations.kinds import Lookup, alike, look_up, run_kind
from service.drawings.elevations.panels import sketch_panel
from service.drawings.elevations.runs import sketch_run
from service.drawings.elevations.sharing import Drawn, in_rows
from service.drawings.elevations.standing import stand
from service.drawings.elevations.views import GREATEST, LEAST, Sketch, listed
from service.drawings.marks import NORMAL, Words
from service.drawings.naming import follows, together
from service.drawings.pages import room, set_out
from service.drawings.parts import Heading, Page, Subject, View
from service.drawings.scales import Scale

TITLE: Final = 60
"""The most letters of ids in a title."""
NOTHING: Final = "There is no railing to draw."
SHORT: Final = 8
"""The most entries of a list under a title; a longer list is a view of its own."""


def draw_elevations(subject: Subject, heading: Heading) -> tuple[Page, ...]:
    """Every run, flight and gate as seen from outside, those that are wholly alike drawn once."""
    return set_out(list(_views(subject)) or [_nothing(subject.deck.unit)], heading)


def draw_shapes(subject: Subject, heading: Heading) -> tuple[Page, ...]:
    """The raked panels alone, each mark once; no page where there is none."""
    lookup, drawn = look_up(subject), set[str]()
    panels = (panel for side in _sides(lookup) for panel in _panels(lookup, side, drawn))
    views = [panel.view for panel in panels]
    return set_out(views, heading) if views else ()


def _nothing(unit: Unit) -> View:
    """A view that says in words that there is nothing to draw."""
    scale = Scale(1, unit)
    words = Words("words", (0.0, scale.of_paper(1.0)), NOTHING, NORMAL, "start")
    return View("No elevations", scale, extent_of([words], scale), (words,))


def _views(subject: Subject) -> Iterator[View]:
    lookup = look_up(subject)
    drawn = [*_runs(lookup), *_flights(lookup), *_gates(lookup)]
    yield from in_rows(drawn, room(subject.deck.unit)[0])


def _runs(lookup: Lookup) -> Iterator[Drawn]:
    """Views of the runs of levels."""
    subject = lookup.subject
    railed = [run for run in subject.layout.runs if lookup.bays[run.id] and run.flight is None]
    for group in alike(railed, partial(run_kind, lookup)):
        first, others = group[0], _others_of(lookup, group)
        standing = stand(first, lookup.bays[first.id], subject.kit)
        sketches = sketch_run(lookup, standing, _title(group), _short(others))
        yield from _drawn(sketches, first.id)
        yield from _list(first.id, first.id, others, subject.deck.unit)


def _drawn(sketches: Sequence[Sketch], kin: str) -> Iterator[Drawn]:
    """The views of a run, a side of a flight, a gate or a panel, which share a `kin`.

    A view of its own may also be drawn smaller; a run that is broken over several is as small as it
    may be.
    """
    for sketch in sketches:
        smaller = partial(sketch.view, LEAST) if len(sketches) == 1 else None
        yield Drawn(sketch.view(GREATEST), kin, smaller)


def _list(kin: str, first: str, others: list[str], unit: Unit) -> Iterator[Drawn]:
    """A list of what is like the view of `first`, where it is too long to stand under its title."""
    if len(others) > SHORT:
        yield from (Drawn(view, kin) for view in listed(f"Alike to {first}", others, unit))


def _flights(lookup: Lookup) -> Iterator[Drawn]:
    """Views of each side of a flight with a guard or a handrail, then of its raked panels."""

    def kind(side: FlightSide) -> object:
        run = run_kind(lookup, side.guard.run) if side.guard else None
        like = {name: value for name, value in side.said.items() if name not in _OWN}
        return side.hand, run, repr(like)

    drawn = set[str]()
    for group in alike(_sides(lookup), kind):
        others = _others_of(lookup, [side.guard.run for side in group if side.guard])
        others = others or [side.flight.id for side in group[1:]]
        side = group[0]
        kin = side.flight.id
        yield from _drawn([sketch_side(lookup, side, _side_title(group), _short(others))], kin)
        yield from _list(kin, _side_title(group[:1]), others, lookup.deck.unit)
        yield from _panels(lookup, side, drawn)


def _panels(lookup: Lookup, side: FlightSide, drawn: set[str]) -> Iterator[Drawn]:
    """Views of the raked panels of a side, without marks that are drawn already."""
    for spot in side.spots:
        panel = lookup.panels.get(spot.bay.id, {})
        if "edge_rise" in panel and panel["mark"] not in drawn:
            drawn.add(panel["mark"])
            yield from _drawn([sketch_panel(lookup, spot, side.pitch)], side.flight.id)


_OWN: Final = {"id", "level", "opening", "posts", "bays", "to_level", "flight", "hinge_post"}
"""Members of a flight or a gate that say which one it is, and where."""


def _sides(lookup: Lookup) -> Iterator[FlightSide]:
    subject = lookup.subject
    runs: dict[str, list[Run]] = {}
    for run in subject.layout.runs:
        runs.setdefault(run.flight or "", []).append(run)
    for flight, said in zip(subject.layout.flights, subject.reply.get("flights", ()), strict=True):
        guards = dict(zip(flight.guards, runs.get(flight.id, ()), strict=True))
        rails = {rail.hand for rail in flight.handrails}
        for hand in HANDS:
            # The left side, as seen going up, falls to the right as seen from outside.
            pitch = Pitch(flight.riser / flight.going, 1 if hand == "left" else -1)
            standing = None
            if hand in guards:
                run = guards[hand]
                standing = stand(run, lookup.bays[run.id], subject.kit, -subject.kit.post.setback)
            if standing is not None or hand in rails:
                yield FlightSide(flight, said, hand, standing, pitch)


def _side_title(sides: list[FlightSide]) -> str:
    """The title of a view: the runs that it shows, or the flights of a handrail alone."""
    side = sides[0]
    names = [each.flight.id for each in sides]
    flights = _or_first(", ".join(names), names)
    falls = "right" if side.pitch.sense > 0 else "left"
    where = f"{side.hand} side of flight {flights}, from outside, falling {falls}"
    if side.guard is None:
        return f"Handrail: {where}"
    return f"{_ids([each.guard.run for each in sides if each.guard])}: {where}"


def _gates(lookup: Lookup) -> Iterator[Drawn]:
    """Views of gates."""
    subject = lookup.subject
    pairs = zip(subject.layout.gates, subject.reply.get("gates", ()), strict=True)
    hung = [hang(lookup, gate, said) for gate, said in pairs]

    def kind(one: Hung) -> object:
        like = {name: value for name, value in one.said.items() if name not in _OWN}
        like.pop("latch_post", None)
        opening = one.gate.opening
        posts = [lookup.heights.get(post or "") for post in (opening.start, opening.end)]
        sizes = round(one.low, 4), round(opening.clear_width, 4)
        return repr((like, posts, one.hinged_left, sizes))

    for group in alike(hung, kind):
        places = [one.gate.place for one in group]
        title = f"Gate {', '.join(places)}"
        others: list[str] = []
        if len(title) > TITLE and len(places) > 1:
            title, others = f"Gate {places[0]} and {len(places) - 1} alike", places[1:]
        title = f"{title}, from outside"
        yield from _drawn([sketch_gate(lookup, group[0], title, _short(others))], places[0])
        yield from _list(places[0], places[0], others, subject.deck.unit)


def _title(runs: list[Run]) -> str:
    edges = list(dict.fromkeys(f"edge {run.edge} of {run.level}" for run in runs))
    where = ", ".join(edges)
    if len(where) > TITLE:
        where = f"{len(edges)} edges"
    return f"{_ids(runs)}: {where}, from outside"


def _ids(runs: list[Run]) -> str:
    ids = [run.id for run in runs]
    return _or_first(together(ids), ids)


def _or_first(text: str, names: list[str]) -> str:
    """Text of all names, or if it is too long for a title the first, and how many are like it."""
    return text if len(text) <= TITLE else f"{names[0]} and {len(names) - 1} alike"


def _others_of(lookup: Lookup, runs: list[Run]) -> list[str]:
    """Texts of the other runs of a group, each with its bays and posts.

    Those bays and posts are drawn as the first run's.
    """
    rows: list[list[Run]] = []
    for run in runs[1:]:
        last = rows[-1][-1] if rows else None
        if last is not None and _goes_on(lookup, last, run):
            rows[-1].append(run)
        else:
            rows.append([run])
    return [_row_text(lookup, row) for row in rows]


def _goes_on(lookup: Lookup, last: Run, run: Run) -> bool:
    """Whether a run and its bays are numbered next after another run and its bays."""
    one, two = lookup.bays[last.id], lookup.bays[run.id]
    return follows(last.id, run.id) and bool(one and two) and follows(one[-1][0].id, two[0][0].id)


def _row_text(lookup: Lookup, runs: list[Run]) -> str:
    bays = [bay for run in runs for bay, _ in lookup.bays[run.id]]
    posts = dict.fromkeys(post for bay in bays for post in (bay.start, bay.end) if post)
    at = f", at {together(posts)}" if posts else ""
    return f"{together([run.id for run in runs])}: {together([bay.id for bay in bays])}{at}"


def _short(others: list[str]) -> str:
    return f"Alike: {'; '.join(others)}." if 0 < len(others) <= SHORT else ""
