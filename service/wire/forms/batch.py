"""Wire: the form of one line of a batch's reply."""

from __future__ import annotations

from service.wire.forms.layout import LayoutForm
from service.wire.forms.nested import Inner
from service.wire.forms.problem import ProblemForm
from service.wire.forms.reply import Reply
from service.wire.forms.strict import Count, Flag


class BatchLineForm(Reply):
    """The answer to one line of a batch: a layout, or a problem."""

    line = Count("The line of the batch, from 1; blank ones are counted.", least=1, example=3)
    status = Count("What the document would get at /v1/layout.", least=200, most=599, example=200)
    layout = Inner(LayoutForm, "Where the status is 200.", required=False)
    problem = Inner(
        ProblemForm,
        "Where it is any other; its places are in the line's own document.",
        required=False,
    )
    ended = Flag(
        "true: the batch ends here; neither this line nor any after it was laid out.",
        required=False,
    )
