"""Every figure of every shipped code: at its limit, and on either side of it, as its text reads.

The values are those of the published tables, written out here by hand and not read from the
service, and so are `less than` and `not more than`. Each deck is judged as a whole.
"""

from __future__ import annotations

from typing import Any

import pytest

from service.answer import answer_document
from tests.cases.test_cases import request_of
from tests.shipped import catalogue

Json = dict[str, Any]
NEAR = {"in": 0.0625, "mm": 1.0}
"""One mark."""
IN, MM = ("us-irc-2021", "us-irc-2024"), ("ca-nbc-2020", "gb-eng-adk-2013")
IBC = ("us-ibc-2021", "us-ibc-2024")


def unit_of(code: str) -> str:
    """The unit in which a code prints its figures."""
    return "in" if code.startswith("us-") else "mm"


def verdict(code: str, rule: str, limit: float, **of_deck: Any) -> set[str]:
    """Results of the rule's findings that have this limit."""
    reply = answer_document(document(code, **of_deck), catalogue())
    return {f["result"] for f in reply["findings"] if f["rule"] == rule and f.get("limit") == limit}


def document(
    code: str,
    *,
    drop: float | None = None,
    height: float | None = None,
    kit: Json | None = None,
    edges: list[Json] | None = None,
    flight: Json | None = None,
    **more: Any,
) -> Json:
    """A rectangular deck against a house, with or without a flight."""
    unit = unit_of(code)
    inches = unit == "in"
    size = (240, 144) if inches else (6000, 3600)
    level: Json = {
        **{"id": "main", "drop": drop if drop is not None else (48 if inches else 1500)},
        **{"outline": {"points": [[0, 0], [size[0], 0], list(size), [0, size[1]]]}},
        **{"edges": [{"edge": 2, "condition": "wall"}, *(edges or [])]},
    }
    deck: Json = {
        **{"unit": unit, "code": code, "levels": [level]},
        **{"guard": {"infill": "picket", "height": height or (42 if inches else 1100)}},
        **more,
    }
    if flight is not None:
        start, width = (60, 48) if inches else (1500, 1200)
        width = flight.pop("width", width)
        level["openings"] = [
            {"id": "steps", "edge": 0, "from": start, "width": width, "use": "stair"}
        ]
        deck["stairs"] = [{"id": "front", "opening": "main/steps", **flight}]
    deck["kit"] = {"kit_file": f"flight-{unit}.json", "set": kit or {}}
    request: Json = request_of({"request": deck})
    return request


def steps(riser: float, going: float, risers: int = 6, **more: Any) -> Json:
    """A flight of this riser and going, guarded on both sides and with a handrail on its right."""
    return {
        **{"rise": riser * risers, "risers": risers, "going": going},
        **{"guards": ["left", "right"], "handrail": ["right"], **more},
    }


def expect(at_limit: str, below: str, above: str) -> list[tuple[int, str]]:
    """The result wanted a mark below the limit, on it, and a mark above it."""
    return [(-1, below), (0, at_limit), (1, above)]


AT_LEAST = expect("pass", "fail", "pass")
AT_MOST = expect("pass", "pass", "fail")
LESS_THAN = expect("fail", "pass", "fail")

DROPS = [
    *((code, 30.0, expect("pass", "pass", "fail")) for code in (*IN, *IBC)),  # more than 30 in
    *((code, 600.0, expect("pass", "pass", "fail")) for code in MM),  # more than 600 mm
    *((code, 1000.0, expect("fail", "pass", "fail")) for code in ("au-ncc-2022", "nz-f4-as1")),
]
"""R312.1.1, R321.1.1, IBC 1015.2; NBC 9.8.8.1, Approved Document K 1.41; H5P2 and F4.3.1: 1 m or
more."""

HEIGHTS = [
    *((code, 36.0) for code in IN),
    *((code, 42.0) for code in IBC),
    ("ca-nbc-2020", 900.0),
    ("gb-eng-adk-2013", 1100.0),
    ("au-ncc-2022", 1000.0),
    ("nz-f4-as1", 1000.0),
]
"""R312.1.2, R321.1.2, IBC 1015.3, NBC 9.8.8.3.(3), Diagram 3.1, 11.3.4(2)(b)(i), F4/AS1 Table 1."""

STAIR_HEIGHTS = [
    *((code, 34.0) for code in IN),
    *((code, 42.0) for code in IBC),
    ("ca-nbc-2020", 900.0),
    ("gb-eng-adk-2013", 900.0),
    ("au-ncc-2022", 865.0),
    ("nz-f4-as1", 900.0),
]

