// The bases by which each role of a parts list may be priced, and the sizes in which the kit has
// it. Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { tapeText } from "./lengths.js";

const STICKS = ["per_stick", "per_length"];
const PIECES = ["each", "per_pack"];
// By the contract's list of roles; a role that is not named goes by the piece or the pack.
const OF_ROLE = {
  top_rail_picket: STICKS, bottom_rail_picket: STICKS, top_rail_glass: STICKS, bottom_rail_glass: STICKS,
  handrail: STICKS, glass_panel: ["each", "per_area"], blocking: ["each", "per_length"],
  gasket: ["per_length", "per_pack"],
};
export const POST = /^post_(end|corner|line|stair|gate)$/;
const USUAL = { glass_panel: "per_area", blocking: "per_length" };
const NEAR = 1e-3;

export const SIZED = ["per_height", "per_stick"]; // A price for each size.
export const BY_MEASURE = ["per_length", "per_area"]; // Of a foot or a metre, by the document's unit.

export function basesOf(role, kit) {
  if (role === "picket" && kit?.picket?.stock) return STICKS;
  return POST.test(role) ? [...PIECES, "per_height"] : OF_ROLE[role] ?? PIECES;
}

// The basis that a yard would choose: by the pack for what comes in packs. rows: those of the parts
// list for this role.
export function usualBasis(role, kit, rows) {
  const packed = rows.some(({ quantity, packs }) => packs !== undefined && packs !== quantity);
  const [first, ...more] = basesOf(role, kit);
  return USUAL[role] ?? (packed && more.includes("per_pack") ? "per_pack" : first);
}

export function basisWords(basis, unit) {
  const measured = unit === "in" ? { per_length: "a foot", per_area: "a sq ft" }
    : { per_length: "a metre", per_area: "a m\u00b2" };
  return { each: "each", per_pack: "a pack", per_height: "by height", per_stick: "a stick", ...measured }[basis]
    ?? basis;
}

// The sizes in which the kit has a role, as its document would name them.
export function sizesOf(role, basis, kit) {
  const [, side, infill] = /^(top|bottom)_rail_(picket|glass)$/.exec(role) ?? [];
  const stock = side ? kit?.rails?.[infill]?.[side]?.stock : kit?.[role]?.stock;
  return ({ per_height: kit?.post?.heights, per_stick: stock }[basis] ?? []).map(String);
}

// The sizes that are not among others, however either are written.
export const without = (sizes, others, unit) => sizes.filter((size) =>
  !others.some((other) => Math.abs(coordinate(other, unit) - coordinate(size, unit)) < NEAR));

// A size in words: 150 in inches is 12' 6".
export const sizeWords = (size, unit) =>
  (Number.isFinite(Number(size)) && unit ? tapeText(Number(size), unit, 1 / 64) : size);
