// The line that says which deck an answer is of, as it was typed. Pure: touches nothing but its
// arguments.

import { isRectangle } from "./outline.js";
import { spaced } from "./plainly.js";
import { count } from "./words.js";

const LONGEST = 24; // Letters of a local figure that is told, not a sentence.

// The line for a deck document and its answer: title, size, guard height, amendments, drop, further
// levels, measured bays.
export function deckLine(deck, { bays }) {
  const { title, unit, amendments = {}, levels: [level, ...more], site_measures: measured } = deck;
  const amended = Object.entries(amendments)
    .map(([name, value]) => (typeof value === "string" && value.length > LONGEST ? spaced(name) : `${spaced(name)} ${value}`));
  return [
    title,
    size(level.outline, unit),
    guards(deck, bays),
    amended.length ? `${count(amended.length, "local change")}: ${amended.join(", ")}` : "",
    level.drop === undefined ? "no drop given" : `drop ${said(level.drop, unit)}`,
    more.length ? `and ${count(more.length, "more level")}` : "",
    measured ? `${count(measured.length, "bay")} as measured` : "",
  ].filter(Boolean).join(" · ");
}

// The guard height that was typed, else the one that came from the code or the kit; all heights
// where they differ between bays.
function guards({ unit, code, amendments = {}, guard: { height } }, bays) {
  const from = amendments.guard_height === undefined ? "code" : "local authority";
  const own = height === undefined ? `by the ${code === undefined ? "kit" : from}` : "";
  const come = [...new Set(bays.filter(({ flight }) => !flight).map((bay) => bay.height_text))];
  if (come.length > 1) return `guards ${come.slice(0, -1).join(", ")} and ${come.at(-1)} high`;
  if (!come.length && own) return `guard height ${own}`;
  return `guard ${own ? come[0] : said(height, unit)} high ${own}`.trim();
}

function size({ sides, points, ties }, unit) {
  if (sides && isRectangle(sides)) {
    return `${said(sides[0].length, unit)} × ${said(sides[1].length, unit)}`;
  }
  return `${(sides ?? points)?.length ?? ties.corners.length + 2} sides`;
}

// A length in words: a plain number is in the document's unit, and a text names its own.
function said(length, unit) {
  return typeof length === "number" ? `${length} ${unit}` : length;
}
