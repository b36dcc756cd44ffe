// What the form holds: text as typed, by the names of its fields, and what an opened document has
// beyond them (`kept`). Pure: changes the form that it is given and touches nothing else.

import { convert, readLength } from "./lengths.js";

// How a deck may be measured; `least` rows make an outline.
export const WAYS = {
  rectangle: { words: "Rectangle", count: () => 4 },
  sides: { words: "Tape walk", rows: "sides", least: 3, count: (form) => form.sides.length },
  points: { words: "Corners", rows: "points", least: 3, count: (form) => form.points.length },
  ties: { words: "Two tapes", rows: "corners", least: 1, count: (form) => form.corners.length + 2 },
};

export const blankSide = () => ({ length: "", turn: "90" });
export const blankPoint = () => ({ x: "", y: "" });
export const blankCorner = () => ({ from_a: "", from_b: "" });
// said: someone has said the condition; otherwise it is only what the form begins with.
export const blankEdge = (condition = "guard") =>
  ({ condition, said: false, infill: "", height: "", rest: {} });
export const blankFlight = () => ({
  id: "", rise: "", risers: "", going: "", nosing: "", rest: {},
  guards: { left: true, right: true }, handrail: { left: false, right: true },
});
const BLANKS = { sides: blankSide, points: blankPoint, corners: blankCorner };

export function edgeCount(form) {
  return WAYS[form.way].count(form);
}

// The line from B to A of two tapes is the house unless something else is said of it.
export function usualCondition(form, edge) {
  return form.way === "ties" && edge === edgeCount(form) - 1 ? "wall" : "guard";
}

// Every edge of the outline has its entry, so that each can be shown.
export function fillEdges(form) {
  for (let i = 0; i < edgeCount(form); i += 1) form.edges[i] ??= blankEdge(usualCondition(form, i));
}

export function sayEdge(form, edge) {
  form.edges[edge].said = true;
  form.askHouse = false;
}

// The edges are others than before. A condition that nobody said may stand on an edge that is now
// another one: it goes to guard, as a guard too many is seen on the plan and one too few is a fall.
function askAgain(form) {
  fillEdges(form);
  form.edges.forEach((edge, i) => {
    const usual = !edge.said && edge.condition === usualCondition(form, i);
    if (usual || edge.condition === "guard") return;
    form.askHouse = true;
    if (!edge.said) edge.condition = "guard";
  });
}

export function addRow(form) {
  const { rows } = WAYS[form.way];
  form[rows].push(BLANKS[rows]());
  // Of two tapes the house stays the last edge: the new one comes before it.
  if (rows === "corners") form.edges.splice(form.edges.length - 1, 0, blankEdge());
  askAgain(form);
}

// A row goes with its edge; openings on later edges move with theirs, those on it are left to see.
export function removeRow(form, row) {
  form[WAYS[form.way].rows].splice(row, 1);
  form.edges.splice(row, 1);
  for (const opening of form.openings) {
    if (Number(opening.edge) > row) opening.edge = String(Number(opening.edge) - 1);
  }
  askAgain(form);
}

// The same deck measured another way, as far as what was typed tells it.
export function switchWay(form, way) {
  const { width, depth } = form.rectangle;
  const [w, d] = [width, depth].map((typed) => readLength(typed, form.unit));
  if (form.way === "rectangle" && way === "sides") {
    form.sides = [width, depth, width, depth].map((length) => ({ length, turn: "90" }));
  }
  if (form.way === "rectangle" && way === "points") {
    const [x, y] = [w, d].map((length) => String(inUnit(length, form.unit)));
    form.points = [["0", "0"], [x, "0"], [x, y], ["0", y]].map(([a, b]) => ({ x: a, y: b }));
  }
  const [was, before] = [form.way, edgeCount(form)];
  form.way = way;
  const gone = form.edges.splice(way === "ties" ? 0 : edgeCount(form));
  if (gone.some((edge) => edge.said && edge.condition !== "guard")) form.askHouse = true;
  if (was === "ties" || before !== edgeCount(form)) askAgain(form);
  fillEdges(form);
}

// Coordinates are numbers only. A tape text is worked out; what can't be is left to be typed.
function inUnit(length, unit) {
  if (typeof length === "number") return length;
  const metric = /^([\d.]+) ?(mm|m)$/.exec(length ?? "");
  const tape = /^(?:(\d+)')?[ -]?(?:([\d.]+)(?![\d.]*\/))?[ -]?(?:(\d+)\/(\d+))?"?$/.exec(length ?? "");
  if (metric) {
    const mm = Number(metric[1]) * (metric[2] === "m" ? 1000 : 1);
    return unit === "mm" ? mm : Number((mm / 25.4).toFixed(4));
  }
  if (!tape || !length) return "";
  const [feet, whole, top, under] = tape.slice(1).map((each) => Number(each ?? 0));
  const inches = feet * 12 + whole + (under ? top / under : 0);
  return unit === "mm" ? Number((inches * 25.4).toFixed(3)) : inches;
}

// All lengths stay what they are: plain numbers are converted.
export function switchUnit(form, unit) {
  const change = (holder, ...names) => {
    for (const name of names) holder[name] = convert(holder[name], unit);
  };
  change(form, "drop", "height", "baseline");
  change(form.rectangle, "width", "depth");
  form.sides.forEach((side) => change(side, "length"));
  form.points.forEach((point) => change(point, "x", "y"));
  form.corners.forEach((corner) => change(corner, "from_a", "from_b"));
  form.edges.forEach((edge) => change(edge, "height"));
  form.measures.forEach((row) => change(row, "clear_top", "clear_bottom"));
  for (const opening of form.openings) {
    change(opening, "from", "width");
    if (opening.flight) change(opening.flight, "rise", "going", "nosing");
  }
  form.unit = unit;
}

export function addOpening(form) {
  const taken = new Set(form.openings.map((opening) => opening.id));
  const id = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].find((name) => !taken.has(name));
  form.openings.push({
    id: id ?? `opening-${form.openings.length + 1}`,
    edge: "0", from: "", width: "", use: "stair", hinge: "", opens: "",
    flight: null, rest: {},
  });
}

// What of an opened document the form does not show, by name; it goes along as it is.
export function hidden(form) {
  const { document, guard, level, levels, edges, stairs, measures } = form.kept;
  const inRows = [...form.edges, ...form.openings, ...form.openings.map((one) => one.flight),
    ...form.measures]
    .flatMap((row) => Object.keys(row?.rest ?? {}));
  const lists = { levels, edges, stairs, measures };
  const more = Object.keys(lists).filter((name) => lists[name].length);
  const own = [document, guard, level].flatMap(Object.keys);
  return [...new Set([...own, ...inRows, ...more.map((name) => `more ${name}`)])];
}
