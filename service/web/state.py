"""Web: what the app holds between requests: made once at the start, then only read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import current_app

from service.data.catalogue import Catalogue
from service.web.load import InFlight, Rate
from service.web.metrics import Metrics
from service.web.settings import Settings
from service.web.stored import Stored

NAME: Final = "guards"


@dataclass(frozen=True, slots=True)
class State:
    """What is held.

    shelf: every ready-made reply by its path. readiness: the digest of the deck laid out.
    in_flight: requests that lay out. batches: those of them that lay out many decks.
    """

    settings: Settings
    catalogue: Catalogue
    shelf: dict[str, Stored]
    readiness: str
    in_flight: InFlight
    batches: InFlight
    rate: Rate | None
    metrics: Metrics


def state() -> State:
    """That of the app which answers now."""
    held: State = current_app.extensions[NAME]
    return held
