"""Rules: whether the fixings of posts go into timber, and the blocking that the others need."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.flights.drafts import on_ground
from service.core.measure import TOUCH, convert
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.deck import Framing
from service.core.timber.fixings import PLACED
from service.core.timber.framing import SNUG
from service.core.timber.plies import MOST_PLIES
from service.core.timber.sharing import SHORTEST_BLOCK
from service.rules.finding import Finding
from service.rules.job import Job
from service.rules.saying import Saying, say_by_kit, tell_by_kind
from service.rules.words import count_text, list_text

_RULE: Final = "fixing_into_framing"


def fixing_into_framing(job: Job) -> Iterator[Saying]:
    """What the fixings of each post go into.

    Levels whose timber is not given share a finding, and so do flights.
    """
    yield from _unframed(job)
    timbers = {level.id: level.framing for level in job.deck.levels}
    framed = (
        ((post.id,), (post.framing, timbers.get(post.level)))
        for post in job.layout.posts
        if post.framing is not None
    )
    yield from tell_by_kind(framed, lambda kind: _fixings(job, *kind))


def _unframed(job: Job) -> Iterator[Saying]:
    """Posts whose timber is not given or not looked at, named by their level or flight.

    These are posts on levels without framing, on the treads of flights, whose timber no document
    gives, and at the foot of flights, on the level below.
    """
    grounded = {stair.id for stair in job.deck.stairs if on_ground(stair)}
    bare = [
        post
        for post in job.layout.posts
        if post.framing is None and not (post.role == "stair" and post.flight in grounded)
    ]
    levels = dict.fromkeys(post.level for post in bare if post.flight is None)
    flights = dict.fromkeys(post.flight for post in bare if post.flight is not None)
    landed = {base.post for base in job.layout.bases if base.landing is not None}
    feet = dict.fromkeys(post.flight for post in job.layout.posts if post.id in landed)
    for what, timber, places in (
        (
            "the posts are fixed into is not known: give the level's framing, or",
            "rim, joist",
            [job.layout.level_place(level) for level in levels],
        ),
        ("posts on treads are fixed into cannot be given here:", "tread, stringer", flights),
        (
            "posts at the foot are fixed into, on the level below, is not looked at:",
            "rim, joist",
            filter(None, feet),
        ),
    ):
        if named := [(place,) for place in places]:
            edge = job.text(job.kit.post.base.fixing_edge_distance)
            sentence = (
                f"what {what} check on site that each fixing goes into solid timber ({timber} or "
                f"blocking) at least {edge} from its edges"
            )
            yield say_by_kit(job, _RULE, "not_checked", sentence), named


def _fixings(job: Job, framing: PostFraming, timber: Framing | None) -> Finding:
    """Finding on what the fixings of one post go into. timber: the framing of its level."""
    loose = framing.lands_on.count("none")
    blocks = _blocking(framing.blocking)
    if not loose:
        behind = f", with blocking behind it {blocks}" if blocks else ""
        into = "the rim" if set(framing.lands_on) == {"rim"} else "rim or joist"
        unplaced = _unplaced(job, framing)
        each = f"each of the {PLACED} fixings that are placed" if unplaced else "each fixing"
        sentence = f"{each} goes into {into}{behind}{_crosses(framing)}"
        off_rim = _off_rim(job, framing)
        sentence += _at_ends(job, framing) + _bare(framing) + off_rim + unplaced
        if framing.at_ends or framing.bare or off_rim:
            return say_by_kit(job, _RULE, "warning", sentence)
        return say_by_kit(job, _RULE, "not_checked" if unplaced else "pass", sentence)
    total = count_text(len(framing.lands_on), "fixing")
    verb = "misses" if loose == 1 else "miss"
    sentence = f"{loose} of {total} {verb} rim and joists"
    if blocks:
        sentence += f" and must go into blocking {blocks}"
    sentence += _crosses(framing) + _misplaced(job, framing, timber) + _at_ends(job, framing)
    sentence += _thin_rim(job, timber) + _spare(job, framing) + _unplaced(job, framing)
    return say_by_kit(job, _RULE, "warning", sentence)


def _unplaced(job: Job, framing: PostFraming) -> str:
    """Words on fixings that have no known place on a base; empty where every one has a place."""
    every = job.kit.post.base.fixings
    if every <= PLACED or len(framing.lands_on) == every:
        return ""
    return (
        f"; where the other {every - PLACED} of the base's {every} stand is not known: check on "
        "site that these go into solid timber, too"
    )


def _blocking(blocks: tuple[BlockingPiece, ...]) -> str:
    """Words on where the blocks go; empty where there are none.

    Blocking that is not tied to the timber at both ends twists (engineering facts, 5.5, seen S25).
    """
    if not blocks:
        return ""
    places = list_text(list(dict.fromkeys(map(_between, blocks))))
    named = any(joist is not None for block in blocks for joist in block.between)
    counted = " (joists counted from 0)" if named else ""
    return f"{places}{counted}, tied to them at both ends"


def _between(block: BlockingPiece) -> str:
    low, high = block.between
    if low is None and high is None:
        place = "between the rims"
    elif low is None or high is None:
        place = f"between the rim and joist {high if low is None else low}"
    else:
        place = f"between joists {low} and {high}"
    return place if block.plies == 1 else f"of {block.plies} plies {place}"


def _misplaced(job: Job, framing: PostFraming, timber: Framing | None) -> str:
    """Words on fixings that need blocking and that no blocking holds where they are."""
    edge = job.text(job.kit.post.base.fixing_edge_distance)
    near_timber = _of_them(
        framing.by_timber,
        ("lies", "lie"),
        f"less than {edge} from a face of the rim or of a joist, too near an end or edge of "
        "blocking beside it: move the post, or double the rim or joist there",
    )
    past_ends = _of_them(
        framing.past_ends,
        ("lies", "lie"),
        "past an end or edge of that blocking or too near it, as the rim or other blocking stops "
        "it there: move the post",
    )
    at_joints = _of_them(
        framing.at_joints,
        ("comes", "come"),
        f"less than {edge} from a joint between its plies, which holds in neither: use one timber "
        "as wide",
    )
    off_deck = _of_them(
        framing.off_deck, ("lies", "lie"), "off the deck, where no timber is: move the post"
    )
    return near_timber + past_ends + at_joints + _cramped(job, framing, timber) + off_deck


def _cramped(job: Job, framing: PostFraming, timber: Framing | None) -> str:
    """Words on fixings that have no room for blocking, or whose joists are too thin for it."""
    keeps = job.kit.post.base.fixing_edge_distance
    least = convert(SHORTEST_BLOCK, "in", job.deck.unit)
    if timber is not None and 2 * keeps > MOST_PLIES * timber.joist_width + TOUCH:
        return _of_them(
            framing.cramped,
            ("has", "have"),
            f"no blocking, as over {MOST_PLIES} plies {job.text(timber.joist_width, 0.0)} thick "
            f"would have to stand side by side to keep {job.text(keeps)} from its edges: see that "
            "joists are that wide",
        )
    return _of_them(
        framing.cramped,
        ("sits", "sit"),
        f"in timber, too near an edge, or where timbers leave less than {job.text(least)} for "
        "blocking: move the post, or double the rim or joist there",
    )


def _of_them(count: int, verb: tuple[str, str], how: str) -> str:
    """Words on `count` of the fixings; empty where that is 0.

    verb: its form for one fixing, and for more. how: the rest of the clause.
    """
    return f"; {count} of them {verb[count > 1]} {how}" if count else ""


def _crosses(framing: PostFraming) -> str:
    """Words on blocking that goes under, or through, what stands on the deck."""
    if not framing.crosses:
        return ""
    names = list_text(list(framing.crosses))
    return f"; that blocking crosses {names}: where that goes down through the deck, fit it there"


def _bare(framing: PostFraming) -> str:
    """Words on a rim that a post hangs on, with neither a joist nor blocking behind it."""
    if not framing.bare:
        return ""
    return (
        "; behind it there is no room for blocking: see on site that the rim is tied to the timber "
        "behind it there"
    )


def _off_rim(job: Job, framing: PostFraming) -> str:
    """Words on blocking that does not bear on the rim behind a post that hangs on it."""
    if framing.off_rim <= convert(SNUG, "in", job.deck.unit):
        return ""
    off = job.text(framing.off_rim)
    return (
        f"; that blocking lies {off} off the rim behind the post: pack it out to the rim there, or "
        "cut a piece to lie along the rim"
    )


def _at_ends(job: Job, framing: PostFraming) -> str:
    """Words on fixings so close to the end of a joist that it may split there."""
    if not framing.at_ends:
        return ""
    edge = job.text(job.kit.post.base.fixing_edge_distance)
    which = (
        "1 that goes into a joist lies"
        if framing.at_ends == 1
        else f"{framing.at_ends} that go into joists lie"
    )
    return (
        f"; {which} less than {edge} from its end, at the face of the rim, where it may split: "
        "move the post, or double the rim there"
    )


def _thin_rim(job: Job, timber: Framing | None) -> str:
    """Words on a rim too thin for a fixing to keep its distance from both of its edges."""
    needs = 2 * job.kit.post.base.fixing_edge_distance
    if timber is None or timber.rim_width >= needs - TOUCH:
        return ""
    thick = job.text(timber.rim_width, needs)
    return f"; the rim, {thick} thick, can take none: a fixing needs {job.text(needs)}"


def _spare(job: Job, framing: PostFraming) -> str:
    """Words on a move along the run with which every fixing would go into rim or joist."""
    if framing.spare is None:
        return ""
    end = "end" if framing.spare > 0 else "start"
    by = job.text(abs(framing.spare))
    then = "it would need none" if framing.blocking else "all of them would go into rim or joist"
    return f"; moved {by} toward the {end} of its run {then}"
