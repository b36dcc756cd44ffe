// Sticks that are there already, as the form holds them and as the document does (contract, section 3).
// Pure: touches nothing but its arguments.

import { inPlace, isObject, list, typed } from "./pen.js";

// What is cut from sticks.
export const CUT = [["top_rail_picket", "Top rail, pickets"], ["bottom_rail_picket", "Bottom rail, pickets"],
  ["top_rail_glass", "Top rail, glass"], ["bottom_rail_glass", "Bottom rail, glass"], ["picket", "Pickets"],
  ["handrail", "Handrail"]];

// As which kinds of value a row holds what was typed.
const HELD = { part: ["string"], length: ["number", "string"], count: ["number"] };

const blankSticks = (part) => ({ part, length: "", count: "1", rest: {} });

// Of the part that the deck's own railing wants first.
export function addSticks(form) {
  form.on_hand.push(blankSticks(`top_rail_${form.infill === "glass" ? "glass" : "picket"}`));
}

export function onHand(form, pen, document) {
  const told = inPlace(form.on_hand, form.kept.on_hand, (row, i, place) =>
    sticks(row, pen, `/stock_on_hand/${place}`, `on_hand.${i}`));
  if (told.length) document.stock_on_hand = told;
}

function sticks(row, pen, at, field) {
  const written = pen.begin(row);
  pen.text(written, "part", at, row.part, `${field}.part`);
  pen.length(written, "length", at, row.length, `${field}.length`);
  pen.number(written, "count", at, row.count, `${field}.count`);
  return written;
}

// Each as a row; what a row could not hold as it is goes along unseen.
export function takeOnHand(form, entries) {
  list(entries).forEach((entry, place) => {
    if (!isHeld(entry)) {
      form.kept.on_hand.push({ entry, place });
      return;
    }
    const { part, length, count, ...rest } = entry;
    form.on_hand.push({ part: typed(part), length: typed(length), count: typed(count), rest, opened: entry, place });
  });
}

const isHeld = (entry) => isObject(entry) && Object.entries(HELD).every(([name, kinds]) =>
  [...kinds, "undefined"].includes(typeof entry[name]));
