"""The lists: what a saw, a glass shop, a counter and a site read is what the reply has."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest

from service.drawings.elevations.sheet import draw_elevations
from service.drawings.lists.buying import number_of, numbers_of, parts_list
from service.drawings.lists.cutting import cut_list
from service.drawings.lists.glazing import glass_order
from service.drawings.lists.setting_out import set_out
from service.drawings.marks import Words
from service.drawings.parts import Column, Maker, Subject, Table
from service.drawings.sheets import CSV, SHEETS, head
from service.wire.writing.cautions import MEASURE_AGAIN
from tests.drawings.subjects import EXAMPLES, case, example, picked, subject_of, totals

HOUSE = "rectangles/against_a_house"
LISTS = [set_out, *(sheet.parts for sheet in SHEETS.values() if CSV in sheet.medias)]


def tables(make: Maker, subject: Subject) -> dict[str, Table]:
    """The tables of a list by their titles."""
    made = make(subject, head(subject, "List"))
    return {table.title: table for table in made if isinstance(table, Table)}


def with_reply(subject: Subject, **members: object) -> Subject:
    """A subject with other members in its reply."""
    return replace(subject, reply={**subject.reply, **members})


def test_pieces_of_a_rectangle() -> None:
    """The first rows of the pieces to cut, for 20 ft by 12 ft against a house.

    As worked in rectangles/against_a_house, front rails are 55.625 and 55.75; side rails are
    44.5625, at the house 44.625, and 44.6875; pickets, 4 x 12 + 6 x 10 of them, are 31.625.
    """
    pieces = tables(cut_list, case(HOUSE))["Pieces to cut"]
    rows = picked(pieces, "description", "count", "length_text", "ends", "bays")
    assert rows[:6] == [
        ("Top rail, picket", "4", "4' 7 5/8\"", "square", "B1-B4"),
        ("Top rail, picket", "2", "3' 8 5/8\"", "square", "B7, B8"),
        ("Top rail, picket", "4", "3' 8 9/16\"", "square", "B5, B6, B9, B10"),
        ("Bottom rail, picket", "4", "4' 7 3/4\"", "square", "B1-B4"),
        ("Bottom rail, picket", "6", "3' 8 11/16\"", "square", "B5-B10"),
        ("Picket 3/4 in square", "108", "2' 7 5/8\"", "square", "B1-B10"),
    ]


def test_pieces_add_up() -> None:
    """The pieces of that deck add up to 364.

    There are 10 + 10 rails and 108 pickets, and in both rails of a bay one spacer more than
    pickets: 2 x (4 x 13 + 6 x 11) = 236.
    """
    pieces = tables(cut_list, case(HOUSE))["Pieces to cut"]
    assert totals(pieces, "description", "count") == [("Pieces", "364")]
    spacers = [row for row in picked(pieces, "description", "count") if row[0] == "Spacer strip"]
    assert sum(int(count) for _, count in spacers) == 236


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_piece_is_listed_once(name: str) -> None:
    """Pieces are listed row by row in the reply's order, with its numbers and every bay."""
    reply = example(name).reply
    pieces = tables(cut_list, example(name))["Pieces to cut"]
    keys = ("part", "length", "length_text", "count", "end_cut_first", "blank_text", "bays")
    rows = picked(pieces, *keys, use="data")
    assert len(rows) == len(reply["cut_list"])
    for written, row in zip(rows, reply["cut_list"], strict=True):
        part, length, reading, count, cut, blank, bays = written
        assert (part, float(length), reading) == (row["part"], row["length"], row["length_text"])
        assert (int(count), float(cut)) == (row["count"], row["end_cuts"][0])
        assert blank == row.get("blank_text", "")
        assert row["part"] == "handrail" or bays.split() == row["bays"]


@pytest.mark.parametrize("name", [*EXAMPLES, "orders/a_handrail_too_long_for_its_price"])
def test_sticks_give_every_piece(name: str) -> None:
    """The pieces printed for sticks and those that no stick holds come to the cut list's."""
    subject = case(name) if "/" in name else example(name)
    made = tables(cut_list, subject)
    had: Counter[str] = Counter()
    for part, count, cut in picked(made["Sticks"], "part", "count", "pieces", use="data"):
        had[part] += int(count) * sum(int(many) for many in re.findall(r"(\d+) × ", cut))
    for plan in subject.reply["stock_plan"]:
        asked = sum(r["count"] for r in subject.reply["cut_list"] if r["part"] == plan["part"])
        left_out = sum(row["count"] for row in plan.get("left_out", ()))
        assert had[plan["part"]] == asked - left_out


def test_sticks_on_hand_are_told_from_those_to_buy() -> None:
    """Sticks on hand and sticks to buy are listed and totalled apart.

    Worked in orders/offcuts_on_hand_first: two of 113 are on hand, one of which holds both least
    pieces and leaves 23.625; 300 are bought for six, in two of 150. Pieces come to 490, more than
    300 and 113, so both on hand are used, 226. The kit's saw takes 1/8, and 1/2 is trimmed off a
    stick.
    """
    sticks = tables(cut_list, case("orders/offcuts_on_hand_first"))["Sticks"]
    rows = picked(sticks, "description", "number", "stock_text", "from", "pieces", "offcut_text")
    least = ("9' 5\"", "on hand", "2 × 3' 8 9/16\"", "1' 11 5/8\"")
    assert ("Top rail, picket", "", *least) in rows
    bought = [row[1:3] for row in rows if row[0] == "Top rail, picket" and row[3] == "buy"]
    assert bought == [("YD-2101-150", "12' 6\"")] * 2
    foot = totals(sticks, "description", "count", "pieces")[0]
    assert foot[:2] == ("Top rail, picket, all", "2")
    assert foot[2].startswith("25' bought, 18' 10\" on hand, pieces come to 40' 10\"; ")
    assert sticks.note.startswith('Kerf 1/8", trim 1/2" of each stick. An offcut')


