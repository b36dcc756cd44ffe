// Both ends of an edge in words, as the contract measures along it: from its first corner, as the
// form numbers the edges. Pure: touches nothing but its arguments.

// The front runs from left to right with the house behind it: its left end seen from the yard. Then
// round the deck with the yard on the right: toward the house, along it, and back out.
const RECTANGLE = [["left end", "right end"], ["yard end", "house end"], ["right end", "left end"],
  ["house end", "yard end"]];
const CALLED = ["front", "right side", "house side", "left side"];
const SEEN = " (seen from the yard)";

// An edge by its number, and of a rectangle by what it is called.
export function edgeName(level, edge) {
  return level.way === "rectangle" && CALLED[edge] ? `${edge}, ${CALLED[edge]}` : String(edge);
}

// The same, and of a walk with the length that was typed of it: which of six is the house is seen by that.
export function edgeWords(level, edge) {
  const length = level.way === "sides" && level.sides[edge]?.length.trim();
  return length ? `${edge} (${length})` : edgeName(level, edge);
}

// {first, last}: as an end's own name; {at, told}: both as they are spoken of, and the first in full.
// Null for an edge that is not there.
export function edgeEnds(level, edge) {
  const ends = OF[level.way](level, edge);
  if (!ends?.every(Boolean)) return null;
  const [first, last] = ends;
  const seen = level.way === "rectangle" && edge % 2 === 0 ? SEEN : "";
  const at = ends.map((end) => (/^(A|B|corner \d+)$/.test(end) ? end : `the ${end}`));
  return { first, last, at, told: at[0] + seen };
}

const OF = {
  rectangle: (_, edge) => RECTANGLE[edge],
  sides: ({ sides }, edge) => (edge < sides.length
    ? [`start of side ${edge}`, `end of side ${edge}`] : null),
  points: ({ points }, edge) => (edge < points.length
    ? [`corner ${edge}`, `corner ${(edge + 1) % points.length}`] : null),
  ties: ({ corners }, edge) => {
    const round = ["A", ...corners.map((_, i) => `corner ${i + 1}`), "B", "A"];
    return [round[edge], round[edge + 1]];
  },
};
