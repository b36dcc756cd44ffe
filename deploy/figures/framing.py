"""Figure of framing: fixings over joists and rim, and the blocking that they need."""

from __future__ import annotations

from deploy.figures.pen import Point, Sheet, View
from deploy.figures.scene import between, clip, end_clip, layout, plain
from service.core.records.blocking import BlockingPiece
from service.core.records.deck import Framing
from service.core.records.kit import Kit
from service.core.records.layout import Layout, Post
from service.core.timber.fixings import fixing_places

POINTS = ((0.0, 0.0), (150.0, 0.0), (150.0, 60.0), (0.0, 60.0))
FRAMING = Framing(90.0, 16.0, 16.0, 1.5, 3.0, "")
SHOWN = 84.0, 26.0
"""How much of the deck is drawn from its corner 0, in x and in y."""


def framing(kit: Kit) -> Sheet:
    """Step 11: the corner of a deck from above, without its boards."""
    sheet = Sheet(
        760,
        400,
        "Framing",
        "Plan of the joists and the rim at a corner of a deck, with the bases of two posts. Each"
        " fixing lands in the rim, in a joist or in nothing; where it lands in nothing a block"
        " between two joists takes it.",
    )
    laid = layout(kit, POINTS, framing=FRAMING)
    view = View((40.0, 306.0), 8.2)
    clip(sheet, "framing", (8, 60), (752, 340))
    _timber(sheet, view)
    posts = [post for post in laid.posts if post.at[0] < SHOWN[0] and post.at[1] < SHOWN[1]]
    for post in posts:
        for block in post.framing.blocking if post.framing else ():
            _block(sheet, view, block)
    for post in posts:
        _base(sheet, view, kit, post)
    end_clip(sheet)
    _sizes(sheet, view, kit, laid)
    return sheet


def joist(number: int) -> float:
    """The x of a joist's centre."""
    return FRAMING.first_joist + number * FRAMING.joist_spacing


def _timber(sheet: Sheet, view: View) -> None:
    half, (wide, deep) = FRAMING.joist_width / 2, SHOWN
    for number in range(5):
        at = joist(number)
        low, high = (at - half, FRAMING.rim_width), (at + half, deep + 6)
        sheet.box("wood", *between(view, low, high))
    rim = FRAMING.rim_width
    sheet.box("wood", *between(view, (0.0, 0.0), (wide + 8, rim)))
    sheet.box("wood", *between(view, (0.0, 0.0), (rim, deep + 6)))


def _block(sheet: Sheet, view: View, block: BlockingPiece) -> None:
    """Draw a block, which lies level on the sheet, as joists run up it."""
    face, half = FRAMING.joist_width / 2, block.plies * FRAMING.joist_width / 2
    low = joist(block.between[0]) + face if block.between[0] is not None else FRAMING.rim_width
    sheet.box(
        "block", *between(view, (low, block.at - half), (low + block.length, block.at + half))
    )


def _base(sheet: Sheet, view: View, kit: Kit, post: Post) -> None:
    sheet.line("thin", *view.all([*post.base, post.base[0]]))
    half = kit.post.width / 2
    (x, y) = post.at
    sheet.box("ink", *between(view, (x - half, y - half), (x + half, y + half)))
    assert post.framing is not None
    places = fixing_places(kit.post.base, post.at, post.turned)
    for place, landing in zip(places, post.framing.lands_on, strict=True):
        sheet.dot("mark" if landing == "none" else "fill", view.at(place), 3.2)


def _sizes(sheet: Sheet, view: View, kit: Kit, laid: Layout) -> None:
    top = view.at((0.0, SHOWN[1]))[1]
    for number in range(5):
        sheet.text(
            (view.at((joist(number), 0.0))[0], top - 42), f"joist {number}", "small", "middle"
        )
    sheet.dimension(
        (view.at((joist(1), 0.0))[0], top),
        (view.at((joist(2), 0.0))[0], top),
        f"joist_spacing {plain(FRAMING.joist_spacing)}",
        off=0,
    )
    sheet.dimension(
        view.at((34.0, 0.0)), view.at((34.0, FRAMING.rim_width)), f"rim {plain(FRAMING.rim_width)}"
    )
    posts = [post for post in laid.posts if post.at[0] < SHOWN[0] and post.at[1] < SHOWN[1]]
    for post in posts:
        assert post.framing is not None
        x, y = view.at((post.at[0], 0.0))
        words = ", ".join(post.framing.lands_on)
        sheet.text((max(x, 84.0), y + 22), f"{post.id}: {words}", "", "middle")
    block = _first_block(posts)
    low, at = joist(block.between[0] or 0) + FRAMING.joist_width / 2, block.at
    one: Point = view.at((low, at + 2.6))
    sheet.dimension(
        one, view.at((low + block.length, at + 2.6)), f"block {plain(block.length)}", off=8
    )
    sheet.text(
        (12, 22),
        "from above, boards left out; fixings counter-clockwise from a base's first corner",
        "head",
        halo=False,
    )
    edge = plain(kit.post.base.fixing_edge_distance)
    sheet.text(
        (12, 386),
        f"a fixing lands where it keeps {edge} from both faces of the rim or of a joist; else a"
        " block takes it",
        "sum",
        halo=False,
    )


def _first_block(posts: list[Post]) -> BlockingPiece:
    """The first block between two joists, not beside the rim."""
    blocks = [b for post in posts if post.framing for b in post.framing.blocking]
    return next(b for b in blocks if None not in b.between)
