"""Mistakes in a code document that no schema can show: each is refused with its place, in a code
that is sent inline and in one that is loaded at the start.

Equivalents are by 25.4 mm to the inch and 4.4482216 N to the pound; the codes print 914 mm beside
36 in, 9.5 beside 3/8, 0.73 kN/m beside 50 lbf/ft and 220 N beside 50 lbf.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from service.core.measure import Unit
from service.core.problems import Unbuildable
from service.data.catalogue import BadFileError, load_catalogue
from service.wire.reading.code import amend_code, read_code

from .documents import reply, small

Json = dict[str, Any]
TOWN: Json = {
    "id": "town",
    "title": "The town's code",
    "edition": "2026",
    "unit": "in",
    "figures": {
        "guard_required_drop": {"value": 24, "reads": "at_least", "cite": "1"},
        "guard_height": {"value": 36, "twin": 914, "cite": "2"},
        "opening_sphere": {"value": '4 1/2"', "twin": "115 mm", "cite": "3"},
        "riser_uniformity": {"value": 0.375, "twin": 10, "cite": "4"},
        "guard_line_load": {"value": 50, "twin": 0.73, "cite": "5"},
        "infill_point_load": {"value": 50, "twin": 220, "cite": "6"},
    },
}


def town(**figures: Any) -> Json:
    """The town's code with other figures."""
    code = copy.deepcopy(TOWN)
    code["figures"].update(figures)
    return code


def faults(**figures: Any) -> list[tuple[str, str]]:
    """The places within the code's figures at which the town's code is refused, and the problem
    codes."""
    with pytest.raises(Unbuildable) as refused:
        reply(small(code=town(**figures)))
    at = "/code/figures/"
    return [(each.pointer.removeprefix(at), each.code) for each in refused.value.problems]


def beyond(drop: float, value: float, **more: Any) -> Json:
    """A case of a figure for drops beyond this one."""
    return {"measure": "drop", "above": drop, "value": value, "cite": "c", **more}


def told(word: str, value: float) -> Json:
    """A case of a figure for an occupancy."""
    return {"measure": "occupancy", "is": word, "value": value, "cite": "c"}


def test_twins_as_codes_print_them() -> None:
    """Twins are taken as codes print them, rounded to what the other unit is measured in: 3/8 in
    beside 10 mm, 4 1/2 beside 115."""
    assert reply(small(code=TOWN))["findings"]


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize(
    ("figure", "member"),
    [
        ({"value": "99999'", "twin": 914}, "value"),  # 1,199,988 in
        ({"value": 36, "twin": "99999'"}, "twin"),
        ({"value": 36, "when": [beyond(0, 42, above="99999'", above_twin=762)]}, "when/0/above"),
    ],
)
def test_a_length_that_is_too_great_is_the_one_fault(figure: Json, member: str, unit: Unit) -> None:
    """At most 1,000,000 of its unit is taken, for a deck in either unit. A length that is faulty is
    compared with nothing, so that no twin is said to be off a length that nobody sent."""
    with pytest.raises(Unbuildable) as refused:
        read_code(town(guard_height={"cite": "c", **figure}), unit)
    (problem,) = refused.value.problems
    assert problem.pointer == f"/code/figures/guard_height/{member}"
    assert problem.code == "length_too_great"


@pytest.mark.parametrize(
    ("name", "twin"),
    [
        ("guard_height", 36),  # the same number in both units
        ("guard_height", 9140),  # a nought too many
        ("guard_height", 1020),  # 11.5 % off
        ("opening_sphere", '4 1/2"'),  # 114.3 mm: in the wrong unit it is the same length
        ("guard_line_load", 50),
        ("guard_line_load", 730),  # N to a metre
        ("infill_point_load", 0.22),  # kN
    ],
)
def test_a_twin_of_another_length(name: str, twin: Any) -> None:
    """A twin that is another length than its value is refused, as a deck in the other unit would be
    held to it: a guard of 36 mm would pass."""
    figure = {**TOWN["figures"][name], "twin": twin}
    if twin == '4 1/2"':
        assert reply(small(code=town(**{name: figure})))["findings"]
        return
    assert faults(**{name: figure}) == [(f"{name}/twin", "twins_apart")]


