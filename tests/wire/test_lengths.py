"""Lengths: the published pattern in three languages, and what texts and conversions come to."""

from __future__ import annotations

import copy
import json
import math
import re
import shutil
import subprocess
from fractions import Fraction
from typing import Any

import jsonschema_rs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.answer import answer_document
from service.core.measure import LENGTH_TEXT, Unit, parse_length
from service.core.problems import Unbuildable
from service.core.records.figures import FigureKind
from service.wire.forms.lengths import length_form
from service.wire.forms.strict import CONTROL, ID
from service.wire.reading.lengths import Lengths, Node
from tests.shipped import catalogue

LENGTHS = [
    *("6'", "0'", "99999'", "6'6\"", "6' 6\"", "6'-6\"", "12' 6 1/2\"", "12'-6-1/2\"", "6' 1/2\""),
    *("6' 0\"", "6' 11\"", "6' 11.5\"", '78 3/8"', '78-3/8"', '3/4"', '0"', '999999"', '12.25"'),
    *('63/64"', '31/32"', '15/16"', '7/8"', "2400 mm", "2400mm", "2.4 m", "2.4m", "0.001 m"),
]
NO_LENGTHS = [
    *("", " ", "12", "6", "6ft", "12 in", "1 000 mm", "-3'", "+3'", "6''", "6\u2032", "6\u2033"),
    *("6' 12\"", "6' 13\"", '1/0"', '3/3"', '5/4"', '16/16"', '1/3"', "3/8", "6' 6"),
    *(
        " 6'",
        "6' ",
        "6'\n",
        "2400 mm\n",
        "\u0663'",
        "\uff16'",
        "1_0'",
        "1e3 mm",
        "6' 6 1/2",
        "NaN m",
    ),
    *(
        "1,5 m",
        "12345678 mm",
        "123456'",
        '1234567"',
        "2.4  m",
        "2400\u00a0mm",
        "2400 MM",
        "6'  6\"",
    ),
]


def test_the_pattern_in_python() -> None:
    """Matched to the very end of a text, as the parser does it, the pattern takes all lengths and
    no other text."""
    whole = re.compile(LENGTH_TEXT.removesuffix("$") + r"\Z")
    assert [text for text in LENGTHS if not whole.match(text)] == []
    assert [text for text in NO_LENGTHS if whole.match(text)] == []


@pytest.mark.parametrize("text", LENGTHS)
def test_what_the_schema_takes_is_parsed(text: str) -> None:
    """The compiled schema takes each text, and the parser reads it in both units as the same
    length."""
    assert jsonschema_rs.is_valid(length_form("from 0"), text)
    inches, millimetres = parse_length(text, "in"), parse_length(text, "mm")
    exact = Fraction(inches) * Fraction(254, 10)
    assert abs(exact - Fraction(millimetres)) <= math.ulp(millimetres)


@pytest.mark.parametrize("text", NO_LENGTHS)
def test_what_the_schema_refuses_the_parser_refuses(text: str) -> None:
    """The pattern accepts exactly what the parser accepts."""
    assert not jsonschema_rs.is_valid(length_form("from 0"), text)
    with pytest.raises(ValueError, match="not a length"):
        parse_length(text, "in")


@given(text=st.text("0123456789'\"/. -m\n", max_size=12))
def test_any_text_is_a_length_for_both_or_for_neither(text: str) -> None:
    """Pattern and parser agree on any text made of the characters of lengths."""
    try:
        parse_length(text, "mm")
        parsed = True
    except ValueError:
        parsed = False
    assert jsonschema_rs.is_valid(length_form("from 0"), text) == parsed


def test_the_patterns_in_javascript() -> None:
    """JSON Schema's patterns are ECMA-262: those of lengths, ids and control characters hold there
    with flag u."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not installed here")
    texts = [
        *LENGTHS,
        *NO_LENGTHS,
        "main",
        "main\n",
        "a" * 41,
        "-a",
        "\u00e9",
        "tab\t",
        "\x7f",
        "b",
    ]
    script = """
      const [patterns, texts] = JSON.parse(require("fs").readFileSync(0, "utf8"));
      const expressions = patterns.map(pattern => new RegExp(pattern, "u"));
      console.log(JSON.stringify(texts.map(text => expressions.map(e => e.test(text)))));
    """
    ran = subprocess.run(
        [node, "-e", script],
        input=json.dumps([[LENGTH_TEXT, ID, CONTROL], texts]),
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    assert json.loads(ran.stdout) == [
        [text in LENGTHS, bool(re.fullmatch(ID[1:-1], text)), bool(re.search(CONTROL, text))]
        for text in texts
    ]


@pytest.mark.parametrize(
    ("own", "to", "value", "length"),
    [
        ("in", "in", 36, 36.0),
        ("in", "mm", 36, 914.4),
        ("mm", "in", 1219.2, 48.0),
        ("mm", "mm", 0.5, 0.5),
        ("in", "mm", "2400 mm", 2400.0),
        ("mm", "in", "6' 6 1/2\"", 78.5),
        ("in", "in", "635 mm", 25.0),
        ("in", "mm", "2.4 m", 2400.0),
    ],
)
def test_a_length_in_the_wanted_unit(own: Unit, to: Unit, value: Any, length: float) -> None:
    """A number is converted by 25.4 exactly, a text by the unit that it names, whatever the
    document's."""
    lengths = Lengths(own, to)
    found = lengths.positive(value, "")
    assert found == pytest.approx(length, abs=1e-12)
    assert (type(found), lengths.problems) == (float, [])


