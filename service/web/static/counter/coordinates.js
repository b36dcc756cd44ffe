// Coordinates, which are plain numbers of the document's unit, from lengths as they are typed, and
// the corners of a rectangle from its sizes. Pure: touches nothing but its arguments.

import { readLength } from "./lengths.js";

const MM_PER_IN = 25.4;
const METRIC = /^(\d+(?:\.\d*)?) ?(mm|m)$/;
const TAPE = /^(?:(\d+)')?[ -]?(?:(\d+(?:\.\d*)?)(?![\d.]*\/))?[ -]?(?:(\d+)\/(2|4|8|16|32|64))?"?$/;

// A tape text is worked out, also one with a minus before it: -2' 6" of inches is -30. Nothing typed
// is null; what nobody can read is the text itself, so that the service says that it is none.
export function coordinate(typed, unit) {
  const [, minus, text] = /^\s*([-\u2212]?)(.*)$/.exec(typed);
  const length = inUnit(readLength(text, unit), unit);
  if (length === null) return typed.trim() || null;
  return minus ? negative(length) : length;
}

// A length of either sign, as a document writes it: a text with a minus before it is worked out, as
// the texts of the contract have none.
export function signedLength(typed, unit) {
  const minus = /^\s*[-\u2212]/.test(typed);
  return (minus ? coordinate(typed, unit) : readLength(typed, unit)) ?? undefined;
}

// The number that a length is in the unit; null where the contract reads none in it.
function inUnit(length, unit) {
  if (typeof length !== "string") return length ?? null;
  const metric = METRIC.exec(length);
  if (metric) {
    const mm = Number(metric[1]) * (metric[2] === "m" ? 1000 : 1);
    return unit === "mm" ? mm : Number((mm / MM_PER_IN).toFixed(4));
  }
  const tape = /['"]$/.test(length) && TAPE.exec(length);
  if (!tape) return null;
  const [feet, whole, top, under] = tape.slice(1).map((each) => Number(each ?? 0));
  if ((feet && whole >= 12) || (under && top >= under)) return null;
  const inches = feet * 12 + whole + (under ? top / under : 0);
  return unit === "mm" ? Number((inches * MM_PER_IN).toFixed(3)) : inches;
}

// Where the corners of a rectangle are, from the front's left end on. The first level's is at the
// origin, others stand where they are placed. A coordinate of which something is not typed yet is
// null, one that nobody can read the text itself.
export function rectangleCorners({ rectangle, placed }, unit) {
  const { width, depth, right, out } = rectangle;
  const [x, y] = placed ? [coordinate(right, unit), negative(coordinate(out, unit))] : [0, 0];
  const [w, d] = [width, depth].map((typed) => coordinate(typed, unit));
  return [[x, y], [sum(w, x), y], [sum(w, x), sum(d, y)], [x, sum(d, y)]];
}

const negative = (length) => (typeof length === "number" ? 0 - length : length);

function sum(a, b) {
  const odd = [a, b].find((each) => typeof each !== "number");
  return odd === undefined ? Number((a + b).toFixed(4)) : odd;
}
