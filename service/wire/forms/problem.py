"""Wire: the form of the problem document, which is the same for every refusal (RFC 9457)."""

from __future__ import annotations

import json
from typing import Any, ClassVar

from service.core.problems import Problem
from service.refusals import KINDS, refuse
from service.wire.forms.nested import Inner, Items
from service.wire.forms.reply import MANY, Reply
from service.wire.forms.strict import Count, Text


class Pointer(Text):
    """A pointer. It holds names as they were sent, so it may hold control characters."""

    barred: ClassVar[dict[str, Any]] = {}


class ProblemErrorForm(Reply):
    """One fault in what was sent."""

    pointer = Pointer(
        "RFC 6901 pointer into what was sent: where the fault is, or what is missing would stand, "
        "or what holds it where names are very long; empty where it is of the whole.",
        least=0,
        most=MANY,
        example="/levels/0/edges/1/height",
    )
    code = Text("A stable slug.", example="not_a_length")
    message = Text(
        "What is wrong, and what would be taken.",
        most=MANY,
        example="The edges are numbered 0 to 3.",
    )


class ProblemForm(Reply):
    """A refusal: what was wrong, all that could be found at once (RFC 9457)."""

    examples = [
        json.loads(
            refuse(
                "unbuildable", [Problem("/kit", "unknown_kit", "There is no kit none-such.")]
            ).body
        )
    ]

    type = Text("A reference to the kind of problem.", example="/v1/docs#problem-misfit")
    title = Text("The kind of problem in words.", example=KINDS["misfit"].title)
    status = Count("The HTTP status.", least=400, most=599, example=400)
    detail = Text(
        "What is wrong with this request.",
        most=MANY,
        example='/unit: "ft" is not accepted: send in or mm.',
    )
    errors = Items(Inner(ProblemErrorForm, title="Error"), "Every fault found.", least=1, most=MANY)
