"""Wire: the problem document of a refusal (RFC 9457)."""

from __future__ import annotations

from collections.abc import Sequence

import orjson

from service.core.problems import Problem


def write_problem(slug: str, title: str, status: int, problems: Sequence[Problem]) -> bytes:
    """A refusal as application/problem+json. slug: names the kind of refusal.

    >>> write_problem("misfit", "It does not fit", 400, [Problem("/unit", "x", "No.")])[:30]
    b'{"type":"/v1/docs#problem-misf'
    """
    detail = problems[0].message
    if len(problems) > 1:
        detail = f"{len(problems)} faults; the first: {detail}"
    return orjson.dumps(
        {
            "type": f"/v1/docs#problem-{slug}",
            "title": title,
            "status": status,
            "detail": detail,
            "errors": [
                {"pointer": each.pointer, "code": each.code, "message": each.message}
                for each in problems
            ],
        }
    )
