// The names of both ends of an edge, in the direction in which the contract measures along it: from
// its first corner, as the form numbers the edges. Pure: touches nothing but its arguments.

// The front runs from left to right as seen from the yard, with the house behind it. The other
// edges follow round the deck with the yard on the right: toward the house, along it, and back out.
const RECTANGLE = [["left end", "right end"], ["yard end", "house end"], ["right end", "left end"],
  ["house end", "yard end"]];
const CALLED = ["front", "right side", "house side", "left side"];
const SEEN = " (seen from the yard)";

// The name of an edge: its number, and on a rectangle also which side it is.
export function edgeName(level, edge) {
  return level.way === "rectangle" && CALLED[edge] ? `${edge}, ${CALLED[edge]}` : String(edge);
}

// The name of an edge, in a walk with its typed length, by which people know which of the sides is
// the house.
export function edgeWords(level, edge) {
  const length = level.way === "sides" && level.sides[edge]?.length.trim();
  return length ? `${edge} (${length})` : edgeName(level, edge);
}

// The names of an edge's ends. {first, last}: each end's own name; at: both as they are spoken of;
// told: the first of these in full. null for an edge that is not there.
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
