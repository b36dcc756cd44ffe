"""Guards and handrails of flights as bodies, beside a lower level and over it.

They are made from the document, its kit and its reply, without anything of core. Every deck here
has one flight, down from the edge y = 0: u goes down its steps from there, and heights are from the
upper level's surface.
"""

from __future__ import annotations

import math
import random
from functools import cache

import shapely
from shapely import LineString, Point, Polygon, box

from service.answer import answer_document
from service.core.problems import Refusal
from service.data.catalogue import load_catalogue
from tests.properties.test_solid import KITS, Json, kit_of

TRIMMED = 1 / 4
"""In inches, how much of a deck beside a guard may be left out."""
OFF = 1 / 8
"""In inches, how far a flight may end off the level below it."""


@cache
def decks(count: int, seed: int) -> list[tuple[Json, Json]]:
    """Decks with flights of two to nine risers, and their replies.

    A level below lies beside the flight, or is the one that it ends on.
    """
    rng, catalogue = random.Random(seed), load_catalogue()
    found: list[tuple[Json, Json]] = []
    while len(found) < count:
        risers, going, riser = rng.randint(2, 9), rng.uniform(9, 13), rng.uniform(6.5, 8)
        run, rise = (risers - 1) * going, risers * riser
        guard, drop = {"infill": "picket", "height": 36}, rise + rng.choice([0, 10, 30])
        steps = {"id": "steps", "edge": 0, "from": 60, "width": 40, "use": "stair"}
        outline = {"points": [[0, 0], [160, 0], [160, 90], [0, 90]]}
        upper = {"id": "main", "drop": drop, "openings": [steps], "outline": outline}
        ends_on = drop > rise
        near, far = rng.uniform(52, 62), rng.uniform(98, 108)
        # The level that the flight ends on, or one beside its left side as far down as it goes.
        low = (near, -run - 90, far, -run) if ends_on else (-40, -run - 20, near, 0)
        lower: Json = {
            "id": "low",
            "drop": drop - rise if ends_on else drop * rng.uniform(0.2, 0.9),
        }
        x0, y0, x1, y1 = low
        lower["outline"] = {"points": [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]}
        lower["edges"] = [{"edge": number, "condition": "open"} for number in (1, 2)]
        stair: Json = {"id": "down", "opening": "main/steps", "rise": rise, "risers": risers}
        stair |= {"going": going, "guards": ["left", "right"], "handrail": ["left", "right"]}
        stair |= {"foot_post": rng.choice(["tread", "ground"]), **guard}
        deck: Json = {"unit": "in", "kit": rng.choice(KITS), "guard": guard, "stairs": [stair]}
        deck["levels"] = [upper, lower]
        try:
            found.append((deck, answer_document(deck, catalogue)))
        except Refusal:
            continue
    return found


def named(reply: Json, rule: str, words: str) -> set[str]:
    """The places of a rule's findings that do not pass and have `words` in their sentence."""
    findings = [each for each in reply["findings"] if each["rule"] == rule]
    told = [each for each in findings if each["result"] != "pass" and words in each["message"]]
    return {place for each in told for place in each["where"]}


def along(reply: Json, post: str | Json) -> float:
    """The u of a post, by its id or by its record."""
    posts = {each["id"]: each for each in reply["posts"]}
    return -float((posts[post] if isinstance(post, str) else post)["at"][1])


def bare_brackets(deck: Json, reply: Json) -> list[float]:
    """The u of the left handrail's brackets with neither a post nor a railed bay beside them.

    Both guards of a flight that starts square from two posts are alike.
    """
    flight = reply["flights"][0]
    cosine = math.cos(math.radians(flight["pitch"]))
    half = kit_of(deck["kit"])["post"]["width"] / 2
    left = {each["id"] for each in reply["posts"] if each["at"][0] < 80}
    ends = [(along(reply, post),) * 2 for post in flight["posts"] if post in left]
    for bay in reply["bays"]:
        if bay["id"] in flight["bays"] and bay["from"] in left:
            ends.append((along(reply, bay["from"]), along(reply, bay["to"])))
    places = [at * cosine for at in flight["handrails"][0]["brackets"]]
    return [at for at in places if not any(a - half <= at <= b + half for a, b in ends)]


def past_the_level_below(deck: Json, reply: Json) -> set[str]:
    """Foot posts on the ground whose bases reach past the edge of the level that lies there."""
    stair, lower = deck["stairs"][0], deck["levels"][1]
    run, below = (stair["risers"] - 1) * stair["going"], Polygon(lower["outline"]["points"])
    if stair["foot_post"] == "tread" or not below.covers(Point(80, -run)):
        return set()
    on = [each for each in reply["posts"] if "flight" in each and along(reply, each) > run]
    bases = {each["id"]: Polygon(each["base"]) for each in on}
    return {
        name
        for name, base in bases.items()
        if any(below.distance(Point(corner)) > OFF for corner in base.exterior.coords)
    }


def in_the_deck(deck: Json, reply: Json) -> set[str]:
    """Raked bays with the lower deck between their line of nosings and their rail's top."""
    flight, lower = reply["flights"][0], deck["levels"][1]
    surface = lower["drop"] - deck["levels"][0]["drop"]
    shape = Polygon(lower["outline"]["points"]).buffer(-TRIMMED, join_style="mitre")
    tangent = flight["riser"] / flight["going"]
    half = kit_of(deck["kit"])["post"]["width"] / 2
    posts = {each["id"]: each["at"] for each in reply["posts"]}
    found = set()
    for bay in reply["bays"]:
        if bay["id"] in flight["bays"]:
            rail = LineString([posts[bay["from"]], posts[bay["to"]]])
            past = rail.buffer(half, cap_style="flat").intersection(box(-500, -500, 500, 0))
            places = -shapely.get_coordinates(past.intersection(shape))[:, 1]
            if places.size and -max(places) * tangent < surface < 36 - min(places) * tangent:
                found.add(bay["id"])
    return found


def test_brackets_have_a_guard_beside_them() -> None:
    """Each bracket stands beside a post or a rail of its guard, or a finding says so."""
    bare = 0
    for deck, reply in decks(80, 7):
        told = named(reply, "handrail_brackets", "neither a post nor a rail")
        assert bool(bare_brackets(deck, reply)) == bool(told), deck
        bare += bool(told)
    assert 5 < bare < 75


def test_foot_posts_stand_on_the_level_below() -> None:
    """Findings name the foot posts whose bases reach past the level that the flight ends on.

    They name no others.
    """
    past = 0
    for deck, reply in decks(80, 7):
        told = named(reply, "base_on_deck", "the deck of level low")
        assert told == past_the_level_below(deck, reply), deck
        past += bool(told)
    assert past > 5


def test_guards_run_through_no_deck() -> None:
    """Findings name the raked bays that a deck beside the flight lies through, and no others."""
    met = 0
    for deck, reply in decks(80, 7):
        bays = set(reply["flights"][0]["bays"])
        told = named(reply, "rails_clear", "the deck of level low") & bays
        assert told == in_the_deck(deck, reply), deck
        met += bool(told)
    assert met > 5
