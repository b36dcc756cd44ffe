"""Rules: the loads of a code at a place, in units that go together, and how strength is worked
out by it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import Force, Length, Unit
from service.core.records.code import ANYWHERE, Code, Figure, Here
from service.core.records.deck import Drops
from service.core.records.figures import ALLOWABLE, FIGURES, LOADED, PARTIAL, FigureKind
from service.rules.strength.aluminium import RuleSet
from service.rules.words import load_text

COHERENT: Final[dict[tuple[FigureKind, Unit], float]] = {
    ("line_load", "in"): 1 / 12,
    ("pressure", "in"): 1 / 144,
    ("pressure", "mm"): 1 / 1000,
}
"""lbf/ft to lbf/in, psf to psi, kPa to MPa; kN/m is N/mm, and forces are what they are."""
Spot: TypeAlias = tuple[Drops, Here]
"""What a load may hang on at a place."""
NOWHERE: Final[Spot] = (Drops(), ANYWHERE)
Held: TypeAlias = dict[str, Figure]
"""The figures of the strength check that hold at a place, by name."""
_SPREAD: Final = frozenset({"infill_load_side", "infill_load_pickets"})
"""Figures that lighten a load: where none may hold, none does."""
_SMALLEST: Final = _SPREAD | {"guard_deflection"}
"""Figures of which the lesser asks for more."""

TOGETHER: Final = "together"
"""What `loads_concur` says where point and line load come at once."""
NO_GUARD_LOAD: Final = "the code states neither guard_point_load nor guard_line_load"
NO_INFILL_LOAD: Final = "the code states neither infill_point_load nor infill_pressure"
"""Why a guard's posts and rails, or its infill, cannot be checked."""


class Load(NamedTuple):
    """A load of a code as it prints it, unfactored. value: in units that go together."""

    value: float
    text: str
    figure: Figure


def figures_of(*loads: Load | None) -> tuple[Figure, ...]:
    """The figures of those loads that the code states."""
    return tuple(load.figure for load in loads if load is not None)


class Loads(NamedTuple):
    """Every load that a code states. None: it states none.

    factor: on each of them where strength is by partial factors, 1 where by allowable stress.
    deflection: how far anything may move, without a factor; glass_ratio: the span of glass over how
    far it may. square: the side of the infill's point load; sharing: how many pickets take it
    together. concurrence: whether point and line load come together.
    """

    rules: RuleSet
    factor: float
    factors: tuple[Figure, ...]
    point: Load | None
    line: Load | None
    vertical: Load | None
    infill_point: Load | None
    square: Figure | None
    sharing: Figure | None
    infill_pressure: Load | None
    handrail: Load | None
    handrail_line: Load | None
    glass_factor: Figure | None
    deflection: Figure | None
    glass_ratio: Figure | None
    concurrence: Figure | None

    @property
    def has_guard(self) -> bool:
        """Whether the code pushes a guard at its top."""
        return self.point is not None or self.line is not None

    @property
    def has_infill(self) -> bool:
        """Whether the code pushes its infill."""
        return self.infill_point is not None or self.infill_pressure is not None

    @property
    def infill_side(self) -> Length | None:
        """The side of the square that the infill's point load lies on."""
        return None if self.square is None else self.square.number()

    @property
    def concur(self) -> bool:
        """Whether point and line load come together."""
        return self.concurrence is not None and self.concurrence.value == TOGETHER

    @property
    def on_rail(self) -> tuple[Figure, ...]:
        """What decides beside point and line load themselves."""
        return self.factors if self.concurrence is None else (*self.factors, self.concurrence)

    @property
    def on_infill(self) -> tuple[Figure, ...]:
        """What decides beside the infill's loads themselves."""
        return self.factors if self.square is None else (*self.factors, self.square)

    @property
    def on_pickets(self) -> tuple[Figure, ...]:
        """What decides of pickets beside the infill's loads themselves."""
        return self.on_infill if self.sharing is None else (*self.on_infill, self.sharing)

    @property
    def times(self) -> str:
        """The factor in words, before a load that is taken with it."""
        return "" if self.factor == 1 else f"{self.factor:g} times "


def hang_on_places(code: Code) -> bool:
    """Whether any figure of the strength check has cases that a place decides."""
    stated = [code.figures[name] for name in LOADED if name in code.figures]
    return any(figure.when or figure.replaced is not None for figure in stated)


