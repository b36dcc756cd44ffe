// The names of things that are not on the page just now: fields of a level that is not shown, and
// members of an opened document that no field shows. Pure: touches nothing but its arguments.

const OF = {
  length: "length", turn: "turn", x: "x", y: "y", from_a: "A", from_b: "B", condition: "what is there",
  infill: "infill", height: "height", bow: "bow", drop: "drop", drop_to_ground: "drop to finished ground",
  drop_to_next_level: "drop to the next level", beneath: "what is below", glass: "glass", wall_end: "end at a wall",
  open_end: "end at an open edge",
  use: "what it is for", edge: "edge", from: "where it begins", width: "width", in: "how far in", depth: "depth",
  why: "why", name: "name", shape: "shape", hinge: "hinges", opens: "swing", rise: "total rise", risers: "risers",
  going: "tread run", nosing: "nosing", foot_post: "lowest post", to_level: "what it goes down to", guards: "guards",
  handrail: "handrails", right: "how far to the right", out: "how far out", baseline: "house wall",
  joist_direction: "how they run", joist_spacing: "spacing", first_joist: "the first", joist_width: "thickness",
  rim_width: "rim's thickness",
};
// Members of an opened document that no field shows.
const KEPT = {
  precision: "the smallest mark", amendments: "the local authority's figures", "more amendments": "more of the local authority's figures",
  site: "the site", compare: "other ways to compare",
  least: "least charges", waste: "waste", cutting: "fees for cutting", discounts: "discounts",
  "more edges": "more edges", "more no_post": "more no-post places", "more obstructions": "more columns",
  "more stairs": "more flights", "more stock_on_hand": "more sticks on hand",
};
// The noun for a row of each list, and the number from which rows are counted.
const ROWS = { sides: ["side", 0], points: ["corner", 0], corners: ["corner", 1], edges: ["edge", 0],
  openings: ["opening", 1], no_post: ["no-post place", 1], columns: ["column", 1] };

// Members that are kept, in words; a name without words of its own stays as it is.
export const keptWords = (names) => names.map((name) => (Object.hasOwn(KEPT, name) ? KEPT[name] : name)).join(", ");

// A field by its name in words: openings.0.flight.going is "opening 1, tread run".
export function fieldWords(field) {
  const [first, row, ...more] = field.split(".");
  const [noun, from] = ROWS[first] ?? [];
  const words = (name) => OF[name] ?? name;
  if (!noun) return first === "framing" ? `joists, ${words(row)}` : words(row ?? first);
  const [name] = more.filter((each) => each !== "flight");
  return [`${noun} ${Number(row) + from}`, name && words(name)].filter(Boolean).join(", ");
}
