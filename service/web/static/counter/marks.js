// The smallest marks that a deck may be laid out and cut to, by the tape's unit (contract, section
// 1). Pure: touches nothing but its arguments.

import { defaulted } from "./inputs.js";
import { tapeText } from "./lengths.js";

const USUAL = { in: 1 / 16, mm: 1 };
const OTHERS = { in: [1 / 64, 1 / 32, 1 / 8, 1 / 4, 1 / 2, 1], mm: [0.5, 2, 5, 10] };

const inWords = (mark, unit) => tapeText(mark, unit, unit === "in" ? 1 / 64 : 0.1);

// The choices as [value, words]. The usual mark need not be said, as it is the default.
export function marks(unit, said) {
  const others = OTHERS[unit].map((mark) => [String(mark), inWords(mark, unit)]);
  return defaulted(String(USUAL[unit]), [["", `${inWords(USUAL[unit], unit)}, as usual`], ...others], said);
}
