// Sticks on hand, as the form holds them and as the document has them (contract, section 3). Pure:
// touches nothing but its arguments.

import { asTyped, inPlace, isHeld, list, object, some } from "./pen.js";

// The parts that are cut from sticks.
export const CUT = [["top_rail_picket", "Top rail, pickets"], ["bottom_rail_picket", "Bottom rail, pickets"],
  ["top_rail_glass", "Top rail, glass"], ["bottom_rail_glass", "Bottom rail, glass"], ["picket", "Pickets"],
  ["handrail", "Handrail"]];

// The types of value that a row can hold.
const HELD = { part: ["string"], length: ["number", "string"], count: ["number"] };

const blankSticks = (part) => ({ part, length: "", count: "1", rest: {} });

// Add a row, for the part that the deck's own railing needs first.
export function addSticks(form) {
  form.on_hand.push(blankSticks(`top_rail_${form.infill === "glass" ? "glass" : "picket"}`));
}

export function onHand(form, pen, document) {
  some(document, "stock_on_hand", inPlace(form.on_hand, form.kept.on_hand, (row, i, place) =>
    sticks(row, pen, `/stock_on_hand/${place}`, `on_hand.${i}`)));
}

function sticks(row, pen, at, field) {
  const written = pen.begin(row);
  pen.text(written, "part", at, row.part, `${field}.part`);
  pen.length(written, "length", at, row.length, `${field}.length`);
  pen.number(written, "count", at, row.count, `${field}.count`);
  return written;
}

// Make a row of each entry; one that a row cannot hold as it is, is kept unseen.
export function takeOnHand(form, entries) {
  list(entries).forEach((entry, place) => {
    const { part, length, count, ...rest } = object(entry);
    const row = { ...asTyped({ part, length, count }), rest, opened: entry, place };
    if (isHeld(entry, HELD)) form.on_hand.push(row);
    else form.kept.on_hand.push({ entry, place });
  });
}
