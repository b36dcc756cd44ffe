// A code's figures in words: what each is and its kind and unit, by the published schema of the
// deck document, and what the code itself has. Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { tapeText } from "./lengths.js";
import { spaced } from "./plainly.js";

const PRINTED = { in: 1 / 64, mm: 0.1 };
const CONVERTED = { in: 1 / 16, mm: 1 };
const LOCAL = ", as the local authority has it.";
const UNITS = /In (.+) where .*inches, in (.+) where /;
const GROUPS = [["Loads", /load|pressure|strength|deflection/], ["Handrails", /handrail/], ["Glass", /^glass/],
  ["Steps", /stair|riser|going|nosing|flight|pitch|tread|headroom|landing/], ["Guards", /./]];
const ORDER = ["Guards", "Steps", "Handrails", "Glass", "Loads"];

// The vocabulary of figures in the schema, as {name: {words, kind, units, choices}}; kind: length,
// words, text, load or number.
export function figuresOf(schema) {
  return Object.fromEntries(Object.entries(schema.$defs.Amendments.properties).map(([name, entry]) => {
    const [words, more = ""] = entry.description.split(LOCAL);
    const [, ofInches, ofMillimetres] = UNITS.exec(more) ?? [];
    const units = ofInches ? { in: ofInches, mm: ofMillimetres } : null;
    return [name, { words, kind: kindOf(entry, units), units, choices: entry.enum ?? [] }];
  }));
}

function kindOf({ $ref, enum: choices, type }, units) {
  if ($ref) return "length";
  if (choices) return "words";
  if (type === "string") return "text";
  return units ? "load" : "number";
}

// A figure in words; by its own name where the vocabulary is not loaded.
export const figureWords = (name, figures) => figures?.[name]?.words ?? spaced(name);

// The figures of a code that can be changed, by group, as [[group, names]]. Figures told in a
// sentence are left out, as no rule goes by them.
export function grouped(code, figures) {
  const names = Object.keys(code?.figures ?? {}).filter((name) => figures?.[name]?.kind !== "text");
  const groupOf = (name) => GROUPS.find(([, pattern]) => pattern.test(name))[0];
  return ORDER.map((group) => [group, names.filter((name) => groupOf(name) === group)])
    .filter(([, some]) => some.length);
}

// What the code has for a figure, in a sentence with its cases and clause. figures: the vocabulary;
// unit: the document's.
export function ownWords(name, code, figures, unit) {
  const figure = code?.figures?.[name];
  if (!figure) return code ? "The code that is chosen states no such figure." : "";
  const about = figures?.[name] ?? {};
  const told = (value, twin) => valueWords(value, twin, about, code.unit, unit);
  const cases = Array.isArray(figure.when) ? figure.when : [];
  const all = [told(figure.value, figure.twin),
    ...cases.map((one) => `${told(one?.value, one?.twin)} where ${caseWords(one ?? {}, code.unit, unit)}`)];
  const whatever = cases.length ? " What is typed here holds in all these cases." : "";
  return `${figureWords(name, figures)}: the code has ${all.join("; ")}${figure.cite ? `, by ${figure.cite}` : ""}.${whatever}`;
}

// A figure's value, as the code prints it for the document's unit. Where it prints none, its value
// in its own unit; for a length, with what it comes to in the document's.
function valueWords(value, twin, { kind, units }, own, unit) {
  if (value === undefined) return "no figure";
  const printed = own !== unit && twin !== undefined;
  if (kind === "length") return lengthWords(printed ? twin : value, printed ? unit : own, unit);
  if (kind === "load") return `${printed ? twin : value} ${units[printed ? unit : own]}`;
  return String(value);
}

function lengthWords(value, own, unit) {
  const read = (length, of, step) => (typeof length === "number" ? tapeText(length, of, step[of]) : String(length));
  const printed = read(value, own, PRINTED);
  if (own === unit) return printed;
  return `${printed} (about ${read(coordinate(printed, unit), unit, CONVERTED)})`;
}

const LENGTHS = { drop: "the drop", drop_to_ground: "the drop to finished ground",
  drop_to_next_level: "the drop to the next level", height: "the guard's height", going: "the tread run" };
const COUNTS = { occupants: (some) => `the deck is for ${some} people`, risers: (some) => `a flight has ${some} risers` };
const IS = { dwelling: "one household uses the deck", house: "one household in a house of one or two uses it",
  shared: "the deck is shared", shared_by_two: "two households share the deck", picket: "the infill is pickets",
  glass: "the infill is glass", walked: "people can walk below", shielded: "nobody can walk below" };

function caseWords({ measure, is, ...limits }, own, unit) {
  if (is !== undefined) return IS[is] ?? String(is);
  const [by, some] = limits.above === undefined ? ["from", (limit) => `${limit} or more`] : ["above", (limit) => `over ${limit}`];
  if (COUNTS[measure]) return COUNTS[measure](some(limits[by]));
  const twin = own === unit ? undefined : limits[`${by}_twin`];
  const limit = lengthWords(twin ?? limits[by], twin === undefined ? own : unit, unit);
  return `${LENGTHS[measure] ?? measure} is ${some(limit)}`;
}