def holding(code: Code, spots: Iterable[Spot]) -> Held:
    """The figures of the strength check that hold over all of these spots. Where several may, as at
    a post between a level and a flight, or where what decides is not given, it is the one that asks
    for the most."""
    places = tuple(spots) or (NOWHERE,)
    held: Held = {}
    for name in LOADED:
        figure = code.figures.get(name)
        may = [] if figure is None else [one for spot in places for one in figure.over(*spot)]
        stated = [one for one in may if one is not None]
        if stated and not (name in _SPREAD and None in may):
            held[name] = _most_asked(name, stated)
    return held


def _most_asked(name: str, figures: list[Figure]) -> Figure:
    if len(figures) == 1:
        return figures[0]
    if FIGURES[name].kind == "words":
        return next((one for one in figures if one.value == TOGETHER), figures[-1])
    most = min if name in _SMALLEST else max
    return most(figures, key=Figure.number)


def read_loads(code: Code, unit: Unit, held: Held | None = None) -> Loads | None:
    """The loads of a code; None where it does not say how strength is worked out, or by which
    factor. held: what holds at the places in question; left out, what holds where nothing is known
    of one."""
    held = holding(code, ()) if held is None else held
    method, factor = held.get("strength_method"), held.get("load_factor")
    if method is None or (method.value == PARTIAL and factor is None):
        return None
    partial = factor if method.value == PARTIAL else None
    return Loads(
        rules="US" if method.value == ALLOWABLE else "EN",
        factor=1.0 if partial is None else partial.number(),
        factors=(method,) if partial is None else (method, partial),
        point=_load(held, "guard_point_load", unit),
        line=_load(held, "guard_line_load", unit),
        vertical=_load(held, "guard_vertical_load", unit),
        infill_point=_load(held, "infill_point_load", unit),
        square=held.get("infill_load_side"),
        sharing=held.get("infill_load_pickets"),
        infill_pressure=_load(held, "infill_pressure", unit),
        handrail=_load(held, "handrail_point_load", unit),
        handrail_line=_load(held, "handrail_line_load", unit),
        glass_factor=held.get("glass_load_factor"),
        deflection=held.get("guard_deflection"),
        glass_ratio=held.get("glass_deflection_ratio"),
        concurrence=held.get("loads_concur"),
    )


def _load(held: Held, name: str, unit: Unit) -> Load | None:
    """A load above 0."""
    figure = held.get(name)
    if figure is None or figure.number() <= 0:
        return None
    kind = FIGURES[name].kind
    value = figure.number()
    return Load(value * COHERENT.get((kind, unit), 1.0), load_text(value, kind, unit), figure)


def with_handrail(loads: Loads) -> Loads:
    """The loads of a guard whose top is the handrail as well: those of a handrail come from any
    side, and where they are the greater, they are the guard's. The same where none is."""
    more = loads._replace(
        point=_greater(loads.point, loads.handrail),
        line=_greater(loads.line, loads.handrail_line),
        vertical=_greater(loads.vertical, loads.handrail_line),
    )
    return loads if more == loads else more


def _greater(one: Load | None, other: Load | None) -> Load | None:
    """The greater of two loads of a kind; the first of equals."""
    if one is None or other is None:
        return one or other
    return other if other.value > one.value else one


class Pushed(NamedTuple):
    """What one case of load puts on the top of a post, unfactored.

    words: the case for readers, with `{}` for the length of rail that the post carries.
    """

    force: Force
    words: str
    figure: Figure


def pushes(loads: Loads, carried: Length, height: Length, arm: Length) -> list[Pushed]:
    """What the top of a post takes: the point load, and the line load over what it carries.

    They are separate cases unless the code takes them together. Of the infill's loads the one at a
    place comes to a post by its top rail, and the one all over it, as far up as the post is high,
    bends it as this force at its top. arm: from the top to where it is held.
    """
    found = []
    if loads.point is not None:
        words = f"the point load of {loads.point.text} at the top"
        found.append(Pushed(loads.point.value, words, loads.point.figure))
    if loads.line is not None and carried > 0:
        words = f"the line load of {loads.line.text} over {{}} of rail"
        found.append(Pushed(loads.line.value * carried, words, loads.line.figure))
    if loads.concur and len(found) > 1:
        words = f"{found[0].words} with {found[1].words}"
        found = [Pushed(found[0].force + found[1].force, words, found[1].figure)]
    infill, pressure = loads.infill_point, loads.infill_pressure
    point = 0.0 if loads.point is None else loads.point.value
    if infill is not None and carried > 0 and infill.value > point:
        words = f"the infill's load of {infill.text} at the top"
        found.append(Pushed(infill.value, words, infill.figure))
    if pressure is not None and carried > 0:
        words = f"the infill's {pressure.text} over {{}} of rail"
        all_of_it = pressure.value * height * carried
        found.append(Pushed(all_of_it * (1 - height / 2 / arm), words, pressure.figure))
    return found
