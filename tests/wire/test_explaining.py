"""Refusals of documents that do not fit the schema: the place, a stable code and a sentence to act
on."""

from __future__ import annotations

from typing import Any

import pytest

from service.core.problems import Malformed, Misfit
from service.wire import gate
from service.wire.decode import MOST
from service.wire.publishing.components import Root

from .documents import code, deck, kit, problems, put, small


@pytest.mark.parametrize(
    ("pointer", "value", "code", "words"),
    [
        ("/unit", "ft", "not_one_of", ['"ft"', "in, mm"]),
        ("/precision", True, "wrong_type", ["true", "0.0625"]),
        ("/precision", 0.3, "not_one_of", ["0.3", "0.0625"]),
        ("/title", "a\nb", "bad_text", [r'"a\nb"', "no control characters"]),
        ("/title", 7, "wrong_type", ["7", "text"]),
        ("/kit", 7, "wrong_type", ["7", "an id, or a whole document"]),
        ("/kit", "a b", "bad_id", ['"a b"', "(an id: 1 to 40 of A-Z a-z 0-9 _ . -,"]),
        ("/kit", {"id": "a"}, "wrong_type", ["(a loaded one is named by its id alone, as text)"]),
        ("/code", {"id": "a"}, "wrong_type", ["An object does not fit (a loaded one"]),
        ("/kit", "main\n", "bad_id", [r'"main\n"']),
        ("/guard/height", 0, "out_of_range", ["0 does", "above 0", "unit"]),
        ("/guard/height", "12", "not_a_length", ['"12"', "(a number takes no quotes)", "2400 mm"]),
        ("/guard/height", "-3.5", "not_a_length", ["(a number takes no quotes)"]),
        ("/guard/height", "3'6", "not_a_length", ['(after feet, inches take ")']),
        ("/guard/height", "3' 6 1/2", "not_a_length", ['(after feet, inches take ")']),
        ("/guard/height", "6' 13\"", "not_a_length", ["13", "(after feet, inches are under 12)"]),
        ("/guard/height", "15' ", "not_a_length", ["(a space stands before or after it)"]),
        ("/guard/height", "36''", "not_a_length", ['(inches take one ")']),
        ("/guard/height", "5 1/2", "not_a_length", ['(inches take ")']),
        ("/guard/height", "3' - 6\"", "not_a_length", ["(a dash takes no spaces)"]),
        ("/guard/height", "3.5'", "not_a_length", ["(feet take no decimals)"]),
        ("/guard/height", "91.4 cm", "not_a_length", ["(metric units are mm and m)"]),
        ("/guard/height", "2.4 metres", "not_a_length", ["(metric units are mm and m)"]),
        ("/guard/height", "2400 MM", "not_a_length", ["(metric units are mm and m)"]),
        ("/guard/height", "-1' 6\"", "not_a_length", ["(text takes no sign)"]),
        ("/guard/height", None, "wrong_type", ["null", "(leave the member out instead)"]),
        ("/code", None, "wrong_type", ["null", "(leave the member out instead)"]),
        ("/stairs", None, "wrong_type", ["null", "(leave the member out instead)"]),
        ("/unit", None, "wrong_type", ["null does not fit: send one of"]),
        ("/levels/0/outline/points/1/0", None, "wrong_type", ["null does not fit: send a number"]),
        ("/guard/height", False, "wrong_type", ["false", "2400 mm"]),
        ("/guard/height", 1e308, "out_of_range", ["1e+308", "1000000"]),
        ("/levels", [], "too_few", ["A list of 0", "1 to 16"]),
        ("/levels/0", 3, "wrong_type", ["3", "an object with id, outline."]),
        ("/levels/0/outline", [[0, 0]], "wrong_type", ["with exactly one of points, sides, ties."]),
        ("/guard", "picket", "wrong_type", ["an object with infill."]),
        ("/levels/0/id", "", "bad_id", ['""', "1 to 40"]),
        ("/levels/0/drop", -1, "out_of_range", ["-1", "from 0"]),
        ("/levels/0/outline/points/0", [1], "too_few", ["a list of 2"]),
        ("/levels/0/outline/points/0", [1, 2, 3], "too_many", ["A list of 3", "a list of 2"]),
        ("/levels/0/outline/points/1/0", "12", "wrong_type", ["takes no quotes"]),
        ("/levels/0/outline/points/1/0", 1e7, "out_of_range", ["-1000000"]),
        ("/levels/0/edges/0/edge", 1.7, "wrong_type", ["1.7", "a whole number"]),
        ("/levels/0/edges/0/edge", -1, "out_of_range", ["-1", "from 0"]),
        ("/levels/0/edges/0/edge", "1", "wrong_type", ['"1"', "no quotes"]),
        ("/levels/0/edges/0/edge", "front", "wrong_type", ['"front" does not fit: send']),
        ("/site_measures", {}, "wrong_type", ["each an object with bay, clear_top, clear_bottom."]),
        ("/levels/1/outline/sides/0/turn", 181, "out_of_range", ["181", "-180", "180"]),
    ],
)
def test_what_is_wrong_where_and_what_would_do(
    pointer: str, value: Any, code: str, words: list[str]
) -> None:
    """The message has the value as it was sent, and what would be accepted, with its unit."""
    kind, (problem,) = problems(put(deck(), pointer, value))
    assert (kind, problem.pointer, problem.code) == (Misfit, pointer, code)
    for each in words:
        assert each in problem.message


