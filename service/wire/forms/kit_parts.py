"""Wire: forms of a kit's parts, with the yard's own numbers and words, and of its extras (contract,
section 4)."""

from __future__ import annotations

from typing import Final

from service.core import limits
from service.core.order.roles import EXTRAS, ROLES
from service.wire.forms.nested import Record, Table
from service.wire.forms.strict import Choice, Count, Text

SIZE: Final = "^[0-9][0-9 .'\"/m-]{0,39}$"
"""The pattern of a member name that is a length: a number, or text with its own unit."""
OF: Final = ("job", "post", *(role for role in ROLES if ROLES[role].sold != "strip"))
"""What an extra may go with: the job, any post, or a role that is counted in pieces."""


class PartForm(Record):
    """The yard's own number, words and pack size for a role."""

    number = Text("Number", "Stock number.", example="YD-1101")
    description = Text("Description", "What the yard calls it.", example="Line post, 36 in")
    pack = Count(
        "Pack",
        "Pieces in a pack; of gasket, the length of a roll, in the kit's unit.",
        least=1,
        default=1,
    )
    sizes = Table(
        SIZE,
        Text("Number", "Stock number."),
        "Sizes",
        "Stock numbers by post height or stick length, where they differ.",
        most=limits.KIT_LIST,
        names="by a length as the kit writes it",
        required=False,
    )


class ExtraForm(Record):
    """What no drawing gives: so many of one role with another part."""

    role = Choice("Role", "What is added.", *EXTRAS)
    of = Choice(
        "Of",
        "A role, any `post`, or the `job` as a whole. Of what is cut from sticks it is each piece. "
        "A role may be that of another extra, but not of one that comes back to this.",
        *OF,
    )
    count = Count("Count", "How many with each of them.", least=1, most=1000, example=2)
    every = Count(
        "Every",
        "With every so many of them, begun ones included, not with each.",
        least=1,
        default=1,
    )
