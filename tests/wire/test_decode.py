"""Bytes read as a document: RFC 8259, and the first row of the contract's table of refusals."""

from __future__ import annotations

import gzip
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import limits
from service.core.problems import Malformed, Problem
from service.wire.decode import MOST, decode


def refused(body: bytes) -> tuple[Problem, ...]:
    """The problems of a body that is refused as Malformed."""
    with pytest.raises(Malformed) as caught:
        decode(body)
    return caught.value.problems


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b"", "empty_body"),
        (b" \r\n\t", "empty_body"),
        (b"{", "not_json"),
        (b"{}{}", "not_json"),
        (b"{'a': 1}", "not_json"),
        (b'{"a": 1,}', "not_json"),
        (b'{"a": 01}', "not_json"),
        (b'{"a": .5}', "not_json"),
        (b'{"a": +1}', "not_json"),
        (b'{"a": 0x10}', "not_json"),
        ('{"a": \u0663}'.encode(), "not_json"),
        (b'{"a": "tab\there"}', "not_json"),
        (b'{"a": "nul\x00"}', "not_json"),
        (b'{"a": "\\x41"}', "not_json"),
        (b"\xef\xbb\xbf{}", "byte_order_mark"),
        (b'{"a": "\xff"}', "not_utf_8"),
        (b'{"a": "\xed\xa0\x80"}', "not_utf_8"),
        (b'{"a": "\xc0\x80"}', "not_utf_8"),
        ("{}".encode("utf-16"), "not_utf_8"),
    ],
)
def test_what_is_no_json_text(body: bytes, code: str) -> None:
    """RFC 8259 allows none of these bodies, and UTF-8 allows neither surrogates nor overlong
    forms."""
    assert [problem.code for problem in refused(body)] == [code]


@pytest.mark.parametrize("body", [gzip.compress(b"{}", mtime=0), "{}".encode("utf-16")])
def test_bytes_that_are_no_text_are_told_what_would_be(body: bytes) -> None:
    """A body that is compressed without saying so, or in another encoding, is told what to send."""
    (problem,) = refused(body)
    assert problem.message.endswith("; send text in UTF-8, not compressed.")


@pytest.mark.parametrize(
    "number",
    [
        "NaN",
        "Infinity",
        "-Infinity",
        "1e400",
        "-1e309",
        "1.8e308",
        "9" * 309,
        "9" * 5000,
        "1" + "0" * 250 + "e60",
        "0.1e310",
        "1E+400",
    ],
)
def test_a_number_that_no_double_holds(number: str) -> None:
    """The greatest double is under 1.7977e308; the refusal names the place and the number."""
    (problem,) = refused(b'{"a": [0, ' + number.encode() + b"]}")
    assert (problem.pointer, problem.code) == ("/a/1", "not_a_number")
    assert number[:40] in problem.message


@pytest.mark.parametrize(
    ("number", "value"),
    [
        ("1.7976931348623157e308", 1.7976931348623157e308),
        ("1e-400", 0.0),
        ("-0.0", 0.0),
        ("9007199254740993", 9007199254740993),
        ("1" + "0" * 308, 10**308),
        ("0." + "1" * 400, 0.1111111111111111),
        ("0." + "0" * 400 + "e400", 0.0),
    ],
)
def test_a_number_that_a_double_holds(number: str, value: float) -> None:
    """The greatest double, numbers that round to zero, and long but small ones are read."""
    assert decode(b'{"a": ' + number.encode() + b"}") == {"a": value}


def test_a_repeated_member_is_told_with_its_place() -> None:
    """Each repeated member is reported once, wherever it stands; ~ and / are escaped in its
    pointer."""
    body = b'{"a": 1, "b": [{"x/y": 1, "x/y": 2, "x/y": 3}], "a": 2, "a~b": 0, "a~b": 0}'
    assert {(p.pointer, p.code) for p in refused(body)} == {
        ("/a", "repeated_member"),
        ("/b/0/x~1y", "repeated_member"),
        ("/a~0b", "repeated_member"),
    }


def test_names_that_are_one_once_read_are_repeated() -> None:
    """An escape in a name does not make it another name."""
    (problem,) = refused(b'{"unit": "in", "un\\u0069t": "mm"}')
    assert (problem.pointer, problem.code) == ("/unit", "repeated_member")