@pytest.mark.parametrize(
    ("pointer", "value", "unit"),
    [
        ("/levels/0/outline/points/0/0", "1", "1000000, in the document's unit."),
        ("/levels/0/outline/points/0", [1], "1000000, in the document's unit."),
        ("/levels/1/outline/sides/0/turn", 181, "180, in degrees."),
        ("/levels/0/framing", {"joist_direction": 361}, "360, in degrees."),
        ("/site", {"temperature_range": -1}, "in degrees Fahrenheit in inch documents, in kel"),
        ("/kit/straight_limit", 91, "90, in degrees."),
        ("/kit/square_limit", 91, "90, in degrees."),
        ("/kit/swivel/greatest", "55 deg", "90, in degrees."),
        ("/kit/rails/picket/top/mass_per_length", -1, ", in lb per inch in inch kits, in kg per"),
        ("/kit/glass/panes/0/nominal_mm", 0, "1000, in mm."),
        ("/kit/glass/max_area", 0, ", in the square of the kit's unit."),
        ("/kit/strength/post/section_modulus", 0, ", in the cube of the kit's unit."),
        ("/kit/strength/post/second_moment", 0, ", in the fourth power of the kit's unit."),
        ("/kit/strength/fixing/tension_capacity", 0, ", in lbf in inch kits, in N in millimetre"),
        ("/code/figures/pitch_max", {"value": 95}, "90, in degrees."),
        (
            "/code/figures/guard_point_load/value",
            0,
            "in lbf where the code document is in inches, in N where it is in millimetres.",
        ),
        (
            "/code/figures/guard_point_load/twin",
            0,
            "in N where the code document is in inches, in lbf where it is in millimetres.",
        ),
        (
            "/amendments/guard_line_load",
            "50 plf",
            "in lbf to a foot where the deck document is in inches, in kN to a metre where it",
        ),
    ],
)
def test_a_refused_number_is_told_its_unit(pointer: str, value: Any, unit: str) -> None:
    """A number that has a unit is asked for with it, be it alone or in a list."""
    document = put(deck(kit=kit(), code=code()), pointer, value)
    _, found = problems(document)
    assert any(p.pointer.startswith(pointer) and unit in p.message for p in found), found


def test_members_missing_and_unknown() -> None:
    """A missing member is reported where it would stand, an unknown one with those that are
    known."""
    document = small(colour="black", arc_rise=1)
    del document["guard"]
    del document["levels"][0]["id"]
    _, found = problems(document)
    assert [(p.pointer, p.code) for p in found] == [
        ("/arc_rise", "unknown_member"),
        ("/colour", "unknown_member"),
        ("/guard", "missing_member"),
        ("/levels/0/id", "missing_member"),
    ]
    assert "amendments" in found[0].message
    assert "the member id" in found[3].message.lower()


