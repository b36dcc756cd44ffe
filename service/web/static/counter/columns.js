// Columns and the like, as the form holds them, each along an edge, and as the document does, by the
// corners in plan. Beside a bowed edge they go by the straight line between its corners.
// Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { cornersOf } from "./corners.js";
import { isObject } from "./pen.js";

const SAME = 1e-3; // What is left of a place once it was worked out and back, inches or mm.
const SIZES = ["width", "depth"];
const MEASURES = ["from", "width", "in", "depth"];

export function columns(level, pen, at) {
  const outline = cornersOf(level, pen.unit);
  return level.columns.map((row, i) => {
    const [place, field] = [`${at}/obstructions/${i}`, `columns.${i}`];
    const written = pen.begin(row);
    const unread = unreadOf(row, outline.corners.length, field, pen.unit);
    if (!unread.length) unread.push(...outline.unread);
    written.points = unread.length ? refused(unread, `${place}/points`, pen)
      : asOpened(row.points, pointsOf(row, outline.corners, pen.unit));
    pen.place(`${place}/points`, `${field}.from`);
    pen.text(written, "name", place, row.name || calledElse(i), `${field}.name`);
    return written;
  });
}

// [{name, edge}] of those that stand wholly past an end of their edge, where nothing is.
export function strays(level, unit) {
  const { corners, unread } = cornersOf(level, unit);
  const at = (row, name) => coordinate(row[name], unit);
  return level.columns.map((row, i) => ({ ...row, name: row.name || calledElse(i) })).filter((row) =>
    Number(row.edge) < corners.length && !unread.length
    && (at(row, "from") >= edgeOf(corners, Number(row.edge)).long || at(row, "from") + at(row, "width") <= 0));
}

// What a column is called that was given no name.
export const calledElse = (i) => `column ${i + 1}`;

// [{field, value}] of what is not typed yet (null) or is none of what is wanted.
function unreadOf(row, edges, field, unit) {
  const gone = Number(row.edge) < edges ? [] : [{ field: `${field}.edge`, value: row.edge }];
  return [...MEASURES.flatMap((name) => {
    const value = coordinate(row[name], unit);
    const size = SIZES.includes(name) && value <= 0;
    if (typeof value === "number" && !size) return [];
    return [{ field: `${field}.${name}`, value: value === null ? null : row[name].trim() }];
  }), ...gone];
}

// In place of corners that nobody can work out what is wrong with them, in turn, so that the service
// refuses it and says so at its field.
function refused(unread, at, pen) {
  return [0, 1, 2, 3].map((i) => [0, 1].map((k) => {
    const { field, value } = unread[(2 * i + k) % unread.length];
    pen.place(`${at}/${i}/${k}`, field);
    return value;
  }));
}

function pointsOf(row, corners, unit) {
  const [from, width, near, depth] = MEASURES.map((name) => coordinate(row[name], unit));
  const { start, along, inward } = edgeOf(corners, Number(row.edge));
  return [[from, near], [from + width, near], [from + width, near + depth], [from, near + depth]]
    .map(([t, n]) => [0, 1].map((axis) => rounded(start[axis] + along[axis] * t + inward[axis] * n)));
}

// Where it begins, how long it is, and the ways along it and from it onto the deck.
function edgeOf(corners, edge) {
  const [start, end] = [corners[edge], corners[(edge + 1) % corners.length]];
  const long = Math.hypot(end[0] - start[0], end[1] - start[1]);
  const along = [0, 1].map((axis) => (end[axis] - start[axis]) / (long || 1));
  const left = isCounterClockwise(corners) ? 1 : -1;
  return { start, long, along, inward: [-along[1] * left, along[0] * left] };
}

function isCounterClockwise(corners) {
  return corners.reduce((area, [x, y], i) => {
    const [nextX, nextY] = corners[(i + 1) % corners.length];
    return area + x * nextY - nextX * y;
  }, 0) >= 0;
}

const rounded = (value) => Number(value.toFixed(4)) + 0; // No -0.

// The corners of the document that was opened, while they are still these.
const asOpened = (opened, points) => (opened && areSame(opened, points) ? opened : points);

function areSame(some, others) {
  return others.every(([x, y]) => some.some((each) => Math.hypot(each[0] - x, each[1] - y) < SAME));
}

// Each that is a rectangle along an edge as a row of the nearest such edge; the others go along as
// they are.
export function takeColumns(level, entries, unit) {
  const { corners, whole } = cornersOf(level, unit);
  for (const entry of entries) {
    const { name, points, ...rest } = isObject(entry) ? entry : {};
    const [found] = whole && name && typeof name === "string" && isFour(points)
      ? corners.flatMap((_, edge) => alongEdge(points, corners, edge)).sort((a, b) => a.off - b.off) : [];
    if (found) level.columns.push({ name, ...found.row, points, rest });
    else level.more.obstructions.push(entry);
  }
}

const isFour = (points) => Array.isArray(points) && points.length === 4
  && points.every((each) => Array.isArray(each) && each.length === 2 && each.every(Number.isFinite));

// [{row, off}] where the sides of a rectangle go along and square to the edge; off: how far it
// stands from it. Else [].
function alongEdge(points, corners, edge) {
  const { start, long, along, inward } = edgeOf(corners, edge);
  const local = points.map((point) => [along, inward].map((way) =>
    (point[0] - start[0]) * way[0] + (point[1] - start[1]) * way[1]));
  const [[from, to], [near, far]] = [0, 1].map((axis) => local.map((each) => each[axis]))
    .map((each) => [Math.min(...each), Math.max(...each)]);
  const box = [[from, near], [to, near], [to, far], [from, far]];
  const across = [[0, 2], [1, 3]].map(([i, k]) => [0, 1].map((axis) => local[i][axis] + local[k][axis]));
  const inOrder = areSame([across[0]], [across[1]]) && areSame(local, box);
  if (!long || to - from < SAME || far - near < SAME || !inOrder) return [];
  const off = Math.hypot(Math.max(0, from - long, -to), Math.max(0, near, -far));
  const text = (value) => String(rounded(value));
  return [{ off, row: { edge: String(edge), from: text(from), width: text(to - from), in: text(near),
    depth: text(far - near) } }];
}
