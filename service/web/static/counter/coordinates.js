// Lengths as they are typed made into coordinates, which are plain numbers of the document's unit,
// and the corners of a rectangle from its sizes. Pure: touches nothing but its arguments.

import { readLength } from "./lengths.js";

const MM_PER_IN = 25.4;
const METRIC = /^(\d+(?:\.\d*)?) ?(mm|m)$/;
const TAPE = /^(?:(\d+)')?[ -]?(?:(\d+(?:\.\d*)?)(?![\d.]*\/))?[ -]?(?:(\d+)\/(2|4|8|16|32|64))?"?$/;

// The coordinate that a text means. A tape text is converted, also with a minus before it: -2' 6"
// in inches is -30. null where nothing is typed; the text itself where it cannot be read, so that
// the service refuses it.
export function coordinate(typed, unit) {
  const [, minus, text] = /^\s*([-\u2212]?)(.*)$/.exec(typed);
  const length = inUnit(readLength(text, unit), unit);
  if (length === null) return typed.trim() || null;
  return minus ? negative(length) : length;
}

// A length that may have a minus, as a document writes it. One with a minus is converted to a
// number, since the texts of the contract have no sign.
export function signedLength(typed, unit) {
  const minus = /^\s*[-\u2212]/.test(typed);
  return (minus ? coordinate(typed, unit) : readLength(typed, unit)) ?? undefined;
}

// A length as a number of the unit; null where the contract reads none in it.
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

// The corners of a rectangle, from the left end of its front on. The first level's front begins at
// the origin, the others' where they are placed. A coordinate that depends on an empty field is
// null, and one that depends on a text that cannot be read is that text.
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
