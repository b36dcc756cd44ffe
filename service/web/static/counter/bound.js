// Which members of a document go by its unit, and so would mean another deck if the unit were
// switched. Pure: touches nothing but its arguments.

// Members whose plain numbers are counts, choices or directions, the same in either unit.
const COUNTS = new Set(["count", "edge", "glass", "joist_direction", "occupants", "risers"]);
// Money for a foot or a metre, a square foot or a square metre (contract, section 3).
const BY_MEASURE = new Set(["per_length", "per_area"]);

// Whether a member holds a plain number of the document's unit. Texts name their own unit, and so
// do whole kits and codes; the keys of prices by stick are lengths as the kit writes them
// (contract, section 1).
export function goesByUnit(name, value) {
  if (["kit", "code"].includes(name) || COUNTS.has(name)) return false;
  if (name === "prices") return priced(value);
  if (typeof value === "number" || BY_MEASURE.has(name)) return true;
  return members(value).some(([key, inner]) => goesByUnit(key, inner));
}

function priced(value) {
  return members(value).some(([key, inner]) => BY_MEASURE.has(key) || priced(inner));
}

const members = (value) => (value !== null && typeof value === "object" ? Object.entries(value) : []);
