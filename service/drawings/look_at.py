"""Drawings: what to look at first: findings that fail, then what was not checked."""

from __future__ import annotations

from typing import Final

from service.drawings.lists.naming import cited, together
from service.drawings.parts import Column, Heading, Json, Subject, Table

COLUMNS: Final = (
    Column("rule", "Rule"),
    Column("result", "Result"),
    Column("where", "Where"),
    Column("message", "What was found"),
    Column("cite", "By"),
)
_RESULTS: Final = {"fail": "fails", "not_checked": "not checked"}
_FIRST: Final = ("violation", "warning", "note")
"""What comes first of the findings that fail."""
NONE: Final = "Of the rules that were looked at, none fails and none was left unchecked."


def look_at(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """A table of the findings that ask for somebody, violations first."""
    found = [each for each in subject.reply["findings"] if each["result"] in _RESULTS]
    rows = tuple(_row(each, subject.reply) for each in sorted(found, key=_rank))
    return (Table("To look at first", COLUMNS, rows, "" if rows else NONE),)


def _rank(finding: Json) -> tuple[bool, int]:
    return finding["result"] != "fail", _FIRST.index(finding["severity"])


def _row(finding: Json, reply: Json) -> tuple[str, ...]:
    """A finding in words for people."""
    result = _RESULTS[finding["result"]]
    told = f"{result} (warning)" if finding["severity"] == "warning" else result
    rule, where = finding["rule"].replace("_", " "), together(finding["where"])
    return rule, told, where, finding["message"], cited(finding, reply)
