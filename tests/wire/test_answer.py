"""One document in, one out: refusals by stage, and a reply that depends on its request alone."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from service.answer import answer, answer_document
from service.core.problems import Malformed, Misfit, TooLarge, Unbuildable
from tests.shipped import catalogue

from .documents import code, deck, kit, problems, put, reply, small


@pytest.mark.parametrize(
    ("document", "kind"),
    [
        (b"{", Malformed),
        (b'{"levels": [' + b"0," * 20 + b"NaN]}", Malformed),
        ({"levels": [0] * 17}, TooLarge),
        ({}, Misfit),
        (small(kit="none-such"), Unbuildable),
        (put(small(), "/levels/0/edges/0/edge", 4), Unbuildable),
    ],
)
def test_stages_refuse_in_order(document: Any, kind: type) -> None:
    """A document is refused first for what cannot be read, then for its size, then by the schema,
    then for what cannot be built."""
    assert problems(document)[0] is kind


def test_the_body_is_the_document_and_the_digest_its_own() -> None:
    """The body is the reply document in UTF-8, and the digest beside it is the one within."""
    sent = json.dumps(deck(title="caf\u00e9")).encode()
    answered = answer(sent, catalogue())
    assert json.loads(answered.body) == answer_document(deck(title="caf\u00e9"), catalogue())
    assert json.loads(answered.body)["digest"] == answered.digest
    assert "caf\u00e9".encode() in answered.body


def test_a_kit_and_a_code_by_id_or_inline_are_one() -> None:
    """The replies have the same bytes, digest and all."""
    by_id = answer(json.dumps(deck()).encode(), catalogue())
    inline = answer(json.dumps(deck(kit=kit(), code=code())).encode(), catalogue())
    assert by_id == inline


def test_the_same_in_another_process_with_other_hashing() -> None:
    """A reply and a refusal are the same, byte for byte, whatever seed Python hashes text with."""
    script = """
import json, sys
from service.answer import answer
from service.core.problems import Refusal
from service.data.catalogue import load_catalogue
shipped = load_catalogue()
for line in sys.stdin.buffer:
    try:
        print(answer(line, shipped).body)
    except Refusal as refusal:
        print(refusal.problems)
"""
    bad = {**deck(), **{name: 1 for name in "zyxwvut"}}
    lines = "".join(json.dumps(each) + "\n" for each in (deck(), bad)).encode()
    outputs = {
        subprocess.run(
            [sys.executable, "-c", script],
            input=lines,
            capture_output=True,
            check=True,
            cwd=Path(__file__).resolve().parents[2],
            env={"PYTHONHASHSEED": seed},
            timeout=300,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(outputs) == 1
    assert b"unknown_member" in outputs.pop()


def test_what_is_sent_is_not_changed() -> None:
    """Neither the document that was sent nor the shipped ones are changed by the answer."""
    sent, shipped = deck(kit=kit()), json.dumps(catalogue().kit_documents)
    answer_document(sent, catalogue())
    assert sent == deck(kit=kit())
    assert json.dumps(catalogue().kit_documents) == shipped


def test_text_lengths_are_the_lengths_that_they_name() -> None:
    """4' is 48 in, 8' is 96 and 3' 6 1/2" is 42.5: the replies differ only in the digest, which is
    of what was sent."""
    words = put(small(), "/levels/0/drop", "4'")
    words["levels"][0]["openings"] = [
        {"id": "a", "edge": 0, "from": "8'", "width": "3' 6 1/2\"", "use": "passage"}
    ]
    numbers = put(small(), "/levels/0/drop", 48)
    numbers["levels"][0]["openings"] = [
        {"id": "a", "edge": 0, "from": 96, "width": 42.5, "use": "passage"}
    ]
    one, other = reply(words), reply(numbers)
    assert one.pop("digest") != other.pop("digest")
    assert one == other
