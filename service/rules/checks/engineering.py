"""Rules: whether what is drawn can stand: bases on their surface, and clear of each other."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.measure import TOUCH
from service.rules.verdict import Job, Saying, say, steady


def base_on_deck(job: Job) -> Iterator[Saying]:
    """Each base against the surface that carries it: the deck, or the rim of a fascia kit."""
    surface = "its rim" if job.kit.mounting == "fascia" else "the deck"
    cite = job.kit.id
    whole = say(
        "base_on_deck",
        "pass",
        f"the base stands wholly on {surface}",
        cite=cite,
        limit=0.0,
        actual=0.0,
    )
    for seen in job.layout.bases:
        if seen.overhang <= TOUCH:
            yield whole, (seen.post,)
            continue
        actual = steady(seen.overhang)
        sentence = f"the base reaches {job.text(actual, 0.0)} past {surface} that must carry it"
        over = say("base_on_deck", "fail", sentence, cite=cite, limit=0.0, actual=actual)
        yield over, (seen.post,)


def bases_apart(job: Job) -> Iterator[Saying]:
    """The bases that meet another; where none does, one pass for all of them."""
    cite = job.kit.id
    for clash in job.layout.clashes:
        actual = steady(clash.overlap)
        sentence = f"their bases run {job.text(actual, 0.0)} into each other, and must stand clear"
        yield say("bases_apart", "fail", sentence, cite=cite, limit=0.0, actual=actual), clash.posts
    if job.layout.clashes or len(job.layout.bases) < 2:
        return
    apart = say("bases_apart", "pass", "no base meets another", cite=cite, limit=0.0)
    for seen in job.layout.bases:
        yield apart, (seen.post,)
