"""Rules: how the fixings of a base plate share the pull of a post that turns over.

A rigid plate turns about where it bears, and pulls at each fixing in proportion to the fixing's
distance from there. `effective_fixings` is the main entry.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from service.core.measure import Length
from service.core.records.kit import Base
from service.core.records.strength import Fixing
from service.core.timber.fixings import PLACED, fixing_places

_FEWEST: Final = 3
"""With fewer fixings the kit's own count is taken: they stand on one side of the plate."""
_CORNERS: Final = 2
"""How many of four fixings or more stand at least in the farthest row, however a post is pushed."""


class EffectiveFixings(NamedTuple):
    """How many fixings at the full lever z those of a base amount to.

    The one that is pulled most takes M/(z n), n being this number. across: n where the post is
    pushed square to the edge that the rows of fixings run along. along: n where it is pushed along
    that edge.
    """

    across: float
    along: float


def effective_fixings(base: Base, fixing: Fixing, lever: Length) -> EffectiveFixings:
    """How many fixings at the full lever those of a base amount to: as the kit says, or fewer.

    A fixing at a distance d from where the plate bears is pulled by F = M d/(sum of d^2). So the
    places of the fixings amount to n = (sum of d^2)/(d z), with d of the farthest; where that is
    less than the kit's number, it is taken.

    lever: the kit's z, from the fixings in tension to where the plate bears. Where the kit says
    that more are in tension than one row has, z is not the farthest row's, and the plate is taken
    to turn about its edge. Fixings without a known place may all stand where the kit has them in
    tension, but are not counted where the post is pushed along the edge.

    Two rows of three, 3.5 apart, stand 0.75 in from the edge of a plate of 5. Where the post is
    pushed along them and z is 4.25, two are 4.25 from where the plate bears, two 2.5 and two 0.75.

    >>> lag = Fixing("lag_screw", 0.375, 3)
    >>> effective_fixings(Base(5.0, 6, 0.75, 0.75), lag, 3.5)
    EffectiveFixings(across=3.0, along=2.5)
    >>> effective_fixings(Base(5.0, 6, 0.75, 0.75), lag, 4.25).along == round(49.75 / 4.25**2, 9)
    True
    """
    said = float(fixing.in_tension)
    if base.fixings < _FEWEST or (said <= _CORNERS and base.fixings > _FEWEST):
        return EffectiveFixings(said, said)
    in_row = 3 if base.fixings > 4 else _CORNERS
    edge = base.width - base.fixing_inset
    bears = lever if said <= in_row else edge
    xs, ys = zip(*fixing_places(base, (0.0, 0.0), 0.0), strict=True)
    along = min(said, _held(xs, bears, lever))
    return EffectiveFixings(
        said if base.fixings > PLACED else min(said, _held(ys, bears, lever)), along
    )


def _held(places: Sequence[Length], bears: Length, lever: Length) -> float:
    """The number n where the post is pushed along an axis, the way that is worse.

    places: of the fixings along that axis, from the middle of the plate. bears: from the farthest
    fixing to where the plate bears.
    """
    least = min(_one_way(places, bears), _one_way([-x for x in places], bears))
    return round(least * (bears / lever), 9)


def _one_way(places: Sequence[Length], bears: Length) -> float:
    farthest = max(places)
    arms = [max(0.0, bears - (farthest - x)) for x in places]
    return sum((arm / bears) ** 2 for arm in arms)
