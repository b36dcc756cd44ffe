"""Wire: forms of a kit's parts, with the yard's own numbers and words, and of its extras (contract,
section 4)."""

from __future__ import annotations

from typing import Any, Final

from service.core import limits
from service.core.order.roles import EXTRAS, ROLES
from service.wire.forms.nested import Record, Table
from service.wire.forms.strict import Choice, Count, Strict, Text

OF: Final = ("job", "post", *(role for role in ROLES if ROLES[role].sold != "strip"))
"""What an extra may go with: the job, any post, or a role that is counted in pieces."""


class BySize(Table):
    """Members named by a length: a number, or text with its own unit."""

    pattern = "^[0-9][0-9 .'\"/m-]{0,39}$"
    named = "by a length as the kit writes it"

    def __init__(self, inner: Strict, about: str, **more: Any) -> None:
        super().__init__(inner, about, most=limits.KIT_LIST, required=False, **more)


class ByRole(Table):
    """Members named by a role."""

    names = tuple(ROLES)
    named = "by a role"

    def __init__(self, inner: Strict, about: str, **more: Any) -> None:
        super().__init__(inner, about, most=limits.PARTS, **more)


class PartForm(Record):
    """The yard's own number, words and pack size for a role."""

    number = Text("Stock number.", example="YD-1101")
    description = Text("What the yard calls it.", example="Line post, 36 in")
    pack = Count(
        "Pieces in a pack; of gasket, the length of a roll, in the kit's unit.", least=1, default=1
    )
    sizes = BySize(
        Text("Stock number.", title="Number"),
        "Stock numbers by post height or stick length, where they differ.",
    )


class ExtraForm(Record):
    """What no drawing gives: so many of one role with another part."""

    role = Choice("What is added.", *EXTRAS)
    of = Choice(
        "A role, any `post`, or the `job` as a whole. Of what is cut from sticks it is each piece. "
        "A role may be that of another extra, but not of one that comes back to this.",
        *OF,
    )
    count = Count("How many with each of them.", least=1, most=1000, example=2)
    every = Count(
        "With every so many of them, begun ones included, not with each.", least=1, default=1
    )
