"""Rules: the loads of a code at a place, and the method by which it has strength worked out.

`holding` finds the figures that hold at some places, `read_loads` the loads in them, in units that
go together.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from operator import attrgetter
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import Force, Length, Unit
from service.core.records.code import ANYWHERE, CODES_KEPT, Circumstances, Code, Figure
from service.core.records.deck import Drops
from service.core.records.figures import ALLOWABLE, FIGURES, LOADED, PARTIAL, FigureKind
from service.rules.strength.aluminium import RuleSet
from service.rules.words import load_text

COHERENT: Final[dict[tuple[FigureKind, Unit], float]] = {
    ("line_load", "in"): 1 / 12,
    ("pressure", "in"): 1 / 144,
    ("pressure", "mm"): 1 / 1000,
}
"""Factors from printed units to units that go together.

lbf/ft to lbf/in, psf to psi, kPa to MPa. Others stay as they are: kN/m is N/mm, and a force needs
no factor.
"""
Spot: TypeAlias = tuple[Drops, Circumstances]
"""What the figures at a place may depend on."""
NOWHERE: Final[Spot] = (Drops(), ANYWHERE)
Held: TypeAlias = dict[str, Figure]
"""The figures of the strength check that hold at a place, by name."""
_SPREAD: Final = frozenset({"infill_load_side", "infill_load_pickets"})
"""Figures that lighten a load: none is taken where it is possible that none holds."""
_SMALLEST: Final = _SPREAD | {"guard_deflection"}
"""Figures whose lesser value asks for more."""

TOGETHER: Final = "together"
"""The word of `loads_concur` for a point load and a line load that come at once."""
NO_GUARD_LOAD: Final = "the code states neither guard_point_load nor guard_line_load"
NO_INFILL_LOAD: Final = "the code states neither infill_point_load nor infill_pressure"
"""Why a guard's posts and rails, or its infill, cannot be checked."""


class Load(NamedTuple):
    """A load of a code, without a factor.

    value: in units that go together. text: the load as the code prints it.
    """

    value: float
    text: str
    figure: Figure


def figures_of(*loads: Load | None) -> tuple[Figure, ...]:
    """The figures of those of these loads that the code states."""
    return tuple(load.figure for load in loads if load is not None)


class Loads(NamedTuple):
    """Every load that a code states, and how to take it; None for what the code does not state.

    rules: the rule set for strengths, by the code's method.
    factor: on each load, where strength is by partial factors; 1 where it is by allowable stress.
    factors: the figures that give the method and the factor.
    square: side of the square that the infill's point load lies on.
    sharing: how many pickets take that load together.
    glass_factor: how many times its load glass has to bear.
    deflection: how far anything may move under loads without a factor.
    glass_ratio: span of glass over how far it may move.
    concurrence: whether the point load and the line load come together.
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
        """Whether the code states a load on the top of a guard."""
        return self.point is not None or self.line is not None

    @property
    def has_infill(self) -> bool:
        """Whether the code states a load on the infill."""
        return self.infill_point is not None or self.infill_pressure is not None

    @property
    def infill_side(self) -> Length | None:
        """Side of the square that the infill's point load lies on; None where not stated."""
        return None if self.square is None else self.square.number()

    @property
    def concur(self) -> bool:
        """Whether the point load and the line load come together."""
        return self.concurrence is not None and self.concurrence.value == TOGETHER

    @property
    def on_rail(self) -> tuple[Figure, ...]:
        """The figures that decide what a rail bears, besides its loads themselves."""
        return self.factors if self.concurrence is None else (*self.factors, self.concurrence)

    @property
    def on_infill(self) -> tuple[Figure, ...]:
        """The figures that decide what infill bears, besides its loads themselves."""
        return self.factors if self.square is None else (*self.factors, self.square)

    @property
    def on_pickets(self) -> tuple[Figure, ...]:
        """The figures that decide what pickets bear, besides the infill's loads themselves."""
        return self.on_infill if self.sharing is None else (*self.on_infill, self.sharing)

    @property
    def times(self) -> str:
        """The factor in words, to stand before a load; empty where it is 1."""
        return "" if self.factor == 1 else f"{self.factor:g} times "


@lru_cache(maxsize=CODES_KEPT)
def hang_on_places(code: Code) -> bool:
    """Whether any figure of the strength check depends on the place."""
    stated = [code.figures[name] for name in LOADED if name in code.figures]
    return any(figure.when or figure.replaced is not None for figure in stated)


def holding(code: Code, spots: Iterable[Spot]) -> Held:
    """The figures of the strength check that hold over all of these places.

    Where several may hold, as at a post between a level and a flight, or where what decides is not
    given, the one that asks for the most is taken.
    """
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


@lru_cache(maxsize=CODES_KEPT)
def usual_loads(code: Code, unit: Unit) -> Loads | None:
    """The loads of a code at a place of which nothing is known, as `read_loads` has them."""
    return read_loads(holding(code, ()), unit)


def read_loads(held: Held, unit: Unit) -> Loads | None:
    """The loads of a code; None where it does not say how strength is worked out.

    None also where it has partial factors but no `load_factor`. held: the figures that hold at the
    places in question.
    """
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
    """The load of this name; None where none holds, or where it is 0."""
    figure = held.get(name)
    if figure is None or figure.number() <= 0:
        return None
    kind = FIGURES[name].kind
    value = figure.number()
    return Load(value * COHERENT.get((kind, unit), 1.0), load_text(value, kind, unit), figure)


def with_handrail(loads: Loads) -> Loads:
    """The loads of a guard whose top is the handrail as well.

    Loads on a handrail come from any side; where they are the greater, they take the place of the
    guard's. Where none is, `loads` itself is returned.
    """
    more = loads._replace(
        point=_greater(loads.point, loads.handrail),
        line=_greater(loads.line, loads.handrail_line),
        vertical=_greater(loads.vertical, loads.handrail_line),
    )
    return loads if more == loads else more


def _greater(one: Load | None, other: Load | None) -> Load | None:
    """The greater of two loads of a kind, the first of equal ones; None counts as no load."""
    if one is None or other is None:
        return one or other
    return other if other.value > one.value else one


class Pushed(NamedTuple):
    """What one case of load puts on the top of a post, without a factor.

    words: the case as readers are told of it, with `{}` for the length of rail that the post
    carries.
    """

    force: Force
    words: str
    figure: Figure


class InfillLoad(NamedTuple):
    """What one case of the infill's loads puts on a picket or on a strip of glass.

    value: a force on `patch` of its height, in the middle; where patch is None, what lies on each
    unit of its height, or of its area, all over. words: the case as readers are told of it.
    """

    value: float
    patch: Length | None
    words: str
    figure: Figure


def hardest_push(loads: Loads, carried: Length, height: Length, arm: Length) -> Pushed | None:
    """The case of load that puts the most on the top of a post, the first of equal ones.

    None where nothing comes to the post. The others are as in `_pushes`.
    """
    return max(_pushes(loads, carried, height, arm), key=attrgetter("force"), default=None)


def _pushes(loads: Loads, carried: Length, height: Length, arm: Length) -> list[Pushed]:
    """The cases of load on the top of a post.

    They are the point load, and the line load over what the post carries: separate cases unless the
    code takes them together. Of the infill's loads, that at one place comes to a post by its top
    rail, and counts where it is more than the point load; that all over the infill, as far up as
    the post is high, bends the post as the force given for it does at its top.

    carried: length of rail that the post carries. arm: from the top to where the post is held.
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
