"""A mirror image has the same counts, and cuts within one step.

Marks are counted from the run's first terminal, in a mirror image from its last, so a run that is
no whole number of steps long has its rounding at the other end.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

import pytest
from hypothesis import assume, given

from service.core.records.kit import Kit
from service.core.records.layout import Layout
from tests.bounded import bounded
from tests.core import builders
from tests.core.facts import drawn_real
from tests.core.shapes import Drawn, drawn_decks, length_of
from tests.properties import twins

STEP = 0.0625


Row = tuple[float, float, float, int, tuple[float, ...]]


def by_kind(layout: Layout) -> dict[tuple[object, ...], list[Row]]:
    """The top cut, bottom cut, clear width and picket count of bays, with the clear widths of their
    run, in order, by their kind."""
    clears = defaultdict(list)
    for bay in layout.bays:
        clears[bay.run].append(round(bay.clear, 6))
    kinds = defaultdict(list)
    for bay in layout.bays:
        count = bay.fill.pickets.count if bay.fill.pickets else 0
        kind = bay.infill, bay.height, tuple(sorted(bay.ends))
        of_run = tuple(sorted(clears[bay.run]))
        kinds[kind].append((bay.fill.top_cut, bay.fill.bottom_cut, bay.clear, count, of_run))
    return {kind: sorted(bays) for kind, bays in kinds.items()}


def roles(layout: Layout) -> Counter[str]:
    """How many posts have each role."""
    return Counter(post.role for post in layout.posts)


def loosened(kit: Kit) -> Kit:
    """The kit with a step more of spacing, and of a panel's width."""
    centres = {infill: most + STEP for infill, most in kit.max_centres.items()}
    glass = kit.glass and replace(kit.glass, max_width=kit.glass.max_width + STEP)
    return replace(kit, max_centres=centres, glass=glass)


def check_images(drawn: Drawn) -> bool:
    """Check that a deck and its mirror image are alike; returns whether they can be laid out.

    A limit of the kit may lie between the marks of the one and those of the other, which are a step
    apart at most: where their posts differ in number, they are held to a kit of a step more.
    """
    layout, image = twins.layout_of(drawn), twins.layout_of(twins.mirrored(drawn))
    if layout is not None and image is not None and roles(layout) != roles(image):
        drawn = replace(drawn, kit=loosened(drawn.kit))
        layout, image = twins.layout_of(drawn), twins.layout_of(twins.mirrored(drawn))
    assert (layout is None) == (image is None)
    if layout is None or image is None:
        return False
    assert len(layout.runs) == len(image.runs)
    assert roles(layout) == roles(image)
    kinds, others = by_kind(layout), by_kind(image)
    assert kinds.keys() == others.keys()
    for kind, bays in kinds.items():
        for one, other in zip(bays, others[kind], strict=True):
            (top, bottom, _, count, of_run), (top2, bottom2, _, count2, of_run2) = one, other
            assert abs(top - top2) <= STEP + 1e-9
            assert abs(bottom - bottom2) <= STEP + 1e-9
            # Rails are cut to the clear width that bays share, and pickets are counted from it.
            # Marks are rounded the other way in the image, and a step can make one more picket.
            assert abs(count - count2) <= (0 if of_run == of_run2 else 1)
    return True


@bounded(250)
@given(drawn_decks())
def test_drawn_decks(drawn: Drawn) -> None:
    """Drawn decks without ties at their corners (see `tied`) are like their mirror images."""
    assume(not twins.tied(drawn))
    check_images(drawn)


@pytest.mark.parametrize("infill", ["picket", "glass"])
@pytest.mark.parametrize(
    "kit", [builders.SURFACE, builders.FASCIA, builders.PAIR], ids=["surface", "fascia", "pair"]
)
def test_real_decks(kit: Kit, infill: str) -> None:
    """Real decks without ties, a house along their longest edge, are like their mirror images."""
    laid = 0
    for _, points in builders.real_outlines():
        wall = max(range(len(points)), key=lambda number: length_of(points, number))
        drawn = drawn_real(points, kit, infill, wall)
        if not twins.tied(drawn):
            laid += check_images(drawn)
    assert laid >= 40
