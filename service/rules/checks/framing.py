"""Rules: whether the fixings of posts go into timber, and the blocking that the others need."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH
from service.core.records.deck import Framing
from service.core.records.layout import BlockingPiece, PostFraming
from service.rules.finding import Finding
from service.rules.verdict import Job, Saying, say, tell_alike
from service.rules.words import count_text, list_text

_RULE: Final = "fixing_into_framing"


def fixing_into_framing(job: Job) -> Iterator[Saying]:
    """Each framed post's fixings; levels and flights whose timber is not given, together."""
    yield from _unframed(job)
    timbers = {level.id: level.framing for level in job.deck.levels}
    framed = (
        ((post.id,), (post.framing, timbers.get(post.level)))
        for post in job.layout.posts
        if post.framing is not None
    )
    yield from tell_alike(framed, lambda kind: _fixings(job, *kind))


def _unframed(job: Job) -> Iterator[Saying]:
    """The levels without framing that carry posts, and the flights, whose timber nobody gives."""
    grounded = {s.id for s in job.deck.stairs if s.foot_post == "ground" or s.risers == 1}
    bare = [
        post
        for post in job.layout.posts
        if post.framing is None and not (post.role == "stair" and post.flight in grounded)
    ]
    edge = job.text(job.kit.post.base.fixing_edge_distance)
    see = f"see on site that each goes into solid timber ({{}} or blocking) at least {edge} from"
    levels = dict.fromkeys(post.level for post in bare if post.flight is None)
    if levels:
        sentence = (
            "what the fixings of posts go into is not given; give the level's framing, or "
            f"{see.format('rim, joist')} its edges"
        )
        yield say(_RULE, "not_checked", sentence, cite=job.kit.id), [(level,) for level in levels]
    flights = dict.fromkeys(post.flight for post in bare if post.flight is not None)
    if flights:
        sentence = (
            "what the fixings of posts on treads go into cannot be given here; "
            f"{see.format('tread, stringer')} its edges"
        )
        yield say(_RULE, "not_checked", sentence, cite=job.kit.id), [(one,) for one in flights]


def _fixings(job: Job, framing: PostFraming, timber: Framing | None) -> Finding:
    cite = job.kit.id
    loose = framing.lands_on.count("none")
    blocks = _blocking(framing.blocking)
    if not loose:
        behind = f", with blocking behind it {blocks}" if blocks else ""
        into = "the rim" if set(framing.lands_on) == {"rim"} else "rim or joist"
        sentence = f"each fixing goes into {into}{behind}{_crosses(framing)}"
        sentence += _at_ends(job, framing) + _bare(framing)
        if framing.at_ends or framing.bare:
            return say(_RULE, "fail", sentence, cite=cite, warning=True)
        return say(_RULE, "pass", sentence, cite=cite)
    total = count_text(len(framing.lands_on), "fixing")
    verb = "misses" if loose == 1 else "miss"
    sentence = f"{loose} of {total} {verb} rim and joists"
    if blocks:
        sentence += f" and must go into blocking {blocks}"
    sentence += _crosses(framing) + _by_timber(job, framing) + _past_ends(framing)
    sentence += _cramped(framing) + _off_deck(framing)
    sentence += _at_ends(job, framing) + _thin_rim(job, timber)
    sentence += _spare(job, framing)
    return say(_RULE, "fail", sentence, cite=cite, warning=True)


def _blocking(blocks: tuple[BlockingPiece, ...]) -> str:
    """Where the pieces go, in words; empty where there are none. Blocking that is not tied to the
    timber at both ends twists (engineering facts, 5.5, seen S25)."""
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


def _by_timber(job: Job, framing: PostFraming) -> str:
    """What is said of fixings so close to timber that blocking beside it ends too near them."""
    if not framing.by_timber:
        return ""
    lie = "lies" if framing.by_timber == 1 else "lie"
    edge = job.text(job.kit.post.base.fixing_edge_distance)
    return (
        f"; {framing.by_timber} of them {lie} less than {edge} from a face of the rim or of a "
        "joist, too near an end or edge of blocking beside it: move the post, or double the rim or "
        "joist there"
    )


def _past_ends(framing: PostFraming) -> str:
    """What is said of fixings that the blocking does not come under, or not far enough."""
    if not framing.past_ends:
        return ""
    lies = "lies" if framing.past_ends == 1 else "lie"
    return (
        f"; {framing.past_ends} of them {lies} past the end of that blocking or too near it, as "
        "the rim stops it there: move the post"
    )


def _off_deck(framing: PostFraming) -> str:
    """What is said of fixings that are off the deck."""
    if not framing.off_deck:
        return ""
    lies = "lies" if framing.off_deck == 1 else "lie"
    return f"; {framing.off_deck} of them {lies} off the deck, where no timber is: move the post"


def _crosses(framing: PostFraming) -> str:
    """What is said of blocking that goes under what stands on the deck, or through it."""
    if not framing.crosses:
        return ""
    names = list_text(list(framing.crosses))
    return f"; that blocking crosses {names}: where that goes down through the deck, fit it there"


def _bare(framing: PostFraming) -> str:
    """What is said of a rim that a post hangs on, and that nothing holds from behind."""
    if not framing.bare:
        return ""
    return (
        "; behind it there is no room for blocking: see on site that the rim is tied to the timber "
        "behind it there"
    )


def _at_ends(job: Job, framing: PostFraming) -> str:
    """What is said of fixings so close to the end of a joist that it may split there."""
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


def _cramped(framing: PostFraming) -> str:
    """What is said of fixings in or against timber, beside which no block has room."""
    if not framing.cramped:
        return ""
    sits = "sits" if framing.cramped == 1 else "sit"
    return (
        f"; {framing.cramped} of them {sits} in or against timber, too near an edge and with no "
        "room for blocking: move the post, or double the rim or joist there"
    )


def _thin_rim(job: Job, timber: Framing | None) -> str:
    """What is said of a rim that no fixing can be far enough from both edges of."""
    needs = 2 * job.kit.post.base.fixing_edge_distance
    if timber is None or timber.rim_width >= needs - TOUCH:
        return ""
    thick = job.text(timber.rim_width, needs)
    return f"; the rim, {thick} thick, can take none: a fixing needs {job.text(needs)}"


def _spare(job: Job, framing: PostFraming) -> str:
    if framing.spare is None:
        return ""
    end = "end" if framing.spare > 0 else "start"
    by = job.text(abs(framing.spare))
    return f"; moved {by} toward the {end} of its run it would need none"
