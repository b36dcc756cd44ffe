"""Rules: bays that differ in nothing that a rule looks at, so that each kind is looked at once."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length
from service.core.records.code import Here
from service.core.records.deck import Drops, Infill
from service.core.records.layout import Bay, GateBuilt
from service.rules.ruling import here_in, here_in_leaf
from service.rules.verdict import Job, Place

HALF_SQUARE: Final = 45.0
"""Skew in degrees past which a bay leaves its post by the next face."""


@dataclass(frozen=True, slots=True, eq=False)
class BayKind:
    """Bays that are alike but for their run, their posts and their skews. bay: the first of them.

    drops: what lies below them; here: what else may decide in them. past: how far the nearer face
    of a post falls short of the face that the clear is measured from, as it does where the bay is
    more than 45 degrees off square.
    """

    bay: Bay
    drops: Drops
    here: Here
    past: Length = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class LeafKind:
    """The leaf of a gate, as a kind of its own. between: the faces that it hangs between, clear."""

    gate: GateBuilt
    between: Length
    drops: Drops
    here: Here


def bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay with its kind, in the layout's order."""
    found: list[tuple[Place, BayKind]] | None = job.memo.get("bay_kinds")
    if found is None:
        found = job.memo["bay_kinds"] = _bay_kinds(job)
    return found


def _bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    flights = {flight.id: flight for flight in job.layout.flights}
    kinds: dict[tuple[object, ...], BayKind] = {}
    found: list[tuple[Place, BayKind]] = []
    for bay in job.layout.bays:
        past = _past(job, bay) if max(bay.skews) > HALF_SQUARE else 0.0
        # By id(): the layout outlives the job, and alike bays share one fill.
        alike = (
            bay.infill, bay.height, bay.centres, bay.clear, bay.drops, bay.ends,
            bay.flight, bay.measured, bay.wider, past, id(bay.fill),
        )  # fmt: skip
        kind = kinds.get(alike)
        if kind is None:
            kind = kinds[alike] = BayKind(bay, bay.drops, here_in(bay, flights), past)
        found.append(((bay.id,), kind))
    return found


def _past(job: Job, bay: Bay) -> Length:
    """How far the post's nearer face falls short of the face that the clear is measured from, for
    bays more than 45 degrees off square.

    Half a post over the cosine of the skew, as the method has it, less half a post over its sine.
    At a corner the bay beside closes what is left.
    """
    roles = {post.id: post.role for post in job.layout.posts}
    half, past = job.kit.post.width / 2, 0.0
    for post, skew in zip((bay.start, bay.end), bay.skews, strict=True):
        if post is not None and roles.get(post) != "corner" and HALF_SQUARE < skew < 90:
            angle = math.radians(skew)
            past = max(past, half / math.cos(angle) - half / math.sin(angle))
    return past


def level_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in no flight, with its kind."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is None]


def raked_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in a flight, with its kind."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is not None]


def off_edge(job: Job, infill: Infill) -> Length:
    """How far a level guard's bottom rail lies off the deck's edge, of a fascia kit; below 0 it
    lies over the deck. Of the rail's width only as much as the kit says."""
    rails = job.kit.strength.rails if job.kit.strength is not None else {}
    rail = rails.get(f"bottom_rail_{infill}")
    half = 0.0 if rail is None or rail.width is None else rail.width / 2
    return -job.kit.post.setback - half


def leaves(job: Job) -> list[tuple[Place, LeafKind]]:
    """Every leaf of a gate."""
    return [
        ((gate.opening,), LeafKind(gate, gate.between, gate.drops, here_in_leaf(gate)))
        for gate in job.layout.gates
    ]


def level_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every level bay, then every leaf."""
    return [*level_kinds(job), *leaves(job)]


def all_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every bay, then every leaf."""
    return [*bay_kinds(job), *leaves(job)]