@pytest.mark.parametrize(
    ("value", "twin"),
    [(36, 900), (30, 750), (6, 150), (8, 200), (1.5, 40), (0.375, 10), (0.25, 6), ("100 mm", 100)],
)
def test_a_twin_rounded_as_codes_round(value: Any, twin: float) -> None:
    """Twins are taken as codes round them: 25 mm to the inch is 1.6 % off; 1 1/2 in is 38.1 mm, 1.9
    off 40."""
    figure = {"value": value, "twin": twin, "cite": "c"}
    assert reply(small(code=town(nosing_max=figure)))["findings"]


@pytest.mark.parametrize(
    ("name", "value", "twin"),
    [
        ("guard_height", 39, 914),  # 990.6: 7.7 % off
        ("guard_height", 40, 1067),  # 1016: 5 % off
        ("guard_height", 37, 914),  # 939.8: 2.7 % off
        ("riser_uniformity", 0.25, 9.5),  # 6.35: 3.15 mm off
    ],
)
def test_a_twin_that_was_left_behind(name: str, value: float, twin: float) -> None:
    """Where a figure was changed and its twin was not, the twin is refused: in millimetres a guard
    of 914 would pass by a code that asks for 39 in."""
    figure = {"value": value, "twin": twin, "cite": "c"}
    assert faults(**{name: figure}) == [(f"{name}/twin", "twins_apart")]


@pytest.mark.parametrize(
    ("unit", "value", "twin", "taken"),
    [
        # 36 in is 914.4 mm, and 2 % of that 18.288: up to 932.688.
        ("in", 36, 932, True),
        ("in", 36, 933, False),
        # 1/4 in is 6.35 mm, and 2 mm more 8.35.
        ("in", 0.25, 8.3, True),
        ("in", 0.25, 8.4, False),
        # 200 mm is 7.874 in, and 2 % of that 0.157: up to 8.031.
        ("mm", 200, 8, True),
        ("mm", 200, 8.1, False),
        # 10 mm is 0.3937 in, and 2 mm, 0.0787 in, more 0.4724.
        ("mm", 10, 0.47, True),
        ("mm", 10, 0.48, False),
    ],
)
def test_how_far_a_twin_may_be_off(unit: str, value: float, twin: float, taken: bool) -> None:
    """A twin may be off by 2 % of its value or 2 mm, whichever is more, in a code of either
    unit."""
    figures = {"nosing_max": {"value": value, "twin": twin, "cite": "c"}}
    code = {**TOWN, "unit": unit, "figures": figures}
    if taken:
        assert reply(small(code=code))["findings"]
        return
    with pytest.raises(Unbuildable) as refused:
        reply(small(code=code))
    assert [each.code for each in refused.value.problems] == ["twins_apart"]


def test_twins_in_cases() -> None:
    """Twins of a case's value and of its drop are judged as those of figures are; a twin beside no
    value is refused."""
    case = beyond(120, 42, twin=42, above_twin=120)
    assert faults(guard_height={"value": 36, "when": [case], "cite": "c"}) == [
        ("guard_height/when/0/twin", "twins_apart"),
        ("guard_height/when/0/above_twin", "twins_apart"),
    ]
    case = {"measure": "drop", "above": 120, "twin": 1067, "from_twin": 3, "cite": "c"}
    assert faults(guard_height={"value": 36, "when": [case], "cite": "c"}) == [
        ("guard_height/when/0/twin", "twin_of_nothing"),
        ("guard_height/when/0/from_twin", "twin_of_nothing"),
    ]


