// The inputs for a place along an edge: on which edge it is, and how far from which end. Touches
// nothing but what it makes.

import { describe } from "./described.js";
import { edgeEnds, edgeWords } from "./ends.js";
import { hint, length, offered, select } from "./inputs.js";
import { edgeCount } from "./model.js";

const UNKNOWN = { first: "first corner", at: ["the near end", "the far end"], told: "its first corner" };

// A chooser of the edge. name: the beginning of the row's field names. An edge that no longer
// exists stays among the choices, so that it is seen.
export function edgeChooser(name, label, level, { edge }) {
  const onto = Array.from({ length: edgeCount(level) }, (_, i) => [String(i), edgeWords(level, i)]);
  return select(`${name}.edge`, label, offered(onto, edge));
}

export const endsOf = (level, { edge }) =>
  edgeEnds(level, edge === "" ? NaN : Number(edge)) ?? UNKNOWN;

// The input for the distance from the edge's first end, and a line that describes it. how: makes
// the line's text from the words for that end.
export function fromEnd(name, level, row, how) {
  const { first, told } = endsOf(level, row);
  const line = hint(how(told), `${name}.how`);
  const from = length(`${name}.from`, `From ${first}`);
  describe(from.querySelector("input"), line.id);
  return { from, line };
}
