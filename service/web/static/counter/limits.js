// The lists of a document of which each entry becomes a row of the form, with the most entries that
// the service takes. A longer one is not opened: the service refuses it in any case, and thousands
// of rows hold a browser. Pure: touches nothing but its arguments.

import { isObject } from "./pen.js";

// By their names in the service's published limits.
export const MOST = { levels: 16, corners: 128, openings: 64, obstructions: 64, no_post: 64, measures: 2500, on_hand: 200,
  amendments: 128, parts: 200 };

// Each list: its name above, what it is called, and its entries. Two tapes leave two corners out,
// the ends of the house wall.
const OF_ALL = [
  ["levels", "levels", ({ levels }) => count(levels)],
  ["measures", "measured bays", ({ site_measures: bays }) => count(bays)],
  ["on_hand", "rows of sticks on hand", ({ stock_on_hand: sticks }) => count(sticks)],
  ["amendments", "local changes", ({ amendments }) => count(amendments)],
  ["parts", "priced parts", ({ prices }) => count(prices?.parts)],
];
const OF_LEVEL = [
  ["corners", "corners", ({ outline: { points, sides, ties } }) =>
    count(points ?? sides) || count(ties?.corners) + 2],
  ["openings", "openings", ({ openings }) => count(openings)],
  ["obstructions", "columns", ({ obstructions }) => count(obstructions)],
  ["no_post", "no-post places", ({ no_post: places }) => count(places)],
];

const count = (entries) => (isObject(entries) ? Object.keys(entries).length : entries?.length ?? 0);

// What a document has too much of, as a sentence; null where it is within the limits. The document
// has levels, each with an outline.
export function overfull(document) {
  const found = [...overIn(OF_ALL, document, ""), ...document.levels.flatMap((level, i) =>
    overIn(OF_LEVEL, level, document.levels.length > 1 ? ` on level ${i + 1}` : ""))];
  return found[0] ?? null;
}

const overIn = (lists, holder, where) => lists.map(([name, words, of]) => [words, of(holder), MOST[name]])
  .filter(([, entries, most]) => entries > most)
  .map(([words, entries, most]) => `There are ${entries} ${words}${where}; at most ${most} are taken.`);
