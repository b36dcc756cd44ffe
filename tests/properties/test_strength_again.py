"""What posts, rails and infill have to carry, worked again from document, kit, code and reply.

The sums are those of a handbook (beams and cantilevers, hollow squares and rectangles) with the
assumptions that the reference states under "Strength, beforehand"; nothing here is from `rules`.
Codes are read as their documents print them, and the shipped kits as theirs.
"""

from __future__ import annotations

import json
import math
import random
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path

import pytest

import service.data
from service.answer import answer_document
from service.core.problems import Refusal
from service.data.catalogue import load_catalogue
from tests.properties.test_solid import Json, kit_of

KITS = ("picket-glass-surface-in", "glass-picket-surface-mm")
CODES = ("us-irc-2021", "us-ibc-2021", "ca-nbc-2020", "gb-eng-adk-2013", "au-ncc-2022", "nz-f4-as1")
NEWTONS = 4.4482216152605
"""In a pound of force."""
ALSO = {"house": ("house", "dwelling"), "shared_by_two": ("shared_by_two", "shared")}


@cache
def code_of(name: str) -> Json:
    """A shipped code's figures, with its unit as one of them."""
    file = Path(service.data.__file__).parent / "codes" / f"{name}.json"
    code: Json = json.loads(file.read_text("utf-8"))
    return {**code["figures"], "unit": code["unit"]}


def printed(code: Json, name: str, unit: str, occupancy: str, flight: bool) -> float:
    """A load by what is printed for the place, in the document's unit; 0 where there is none.

    A line load comes in lbf per inch or in N per mm, a pressure in psi or in N per square mm.
    """
    figure = code.get(name, {})
    here = figure
    for case in figure.get("when", []):
        occupied = case["measure"] == "occupancy" and case["is"] in ALSO.get(
            occupancy, (occupancy,)
        )
        if occupied or (case["measure"] == "risers" and flight):
            here = case
            break
    value, twin, own = here.get("value", 0.0), here.get("twin"), code["unit"] == unit
    inches = unit == "in"
    if name.endswith("side"):
        return float(value if own else twin or (value / 25.4 if inches else value * 25.4))
    if name.endswith("point_load"):
        return float(value if own else twin or (value / NEWTONS if inches else value * NEWTONS))
    if name.endswith("pressure"):
        return float(value / 1000 * (25.4**2 / NEWTONS if inches else 1))
    if own or twin:
        return float((value if own else twin) / (12 if inches else 1))
    return float(value * 25.4 / NEWTONS if inches else value * NEWTONS / 304.8)


class Loads:
    """The loads of a place: of the guard (point, line, down), of its infill (force, all over)."""

    def __init__(self, deck: Json, flight: bool) -> None:
        code, occupancy = code_of(deck["code"]), deck.get("occupancy", "")
        names = ["guard_point_load", "guard_line_load", "guard_vertical_load"]
        names += ["infill_point_load", "infill_pressure", "infill_load_side"]
        loads = [printed(code, name, deck["unit"], occupancy, flight) for name in names]
        self.point, self.line, self.down, self.force, self.pressure, self.side = loads
        shared = code.get("infill_load_pickets", {})
        whens = {case["is"]: case.get("value") for case in shared.get("when", [])}
        self.pickets = whens.get(occupancy, shared.get("value"))


def hollow(across: float, along: float, wall: float) -> float:
    """Section modulus of a rectangular tube, bent across its width `across`."""
    inner = (along - 2 * wall) * (across - 2 * wall) ** 3
    return (along * across**3 - inner) / 12 / (across / 2)


def moduli(kit: Json, infill: str, rail: str) -> tuple[float, float | None]:
    """Section moduli of a rail, for a level load and for one straight down."""
    member, depth = kit["strength"][f"{rail}_rail_{infill}"], kit["rails"][infill][rail]["depth"]
    if "section_modulus" in member:
        return member["section_modulus"], member.get("section_modulus_down")
    sides = member["width"], depth, member["wall"]
    return hollow(*sides), hollow(depth, member["width"], member["wall"])


def demands(deck: Json, reply: Json) -> dict[str, dict[str, float]]:
    """By what is looked at: the demand at each post or bay."""
    kit, found = kit_of(deck["kit"]), defaultdict[str, dict[str, float]](dict)
    factored = code_of(deck["code"])["strength_method"]["value"] == "partial factors"
    factor = 1.5 if factored else 1.0
    at_post = defaultdict[str, list[tuple[float, bool]]](list)
    for bay in reply["bays"]:
        for end in filter(None, (bay["from"], bay["to"])):
            flight = "flight" in bay
            at_post[end].append((bay["centres_slope" if flight else "centres"], flight))
        for key, value in _of_bay(kit, bay, Loads(deck, "flight" in bay)).items():
            found[key][bay["id"]] = factor * value
    for gate in reply.get("gates", []):
        for end in filter(None, (gate.get("hinge_post"), gate.get("latch_post"))):
            at_post[end].append((gate["leaf"]["width"], False))
    side, fixing = kit["post"]["width"], kit["strength"]["fixing"]
    for post in reply["posts"]:
        if not at_post[post["id"]]:
            continue
        loads = [Loads(deck, flight) for _, flight in at_post[post["id"]]]
        length, height = sum(each for each, _ in at_post[post["id"]]) / 2, post["height"]
        greatest = max(max(each.point, each.force, each.line * length) for each in loads) * height
        all_over = max(each.pressure for each in loads) * height**2 * length / 2
        moment = factor * max(greatest, all_over)
        modulus = hollow(side, side, kit["strength"]["post"]["wall"])
        found["post"][post["id"]] = moment / modulus
        found["base"][post["id"]] = moment / fixing["lever_arm"] / fixing["in_tension"]
    return found


