"""Hand-worked decks: each JSON file under this folder is one test, named by its path.

A file holds
title, source   what the deck shows; where the sums are from, as `hand working`, a cited text,
                `common practice, no source` or `from memory`
working         the sums, line by line, for a person with a calculator
request, status the deck document as sent, and the status that it gets. A kit written
                {"kit_file": "x.json", "set": {"/picket/gap": 4}} is kits/x.json sent inline,
                with the members at those pointers changed
tolerance       how far a number may lie from what is expected; 1e-6 where left out
expected        [{"at": place, one of: "value": v        equal (an object: these members of it)
                                       "contains": v     a list that holds such a member
                                       "count": n        a list of so many members
                                       "absent": true    left out, or empty
                                       "id_of": place    the id of the record at that place}]
findings        each matches at least one finding: the members named here are equal, but for
                `where`, all of which is in the finding's own
absent_findings no finding matches
errors          each matches an error of the refusal, by the same `pointer` and `code`, and no
                error is left over

A place is a JSON pointer into the reply in which a step into a list is an index, the `id`,
`opening` or `mark` of a member, or `@x,y`: the member that stands there.
"""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from service.answer import answer
from service.core.problems import Malformed, Misfit, Refusal, TooLarge, Unbuildable
from tests.shipped import catalogue

HERE = Path(__file__).parent
KITS = HERE / "kits"
LAYOUT_SCHEMA = HERE.parent.parent / "schema" / "layout.json"
STATUS = {Malformed: 400, Misfit: 400, TooLarge: 413, Unbuildable: 422}
NAMES = ("id", "opening", "mark")
FILES = sorted(path for path in HERE.rglob("*.json") if KITS not in path.parents)

Json = Any


@cache
def _layout_schema() -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(json.loads(LAYOUT_SCHEMA.read_text("utf-8")))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(HERE).as_posix())
def test_case(path: Path) -> None:
    """The reply to a case is what the case's working comes to."""
    case = json.loads(path.read_text("utf-8"))
    status, reply = _post(request_of(case))
    assert status == case["status"], f"{status}: {json.dumps(reply)[:600]}"
    if status == 200:
        faults = [error.message[:200] for error in _layout_schema().iter_errors(reply)]
        faults += _faults_of_places(case, reply) + _faults_of_findings(case, reply["findings"])
    else:
        faults = _faults_of_refusal(case, reply)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(HERE).as_posix())
def test_case_says_something(path: Path) -> None:
    """Each file shows its working and its source, and expects at least one thing."""
    case = json.loads(path.read_text("utf-8"))
    assert case["title"]
    assert case["source"]
    assert all(case["working"])
    assert case["working"]
    told = ("expected", "findings", "absent_findings") if case["status"] == 200 else ("errors",)
    assert any(case.get(part) for part in told)
    assert all({"pointer", "code"} == set(error) for error in case.get("errors", ()))
    known = {"title", "source", "working", "request", "status", "tolerance", *told}
    assert set(case) <= known


def test_there_are_cases() -> None:
    """The files are found: a moved folder would otherwise leave nothing to run."""
    assert len(FILES) >= 48


def _post(request: Json) -> tuple[int, Json]:
    try:
        answered = answer(json.dumps(request).encode(), catalogue())
    except Refusal as refusal:
        problems = [
            {"pointer": p.pointer, "code": p.code, "message": p.message} for p in refusal.problems
        ]
        return STATUS[type(refusal)], problems
    return 200, json.loads(answered.body)


def request_of(case: Json) -> Json:
    """The document that a case sends, with its kit inline where that is a changed file of kits/."""
    request = case["request"]
    asked = request.get("kit")
    if not isinstance(asked, dict) or "kit_file" not in asked:
        return request
    kit = json.loads((KITS / asked["kit_file"]).read_text("utf-8"))
    for pointer, value in asked.get("set", {}).items():
        *steps, last = pointer.split("/")[1:]
        record = kit
        for step in steps:
            record = record[step]
        assert last in record, f"{pointer} is not in {asked['kit_file']}"
        record[last] = value
    return {**request, "kit": kit}


def _faults_of_places(case: Json, reply: Json) -> list[str]:
    tolerance = case.get("tolerance", 1e-6)
    return [
        fault
        for item in case.get("expected", [])
        if (fault := _fault_of_place(item, reply, tolerance)) is not None
    ]


