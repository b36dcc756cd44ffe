"""Fixings into timber: which of them land, which need blocking and where, and what is not known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

import pytest

from service.core.measure import Unit
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.deck import Stair
from service.core.records.layout import Post
from service.core.records.seen import BaseSeen
from service.rules.judge import judge

from .small import deck, found, kit, layout, only, post

RULE = "fixing_into_framing"


def _framed(
    *lands_on: str, number: int = 1, blocks: tuple[BlockingPiece, ...] = (), **more: Any
) -> Post:
    return replace(post(number), framing=PostFraming(lands_on, blocks, **more))


def _block(low: int | None, high: int | None, plies: int = 1) -> BlockingPiece:
    edges = ((0.75, 15.25), (0.75, 15.25))
    return BlockingPiece((low, high), 3.25, edges, direction=0.0, ply=1.5, plies=plies)


@pytest.mark.parametrize(
    ("lands_on", "words"),
    [
        (("rim", "rim", "rim", "rim"), "each fixing goes into the rim"),
        (("rim", "joist", "joist", "rim"), "each fixing goes into rim or joist"),
    ],
)
def test_all_in_timber(lands_on: tuple[str, ...], words: str) -> None:
    """A post passes where every fixing goes into the rim or a joist."""
    finding = only(RULE, rim_width=1.5, posts=(_framed(*lands_on),))
    assert (finding.result, finding.severity, finding.where) == ("pass", "note", ("P1",))
    assert words in finding.message


def test_fixings_that_miss() -> None:
    """The message says how many fixings need blocking, and between which joists."""
    blocks = (_block(3, 4), _block(4, 5))
    posts = (_framed("rim", "rim", "none", "none", blocks=blocks),)
    finding = only(RULE, rim_width=1.5, posts=posts)
    assert (finding.result, finding.severity) == ("fail", "warning")
    assert finding.message == (
        "P1: 2 of 4 fixings miss rim and joists and must go into blocking between joists 3 and 4 "
        "and between joists 4 and 5 (joists counted from 0), tied to them at both ends."
    )


def test_a_block_of_two_plies() -> None:
    """A block of two plies is named as one block."""
    posts = (_framed("rim", "rim", "none", "none", blocks=(_block(3, 4, plies=2),)),)
    message = only(RULE, rim_width=1.5, posts=posts).message
    assert "must go into blocking of 2 plies between joists 3 and 4 (joists" in message


def test_one_fixing_that_misses() -> None:
    """Where one of four fixings misses, the verb of the message is singular."""
    posts = (_framed("rim", "rim", "joist", "none", blocks=(_block(3, 4),)),)
    assert "1 of 4 fixings misses" in only(RULE, rim_width=1.5, posts=posts).message


def test_no_room_for_blocking() -> None:
    """A fixing that has no room for blocking is named apart, and no blocking is said to go
    there."""
    posts = (_framed("rim", "rim", "joist", "none", cramped=1),)
    finding = only(RULE, rim_width=1.5, posts=posts)
    assert (finding.result, finding.severity) == ("fail", "warning")
    assert finding.message == (
        "P1: 1 of 4 fixings misses rim and joists; 1 of them sits in timber, too near an edge, or "
        'where timbers leave less than 3" for blocking: move the post, or double the rim or joist '
        "there."
    )


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        # A block twice 18 in wide is 24 plies of 1 1/2 in.
        (18.0, "1 of them sits in timber, too near an edge, or"),
        (
            18.0625,
            '1 of them has no blocking, as over 24 plies 1 1/2" thick would have to stand side by '
            "side to keep 1' 6 1/16\" from its edges: see that joists are that wide",
        ),
    ],
)
def test_joists_too_thin_for_any_blocking(edge: float, words: str) -> None:
    """A block of more plies than anyone nails together, 24, counts as none, and the message says
    so."""
    wide = kit()
    base = replace(wide.post.base, fixing_edge_distance=edge)
    wide = replace(wide, post=replace(wide.post, base=base))
    posts = (_framed("rim", "rim", "joist", "none", cramped=1),)
    assert words in only(RULE, rim_width=1.5, with_kit=wide, posts=posts).message


@pytest.mark.parametrize(("count", "verb"), [(1, "comes"), (2, "come")])
def test_fixings_at_a_joint_of_plies(count: int, verb: str) -> None:
    """Fixings too near a joint between the plies of a block hold in neither, and the cure is one
    timber as wide."""
    blocks = (_block(3, 4, plies=2),)
    posts = (_framed("rim", "rim", "none", "none", blocks=blocks, at_joints=count),)
    assert only(RULE, rim_width=1.5, posts=posts).message.endswith(
        f'at both ends; {count} of them {verb} less than 1/2" from a joint between its '
        "plies, which holds in neither: use one timber as wide."
    )


@pytest.mark.parametrize(
    ("count", "words"),
    [(1, "1 that goes into a joist lies less"), (2, "2 that go into joists lie less")],
)
def test_a_fixing_by_the_end_of_its_joist_is_a_warning(count: int, words: str) -> None:
    """A fixing near the end of its joist is a warning: it is as far from the joist's edges as the
    kit asks, but may split the end."""
    finding = only(RULE, rim_width=1.5, posts=(_framed("rim", "rim", "joist", at_ends=count),))
    assert (finding.result, finding.severity) == ("fail", "warning")
    assert finding.message == (
        f'P1: each fixing goes into rim or joist; {words} than 1/2" from its end, at the face of '
        "the rim, where it may split: move the post, or double the rim there."
    )


def test_blocking_beside_timber_that_ends_too_near() -> None:
    """A fixing too near a face of rim or joist for the blocking beside it to hold is named after
    the place of that blocking."""
    posts = (_framed("joist", "rim", "joist", "none", blocks=(_block(3, 4),), by_timber=1),)
    assert only(RULE, rim_width=1.5, posts=posts).message == (
        "P1: 1 of 4 fixings misses rim and joists and must go into blocking between joists 3 and 4 "
        '(joists counted from 0), tied to them at both ends; 1 of them lies less than 1/2" from a '
        "face of the rim or of a joist, too near an end or edge of blocking beside it: move the "
        "post, or double the rim or joist there."
    )


def test_blocking_that_ends_before_a_fixing() -> None:
    """Fixings that lie past the end of their blocking, or too near it, are named as such."""
    posts = (_framed("joist", "none", "none", "none", blocks=(_block(3, 4),), past_ends=2),)
    assert only(RULE, rim_width=1.5, posts=posts).message.endswith(
        "; 2 of them lie past an end or edge of that blocking or too near it, as the rim or other "
        "blocking stops it there: move the post."
    )


@pytest.mark.parametrize(("count", "words"), [(1, "1 of them lies off"), (2, "2 of them lie off")])
def test_fixings_off_the_deck(count: int, words: str) -> None:
    """Fixings off the deck can have no blocking, and the message names none for them."""
    posts = (_framed("rim", "rim", "none", "none", off_deck=count),)
    assert only(RULE, rim_width=1.5, posts=posts).message.endswith(
        f"; {words} the deck, where no timber is: move the post."
    )


@pytest.mark.parametrize("lands_on", ["rim", "none"])
def test_blocking_under_a_column(lands_on: str) -> None:
    """Whether an obstruction over blocking goes down through the deck is not given, so that the
    message leaves it to whoever fits the blocking."""
    posts = (_framed(lands_on, blocks=(_block(3, 4),), crosses=("roof column", "flue")),)
    assert (
        "; that blocking crosses roof column and flue: where that goes down through the deck, fit "
        "it there"
    ) in only(RULE, rim_width=1.5, posts=posts).message


def test_a_rim_with_nothing_behind_it_is_a_warning() -> None:
    """A rim that a post hangs on, with no room for blocking behind it, is a warning."""
    finding = only(RULE, rim_width=1.5, posts=(_framed("rim", "rim", bare=True),))
    assert (finding.result, finding.severity) == ("fail", "warning")
    assert finding.message == (
        "P1: each fixing goes into the rim; behind it there is no room for blocking: see on site "
        "that the rim is tied to the timber behind it there."
    )


@pytest.mark.parametrize(
    ("unit", "off", "told"),
    [
        ("in", 0.125, False),
        ("in", 0.1251, True),
        ("in", 1.9375, True),
        ("mm", 3.175, False),
        ("mm", 3.176, True),
    ],
)
def test_blocking_off_the_rim_that_a_post_hangs_on(unit: Unit, off: float, told: bool) -> None:
    """Blocking up to an eighth of an inch, 3.175 mm, off the rim is drawn up to it; more has to be
    packed out, or another piece cut."""
    posts = (_framed("rim", "rim", blocks=(_block(3, 4),), off_rim=off),)
    finding = only(RULE, unit=unit, rim_width=1.5, posts=posts)
    assert finding.severity == ("warning" if told else "note")
    cure = "pack it out to the rim there, or cut a piece to lie along the rim."
    assert finding.message.endswith(f"off the rim behind the post: {cure}") is told


@pytest.mark.parametrize(
    ("block", "words"),
    [
        (_block(None, 0), "between the rim and joist 0 (joists"),
        (_block(14, None), "between the rim and joist 14 (joists"),
        (_block(None, None), "between the rims, tied to them"),
    ],
)
def test_blocking_at_the_rim(block: BlockingPiece, words: str) -> None:
    """The message says that a piece ends at the rim."""
    posts = (_framed("none", blocks=(block,)),)
    assert words in only(RULE, rim_width=1.5, posts=posts).message


def test_a_fascia_post_has_its_blocking_behind_the_rim() -> None:
    """A fascia post whose fixings all go through the rim passes, and the message names the piece
    behind."""
    posts = (_framed("rim", "rim", "rim", "rim", blocks=(_block(2, 3),)),)
    finding = only(RULE, rim_width=1.5, posts=posts)
    assert finding.result == "pass"
    assert "into the rim, with blocking behind it between joists 2 and 3" in finding.message


@pytest.mark.parametrize(
    ("spare", "by", "way"),
    [(1.25, '1 1/4"', "end"), (-1.25, '1 1/4"', "start"), (0.0625, '1/16"', "end")],
)
def test_a_move_that_would_spare_the_blocking(spare: float, by: str, way: str) -> None:
    """The sentence ends with how far, and toward which end of its run, the post would have to move
    to need no blocking."""
    posts = (_framed("none", "rim", blocks=(_block(3, 4),), spare=spare),)
    message = only(RULE, rim_width=1.5, posts=posts).message
    assert message.endswith(f"; moved {by} toward the {way} of its run it would need none.")
    posts = (_framed("none", "rim", spare=spare, cramped=1),)
    message = only(RULE, rim_width=1.5, posts=posts).message
    assert message.endswith(f"toward the {way} of its run all of them would go into rim or joist.")


@pytest.mark.parametrize(
    ("rim", "thin"), [(0.9375, True), (1.0, False), (1.5, False)], ids=["thin", "just", "thick"]
)
def test_a_rim_too_thin_for_the_fixings(rim: float, thin: bool) -> None:
    """A fixing needs 1/2 in to both faces of its timber, so that a rim under 1 in thick can take
    none."""
    posts = (_framed("none", "none", blocks=(_block(3, 4),)),)
    message = only(RULE, rim_width=rim, posts=posts).message
    assert ("thick, can take none" in message) == thin
    assert ('the rim, 15/16" thick, can take none: a fixing needs 1"' in message) == thin


def test_posts_alike_are_one_finding() -> None:
    """Posts that need the same blocking share a finding; one that needs none has its own."""
    posts = tuple(_framed("none", number=n, blocks=(_block(3, 4),)) for n in (1, 2, 3))
    loose, held = found(RULE, rim_width=1.5, posts=(*posts, _framed("rim", number=4)))
    assert (loose.result, loose.where) == ("fail", ("P1", "P2", "P3"))
    assert (held.result, held.where) == ("pass", ("P4",))


def test_without_framing_levels_and_flights_are_told_apart() -> None:
    """Without framing there is one not_checked for levels, which asks for their framing, and one
    for flights, whose timber no document can give."""
    down = replace(post(9), flight="front")
    other = replace(post(5), level="lower")
    levels, flights = found(RULE, posts=(post(1), post(2), other, down))
    assert {(f.result, f.severity) for f in (levels, flights)} == {("not_checked", "note")}
    assert (levels.where, flights.where) == (("main", "lower"), ("front",))
    asked = "give the level's framing"
    assert (asked in levels.message, asked in flights.message) == (True, False)
    assert all('at least 1/2" from its edges' in f.message for f in (levels, flights))


def test_a_framed_level_is_not_asked_for_again() -> None:
    """Where the level's framing is given, only the flight's posts, on treads, are left to the
    site."""
    down = replace(post(9), flight="front")
    findings = found(RULE, rim_width=1.5, posts=(_framed("rim"), down))
    assert [(f.result, f.where) for f in findings] == [
        ("not_checked", ("front",)),
        ("pass", ("P1",)),
    ]


@pytest.mark.parametrize(
    ("foot", "risers", "asked"),
    [("tread", 7, True), ("ground", 7, False), ("tread", 1, False)],
    ids=["on a tread", "on the ground", "a single riser"],
)
def test_a_foot_post_on_the_ground_is_in_no_timber(
    foot: Literal["tread", "ground"], risers: int, asked: bool
) -> None:
    """Only posts on treads need timber; a foot post on the ground, as with one riser, gives no
    finding."""
    stair = Stair("front", "main/stair", 49.0, risers, 10.5, "/stairs/0", foot_post=foot)
    stairs = replace(deck(), stairs=(stair,))
    foot_post = replace(post(9), role="stair", flight="front")
    findings = judge(layout(posts=(foot_post,)), stairs, kit(), None)
    assert (RULE in {finding.rule for finding in findings}) == asked
    between = replace(post(8), flight="front")
    every = judge(layout(posts=(between, foot_post)), stairs, kit(), None)
    assert [f.where for f in every if f.rule == RULE] == [("front",)]


@pytest.mark.parametrize(
    ("landing", "where"), [(None, []), ("lower", [("front",)])], ids=["ground", "level below"]
)
def test_a_foot_post_on_the_level_below_is_in_timber(
    landing: str | None, where: list[tuple[str, ...]]
) -> None:
    """A foot post on the deck below is left to the site: it needs that deck's joists as the deck's
    own posts do, but is not laid over them."""
    stair = Stair("front", "main/stair", 7.0, 1, 10.5, "/stairs/0", to_level="lower")
    foot_post = replace(post(9), role="stair", flight="front")
    parts = layout(posts=(foot_post,), bases=(BaseSeen("P9", 0.0, landing),))
    findings = [
        finding
        for finding in judge(parts, replace(deck(), stairs=(stair,)), kit(), None)
        if finding.rule == RULE
    ]
    assert [finding.where for finding in findings] == where
    for finding in findings:
        assert (finding.result, finding.severity) == ("not_checked", "note")
        assert finding.message == (
            "front: what posts at the foot are fixed into, on the level below, is not looked at: "
            "check on site that each fixing goes into solid timber (rim, joist or blocking) at "
            'least 1/2" from its edges.'
        )


PAST_EIGHT = {
    "all that are placed land": (
        ("rim",) * 8, "not_checked",
        "P1: each of the 8 fixings that are placed goes into the rim; where the other 4 of the "
        "base's 12 stand is not known: check on site that these go into solid timber, too."),
    "one misses": (
        (*("rim",) * 7, "none"), "fail",
        "P1: 1 of 8 fixings misses rim and joists and must go into blocking between joists 3 and 4 "
        "(joists counted from 0), tied to them at both ends; where the other 4 of the base's 12 "
        "stand is not known: check on site that these go into solid timber, too."),
}  # fmt: skip


@pytest.mark.parametrize(("lands_on", "result", "message"), PAST_EIGHT.values(), ids=PAST_EIGHT)
def test_fixings_past_the_eight_that_are_placed(
    lands_on: tuple[str, ...], result: str, message: str
) -> None:
    """The places of eight fixings are known, at corners and mid-sides; of a base of twelve the
    other four are left to the site."""
    twelve = replace(kit().post, base=replace(kit().post.base, fixings=12))
    blocks = (_block(3, 4),) if "none" in lands_on else ()
    posts = (_framed(*lands_on, blocks=blocks),)
    with_kit = replace(kit(), post=twelve)
    finding = only(RULE, rim_width=1.5, with_kit=with_kit, posts=posts)
    assert (finding.result, finding.message) == (result, message)
