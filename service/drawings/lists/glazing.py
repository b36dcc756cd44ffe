"""Drawings: the glass order for a glass shop: panels, shapes of raked ones, setting blocks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.drawings.lists.columns import (
    Field,
    amount,
    count,
    data,
    length,
    listed,
    printed,
    tabulate,
    text,
)
from service.drawings.naming import called, inches, plain
from service.drawings.parts import Column, Heading, Json, Subject, Table

AGAIN: Final = "Measure again"
"""How the reply's caution begins that glass is to be measured again before it is ordered."""
EDGES: Final = "Edges: the kit does not say how they are worked; agree on it before the order."
HOLES: Final = "Holes and cut-outs: none in this layout."
BESIDE_GLASS: Final = ("setting_block", "end_block", "gasket")
"""Roles of the parts that panels are set with, which a glass shop does not bring."""
WORDS: Final = {
    "tolerance": "Size",
    "edges": "Edges",
    "safety_glazing": "Glass and its marks",
}
"""Members of a panel that hold words of the kit or the code, and what each is about."""


def glass_order(subject: Subject, heading: Heading) -> tuple[Table, ...]:
    """Tables of the panels by mark, of the shapes of raked ones, and of their setting blocks."""
    reply = subject.reply
    if not reply["glass_order"]:
        return (tabulate("Glass", _fields(reply), [], "No glass is to be ordered."),)
    rows = list(_panels(subject))
    tables = [tabulate("Glass", _fields(reply), rows, _note(reply), [_totals(reply)])]
    raked = [panel for panel in rows if "lower_edge" in panel]
    if raked:
        tables.append(_raked(reply, raked))
    return (*tables, _blocks(reply))


def _fields(reply: Json) -> list[Field]:
    units = reply["units"]
    sizes = [*length("width", "Width"), *length("height", "Height")]
    if reply["unit"] == "in":
        sizes.append(printed("inches", "Inches"))
    return [
        text("mark", "Mark"),
        count("count", "Count"),
        *sizes,
        data("thickness"),
        text("thickness_text", "Thick"),
        text("type", "Glass"),
        printed("shape_text", "Shape"),
        data("shape"),
        data("measured"),
        printed("sized", "Sized"),
        *listed("bays", "Bays"),
        *amount("area", "Area each", units["area"]),
        *amount("mass", "Mass each", units["mass"]),
        *(data(key) for key in ("total_area", "total_mass", "lower_edge", "lower_edge_text")),
        *(data(key) for key in ("edge_rise", "edge_rise_text")),
        (Column("corners", "corners", only="data"), _places),
        *(data(key) for key in ("length_unit", "area_unit", "mass_unit", *WORDS)),
        *(data(key) for key in ("falls_seen_from_outside", "blocks", "end_block")),
    ]


def _panels(subject: Subject) -> Iterator[Json]:
    """The panels of the order, each with its shape in words and the places of its blocks.

    Of a raked panel it is said which way it falls, as two of one size may differ.
    """
    reply = subject.reply
    units = {"length_unit": reply["unit"], "area_unit": reply["units"]["area"]}
    units["mass_unit"] = reply["units"]["mass"]
    for panel, alike in _blocks_alike(reply):
        shape = {"shape": "rectangle", "shape_text": "rectangle"}
        if "lower_edge" in panel:
            falls = "right" if panel["corners"][1][1] < 0 else "left"
            shape = {"shape": "raked", "shape_text": f"raked, falls {falls}"}
            shape["falls_seen_from_outside"] = falls
        yield {
            **panel,
            **units,
            **shape,
            "inches": f"{inches(panel['width'])} × {inches(panel['height'])}",
            "sized": "as measured" if panel["measured"] else "as drawn",
            **{key: _block_places(alike, key) for key in ("blocks", "end_block")},
        }


def _block_places(alike: Sequence[Json], key: str) -> str:
    """Places of the setting blocks or of the end blocks of one mark, between spaces.

    Where panels of one mark have them at different places, each group comes after its bays. alike:
    as in `_blocks_alike`.
    """
    told = [(" ".join(each["bays"]), " ".join(map(plain, each[key]))) for each in alike]
    if len(told) == 1:
        return told[0][1]
    return "; ".join(f"{bays}: {places}" for bays, places in told if places)