def test_a_least_figure_above_the_greatest() -> None:
    """Footholds are barred from 5 to 30 in; with the two ends swapped every rail would keep both.
    Where the two figures hold over different drops, nothing is refused."""
    low, high = {"value": 30, "cite": "c"}, {"value": 5, "cite": "c"}
    swapped = faults(climb_zone_from=low, climb_zone_to=high)
    assert swapped == [("climb_zone_to/value", "least_over_greatest")]
    cased: Json = {
        "climb_zone_from": {"when": [beyond(48, 30)], "cite": "c"},
        "climb_zone_to": {"when": [beyond(48, 5)], "cite": "c"},
    }
    assert faults(**cased) == [("climb_zone_to/when/0/value", "least_over_greatest")]
    # Each end of the range of risers means something by itself.
    apart = {
        "riser_min": {"when": [beyond(48, 9)], "cite": "c"},
        "riser_max": {"when": [beyond(60, 5)], "cite": "c"},
    }
    assert reply(small(code=town(**apart)))["findings"]
    least, greatest = {"value": 3, "cite": "c"}, {"value": 2, "cite": "c"}
    counts = faults(flight_risers_min=least, flight_risers_max=greatest)
    assert counts == [("flight_risers_max/value", "least_over_greatest")]


def test_crossed_figures_are_told_in_the_order_of_the_document() -> None:
    """The same document gets the same refusal in every process, in whichever way text is hashed
    there."""
    drops = (96, 84, 72, 60, 48, 36)
    found = faults(
        riser_min={"value": 9, "when": [beyond(drop, 9) for drop in drops], "cite": "c"},
        riser_max={"value": 5, "when": [beyond(drop, 5) for drop in drops], "cite": "c"},
    )
    places = ["riser_max/value", *(f"riser_max/when/{i}/value" for i in range(len(drops)))]
    assert found == [(place, "least_over_greatest") for place in places]


@pytest.mark.parametrize(
    ("cases", "never"),
    [
        ([beyond(60, 42), beyond(120, 48)], [1]),
        ([beyond(120, 48), beyond(60, 42)], []),
        ([beyond(60, 42), {**beyond(60, 48), "above": 60}], [1]),
        ([told("shared", 42), told("dwelling", 38)], []),
        ([told("shared", 42), told("shared", 38)], [1]),
        # A house is a dwelling, too.
        ([told("dwelling", 38), told("house", 37)], [1]),
        ([told("house", 37), told("dwelling", 38)], []),
        # Over a drop of 60 in or more, then over 60.
        ([{"measure": "drop", "from": 60, "value": 42, "cite": "c"}, beyond(60, 48)], [1]),
        ([beyond(60, 48), {"measure": "drop", "from": 60, "value": 42, "cite": "c"}], []),
    ],
)
def test_a_case_that_never_holds(cases: list[Json], never: list[int]) -> None:
    """The first case that applies counts, so a case that an earlier one covers is refused: a guard
    over 12 ft could be as low as over 5."""
    figure = {"value": 36, "when": cases, "cite": "c"}
    if not never:
        assert reply(small(code=town(guard_height=figure)))["findings"]
        return
    assert faults(guard_height=figure) == [
        (f"guard_height/when/{i}", "case_never_holds") for i in never
    ]


FROM: Json = {"value": 5, "cite": "c"}
TO: Json = {"value": 30, "cite": "c"}
BEYOND_FROM: Json = {"when": [beyond(48, 5)], "cite": "c"}
BEYOND_TO: Json = {"when": [beyond(48, 30)], "cite": "c"}


