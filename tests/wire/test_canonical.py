"""The canonical form of RFC 8785 and the digest over it."""

from __future__ import annotations

import copy
import hashlib
import json
import math
import struct
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from service import RELEASE
from service.wire.canonical import canonical, digest
from tests.shipped import catalogue

from .documents import code, deck, kit, reply, small

NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555555", "333333333.3333333"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
]
"""RFC 8785, appendix B (from memory): the bits of a double and its text."""


@pytest.mark.parametrize(("bits", "text"), NUMBERS)
def test_numbers_of_the_rfc(bits: str, text: str) -> None:
    """A number has the same text by itself and in a list or an object."""
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(value) == text.encode()
    assert canonical({"a": [value, value]}) == f'{{"a":[{text},{text}]}}'.encode()


def test_the_sample_of_the_rfc() -> None:
    """RFC 8785, section 3.2.2 and 3.2.3 (from memory): literals, numbers, text and order."""
    document = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\u000f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    }
    assert (
        canonical(document)
        == (
            '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
            '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
        ).encode()
    )


def test_names_are_sorted_by_utf_16() -> None:
    """By UTF-16 code units U+1F600 comes before U+FB33: RFC 8785, section 3.2.3 (from memory)."""
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    ordered = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(names, 0)))) == ordered


FLOATS = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-1e6, 1e6)
TEXTS = st.text(st.characters(codec="utf-8"), max_size=8) | st.sampled_from(
    ["a.0,b", "1e-7", "9e+9", "\U0001f600", "\ufb33", "\x7f\x1f\x00\u2028"]
)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | FLOATS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@given(value=VALUES)
@settings(max_examples=500, derandomize=True, deadline=None)
def test_the_quick_way_is_the_reference(value: Any) -> None:
    """Any JSON value has the canonical form that the reference implementation gives it."""
    assert canonical(value) == rfc8785.dumps(value)


@given(value=st.floats(1e-7, 1e-3) | st.floats(1e14, 1e22) | st.floats(-1e6, 1e6))
@settings(max_examples=500, derandomize=True, deadline=None)
def test_the_quick_way_where_exponents_begin(value: float) -> None:
    """ECMAScript writes no exponent from 1e-6 to 1e21; orjson has other bounds."""
    assert canonical([value]) == rfc8785.dumps([value])
    assert canonical([math.floor(value) * 1.0]) == rfc8785.dumps([math.floor(value) * 1.0])


def expected(request: Any) -> str:
    """The digest by the letter of the contract, by the reference implementation."""
    form = rfc8785.dumps({"release": RELEASE, "request": request})
    return "sha256:" + hashlib.sha256(form).hexdigest()


@pytest.mark.parametrize("title", ["A deck", "caf\u00e9 \U0001f528 1.0, 2e-7"])
@pytest.mark.parametrize("shipped", ["picket-glass-surface-in", "glass-picket-surface-mm"])
def test_the_digest_is_over_the_request_with_its_documents(shipped: str, title: str) -> None:
    """Kit and code by id and inline give one digest (contract, section 1)."""
    request = deck(title=title, kit=shipped)
    whole = {**request, "kit": kit(shipped), "code": code()}
    loaded = {
        "kit": catalogue().kits[shipped].canonical,
        "code": catalogue().codes["us-irc-2021"].canonical,
    }
    assert digest(request, loaded) == digest(whole, {}) == expected(whole)


def test_the_digest_of_a_reply() -> None:
    """A reply has the digest of its request, with and without a code."""
    assert reply(small())["digest"] == expected(small(kit=kit()))
    assert reply(small(code="us-irc-2021"))["digest"] == expected(small(kit=kit(), code=code()))


def test_what_is_one_number_in_json_is_one_reply() -> None:
    """1.0 is canonically 1 and -0.0 is 0: the digest is the same, so the bytes have to be."""
    one = small()
    other = copy.deepcopy(one)
    other["levels"][0]["outline"]["points"] = [[-0.0, 0.0], [240.0, 0], [240, 144.0], [0, 1.44e2]]
    other["levels"][0]["edges"][0]["edge"] = 2.0
    other["levels"][0]["drop"] = 48.0
    assert json.dumps(reply(one)) == json.dumps(reply(other))


def test_a_change_changes_the_digest() -> None:
    """A change of the request, or of the kit in it, gives another digest."""
    document = kit()
    document["picket"]["gap"] = 3.5
    digests = [small(), small(title="a"), small(code="us-irc-2021"), small(kit=document)]
    assert len({reply(each)["digest"] for each in digests}) == len(digests)
