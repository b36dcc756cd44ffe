// What the form holds: text as typed, by the names of its fields, level by level; and what an
// opened document has beyond these (`kept`, and `rest` of each object). Pure: changes the form, or
// the level of it, that it is given and touches nothing else.

import { bindUnit } from "./amendments.js";
import { goesByUnit } from "./bound.js";
import { rectangleCorners } from "./coordinates.js";
import { blankFraming, changeFraming } from "./framing.js";
import { convert } from "./lengths.js";
import { switchDegrees } from "./site.js";

// The ways to measure a deck. least: the fewest rows that make an outline.
export const WAYS = {
  rectangle: { words: "Rectangle", count: () => 4 },
  sides: { words: "Tape walk", rows: "sides", least: 3, count: (level) => level.sides.length },
  points: { words: "Corners", rows: "points", least: 3, count: (level) => level.points.length },
  ties: { words: "Two tapes", rows: "corners", least: 1, count: (level) => level.corners.length + 2 },
};

export const blankSide = () => ({ length: "", turn: "90" });
export const blankPoint = () => ({ x: "", y: "" });
export const blankCorner = () => ({ from_a: "", from_b: "" });
// The drops of a level, and of an edge where it has its own.
export const DROPS = ["drop", "drop_to_ground", "drop_to_next_level"];
// An edge with nothing typed. said: whether someone has said the condition; otherwise it is only
// what the form begins with.
export const blankEdge = (condition = "guard") =>
  ({ condition, said: false, infill: "", glass: "", height: "", bow: "", wall_end: "", open_end: "", beneath: "",
    ...blankDrops(), rest: {} });
const blankDrops = () => Object.fromEntries(DROPS.map((name) => [name, ""]));
// Entries that no row of the form could hold, by the lists of the document.
export const blankMore = () => ({ edges: [], no_post: [], obstructions: [] });
export const blankFlight = () => ({
  id: "", rise: "", follows: false, risers: "", going: "", nosing: "", infill: "", glass: "", height: "", foot_post: "", to_level: "",
  rest: {},
  guards: { left: true, right: true }, handrail: { left: false, right: true },
});
const BLANKS = { sides: blankSide, points: blankPoint, corners: blankCorner };

// The level that the form shows.
export const shown = (form) => form.levels[form.at];

export function edgeCount(level) {
  return WAYS[level.way].count(level);
}

// The condition of an edge for which nothing is said: a guard, but the line from B to A of two
// tapes is the house.
export function usualCondition(level, edge) {
  return level.way === "ties" && edge === edgeCount(level) - 1 ? "wall" : "guard";
}

// Give every edge of the outline its entry, so that each can be shown.
export function fillEdges(level) {
  for (let i = 0; i < edgeCount(level); i += 1) level.edges[i] ??= blankEdge(usualCondition(level, i));
}

export function sayEdge(level, edge) {
  level.edges[edge].said = true;
  level.askHouse = false;
}

// Called when the edges are others than before. A condition that nobody said may now stand on
// another edge, so it is reset to guard: a guard too many is seen on the plan, and one too few is a
// fall.
function askAgain(level) {
  fillEdges(level);
  level.edges.forEach((edge, i) => {
    const usual = !edge.said && edge.condition === usualCondition(level, i);
    if (usual || edge.condition === "guard") return;
    level.askHouse = true;
    if (!edge.said) edge.condition = "guard";
  });
}

export function addRow(level) {
  insertRow(level, level[WAYS[level.way].rows].length - 1);
}

// Add a row, with its edge, after another. With two tapes edge 0 leads to the first corner, so the
// edge after a corner has a number one higher. What stands on later edges moves with them.
export function insertRow(level, row) {
  const { rows } = WAYS[level.way];
  level[rows].splice(row + 1, 0, BLANKS[rows]());
  const edge = row + (rows === "corners" ? 2 : 1);
  level.edges.splice(edge, 0, blankEdge());
  for (const one of onEdges(level)) {
    if (Number(one.edge) >= edge) one.edge = String(Number(one.edge) + 1);
  }
  askAgain(level);
}

