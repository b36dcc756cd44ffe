// Questions about what was hardly meant: a plain number is of inches or millimetres, but whoever
// types 20 may mean feet or metres, and 6000 millimetres; and an inner corner of a walk turns the other way. Pure:
// touches nothing but its arguments.

import { strays } from "./columns.js";
import { isRectangle } from "./outline.js";
import { otherTurn } from "./turns.js";

// The values under which a plain number is asked about: 3 ft of a deck, 1 ft of a drop, 2 ft of an
// opening, 1 ft of a guard.
const SMALL = { size: { in: 36, mm: 900 }, drop: { in: 12, mm: 100 }, opening: { in: 24, mm: 600 },
  guard: { in: 12, mm: 300 } };
// The inches from which millimetres may be meant: 100 ft of a deck, 33 ft of a drop, 20 ft of an
// opening, 8 ft of a guard.
const LARGE = { size: 1200, drop: 400, opening: 240, guard: 96 };
const METRES = 20; // Millimetres under which metres were meant, and else centimetres.

// The questions about lengths of a deck document that are plain numbers, too small or too large to
// be likely, and about turns, as {words, meant, field}. places: fields by pointer; field: that of the value, where the form shows
// it now.
export function doubts({ unit, levels, guard }, places = {}) {
  const isSmall = ({ kind, length }) => length < SMALL[kind][unit];
  const isLarge = ({ kind, length }) => unit === "in" && length >= LARGE[kind];
  const isOdd = (one) => typeof one.length === "number" && one.length > 0 && (isSmall(one) || isLarge(one));
  const ask = (on) => ({ kind, length, how, at }) => {
    const meant = isLarge({ kind, length }) ? `${length} mm` : inLarge(length, unit);
    const field = places[at]?.startsWith("at/") ? undefined : places[at];
    return { words: `${on}${length} ${unit} ${how}: was ${meant} meant?`, meant, field };
  };
  const high = { kind: "guard", length: guard?.height, how: "high", at: "/guard/height" };
  return [...turns(unit, levels, places), ...levels.flatMap((level, i) => lengths(level, `/levels/${i}`).filter(isOdd)
    .map(ask(levels.length > 1 ? `On ${level.id}, ` : ""))), ...[high].filter(isOdd).map(ask(""))];
}

// A question for each walk that would close if one turn went the other way.
function turns(unit, levels, places) {
  return levels.flatMap(({ id, outline }, i) => {
    const other = outline.sides && otherTurn(outline.sides, unit);
    if (!other) return [];
    const field = places[`/levels/${i}/outline/sides/${other.side}/turn`];
    const on = levels.length > 1 ? ` of ${id}` : "";
    return [{ words: `The walk${on} closes with a turn of ${other.turn}° after side ${other.side}: was ${other.turn} meant?`,
      meant: String(other.turn), field: field?.startsWith("at/") ? undefined : field }];
  });
}

// A question for each level whose number of edges has changed since it was said which of them stand
// against the house.
export function houses({ levels }) {
  return levels.filter((level) => level.askHouse).map(({ id }) => {
    const on = levels.length > 1 ? ` on ${id}` : "";
    return `Which edges${on} stand against the house? Those not said are laid out as guards.`;
  });
}

// A question for each column that stands past the end of its edge.
export function past({ levels, unit }) {
  return levels.flatMap((level) => strays(level, unit).map(({ name, edge }) => {
    const on = levels.length > 1 ? ` of ${level.id}` : "";
    return `${name[0].toUpperCase()}${name.slice(1)} stands past the end of edge ${edge}${on}: was that meant?`;
  }));
}

// The lengths of a level that may be asked about, as [{kind, length, how, at}]; at: the pointer.
function lengths({ outline, drop, openings = [] }, at) {
  return [...sizes(outline, `${at}/outline`).map((size) => ({ kind: "size", ...size })),
    { kind: "drop", length: drop, how: "of drop", at: `${at}/drop` },
    ...openings.map(({ id, width }, i) =>
      ({ kind: "opening", length: width, how: `clear at opening ${id}`, at: `${at}/openings/${i}/width` }))];
}

// The sizes of an outline: two for a rectangle, one for each side of a walk, the house wall for two
// tapes, and for corners how far they reach.
function sizes({ sides, points, ties }, at) {
  const side = (i, how) => ({ length: sides[i].length, how, at: `${at}/sides/${i}/length` });
  if (sides && isRectangle(sides)) return [side(0, "wide"), side(1, "deep")];
  if (sides) return sides.map((_, i) => side(i, `along side ${i}`));
  if (ties) return [{ length: ties.baseline, how: "from A to B", at: `${at}/ties/baseline` }];
  return [{ length: reach(points, 0), how: "wide" }, { length: reach(points, 1), how: "deep" }];
}

function reach(points, axis) {
  const along = points.map((point) => point[axis]);
  return Number((Math.max(...along) - Math.min(...along)).toFixed(4));
}

function inLarge(length, unit) {
  if (unit === "in") return `${length}'`;
  return length < METRES ? `${length} m` : `${length} cm`;
}
