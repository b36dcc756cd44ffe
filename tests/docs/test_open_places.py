"""The table of DEVELOPERS.md of what stays open and what stands in the way, against the service."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import get_args

import pytest

from service.answer import answer_with_records
from service.core.records.seen import GapKind
from tests.cases.test_cases import HERE as CASES
from tests.cases.test_cases import request_of
from tests.shipped import catalogue

ROOT = Path(__file__).parents[2]
HEADING = "\n## What stays open, and what stands in the way\n"
SECTION = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split(HEADING)[1].split("\n## ")[0]
ROWS = [row.strip("| \n").split(" | ") for row in re.findall(r"^\| .*", SECTION, re.M)][2:]


def coded(cell: str) -> list[str]:
    """What a cell has as code."""
    return re.findall("`([^`]+)`", cell)


@pytest.mark.parametrize("row", ROWS, ids=[row[-1] for row in ROWS])
def test_each_row_is_so(row: list[str]) -> None:
    """The row's modules are there, its case leaves such a record, and its rules judge the case."""
    _, seen_by, member, rules, case = row
    modules, _, kind = seen_by.partition(": ")
    for name in coded(modules):
        assert (ROOT / "service/core/finishing" / f"{name}.py").exists(), name
    (member,), (path,) = coded(member), coded(case)
    document = json.loads((CASES / f"{path}.json").read_text("utf-8"))
    reply, answered = answer_with_records(request_of(document), catalogue())
    records = getattr(answered.layout, member)
    assert records, member
    if kind:
        assert {each.kind for each in records} >= set(coded(kind))
    assert {each["rule"] for each in reply["findings"]} >= set(coded(rules))


def test_every_kind_of_gap_has_its_row() -> None:
    """The table tells of each kind of gap that there is."""
    told = {kind for row in ROWS for kind in coded(row[1].partition(": ")[2])}
    assert told == set(get_args(GapKind))
