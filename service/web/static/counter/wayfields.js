// The inputs for each way to measure a deck: a rectangle, a tape walk, corners, two tapes. Touches
// nothing but what it makes.

import { el } from "./dom.js";
import { button, figure, hint, length } from "./inputs.js";
import { WAYS } from "./model.js";

export const HOW = "measured-hint";

// The inputs for the way that a level is measured. first: the level beside which others are placed.
export const drawMeasured = (level, first) =>
  ({ rectangle, sides, points, ties })[level.way](level, first);

function rectangle({ placed }, first) {
  const size = el("div", { class: "row" },
    length("rectangle.width", "Width, along house"),
    length("rectangle.depth", "Depth, from house"));
  const from = first.way === "rectangle" && !first.placed ? `the front left corner of ${first.id}`
    : `0, 0 of the plan, where ${first.id} begins`;
  return placed ? [size,
    hint(`From ${from} to the front left corner of this level; the other way with a minus.`, HOW),
    el("div", { class: "row" },
      length("rectangle.right", "To the right"), length("rectangle.out", "Out into the yard"))] : [size];
}

function sides(level) {
  return [
    hint("Walk round the deck with the yard on your right: a side, then the turn at its end, at an inner corner "
      + "with a minus. One length may be left empty.", HOW),
    ...rows(level, (i) => [length(`sides.${i}.length`, `Side ${i}`),
      figure(`sides.${i}.turn`, "Turn left, °", `Side ${i}, turn left, °`)]),
  ];
}

function points(level) {
  return [
    hint("x to the right, y up toward the house, with a minus the other way. Edge 0 runs from corner 0 to 1.", HOW),
    ...rows(level, (i) => [length(`points.${i}.x`, `Corner ${i}, x`),
      length(`points.${i}.y`, "y", null, `Corner ${i}, y`)]),
  ];
}

function ties(level) {
  return [
    hint("Two tapes from the ends of the house wall, A left and B right as you face it. "
      + "Corners in order, round the deck from A to B.", HOW),
    el("div", { class: "row" }, length("baseline", "House wall, A to B")),
    ...rows(level, (i) => [length(`corners.${i}.from_a`, `Corner ${i + 1}, A`),
      length(`corners.${i}.from_b`, "B", null, `Corner ${i + 1}, B`)]),
  ];
}

function rows(level, inputs) {
  const { rows: name, least } = WAYS[level.way];
  const noun = name === "sides" ? "side" : "corner";
  const called = (i) => `${noun} ${name === "corners" ? i + 1 : i}`;
  return [
    ...level[name].map((_, i) => el("div", { class: "row" }, ...inputs(i),
      button("insert-row", i, `Add a ${noun} after ${called(i)}`, "+"),
      button("remove-row", i, `Remove ${called(i)}`, "×", level[name].length <= least))),
    el("button", { type: "button", id: "add-row", "data-do": "add-row" }, `Add a ${noun}`),
  ];
}
