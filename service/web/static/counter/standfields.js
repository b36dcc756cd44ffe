// The inputs for what stands in the way of posts and railing (no-post places and columns), for the
// joists that posts are fixed into, and for sticks on hand. Touches nothing but what it makes.

import { edgeChooser, fromEnd } from "./alongfields.js";
import { calledElse } from "./columns.js";
import { describe } from "./described.js";
import { el } from "./dom.js";
import { firstFrom, runs } from "./framing.js";
import { button, figure, hint, length, offered, select, words } from "./inputs.js";
import { CUT } from "./onhand.js";
import { SHAPES, SIDES } from "./shapes.js";

// The points to which a column is measured, and the words for its sizes, by its shape.
const TO = {
  "": { near: "its near side", face: "its near face", width: "Width, along edge", depth: "Depth, inward", more: "" },
  turned: { near: "its corner nearest the edge", face: "that corner", width: "Width, from it", depth: "Depth, from it",
    more: " Turned: by how many degrees its width leaves the edge." },
  round: { near: "its near side", face: "where it comes nearest", width: "Width (diameter)",
    more: ` It is laid out with ${SIDES} flat sides that touch it from outside, 1/200 of its radius larger at the most.` },
};

export function drawNoPosts(level) {
  return level.no_post.map((row, i) => {
    const name = `no_post.${i}`;
    const { from, line } = fromEnd(name, level, row,
      (told) => `Measured along the edge from ${told} to the near side of the place.`);
    return group(`No-post place ${i + 1}`,
      [edgeChooser(name, "On edge", level, row), words(`${name}.why`, "Why (optional)"),
        button("remove-no-post", i, `Remove no-post place ${i + 1}`, "×")],
      [from, length(`${name}.width`, "Length, along edge")], line);
  });
}

export function drawColumns(level) {
  return level.columns.map((row, i) => {
    const name = `columns.${i}`;
    const to = TO[row.shape] ?? TO[""];
    const { from, line } = fromEnd(name, level, row,
      (told) => `Measured along the edge from ${told} to ${to.near}, and in from the edge to ${to.face}: `
        + `0 at the edge, with a minus beyond it.${to.more} How high: from the deck up; one as high as the guard guards, too.`);
    const inward = length(`${name}.in`, "In from the edge");
    const turn = row.shape === "turned" ? figure(`${name}.turn`, "Turned, °") : null;
    for (const field of [inward, turn]) if (field) describe(field.querySelector("input"), line.id);
    return group(`Column ${i + 1}`,
      [words(`${name}.name`, "Name", calledElse(i)), edgeChooser(name, "Along edge", level, row),
        button("remove-column", i, `Remove column ${i + 1}`, "×")],
      [select(`${name}.shape`, "Shape", SHAPES), turn],
      [from, length(`${name}.width`, to.width)],
      [inward, row.shape === "round" ? null : length(`${name}.depth`, to.depth)],
      [length(`${name}.height`, "How high (optional)")], line);
  });
}

// The inputs for joists, whose sizes are asked for only once their direction is known.
export function drawFraming(level) {
  const run = select("framing.joist_direction", "Joists run", runs(level));
  describe(run.querySelector("select"), "framing-hint");
  if (!level.framing.joist_direction) return [run];
  const line = hint(`From ${firstFrom(level)} to the middle of the first joist.`, "framing.how");
  const first = length("framing.first_joist", "To the first joist");
  describe(first.querySelector("input"), line.id);
  return [run,
    el("div", { class: "row" }, first, length("framing.joist_spacing", "Middle to middle")), line,
    el("div", { class: "row" }, length("framing.joist_width", "Joist thickness"),
      length("framing.rim_width", "Rim thickness"))];
}

export function drawOnHand({ on_hand: sticks }) {
  return sticks.map((row, i) => group(`Sticks ${i + 1}`,
    [select(`on_hand.${i}.part`, "For", offered(CUT, row.part)),
      button("remove-sticks", i, `Remove sticks ${i + 1}`, "×")],
    [length(`on_hand.${i}.length`, "Length of each"), figure(`on_hand.${i}.count`, "How many")]));
}

function group(legend, ...parts) {
  const rows = parts.map((part) => (Array.isArray(part) ? el("div", { class: "row" }, part) : part));
  return el("fieldset", { class: "opening" }, el("legend", {}, legend), rows);
}