@pytest.mark.parametrize(
    ("pointer", "value", "code", "said"),
    [
        ("/levles", [], "unknown_member", "; known are levels, "),
        ("/amendments", {"opening_spere": 1}, "unknown_member", "; known are opening_sphere, "),
        ("/prices", {"parts": {"glass": {}}}, "bad_name", "named by a role: glass_panel, "),
        ("/prices", {"parts": {"picket": {}}}, "not_one_form", "each, per_pack, per_height, per_"),
        (
            "/stairs",
            [{"guards": "both"}],
            "wrong_type",
            "a list of 0 to 2, each one of left, right",
        ),
    ],
)
def test_what_is_near_or_all_of_a_few_is_named(
    pointer: str, value: Any, code: str, said: str
) -> None:
    """An unknown name is reported with the names most like it first; a short list of words is given
    whole."""
    _, found = problems(put(small(), pointer, value))
    assert any(said in problem.message for problem in found if problem.code == code)


@pytest.mark.parametrize("place", ["", "/kit/bottom_gap", "/code/figures/guard_height/value"])
def test_a_length_is_in_the_unit_of_its_own_document(place: str) -> None:
    """A kit's length is in the kit's unit, in whichever unit the deck is measured."""
    document = small(kit=kit(), code=code())
    _, (problem,) = problems(put(document, place or "/guard/height", -1))
    assert "in the unit of its own document (deck, kit or code)" in problem.message


@pytest.mark.parametrize(
    ("name", "pointer"),
    [
        ("a/b", "/a~1b"),
        ("a~b", "/a~0b"),
        ("", "/"),
        ("_schema", "/_schema"),
        ("\u00e9\n", "/\u00e9\n"),
        ("0", "/0"),
        ("from_", "/from_"),
    ],
)
def test_pointers_to_members_of_any_name(name: str, pointer: str) -> None:
    """RFC 6901: ~ is ~0 and / is ~1. `_schema`, the name under which marshmallow gathers faults, is
    a member's name, too."""
    _, (problem,) = problems(small(**{name: 1}))
    assert (problem.pointer, problem.code) == (pointer, "unknown_member")
    assert problem.message.isprintable()


def test_a_name_that_is_marshmallows_own_in_an_open_object() -> None:
    """The members of `parts` are named by roles; `_schema` is none of them, and is refused at its
    own place."""
    document = put(kit(), "/parts", {"_schema": {"a": 1}, "Post": 1, "picket": {}})
    _, found = problems(small(kit=document))
    assert {(p.pointer, p.code) for p in found} == {
        ("/kit/parts/_schema", "bad_name"),
        ("/kit/parts/Post", "bad_name"),
        ("/kit/parts/picket/number", "missing_member"),
        ("/kit/parts/picket/description", "missing_member"),
    }


@pytest.mark.parametrize(
    "outline",
    [
        {},
        {"points": [[0, 0], [9, 0], [9, 9]], "ties": {}},
        {"points": [], "sides": [], "ties": {}},
    ],
)
def test_an_outline_has_exactly_one_form(outline: Any) -> None:
    """No form at all and several forms are one fault of the outline, beside the faults of each
    form."""
    _, found = problems(put(small(), "/levels/0/outline", outline))
    assert [p.pointer for p in found if p.code == "not_one_form"] == ["/levels/0/outline"]


def test_a_walk_leaves_out_one_length_at_most() -> None:
    """A walk with one length left out fits, one with two does not; a side that is no object is its
    own fault alone."""
    sides: list[Any] = [{"length": 10}, {}, {"turn": 45}]
    _, (problem,) = problems(put(deck(), "/levels/1/outline/sides", sides))
    assert (problem.pointer, problem.code) == ("/levels/1/outline/sides", "length_missing")
    assert "sides 1 and 2 do" in problem.message
    _, (problem,) = problems(put(deck(), "/levels/1/outline/sides", [{}] * 6))
    assert "sides 0, 1, 2, 3 and 2 more do" in problem.message
    _, (problem,) = problems(put(deck(), "/levels/1/outline/sides", [{"length": 10}, {}, 7]))
    assert (problem.pointer, problem.code) == ("/levels/1/outline/sides/2", "wrong_type")


