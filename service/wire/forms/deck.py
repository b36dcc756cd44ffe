"""Wire: the form of the deck document (contract, section 3)."""

from __future__ import annotations

from typing import Final

from service.core import limits
from service.core.measure import PRECISIONS, tidy
from service.core.records.deck import INFILLS
from service.wire.forms.code import AmendmentsForm, CodeForm
from service.wire.forms.flight import SiteMeasureForm, StairForm
from service.wire.forms.kit import KitForm
from service.wire.forms.lengths import Length
from service.wire.forms.level import LevelForm
from service.wire.forms.nested import Inner, Items, OrId, Record
from service.wire.forms.order import OnHandForm, PricesForm, VariantForm
from service.wire.forms.strength import SiteForm
from service.wire.forms.strict import Choice, Count, Flag, NumberChoice, Text

STEPS: Final = sorted({tidy(step, 6) for steps in PRECISIONS.values() for step in steps})


class GuardForm(Record):
    """Defaults for every edge."""

    infill = Choice("Infill of the railing.", *INFILLS)
    height = Length(
        "Guard height, from the walking surface to the top of the rail. Left out, it is the "
        "code's, else the least height of the kit's posts.",
        required=False,
        example=36,
    )


class DeckForm(Record):
    """A deck to be railed: its levels, the kit to build from and the code to be judged by.

    Plan view: x to the right, y up. Angles in degrees, counter-clockwise positive.
    """

    examples = [
        {
            "unit": "in",
            "kit": "picket-glass-surface-in",
            "code": "us-irc-2021",
            "guard": {"infill": "picket"},
            "levels": [
                {
                    "id": "main",
                    "drop": 48,
                    "edges": [{"edge": 2, "condition": "wall"}],
                    "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
                }
            ],
        }
    ]
    title = Text(
        "Name of the job, given back in the reply and printed on sheets.",
        least=0,
        required=False,
        example="House on the hill, back deck",
    )
    unit = Choice(
        "Unit of every length in this document and in the reply, but for those inside a kit or a "
        "code, which name their own.",
        "in",
        "mm",
    )
    precision = NumberChoice(
        "The smallest mark, in the document's unit: 1/2^k in with k from 0 to 6 (default 1/16), "
        "or 0.5, 1 (default), 2, 5 or 10 mm. One of the other unit's is a 422.",
        *STEPS,
        required=False,
        example=0.0625,
    )
    code = OrId(
        CodeForm,
        "The building code to be judged by, by id or inline. Left out, findings that need one are "
        "not_checked.",
        required=False,
        example="us-irc-2021",
    )
    occupancy = Choice(
        "Whether the deck serves one `dwelling`, one of a `house` of no more than two (which is a "
        "dwelling as well, where a code has nothing else for it), or is `shared` by more than one "
        "or by the public, or `shared_by_two` dwellings and nobody else (which is shared as well), "
        "where a code tells one from the other. Left out, it is what the code is ordinarily for.",
        "dwelling",
        "shared",
        "house",
        "shared_by_two",
        required=False,
    )
    occupants = Count(
        "How many people the deck and its flights are for, where a code's figure depends on it.",
        least=1,
        required=False,
        example=12,
    )
    amendments = Inner(
        AmendmentsForm,
        "The local authority's changes to that code's figures, in this document's unit.",
        required=False,
    )
    kit = OrId(KitForm, "The railing system, by id or inline.", example="picket-glass-surface-in")
    guard = Inner(GuardForm)
    levels = Items(
        Inner(LevelForm, title="Level"), "The walking surfaces.", least=1, most=limits.LEVELS
    )
    stairs = Items(
        Inner(StairForm, title="Flight"),
        "Straight flights going down from openings.",
        most=limits.STAIRS,
        required=False,
    )
    site_measures = Items(
        Inner(SiteMeasureForm, title="Measure"),
        "Bays as measured after the posts stand: their cuts and glass follow from these.",
        most=limits.MEASURES,
        required=False,
    )
    advise = Flag(
        "Whether the reply offers, for each rule that fails, a change that was tried and passes.",
        required=False,
    )
    site = Inner(SiteForm, "Where it stands, for the strength check.", required=False)
    prices = Inner(PricesForm, "Left out, there is no quote.", required=False)
    stock_on_hand = Items(
        Inner(OnHandForm, title="Sticks"),
        "Sticks that are there already.",
        most=limits.ON_HAND,
        required=False,
    )
    plan_effort = Choice(
        "How long a better plan of sticks is looked for; counted in steps, never by the clock.",
        "ordinary",
        "thorough",
        default="ordinary",
    )
    compare = Items(
        Inner(VariantForm, title="Variant"),
        "Variants of this document, each answered in one line of `comparison`.",
        most=limits.COMPARE,
        required=False,
    )
