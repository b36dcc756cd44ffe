// A tape walk of square corners that misses its start because one of them turns the other way. Pure: touches nothing
// but its arguments.

import { coordinate } from "./coordinates.js";

const NEAR = 1e-3;

// {side, turn}: the turn by which, with the other sign, the walk closes; null where there is none.
export function otherTurn(sides, unit) {
  const walk = sides.map(({ length, turn = 90 }) => ({ length: lengthOf(length, unit), turn }));
  if (!walk.every(({ length, turn }) => typeof length === "number" && Math.abs(turn) === 90)) return null;
  const side = walk.findIndex((_, k) => closes(walk.map((each, i) => (i === k ? { ...each, turn: -each.turn } : each))));
  return side < 0 ? null : { side, turn: -walk[side].turn };
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
