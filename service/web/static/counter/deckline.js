// Which deck an answer is of, in one line and as it was typed. Pure: touches nothing but its
// arguments.

import { isRectangle } from "./outline.js";
import { count } from "./words.js";

// Of a deck document that was answered: its title if any, size, guard height, drop, other levels.
export function deckLine({ title, unit, code, guard, levels: [level, ...more], site_measures: measured }) {
  const own = code === undefined ? "the kit" : "the code";
  return [
    title,
    size(level.outline, unit),
    guard.height === undefined ? `guard height by ${own}` : `guard ${said(guard.height, unit)} high`,
    level.drop === undefined ? "no drop given" : `drop ${said(level.drop, unit)}`,
    more.length ? `and ${count(more.length, "more level")}` : "",
    measured ? `${count(measured.length, "bay")} as measured` : "",
  ].filter(Boolean).join(" · ");
}

function size({ sides, points, ties }, unit) {
  if (sides && isRectangle(sides)) {
    return `${said(sides[0].length, unit)} × ${said(sides[1].length, unit)}`;
  }
  return `${(sides ?? points)?.length ?? ties.corners.length + 2} sides`;
}

// A plain number is in the document's unit; a text names its own.
function said(length, unit) {
  return typeof length === "number" ? `${length} ${unit}` : length;
}