def test_posts_that_are_cut_down_are_listed() -> None:
    """Posts that stand lower than they are stocked are listed with what is cut off them.

    Of posts stocked 48 high, two stand 44.25 and one 42: 3 3/4 and 6 are cut off. A post of 36 that
    stands 36, and one that no stock reaches, are not cut.
    """
    heights = [(48, 44.25), (36, 36), (48, 42), (48, 44.25), (None, 60)]
    posts = [
        {
            "id": f"P{i}",
            **{"height": stands, "height_text": f"{stands} high"},
            **({"stock_height": stock, "stock_height_text": f"{stock} high"} if stock else {}),
        }
        for i, (stock, stands) in enumerate(heights, 1)
    ]
    made = tables(cut_list, with_reply(case(HOUSE), posts=posts))["Posts to cut down"]
    keys = ("stock_height_text", "height_text", "off", "off_text", "count", "posts")
    assert picked(made, *keys, use="data") == [
        ("48 high", "44.25 high", "3.75", '3 3/4"', "2", "P1 P4"),
        ("48 high", "42 high", "6", '6"', "1", "P3"),
    ]
    assert "Posts to cut down" not in tables(cut_list, case(HOUSE))


@pytest.mark.parametrize(
    ("name", "said"),
    [("orders/sticks_by_price", "no plan costs less"), (HOUSE, "no plan buys less")],
)
def test_a_plan_says_what_it_is_the_best_by(name: str, said: str) -> None:
    """A proven plan says that none costs less where every stick of the part has a price.

    Else it says that none buys less.
    """
    foot = totals(tables(cut_list, case(name))["Sticks"], "pieces")
    assert foot[0][0].endswith(f"; {said}")


def test_an_unproven_plan_says_so() -> None:
    """A plan that is not proven is not called the best."""
    plans = [{**plan, "optimal": False} for plan in case(HOUSE).reply["stock_plan"]]
    changed = with_reply(case(HOUSE), stock_plan=plans)
    foot = totals(tables(cut_list, changed)["Sticks"], "pieces")
    assert all(said.endswith("; not proven the best") for (said,) in foot)


def test_a_part_that_is_not_bought_has_its_roles_words() -> None:
    """A part of which nothing is bought is called by its role.

    As worked in that case, the one rail comes out of a stick on hand, so the parts do not list it.
    """
    subject = case("orders/trim_longer_than_the_stick_and_one_on_hand")
    rows = picked(tables(cut_list, subject)["Sticks"], "description", "from", "pieces")
    assert rows[0] == ("Top rail, picket", "on hand", "1 × 4' 11 1/2\"")
    assert totals(tables(cut_list, subject)["Sticks"], "count")[0] == ("0",)


def test_what_no_stick_holds_stands_by_itself() -> None:
    """A piece that no stick holds has a table of its own.

    Worked in orders/a_handrail_too_long_for_its_price: 195.5625, over 150.
    """
    made = tables(cut_list, case("orders/a_handrail_too_long_for_its_price"))
    table = made["Pieces that no stick holds"]
    rows = picked(table, "description", "length_text", "count")
    assert rows == [("Round handrail 1 1/2 in", "16' 3 9/16\"", "1")]
    assert picked(table, "bays") == [("left side of flight front",)]


def test_handrails_name_their_flights() -> None:
    """A handrail belongs to no bay, so its row names the side of its flight.

    Print names it as elevations do, and a file by its id.
    """
    pieces = tables(cut_list, case("orders/a_handrail_too_long_for_its_price"))["Pieces to cut"]
    printed = [row[1] for row in picked(pieces, "description", "bays") if "handrail" in row[0]]
    assert printed == ["left side of flight front", "left side of flight side"]
    rows = picked(pieces, "part", "length", "bays", use="data")
    assert [row[1:] for row in rows if row[0] == "handrail"] == [
        ("195.5625", "front/left"),
        ("91.25", "side/left"),
    ]


def test_raked_pieces_say_their_saw_and_their_blank() -> None:
    """A raked piece has the angle of its ends, the angle of the saw and the blank it is cut from.

    175 up on 280 is 32.0 degrees: the end is at 58.0 to the length, and the saw 32.0 off square.
    """
    made = tables(cut_list, example("glass-flight"))
    rows = picked(made["Pieces to cut"], "length_text", "blank_text", "ends")
    assert ("899 mm", "931 mm", "both 58° (saw 32°)") in rows
    assert ("920 mm", "", "square") in rows
    assert any("931 mm blank" in cut for (cut,) in picked(made["Sticks"], "pieces"))


def test_a_level_job_prints_no_column_of_blanks() -> None:
    """A printed cut list without raked pieces has no column of blanks.

    A file has it all the same, so that every cut list has the same columns.
    """
    pieces = tables(cut_list, case(HOUSE))["Pieces to cut"]
    raked = tables(cut_list, example("glass-flight"))["Pieces to cut"]
    assert "blank_text" not in [column.key for column in pieces.shown("print").columns]
    assert [c.key for c in pieces.shown("data").columns] == [
        c.key for c in raked.shown("data").columns
    ]


def test_a_line_does_not_end_within_a_corner() -> None:
    """Both coordinates of a corner stay on one line, also in inches with their fractions."""
    raked = tables(glass_order, case(GATE))["Raked panels"]
    at = [column.key for column in raked.columns].index("corners")
    for row in raked.rows:
        assert row[at].count(" ") == 6
        assert [pair[:1] + pair[-1:] for pair in row[at].split("  ")] == ["()"] * 4


def test_blocking_is_listed_by_length() -> None:
    """Blocks are listed by length, with their posts.

    Worked in orders/blocking_of_two_plies: two of 20.5 under the one post.
    """
    blocking = tables(cut_list, case("orders/blocking_of_two_plies"))["Blocking"]
    assert picked(blocking, "length_text", "count", "ends", "posts") == [
        ("1' 8 1/2\"", "2", "square", "P1")
    ]


GATE = "orders/glass_with_a_gate_and_two_flights"


