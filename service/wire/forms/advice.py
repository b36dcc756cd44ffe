"""Wire: the form of advice in a reply: a change that cures a failing rule, and its effects."""

from __future__ import annotations

from service.core import limits
from service.wire.forms.nested import Inner
from service.wire.forms.reply import Mixed, Reply, Tally, ids, named, objects, text
from service.wire.forms.strict import Choice, Count


class StepForm(Reply):
    """One step of a change by JSON Patch (RFC 6902): `add` (which also replaces), `copy` or
    `remove`.

    A path under `/kit` is into the kit document, sent inline.
    """

    op = Choice("What is done.", "add", "copy", "remove")
    path = text("Where, as a JSON pointer.", example="/guard/height")
    value = Mixed("Of `add`: what stands there then.", required=False, example=42)
    from_ = text(
        "Of `copy`: where that stands now.", name="from", required=False, example="/levels/0/drop"
    )


class CountsForm(Reply):
    """A number of things as the document stands and as it would be."""

    now = Tally("As the document stands.")
    then = Tally("With the change.")


class TotalsForm(Reply):
    """A total as the document stands and as it would be."""

    now = text("As the document stands.", example="4210.00")
    then = text("With the change.", example="4395.50")


class CutChangeForm(Reply):
    """Pieces of one part and length that are cut besides, or no more."""

    part = text("Role of the part.", example="top_rail_picket")
    length, length_text = named("Of each piece.")
    more = Count("How many more; negative, how many fewer.", least=-limits.NUMBER)


class WarnedForm(Reply):
    """At how many places a rule warns as the document stands, and as it would be."""

    rule = text("The rule that warns.", example="head_heights")
    now = Tally("At so many places as the document stands.")
    then = Tally("At so many with the change.")


class AdviceForm(Reply):
    """What cures a rule that fails: tried on this document, by the same method, and not guessed.

    Each piece of advice is tried by itself. Advice changes nothing in the rest of the reply.
    """

    rule = text("The rule that fails.", example="guard_height")
    result = Choice(
        "`cured`: with the change the rule fails nowhere, and no other rule is broken where it is "
        "not already, or further than it is; a handrail may break `handrail_extent`, as its "
        "ends are made on site. `not_found`: none of the changes that were tried does that.",
        "cured",
        "not_found",
    )
    where = ids("Where the rule fails as the document stands.")
    message = text(
        "The change, in a sentence.", example="Tried, and it passes: the guard 3' 6\" high."
    )
    change = objects(
        StepForm,
        "Step",
        "The same as a JSON Patch of the deck document, part by part.",
        required=False,
    )
    posts = Inner(CountsForm, required=False)
    bays = Inner(CountsForm, required=False)
    glass_panels = Inner(CountsForm, required=False)
    cuts = objects(CutChangeForm, "Cut", "The rows of the cut list that change.", required=False)
    total = Inner(TotalsForm, required=False)
    still = ids("Rules that would be broken then.", required=False)
    brings = ids(
        "Rules that would warn then, or could not be checked, and do not now.", required=False
    )
    warns_more = objects(
        WarnedForm,
        "Warned",
        "Rules that warn as the document stands, and would at more places.",
        required=False,
    )
