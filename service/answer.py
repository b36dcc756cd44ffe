"""Answer: one deck document in, one layout document out.

A document goes through these stages: decode, count, fit the schema, read, lay out, order, judge,
write. Each stage refuses with every problem that it can find. The main entry is `answer`. Variants
and advice go through the same stages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, TypeVar

import orjson

from service.compare import Json, compare, with_documents
from service.core.engine import lay_out
from service.core.levels.level import check_alone
from service.core.line.references import check_deck
from service.core.order.ordering import Order, make_order
from service.core.order.prices import OrderRequest
from service.core.problems import Problem, Unbuildable, unbuildable
from service.core.records.code import CODES_KEPT, Code, Occupancy
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.data.catalogue import Catalogue
from service.rules.advice.advice import Advice, Ordered, advise
from service.rules.advice.outcomes import Outcome
from service.rules.judge import judge
from service.wire.canonical import canonical, digest
from service.wire.decode import decode
from service.wire.gate import check_fit
from service.wire.reading.code import amend_code, read_code
from service.wire.reading.deck import DeckSoFar, read_deck_so_far
from service.wire.reading.kit import read_kit
from service.wire.reading.order import check_order_request, read_order_request
from service.wire.writing.layout import Answered, write_layout
from service.wire.writing.orders import money_text

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Answer:
    """A layout document, ready to send.

    digest: the digest that the document carries. bays: the number of its bays.
    """

    body: bytes
    digest: str
    bays: int


def answer(body: bytes, catalogue: Catalogue) -> Answer:
    """The layout document for the bytes of a deck document.

    Raises the kind of Refusal that the document's fault calls for.
    """
    written = answer_document(decode(body), catalogue)
    return Answer(orjson.dumps(written), written["digest"], len(written["bays"]))


def answer_document(document: Any, catalogue: Catalogue) -> Json:
    """The layout document for a decoded deck document, not yet written as JSON."""
    return answer_with_records(document, catalogue)[0]


def answer_with_records(document: Any, catalogue: Catalogue) -> tuple[Json, Answered]:
    """The layout document, and the records that it is made from."""
    answered, request_digest = _answer_one(document, catalogue)

    def answer_variant(varied: Json, other_kit: bool) -> Answered:
        shares = answered.order_request.shares
        return _work_out(varied, catalogue, shares, other_kit=other_kit)

    comparison = compare(document, answered, answer_variant)
    advice = _advise(answered) if answered.deck.advise else ()
    return write_layout(answered, request_digest, comparison, advice), answered


def answer_for_sheets(document: Any, catalogue: Catalogue) -> tuple[Json, Answered]:
    """The layout document and its records, without variants and advice, which no sheet prints.

    Everything else is the same as with them, including the digest and the stock plan.
    """
    answered, request_digest = _answer_one(document, catalogue)
    return write_layout(answered, request_digest, []), answered


def _answer_one(document: Any, catalogue: Catalogue) -> tuple[Answered, str]:
    """The records of a document's own answer, without variants and advice, and its digest."""
    check_fit("deck", document)
    answered = _work_out(document, catalogue, _shares(document))
    return answered, digest(document, _loaded(document, catalogue))


def _advise(answered: Answered) -> tuple[Advice, ...]:
    def order(layout: Layout, deck: Deck, kit: Kit, among: int) -> Ordered:
        # The document and its variants have half of the work; the tried changes share the rest.
        return _ordered(
            make_order(layout, deck, kit, replace(answered.order_request, shares=2 * among))
        )

    stands = Outcome.standing(answered.deck, answered.kit, answered.layout, answered.findings)
    return advise(stands, answered.code, _ordered(answered.order), order)


def _ordered(order: Order) -> Ordered:
    quote = order.quote
    total = money_text(quote.total) if quote is not None else None
    proven = all(plan.optimal for plan in order.plans)
    return Ordered(order.sticks_seen(), total, quote is not None and not quote.unpriced, proven)


def _shares(document: Json) -> int:
    """`OrderRequest.shares` of the document and of each variant.

    Each of them may use one part in so many of the work on plans. They share all of it evenly, or
    half of it where advice is asked for, as the changes that advice tries have the other half.
    """
    orders = 1 + len(document.get("compare", ()))
    return 2 * orders if document.get("advise") else orders


