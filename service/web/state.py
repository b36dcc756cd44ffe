"""Web: the state that the app holds between requests, made once at the start."""

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
    """The state of an app.

    shelf: every stored reply by its path. readiness: the digest of the deck that was laid out at
    the start. in_flight: places for requests that lay out decks, batches among them. batches:
    places for batches. rate: None where there is no limit.
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
    """The state of the app that is answering."""
    held: State = current_app.extensions[NAME]
    return held