// Remove a row with its edge. What stands on later edges moves with them; what stands on the
// removed edge keeps its number, so that it is seen.
export function removeRow(level, row) {
  level[WAYS[level.way].rows].splice(row, 1);
  level.edges.splice(row, 1);
  for (const one of onEdges(level)) {
    if (Number(one.edge) > row) one.edge = String(Number(one.edge) - 1);
  }
  askAgain(level);
}

const onEdges = (level) => [...level.openings, ...level.no_post, ...level.columns];

// Measure the deck another way, which takes over as much as can be known from what was typed.
export function switchWay(level, way, unit) {
  const { width, depth } = level.rectangle;
  if (level.way === "rectangle" && way === "sides") {
    level.sides = [width, depth, width, depth].map((length) => ({ length, turn: "90" }));
  }
  if (level.way === "rectangle" && way === "points") {
    level.points = rectangleCorners(level, unit).map((at) =>
      Object.fromEntries(["x", "y"].map((name, k) => [name, String(at[k] ?? "")])));
  }
  const [was, before] = [level.way, edgeCount(level)];
  level.way = way;
  if ((was === "ties") !== (way === "ties") && takeBack(level, was)) return;
  const gone = level.edges.splice(way === "ties" ? 0 : edgeCount(level));
  if (gone.some((edge) => edge.said && edge.condition !== "guard")) level.askHouse = true;
  if (was === "ties" || before !== edgeCount(level)) askAgain(level);
  fillEdges(level);
}

// Change between two tapes and the other ways, whose edges are not the same. Those of the way
// before are set aside, so that whoever looks at another way and comes back finds what was said.
// Returns whether the new way had edges set aside, as many as there are now.
function takeBack(level, was) {
  const [here, there] = was === "ties" ? ["ties", "others"] : ["others", "ties"];
  const back = level.putBy?.[there];
  level.putBy = { ...level.putBy, [here]: structuredClone({ edges: level.edges, askHouse: level.askHouse }) };
  if (back?.edges.length !== edgeCount(level)) return false;
  Object.assign(level, structuredClone(back));
  return true;
}

// Switch the unit; all lengths stay the same, as plain numbers are converted.
export function switchUnit(form, unit) {
  const change = (holder, ...names) => {
    for (const name of names) holder[name] = convert(holder[name], unit);
  };
  change(form, "height");
  change(form.compared, "height");
  form.levels.forEach((level) => changeLevel(level, change));
  form.amendments.filter(({ kind }) => kind === "length").forEach((row) => change(row, "value"));
  form.measures.forEach((row) => change(row, "clear_top", "clear_bottom"));
  form.on_hand.forEach((row) => change(row, "length"));
  switchDegrees(form, unit);
  form.unit = unit;
}

function changeLevel(level, change) {
  change(level, ...DROPS, "baseline");
  change(level.rectangle, "width", "depth", "right", "out");
  level.sides.forEach((side) => change(side, "length"));
  level.points.forEach((point) => change(point, "x", "y"));
  level.corners.forEach((corner) => change(corner, "from_a", "from_b"));
  const putBy = Object.values(level.putBy ?? {}).flatMap(({ edges }) => edges);
  [...level.edges, ...putBy].forEach((edge) => change(edge, "height", "bow", ...DROPS));
  for (const opening of level.openings) {
    change(opening, "from", "width");
    if (opening.flight) change(opening.flight, "rise", "going", "nosing", "height");
  }
  level.no_post.forEach((place) => change(place, "from", "width"));
  level.columns.forEach((column) => change(column, "from", "width", "in", "depth", "height"));
  changeFraming(level, change);
}

