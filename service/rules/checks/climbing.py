"""Rules: what in a guard helps a child to climb it, by the code.

The horizontal members of a picket or glass guard are its two rails. The top of the bottom rail is a
foothold, and so is that of the top rail where it lies low.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import Length
from service.core.records.code import Figure
from service.rules.alike import BayKind, LeafKind, all_guards
from service.rules.code_limits import Criterion, Reading, by_kinds
from service.rules.figure_words import printed, scope_text
from service.rules.finding import Finding
from service.rules.job import Job, Place
from service.rules.ruling import scope_of
from service.rules.saying import Saying, say_by_figure, say_unstated, tell_by_kind

_RULE: Final = "climbable"
_FIGURES: Final = ("climb_zone_from", "climb_zone_to", "horizontal_rails")


def climbable(job: Job) -> Iterator[Saying]:
    """Both rails of each bay and each leaf against the heights that must be free of footholds."""
    if job.code is None:
        missing = say_unstated(job, _RULE, "climb_zone_from")
        yield missing, [place for place, _ in all_guards(job)]
        return
    low, high, words = (job.figure(name) for name in _FIGURES)
    guards = all_guards(job)
    if low is not None:
        read = partial(_bottom_rail, job)
        yield from by_kinds(job, Criterion(_RULE, "climb_zone_from", _under_asks), guards, read)
    if high is not None:
        yield from by_kinds(job, Criterion(_RULE, "climb_zone_to", _over_asks), guards, _top_rail)
    if words is not None:
        yield from _no_rails_between(job, words, guards)


def _bottom_rail(job: Job, kind: BayKind | LeafKind) -> list[Reading]:
    """Height of the bottom rail's top, plumb above the walking surface or a flight's nosings."""
    rail, depth = "the bottom rail", job.kit.rails[kind.infill].bottom.depth
    if isinstance(kind, LeafKind):
        rail, foot = "the leaf's bottom rail", kind.top - kind.gate.height + depth
    elif kind.bay.fill.rake is None:
        foot = job.kit.bottom_gap + depth
    else:
        slope = kind.bay.fill.rake.centres_slope / kind.bay.centres
        foot = job.kit.stair_gap + depth * slope
    what = f"a foot finds the top of {rail} {{}} above {_surface(kind)}"
    return [Reading(what, foot, kind.drops, kind.here)]


def _top_rail(kind: BayKind | LeafKind) -> list[Reading]:
    rail = "the top rail of the gate's leaf" if isinstance(kind, LeafKind) else "the top rail"
    return [Reading(f"{rail} is {{}} above {_surface(kind)}", kind.top, kind.drops, kind.here)]


def _surface(kind: BayKind | LeafKind) -> str:
    raked = isinstance(kind, BayKind) and kind.bay.fill.rake is not None
    return "the nosings" if raked else "the walking surface"


def _under_asks(job: Job, figure: Figure, actual: Length) -> str:
    limit = printed(job, figure, beside=actual)
    below = "under" if figure.reads == "less_than" else "no higher than"
    cure = "" if figure.met_by(actual) else ": a lower or a shallower rail cures it"
    return f"here nothing may help climbing from {limit} up, so it must lie {below} that{cure}"


def _over_asks(job: Job, figure: Figure, actual: Length) -> str:
    limit = printed(job, figure, beside=actual)
    return f"here nothing may help climbing up to {limit}, so it must be no lower"


def _no_rails_between(
    job: Job, figure: Figure, guards: list[tuple[Place, BayKind | LeafKind]]
) -> Iterator[Saying]:
    """Pass for every guard that the code's words on horizontal rails bind.

    No guard laid out here has a rail between its top and its bottom rail.
    """

    def tell(kind: BayKind | LeafKind) -> Finding | None:
        binding = figure.at(kind.drops, kind.here)
        scope = scope_of(job, kind.drops, kind.here.risers)
        if binding is None or not scope.binds:
            return None
        sentence = (
            "no rail stands between the bottom rail and the top rail to climb by; horizontal "
            f"rails are to be avoided {job.clause(binding)}{scope_text(job, scope)}"
        )
        return say_by_figure(_RULE, "pass", sentence, binding, None, [scope.by])

    yield from tell_by_kind(guards, tell)