def test_glass_by_mark() -> None:
    """A glass order has a row for each mark, and their total.

    As worked in that case, there are six front panels of 42.375 by 31.25, 9.19596 sq ft and 28.2522
    lb each; the gate's is 32.25 wide; 17 panels in all.
    """
    glass = tables(glass_order, case(GATE))["Glass"]
    keys = ("count", "width_text", "height_text", "inches", "shape_text", "bays")
    rows = picked(glass, *keys)
    assert rows[0] == ("6", "3' 6 3/8\"", "2' 7 1/4\"", "42 3/8 × 31 1/4", "rectangle", "B1-B6")
    gate = ("1", "2' 8 1/4\"", "2' 7 1/4\"", "32 1/4 × 31 1/4", "rectangle", "gate main/walk")
    assert gate in rows
    assert picked(glass, "area_text", "mass_text")[0] == ("9.196", "28.252")
    assert totals(glass, "mark", "count") == [("All", "17")]


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_panel_is_ordered_once(name: str) -> None:
    """As many panels are ordered as there are bays with glass, and the masses of the rows add up.

    The table says of each row whether its panels were measured.
    """
    reply = example(name).reply
    glass = tables(glass_order, example(name))["Glass"]
    rows = picked(glass, "mark", "count", "bays", "measured", "total_mass", use="data")
    bays = sorted(bay for row in rows for bay in row[2].split())
    assert bays == sorted(bay["id"] for bay in reply["bays"] if "glass" in bay)
    assert sum(int(row[1]) for row in rows) == reply["summary"]["glass_panels"]
    measured = {bay["id"] for bay in reply["bays"] if bay["measured"]}
    assert all((row[3] == "true") == (row[2].split()[0] in measured) for row in rows)
    if rows:
        mass = sum(float(row[4]) for row in rows)
        assert totals(glass, "mass_text") == [(f"{mass:.3f} in all",)]


def test_raked_panels_have_their_shape() -> None:
    """A raked panel has its sizes, the way that it falls and its corners.

    As worked in that case, a panel 23.75 wide has a rise of 17.8125, an edge of 29.6875 and a
    height of 32.4375. Its upper right corner is at 32.4375 - 17.8125 = 14.625 where it falls to the
    right, and at 50.25 where it rises.
    """
    raked = tables(glass_order, case(GATE))["Raked panels"]
    rows = picked(
        raked,
        "width_text",
        "lower_edge_text",
        "edge_rise_text",
        "falls_seen_from_outside",
        "corners",
    )
    narrow = ("1' 11 3/4\"", "2' 5 11/16\"", "1' 5 13/16\"")
    right = "(0, 0)  (23 3/4, -17 13/16)  (23 3/4, 14 5/8)  (0, 32 7/16)"
    left = "(0, 0)  (23 3/4, 17 13/16)  (23 3/4, 50 1/4)  (0, 32 7/16)"
    assert (*narrow, "right", right) in rows
    assert (*narrow, "left", left) in rows
    assert len(rows) == 4


def test_panels_of_one_size_that_fall_either_way_are_told_apart() -> None:
    """Panels of one size on either side of a flight have rows of their own.

    Seen from outside, they fall to the right on the flight's left side, and to the left on its
    right one. A file says so too, as its corners do not say from where they are seen.
    """
    glass = tables(glass_order, example("glass-flight"))["Glass"]
    rows = {row[0]: row[1:] for row in picked(glass, "bays", "width_text", "shape_text")}
    assert rows["B8"] == ("670 mm", "raked, falls right")
    assert rows["B11"] == ("670 mm", "raked, falls left")
    filed = {
        bays: falls for bays, falls in picked(glass, "bays", "falls_seen_from_outside", use="data")
    }
    assert (filed["B8"], filed["B11"], filed["B1 B2"]) == ("right", "left", "")
    assert {row[0] for row in picked(glass, "shape", use="data")} == {"raked", "rectangle"}


def test_setting_blocks_stand_by_mark() -> None:
    """Setting blocks are listed by mark, with their places along the panel.

    They stand 9 from each end, 42.375 - 9 = 33.375, or at quarters where a panel is under 36: 32.25
    / 4 = 8.0625 and 24.1875. An end block stands at 23.75 / 0.8 = 29.6875 along the edge.
    """
    blocks = tables(glass_order, case(GATE))["Setting blocks"]
    rows = {row[0]: row[1:] for row in picked(blocks, "bays", "blocks", "end_block")}
    assert rows["B1-B6"] == ('9", 2\' 9 3/8"', "")
    assert rows["gate main/walk"] == ('8 1/16", 2\' 0 3/16"', "")
    assert rows["B13"][1] == "2' 5 11/16\""
    assert blocks.note.endswith("with is in the list of parts, not in this order.")


def test_a_file_has_the_places_of_the_setting_blocks() -> None:
    """The places of `test_setting_blocks_stand_by_mark` as numbers, in the row of the panel; of a
    panel 23.75 wide the blocks stand at its quarters, 5.9375 and 17.8125."""
    glass = tables(glass_order, case(GATE))["Glass"]
    rows = {row[0]: row[1:] for row in picked(glass, "bays", "blocks", "end_block", use="data")}
    assert rows["B1 B2 B3 B4 B5 B6"] == ("9 33.375", "")
    assert rows["main/walk"] == ("8.0625 24.1875", "")
    assert rows["B13"] == ("7.4375 22.25", "29.6875")


def test_panels_of_one_mark_with_blocks_at_other_places() -> None:
    """Where one of the panels of a mark has its blocks moved, each group comes after its bays."""
    subject = case(GATE)
    blocks = {"blocks": [10, 33.375], "blocks_text": ['10"', "2' 9 3/8\""]}
    bays = [
        {**bay, "glass": {**bay["glass"], **blocks}} if bay["id"] == "B3" else bay
        for bay in subject.reply["bays"]
    ]
    glass = tables(glass_order, with_reply(subject, bays=bays))["Glass"]
    assert picked(glass, "blocks", use="data")[0] == ("B1 B2 B4 B5 B6: 9 33.375; B3: 10 33.375",)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_end_block_is_told_where_the_lower_edge_ends(name: str) -> None:
    """An end block stands at the low end of the glass, where its lower edge ends.

    Both tables give the same length.
    """
    made = tables(glass_order, example(name))
    raked = made.get("Raked panels")
    edges = picked(raked, "mark", "lower_edge_text") if raked else []
    rows = picked(made["Setting blocks"], "mark", "end_block") if raked else []
    assert [row for row in rows if row[1]] == edges