@pytest.mark.parametrize("text", [r"\ud800", r"a\udfff", r"\udc00\ud800", r"\uD83D\u0041"])
def test_half_a_character_is_told(text: str) -> None:
    """A lone surrogate is refused in a value and in a name, and the refusal itself can be written
    as UTF-8."""
    value = refused(b'{"a": "' + text.encode() + b'"}')
    assert [(p.pointer, p.code) for p in value] == [("/a", "lone_surrogate")]
    name = refused(b'{"' + text.encode() + b'": {"b": NaN}}')
    assert [p.code for p in name] == ["lone_surrogate", "not_a_number"]
    for problem in (*value, *name):
        (problem.pointer + problem.message).encode("utf-8")


def test_a_whole_pair_is_one_character() -> None:
    """Two escapes that belong together are read as one character, in a plain dict."""
    found = decode(b'{"a": "\\ud83d\\ude00"}')
    assert found == {"a": "\U0001f600"}
    assert type(found) is dict


def test_lists_and_objects_in_turn_are_counted_alike() -> None:
    """An object around the innermost list, or around each list, is a level of depth of its own."""
    lists = b"[" * limits.DEPTH + b"]" * limits.DEPTH
    turns = limits.DEPTH // 2
    assert refused(b'{"a":' + lists + b"}")[0].code == "nested_too_deep"
    decode(b'{"a":[' * turns + b"1" + b"]}" * turns)
    deeper = turns + 1
    assert refused(b'{"a":[' * deeper + b"1" + b"]}" * deeper)[0].code == "nested_too_deep"


@pytest.mark.parametrize("pair", [(b"[", b"]"), (b'{"a":', b"}")])
def test_depth_is_counted_to_the_limit(pair: tuple[bytes, bytes]) -> None:
    """A document as deep as the limit is read and one deeper is refused, and a hundred thousand
    levels cost no stack."""

    def nested(depth: int) -> bytes:
        return pair[0] * depth + (b"1" if pair[0] != b"[" else b"") + pair[1] * depth

    decode(nested(limits.DEPTH))
    for depth in (limits.DEPTH + 1, 990, 100_000):
        assert refused(nested(depth))[0].code == "nested_too_deep"


def test_brackets_in_text_are_not_depth() -> None:
    """Brackets in text do not count, however many there are."""
    text = "[{" * 1000
    assert decode(json.dumps({"a": text, "b": [[]]}).encode()) == {"a": text, "b": [[]]}


def test_every_fault_is_told_in_order() -> None:
    """Faults of all kinds are reported at once, in the order in which they stand."""
    body = b'{"a": [NaN, "\\ud800"], "b": 1e999, "c": {"d": 1, "d": 2}}'
    assert [(p.pointer, p.code) for p in refused(body)] == [
        ("/a/0", "not_a_number"),
        ("/a/1", "lone_surrogate"),
        ("/b", "not_a_number"),
        ("/c/d", "repeated_member"),
    ]


def test_very_many_faults_are_counted() -> None:
    """The first faults are reported, and how many more there are."""
    problems = refused(b"[" + b",".join([b"NaN"] * (MOST + 7)) + b"]")
    assert len(problems) == MOST + 1
    assert problems[-1].code == "more_faults"
    assert "7 more" in problems[-1].message


def test_a_pointer_through_very_long_names_is_cut_at_a_holder() -> None:
    """Faults under a very long name point to the object that holds it, so that the name is not
    repeated for each fault."""
    name = b"x" * 100_000
    problems = refused(b'{"a": {"' + name + b'": [' + b",".join([b"NaN"] * 400) + b"]}}")
    assert {problem.pointer for problem in problems} == {"/a"}


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**40), 10**40)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(codec="utf-8")),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(codec="utf-8")), inner),
    max_leaves=30,
)


@given(document=JSON, ascii_only=st.booleans())
def test_what_json_writes_is_read_back(document: object, ascii_only: bool) -> None:
    """Any JSON value, written with escapes or without, is read as the same value."""
    assert decode(json.dumps(document, ensure_ascii=ascii_only).encode()) == document


@given(
    body=st.binary(max_size=60)
    | st.text('[]{}",:\\ud8019eE+-.naNtrue ', max_size=60).map(str.encode)
)
def test_any_bytes_are_a_document_or_malformed(body: bytes) -> None:
    """Any bytes are either read, as the standard library reads them, or refused as Malformed with
    at least one problem."""
    try:
        found = decode(body)
    except Malformed as refusal:
        found = refusal
    if isinstance(found, Malformed):
        assert found.problems
    else:
        assert json.dumps(found) == json.dumps(json.loads(body))