@pytest.mark.parametrize(
    ("inches", "millimetres"), [("36 3/16", 919.1625), ("15 3/4", 400.05), ("2 9/16", 65.0875)]
)
def test_a_mark_of_one_tape_is_a_mark_of_the_other(inches: str, millimetres: float) -> None:
    """36 3/16 x 25.4 = 919.1625, 15 3/4 x 25.4 = 400.05 and 2 9/16 x 25.4 = 65.0875, to the last
    bit, each way, for text and for the numbers of a kit."""
    text = f'{inches}"'
    number = parse_length(text, "in")
    found = [
        Lengths("mm", "mm").positive(text, ""),
        Lengths("in", "mm").positive(number, ""),
        Lengths("in", "in").positive(f"{millimetres} mm", ""),
        Lengths("mm", "in").positive(millimetres, ""),
    ]
    assert found == [millimetres, millimetres, number, number]


def test_text_and_numbers_of_one_length_have_one_reply() -> None:
    """A flight goes down 15 3/4 in from a deck 400.05 mm up, with a guard of 36 3/16 in."""
    deck: Any = {
        "unit": "mm",
        "kit": "glass-picket-surface-mm",
        "code": "us-irc-2021",
        "guard": {"infill": "picket", "height": 919.1625},
        "levels": [
            {
                "id": "main",
                "outline": {"points": [[0, 0], [5000, 0], [5000, 3000], [0, 3000]]},
                "drop": 400.05,
                "openings": [{"id": "o", "edge": 0, "from": 2000, "width": 1000, "use": "stair"}],
            }
        ],
        "stairs": [{"id": "s", "opening": "main/o", "rise": 400.05, "risers": 3, "going": 280}],
    }
    told = copy.deepcopy(deck)
    told["guard"]["height"] = '36 3/16"'
    told["stairs"][0]["rise"] = '15 3/4"'
    replies = [answer_document(each, catalogue()) for each in (deck, told)]
    assert len({reply.pop("digest") for reply in replies}) == 2
    assert replies[0] == replies[1]


def test_minus_nought_is_nought() -> None:
    """-0.0 has the same canonical form as 0, so it has to give the same bytes."""
    assert str(Lengths("in", "in").length(-0.0, "")) == "0.0"


def test_text_that_only_its_value_makes_wrong() -> None:
    """Zero where more than zero is asked for, and lengths beyond the limit, are refused all at
    once, each with its place."""
    lengths = Lengths("in", "in")
    sent = {"width": '0"', "from": '0"', "far": "99999'", "list": ["1'", "0 mm", "99999'"]}
    node = Node(sent, "/a", lengths)
    node.positive("width")
    node.length("from")
    node.length("far")
    node.all_positive("list")
    with pytest.raises(Unbuildable) as caught:
        lengths.settle()
    assert [(p.pointer, p.code) for p in caught.value.problems] == [
        ("/a/width", "length_of_nought"),
        ("/a/far", "length_too_great"),
        ("/a/list/1", "length_of_nought"),
        ("/a/list/2", "length_too_great"),
    ]


@pytest.mark.parametrize("value", [5e-324, 1e-300, 1e-6, "0.000001 mm"])
def test_a_length_that_nothing_measures_is_nought(value: Any) -> None:
    """Such a length fits the schema and is a 422, as lengths within 1e-6 are the same (contract,
    section 1)."""
    lengths = Lengths("in", "in")
    lengths.positive(value, "/a/width")
    lengths.positive(2e-6, "/a/next")
    assert [(p.pointer, p.code) for p in lengths.problems] == [("/a/width", "length_of_nought")]


def test_areas() -> None:
    """2300 sq in are 2300 x 645.16 sq mm."""
    assert Lengths("in", "mm").area(2300) == pytest.approx(2300 * 645.16)
    assert Lengths("mm", "in").area(645.16) == pytest.approx(1)


def test_section_moduli_and_second_moments() -> None:
    """There are 25.4^3 = 16387.064 mm3 to the in3 and 25.4^4 = 416231.4256 mm4 to the in4."""
    assert Lengths("in", "mm").power(2, 3) == pytest.approx(2 * 16387.064)
    assert Lengths("mm", "in").power(416231.4256, 4) == pytest.approx(1)


def test_a_text_of_just_the_greatest_length() -> None:
    """A text may be as long as a number may; 1 mm more is refused."""
    lengths = Lengths("mm", "mm")
    assert lengths.length("1000000 mm", "") == 1_000_000
    assert lengths.problems == []
    lengths.length("1000001 mm", "")
    assert [problem.code for problem in lengths.problems] == ["length_too_great"]


@pytest.mark.parametrize(
    ("value", "kind", "metric"),
    [(200, "force", 889.6443), (50, "line_load", 0.7296951), (25, "pressure", 1.197006)],
)
def test_loads_in_the_other_unit(value: float, kind: FigureKind, metric: float) -> None:
    """Loads are converted at 4.4482216 N to the lbf and 304.8 mm to the foot, to N, kN/m and
    kPa."""
    assert Lengths("in", "mm").load(value, kind) == pytest.approx(metric, rel=1e-6)
    assert Lengths("mm", "in").load(metric, kind) == pytest.approx(value, rel=1e-6)
    assert Lengths("in", "in").load(value, kind) == value