def test_level_glass_has_no_column_of_end_blocks() -> None:
    """An order with no raked panels has no column of end blocks and no table of raked panels."""
    made = tables(glass_order, example("octagon-corner"))
    assert list(made) == ["Glass", "Setting blocks"]
    assert "end_block" not in [column.key for column in made["Setting blocks"].columns]


def test_blocks_are_told_from_where_an_elevation_tells_them() -> None:
    """Blocks are measured from the panel's left end, seen from outside, as on elevations.

    A run goes counter-clockwise, which is from left to right as seen from outside; a flight goes
    down from its head, so the blocks of a raked panel are measured from its upper end.
    """
    level = tables(glass_order, example("octagon-corner"))["Setting blocks"].note
    assert level == (
        "From the panel's left end, as seen from outside. "
        "What the glass is set with is in the list of parts, not in this order."
    )
    raked = tables(glass_order, case("flights/glass"))["Setting blocks"].note
    assert raked.startswith(
        "From the panel's left end, as seen from outside; "
        "of a raked one along its lower edge, from its upper end. End block: "
    )


def test_a_stock_height_is_called_so_in_every_list() -> None:
    """The posts to set and the posts to cut down both have a column "Stock height"."""
    subject = example("two-levels")
    names = [
        column.name
        for table in (*tables(set_out, subject).values(), *tables(cut_list, subject).values())
        for column in table.columns
        if column.key == "stock_height_text"
    ]
    assert names == ["Stock height"] * 2


def test_a_kit_that_says_nothing_of_edges_is_told_of() -> None:
    """Where a kit does not say how edges of glass are worked, the order says so, as a shop asks.

    The inch kit does say it, the millimetre one does not.
    """
    assert "kit does not say" in tables(glass_order, example("glass-flight"))["Glass"].note
    own = tables(glass_order, case("flights/glass"))["Glass"].note
    assert "Edges: ground flat all round, corners dubbed." in own
    assert "kit does not say" not in own


def test_a_glass_order_says_that_no_panel_has_holes() -> None:
    """An order of glass says that no panel has holes, whatever the kit says of its edges.

    A shop asks for them before it tempers a panel. An order with no glass says nothing of holes.
    """
    for subject in (example("glass-flight"), case("flights/glass"), case(GATE)):
        assert (
            "Holes and cut-outs: none in this layout." in tables(glass_order, subject)["Glass"].note
        )
    assert "Holes" not in tables(glass_order, case(HOUSE))["Glass"].note


def test_glass_is_to_be_measured_again_until_it_is() -> None:
    """The reply's caution to measure again leads an order as drawn.

    It is not there once all is measured.
    """
    drawn = tables(glass_order, case(GATE))["Glass"]
    measured = tables(glass_order, case("orders/every_panel_measured"))["Glass"]
    assert drawn.note.startswith(MEASURE_AGAIN)
    assert MEASURE_AGAIN not in measured.note
    assert [row[0] for row in picked(measured, "sized")] == ["as measured"] * 2
    assert "Edges: ground flat all round, corners dubbed." in measured.note


def test_parts_by_the_pack() -> None:
    """Parts are ordered by the pack where the kit sells them so.

    Worked in orders/parts_of_a_rectangle: 36 bolts in packs of 24, 36 sockets in packs of 8, and
    two corner posts one by one.
    """
    parts = tables(parts_list, case("orders/parts_of_a_rectangle"))["Parts"]
    rows = picked(parts, "number", "size", "quantity", "unit", "order")
    assert ("YD-1301", "", "36", "each", "2 packs of 24") in rows
    assert ("YD-2301", "", "36", "each", "5 packs of 8") in rows
    assert ("YD-2303", "", "4", "each", "1 pack of 4") in rows
    assert ("YD-1103-36", "3' high", "2", "each", "2") in rows


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_is_listed_once(name: str) -> None:
    """Parts are listed in the reply's order, with its quantities and packs."""
    reply = example(name).reply
    parts = tables(parts_list, example(name))["Parts"]
    rows = picked(parts, "role", "quantity", "packs", use="data")
    assert [(role, float(many), packs) for role, many, packs in rows] == [
        (row["role"], row["quantity"], str(row.get("packs", ""))) for row in reply["parts"]
    ]


def test_a_piece_that_no_stick_holds_says_so_among_the_parts() -> None:
    """A piece that no stick holds says so among the parts, as its length reads like a stick's."""
    made = tables(parts_list, case("orders/a_handrail_too_long_for_its_price"))
    rows = picked(made["Parts"], "description", "size", "order")
    assert ("Round handrail 1 1/2 in", "16' 3 9/16\" piece, too long for a stick", "1") in rows
    assert ("Round handrail 1 1/2 in", "12' 6\"", "1") in rows


def test_a_piece_that_no_stick_holds_is_in_no_bundle_of_sticks() -> None:
    """Pieces that no stick holds are ordered one by one, though their sticks come in bundles.

    Worked in orders/handrails_in_bundles: sticks come by four, the two pieces by themselves.
    """
    table = tables(parts_list, case("orders/handrails_in_bundles"))["Parts"]
    rows = picked(table, "description", "quantity", "order")
    assert ("Round handrail, bundle of 4", "2", "2") in rows
    (pack,) = [
        pack for role, pack in picked(table, "role", "pack", use="data") if role == "handrail"
    ]
    assert pack == ""


def test_raked_spacers_are_told_to_take_more_than_their_edges() -> None:
    """The parts of a deck whose flights have spacers say that the ends of these take more strip.

    A spacer between plumb pickets down a flight is cut at both ends to the pitch, so a strip as
    long as its edges is too short for it by its own depth times tan(pitch), and no kit says how
    deep it is. Where no flight has any, nothing is said.
    """
    raked = tables(parts_list, case("orders/pickets_and_spacers_by_length"))["Parts"]
    assert "Spacers of flights are measured along either edge: their ends take more." in raked.note
    assert "flights" not in tables(parts_list, case(HOUSE))["Parts"].note