def test_faults_stand_in_order_whatever_the_order_of_hashing() -> None:
    """Faults are ordered by place, entry 2 before entry 10, so that every process writes the same
    bytes."""
    document = small(**{name: 1 for name in "zyxab"})
    document["levels"] = [{**document["levels"][0], "id": 7} for _ in range(12)]
    _, found = problems(document)
    assert [p.pointer for p in found] == [
        *(f"/{name}" for name in "ab"),
        *(f"/levels/{i}/id" for i in range(12)),
        *(f"/{name}" for name in "xyz"),
    ]


def test_very_many_faults_are_counted() -> None:
    """The first faults are reported, and how many more there are."""
    _, found = problems(small(**{f"a{i}": 1 for i in range(MOST + 3)}))
    assert len(found) == MOST + 1
    assert (found[-1].code, "3 more" in found[-1].message) == ("more_faults", True)


def test_what_was_sent_is_cut_short_in_a_message() -> None:
    """A megabyte of text is not repeated in a message, neither as a value nor as a name."""
    _, (problem,) = problems(put(small(), "/unit", "y" * 1_000_000))
    assert len(problem.message) < 120
    _, (problem,) = problems(small(**{"y" * 1_000_000: 1}))
    assert len(problem.message) < 300
    assert problem.pointer == ""


def test_the_schema_speaks_where_the_forms_would_not(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the forms find no fault the schema's own is reported, so that no refusal has an empty
    list of errors."""

    def nothing(kind: Root, document: Any) -> list[Any]:
        return []

    monkeypatch.setattr(gate, "form_faults", nothing)
    _, found = problems(put(small(), "/levels/0/outline/points/0", [1, "a"]))
    assert [(p.pointer, p.code) for p in found] == [
        ("/levels/0/outline/points/0/1", "does_not_fit")
    ]


@pytest.mark.parametrize(
    ("pointer", "value", "why"),
    [
        ("/guard/height", "3\u2019 6\u201d", "its marks are not ' and \""),
        ("/guard/height", "36 in", "feet take ' and inches \""),
        ("/guard/height", '36 "', "a mark follows its number without a space"),
        ("/guard/height", "2,4 m", "decimals take a point"),
        ("/guard/height", '36\u00bd"', "a fraction takes a slash, as in 1/2"),
        ("/title", "a" * 201, "it has 201 characters"),
        ("/title", "a\tb", "it has U+0009"),
        ("/levels/0/outline", {}, "it has none of them"),
    ],
)
def test_what_of_a_value_does_not_fit_is_told(pointer: str, value: Any, why: str) -> None:
    """The message names the likely slip, beside what would be accepted."""
    kind, (problem,) = problems(put(small(), pointer, value))
    assert kind is Misfit
    assert f" does not fit ({why}): send " in problem.message


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (b'{"a": 1', "a comma, or the end of the list or object, is wanted here"),
        (b'{"a" 1}', "a colon is wanted here"),
        (b"{a: 1}", "a member's name in double quotation marks is wanted here"),
        (b'{"a": }', "a value is wanted here"),
        (b'{"a": "b}', "has no closing quotation mark"),
        (b'{"a": "b\tc"}', "write it as an escape"),
        (b'{"a": "\\x"}', "the escape that begins here is none of JSON"),
        (b"{} {}", "something follows it"),
    ],
)
def test_what_of_a_text_is_no_json_is_told_in_words(body: bytes, why: str) -> None:
    """The message says in plain words what is wrong at which column and line, in place of the
    scanner's term."""
    kind, (problem,) = problems(body)
    assert kind is Malformed
    assert why in problem.message
    assert problem.message.startswith("Not JSON at column ")
    _, (problem,) = problems(b"\n" + body)
    assert problem.message.startswith("Not JSON at line 2, column ")
