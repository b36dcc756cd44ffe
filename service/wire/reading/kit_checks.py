"""Wire: faults of a kit that show only between its members, looked for once all have been read.

The main entry is `check_kit`.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.core.measure import TOUCH
from service.core.problems import Problem
from service.core.records.deck import INFILLS, Infill
from service.core.records.kit import Kit
from service.core.records.strength import Strength


def check_kit(kit: Kit, *, says_corner: bool) -> Iterator[Problem]:
    """Problems of members of a kit that contradict each other or lack each other.

    says_corner: whether the kit says what it does at an outside corner.
    """
    inward = kit.mounting == "surface"
    setback = kit.post.setback
    if setback <= 0 if inward else setback >= 0:
        wanted = "above 0 (inward)" if inward else "below 0 (outside the deck edge)"
        message = (
            f"A setback of {kit.text(setback)} is not taken: that of a {kit.mounting} kit has to"
            f" be {wanted}."
        )
        yield Problem(f"{kit.pointer}/post/setback", "setback_of_wrong_sign", message)
    if not inward and not says_corner:
        message = "A fascia kit has to say what it does at an outside corner: bracket or pair."
        yield Problem(f"{kit.pointer}/post/corner", "kit_incomplete", message)
    yield from _check_base(kit)
    yield from _check_spacing(kit)
    yield from _check_engagement(kit)
    for infill in INFILLS:
        yield from _check_infill(kit, infill)
    if kit.picket is not None and kit.picket.gap < kit.picket.width - TOUCH:
        gap, width = kit.picket.gap, kit.picket.width
        message = (
            f"A gap of {kit.text(gap, width)} is not taken: it has to be at least what a picket is"
            f" wide, {kit.text(width, gap)}."
        )
        yield Problem(f"{kit.pointer}/picket/gap", "gap_less_than_picket", message)
    yield from _check_strength(kit)


def _check_base(kit: Kit) -> Iterator[Problem]:
    base, post, at = kit.post.base, kit.post.width, f"{kit.pointer}/post/base"
    if base.width < post - TOUCH:
        message = (
            f"A base of {kit.text(base.width, post)} is not taken: it has to be at least what the"
            f" post is wide, {kit.text(post, base.width)}."
        )
        yield Problem(f"{at}/width", "base_less_than_post", message)
    half = base.width / 2
    if base.fixing_inset >= half - TOUCH:
        inset = base.fixing_inset
        message = (
            f"Fixings {kit.text(inset, half)} in from the base's edges would meet or cross in its"
            f" middle; it has to be less than half the base, {kit.text(half, inset)}."
        )
        yield Problem(f"{at}/fixing_inset", "fixings_past_the_middle", message)


def _check_spacing(kit: Kit) -> Iterator[Problem]:
    """Problems of spacings at which the bases of two posts would not fit side by side."""
    base = kit.post.base.width
    for infill, most in kit.max_centres.items():
        if most < base - TOUCH:
            message = (
                f"Posts at most {kit.text(most, base)} apart are not taken: their bases are"
                f" {kit.text(base, most)} wide, and would run into each other."
            )
            yield Problem(f"{kit.pointer}/max_centres/{infill}", "spacing_less_than_base", message)


def _check_engagement(kit: Kit) -> Iterator[Problem]:
    """Problems of engagements by which the infill would go through a rail."""
    for infill in INFILLS:
        if kit.infill_kit(infill) is None or infill not in kit.rails:
            continue
        rails, into = kit.rails[infill], kit.engagement(infill)
        for name, rail, depth in (
            ("top", rails.top, into.top),
            ("bottom", rails.bottom, into.bottom),
        ):
            if depth > rail.depth + TOUCH:
                message = (
                    f"An engagement of {kit.text(depth, rail.depth)} is not taken: the {name} rail"
                    f" is {kit.text(rail.depth, depth)} deep."
                )
                pointer = f"{kit.pointer}/{infill}/engagement/{name}"
                yield Problem(pointer, "engagement_past_rail", message)


def _check_infill(kit: Kit, infill: Infill) -> Iterator[Problem]:
    """Problems of an infill that has some of rails, figures and greatest spacing, but not all."""
    has = {
        f"/rails/{infill}": infill in kit.rails,
        f"/{infill}": kit.infill_kit(infill) is not None,
        f"/max_centres/{infill}": infill in kit.max_centres,
    }
    if any(has.values()):
        given = " and ".join(path[1:] for path, there in has.items() if there)
        for path, there in has.items():
            if not there:
                message = f"The kit has {given} but no {path[1:]}; give all three or none."
                yield Problem(kit.pointer + path, "kit_incomplete", message)


def _check_strength(kit: Kit) -> Iterator[Problem]:
    """Problems of a kit's `strength`: more fixings or thicker walls than there is room for, and
    makes of panes that the kit does not have or that have a make already."""
    if kit.strength is None:
        return
    yield from _check_fixings(kit, kit.strength)
    yield from _check_wall(kit, kit.strength)
    if kit.glass is None:
        return
    there = len(kit.glass.panes)
    seen: set[int] = set()
    for i, make in enumerate(kit.strength.panes):
        pointer = f"{kit.pointer}/strength/panes/{i}/pane"
        if make.pane >= there:
            message = f"The kit has {there} panes, counted from 0, and no pane {make.pane}."
            yield Problem(pointer, "glass_not_in_kit", message)
        elif make.pane in seen:
            yield Problem(pointer, "given_twice", f"Pane {make.pane} has its make already.")
        seen.add(make.pane)


def _check_fixings(kit: Kit, strength: Strength) -> Iterator[Problem]:
    base, at = kit.post.base, f"{kit.pointer}/strength"
    fixings = [(strength.fixing, f"{at}/fixing")] if strength.fixing is not None else []
    fixings += [(one, f"{at}/other_fixings/{i}") for i, one in enumerate(strength.other_fixings)]
    for fixing, pointer in fixings:
        if fixing.in_tension > base.fixings:
            message = (
                f"{fixing.in_tension} fixings in tension are not taken: the base has"
                f" {base.fixings}."
            )
            yield Problem(f"{pointer}/in_tension", "more_than_there_is", message)
        lever, far = fixing.lever, base.width - base.fixing_inset
        if kit.mounting == "surface" and lever is not None and lever > far + TOUCH:
            message = (
                f"A lever arm of {kit.text(lever, far)} is not taken: from its fixings to the far"
                f" edge of the base there are {kit.text(far, lever)}, and it bears no further off."
            )
            yield Problem(f"{pointer}/lever_arm", "more_than_there_is", message)


def _check_wall(kit: Kit, strength: Strength) -> Iterator[Problem]:
    half, post = kit.post.width / 2, strength.post
    if post is not None and post.wall is not None and post.wall > half + TOUCH:
        message = (
            f"A wall of {kit.text(post.wall, half)} is not taken: the post is"
            f" {kit.text(kit.post.width, post.wall)} wide, and its two walls have to fit in it."
        )
        yield Problem(f"{kit.pointer}/strength/post/wall", "more_than_there_is", message)
