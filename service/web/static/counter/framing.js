// The joists and rim under a level, as the form holds them and as the document has them (contract,
// section 3). Pure: touches nothing but its arguments.

import { asTyped, isObject } from "./pen.js";

export const blankFraming = () => ({ joist_direction: "", joist_spacing: "", first_joist: "",
  joist_width: "", rim_width: "", rest: {} });

const LENGTHS = ["joist_spacing", "first_joist", "joist_width", "rim_width"];

// The directions of joists in the contract's terms, along x and square to it, in words that suit
// how the deck is measured.
const RUN = {
  rectangle: ["Along the house", "Out from the house"],
  ties: ["Along the house", "Out from the house"],
  sides: ["Along side 0", "Square to side 0"],
  points: ["Along x", "Along y"],
};

// The choices of a direction. An opened document may have another one, in degrees.
export function runs({ way, framing: { joist_direction: said } }) {
  const known = [["", "Not known"], ["0", RUN[way][0]], ["90", RUN[way][1]]];
  return known.some(([value]) => value === said) ? known : [...known, [said, `At ${said}° to x`]];
}

// The place from which the first joist is measured: joists are counted toward +x, or toward +y
// where they run along x.
export function firstFrom({ way, framing: { joist_direction: said } }) {
  const yard = ["rectangle", "ties"].includes(way);
  if (said === "0") return yard ? "the yard side of the deck" : "the lowest place of the plan";
  return yard ? "the left end of the deck (seen from the yard)" : "the place of the plan that is furthest left";
}

// Write the framing into the level, or nothing where the direction of the joists is not known.
export function framing({ framing: held }, pen, level, written) {
  if (!held.joist_direction) return;
  const at = `${level}/framing`;
  const timber = pen.begin(held);
  pen.number(timber, "joist_direction", at, held.joist_direction, "framing.joist_direction");
  for (const name of LENGTHS) pen.length(timber, name, at, held[name], `framing.${name}`);
  written.framing = timber;
}

// Take the framing of a document. The form cannot show one whose direction is no number; it stays
// in the level's rest.
export function takeFraming(level, entry) {
  if (!isObject(entry) || typeof entry.joist_direction !== "number") {
    if (entry !== undefined) level.rest.framing = entry;
    return;
  }
  const { joist_direction, joist_spacing, first_joist, joist_width, rim_width, ...rest } = entry;
  level.framing = { ...asTyped({ joist_direction, joist_spacing, first_joist, joist_width, rim_width }),
    rest, opened: entry };
}

export function changeFraming({ framing: held }, change) {
  change(held, ...LENGTHS);
}
