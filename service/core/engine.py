"""Core: the method as a list of calls. lay_out is the one door into this room."""

from __future__ import annotations

from typing import Final

from service.core.bays import BayMaker
from service.core.code import Code
from service.core.deck import Deck
from service.core.kit import Kit
from service.core.layout import Layout
from service.core.level import draw_level
from service.core.numbering import Numbering
from service.core.problems import Problem, Unbuildable
from service.core.specs import check_deck

NOT_IN_KIT: Final = ("infill_not_in_kit", "glass_not_in_kit")
"""Faults without whose mending no bay can be made."""


def lay_out(deck: Deck, kit: Kit, code: Code | None) -> Layout:
    """Lay out a deck by the method (contract, section 6).

    Raises Unbuildable with all that can be found, TooLarge over a published limit.
    """
    problems: list[Problem] = list(check_deck(deck, kit))
    maker = BayMaker(kit, deck.unit, deck.step)
    drafts = []
    if not any(problem.code in NOT_IN_KIT for problem in problems):
        for level in deck.levels:
            try:
                drafts.append(draw_level(deck, level, kit, code, maker))
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
    if problems:
        raise Unbuildable(problems)
    return Numbering(kit).number(drafts)
