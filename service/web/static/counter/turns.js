// Finds the turn of a tape walk of square corners that goes the wrong way, so that the walk misses
// its start. Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";

const NEAR = 1e-3;

// {side, turn}: the side, and the turn after it, with its sign changed, by which the walk closes;
// null where there is none.
export function otherTurn(sides, unit) {
  const walk = sides.map(({ length, turn = 90 }) => ({ length: lengthOf(length, unit), turn }));
  if (!walk.every(({ length, turn }) => typeof length === "number" && Math.abs(turn) === 90)) return null;
  const side = walk.findIndex((_, k) => closes(walk.map((each, i) => (i === k ? { ...each, turn: -each.turn } : each))));
  return side < 0 ? null : { side, turn: -walk[side].turn };
}

// A plain number is in the document's unit; a text names its own.
const lengthOf = (length, unit) => (typeof length === "string" ? coordinate(length, unit) : length);

// Whether a walk goes once round to the left and ends at its start.
function closes(walk) {
  let [x, y, heading] = [0, 0, 0];
  for (const { length, turn } of walk) {
    x += length * Math.round(Math.cos((heading * Math.PI) / 180));
    y += length * Math.round(Math.sin((heading * Math.PI) / 180));
    heading += turn;
  }
  return heading === 360 && Math.abs(x) < NEAR && Math.abs(y) < NEAR;
}