def _work_out(
    document: Json, catalogue: Catalogue, shares: int, *, other_kit: bool = False
) -> Answered:
    """The records of a document that fits the schema, read, laid out, ordered and judged.

    shares: as in `OrderRequest`. other_kit: whether the document is a variant with another kit than
    the document that it varies.
    """
    deck, kit, code, order_request = _read(document, catalogue, shares, other_kit=other_kit)
    layout = lay_out(deck, kit, code)
    order = make_order(layout, deck, kit, order_request)
    findings = judge(layout, deck, kit, code, order.sticks_seen())
    return Answered(deck, kit, code, layout, findings, order, order_request)


def _read(
    document: Json, catalogue: Catalogue, shares: int, *, other_kit: bool
) -> tuple[Deck, Kit, Code | None, OrderRequest]:
    """The records of a document. Refuses (Unbuildable) with the problems found in all of them."""
    so_far = read_deck_so_far(document)
    problems = list(so_far.faults)
    kit = _collecting_problems(problems, lambda: _read_kit(document, catalogue))
    code = _collecting_problems(problems, lambda: _read_code(document, catalogue))
    order_request = None
    if kit is not None:
        order_request = _collecting_problems(
            problems, lambda: read_order_request(document, kit, shares, other_kit=other_kit)
        )
    else:
        problems += check_order_request(document)
    if kit is None or order_request is None or problems:
        raise Unbuildable([*problems, *_other_faults(so_far, kit, code)])
    return so_far.deck, kit, code, order_request


def _other_faults(so_far: DeckSoFar, kit: Kit | None, code: Code | None) -> Iterator[Problem]:
    """Problems that show only when the deck is laid out, so that a fault in reading hides none.

    Problems at places where the deck could not be read as meant are left out.
    """
    deck = so_far.deck
    shown: list[Problem] = []
    if kit is None:
        shown = [*check_deck(deck, kit), *check_alone(deck)]
    else:
        _collecting_problems(shown, lambda: lay_out(deck, kit, code))
    return (problem for problem in shown if so_far.tells_of(problem.pointer))


def _loaded(document: Json, catalogue: Catalogue) -> dict[str, bytes]:
    """Canonical forms of the members that name loaded kits or codes by id, with the documents in
    place of the ids, by member."""
    kit, code = document["kit"], document.get("code")
    loaded = {}
    if isinstance(kit, str):
        loaded["kit"] = catalogue.kit(kit).canonical
    if isinstance(code, str):
        loaded["code"] = catalogue.code(code).canonical
    if "compare" in document:
        loaded["compare"] = canonical(
            [with_documents(each, catalogue) for each in document["compare"]]
        )
    return loaded


def _collecting_problems(problems: list[Problem], read: Callable[[], T]) -> T | None:
    """Result of `read`; None where it refuses, and its problems are added to `problems`."""
    try:
        return read()
    except Unbuildable as refusal:
        problems.extend(refusal.problems)
        return None


def _read_kit(document: Json, catalogue: Catalogue) -> Kit:
    asked, unit = document["kit"], document["unit"]
    return catalogue.kit(asked).records[unit] if isinstance(asked, str) else read_kit(asked, unit)


def _read_code(document: Json, catalogue: Catalogue) -> Code | None:
    """The code with its amendments, for the deck's occupancy; None where the document has no code.

    Refuses (Unbuildable) amendments without a code.
    """
    asked, unit = document.get("code"), document["unit"]
    amendments = document.get("amendments")
    use = Occupancy(document.get("occupancy"), document.get("occupants"))
    if asked is None:
        if amendments:
            message = "There are amendments but no code that they amend; name one in code."
            raise unbuildable("/amendments", "amendments_without_code", message)
        return None
    code = catalogue.code(asked).records[unit] if isinstance(asked, str) else read_code(asked, unit)
    if amendments:
        return amend_code(code, amendments, unit).for_use(use)
    return _loaded_for_use(code, use) if isinstance(asked, str) else code.for_use(use)


@lru_cache(maxsize=CODES_KEPT)
def _loaded_for_use(code: Code, use: Occupancy) -> Code:
    """A loaded code as read for a deck of this use."""
    return code.for_use(use)
