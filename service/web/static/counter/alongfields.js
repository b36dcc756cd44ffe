// The inputs that say where along an edge something is: which edge, and how far from which of its
// ends. Touches nothing but what it makes.

import { describe } from "./described.js";
import { edgeEnds, edgeWords } from "./ends.js";
import { hint, length, select } from "./inputs.js";
import { edgeCount } from "./model.js";

const UNKNOWN = { first: "first corner", at: ["the near end", "the far end"], told: "its first corner" };

// name: of the row. An edge that is there no more stays to be seen.
export function edgeChooser(name, label, level, { edge }) {
  const onto = Array.from({ length: edgeCount(level) }, (_, i) => [String(i), edgeWords(level, i)]);
  return select(`${name}.edge`, label,
    onto.some(([each]) => each === edge) ? onto : [...onto, [edge, edge]]);
}

export const endsOf = (level, { edge }) =>
  edgeEnds(level, edge === "" ? NaN : Number(edge)) ?? UNKNOWN;

// From which end, in words; `how` tells the rest in a line that describes the field, too.
export function fromEnd(name, level, row, how) {
  const { first, told } = endsOf(level, row);
  const line = hint(how(told), `${name}.how`);
  const from = length(`${name}.from`, `From ${first}`);
  describe(from.querySelector("input"), line.id);
  return { from, line };
}