export function addOpening(level) {
  const taken = new Set(level.openings.map((opening) => opening.id));
  const id = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].find((name) => !taken.has(name));
  level.openings.push({
    id: id ?? `opening-${level.openings.length + 1}`,
    edge: "0", from: "", width: "", use: "stair", hinge: "", opens: "",
    flight: null, rest: {},
  });
}

export function addNoPost(level) {
  level.no_post.push({ edge: "0", from: "", width: "", why: "", rest: {} });
}

export function addColumn(level) {
  level.columns.push({ name: "", shape: "", edge: "0", from: "", width: "", in: "", depth: "", height: "", turn: "",
    points: null, rest: {} });
}

// Add a level, which the form then shows. Where it stands beside the first is still to be typed.
export function addLevel(form) {
  const taken = new Set(form.levels.map((level) => level.id));
  let number = form.levels.length + 1;
  while (taken.has(`level-${number}`)) number += 1;
  form.at = form.levels.push(blankLevel(`level-${number}`)) - 1;
}

function blankLevel(id) {
  const level = { id, ...blankDrops(), beneath: "", way: "rectangle", placed: true,
    rectangle: { width: "", depth: "", right: "", out: "" }, baseline: "",
    sides: [blankSide(), blankSide(), blankSide(), blankSide()],
    points: [blankPoint(), blankPoint(), blankPoint(), blankPoint()],
    corners: [blankCorner(), blankCorner()],
    edges: [], askHouse: false, openings: [], no_post: [], columns: [], framing: blankFraming(), rest: {},
    more: blankMore() };
  fillEdges(level);
  return level;
}

// Remove the level that is shown, with its openings and their flights.
export function removeLevel(form) {
  form.levels.splice(form.at, 1);
  form.at = Math.max(0, form.at - 1);
}

// The names of members that the form does not show; they are kept as they are.
export const hidden = (form) => [...new Set(kept(form).map(([name]) => name))];

// The names of those that fix the tape's unit: the form cannot convert what it does not show, nor
// amendments of some kinds, nor a smallest mark.
export const bound = (form) =>
  [...new Set([...kept(form).filter(([, value, key]) => goesByUnit(key, value)).map(([name]) => name),
    ...(bindUnit(form) ? ["amendments"] : []), ...(form.precision ? ["precision"] : [])])];

// All that is kept, as [name as it is told, value, own name].
function kept(form) {
  const { kept: { document, guard, amendments, stairs, measures, on_hand: sticks }, prices } = form;
  const openings = form.levels.flatMap((level) => level.openings);
  const rows = [...form.levels, ...form.levels.flatMap((level) => level.edges), ...openings,
    ...openings.map((one) => one.flight), ...form.levels.flatMap((level) => level.no_post),
    ...form.levels.flatMap((level) => level.columns), ...form.levels.map((level) => level.framing),
    ...form.measures, ...form.on_hand, prices, form.site, form.site.timber];
  const more = (name) => form.levels.flatMap((level) => level.more[name]);
  const entries = (some) => some.map(({ entry }) => entry);
  const lists = { edges: more("edges"), no_post: entries(more("no_post")), obstructions: entries(more("obstructions")),
    stairs: entries(stairs), measures: entries(measures), stock_on_hand: entries(sticks) };
  const own = [document, guard, ...rows.map((row) => row?.rest ?? {})].flatMap(Object.entries);
  const ofPrices = prices.rows.flatMap(({ rest }) => Object.entries(rest));
  return [...own.map(([name, value]) => [name, value, name]),
    ...ofPrices.map(([name, value]) => [name, value, "prices"]),
    ...(Object.keys(amendments).length ? [["more amendments", amendments, "amendments"]] : []),
    ...(Object.keys(prices.more).length ? [["more prices", prices.more, "prices"]] : []),
    ...Object.entries(lists).filter(([, list]) => list.length)
      .map(([name, list]) => [`more ${name}`, list, name])];
}