@pytest.mark.parametrize(
    ("figures", "where"),
    [
        ({"climb_zone_from": FROM}, "climb_zone_from/value"),
        ({"climb_zone_to": TO}, "climb_zone_to/value"),
        ({"climb_zone_from": BEYOND_FROM}, "climb_zone_from/when/0/value"),
        # Over 4 ft footholds are barred from 5 in up; under it they have no lower end, and are
        # barred up to 30 in.
        ({"climb_zone_from": BEYOND_FROM, "climb_zone_to": TO}, "climb_zone_to/value"),
        # One end holds over 4 ft, the other over 5.
        (
            {
                "climb_zone_from": BEYOND_FROM,
                "climb_zone_to": {"when": [beyond(60, 30)], "cite": "c"},
            },
            "climb_zone_from/when/0/value",
        ),
        # Only the upper end of the zone has no value for a shared deck.
        (
            {
                "climb_zone_from": FROM,
                "climb_zone_to": {
                    **TO,
                    "when": [{"measure": "occupancy", "is": "shared", "cite": "c"}],
                },
            },
            "climb_zone_to/when/0",
        ),
        ({"opening_sphere_upper": TO}, "opening_sphere_upper/value"),
        ({"opening_sphere_upper_from": TO}, "opening_sphere_upper_from/value"),
        ({"opening_not_required_guard_wide": TO}, "opening_not_required_guard_wide/value"),
    ],
)
def test_half_of_a_pair(figures: Json, where: str) -> None:
    """A figure that judges nothing without its partner is refused where it stands, and the message
    gives its value."""
    with pytest.raises(Unbuildable) as refused:
        reply(small(code=town(**figures)))
    (problem,) = refused.value.problems
    assert (problem.pointer, problem.code) == (f"/code/figures/{where}", "half_of_a_pair")
    told = "5" if where.startswith("climb_zone_from") or where.endswith("when/0") else "30"
    assert f" {told}" in problem.message


@pytest.mark.parametrize(
    "figures",
    [
        {"climb_zone_from": FROM, "climb_zone_to": TO},
        {"climb_zone_from": BEYOND_FROM, "climb_zone_to": BEYOND_TO},
        # 4 ft is 48 in; over 10 ft the zone begins lower, with the same upper end.
        {
            "climb_zone_from": {"when": [beyond(120, 3), beyond(48, 5)], "cite": "c"},
            "climb_zone_to": {"when": [{**beyond(48, 30), "above": "4'"}], "cite": "c"},
        },
        # This figure, the opening of guards that are not required, says all by itself.
        {"opening_not_required_guard": {"value": 4, "cite": "c"}},
        {"climb_zone_from": {"when": [{"measure": "drop", "above": 48, "cite": "c"}], "cite": "c"}},
    ],
)
def test_wholes(figures: Json) -> None:
    """Pairs in which each figure holds wherever the other does are taken."""
    assert reply(small(code=town(**figures)))["findings"]


@pytest.mark.parametrize("name", ["climb_zone_from", "climb_zone_to"])
def test_half_a_pair_of_amendments(name: str) -> None:
    """In Australia the zone holds only over 4 m, and an amended end would hold everywhere: one end
    may not be amended alone, both may."""
    both = {"climb_zone_from": "100 mm", "climb_zone_to": "900 mm"}
    with pytest.raises(Unbuildable) as refused:
        reply(small(code="au-ncc-2022", amendments={name: both[name]}))
    (problem,) = refused.value.problems
    assert (problem.pointer, problem.code) == (f"/amendments/{name}", "half_of_a_pair")
    assert reply(small(code="au-ncc-2022", amendments=both))["findings"]


MILLIMETRES: Json = {"unit": "mm", "precision": 1}
INCHES: Json = {"unit": "in"}


