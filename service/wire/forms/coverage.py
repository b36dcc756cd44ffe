"""Wire: the form of `coverage`, which figures of the code were judged (contract, section 7)."""

from __future__ import annotations

from service.wire.forms.reply import Reply, text
from service.wire.forms.strict import Flag


class CoverageForm(Reply):
    """One figure of the code, and whether a finding of this reply judged by it."""

    figure = text("Figure", "Its name.", example="guard_height")
    judged = Flag("Judged", "Whether a pass or a fail of this reply rests on its rule.")
    why = text(
        "Why",
        "Of one that was not judged: why not.",
        required=False,
        example="nothing here that it binds",
    )
