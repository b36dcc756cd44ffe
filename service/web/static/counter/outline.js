// The outline as the form holds it and as the document does, in every way that a deck is measured.
// Pure: touches nothing but its arguments.

import { readNumber } from "./lengths.js";
import { blankCorner, blankPoint, blankSide } from "./model.js";
import { typed } from "./pen.js";

export function outline(form, pen) {
  const at = "/levels/0/outline";
  if (form.way === "rectangle") {
    const names = ["width", "depth", "width", "depth"];
    return { sides: names.map((name, i) => {
      const side = {};
      pen.length(side, "length", `${at}/sides/${i}`, form.rectangle[name], `rectangle.${name}`);
      return side;
    }) };
  }
  if (form.way === "sides") return { sides: form.sides.map((row, i) => {
    const side = {};
    pen.length(side, "length", `${at}/sides/${i}`, row.length, `sides.${i}.length`);
    pen.number(side, "turn", `${at}/sides/${i}`, row.turn, `sides.${i}.turn`);
    return side;
  }) };
  if (form.way === "points") return { points: form.points.map((row, i) => ["x", "y"].map((name, k) => {
    pen.places[`${at}/points/${i}/${k}`] = `points.${i}.${name}`;
    return readNumber(row[name]) ?? null;
  })) };
  const ties = {};
  pen.length(ties, "baseline", `${at}/ties`, form.baseline, "baseline");
  ties.corners = form.corners.map((row, i) => {
    const corner = {};
    for (const name of ["from_a", "from_b"]) {
      pen.length(corner, name, `${at}/ties/corners/${i}`, row[name], `corners.${i}.${name}`);
    }
    return corner;
  });
  return { ties };
}

export function fromOutline({ points, sides, ties }) {
  const form = {
    way: points ? "points" : sides ? "sides" : "ties",
    rectangle: { width: "", depth: "" }, baseline: typed(ties?.baseline),
    sides: sides?.map((each) => ({ length: typed(each?.length), turn: typed(each?.turn) }))
      ?? [blankSide(), blankSide(), blankSide(), blankSide()],
    points: points?.map((each) => ({ x: typed(each?.[0]), y: typed(each?.[1]) }))
      ?? [blankPoint(), blankPoint(), blankPoint(), blankPoint()],
    corners: ties?.corners.map((each) => ({ from_a: typed(each?.from_a), from_b: typed(each?.from_b) }))
      ?? [blankCorner(), blankCorner()],
  };
  if (sides && isRectangle(sides)) {
    form.way = "rectangle";
    form.rectangle = { width: form.sides[0].length, depth: form.sides[1].length };
  }
  return form;
}

// A walk of four square turns, the lengths in pairs, with nothing said of the turns.
export function isRectangle(sides) {
  const [a, b, c, d] = sides.map((side) => side?.length);
  const plain = sides.every((side) => Object.keys(side ?? {}).join() === "length");
  return sides.length === 4 && plain && a === c && b === d;
}

// The side of a walk whose length was left out, and what the reply worked out for it.
export function closingSide(form, reply) {
  if (form.way !== "sides") return null;
  const edge = form.sides.findIndex((side) => !side.length.trim());
  const outlined = reply.surveyed?.find(({ level }) => level === form.levelId);
  const side = outlined?.sides.find((each) => each.edge === edge);
  return side ? { field: `sides.${edge}.length`, text: `= ${side.length_text}` } : null;
}
