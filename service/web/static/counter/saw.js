// The words for the saw: the ends of a piece, and the pieces of a stick as the cut list has them.
// Pure: touches nothing but its arguments.

import { leftText, tapeText } from "./lengths.js";

const SQUARE = "square";

export const FINISHED =
  "Lengths are finished lengths; the plan of sticks allows for a kerf between each two pieces.";
export const RAKED = "Ends that are not square: degrees between the end and the length, and in "
  + "brackets what a saw is set to that reads nought at square; both ends are parallel. Such a piece "
  + "comes out of its blank, where one is given, and is measured along either long edge.";

const LEANING = { same_way: "leaning the same way", opposite_ways: "leaning opposite ways" };

// The cuts of both ends, as the sheets have them: "square", "both 58° (saw 32°)",
// "square; 45° (saw 45°)"; of a block with no square end also which way they lean.
export function ends({ end_cuts: [first, last], ends_lean: lean }) {
  const [one, other] = [end(first), end(last)];
  if (one === SQUARE && other === SQUARE) return SQUARE;
  const told = one === other ? `both ${one}` : `${one}; ${other}`;
  return lean && one !== SQUARE && other !== SQUARE ? `${told}, ${LEANING[lean]}` : told;
}

// One end, to the tenth of a degree that a saw is set to.
function end(angle) {
  const tenths = (value) => Number(value.toFixed(1));
  const off = tenths(Math.abs(90 - angle));
  return off ? `${tenths(angle)}° (saw ${off}°)` : SQUARE;
}

// The pieces that one stick of a part is cut into, equal ones together: 2 × 3' 8 9/16", 3' 7".
export function pieces(reply, role, stick) {
  const read = readings(reply, role);
  const counts = new Map();
  for (const piece of stick.pieces) {
    const text = read.get(piece) ?? tapeText(piece, reply.unit, reply.precision);
    counts.set(text, (counts.get(text) ?? 0) + 1);
  }
  return [...counts].map(([text, count]) => `${count > 1 ? `${count} × ` : ""}${text}`);
}

// The lengths that pieces take of a stick, each with its text in the cut list.
function readings(reply, role) {
  const rows = reply.cut_list.filter((row) => row.part === role);
  return new Map(rows.map((row) => ("blank" in row ? [row.blank, `${row.blank_text} blank`]
    : [row.length, row.length_text])));
}

// What is left of a stick, at the mark at or below it.
export function offcut(reply, stick) {
  return leftText(stick.offcut, reply.unit, reply.precision);
}
