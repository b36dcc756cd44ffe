// A tape walk of square corners that misses its start because one of them turns the other way. Pure: touches nothing
// but its arguments.

import { coordinate } from "./coordinates.js";

const NEAR = 1e-3;

// {side, turn}: the one turn by which, with the other sign, the walk closes; null where there is none or more than one.
export function otherTurn(sides, unit) {
  const walk = sides.map(({ length, turn = 90 }) => ({ length: lengthOf(length, unit), turn }));
  if (!walk.every(({ length, turn }) => typeof length === "number" && Math.abs(turn) === 90) || closes(walk)) return null;
  const found = walk.map((_, side) => side).filter((side) => closes(walk.map((each, i) =>
    (i === side ? { ...each, turn: -each.turn } : each))));
  return found.length === 1 ? { side: found[0], turn: -walk[found[0]].turn } : null;
}

// Plain numbers are of the unit, texts name their own.
const lengthOf = (length, unit) => (typeof length === "string" ? coordinate(length, unit) : length);

// Once round to the left, and back at the start.
function closes(walk) {
  let [x, y, heading] = [0, 0, 0];
  for (const { length, turn } of walk) {
    x += length * Math.round(Math.cos((heading * Math.PI) / 180));
    y += length * Math.round(Math.sin((heading * Math.PI) / 180));
    heading += turn;
  }
  return heading === 360 && Math.abs(x) < NEAR && Math.abs(y) < NEAR;
}
