// The corners of a level in the document's coordinates, worked out from what was measured by the
// contract's rules (section 3). Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { readNumber } from "./lengths.js";

const RIGHT_ANGLE = 90; // What a turn is that nobody typed.

// Returns {corners, unread, whole}. unread: [{field, value}] of what was typed and cannot be read,
// in which case the corners mean nothing; whole: whether everything is typed and can be read, apart
// from the one side of a walk that may be left empty.
export function cornersOf(level, unit) {
  const unread = [];
  let whole = true;
  const number = (value, field, instead) => {
    if (typeof value === "number") return value;
    whole = false;
    if (value !== null) unread.push({ field, value });
    return instead;
  };
  const length = (field, typed) => number(coordinate(typed, unit), field, 0);
  const turn = (field, typed) => number(readNumber(typed) ?? RIGHT_ANGLE, field, RIGHT_ANGLE);
  return { corners: OF[level.way](level, length, turn), unread, whole };
}

const OF = {
  rectangle({ rectangle, placed }, length) {
    const [w, d] = ["width", "depth"].map((name) => length(`rectangle.${name}`, rectangle[name]));
    const [right, out] = placed
      ? ["right", "out"].map((name) => length(`rectangle.${name}`, rectangle[name])) : [0, 0];
    return [[right, -out], [right + w, -out], [right + w, d - out], [right, d - out]];
  },
  sides: ({ sides }, length, turn) => walked(sides, length, turn),
  points: ({ points }, length) => points.map((row, i) =>
    ["x", "y"].map((name) => length(`points.${i}.${name}`, row[name]))),
  ties({ baseline, corners }, length) {
    const wall = length("baseline", baseline);
    return [[0, 0], ...corners.map((row, i) => tied(wall,
      ...["from_a", "from_b"].map((name) => length(`corners.${i}.${name}`, row[name])))), [wall, 0]];
  },
};

// The corners of a walk from the origin to the right, turning left after each side. An empty side
// gets the length that closes the walk best; each side takes its share, by length, of the gap that
// is left (compass rule).
function walked(sides, length, turn) {
  let heading = 0;
  const ways = sides.map((side, i) => {
    const at = heading * Math.PI / 180;
    heading += turn(`sides.${i}.turn`, side.turn);
    return [Math.cos(at), Math.sin(at)];
  });
  const empty = sides.findIndex((side) => !side.length.trim());
  const lengths = sides.map((side, i) => (i === empty ? 0 : length(`sides.${i}.length`, side.length)));
  const led = (axis) => sum(ways.map((way, i) => way[axis] * lengths[i]));
  if (empty >= 0) lengths[empty] = 0 - led(0) * ways[empty][0] - led(1) * ways[empty][1];
  const share = [0, 1].map((axis) => led(axis) / (sum(lengths) || 1));
  const at = [0, 0];
  return ways.map((way, i) => {
    const corner = [...at];
    for (const axis of [0, 1]) at[axis] += (way[axis] - share[axis]) * lengths[i];
    return corner;
  });
}

// The point where two tapes meet in front of the wall. Where they do not meet, the service refuses
// them.
function tied(wall, a, b) {
  const x = (a * a - b * b + wall * wall) / (2 * wall || 1);
  return [x, 0 - Math.sqrt(Math.max(0, a * a - x * x))];
}

const sum = (numbers) => numbers.reduce((all, each) => all + each, 0);
