"""How schemathesis sends a batch: text as it is. What is no text can't be sent as lines."""

from __future__ import annotations

from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson", "application/ndjson", "application/jsonl")
def send_lines(_context: Any, value: Any) -> bytes:
    """The body of a batch, with half characters and all."""
    return str(value).encode("utf-8", "surrogatepass")


@schemathesis.hook
def filter_case(_context: schemathesis.HookContext, case: schemathesis.Case[Any]) -> bool:
    """Whether the body of a case can be sent at all."""
    return case.path != "/v1/layouts" or case.method != "POST" or isinstance(case.body, str)