def _of_bay(kit: Json, bay: Json, loads: Loads) -> dict[str, float]:
    """Stresses in a bay's rails and its infill, before any factor."""
    span, infill = bay["centres_slope" if "flight" in bay else "centres"], bay["infill"]
    high = bay["pickets"]["length"] if infill == "picket" else bay["glass"]["height"]
    half = loads.pressure * high / 2 * span**2 / 8
    level, down = moduli(kit, infill, "top")
    point, line = max(loads.point, loads.force) * span / 4, loads.line * span**2 / 8
    stresses = {"top": max(point, line, half) / level}
    if down is not None:
        straight_down = max(loads.point * span / 4, loads.down * span**2 / 8)
        stresses["top"] = max(stresses["top"], straight_down / down)
    stresses["bottom"] = max(loads.force * span / 4, half) / moduli(kit, infill, "bottom")[0]
    if infill == "glass":
        thin, bites = kit["glass"]["panes"][0]["minimum"], kit["glass"]["engagement"]
        plumb = math.cos(math.radians(bay["pitch"]))
        held = high - (bites["top"] + bites["bottom"]) / 2 / plumb
        stresses["glass"] = 0.75 * loads.pressure * (held / thin) ** 2
        if loads.side:
            moment = loads.force * (2 * held - loads.side) / 8
            stresses["glass"] = max(stresses["glass"], 6 * moment / loads.side / thin**2)
        return stresses
    picket, width = kit["strength"]["picket"], kit["picket"]["width"]
    pitch = width + bay["pickets"]["gap"]
    sharing = max(1, math.floor(loads.side / pitch + 1e-9))
    if loads.pickets and (loads.pickets - 1) * pitch - width < loads.side:
        sharing = loads.pickets
    sharing = min(sharing, max(1, bay["pickets"]["count"]))
    modulus = hollow(width, width, picket["wall"]) if "wall" in picket else width**3 / 6
    patch = loads.force / sharing * (2 * high - loads.side) / 8
    stresses["picket"] = max(patch, loads.pressure * pitch * high**2 / 8) / modulus
    return stresses


@cache
def decks(count: int, seed: int) -> list[tuple[Json, Json]]:
    """Square decks with a gate or a flight at the front, some with both, and their replies."""
    rng, catalogue = random.Random(seed), load_catalogue()
    found: list[tuple[Json, Json]] = []
    while len(found) < count:
        name = rng.choice(KITS)
        unit, size = (("in", 1.0), ("mm", 25.4))[name.endswith("mm")]
        wide, deep, opening = (
            round(rng.uniform(*at) * size) for at in ((150, 300), (90, 180), (32, 42))
        )
        use = rng.choice(["stair", "gate"])
        level: Json = {"id": "main", "drop": 48 * size}
        level["outline"] = {"points": [[0, 0], [wide, 0], [wide, deep], [0, deep]]}
        level["edges"] = [{"edge": 2, "condition": "wall"}]
        level["edges"] += [
            {"edge": n, "infill": rng.choice(["picket", "glass"])} for n in (0, 1, 3)
        ]
        level["openings"] = [
            {"id": "way", "edge": 0, "from": 40 * size, "width": opening, "use": use}
        ]
        guard = {"infill": "picket", "height": rng.choice(kit_of(name)["post"]["heights"])}
        deck: Json = {"unit": unit, "kit": name, "code": rng.choice(CODES), "guard": guard}
        deck["levels"] = [level]
        if rng.random() < 0.7:
            deck["occupancy"] = rng.choice(["dwelling", "shared", "house", "shared_by_two"])
        if use == "stair" or rng.random() < 0.5:
            stair: Json = {"id": "down", "opening": "main/way", "rise": 48 * size, "risers": 7}
            stair |= {"going": 11 * size, "guards": ["left", "right"], **guard}
            deck["stairs"] = [stair | {"infill": rng.choice(["picket", "glass"])}]
        try:
            found.append((deck, answer_document(deck, catalogue)))
        except Refusal:
            continue
    return found


def looked_at(finding: Json) -> str | None:
    """Which of `demands` a finding of the strength check is on; None for movement and the like."""
    if "case" not in finding or finding["unit"] in ("in", "mm"):
        return None
    if finding["rule"] == "strength_rail":
        parts = {"in the top rail": "top", "in the bottom rail": "bottom"}
        return next((part for words, part in parts.items() if words in finding["message"]), None)
    rules = {"strength_post": "post", "strength_base": "base", "strength_glass": "glass"}
    return {**rules, "strength_infill": "picket"}.get(finding["rule"])


def test_what_each_member_carries() -> None:
    """Each finding's demand is the greatest of its posts or bays, and none is left out."""
    seen = Counter[str]()
    for deck, reply in decks(80, 5):
        worked, told = demands(deck, reply), defaultdict[str, set[str]](set)
        for finding in reply["findings"]:
            part = looked_at(finding)
            if part is None:
                continue
            places = [each for each in finding["where"] if each in worked[part]]
            told[part] |= set(places)
            if places:
                most = max(worked[part][each] for each in places)
                assert finding["actual"] == pytest.approx(most, rel=1e-5, abs=1e-3), (part, places)
                seen[part] += 1
        for part in ("post", "top", "bottom"):
            assert told[part] == set(worked[part])
    assert min(seen[part] for part in ("post", "base", "top", "bottom", "picket", "glass")) > 25
