// The outline as the form holds it and as the document has it, for each way to measure a deck.
// Pure: touches nothing but its arguments.

import { coordinate, rectangleCorners } from "./coordinates.js";
import { blankCorner, blankPoint, blankSide } from "./model.js";
import { typed } from "./pen.js";

// The outline as the document has it. at: the pointer of the level.
export function outline(level, pen, at) {
  return WRITE[level.way](level, pen, `${at}/outline`);
}

const WRITE = {
  rectangle(level, pen, at) {
    if (level.placed) return { points: placedRectangle(level, pen, at) };
    const names = ["width", "depth", "width", "depth"];
    return { sides: names.map((name, i) => {
      const side = pen.begin({ opened: level.rectangle.opened?.[name] });
      pen.length(side, "length", `${at}/sides/${i}`, level.rectangle[name], `rectangle.${name}`);
      return side;
    }) };
  },
  sides: (level, pen, at) => ({ sides: level.sides.map((row, i) => {
    const side = pen.begin(row);
    pen.length(side, "length", `${at}/sides/${i}`, row.length, `sides.${i}.length`);
    pen.number(side, "turn", `${at}/sides/${i}`, row.turn, `sides.${i}.turn`);
    return side;
  }) }),
  points: (level, pen, at) => ({ points: level.points.map((row, i) => ["x", "y"].map((name, k) => {
    pen.place(`${at}/points/${i}/${k}`, `points.${i}.${name}`);
    pen.begin(row);
    return pen.asOpened(name, row[name]) ? row.opened[name] : coordinate(row[name], pen.unit);
  })) }),
  ties(level, pen, at) {
    const ties = pen.begin({ opened: level.tied });
    pen.length(ties, "baseline", `${at}/ties`, level.baseline, "baseline");
    ties.corners = level.corners.map((row, i) => {
      const corner = pen.begin(row);
      for (const name of ["from_a", "from_b"]) {
        pen.length(corner, name, `${at}/ties/corners/${i}`, row[name], `corners.${i}.${name}`);
      }
      return corner;
    });
    return { ties };
  },
};

// The corners of a rectangle beside the first level's. Faults of far coordinates are told at the
// size, or at the place if only that cannot be read.
function placedRectangle(level, pen, at) {
  const corners = rectangleCorners(level, pen.unit);
  const [near, size] = [["right", "out"], ["width", "depth"]];
  const read = (name) => typeof coordinate(level.rectangle[name], pen.unit) === "number";
  const far = near.map((name, k) => (read(name) || !read(size[k]) ? size[k] : name));
  const fields = [near, [far[0], near[1]], far, [near[0], far[1]]];
  fields.forEach((names, i) => names.forEach((name, k) =>
    pen.place(`${at}/points/${i}/${k}`, `rectangle.${name}`)));
  return corners;
}

// The form's members for an outline. placed: whether a rectangle is placed beside the first
// level's.
export function fromOutline({ points, sides, ties }, placed) {
  const level = {
    way: points ? "points" : sides ? "sides" : "ties", placed,
    rectangle: { width: "", depth: "", right: "", out: "" }, baseline: typed(ties?.baseline), tied: ties,
    sides: sides?.map((each) => ({ length: typed(each?.length), turn: typed(each?.turn), opened: each ?? {} }))
      ?? [blankSide(), blankSide(), blankSide(), blankSide()],
    points: points?.map((each) => ({ x: typed(each?.[0]), y: typed(each?.[1]), opened: { x: each?.[0], y: each?.[1] } }))
      ?? [blankPoint(), blankPoint(), blankPoint(), blankPoint()],
    corners: ties?.corners.map((each) => ({ from_a: typed(each?.from_a), from_b: typed(each?.from_b), opened: each ?? {} }))
      ?? [blankCorner(), blankCorner()],
  };
  if (sides && !placed && isRectangle(sides)) {
    level.way = "rectangle";
    Object.assign(level.rectangle, { width: level.sides[0].length, depth: level.sides[1].length,
      opened: { width: sides[0], depth: sides[1] } });
  }
  if (points && placed) takePlaced(level, points);
  return level;
}

// Show four corners as a placed rectangle, where the form would write the same corners.
function takePlaced(level, points) {
  if (points.length !== 4 || !points.flat().every(Number.isFinite)) return;
  const [[x, y], , [farX, farY]] = points;
  const [right, out, width, depth] = [x, 0 - y, farX - x, farY - y].map((length) =>
    String(Number(length.toFixed(4))));
  const rectangle = { width, depth, right, out };
  const written = rectangleCorners({ rectangle, placed: true }, "in");
  const same = JSON.stringify(written) === JSON.stringify(points);
  if (same && farX > x && farY > y) Object.assign(level, { way: "rectangle", rectangle });
}

// Whether a walk is a rectangle: four sides, equal in pairs, with nothing said of the turns.
export function isRectangle(sides) {
  const [a, b, c, d] = sides.map((side) => side?.length);
  const plain = sides.every((side) => Object.keys(side ?? {}).join() === "length");
  return sides.length === 4 && plain && a === c && b === d;
}

// The field of a walk's side whose length was left out, and the length that the reply worked out
// for it.
export function closingSide(level, reply) {
  if (level.way !== "sides") return null;
  const edge = level.sides.findIndex((side) => !side.length.trim());
  const outlined = reply.surveyed?.find((each) => each.level === level.id);
  const side = outlined?.sides.find((each) => each.edge === edge);
  return side ? { field: `sides.${edge}.length`, text: `= ${side.length_text}` } : null;
}
