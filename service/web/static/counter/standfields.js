// The inputs of what stands in the way of posts and railing: places where no post may stand, and
// columns. Touches nothing but what it makes.

import { edgeChooser, fromEnd } from "./alongfields.js";
import { calledElse } from "./columns.js";
import { describe } from "./described.js";
import { el } from "./dom.js";
import { button, length, words } from "./inputs.js";

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
    const { from, line } = fromEnd(name, level, row,
      (told) => `Measured along the edge from ${told} to its near side, and in from the edge to its `
        + "near face: 0 at the edge, with a minus beyond it.");
    const inward = length(`${name}.in`, "In from the edge");
    describe(inward.querySelector("input"), line.id);
    return group(`Column ${i + 1}`,
      [words(`${name}.name`, "Name", calledElse(i)), edgeChooser(name, "Along edge", level, row),
        button("remove-column", i, `Remove column ${i + 1}`, "×")],
      [from, length(`${name}.width`, "Width, along edge")],
      [inward, length(`${name}.depth`, "Depth, inward")], line);
  });
}

function group(legend, ...parts) {
  const rows = parts.map((part) => (Array.isArray(part) ? el("div", { class: "row" }, part) : part));
  return el("fieldset", { class: "opening" }, el("legend", {}, legend), rows);
}
