"""Rules: the posts of a layout by kind, for the strength checks: how high each is, how much top
rail it carries, and how far off square that meets it."""

from __future__ import annotations

from typing import NamedTuple

from service.core.flights.drafts import on_ground
from service.core.measure import Degrees, Length
from service.core.records.layout import Bay
from service.rules.job import Job, Place, once


class PostKind(NamedTuple):
    """What the strength checks need to know of a post; posts of one kind are checked once.

    height: of the post's top above the surface that it stands on. carried: the length of top rail.
    skew: how far off square to the post's face a rail meets it; of several rails, the one that
    bends the post most counts, which is the nearest to 45 degrees.
    """

    height: Length
    carried: Length
    skew: Degrees


def span(bay: Bay) -> Length:
    """Length of a bay, post centre to post centre or to the wall; along the slope in a flight."""
    return bay.centres if bay.fill.rake is None else bay.fill.rake.centres_slope


@once
def kinds_by_post(job: Job) -> dict[str, PostKind]:
    """The kind of each post, by the post's id.

    A post carries half of every bay and of every gate that meets it. A corner post takes both of
    its halves in full, on the safe side: they are not pushed one way at once.
    """
    layout = job.layout
    halves: dict[str, Length] = {}
    skews: dict[str, Degrees] = {}
    for bay in layout.bays:
        half = span(bay) / 2
        for post, skew in ((bay.start, bay.skews[0]), (bay.end, bay.skews[1])):
            if post is not None:
                halves[post] = halves.get(post, 0.0) + half
                if skew and (skew - 45) ** 2 < (skews.get(post, 0.0) - 45) ** 2:
                    skews[post] = skew
    for gate in layout.gates:
        for post in (gate.opening.hinge_post, gate.opening.latch_post):
            if post is not None:
                halves[post] = halves.get(post, 0.0) + gate.width / 2
    return {
        post.id: PostKind(
            round(post.height, 6),
            # Half of the finest mark has seven decimals.
            round(halves[post.id], 7) if post.id in halves else 0.0,
            round(skews[post.id], 4) if post.id in skews else 0.0,
        )
        for post in layout.posts
    }


def post_kinds(job: Job) -> list[tuple[Place, PostKind]]:
    """Every post with its kind, in the layout's order."""
    return [((post,), kind) for post, kind in kinds_by_post(job).items()]


def on_the_ground(job: Job) -> dict[str, str]:
    """Foot posts that stand on the ground and not on a level, by id, each with its flight's id."""
    if not job.deck.stairs:
        return {}
    grounded = {stair.id for stair in job.deck.stairs if on_ground(stair)}
    landed = {base.post for base in job.layout.bases if base.landing is not None}
    return {
        post.id: post.flight
        for post in job.layout.posts
        if post.role == "stair" and post.flight in grounded and post.id not in landed
    }


def pushed_along_edges(job: Job) -> set[str]:
    """Posts that rails push along the edge that their base is set by, as well as across it.

    These are corner posts, except where a corner is so flat that both rails meet one face of the
    post; and the posts of flights, which their rails push sideways, along the nosings.
    """
    met: dict[str, list[Degrees]] = {}
    for bay in job.layout.bays:
        for post, skew in ((bay.start, bay.skews[0]), (bay.end, bay.skews[1])):
            if post is not None:
                met.setdefault(post, []).append(round(skew, 4))

    def is_flat(post: str) -> bool:
        one, *others = met.get(post, [0.0])
        return others == [one] and one > 0

    return {
        post.id
        for post in job.layout.posts
        if post.role == "stair"
        or post.flight is not None
        or (post.role == "corner" and not is_flat(post.id))
    }


def lever_height(job: Job, height: Length) -> Length | None:
    """Height from the load at a post's top down to its topmost fixing.

    height: of the top above the surface, below which the fixings of a fascia post hang. None where
    a fascia kit does not say how far.
    """
    if job.kit.mounting != "fascia":
        return height
    fixing = job.kit.strength.fixing if job.kit.strength is not None else None
    below = fixing.below if fixing is not None else None
    return None if below is None else height + below
