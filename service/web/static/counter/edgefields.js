// The inputs for edges: what stands at each; and, in a fold, what few decks need: the drop at an
// edge, and how its railing ends at a wall or beside an open edge. Touches nothing but what it
// makes.

import { describe } from "./described.js";
import { el } from "./dom.js";
import { edgeName, edgeWords } from "./ends.js";
import { defaulted, hint, length, offered, select } from "./inputs.js";
import { edgeCount } from "./model.js";

const CONDITIONS = [["guard", "Guard"], ["wall", "Wall"], ["open", "Open"]];
const INFILLS = [["", "Same"], ["picket", "Picket"], ["glass", "Glass"]];
const WALL_ENDS = [["", "Bracket"], ["post", "Post"]];
const OPEN_ENDS = [["", "Set in"], ["edge", "Close to it"]];

const BELOW = [["", "Same"], ["walked", "People can walk there"], ["shielded", "Nobody can, or shielded"]];
const BOW = "bow-hint";
const MORE = "edge-more-hint";

const numbers = (level) =>
  Array.from({ length: Math.max(edgeCount(level), level.edges.length) }, (_, i) => i);

export function drawEdges(level) {
  return [hint("Bow: how far an edge bends out at its middle; inward with a minus.", BOW),
    ...numbers(level).map((i) => {
      const { condition, infill, height } = level.edges[i];
      const off = condition !== "guard";
      const bow = length(`edges.${i}.bow`, "Bow", "Bow");
      bow.classList.add("bow");
      describe(bow.querySelector("input"), BOW);
      return el("fieldset", { class: "row edge" }, el("legend", { "data-edge": i }, `Edge ${edgeWords(level, i)}`),
        select(`edges.${i}.condition`, "What is there", CONDITIONS),
        off && !infill ? null : select(`edges.${i}.infill`, "Infill", INFILLS),
        off && !height ? null : length(`edges.${i}.height`, "Height", "Height"),
        bow);
    })];
}

// A row for each edge that is no wall, or for which something is said already. asks: {ground, next,
// beneath}, whether the code goes by these; panes: of the kit, where there is a choice; glass:
// tells whether an edge has any.
export function drawEdgeMore(level, asks) {
  const rows = numbers(level).filter((i) => level.edges[i].condition !== "wall" || saysMore(level.edges[i]))
    .map((i) => {
      const name = `Edge ${edgeName(level, i)}`;
      const drop = length(`edges.${i}.drop`, `${name}, drop`, "same");
      const end = meetsWall(level, i)
        && select(`edges.${i}.wall_end`, `${name}, at a wall`, defaulted("bracket", WALL_ENDS, level.edges[i].wall_end));
      for (const field of [drop, end]) if (field) describe(field.querySelector("input, select"), MORE);
      const row = el("div", { class: "row measure" }, el("p", {}, el("strong", {}, name)), drop, end);
      const further = furtherOf(level, i, name, asks);
      return further.length ? [row, el("div", { class: "row further" }, further)] : [row];
    });
  const heads = ["Edge", "Drop", "At a wall"].map((words) => el("span", {}, words));
  return [hint("Drop: where the ground lies higher or lower than elsewhere. At a wall or a column a railing ends in a "
    + "bracket on it, or in a post of its own. Beside an open edge its last post is set in from that edge as from its own, "
    + "or stands as close to it as its base has room.", MORE),
  el("div", { class: "row measure", "aria-hidden": "true" }, heads), ...rows.flat()];
}

// The inputs that an edge has only where they decide something.
function furtherOf(level, i, name, { ground, next, beneath, panes, glass }) {
  const edge = level.edges[i];
  const at = (member) => `edges.${i}.${member}`;
  return [
    meetsOpen(level, i) && select(at("open_end"), "At an open edge", defaulted("setback", OPEN_ENDS, edge.open_end),
      `${name}, at an open edge`),
    ground && length(at("drop_to_ground"), "To finished ground", "same", `${name}, to finished ground`),
    next && length(at("drop_to_next_level"), "To the next level", "same", `${name}, to the next level`),
    beneath && select(at("beneath"), "Below it", offered(BELOW, edge.beneath), `${name}, below it`),
    edge.glass || (panes.length && glass(edge))
      ? select(at("glass"), "Glass", paneChoices(panes, edge.glass), `${name}, glass`) : null,
  ].filter(Boolean);
}

const paneChoices = (panes, said) => defaulted("0", panes.map((words, at) => [at ? String(at) : "", words]), said);

export const saysMore = (edge) =>
  ["drop", "wall_end", "open_end", "drop_to_ground", "drop_to_next_level", "beneath"].some((name) => edge[name].trim());

// Whether to ask how the railing ends at a wall: where it meets a wall or a column, or an end is
// said already.
function meetsWall(level, i) {
  const { condition, wall_end } = level.edges[i];
  const meets = isBeside(level, i, "wall") || level.columns.some(({ edge }) => edge === String(i));
  return Boolean(wall_end) || (condition === "guard" && meets);
}

// Whether to ask how the railing ends at an open edge: where one is beside, or an end is said
// already.
function meetsOpen(level, i) {
  const { condition, open_end } = level.edges[i];
  return Boolean(open_end) || (condition === "guard" && isBeside(level, i, "open"));
}

function isBeside(level, i, condition) {
  const last = edgeCount(level) - 1;
  const beside = [level.edges[i === 0 ? last : i - 1], level.edges[i === last ? 0 : i + 1]];
  return beside.some((edge) => edge?.condition === condition);
}
