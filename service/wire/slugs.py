"""Wire: every code that a refusal may hold, and what it means.

The codes that core and web raise stand here too, so that there is one table to read and publish. A
problem of the request itself has its kind as its code, and means what the kind's title says
(`service/refusals.py`). tests/wire/test_slugs.py reads the service's source and fails on a code
that is missing here, and on one here that nothing raises.
"""

from __future__ import annotations

from typing import Final

from service.refusals import KINDS

MALFORMED: Final[dict[str, str]] = {
    "empty_body": "Nothing was sent.",
    "byte_order_mark": "The body begins with U+FEFF, which JSON does not allow.",
    "not_utf_8": "The body is not UTF-8.",
    "not_json": "The body is not JSON; the message has the place.",
    "not_a_number": "NaN, an infinity, or a number that no double can hold.",
    "repeated_member": "An object gives one name more than once.",
    "lone_surrogate": "Text holds half of a surrogate pair, which is no character.",
    "nested_too_deep": "Arrays and objects are nested deeper than the published limit.",
}
MISFIT: Final[dict[str, str]] = {
    "missing_member": "A required member is missing.",
    "unknown_member": "A member that the schema does not know; names are case-sensitive.",
    "wrong_type": "A value of the wrong JSON type; null is never accepted.",
    "out_of_range": "A number outside the schema's bounds.",
    "not_one_of": "A value that is not in the schema's list.",
    "not_a_length": "Text that is not a length; the schema has the pattern.",
    "not_one_form": (
        "An outline, a price or a case of a figure in none of its forms, or in more than one."
    ),
    "length_missing": (
        "A tape walk leaves out a length that it cannot do without; where no length of that side "
        "closes the walk, a 422."
    ),
    "bad_text": "Text that is too short or too long, or has control characters.",
    "not_as_written": "Text that the schema's pattern does not take, such as money with a sign.",
    "bad_id": "An id that is too long, or has a character that ids cannot have.",
    "bad_name": "A member's name with a character that such names cannot have.",
    "too_few": "Fewer entries than the schema asks for.",
    "does_not_fit": "Any other fault, in the schema's own words.",
    "more_faults": "There are more faults than are listed; the message counts them.",
}
TOO_LARGE: Final[dict[str, str]] = {
    "too_many": (
        "More entries than a published limit allows; of a point, which is two numbers, a 400."
    ),
    "body_too_long": "The body has more bytes than the published limit.",
    "too_many_bays": "The deck comes to more bays than the published limit.",
    "too_much_to_compare": "Variants come to more bays or edges together than the published limit.",
    "too_many_places": "More pickets, rail supports and weep holes than the published limit.",
    "too_many_pages": "A sheet comes to more pages of drawings than the published limit.",
    "too_much_to_prove": "The marks around no_post stretches would take too long to prove best.",
}
UNBUILDABLE: Final[dict[str, str]] = {
    "unknown_kit": "No kit of that id is loaded.",
    "unknown_code": "No code of that id is loaded.",
    "precision_of_other_unit": "The precision is not one of the document's unit.",
    "length_of_nought": "A length is 0, or within 1e-6 of it, where it has to be more.",
    "length_too_great": "A length as text is beyond the published limit.",
    "setback_of_wrong_sign": "A kit's setback does not suit its mounting.",
    "kit_incomplete": "A kit lacks a member that another of its members needs.",
    "extras_in_a_ring": "A kit's extra goes with another, which goes with the first in turn.",
    "too_many_extras": "A kit's extras of extras come to over 1,000,000 with one piece.",
    "level_not_below": "A flight goes down to its own level.",
    "base_less_than_post": "A kit's base is narrower than the post that stands on it.",
    "spacing_less_than_base": "A kit's greatest spacing is less than its base is wide.",
    "engagement_past_rail": "A kit's infill goes further into a rail than the rail is deep.",
    "more_than_there_is": "A kit's strength counts more of something than the kit has, or the kit "
    "more than there can be.",
    "pane_of_two_thicknesses": "A kit's pane has two nominal thicknesses that are not one.",
    "fixings_past_the_middle": "A kit's fixings lie half a base or more in from its edges.",
    "gap_less_than_picket": "A kit's greatest gap is less than its picket is wide.",
    "twins_apart": "A figure of a code is further off its twin in the other unit than codes round.",
    "twin_of_nothing": "A figure of a code has a twin and no value.",
    "least_over_greatest": "A least figure of a code is above the greatest of the same.",
    "case_never_holds": "An earlier case of a figure holds wherever this one would.",
    "half_of_a_pair": "A figure of a code holds where the other half of it does not.",
    "count_not_whole": "A case of a count is no whole number.",
    "amendments_without_code": "There are amendments but no code.",
    "figure_not_in_code": "An amendment is of a figure that the code does not state.",
    "amendment_of_other_unit": "An amendment is near the code's figure in the other unit alone.",
    "given_twice": "An id, an edge, a bay, an opening of a flight or a price is given twice.",
    "no_such_edge": "An edge number that the outline does not have.",
    "edge_without_railing": "An opening or a no_post stretch on an edge that has no railing.",
    "edge_without_length": "Two corners in a row are one.",
    "off_its_edge": "An opening or a no_post stretch ends over 0.001 beyond its edge.",
    "infill_not_in_kit": "The kit does not have that infill.",
    "glass_not_in_kit": "The kit has no pane of that index.",
    "outline_crosses_itself": "An outline crosses or touches itself, or encloses nothing.",
    "obstruction_crosses_itself": "An obstruction's outline crosses or touches itself.",
    "walk_does_not_close": "A tape walk misses its start by more than 1:100.",
    "tapes_do_not_meet": "Two tapes from the wall do not meet at a corner.",
    "height_too_low": "The guard is too low for any infill between its rails.",
    "too_short_for_posts": "A stretch of railing is too short for the posts at its ends.",
    "openings_too_close": "There is no room for a post between two openings.",
    "opening_without_width": "The posts beside an opening leave no clear width.",
    "opening_obstructed": "An obstruction stands in an opening.",
    "post_obstructed": "An obstruction stands where a post's base has to.",
    "fixed_post_in_no_post": "A post that cannot move stands in a no_post stretch.",
    "no_place_for_posts": "No row of posts keeps the kit's spacing past the no_post stretches.",
    "railing_crosses_itself": "The railing line of a narrow deck crosses itself.",
    "arc_too_deep": "An arc rises half its chord or more.",
    "arc_too_flat": "An arc rises so little that it cannot be told from a straight edge.",
    "arc_too_tight": "An arc leaves no row of posts once its railing is set in from the edge.",
    "lines_do_not_meet": "The set-in lines of a bowed edge and of its neighbour do not cross.",
    "levels_overlap": "Two levels at one height lie over each other in plan.",
    "no_such_level": "A flight goes down to a level that is not there.",
    "no_such_opening": "A flight goes down from an opening that is not there.",
    "opening_not_for_stair": "A flight goes down from an opening whose use is passage.",
    "flight_on_an_arc": "A flight goes down from an opening on a bowed edge.",
    "flight_does_not_fit": "A flight is too steep for any infill between its rails.",
    "flights_cross": "Two flights lie over each other in plan, and in height where that is known.",
    "no_head_post": "A flight's guard has a wall where its head post would stand.",
    "kit_without_stairs": "The kit lacks stair_bottom_gap, which guards of flights need.",
    "kit_without_handrail": "A flight has a handrail and the kit has none.",
    "gate_too_narrow": "The gaps at hinge and latch leave no leaf in a gate's clear width.",
    "joists_too_close": "Joists are no farther apart, centre to centre, than they are wide.",
    "no_joist": "The first joist lies beyond the far side of the deck.",
    "no_such_bay": "A site measure is of a bay that the deck does not have.",
    "measure_too_short": "A measured opening leaves its rails and infill no size.",
    "unknown_currency": "No currency has that code, or the currency has no minor unit.",
    "too_many_decimals": "An amount has more decimals than the currency's minor unit.",
    "price_of_other_kind": (
        "A price is by a measure that its role is not sold by, or has what does not suit it."
    ),
    "no_such_size": "A price or a stock number is for a size that the kit does not stock.",
    "part_not_by_stick": "Stock on hand is of a part that the kit does not sell by the stick.",
    "measure_too_long": "A site measure reaches from one post's centre to the next, or farther; "
    "from wall to wall a post's width past the drawing.",
}
CODES: Final = {
    "malformed": MALFORMED,
    "misfit": MISFIT,
    "too_large": TOO_LARGE,
    "unbuildable": UNBUILDABLE,
}
"""The codes of the problems of documents, by the kind of refusal that holds them."""

SLUGS: Final[dict[str, str]] = {
    **{kind.slug: f"{kind.title}." for kind in KINDS.values()},
    **{code: means for codes in CODES.values() for code, means in codes.items()},
}
"""Every kind and code in one table, with what it means."""
