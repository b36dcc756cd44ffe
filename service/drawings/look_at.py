"""Drawings: what to look at first: the findings that fail, then those that were not checked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from service.core.line.outline import count_edges
from service.drawings.naming import cited, together
from service.drawings.parts import Column, Heading, Json, Subject, Table
from service.drawings.plans.flags import flagged_of

COLUMNS: Final = (
    Column("flag", "Flag", "right"),
    Column("rule", "Rule"),
    Column("result", "Result"),
    Column("where", "Where"),
    Column("message", "What was found"),
    Column("cite", "By"),
)
_RESULTS: Final = {"fail": "fails", "not_checked": "not checked"}
_FIRST: Final = ("violation", "warning", "note")
"""The order of severities among the findings that fail."""
NONE: Final = "Of the rules that were looked at, none fails and none was left unchecked."


def look_at(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """A table of the findings that somebody must look at, first those that fail, violations first.

    Its column Flag gives the number of the flag that a plan shows where the rule fails; the column
    is left out where no finding has a flag.
    """
    flags = {
        (told.rule, told.cite, told.severity): told.number for told in flagged_of(subject.reply)
    }
    names = _names(subject)
    found = [each for each in subject.reply["findings"] if each["result"] in _RESULTS]
    rows = tuple(_row(each, subject.reply, flags, names) for each in sorted(found, key=_rank))
    note = "" if rows else NONE
    if flags:
        return (Table("To look at first", COLUMNS, rows, note),)
    return (Table("To look at first", COLUMNS[1:], tuple(row[1:] for row in rows), note),)


def _rank(finding: Json) -> tuple[bool, int]:
    return finding["result"] != "fail", _FIRST.index(finding["severity"])


def _names(subject: Subject) -> dict[str, str]:
    """What drawings and lists call the places that findings name.

    A flight that is called as a post, a run or a bay is has no name here: either may be meant.
    """
    reply, deck, layout = subject.reply, subject.deck, subject.layout
    names = {reply["kit"]["id"]: "the kit"}
    names |= {layout.level_place(level.id): f"level {level.id}" for level in deck.levels}
    built = {post.id for post in layout.posts} | {run.id for run in layout.runs}
    built |= {bay.id for bay in layout.bays}
    flights = (flight.id for flight in layout.flights if flight.id not in built)
    names |= {flight: f"flight {flight}" for flight in flights}
    for level in deck.levels:
        for number in range(count_edges(level.outline)):
            for kind in ("edge", "corner"):
                own = f"{kind} {number}"
                names[f"{level.id}/{own}"] = f"{own} of {level.id}"
    for opening in layout.openings:
        kind = "gate" if opening.use == "gate" else "opening"
        names[opening.place] = f"{kind} {opening.place}"
    return names


def _row(
    finding: Json,
    reply: Json,
    flags: Mapping[tuple[str, str, str], int],
    names: Mapping[str, str],
) -> tuple[str, ...]:
    """The row of a finding, in words for people.

    names: what places are called, where that is not what the finding calls them.
    """
    result = _RESULTS[finding["result"]]
    told = f"{result} (warning)" if finding["severity"] == "warning" else result
    rule = finding["rule"].replace("_", " ")
    where = together(names.get(each, each) for each in finding["where"])
    cite, failed = cited(finding, reply), finding["result"] == "fail"
    flag = flags.get((finding["rule"], cite, finding["severity"])) if failed else None
    return str(flag or ""), rule, told, where, finding["message"], cite
