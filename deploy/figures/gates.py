"""Figure of a gate: its leaf in elevation, and its swing in plan."""

from __future__ import annotations

from deploy.figures.pen import Sheet, View
from deploy.figures.scene import between, clip, draft, draw_plan, edge, end_clip, layout, plain
from service.core.levels.gates import swept
from service.core.records.deck import Opening
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt

POINTS = ((0.0, 0.0), (150.0, 0.0), (150.0, 60.0), (0.0, 60.0))
GATE = Opening("gate", 0, 52.0, 42.0, "gate", "")


def gate(kit: Kit) -> Sheet:
    """Step 9: a gate with its hinges near the edge's first corner, opening in."""
    sheet = Sheet(
        760,
        470,
        "A gate",
        "Elevation of a gate's leaf between its hinge post and its latch post with their gaps, and"
        " a plan of the quarter circle that it sweeps over the deck.",
    )
    said = {"edges": (edge(2, "wall"),), "openings": (GATE,)}
    built = layout(kit, POINTS, **said).gates[0]
    _leaf(sheet, kit, built)
    _swing(sheet, kit, built)
    return sheet


def _leaf(sheet: Sheet, kit: Kit, built: GateBuilt) -> None:
    assert kit.gate is not None
    assert kit.picket is not None
    assert built.pickets is not None
    view = View((70.0, 360.0), 7.2)
    post, clear = kit.post.width, GATE.width
    rails = kit.rails[built.infill]
    left, foot, top = kit.gate.hinge_gap, kit.bottom_gap, kit.bottom_gap + built.height
    sheet.line("ink", *between(view, (-6.0, 0.0), (clear + 6.0, 0.0)))
    for low in (-post, clear):
        sheet.box("post", *between(view, (low, 0.0), (low + post, top)))
    half = kit.picket.width / 2
    for centre in built.pickets.centres:
        x = left + centre
        sheet.box(
            "thin",
            *between(
                view, (x - half, foot + rails.bottom.depth), (x + half, top - rails.top.depth)
            ),
        )
    for low, high in ((top - rails.top.depth, top), (foot, foot + rails.bottom.depth)):
        sheet.box("rail", *between(view, (left, low), (left + built.width, high)))
    sheet.dimension(*between(view, (0.0, top), (clear, top)), f"clear width {plain(clear)}", off=40)
    sheet.dimension(
        *between(view, (left, top), (left + built.width, top)),
        f"leaf {plain(built.width)}",
        off=16,
        style="sum",
    )
    sheet.dimension(
        *between(view, (left + 14.2, foot), (left + 14.2, top)),
        f"leaf {plain(built.height)}",
        side=-1,
    )
    for span, words, nudge in (
        ((0.0, left), f"hinge_gap {plain(left)}", 44.0),
        ((left + built.width, clear), f"latch_gap {plain(kit.gate.latch_gap)}", -44.0),
    ):
        one, other = view.at((span[0], 0.0)), view.at((span[1], 0.0))
        sheet.dimension(one, other, words, off=-16, side=-1, nudge=(nudge, 0))
    sheet.text((12, 22), "from outside: the leaf between its posts", "head", halo=False)
    sheet.lines(
        (16, 428),
        ["leaf = clear width − hinge_gap − latch_gap, down to a mark", "rails as wide as the leaf"],
        "sum",
    )


def _swing(sheet: Sheet, kit: Kit, built: GateBuilt) -> None:
    drawn = draft(kit, POINTS, edges=(edge(2, "wall"),), openings=(GATE,))
    view = View((244.0, 330.0), 4.5)
    clip(sheet, "swing", (440, 34), (752, 380))
    sheet.shape("slab", view.all(POINTS))
    sheet.line("ink", *view.all([(0.0, 0.0), (150.0, 0.0)]))
    shape = swept(built.swing, built.width)
    points = [(x, y) for x, y in shape.exterior.coords][:-1]
    sheet.shape("glass", view.all(points))
    draw_plan(sheet, view, kit, drawn)
    sheet.line("accent", view.at(points[0]), view.at(points[1]))
    sheet.line("accent", view.at(points[0]), view.at(points[-1]))
    end_clip(sheet)
    x, y = view.at(points[-1])
    sheet.text((x + 40, y + 40), "opens: in", "sum")
    sheet.leader(view.at((50.8, 3.5)), view.at((55.0, -8.0)), "hinge: near")
    sheet.text(view.at((82.0, -8.0)), "latch", anchor="start")
    sheet.text((450, 22), "in plan: what the leaf sweeps", "head", halo=False)
    sheet.lines(
        (450, 412),
        [
            "the quarter circle must meet no post,",
            "obstruction or flight (gate_swing);",
            "edge 0 runs from left to right",
        ],
    )
