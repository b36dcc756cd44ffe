"""Wire: the forms of findings, and of the figures that they judge by, in the layout document
(contract, section 7)."""

from __future__ import annotations

from service.wire.forms.reply import Measure, Reply, bound, ids, text
from service.wire.forms.strict import Choice, Flag


class FindingForm(Reply):
    """One verdict of one rule. It defers to the local building authority."""

    rule = text("Its name; names keep their meaning.", example="guard_height")
    cite = text("The clause, or the kit's id.", required=False, example="IRC 2021 R312.1.2")
    source = Choice("Whose rule it is.", "code", "kit", "engineering", "survey")
    result = Choice("`not_checked` says why in its message.", "pass", "fail", "not_checked")
    severity = Choice(
        "What it means for the job as it stands; a pass or a not_checked is a note.",
        "violation",
        "warning",
        "note",
    )
    limit = bound(
        "The figure that decides: a length, an area, degrees, words or a capacity.", required=False
    )
    actual = bound("What the layout has; the worst of several places.", required=False)
    published = bound("An amended limit as the code prints it.", required=False)
    ratio = Measure(
        "Of the strength check: demand over capacity, 1 at the limit. Of `walk_closure`: the gap "
        "over the perimeter, 0.002 at the limit.",
        "plain",
        required=False,
    )
    unit = text(
        "Of the strength check: what `limit` (capacity) and `actual` (demand) are in.",
        required=False,
        example="psi",
    )
    case = text(
        "Of the strength check: the load that governs.",
        required=False,
        example="the point load of 200 lbf at the top",
    )
    method = text(
        "Of the strength check: the formula, its source and what it leaves out.",
        required=False,
        example="M = P h, stress M/S",
    )
    amended = Flag("Whether the local authority's figure decided.")
    where = ids(
        "What it holds for: ids of posts, bays, runs, flights, levels or of the kit, places, or "
        "roles of parts. A level whose id is that of another of these has `level` before it.",
        example=["B1"],
    )
    message = text("What was found, in a sentence.", example="B1: the guard is 3' high.")


class CoverageForm(Reply):
    """One figure of the code, and whether a finding of this reply judged by it."""

    figure = text("Its name.", example="guard_height")
    judged = Flag("Whether a pass or a fail of this reply rests on its rule.")
    why = text(
        "Of one that was not judged: why not.", required=False, example="nothing here that it binds"
    )
