"""Wire: the layout document, written from all that an answer is made of (contract, section 7).

The main entry is `write_layout`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service import RELEASE
from service.core.measure import DECIMALS, Unit, tidy
from service.core.order.ordering import Order
from service.core.order.prices import OrderRequest
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.infill import BayFill
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt, Layout
from service.rules.advice.advice import Advice
from service.rules.finding import Finding
from service.wire.writing.advice import write_advice
from service.wire.writing.cautions import cautions
from service.wire.writing.findings import write_coverage, write_finding
from service.wire.writing.flights import write_blocking, write_flight, write_gate
from service.wire.writing.orders import write_panel, write_parts, write_plans, write_quote
from service.wire.writing.pen import Json, Pen
from service.wire.writing.railing import (
    write_bays,
    write_opening,
    write_piece,
    write_post,
    write_run,
    write_surveyed,
)

UNITS: Final[dict[Unit, dict[str, str]]] = {
    "in": {
        "length": "in",
        "angle": "degrees",
        "area": "sq ft",
        "mass": "lb",
        "force": "lbf",
        "stress": "psi",
    },
    "mm": {
        "length": "mm",
        "angle": "degrees",
        "area": "m2",
        "mass": "kg",
        "force": "N",
        "stress": "MPa",
    },
}


@dataclass(frozen=True, slots=True)
class Answered:
    """The records that a reply is made of."""

    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout
    findings: Sequence[Finding]
    order: Order
    order_request: OrderRequest


def write_layout(
    answered: Answered, digest: str, comparison: list[Json], advice: Sequence[Advice] = ()
) -> Json:
    """The layout document. Members that do not apply are left out.

    digest: of the request. comparison: the lines of the variants.
    """
    deck, kit, code = answered.deck, answered.kit, answered.code
    layout, order, pen = answered.layout, answered.order, Pen(deck, kit)
    return {
        "release": RELEASE,
        "digest": digest,
        **({"title": deck.title} if deck.title else {}),
        "unit": deck.unit,
        "precision": tidy(deck.step, 6),
        "units": UNITS[deck.unit],
        "kit": {"id": kit.id, "title": kit.title},
        **_code(code),
        "summary": summarise(answered),
        "posts": [write_post(pen, post) for post in layout.posts],
        "runs": [write_run(pen, run) for run in layout.runs],
        "bays": write_bays(pen, layout.bays),
        "openings": [write_opening(pen, opening) for opening in layout.openings],
        **_listed("surveyed", [write_surveyed(pen, outline) for outline in layout.surveyed]),
        **_listed("flights", [write_flight(pen, flight) for flight in layout.flights]),
        **_listed("gates", [write_gate(pen, gate) for gate in layout.gates]),
        **write_blocking(pen, layout),
        "cut_list": [write_piece(pen, piece) for piece in layout.cut_list],
        "stock_plan": write_plans(pen, order),
        "glass_order": [write_panel(pen, panel, kit, code) for panel in layout.glass_order],
        "parts": write_parts(pen, order.parts, deck.unit),
        **({"quote": write_quote(pen, order.quote)} if order.quote is not None else {}),
        "findings": [write_finding(finding, deck.unit) for finding in answered.findings],
        **write_coverage(code, answered.findings),
        **_listed("advice", [write_advice(pen, one) for one in advice]),
        **_listed("comparison", comparison),
        "cautions": cautions(kit, layout, code),
    }


def _code(code: Code | None) -> Json:
    if code is None:
        return {}
    return {"code": {"id": code.id, "title": code.title, "edition": code.edition}}


def summarise(answered: Answered) -> Json:
    """The reply's summary: its counts, the length of railing, and findings by their result.

    The length of railing is that of the runs with bays.
    """
    layout, findings = answered.layout, answered.findings
    railed = {bay.run for bay in layout.bays}
    length = sum([run.length for run in layout.runs if run.id in railed])
    filled: list[BayFill | GateBuilt] = [*[bay.fill for bay in layout.bays], *layout.gates]
    failed = [finding.severity for finding in findings if finding.result == "fail"]
    unchecked = [finding.result for finding in findings].count("not_checked")
    return {
        "posts": len(layout.posts),
        "bays": len(layout.bays),
        "runs": len(layout.runs),
        "railing_length": tidy(length, DECIMALS[answered.deck.unit]),
        "pickets": sum([one.pickets.count for one in filled if one.pickets is not None]),
        "glass_panels": sum([one.glass is not None for one in filled]),
        "violations": failed.count("violation"),
        "warnings": failed.count("warning"),
        "not_checked": unchecked,
        "checked": len(findings) - unchecked,
    }


def _listed(name: str, entries: list[Json]) -> Json:
    """An object with the member `name`; empty where there are no entries."""
    return {name: entries} if entries else {}