def _fault_of_place(item: Json, reply: Json, tolerance: float) -> str | None:
    try:
        if item.get("absent"):
            return _fault_of_absence(item["at"], reply, tolerance)
        found = _at(reply, item["at"], tolerance)
        named = _at(reply, item["id_of"], tolerance)["id"] if "id_of" in item else None
    except LookupError as missing:
        return f"{item['at']}: nothing there ({missing})"
    wanted: Json
    if "count" in item:
        good, wanted = isinstance(found, list) and len(found) == item["count"], item["count"]
    elif "contains" in item:
        wanted = item["contains"]
        good = isinstance(found, list) and any(_same(wanted, one, tolerance) for one in found)
    else:
        wanted = named if "id_of" in item else item["value"]
        good = _same(wanted, found, tolerance)
    return None if good else f"{item['at']}: expected {wanted!r}, got {str(found)[:400]}"


def _fault_of_absence(at: str, reply: Json, tolerance: float) -> str | None:
    """The fault of a member that is there, though it should be left out or empty; else None.

    What holds the member has to be there.
    """
    folder, _, member = at.rpartition("/")
    holder = _at(reply, folder, tolerance)
    assert isinstance(holder, dict), at
    return f"{at}: expected nothing, got {holder[member]!r}" if holder.get(member) else None


def _at(reply: Json, place: str, tolerance: float) -> Json:
    found = reply
    for step in place.split("/")[1:]:
        name = step.replace("~1", "/").replace("~0", "~")
        if isinstance(found, list):
            found = _member(found, name, tolerance)
        elif isinstance(found, dict):
            found = found[name]
        else:
            raise LookupError(name)
    return found


def _member(items: list[Json], name: str, tolerance: float) -> Json:
    if name.isdecimal():
        return items[int(name)]
    if name.startswith("@"):
        point = [float(part) for part in name[1:].split(",")]
        return _only([one for one in items if math.dist(one["at"], point) <= 2 * tolerance], name)
    return _only([one for one in items if name in {one.get(key) for key in NAMES}], name)


def _only(found: list[Json], name: str) -> Json:
    if len(found) != 1:
        raise LookupError(f"{len(found)} members {name}")
    return found[0]


def _same(wanted: Json, found: Json, tolerance: float) -> bool:
    if isinstance(wanted, dict):
        return isinstance(found, dict) and all(
            key in found and _same(value, found[key], tolerance) for key, value in wanted.items()
        )
    if isinstance(wanted, list):
        return (
            isinstance(found, list)
            and len(wanted) == len(found)
            and all(_same(one, other, tolerance) for one, other in zip(wanted, found, strict=True))
        )
    if _is_number(wanted) and _is_number(found):
        return bool(abs(wanted - found) <= tolerance)
    return type(wanted) is type(found) and bool(wanted == found)


def _is_number(value: Json) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _faults_of_findings(case: Json, findings: list[Json]) -> list[str]:
    tolerance = case.get("tolerance", 1e-6)

    def told(wanted: Json) -> str:
        alike = [finding for finding in findings if finding["rule"] == wanted["rule"]]
        return f"of {len(findings)} findings, by that rule: {json.dumps(alike)[:800]}"

    faults = [
        f"no finding {wanted}; {told(wanted)}"
        for wanted in case.get("findings", [])
        if not any(_matches(wanted, finding, tolerance) for finding in findings)
    ]
    return faults + [
        f"a finding {unwanted}; {told(unwanted)}"
        for unwanted in case.get("absent_findings", [])
        if any(_matches(unwanted, finding, tolerance) for finding in findings)
    ]


def _matches(wanted: Json, finding: Json, tolerance: float) -> bool:
    rest = {key: value for key, value in wanted.items() if key != "where"}
    return set(wanted.get("where", [])) <= set(finding["where"]) and _same(rest, finding, tolerance)


def _faults_of_refusal(case: Json, problems: list[Json]) -> list[str]:
    left = list(problems)
    faults = []
    for wanted in case["errors"]:
        met = next((problem for problem in left if _tells(wanted, problem)), None)
        if met is None:
            faults.append(f"no error {wanted} in {problems}")
        else:
            left.remove(met)
    return faults + [f"an error that is not looked for: {problem}" for problem in left]


def _tells(wanted: Json, problem: Json) -> bool:
    return bool(problem["message"]) and all(problem[member] == wanted[member] for member in wanted)
