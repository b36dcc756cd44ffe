// Makes a change that the answer offers in the form that the answer is of. What the change moves
// stands there as a tape reads it, and everything else as it was typed. Pure: touches nothing but
// its arguments.

import { differing } from "./differing.js";
import { fromDocument, toDocument } from "./document.js";
import { onTape } from "./lengths.js";
import { isObject } from "./pen.js";
import { ownIds, plainly } from "./plainly.js";
import { wheres } from "./wheres.js";
import { partWords, unbroken } from "./words.js";

// The names of the form's lengths that a change may set.
const LENGTHS = new Set(["from", "width", "depth", "in", "length", "height", "bow", "rise", "going", "nosing", "drop",
  "drop_to_ground", "drop_to_next_level"]);

// The form with the change made. deck: the form's document; changed: the same with the change.
// Where the change cannot be merged into what was typed, the form shows the changed document
// instead.
export function withChange(form, deck, changed) {
  const [before, after] = [deck, changed].map(fromDocument);
  const mixed = merged(form, before, after, (_, value) => value);
  const told = (each) => toDocument(each).document;
  if (differing(told(after), told(mixed)).length) return { ...after, at: form.at };
  const isTyped = (name, value) => LENGTHS.has(name) && typeof value === "string"; // None of the document's own.
  return merged(form, before, after, (name, value) => (isTyped(name, value) ? onTape(value, form.unit) : value));
}

// A merge of `held` with a change: whatever is the same before and after stays as it is held.
function merged(held, before, after, read, name = "") {
  if (areSame(before, after)) return held;
  if ([held, before, after].every(Array.isArray)) return rows(held, before, after, read);
  if (![held, before, after].every(isObject)) return read(name, after);
  const names = [...Object.keys(after), ...Object.keys(held).filter((each) => !(each in before) && !(each in after))];
  return Object.fromEntries(names.map((each) =>
    [each, merged(held[each], before[each], after[each], read, each)]));
}

// Rows are matched by their ids, which openings and levels have, else by their places.
function rows(held, before, after, read) {
  const placeOf = (list, row, i) => (row?.id === undefined ? i : list.findIndex(({ id }) => id === row.id));
  return after.map((row, i) => {
    const [there, was] = [held, before].map((list) => list[placeOf(list, row, i)]);
    return there === undefined ? row : merged(there, was, row, read);
  });
}

const areSame = (one, other) => JSON.stringify(one) === JSON.stringify(other);

const SHORT = 100; // Letters of a line that lies over the form.

// A sentence that says what change was made, from its advice in the page's words, without what it
// costs and how it goes with other changes, which was said there. deck: the document that was answered.
export function madeWords({ message }, deck, reply) {
  const what = wheres(deck).inside(plainly(message, reply.kit, partWords(reply), ownIds(reply)))
    .replace(/^Tried, and it passes: |(?:; (?:it takes|the total goes)|\. (?:Made with|It)) .*(?=\.$)/g, "");
  return what.length > SHORT ? "The change was made." : unbroken(`The change was made: ${what}`);
}