def test_a_post_higher_than_the_kit_has_is_in_no_pack() -> None:
    """Posts higher than any that the kit has are ordered one by one, though posts come in packs.

    Worked in orders/posts_that_no_kit_height_reaches: posts come by four, and two are too high.
    """
    table = tables(parts_list, case("orders/posts_that_no_kit_height_reaches"))["Parts"]
    rows = picked(table, "description", "size", "quantity", "order")
    posts = [row for row in rows if row[0].startswith("Line post")]
    assert posts == [
        ("Line post, box of 4", "3' high", "2", "1 pack of 4"),
        ("Line post, box of 4", "none stocked so high", "2", "2"),
    ]


def test_a_part_of_which_no_stick_holds_a_piece_has_no_sticks() -> None:
    """A part none of whose pieces fits into a stick is not in the plan of sticks.

    Worked in orders/handrails_in_bundles: both handrails are too long, so the plan has the rails
    alone.
    """
    table = tables(cut_list, case("orders/handrails_in_bundles"))["Sticks"]
    assert [name for (name,) in totals(table, "description")] == [
        "Top rail, picket, all",
        "Bottom rail, picket, all",
    ]


def test_an_offcut_is_read_down_to_the_mark() -> None:
    """An offcut is rounded down to the mark, not to the nearest one.

    Worked in orders/offcut_off_the_marks: 39.91 is nearer to 39 15/16 than to 39 7/8.
    """
    table = tables(cut_list, case("orders/offcut_off_the_marks"))["Sticks"]
    first, *_ = picked(table, "offcut_text")
    assert first == ("3' 3 7/8\"",)


def test_posts_are_cut_down_by_little_as_by_much() -> None:
    """Posts are listed as cut down even where it is by 1/2 in.

    Worked in orders/posts_cut_down_by_half_an_inch: nine of 36 stand 35 1/2 high.
    """
    table = tables(cut_list, case("orders/posts_cut_down_by_half_an_inch"))["Posts to cut down"]
    rows = picked(table, "stock_height_text", "height_text", "off_text", "count", "posts")
    assert rows == [("3'", "2' 11 1/2\"", '1/2"', "9", "P1-P9")]


def test_a_glass_order_comes_to_all_panels_of_its_rows() -> None:
    """The totals of a glass order are those of all its panels.

    Worked in orders/gasket_by_the_foot_with_waste: four panels of 55 by 36 - 2 - 1.375 - 2.5 +
    1.125 = 31.25. 6875 sq in are 47.743 sq ft and 4.435475 m2, of 6 mm at 15 kg/m2 66.532 kg, which
    are 146.678 lb.
    """
    table = tables(glass_order, case("orders/gasket_by_the_foot_with_waste"))["Glass"]
    found = totals(table, "mark", "count", "area_text", "mass_text")
    assert found == [("All", "4", "47.743 in all", "146.678 in all")]


def test_a_glass_shop_is_told_which_panels_were_measured() -> None:
    """A panel is "as measured" where the request has measures of its bay, else "as drawn".

    The request has measures of B1, B2, B8 and B9, and of no other.
    """
    table = tables(glass_order, example("glass-flight-measured"))["Glass"]
    sized = {
        bay: how
        for (bays,), (how,) in zip(
            picked(table, "bays", use="data"), picked(table, "sized"), strict=True
        )
        for bay in bays.split()
    }
    measured = {bay for bay, how in sized.items() if how == "as measured"}
    assert measured == {"B1", "B2", "B8", "B9"}
    assert {how for bay, how in sized.items() if bay not in measured} == {"as drawn"}


def test_a_quote_line_by_line() -> None:
    """A quote has its lines, its subtotal, its tax and its total, and names what has no price.

    Worked in orders/quote_line_by_line: 1098.66, 7 % are 76.91, 1175.57; ten roles unpriced.

    A picket is 36 - 1 3/4 - 1 1/4 - 2 1/2 + 1 1/8 = 31 5/8.
    """
    quote = tables(parts_list, case("orders/quote_line_by_line"))["Quote in USD"]
    rows = picked(quote, "description", "size", "charged", "quantity", "price", "terms", "amount")
    assert rows == [
        ("Line post with base plate", "3' high", "each", "7", "61.50", "", "430.50"),
        ("Top rail, picket", "12' 6\"", "per stick", "1", "70.00", "", "70.00"),
        ("Top rail, picket", "16' 6\"", "per stick", "2", "88.00", "", "176.00"),
        ("Bottom rail, picket", "", "per foot", "40.927", "4.00", "", "163.71"),
        ("Picket 3/4 in square", "2' 7 5/8\"", "per pack", "11", "21.00", "less 5 %", "219.45"),
        ("Rail foot", "", "each", "12", "2.00", "", "24.00"),
        ("Bottom rail, picket", "", "per cut", "10", "1.50", "", "15.00"),
    ]
    assert totals(quote, "description", "amount") == [
        ("Subtotal", "1098.66"),
        ("Tax at 7 %", "76.91"),
        ("Total", "1175.57"),
    ]
    assert len(quote.note.split(";")) == 10
    assert "Corner post with base plate" in quote.note


def test_a_least_charge_says_so() -> None:
    """A line at the least charge says so.

    Worked in orders/least_charge_of_a_panel: ten panels at 95.00 each.
    """
    quote = tables(parts_list, case("orders/least_charge_of_a_panel"))["Quote in USD"]
    rows = picked(quote, "charged", "price", "terms")
    assert rows
    assert set(rows) == {("by area", "95.00", "least charge")}


def test_a_quote_without_gaps_says_so() -> None:
    """A quote in which every part has a price says that, and names no parts."""
    subject = case("orders/quote_line_by_line")
    full = with_reply(subject, quote={**subject.reply["quote"], "unpriced": []})
    assert tables(parts_list, full)["Quote in USD"].note == "Every part has a price."


def test_no_prices_no_quote() -> None:
    """Without prices there is no quote."""
    assert list(tables(parts_list, case(HOUSE))) == ["Parts"]


def test_posts_are_set_out() -> None:
    """Posts are set out by their coordinates.

    Worked in rectangles/against_a_house: P2 is 58.25 from P1, which is at 3.5.
    """
    made = tables(set_out, case(HOUSE))
    rows = picked(made["Posts"], "id", "role", "place", "x_text", "y_text", "stock_height_text")
    assert rows[:2] == [
        ("P1", "corner", "main", '3 1/2"', '3 1/2"', "3'"),
        ("P2", "line", "main", "5' 1 3/4\"", '3 1/2"', "3'"),
    ]
    assert len(rows) == 9
    assert list(made) == ["Posts", "Runs", "Bays to measure"]