@pytest.mark.parametrize(
    ("unit", "code", "name", "sent", "takes"),
    [
        # 36 in is 914 mm by the code, and 42 in is 1067.
        (MILLIMETRES, "us-irc-2021", "guard_height", 36, ['36"', "36 mm"]),
        (MILLIMETRES, "us-irc-2021", "guard_height", 42, ['42"', "42 mm"]),
        (INCHES, "us-irc-2021", "guard_height", 1070, ["1070 mm", '1070"']),
        (INCHES, "ca-nbc-2020", "guard_height", 1200, ["1200 mm", '1200"']),
        (MILLIMETRES, "us-irc-2021", "riser_uniformity", 0.375, ['0.375"', "0.375 mm"]),
        # 100 mm are 3.94 in, beside 4 in.
        (INCHES, "us-irc-2021", "opening_sphere", 100, ["100 mm", '100"']),
        # 60 lbf/ft is 0.88 kN/m, beside 0.73; 0.75 kN/m is 51 lbf/ft, beside 34.
        (MILLIMETRES, "us-ibc-2021", "guard_line_load", 60, []),
        (INCHES, "ca-nbc-2020", "guard_line_load", 0.75, []),
        # 1 kPa is 20.9 psf.
        (INCHES, "gb-eng-adk-2013", "infill_pressure", 1.2, []),
    ],
)
def test_an_amendment_in_the_other_unit(
    unit: Json, code: str, name: str, sent: float, takes: list[str]
) -> None:
    """A number that is meant in the other unit is refused, as otherwise every guard would keep 36
    mm, or none 1070 in. A text names its unit and is taken."""
    kit = "picket-glass-surface-in" if unit is INCHES else "glass-picket-surface-mm"
    points = [[0, 0], [240, 0], [240, 144], [0, 144]]
    if unit is MILLIMETRES:
        points = [[25 * x, 25 * y] for x, y in points]
    deck: Json = {
        **unit,
        **{"code": code, "kit": kit, "guard": {"infill": "picket"}},
        "levels": [{"id": "main", "outline": {"points": points}}],
    }
    with pytest.raises(Unbuildable) as refused:
        reply({**deck, "amendments": {name: sent}})
    (problem,) = refused.value.problems
    assert (problem.pointer, problem.code) == (f"/amendments/{name}", "amendment_of_other_unit")
    assert problem.message.startswith(f"{sent} ")
    for text in takes:
        assert text in problem.message
        assert reply(
            {**deck, "amendments": {name: text}, "guard": {**deck["guard"], "height": "1 m"}}
        )


@pytest.mark.parametrize(
    ("name", "sent"),
    [
        # A guard from any drop at all; none under 8 ft; a zone for climbing that begins at an inch.
        ("guard_required_drop", 1),
        ("guard_required_drop", 0.01),
        ("guard_required_drop", 96),
        ("guard_height", 60),
        ("flight_rise_max", 9999),
        ("riser_uniformity", 1),
        ("guard_point_load", 890),
    ],
)
def test_amendments_that_may_be_meant(name: str, sent: float) -> None:
    """Amendments far off the code's figure are taken, a load even by as many times as a pound has
    newtons."""
    assert reply(small(code="us-irc-2021", amendments={name: sent}))["findings"]


def test_an_amendment_by_any_case() -> None:
    """An amendment is compared with all that the code asks: over a drop of 12 m this code asks for
    1500 mm, and else for 60, which 50 is near."""
    case = {"measure": "drop", "above": 12000, "value": 1500, "cite": "c"}
    figure = {"value": 60, "when": [case], "cite": "c"}
    document: Json = {**TOWN, "unit": "mm", "figures": {"guard_height": figure}}
    code = amend_code(read_code(document, "mm"), {"guard_height": 50}, "mm")
    assert code.figures["guard_height"].value == 50


def test_a_count_that_is_not_whole() -> None:
    """A count of 3.5 risers is refused: a count is a whole number."""
    figure = {"value": 4, "when": [told("shared", 3.5)], "cite": "c"}
    at = "handrail_required_risers/when/0/value"
    assert faults(handrail_required_risers=figure) == [(at, "count_not_whole")]


def test_it_stops_the_start(tmp_path: Path) -> None:
    """A mistake in a code of one's own stops the start, with the file's name and the place in
    it."""
    (tmp_path / "codes").mkdir()
    wrong = town(guard_height={"value": 36, "twin": 36, "cite": "2"})
    (tmp_path / "codes" / "town.json").write_text(json.dumps(wrong), encoding="utf-8")
    with pytest.raises(
        BadFileError, match=r"town\.json: /figures/guard_height/twin: The twin 36 mm"
    ):
        load_catalogue(own=tmp_path)
