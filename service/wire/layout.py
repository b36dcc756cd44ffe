"""Wire: a layout and its findings to the reply (contract, section 7).

Plain dictionaries in the contract's order. What several bays share is written once and
referred to, and numbers and tape readings are looked up: most of a deck's are alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from service import RELEASE
from service.core.code import Code
from service.core.deck import Deck
from service.core.kit import Kit
from service.core.layout import (
    Bay,
    Glass,
    Layout,
    OpeningBuilt,
    Panel,
    Pickets,
    Piece,
    Post,
    Run,
)
from service.core.measure import DECIMALS, Length, Point, Unit, tape_text, tidy
from service.rules.finding import Finding
from service.wire.cautions import cautions
from service.wire.findings import write_finding

Json = dict[str, Any]
ANGLE: Final = 4
"""Decimals of degrees."""
AMOUNT: Final = 3
"""Decimals of areas and masses."""

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


class Memo(dict[Any, Any]):
    """What a function gave, by what it was given."""

    def __init__(self, make: Callable[[Any], Any]) -> None:
        super().__init__()
        self._make = make

    def __missing__(self, key: Any) -> Any:
        made = self[key] = self._make(key)
        return made


@dataclass(frozen=True, slots=True)
class Job:
    """What a reply is made of."""

    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout
    findings: Sequence[Finding]
    digest: str


def write_layout(job: Job) -> Json:
    """The layout document. Members that do not apply are left out."""
    deck, layout, pen = job.deck, job.layout, Pen(job.deck, job.kit)
    return {
        "release": RELEASE,
        "digest": job.digest,
        **({"title": deck.title} if deck.title else {}),
        "unit": deck.unit,
        "precision": tidy(deck.step, 6),
        "units": UNITS[deck.unit],
        "kit": {"id": job.kit.id, "title": job.kit.title},
        **_code(job.code),
        "summary": _summary(job),
        "posts": [pen.post(post) for post in layout.posts],
        "runs": [pen.run(run) for run in layout.runs],
        "bays": [pen.bay(bay) for bay in layout.bays],
        "openings": [pen.opening(opening) for opening in layout.openings],
        "cut_list": [pen.piece(piece) for piece in layout.cut_list],
        "glass_order": [pen.panel(panel) for panel in layout.glass_order],
        "findings": [write_finding(finding, deck.unit, job.kit) for finding in job.findings],
        "cautions": cautions(job.kit, layout),
    }


def _code(code: Code | None) -> Json:
    if code is None:
        return {}
    return {"code": {"id": code.id, "title": code.title, "edition": code.edition}}


def _summary(job: Job) -> Json:
    layout, findings = job.layout, job.findings
    railed = {bay.run for bay in layout.bays}
    length = sum(run.length for run in layout.runs if run.id in railed)
    failed = [finding.severity for finding in findings if finding.result == "fail"]
    return {
        "posts": len(layout.posts),
        "bays": len(layout.bays),
        "runs": len(layout.runs),
        "railing_length": tidy(length, DECIMALS[job.deck.unit]),
        "pickets": sum(bay.pickets.count for bay in layout.bays if bay.pickets is not None),
        "glass_panels": sum(bay.glass is not None for bay in layout.bays),
        "violations": failed.count("violation"),
        "warnings": failed.count("warning"),
        "not_checked": sum(finding.result == "not_checked" for finding in findings),
    }


class Pen:
    """Writes the records of one layout."""

    def __init__(self, deck: Deck, kit: Kit) -> None:
        decimals = DECIMALS[deck.unit]
        self.kit = kit
        self.numbers = Memo(lambda value: tidy(value, decimals))
        self.angles = Memo(lambda value: tidy(value, ANGLE))
        self.texts = Memo(lambda value: tape_text(value, deck.unit, deck.step))
        # By id(): records live as long as the layout, and those of equal bays are one object.
        self._fills: dict[tuple[float, ...], Json] = {}

    def named(self, name: str, value: Length) -> Json:
        """A length that a person works to, and its tape reading."""
        return {name: self.numbers[value], f"{name}_text": self.texts[value]}

    def listed(self, name: str, values: Iterable[Length]) -> Json:
        """Lengths that a person works to, and their tape readings."""
        numbers, texts = self.numbers, self.texts
        return {
            name: [numbers[value] for value in values],
            f"{name}_text": [texts[value] for value in values],
        }

    def points(self, points: Iterable[Point]) -> list[list[float]]:
        """Places in plan, or corners of a panel."""
        numbers = self.numbers
        return [[numbers[x], numbers[y]] for x, y in points]

    def post(self, post: Post) -> Json:
        """A post."""
        written = {
            "id": post.id,
            "role": post.role,
            "level": post.level,
            "at": [self.numbers[post.at[0]], self.numbers[post.at[1]]],
            "turned": self.angles[post.turned],
            **self.named("height", post.height),
        }
        if post.stock_height is not None:
            written |= self.named("stock_height", post.stock_height)
        written["base"] = self.points(post.base)
        if post.parts:
            written["parts"] = list(post.parts)
        return written

    def run(self, run: Run) -> Json:
        """A run."""
        return {
            "id": run.id,
            "level": run.level,
            "edge": run.edge,
            "from": run.start,
            "to": run.end,
            **self.named("length", run.length),
            **self.listed("marks", run.marks),
        }

    def bay(self, bay: Bay) -> Json:
        """A bay."""
        key = (
            *(id(bay.rail_supports), id(bay.weep_holes), id(bay.pickets), id(bay.glass)),
            *(bay.top_cut, bay.bottom_cut),
        )
        filled = self._fills.get(key)
        if filled is None:
            filled = self._fills[key] = self.fill(bay)
        return {
            "id": bay.id,
            "run": bay.run,
            "from": bay.start,
            "to": bay.end,
            "infill": bay.infill,
            **self.named("height", bay.height),
            "centres": self.numbers[bay.centres],
            "clear": self.numbers[bay.clear],
            "measured": False,
            "ends": list(bay.ends),
            "pitch": 0,
            **filled,
        }

    def fill(self, bay: Bay) -> Json:
        """What stands in a bay: rails, feet, holes, pickets or a panel."""
        written: Json = {
            "top_rail": self.named("cut", bay.top_cut),
            "bottom_rail": self.named("cut", bay.bottom_cut),
        }
        if self.kit.rail_support is not None:
            written |= self.listed("rail_supports", bay.rail_supports)
        if self.kit.weep is not None:
            written |= self.listed("weep_holes", bay.weep_holes)
        if bay.pickets is not None:
            written["pickets"] = self.pickets(bay.pickets)
        if bay.glass is not None:
            written["glass"] = self.glass(bay.glass)
        return written

    def pickets(self, pickets: Pickets) -> Json:
        """The pickets of a bay."""
        written = {
            "count": pickets.count,
            **self.named("length", pickets.length),
            "gap": self.numbers[pickets.gap],
            **self.named("end_gap", pickets.end_gap),
            **self.listed("centres", pickets.centres),
        }
        if pickets.spacers:
            written["spacers"] = [
                {"rail": each.rail, **self.named("length", each.length), "count": each.count}
                for each in pickets.spacers
            ]
        return written

    def glass(self, glass: Glass) -> Json:
        """The panel of a bay."""
        return {
            **self.named("width", glass.width),
            **self.named("height", glass.height),
            **self.pane(glass.pane),
            "corners": self.points(glass.corners),
            "area": tidy(glass.area, AMOUNT),
            "mass": tidy(glass.mass, AMOUNT),
            "side_gap": self.numbers[glass.side_gap],
            **self.listed("blocks", glass.blocks),
        }

    def pane(self, pane: int) -> Json:
        """What glass it is."""
        assert self.kit.glass is not None
        found = self.kit.glass.panes[pane]
        return {"thickness": self.numbers[found.nominal], "type": found.type}

    def opening(self, opening: OpeningBuilt) -> Json:
        """An opening."""
        written = {
            "opening": opening.place,
            "level": opening.level,
            "edge": opening.edge,
            "use": opening.use,
            "asked_width": self.numbers[opening.asked],
            **self.named("clear_width", opening.clear_width),
            "from": opening.start,
            "to": opening.end,
        }
        if opening.use == "gate":
            written["hinge_post"] = opening.hinge_post
            written["latch_post"] = opening.latch_post
            written["opens"] = opening.opens
        return {name: value for name, value in written.items() if not _absent(name, value)}

    def piece(self, piece: Piece) -> Json:
        """A row of the cut list."""
        return {
            "part": piece.part,
            **self.named("length", piece.length),
            "count": piece.count,
            "end_cuts": [tidy(angle, ANGLE) for angle in piece.end_cuts],
            "bays": list(piece.bays),
        }

    def panel(self, panel: Panel) -> Json:
        """A row of the glass order."""
        return {
            "mark": panel.mark,
            **self.named("width", panel.width),
            **self.named("height", panel.height),
            **self.pane(panel.pane),
            "corners": self.points(panel.corners),
            "measured": False,
            "count": len(panel.bays),
            "bays": list(panel.bays),
            "area": tidy(panel.area, AMOUNT),
            "mass": tidy(panel.mass, AMOUNT),
        }


def _absent(name: str, value: Any) -> bool:
    """Whether a gate's post is the wall, and so is left out; `from` and `to` are null there."""
    return value is None and name not in ("from", "to")
