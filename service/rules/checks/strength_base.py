"""Rules: whether the fixings of a base hold its post: the pull on them as the post turns over,
against what they hold in timber, or through it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from itertools import combinations
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import MM_PER_IN, N_PER_LBF, Force, Length, Unit, number_text
from service.core.records.deck import Site
from service.core.records.kit import Base
from service.core.records.strength import Fixing, Strength, Timber
from service.core.timber.fixings import fixing_places
from service.rules.checks.strength_posts import under_hardest_push
from service.rules.demands import (
    Demand,
    Topic,
    say_demands,
    say_not_checked,
    with_strength,
)
from service.rules.job import Job, Place
from service.rules.load_groups import by_loads
from service.rules.posts import (
    PostKind,
    lever_height,
    on_the_ground,
    post_kinds,
    pushed_along_edges,
)
from service.rules.saying import Saying, say_by_kit
from service.rules.strength import screws, timber
from service.rules.strength.aluminium import RuleSet
from service.rules.strength.beams import cantilever_moment
from service.rules.strength.loads import NO_GUARD_LOAD, Loads, figures_of
from service.rules.strength.plates import EffectiveFixings, effective_fixings

RULE: Final = "strength_base"
SUBJECT: Final = "the strength of the base"
_NDS: Final = "(NDS 2018 table 12.5.1E, from memory)"
_EC5: Final = "(EN 1995-1-1 table 8.6, from memory)"
BOLTS: Final = "; through-bolts with washers are the usual alternative"


PushedPost: TypeAlias = tuple[PostKind, bool]
"""What alike posts share; and whether rails push them also along the edge that their rows of
fixings run along."""


class Anchorage(NamedTuple):
    """What one fixing of a base holds in tension, in lbf or N.

    words: how a finding names that capacity. method: the formula with its source.
    """

    capacity: Force
    words: str
    method: str


def strength_base(job: Job) -> Iterator[Saying]:
    """Pull on the fixings of each kind of post as it turns over on its base.

    Of screws, their penetration, edge distance and spacing are looked at as well.
    """
    if job.layout.posts:
        yield from with_strength(job, RULE, SUBJECT, _bases)


class Hold(NamedTuple):
    """How the kit's base holds a post.

    lever: from the row in tension to where the plate bears. effective: how many fixings at that
    lever the base comes to. one: what one fixing holds.
    """

    fixing: Fixing
    lever: Length
    effective: EffectiveFixings
    one: Anchorage


def _bases(job: Job, strength: Strength, usual: Loads) -> Iterator[Saying]:
    hold = _hold(job, strength, usual.rules)
    if isinstance(hold, str):
        yield say_not_checked(job, RULE, SUBJECT, hold)
        return
    kinds, grounded = post_kinds(job), on_the_ground(job)
    if grounded:
        yield _anchored(job, list(dict.fromkeys(grounded.values())))
        kinds = [(place, kind) for place, kind in kinds if place[0] not in grounded]
    effective = hold.effective
    both = set() if effective.across == effective.along else pushed_along_edges(job)
    pushed: list[tuple[Place, PushedPost]] = [
        (place, (kind, place[0] in both)) for place, kind in kinds
    ]
    for loads, posts in by_loads(job, usual, pushed):
        if loads.has_guard:
            pulls = partial(_pulls, job, loads, hold)
            yield from say_demands(job, _topic(job, loads, hold), posts, pulls)
        else:
            yield say_not_checked(job, RULE, SUBJECT, NO_GUARD_LOAD)
    places = [place for place, _ in kinds]
    yield from _geometry(job, hold.fixing, usual.rules, places)


def _anchored(job: Job, flights: list[str]) -> Saying:
    """Finding that posts at the foot of flights, on the ground, are not checked.

    What a kit says of its fixings holds in timber, or through it.
    """
    sentence = (
        "the base of posts at the foot, on the ground, was not checked: no fixing goes into timber "
        "there; see that a footing and its anchors hold them"
    )
    return say_by_kit(job, RULE, "not_checked", sentence), [(flight,) for flight in flights]


def _hold(job: Job, strength: Strength, rules: RuleSet) -> Hold | str:
    """How the kit's base holds a post; else what to give before that can be said, in words.

    The fixings of a fascia base lie on the rim and hold what the kit says in either direction.
    """
    fixing, base, site = strength.fixing, job.kit.post.base, job.deck.site
    if fixing is None:
        return "give strength.fixing"
    if lever_height(job, 0.0) is None:
        return "give strength.fixing.below, how far its fixings hang"
    lever = _lever(base, fixing)
    if lever <= 0:
        return "give strength.fixing.lever_arm"
    known = site.timber or strength.timber
    one = one_fixing(fixing, known, site, rules, job.deck.unit)
    if isinstance(one, str):
        return one
    if job.kit.mounting == "fascia":
        effective = EffectiveFixings(fixing.in_tension, fixing.in_tension)
    else:
        effective = effective_fixings(base, fixing, lever)
    return Hold(fixing, lever, effective, one)


def _lever(base: Base, fixing: Fixing) -> Length:
    """From the row in tension to where the plate bears; to the far row where the kit gives none.

    0 where no far row will do: fewer than four fixings have none in both directions, and no fixing
    of the far row may be in tension.
    """
    if fixing.lever is not None:
        return fixing.lever
    if base.fixings < 4 or 2 * fixing.in_tension > base.fixings:
        return 0.0
    return base.width - 2 * base.fixing_inset


def _share(effective: EffectiveFixings, pushed: PushedPost) -> float:
    """Share of M/z that comes to the fixing that is pulled the most.

    On a base that is turned to its rail, M cos about one axis of the plate and M sin about the
    other add up at the fixing in its corner.
    """
    kind, along = pushed
    c, s = math.cos(math.radians(kind.skew)), math.sin(math.radians(kind.skew))
    share = c / effective.across + s / effective.along
    return max(share, c / effective.along + s / effective.across) if along else share


def _pulls(job: Job, loads: Loads, hold: Hold, pushed: PushedPost) -> Demand:
    """Pull on the fixing that takes the most, under the hardest load, against what it holds."""
    kind = pushed[0]
    height = lever_height(job, kind.height) or 0.0
    if job.kit.mounting == "fascia":
        # The load acts along the fixings, so they balance it too: moments are about the bearing.
        height += hold.lever
    share = loads.factor * _share(hold.effective, pushed)

    def pull(force: Force) -> Force:
        return timber.row_tension(cantilever_moment(force, height), hold.lever) * share

    return under_hardest_push(loads, kind, height, hold.one.capacity, pull)


def _topic(job: Job, loads: Loads, hold: Hold) -> Topic:
    bolt, said = hold.fixing.kind == "through_bolt", hold.fixing.in_tension
    what, turned = f"each of {said} fixings is pulled with", "M (cos a + sin a)"
    pull = f"T = M/z with z {job.text(hold.lever)}, M about where the plate bears"
    if min(hold.effective) < said:
        across, along = (number_text(each, 3) for each in hold.effective)
        what, turned = "the fixing that takes the most is pulled with", "M (cos a/n + sin a/n')"
        pull = (
            f"T = M/(z n) with z {job.text(hold.lever)}, M about where the plate bears, n = (sum of"
            f" d^2)/(d z) of the fixings' distances d from there: {across} where the post is pushed"
            f" across the edge, n' {along} along it"
        )
    ends = "" if bolt else ", how far screws are from the end of their timber, and their own metal"
    return Topic(
        RULE,
        "force",
        what=what,
        held=hold.one.words,
        method=(
            f"{pull}, of a base turned by a to its rail {turned}; {hold.one.method}; the plate's "
            f"own bending, shear{', and' if bolt else ','} the crushing of the deck{ends} are not "
            "looked at"
        ),
        leans_on=loads.on_rail,
        cure="" if bolt else BOLTS,
        reads=figures_of(loads.point, loads.line),
    )


def one_fixing(
    fixing: Fixing, known: Timber | None, site: Site, rules: RuleSet, unit: Unit
) -> Anchorage | str:
    """What one fixing holds by the rule set, in lbf or N; else what is missing, in words."""
    if fixing.kind == "through_bolt":
        if fixing.capacity is None:
            return "give tension_capacity of one bolt with its washers in strength.fixing"
        how = "capacity of a bolt as the kit gives it"
        return Anchorage(fixing.capacity, "a bolt holds", how)
    if fixing.length is None or fixing.thread is None or fixing.side_member is None:
        return "give length, thread and side of the screws in strength.fixing"
    if known is None:
        return "give the timber that it goes into, in strength.timber or site.timber"
    if rules == "EN":
        return _screw_by_partial_factors(fixing, known, site, unit)
    return _screw_by_allowable_stress(fixing, known, site, unit)


def thread_in_timber(fixing: Fixing) -> Length:
    """Length of thread past the side member, without the tip."""
    length, thread = fixing.length or 0.0, fixing.thread or 0.0
    return timber.thread_held(length, thread, fixing.tip, fixing.side_member or 0.0)


def _screw_by_allowable_stress(
    fixing: Fixing, known: Timber, site: Site, unit: Unit
) -> Anchorage | str:
    """What one screw holds: W' times its thread, in inches and lbf as the NDS prints them.

    Words of what is missing, where the timber does not say its specific gravity.
    """
    gravity = known.gravity
    if gravity is None and known.species is not None:
        gravity = timber.GRAVITIES[known.species]
    if gravity is None:
        return "give the timber's species or specific_gravity, which allowable stress goes by"
    inch, force = (1.0, 1.0) if unit == "in" else (1 / MM_PER_IN, N_PER_LBF)
    lag = fixing.kind == "lag_screw"
    per_inch = timber.lag_withdrawal if lag else timber.wood_screw_withdrawal
    reference = per_inch(gravity, fixing.diameter * inch)
    value = timber.adjusted(reference, site.load_duration, wet=site.wet_service)
    thread = thread_in_timber(fixing) * inch
    formula = "1800 G^1.5 D^0.75 (NDS 2018 12.2.1)" if lag else "2850 G^2 D (NDS 2018 12.2.2)"
    wet = f"C_M {timber.WET:g} in the wet, from memory" if site.wet_service else "dry"
    method = (
        f"W = {formula} with G {number_text(gravity, 3)}, C_D "
        f"{timber.DURATIONS[site.load_duration]:g}, {wet}, {number_text(thread, 3)} in of thread"
    )
    factors = (
        f"C_D {timber.DURATIONS[site.load_duration]:g}, {'wet' if site.wet_service else 'dry'}"
    )
    words = f"pulled out of timber ({factors}) one holds"
    return Anchorage(value * thread * force, words, method)


def _screw_by_partial_factors(
    fixing: Fixing, known: Timber, site: Site, unit: Unit
) -> Anchorage | str:
    """What one screw holds: its part of R_d of the row, in mm and N as EN 1995-1-1 prints them.

    Words of what is missing, where the timber has no grade or the formula does not hold.
    """
    if known.grade is None:
        return "give the timber's grade, such as C24, which partial factors go by"
    mm, force = (1.0, 1.0) if unit == "mm" else (MM_PER_IN, 1 / N_PER_LBF)
    diameter, thread = fixing.diameter * mm, thread_in_timber(fixing) * mm
    if not screws.holds_for(diameter, thread):
        return (
            "EN 1995-1-1 (8.39) holds for 6 to 12 mm and 6 diameters of thread alone; these are "
            f"{number_text(diameter, 1)} mm with {number_text(thread, 1)} mm in the timber"
        )
    density, count = screws.DENSITIES[known.grade], fixing.in_tension
    seen = "" if known.grade in screws.SEEN else " from memory"
    row = screws.withdrawal(diameter, thread, density, count)
    duration, wet = site.load_duration, site.wet_service
    each = screws.design_force(row, duration, wet=wet) / count
    method = (
        f"EN 1995-1-1 (8.38) to (8.40) with rho_k {density:g}{seen}, n_ef = n^0.9, k_mod "
        f"{screws.MODIFICATION[duration, wet]:g} and gamma_M {screws.PARTIAL:g} from memory, "
        f"{number_text(thread, 1)} mm of thread"
    )
    factors = f"k_mod {screws.MODIFICATION[duration, wet]:g}, {'wet' if wet else 'dry'}"
    return Anchorage(each * force, f"pulled out of timber ({factors}) one holds", method)


def _geometry(job: Job, fixing: Fixing, rules: RuleSet, places: list[Place]) -> Iterator[Saying]:
    """Least penetration, edge distance and spacing of screws; nothing is said of bolts.

    By EN 1995-1-1 the least thread is a bound of the formula itself. By the NDS a wood screw is
    looked at for its penetration alone.
    """
    if fixing.kind == "through_bolt":
        return
    base, lag = job.kit.post.base, fixing.kind == "lag_screw"
    if rules == "US":
        threads = Demand(
            timber.least_penetration(fixing.kind, fixing.diameter),
            thread_in_timber(fixing),
            "of thread at the least",
        )
        source = f"{'4' if lag else '6'} D, the tip not counted (NDS 2018 12.1)"
        yield from _held(job, "in the timber there are", threads, source, places)
        if not lag:
            return
    least_edge, least_apart, edge_source, apart_source = (
        (timber.least_edge, timber.least_spacing, f"1.5 D {_NDS}", f"4 D {_NDS}")
        if rules == "US"
        else (screws.least_edge, screws.least_spacing, f"4 d {_EC5}", f"7 d along the grain {_EC5}")
    )
    to_edge = "to the edge of the timber at the least"
    edge = Demand(least_edge(fixing.diameter), base.fixing_edge_distance, to_edge)
    yield from _held(job, "the kit keeps", edge, edge_source, places)
    if base.fixings > 1:
        between = fixing_places(base, (0.0, 0.0), 0.0)
        apart = min(math.dist(*each) for each in combinations(between, 2))
        spacing = Demand(least_apart(fixing.diameter), apart, "to the next one at the least")
        yield from _held(job, "on the base there are", spacing, apart_source, places)


def _held(
    job: Job, held: str, demand: Demand, source: str, places: list[Place]
) -> Iterator[Saying]:
    """Finding on what each screw needs, alike at every post.

    held: words before what there is. demand: what is needed, against what there is.
    """
    needs, kit = "each screw needs", job.kit.id
    topic = Topic(RULE, "length", needs, held, method=source, cite=kit, bound="")
    return say_demands(job, topic, [(place, demand) for place in places], lambda itself: itself)
