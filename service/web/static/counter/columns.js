// Columns and the like: in the form each is placed along an edge, in the document by its corners in
// plan. On a bowed edge they are placed along the straight line between its corners. Pure: touches
// nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { cornersOf } from "./corners.js";
import { readNumber } from "./lengths.js";
import { inPlace, object, typed } from "./pen.js";
import { asked, cornersAlong, isNear, measuresOf } from "./shapes.js";

const SIZES = ["width", "depth"];

export function columns(level, pen, at) {
  const outline = cornersOf(level, pen.unit);
  return inPlace(level.columns, level.more.obstructions, (row, i, order) => {
    const [place, field] = [`${at}/obstructions/${order}`, `columns.${i}`];
    const written = pen.begin(row);
    const unread = unreadOf(row, outline.corners.length, field, pen.unit);
    if (!unread.length) unread.push(...outline.unread);
    written.points = unread.length ? refused(unread, `${place}/points`, pen)
      : asOpened(row.points, pointsOf(row, outline.corners, pen.unit));
    pen.place(`${place}/points`, `${field}.from`);
    pen.text(written, "name", place, row.name || calledElse(i), `${field}.name`);
    pen.length(written, "height", place, row.height, `${field}.height`);
    return written;
  });
}

// The columns that stand wholly past an end of their edge, where there is no deck, as [{name,
// edge}].
export function strays(level, unit) {
  const { corners, unread } = cornersOf(level, unit);
  return level.columns.map((row, i) => ({ ...row, name: row.name || calledElse(i) })).filter((row) =>
    Number(row.edge) < corners.length && !unread.length && isPast(row, edgeOf(corners, Number(row.edge)).long, unit));
}

function isPast(row, long, unit) {
  const along = cornersAlong(row.shape, measures(row, unit)).map(([t]) => t);
  return Math.min(...along) >= long || Math.max(...along) <= 0;
}

// The name of a column that was given none.
export const calledElse = (i) => `column ${i + 1}`;

// The fields of a column that are not typed yet (value null) or hold no suitable value, as [{field,
// value}].
function unreadOf(row, edges, field, unit) {
  const gone = Number(row.edge) < edges ? [] : [{ field: `${field}.edge`, value: row.edge }];
  return [...asked(row.shape).flatMap((name) => {
    const value = measured(row, name, unit);
    const size = SIZES.includes(name) && value <= 0;
    if (typeof value === "number" && !size) return [];
    return [{ field: `${field}.${name}`, value: value === null ? null : row[name].trim() }];
  }), ...gone];
}

// A field's number in the document's unit, or degrees for a turn. null where nothing is typed; the
// text itself where it cannot be read.
const measured = (row, name, unit) =>
  (name === "turn" ? readNumber(row.turn) ?? null : coordinate(row[name], unit));

const measures = (row, unit) =>
  Object.fromEntries(asked(row.shape).map((name) => [name, measured(row, name, unit)]));

// What is written in place of corners that cannot be worked out: the unread values in turn, so that
// the service refuses them and says so at their fields.
function refused(unread, at, pen) {
  return [0, 1, 2, 3].map((i) => [0, 1].map((k) => {
    const { field, value } = unread[(2 * i + k) % unread.length];
    pen.place(`${at}/${i}/${k}`, field);
    return value;
  }));
}

function pointsOf(row, corners, unit) {
  const { start, along, inward } = edgeOf(corners, Number(row.edge));
  return cornersAlong(row.shape, measures(row, unit)).map(([t, n]) =>
    [0, 1].map((axis) => rounded(start[axis] + along[axis] * t + inward[axis] * n)));
}

// An edge's start and length, and unit vectors along it and inward, onto the deck.
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

const rounded = (value, digits = 4) => Number(value.toFixed(digits)) + 0; // No -0.

// The corners as the opened document wrote them, while they are still the same.
const asOpened = (opened, points) => (opened && areSame(opened, points) ? opened : points);

function areSame(some, others) {
  return some.length === others.length && others.every((other) => some.some((each) => isNear(each, other)));
}

// Make a row of each column whose corners have one of the form's shapes, along the nearest edge for
// which they do; other obstructions are kept as they are. A column that is square to some edge is
// placed along that edge, even where it is turned to nearer ones.
export function takeColumns(level, entries, unit) {
  const { corners, whole } = cornersOf(level, unit);
  entries.forEach((entry, place) => {
    const { name, points, height, ...rest } = object(entry);
    const [found] = whole && name && typeof name === "string" && arePoints(points)
      ? corners.flatMap((_, edge) => alongEdge(points, corners, edge))
        .sort((a, b) => (a.row.shape === "turned") - (b.row.shape === "turned") || a.off - b.off) : [];
    if (found) level.columns.push({ name, height: typed(height), ...found.row, points, rest, opened: entry, place });
    else level.more.obstructions.push({ entry, place });
  });
}

const arePoints = (points) => Array.isArray(points)
  && points.every((each) => Array.isArray(each) && each.length === 2 && each.every(Number.isFinite));

// [{row, off}] where the points have one of the shapes along this edge; else []. off: how far from
// the edge they stand.
function alongEdge(points, corners, edge) {
  const { start, long, along, inward } = edgeOf(corners, edge);
  const local = points.map((point) => [along, inward].map((way) =>
    (point[0] - start[0]) * way[0] + (point[1] - start[1]) * way[1]));
  const found = long && local.length >= 4 ? measuresOf(local) : null;
  if (!found) return [];
  const [ts, ns] = [0, 1].map((axis) => local.map((each) => each[axis]));
  const off = Math.hypot(Math.max(0, Math.min(...ts) - long, -Math.max(...ts)),
    Math.max(0, Math.min(...ns), -Math.max(...ns)));
  const { shape, ...sizes } = found;
  const text = Object.entries(sizes).map(([name, value]) => [name, String(rounded(value, name === "turn" ? 6 : 4))]);
  return [{ off, row: { depth: "", turn: "", ...Object.fromEntries(text), edge: String(edge), shape } }];
}
