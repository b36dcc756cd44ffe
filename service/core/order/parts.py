"""Core: the list of parts: everything to buy for a layout, in pieces and in whole packs.

Each part is counted once, by role and size.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import TOUCH, Length, ceil_count, floor_to_mark
from service.core.order.plan import PartPlan
from service.core.order.roles import POSTS, ROLES
from service.core.records.kit import Kit, Part
from service.core.records.layout import Bay, Layout, Post
from service.core.records.orders import Panel, Piece

EDGES: Final = 2
"""Edges of a panel that stand in a channel: the upper and the lower."""
RAILS: Final = 2
"""Rails of a bay. Each has a bracket at each end."""
RETURNS: Final = 2
"""Returned ends of a handrail."""
_ORDER: Final = {role: i for i, role in enumerate(ROLES)}


class Key(NamedTuple):
    """What parts in one row have in common.

    size: stock height of a post, or length of a stick or piece; mark: of a panel; stick: whether it
    is a whole stick; unsold: whether the kit has none of the size (a piece that no stick holds, or
    a post higher than all that are stocked).
    """

    role: str
    size: Length | None = None
    mark: str | None = None
    stick: bool = False
    unsold: bool = False


Counts: TypeAlias = defaultdict[Key, float]
"""How many pieces of each part, or the length of a part that is sold by length."""


class PartRow(NamedTuple):
    """A row of the list: parts that are alike.

    quantity: how many pieces, or the length of a part that is sold by length. pack: pieces or
    length in one pack or roll; packs: how many whole ones to buy, waste included. Where the part is
    sold by length and the kit gives no roll, these are 0 and None. number: the yard's stock number;
    None where the kit gives none.
    """

    key: Key
    number: str | None
    description: str
    quantity: float
    pack: float
    packs: int | None


def list_parts(
    layout: Layout,
    kit: Kit,
    plans: Sequence[PartPlan],
    step: Length,
    wastes: Mapping[str, Decimal],
) -> tuple[PartRow, ...]:
    """The list of parts, by role in the order of ROLES, then by size, then by mark.

    Within a role, parts without a size come first, and parts that the kit has none of come last.
    Parts that come with another part (`included`) are left out. wastes: by role, the share that is
    added before packs are made whole.
    """
    counts: Counts = defaultdict(int)
    _count_posts(layout.posts, kit, counts)
    _count_bays(layout.bays, counts)
    _count_cuts(layout, kit, plans, counts)
    _count_flights_and_gates(layout, counts)
    _count_glass(layout, kit, step, counts)
    _count_blocking(layout, step, counts)
    _count_extras(layout, kit, counts)
    kept = [key for key in counts if counts[key] > 0 and key.role not in kit.included]
    kept.sort(key=lambda key: (_ORDER[key.role], key.unsold, key.size or 0.0))
    return tuple(
        _row(key, counts[key], kit.parts.get(key.role), float(wastes.get(key.role, 0)))
        for key in kept
    )


def _count_posts(posts: Sequence[Post], kit: Kit, counts: Counts) -> None:
    """Count posts, caps and bases.

    On a rim, a corner bracket takes the place of a post's fascia bracket.
    """
    kinds = Counter([(post.role, post.stock_height) for post in posts])
    for (role, height), count in kinds.items():
        counts[Key(f"post_{role}", height, unsold=height is None)] = count
    for part in [part for post in posts for part in post.parts]:
        counts[Key(part)] += 1
    surface = kit.mounting == "surface"
    plates = len(posts) if surface else sum([post.flight is not None for post in posts])
    counts[Key("post_cap")] = len(posts)
    counts[Key("base_fixing")] = kit.post.base.fixings * len(posts)
    counts[Key("base_plate")] = counts[Key("base_cover")] = plates
    counts[Key("fascia_bracket")] = len(posts) - plates - counts[Key("corner_bracket")]


def _count_bays(bays: Sequence[Bay], counts: Counts) -> None:
    """Count brackets by the kind of rail end, feet, and end blocks of raked panels."""
    ends = Counter([end for bay in bays for end in bay.ends])
    for end, count in ends.items():
        counts[Key(f"bracket_{end}")] = RAILS * count
    counts[Key("rail_support")] = sum([len(bay.fill.rail_supports) for bay in bays])
    raked = [bay.fill.rake for bay in bays if bay.fill.rake is not None]
    counts[Key("end_block")] = sum([rake.end_block is not None for rake in raked])


def _count_cuts(layout: Layout, kit: Kit, plans: Sequence[PartPlan], counts: Counts) -> None:
    """Count the sticks to buy, and the pieces that no stick holds or that are not sold by the
    stick."""
    for plan in plans:
        for row in plan.sticks:
            counts[Key(plan.part, row.stock, stick=True)] += 0 if row.on_hand else row.count
        for piece in plan.left_out:
            counts[Key(plan.part, piece.taken_up, unsold=True)] += piece.count
    for piece in layout.cut_list:
        if piece.part not in kit.stocks:
            counts[bought_as(piece, kit)] += piece.count


def bought_as(piece: Piece, kit: Kit) -> Key:
    """The key by which a piece that is not sold by the stick is bought.

    A spacer up to the kit's gap is bought as the full spacer, from which shorter ones are cut. A
    longer one, and every picket, is bought by the length that it takes up.
    """
    gap = kit.picket.gap if kit.picket is not None else 0.0
    if piece.part == "spacer" and piece.taken_up <= gap + TOUCH:
        return Key(piece.part)
    return Key(piece.part, piece.taken_up)


def _count_flights_and_gates(layout: Layout, counts: Counts) -> None:
    for flight in layout.flights:
        for rail in flight.handrails:
            counts[Key("handrail_bracket")] += len(rail.brackets)
            counts[Key("handrail_return")] += RETURNS
    for role in ("gate_frame", "gate_hinges", "gate_latch"):
        counts[Key(role)] += len(layout.gates)


def _count_glass(layout: Layout, kit: Kit, step: Length, counts: Counts) -> None:
    for panel in layout.glass_order:
        counts[Key("glass_panel", None, panel.mark)] += len(panel.bays)
    panels = [bay.fill.glass for bay in layout.bays] + [gate.glass for gate in layout.gates]
    counts[Key("setting_block")] = sum([len(glass.blocks) for glass in panels if glass is not None])
    if kit.glass is not None and kit.glass.gasket_strips is not None:
        for panel in layout.glass_order:
            strip = gasket_length(panel, kit.glass.gasket_strips, step)
            counts[Key("gasket")] += strip * len(panel.bays)


def gasket_length(panel: Panel, strips: int, step: Length) -> Length:
    """Length of gasket for one panel.

    There are `strips` along each of the two edges that stand in a channel, each floored to a mark.
    """
    x, y = panel.corners[1]
    return EDGES * strips * floor_to_mark(math.hypot(x, y), step)


def _count_blocking(layout: Layout, step: Length, counts: Counts) -> None:
    for block, _ in layout.blocks():
        for length in block.lengths:
            counts[Key("blocking", floor_to_mark(length, step))] += 1


def _count_extras(layout: Layout, kit: Kit, counts: Counts) -> None:
    """Count what goes with other parts by the kit's own rules.

    An extra of `job` goes once with the whole job. One of a part that is cut from sticks goes with
    each piece of it, as one stick may give several pieces, or be on hand. An extra that goes with
    another extra comes after it in the kit.
    """
    by_role: defaultdict[str, float] = defaultdict(int, job=1)
    for key, count in counts.items():
        by_role[key.role] += 0 if key.role in kit.stocks else count
        by_role["post"] += count if key.role in POSTS else 0
    for piece in layout.cut_list:
        by_role[piece.part] += piece.count if piece.part in kit.stocks else 0
    for extra in kit.extras:
        more = extra.count * -(-by_role[extra.of] // extra.every)
        counts[Key(extra.role)] += more
        by_role[extra.role] += more


def _row(key: Key, quantity: float, part: Part | None, waste: float) -> PartRow:
    if part is None:
        role = ROLES[key.role]
        number, description = None, role.words
        pack = 0.0 if role.sold == "strip" else 1.0
    else:
        number, description, pack = _number(part, key), part.description, part.pack
    if key.unsold:
        pack = 1.0
    packs = whole_packs(quantity, pack, waste) if pack else None
    return PartRow(key, number, description, quantity, pack, packs)


def whole_packs(quantity: float, pack: float, waste: float) -> int:
    """How many whole packs or rolls hold a quantity and its waste.

    waste: as a share of the quantity.

    >>> whole_packs(100, 50, 0.0), whole_packs(100, 50, 0.05)
    (2, 3)
    """
    return ceil_count(quantity * (1 + waste) / pack)


def _number(part: Part, key: Key) -> str:
    """The yard's number of the part at this size; else its number for the role."""
    if key.size is not None and not key.unsold:
        for length, number in part.sizes:
            if abs(length - key.size) <= TOUCH:
                return number
    return part.number
