// What was hardly meant: a plain number is of inches or millimetres, and who types 20 may have feet or
// metres in mind. Pure: touches nothing but its arguments.

import { strays } from "./columns.js";
import { isRectangle } from "./outline.js";

const SMALL = { in: 36, mm: 900 }; // Under 3 ft.

// A question for each size of a deck document that is a small plain number.
export function doubts({ unit, levels }) {
  return levels.flatMap((level) => sizes(level.outline)
    .filter(([length]) => typeof length === "number" && length > 0 && length < SMALL[unit])
    .map(([length, how]) => {
      const on = levels.length > 1 ? `On ${level.id}, ` : "";
      return `${on}${length} ${unit} ${how}: was ${meant(length, unit)} meant?`;
    }));
}

// A question for each level of the form whose edges are others than when it was said which of them
// stand against the house.
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

// [length, words] of each: of a rectangle two, of corners how far they reach.
function sizes({ sides, points, ties }) {
  if (sides && isRectangle(sides)) return [[sides[0].length, "wide"], [sides[1].length, "deep"]];
  if (sides) return sides.map((side, i) => [side.length, `along side ${i}`]);
  if (ties) return [[ties.baseline, "from A to B"]];
  return [[reach(points, 0), "wide"], [reach(points, 1), "deep"]];
}

function reach(points, axis) {
  const along = points.map((point) => point[axis]);
  return Number((Math.max(...along) - Math.min(...along)).toFixed(4));
}

function meant(length, unit) {
  if (unit === "in") return `${length}'`;
  return length < 100 ? `${length} m` : `${length} cm`;
}