def test_places_are_counted_from_a_corner_that_is_named() -> None:
    """The note of the posts names the corner nearest to the origin, with its coordinates.

    Corner 0, between edges 3 and 0, is itself the origin there. Moved by (30, -40) it lies 50 from
    it, nearer than the others, which are 270 and more away.
    """
    assert "x, y from corner of edges 3 and 0." in tables(set_out, case(HOUSE))["Posts"].note
    level = {"id": "main", "drop": 48}
    level["outline"] = {"points": [[30, -40], [270, -40], [270, -184], [30, -184]][::-1]}
    document = {"unit": "in", "kit": "picket-glass-surface-in", "levels": [level]}
    subject = subject_of({**document, "guard": {"infill": "picket"}})
    note = tables(set_out, subject)["Posts"].note
    assert "x 2' 6\", y -3' 4\" at corner of edges 2 and 3." in note


def test_a_run_starts_off_the_corner_of_its_edge() -> None:
    """A run's start is given along its edge, from the corner behind it.

    In against_a_house the front begins at P1, 3.5 from corner 0, the right side at P5, 3.5 from
    corner 1, and the left side at the wall. Of two runs on one edge the second begins at the post
    past an opening of 48 from 96, half of 2.25 further on: 145.125.
    """
    assert [row[0] for row in picked(tables(set_out, case(HOUSE))["Runs"], "start")] == [
        '3 1/2"', '3 1/2"', '0"',
    ]  # fmt: skip
    front = picked(tables(set_out, example("against-a-house"))["Runs"], "from", "start")
    assert front[:2] == [("P1", '3 1/2"'), ("P4", "12' 1 1/8\"")]


def test_a_run_starts_from_the_corner_before_it_counter_clockwise() -> None:
    """The start of a run is counted from the corner before it, counter-clockwise round the deck,
    whichever way the outline was given.

    A caller's edge 3 from (160, 0) to (0, 0) has a passage from 30 to 70 from its first corner,
    which is from 130 to 90 in x. The posts beside that are at 90 - 1.125 and 130 + 1.125; the
    second run begins at 131.125 from (0, 0).

    The wall, from (0, 110) to (160, 96), comes to y = 110 - 3.5 x 14/160 = 109.6938 at x = 3.5. So
    the run down along x = 0 begins 0.3063 from the corner, 5/16 to the mark. Turned the other way,
    from (0, 96) to (160, 110), it comes to 96.3063 there and the run begins that far before the
    corner: the note says what a length below 0 means only there.
    """

    def runs(left: float, right: float) -> Table:
        level = {
            "id": "main",
            "outline": {"points": [[0, 0], [0, left], [160, right], [160, 0]]},
            "edges": [{"edge": 1, "condition": "wall"}],
            "openings": [{"id": "way", "edge": 3, "from": 30, "width": 40, "use": "passage"}],
        }
        kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
        return tables(set_out, subject_of({**kit, "levels": [level]}))["Runs"]

    falling, rising = runs(110, 96), runs(96, 110)
    assert ("edge 3 of main", "10' 11 1/8\"") in picked(falling, "along", "start")
    assert ("edge 0 of main", '5/16"') in picked(falling, "along", "start")
    assert ("edge 0 of main", '-5/16"') in picked(rising, "along", "start")
    said = "Start: of the first mark, along the edge from the corner before it, counter-clockwise"
    assert f"{said}." in falling.note
    assert f"{said}; below 0 where it lies short of that corner." in rising.note


def test_posts_that_no_run_meets_square_say_by_how_much() -> None:
    """A post that a run does not meet squarely has the runs' angles to it.

    The two corners where a deck's corner is cut off, as of an octagon, turn by 45 degrees: a post
    faces half-way between its two runs, so each run is 22.5 off. Where all is square there is no
    such column.
    """
    posts = tables(set_out, example("octagon-corner"))["Posts"]
    off = {row[0]: row[1] for row in picked(posts, "id", "off_square") if row[1]}
    assert off == {"P2": "R1, R2 by 22.5°", "P4": "R2, R3 by 22.5°"}
    square = tables(set_out, case(HOUSE))["Posts"]
    assert "off_square" not in [column.key for column in square.columns]


def test_posts_on_a_rim_say_that_the_kit_does_not_tell_how_far_they_go_down() -> None:
    """A kit has the heights of posts above the deck alone, and drawings show some of the rest."""
    told = "how far they go down the rim the kit does not say"
    on_rim, on_deck = (
        set_out(subject, head(subject, "Posts to set"))[0].note
        for subject in map(example, ("fascia-mixed", "against-a-house"))
    )
    assert told in on_rim
    assert told not in on_deck


def test_runs_have_their_marks() -> None:
    """Runs have their marks and what they go between.

    Worked there: the front has 233 with marks at every 58.25; the right side goes 140.5 from P5 up
    to the wall.
    """
    rows = picked(tables(set_out, case(HOUSE))["Runs"], "along", "from", "to", "marks_text")
    front = '0"; 4\' 10 1/4"; 9\' 8 1/2"; 14\' 6 3/4"; 19\' 5"'
    assert rows[0] == ("edge 0 of main", "P1", "P5", front)
    assert rows[1][:3] == ("edge 1 of main", "P5", "wall")
    assert rows[2][:3] == ("edge 3 of main", "wall", "P1")


def test_runs_say_what_they_end_at() -> None:
    """A run names what it ends at: the house wall, or the column that stands in its line.

    One run goes from a wall to the roof column, the other from there to the other wall.
    """
    rows = picked(tables(set_out, example("column-and-downpipe"))["Runs"], "from", "to")
    assert rows == [("wall", "roof column"), ("roof column", "wall")]