def _note(reply: Json) -> str:
    """What holds for the whole order: the reply's own caution, then words of the kit and code."""
    said = [caution for caution in reply["cautions"] if caution.startswith(AGAIN)]
    for name, about in WORDS.items():
        words = dict.fromkeys(p[name] for p in reply["glass_order"] if name in p)
        said += [f"{about}: {each}." for each in words]
    if not all("edges" in panel for panel in reply["glass_order"]):
        said.append(EDGES)
    return " ".join([*said, HOLES])


def _totals(reply: Json) -> dict[str, str]:
    """The foot of the order: the count, area and mass of all panels, summed from their rows."""
    rows = reply["glass_order"]
    return {
        "mark": "All",
        "count": str(sum(panel["count"] for panel in rows)),
        "area_text": f"{sum(panel['total_area'] for panel in rows):.3f} in all",
        "mass_text": f"{sum(panel['total_mass'] for panel in rows):.3f} in all",
    }


def _raked(reply: Json, rows: Sequence[Json]) -> Table:
    """The shapes of panels down a flight."""
    fields: list[Field] = [
        text("mark", "Mark"),
        *length("width", "Width, level"),
        *length("height", "Sides, plumb"),
        *length("lower_edge", "Edges, along the slope"),
        *length("edge_rise", "Rise from side to side"),
        text("falls_seen_from_outside", "Falls to the"),
        (Column("corners", f"Corners, x and y, {reply['unit']}"), _corners),
    ]
    note = (
        "Seen from outside the flight: both sides plumb, upper and lower edge alike. Corners are "
        "counter-clockwise from the lower left one."
    )
    return tabulate("Raked panels", fields, rows, note)


def _places(panel: Json) -> str:
    return "; ".join(f"{plain(x)} {plain(y)}" for x, y in panel["corners"])


def _corners(panel: Json) -> str:
    """The corners of a panel as pairs of coordinates, no line ending within one."""
    write = inches if panel["length_unit"] == "in" else plain
    pairs = (f"({write(x)}, {write(y)})" for x, y in panel["corners"])
    return "  ".join(pair.replace(" ", "\xa0") for pair in pairs)


def _blocks(reply: Json) -> Table:
    """Where setting blocks stand, by mark; panels of one mark may have them at different places."""
    records = list(_block_rows(reply))
    fields = [text("mark", "Mark"), text("blocks", "Centres of setting blocks")]
    note = "From the panel's left end, as seen from outside"
    raked = any("lower_edge" in panel for panel in reply["glass_order"])
    note += "; of a raked one along its lower edge, from its upper end." if raked else "."
    if any(row["end_block"] for row in records):
        fields.append(text("end_block", "End block"))
        note += " End block: along the lower edge, from its upper end to the block at its low end."
    if any(row["role"] in BESIDE_GLASS for row in reply["parts"]):
        note += " What the glass is set with is in the list of parts, not in this order."
    return tabulate("Setting blocks", [*fields, text("bays", "Bays")], records, note)


def _block_rows(reply: Json) -> Iterator[Json]:
    for panel, alike in _blocks_alike(reply):
        for each in alike:
            yield {
                "mark": panel["mark"],
                "blocks": ", ".join(each["blocks_text"]),
                "end_block": each["end_block_text"],
                "bays": called(each["bays"]),
            }


def _blocks_alike(reply: Json) -> Iterator[tuple[Json, Sequence[Json]]]:
    """Each panel of the order, with its bays by where their blocks stand.

    Of these, `blocks` and `end_block` are lists of numbers, the latter of one or none.
    """
    glass = {bay["id"]: bay["glass"] for bay in reply["bays"] if "glass" in bay}
    glass |= {gate["opening"]: gate["glass"] for gate in reply.get("gates", ()) if "glass" in gate}
    for panel in reply["glass_order"]:
        alike: dict[tuple[tuple[str, ...], str], Json] = {}
        for bay in panel["bays"]:
            own = glass[bay]
            texts, end = tuple(own["blocks_text"]), own.get("end_block_text", "")
            group = {"bays": [], "blocks": own["blocks"], "blocks_text": texts}
            group |= {"end_block": [own["end_block"]] if end else [], "end_block_text": end}
            alike.setdefault((texts, end), group)["bays"].append(bay)
        yield panel, list(alike.values())
