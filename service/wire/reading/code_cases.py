"""Wire: the cases of a code document's figures, compared as they are written.

The main entry is `covers`: whether one case holds wherever another does.
"""

from __future__ import annotations

import math

from service.core.measure import TOUCH, Length, Unit
from service.core.records.figures import COUNT_MEASURES, WIDER_OCCUPANCY
from service.wire.reading.lengths import Json, Lengths, Node


def comparable(unit: Unit) -> Lengths:
    """A reader of lengths that are to be compared, where a bare number is in `unit`, too.

    Every comparison with NaN fails, so a faulty length contradicts no other member.
    """
    return Lengths(unit, unit, stand_in=math.nan)


def length_of(node: Json, name: str, unit: Unit) -> Length:
    """The length `name` in `unit`, where a bare number is in that unit too; NaN if it is faulty."""
    return Node(node, "", comparable(unit)).length(name)


def covers(earlier: Json, case: Json, own: Unit) -> bool:
    """Whether `earlier` holds wherever `case` does; False where they test different measures.

    own: the unit of the code document.
    """
    if earlier["measure"] != case["measure"]:
        return False
    if "is" in case:
        return earlier.get("is") in (case["is"], WIDER_OCCUPANCY.get(case["is"]))
    if "is" in earlier:
        return False
    (first, strict), (second, also) = _begins(earlier, own), _begins(case, own)
    return second > first + TOUCH or (abs(second - first) <= TOUCH and (also or not strict))


def _begins(case: Json, own: Unit) -> tuple[float, bool]:
    """The value from which a case holds, and whether it holds only above that value."""
    name = "above" if "above" in case else "from"
    if case["measure"] in COUNT_MEASURES:
        return float(case[name]), name == "above"
    return length_of(case, name, own), name == "above"