def test_a_post_that_no_stock_reaches_says_so() -> None:
    """A post higher than any in stock says so among the posts to set and among the parts.

    Worked in flights/posts_that_no_stock_reaches: 45.75, of 42 at most.
    """
    subject = case("flights/posts_that_no_stock_reaches")
    posts = picked(tables(set_out, subject)["Posts"], "id", "height_text", "stock_height_text")
    assert ("P7", "3' 9 3/4\"", "none stocked so high") in posts
    assert ("none stocked so high",) in picked(tables(parts_list, subject)["Parts"], "size")
    assert all("none" not in told for _, _, told in posts[:-1])


def test_fixings_and_blocking_of_a_post() -> None:
    """A post's row has what its fixings land in, and its blocks have their place and length.

    Worked in orders/blocking_of_two_plies: none of four fixings is in timber; two plies of 20.5
    stand between joists 2 and 3, their middle at 6.
    """
    made = tables(set_out, case("orders/blocking_of_two_plies"))
    assert picked(made["Posts"], "id", "lands") == [("P1", "4 no timber")]
    keys = ("id", "between", "at_text", "length_text", "plies")
    assert picked(made["Blocking by post"], *keys) == [
        ("P1", "joist 2 and joist 3", '6"', "1' 8 1/2\"", "2")
    ]


def test_posts_of_a_flight_say_what_they_stand_on() -> None:
    """Posts of a flight name the tread that they stand on, or its foot.

    With goings of 280, 700 and 1540 down from the deck's edge are in the middle of treads 3 and 6;
    2300 is past the lowest nosing, at 2240. The post at the head stands on the deck.
    """
    made = tables(set_out, example("glass-flight"))
    places = {row[0]: row[1] for row in picked(made["Posts"], "id", "place")}
    left = [places[each] for each in ("P3", "P8", "P9", "P10")]
    treads = ["flight garden, tread 3", "flight garden, tread 6", "flight garden, at its foot"]
    assert left == ["balcony", *treads]
    assert [places[each] for each in ("P11", "P12", "P13")] == treads
    along = {run: line for run, line in picked(made["Runs"], "id", "along")}
    sides = "left side of flight garden", "right side of flight garden"
    assert (along["R5"], along["R6"]) == sides


def test_a_post_on_the_lowest_tread_names_it() -> None:
    """A post on the lowest tread names that tread.

    Five risers have four treads, of 12: 42 down is in the middle of the fourth.
    """
    places = picked(tables(set_out, example("two-levels"))["Posts"], "id", "place")
    assert places[-2:] == [("P16", "flight middle, tread 4"), ("P17", "flight middle, tread 4")]


def test_bays_to_measure_have_room_for_what_the_tape_says() -> None:
    """The bays to measure have empty cells for what the tape says, beside the clear width as drawn.

    Worked in rectangles/against_a_house: clears are 56 along the front, and 44.9375, 45 and 44.9375
    at the sides, the last of which ends at the house. They may be out of plumb by 1/4 in at most.
    """
    bays = tables(set_out, case(HOUSE))["Bays to measure"]
    rows = picked(bays, "id", "from", "to", "drawn_text", "top_text", "bottom_text")
    assert rows[0] == ("B1", "P1", "P2", "4' 8\"", "", "")
    assert rows[4:7] == [
        ("B5", "P5", "P6", "3' 8 15/16\"", "", ""),
        ("B6", "P6", "P7", "3' 9\"", "", ""),
        ("B7", "P7", "wall", "3' 8 15/16\"", "", ""),
    ]
    assert len(rows) == 10
    assert 'differ by more than 1/4"' in bays.note
    assert "before rails are cut: clear" in bays.note


def test_bays_to_measure_keep_what_was_measured() -> None:
    """A bay that was measured has its measures as they were sent, beside what was drawn.

    B1 is drawn 990 - 60 = 930. B8 is measured along the rail: its posts stand 790 apart in plan, so
    (790 - 60) x sqrt(280^2 + 175^2)/280 = 860.9. B11, alike on the other side of the flight, is
    still to be measured, and so is B3.
    """
    bays = tables(set_out, example("glass-flight-measured"))["Bays to measure"]
    rows = {row[0]: row[1:] for row in picked(bays, "id", "drawn_text", "top_text", "bottom_text")}
    assert rows["B1"] == ("930 mm", "932 mm", "929 mm")
    assert rows["B3"][1:] == ("", "")
    assert rows["B11"] == ("861 mm", "", "")
    assert rows["B8"] == ("861 mm", "859 mm", "860 mm")
    assert "before rails are cut and glass is ordered: clear" in bays.note


