"""Figures: all figures of the guide and the reference, drawn with the shipped kits."""

from __future__ import annotations

from dataclasses import replace

from deploy.figures import arcs, flights, framing, gates, infill, places, plans, rakes, runs
from deploy.figures.scene import FASCIA, KIT
from service.data.catalogue import load_catalogue


def draw_figures() -> dict[str, str]:
    """The SVG of each figure, by file name."""
    kits = load_catalogue().kits
    surface, fascia = (kits[name].records["in"] for name in (KIT, FASCIA))
    pair = replace(fascia, post=replace(fascia.post, corner="pair"))
    sheets = {
        "1-railing-line": plans.railing_line(surface),
        "1-line-ends": plans.line_ends_figure(surface),
        "1-openings": places.openings(surface),
        "1-fascia-corners": places.fascia_corners(fascia, pair),
        "2-corner-stance": plans.corner_stance(surface),
        "4-bays": runs.bays(surface),
        "5-rail-cut": runs.rail_cut(surface),
        "6-pickets": infill.pickets(surface),
        "7-glass": infill.glass(surface),
        "8-underside": runs.underside(surface),
        "9-flight": flights.flight(surface),
        "9-head": flights.head(surface),
        "9-raked-cuts": rakes.raked_cuts(surface),
        "9-gate": gates.gate(surface),
        "10-arc": arcs.arc(surface),
        "11-framing": framing.framing(surface),
    }
    return {f"{name}.svg": sheet.document() for name, sheet in sheets.items()}
