"""Core: a stretch of a bowed side to its runs: equal chords, each a run of one bay (method 10)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from service.core.arcs import ArcSide
from service.core.bays import BayMaker, RunDraft, RunKey
from service.core.corners import Terminal
from service.core.limits import BAYS
from service.core.marks import Span
from service.core.measure import TOUCH, Length
from service.core.posts import post_on_side
from service.core.problems import unbuildable
from service.core.stretches import Stretch


def make_arc_runs(
    maker: BayMaker,
    key: RunKey,
    side: ArcSide,
    stretch: Stretch,
    forbidden: Sequence[tuple[Length, Length]],
) -> list[RunDraft]:
    """The fewest equal chords whose posts keep every limit and stand where they may.

    An inner post's face normal is along the tangent: its skew is half a chord's angle on both
    sides. Refuses a stretch on which no number of chords will do.
    """
    kit, spec = maker.kit, side.spec
    span = stretch.end.t - stretch.start.t
    count = side.chords(span, kit, kit.max_centres[spec.infill])
    most = min(BAYS, max(count, int(span / kit.post.base.width)))
    fits = maker.panel_test(spec)
    while count <= most:
        terminals = _terminals(maker, side, stretch, count)
        clear = side.chord(span / count) - terminals[0].half(kit) - terminals[-1].half(kit)
        free = not any(
            low + TOUCH < terminal.t < high - TOUCH
            for terminal in terminals[1:-1]
            for low, high in forbidden
        )
        if free and fits(clear):
            break
        count += 1
    else:
        raise unbuildable(
            stretch.pointer,
            "no_place_for_posts",
            f"No row of equal chords along this arc of {span:.6g} keeps panels within the"
            " kit's size and posts where they may stand.",
        )
    return [
        _run(maker, key, side, index, pair, stretch.pointer)
        for index, pair in enumerate(pairwise(terminals))
    ]


def _terminals(maker: BayMaker, side: ArcSide, stretch: Stretch, count: int) -> list[Terminal]:
    """Both ends of the stretch and the posts between, each with its bays' skew."""
    pitch = (stretch.end.t - stretch.start.t) / count
    half_angle = math.degrees(pitch / side.line_radius) / 2
    terminals = [_on_tangent(stretch.start, half_angle)]
    for i in range(1, count):
        t = stretch.start.t + i * pitch
        terminals.append(Terminal(t, post_on_side(maker.kit, side, t, "line"), half_angle))
    return [*terminals, _on_tangent(stretch.end, half_angle)]


def _on_tangent(terminal: Terminal, half_angle: float) -> Terminal:
    """An end or an opening's post faces along the tangent, and its bay along the chord."""
    if terminal.post is None or terminal.post.role in ("corner", "line"):
        return terminal
    return replace(terminal, skew=half_angle)


def _run(
    maker: BayMaker,
    key: RunKey,
    side: ArcSide,
    index: int,
    ends: tuple[Terminal, Terminal],
    pointer: str,
) -> RunDraft:
    """One chord as a run of one bay; marks 0 and the chord, off the grid."""
    kit, spec = maker.kit, side.spec
    stretch = Stretch(*ends, pointer)
    run_key: RunKey = (key[0], key[1], key[2] * (BAYS + 1) + index)
    span = Span(
        length=side.chord(ends[1].t - ends[0].t),
        halves=(ends[0].half(kit), ends[1].half(kit)),
        width=kit.post.width,
        base=kit.post.base.width,
    )
    if span.even_clear(1) < -TOUCH:
        raise unbuildable(
            pointer,
            "too_short_for_posts",
            f"A chord of {span.length:.6g} on this arc is too short for the posts at its ends.",
        )
    for post in (ends[0].post, ends[1].post):
        if post is not None and post.role == "line" and not post.heights:
            post.heights.append(spec.height)
    return maker.make_single(run_key, spec, stretch, span)