SPHERES = [
    *((code, 4.0) for code in (*IN, *IBC)),
    *((code, 100.0) for code in (*MM, "nz-f4-as1")),
    ("au-ncc-2022", 125.0),
]
"""R312.1.3, R321.1.3, IBC 1015.4, NBC 9.8.8.5.(1), 3.3a, F4/AS1 1.2(b); 11.3.4(4)."""

RISERS = [
    *((code, 7.75, AT_MOST) for code in IN),
    *((code, 7.0, AT_MOST) for code in IBC),
    *((code, 4.0, AT_LEAST) for code in IBC),
    ("ca-nbc-2020", 200.0, AT_MOST),
    ("ca-nbc-2020", 125.0, AT_LEAST),
    ("gb-eng-adk-2013", 220.0, AT_MOST),
    ("gb-eng-adk-2013", 150.0, AT_LEAST),
    ("au-ncc-2022", 190.0, AT_MOST),
    ("au-ncc-2022", 115.0, AT_LEAST),
    ("nz-f4-as1", 190.0, AT_MOST),
]
"""R311.7.5.1, R318.7.5.1, IBC 1011.5.2, NBC 9.8.4.1, Tables 1.1, 11.2.2a and 6."""

GOINGS = [
    *((code, 10.0, AT_LEAST) for code in IN),
    *((code, 11.0, AT_LEAST) for code in IBC),
    ("ca-nbc-2020", 255.0, AT_LEAST),
    ("ca-nbc-2020", 355.0, AT_MOST),
    ("gb-eng-adk-2013", 280.0, AT_LEAST),
    ("gb-eng-adk-2013", 300.0, AT_MOST),
    ("au-ncc-2022", 240.0, AT_LEAST),
    ("au-ncc-2022", 355.0, AT_MOST),
    ("nz-f4-as1", 280.0, AT_LEAST),
]

WIDTHS = [
    *((code, 36.0) for code in (*IN, *IBC)),
    *((code, 44.0) for code in IBC),
    ("ca-nbc-2020", 860.0),
]
"""R311.7.1, R318.7.1; IBC 1011.2: 44 in, and 36 for fewer than 50 occupants; NBC 9.8.2.1."""

RISES = [
    *((code, 151.0) for code in IN),
    *((code, 144.0) for code in IBC),
    ("ca-nbc-2020", 3700.0),
]
"""R311.7.3, R318.7.3, IBC 1011.8, NBC 9.8.3.3."""


def cases(rows: list[Any], verdicts: list[tuple[int, str]] | None = None) -> list[Any]:
    """Values a mark below each row's limit, on it and a mark above it, each with the result
    wanted."""
    found = []
    for code, limit, *own in rows:
        for way, wanted in own[0] if own else verdicts or []:
            value = limit + way * NEAR[unit_of(code)]
            found.append(pytest.param(code, limit, value, wanted, id=f"{code}-{value:g}"))
    return found


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(DROPS))
def test_the_drop_of_an_open_edge(code: str, limit: float, value: float, wanted: str) -> None:
    """A guard is required at a drop over the figure, or from the figure on, as the code reads."""
    edges = [{"edge": 0, "condition": "open"}]
    reply = answer_document(document(code, drop=value, edges=edges), catalogue())
    said = {
        f["result"]
        for f in reply["findings"]
        if f["rule"] == "guard_required" and "main/edge 0" in f["where"] and f["limit"] == limit
    }
    assert said == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(HEIGHTS, AT_LEAST))
def test_the_height_of_a_guard(code: str, limit: float, value: float, wanted: str) -> None:
    """A guard is not lower than the figure."""
    assert verdict(code, "guard_height", limit, height=value) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(STAIR_HEIGHTS, AT_LEAST))
def test_the_height_of_a_stair_guard(code: str, limit: float, value: float, wanted: str) -> None:
    """A stair guard, measured plumb above the nosings, is not lower than the figure."""
    riser, going = (7.0, 11.0) if unit_of(code) == "in" else (180.0, 280.0)
    flight = steps(riser, going, height=value)
    assert verdict(code, "stair_guard_height", limit, flight=flight) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(SPHERES, LESS_THAN))
def test_the_gap_under_the_bottom_rail(code: str, limit: float, value: float, wanted: str) -> None:
    """A sphere of the figure must not pass, and just passes at the figure itself."""
    assert verdict(code, "gap_under_rail", limit, kit={"/bottom_gap": value}) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(SPHERES, LESS_THAN))
def test_the_gap_between_pickets(code: str, limit: float, value: float, wanted: str) -> None:
    """The widest of all the gaps decides; with full spacers that is the kit's gap."""
    kit = {"/picket/gap": value, "/picket/spacing": "spacer"}
    found = verdict(code, "opening_size", limit, kit=kit)
    assert wanted in found
    assert wanted == "fail" or found == {"pass"}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(RISERS))
