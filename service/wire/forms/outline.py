"""Wire: the form of a level's outline, in any of the three ways to give it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from service.core import limits
from service.rules.words import list_text
from service.wire.forms.lengths import Length
from service.wire.forms.nested import HERE, Inner, Items, Record
from service.wire.forms.points import Point
from service.wire.forms.strict import Fault, Number

FORMS_OF_OUTLINE: Final = ("points", "sides", "ties")


class Sides(Items):
    """The sides of a tape walk, of which at most one leaves its length out."""

    def published(self, converter: Any) -> dict[str, Any]:
        """An array of which at most one entry has no length."""
        unmeasured = {"type": "object", "properties": {"length": {"not": {}}}}
        at_most_one = {"contains": unmeasured, "minContains": 0, "maxContains": 1}
        return {**super().published(converter), **at_most_one}

    def faults_of_all(self, held: Any) -> Iterator[Fault]:
        """Faults of the list as a whole, a second side without a length among them."""
        yield from super().faults_of_all(held)
        out = [i for i, one in enumerate(held) if isinstance(one, dict) and "length" not in one]
        if len(out) > 1:
            told = "a walk in which one side at most leaves its length out"
            shown = [str(i) for i in out[:4]]
            more = [f"{len(out) - 4} more"] if len(out) > 4 else []
            sides = list_text([*shown, *more])
            yield Fault("length_missing", f"{told}; sides {sides} do, counted from 0")


class SideForm(Record):
    """One side of a tape walk: its length, then the turn at its end."""

    length = Length(
        "Length of the side. One side at most may leave it out: the one that closes the walk best.",
        required=False,
        example=240,
    )
    turn = Number(
        "Turn to the left after the side, in degrees; negative to the right.",
        least=-180,
        most=180,
        unit="in degrees",
        default=90,
        examples=[90, -90, 45],
    )


class TieForm(Record):
    """One corner, by its distances from the two ends of the baseline."""

    from_a = Length("Distance from A, the left end of the wall as seen facing it.", title="From A")
    from_b = Length("Distance from B, the right end of the wall as seen facing it.", title="From B")


class TiesForm(Record):
    """Corners against a straight wall, measured with two tapes from the wall's ends.

    A is (0, 0), B is (baseline, 0) and the corners lie at y < 0. The outline is A, the corners
    in order, B; its last edge is the wall unless `edges` says otherwise.
    """

    baseline = Length("Length of the wall, from A to B.", example=240)
    corners = Items(
        Inner(TieForm, title="Corner"),
        "The corners in order, from A round to B.",
        least=1,
        most=limits.CORNERS - 2,
    )


class OutlineForm(Record):
    """The outline of a level, in exactly one of three forms, given in either direction."""

    constraint = {"oneOf": [{"required": [form]} for form in FORMS_OF_OUTLINE]}

    points = Items(
        Point(title="Corner"),
        "Three or more corners in order, in plan; the last joins the first.",
        title="Corners",
        least=3,
        most=limits.CORNERS,
        required=False,
        example=[[0, 0], [240, 0], [240, 144], [0, 144]],
    )
    sides = Sides(
        Inner(SideForm, title="Side"),
        "The tape walk: start at (0, 0) heading along +x; after each side turn left by its turn.",
        least=3,
        most=limits.CORNERS,
        required=False,
    )
    ties = Inner(TiesForm, "Two tapes from the ends of a straight wall.", required=False)

    def faults_between(self, sent: dict[str, Any]) -> dict[str, Fault]:
        """A fault where the outline is not given in exactly one of the three forms."""
        forms = [form for form in FORMS_OF_OUTLINE if form in sent]
        why = f"it has {' and '.join(forms) or 'none of them'}"
        fault = Fault("not_one_form", "exactly one of points, sides, ties", why=why)
        return {HERE: fault} if len(forms) != 1 else {}