def test_a_bay_without_posts_is_measured_from_the_wall_to_the_column() -> None:
    """A bay between a wall and a column names both of them in place of posts.

    The wall is at the left, and the column stands in the front's line 50 in from it.
    """
    level = {
        **{"id": "main", "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}},
        "edges": [{"edge": 3, "condition": "wall"}],
        "obstructions": [{"name": "pillar", "points": [[50, 0], [58, 0], [58, 8], [50, 8]]}],
    }
    kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    bays = tables(set_out, subject_of({**kit, "levels": [level]}))["Bays to measure"]
    assert picked(bays, "id", "from", "to", "drawn_text")[0] == ("B1", "wall", "pillar", "4' 2\"")


def test_a_gate_is_measured_too() -> None:
    """The note of the bays to measure mentions gates where there is one, and only there.

    A gate's leaf is cut from a clear width that is no bay's, so that this goes into the document as
    the width of the opening.
    """
    note = tables(set_out, example("two-levels"))["Bays to measure"].note
    told = "measured at both heights too: the lesser is given as the width of its opening."
    assert f"The clear width at a gate is {told}" in note
    assert "gate" not in tables(set_out, case(HOUSE))["Bays to measure"].note


def test_a_deck_without_bays_has_none_to_measure() -> None:
    """A deck that is open all round has no railing, and no table of bays to measure."""
    level = {
        **{"id": "main", "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}},
        **{"edges": [{"edge": each, "condition": "open"} for each in range(4)]},
    }
    document = {"unit": "in", "kit": "picket-glass-surface-in", "levels": [level]}
    made = tables(set_out, subject_of({**document, "guard": {"infill": "picket"}}))
    assert list(made) == ["Posts", "Runs"]


def test_blocking_says_where_it_is_counted_and_measured_from() -> None:
    """A note says from where joists are counted, and from where blocks' middles are measured."""
    blocking = tables(set_out, case("orders/blocking_of_two_plies"))["Blocking by post"]
    assert "from 0 toward x" in blocking.note
    assert "from the origin" in blocking.note


OPEN = {
    "unit": "in",
    "kit": "picket-glass-surface-in",
    "guard": {"infill": "picket"},
    "levels": [
        {
            "id": "main",
            "drop": 12,
            "outline": {"points": [[0, 0], [120, 0], [120, 96], [0, 96]]},
            "edges": [{"edge": i, "condition": "open"} for i in range(4)],
        }
    ],
}
"""A deck with no railing at all."""


@pytest.mark.parametrize("make", LISTS)
def test_an_empty_list_says_that_it_is(make: Maker) -> None:
    """An empty list has a title and a sentence, no rows and no totals."""
    for table in tables(make, subject_of(OPEN)).values():
        if table.title == "Parts":
            continue
        assert (table.rows, table.foot) == ((), ())
        assert table.note.endswith(".")


@pytest.mark.parametrize("make", LISTS)
@pytest.mark.parametrize("name", [*EXAMPLES, GATE, "orders/quote_line_by_line"])
def test_every_row_is_as_wide_as_its_table(make: Maker, name: str) -> None:
    """No key is used twice in one use of a table; rows and foot have a cell for each column."""
    subject = case(name) if "/" in name else example(name)
    for table in tables(make, subject).values():
        for use in ("print", "data"):
            shown = table.shown(use)
            keys = [column.key for column in shown.columns]
            assert len(set(keys)) == len(keys)
            assert {len(row) for row in (*shown.rows, *shown.foot)} <= {len(keys)}


def test_a_use_has_its_own_columns() -> None:
    """A table in one use has the columns for both uses and those for this one alone.

    Rows and foot have the same cells.
    """
    columns = (Column("a", "A"), Column("b", "B", only="print"), Column("c", "C", only="data"))
    table = Table("T", columns, (("1", "2", "3"),), foot=(("4", "5", "6"),))
    shown = table.shown("data")
    assert [column.key for column in shown.columns] == ["a", "c"]
    assert (shown.rows, shown.foot) == ((("1", "3"),), (("4", "6"),))


def test_a_line_has_a_number_where_all_that_it_is_for_have_the_same() -> None:
    """A line of a quote has a part's number where all parts that it is for have the same one.

    Posts of 36 are A and of 42 are B: a line for one height has that height's number, and a line
    for both has none. Caps are all C. A role that is not listed has no number.
    """
    posts = [{"height": 36, "number": "A"}, {"height": 42, "number": "B"}]
    numbers = numbers_of({"post_line": posts, "post_cap": [{"number": "C"}, {"number": "C"}]})
    assert number_of(numbers, {"role": "post_line", "height": 36}) == "A"
    assert number_of(numbers, {"role": "post_line", "height": 42}) == "B"
    assert number_of(numbers, {"role": "post_line"}) == ""
    assert number_of(numbers, {"role": "post_line", "height": 48}) == ""
    assert number_of(numbers, {"role": "post_cap"}) == "C"
    assert number_of(numbers, {"role": "gate"}) == ""


@pytest.mark.parametrize(
    ("kit", "unit", "said"),
    [
        ("picket-glass-surface-in", "in", '1/4"'),
        ("picket-glass-surface-in", "mm", '6 mm (1/4")'),
        ("glass-picket-surface-mm", "mm", "10 mm"),
        ("glass-picket-surface-mm", "in", "10 mm"),
    ],
)
def test_glass_is_as_thick_as_a_glass_shop_calls_it(kit: str, unit: str, said: str) -> None:
    """Glass has its nominal thickness in the order, in the order's file and on elevations.

    The first panes of the kits are nominally 1/4 in, which is 6 mm, and 10 mm: nobody orders glass
    of 6.35 mm or of 0.3937 in.
    """
    across, deep = (4200, 2400) if unit == "mm" else (165, 95)
    points = [[0, 0], [across, 0], [across, deep], [0, deep]]
    level = {"id": "main", "outline": {"points": points}}
    subject = subject_of(
        {"unit": unit, "kit": kit, "guard": {"infill": "glass"}, "levels": [level]}
    )
    panels, heading = tables(glass_order, subject)["Glass"], head(subject, "Elevations")
    assert {row for (row,) in picked(panels, "thickness_text")} == {said}
    assert {row for (row,) in picked(panels, "thickness_text", use="data")} == {said}
    drawn = [view for page in draw_elevations(subject, heading) for view in page.views]
    told = [m.text for each in drawn for m in each.view.marks if isinstance(m, Words)]
    assert f", {said} tempered, " in " ".join(told)


def test_each_panel_is_called_by_its_own_pane() -> None:
    """The order and the elevations name each panel's own pane.

    The fascia kit has panes of 1/4 in, which are on three edges, and of 1/2 in, which the front
    has.
    """
    points = [[0, 0], [165, 0], [165, 95], [0, 95]]
    level = {
        **{"id": "main", "outline": {"points": points}},
        "edges": [{"edge": 0, "glass": 1}],
    }
    kit = {"unit": "in", "kit": "picket-glass-fascia-in", "guard": {"infill": "glass"}}
    subject = subject_of({**kit, "levels": [level]})
    glass = tables(glass_order, subject)["Glass"]
    called = {
        bay: (thick, made)
        for bays, thick, made in picked(glass, "bays", "thickness_text", "type", use="data")
        for bay in bays.split()
    }
    quarter, half = ('1/4"', "tempered"), ('1/2"', "laminated tempered")
    runs = {bay["id"]: bay["run"] for bay in subject.reply["bays"]}
    assert called == {bay: half if run == "R1" else quarter for bay, run in runs.items()}
    assert set(called.values()) == {quarter, half}
    views = draw_elevations(subject, head(subject, "Elevations"))
    drawn = [view for page in views for view in page.views]
    told = " ".join(m.text for each in drawn for m in each.view.marks if isinstance(m, Words))
    assert ', 1/2" laminated tempered, ' in told
    assert ', 1/4" tempered, ' in told