def test_the_height_of_risers(code: str, limit: float, value: float, wanted: str) -> None:
    """A riser is at most the code's greatest, and at least its least where it has one; all risers
    of the flight are alike."""
    flight = steps(value, 11.0 if unit_of(code) == "in" else 280.0)
    drop = flight["rise"]
    assert verdict(code, "riser_height", limit, drop=drop, flight=flight) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(GOINGS))
def test_the_going_of_treads(code: str, limit: float, value: float, wanted: str) -> None:
    """A going is at least the code's least, and at most its greatest where it has one."""
    riser = 7.0 if unit_of(code) == "in" else 170.0
    assert verdict(code, "tread_going", limit, flight=steps(riser, value)) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(WIDTHS, AT_LEAST))
def test_the_width_of_a_flight(code: str, limit: float, value: float, wanted: str) -> None:
    """A flight's width is measured clear between the faces of its posts."""
    riser, going = (7.0, 11.0) if unit_of(code) == "in" else (180.0, 280.0)
    flight = steps(riser, going, width=value)
    people = {"occupants": 50 if limit == 44 else 49} if code in IBC else {}
    assert verdict(code, "stair_width", limit, flight=flight, **people) == {wanted}


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(RISES, AT_MOST))
def test_the_rise_of_a_flight(code: str, limit: float, value: float, wanted: str) -> None:
    """The rise of a flight between landings is at most the figure."""
    risers, going = (24, 11.0) if unit_of(code) == "in" else (20, 280.0)
    flight = {**steps(1.0, going, risers), "rise": value}
    assert verdict(code, "flight_rise", limit, flight=flight, drop=value) == {wanted}


@pytest.mark.parametrize(
    ("code", "risers", "wanted"),
    [
        *((code, n, w) for code in IN for n, w in ((3, "pass"), (4, "fail"), (5, "fail"))),
        *(("ca-nbc-2020", n, w) for n, w in ((3, "pass"), (4, "fail"), (5, "fail"))),
        *((code, 2, "fail") for code in (*IBC, "gb-eng-adk-2013", "nz-f4-as1")),
    ],
)
def test_risers_from_which_a_handrail_is_required(code: str, risers: int, wanted: str) -> None:
    """A flight without a handrail fails at four or more risers (R311.7.8, R318.7.8), at more than
    three (NBC 9.8.7.1.(3)), and elsewhere at any number."""
    riser, going = (7.0, 11.0) if unit_of(code) == "in" else (170.0, 280.0)
    flight = {**steps(riser, going, risers), "handrail": []}
    reply = answer_document(document(code, flight=flight), catalogue())
    said = {f["result"] for f in reply["findings"] if f["rule"] == "handrail_required"}
    assert said == {wanted}


HANDRAILS = [
    *((code, 34.0, AT_LEAST) for code in (*IN, *IBC)),
    *((code, 38.0, AT_MOST) for code in (*IN, *IBC)),
    ("ca-nbc-2020", 865.0, AT_LEAST),
    ("ca-nbc-2020", 1070.0, AT_MOST),
    *((code, 900.0, AT_LEAST) for code in ("gb-eng-adk-2013", "nz-f4-as1")),
    *((code, 1000.0, AT_MOST) for code in ("gb-eng-adk-2013", "nz-f4-as1")),
    ("au-ncc-2022", 865.0, AT_LEAST),
]


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(HANDRAILS))
def test_the_height_of_a_handrail(code: str, limit: float, value: float, wanted: str) -> None:
    """A handrail's height lies between the code's least and greatest, both included; Australia has
    no greatest."""
    riser, going = (7.0, 11.0) if unit_of(code) == "in" else (180.0, 280.0)
    kit = {"/handrail/height": value}
    found = verdict(code, "handrail_height", limit, flight=steps(riser, going), kit=kit)
    assert found == {wanted}


@pytest.mark.parametrize(
    ("figure", "table"),
    [
        ("guard_required_drop", DROPS),
        ("guard_height", HEIGHTS),
        ("guard_height_stair", STAIR_HEIGHTS),
        ("opening_sphere", SPHERES),
        ("riser_max", RISERS),
        ("going_min", GOINGS),
        ("stair_width", WIDTHS),
        ("handrail_height_min", HANDRAILS),
    ],
)
def test_no_shipped_code_is_left_out(figure: str, table: list[tuple[Any, ...]]) -> None:
    """The tables of the figures that nearly every code has hold each shipped code that states
    them."""
    codes = catalogue().code_documents
    stating = {name for name, document in codes.items() if figure in document["figures"]}
    assert stating - {row[0] for row in table} == set(), (
        "give each code its rows in the tables of this file and of test_every_other_figure, from "
        "the published figures and not from the service"
    )
