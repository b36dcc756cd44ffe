// The shapes that a column may have, in coordinates along an edge: t along it, n from it onto the
// deck. Pure: touches nothing but its arguments.

export const SHAPES = [["", "Square to the edge"], ["turned", "Turned"], ["round", "Round"]];
export const SIDES = 32; // Of the outline around a round one, whose middles touch it.

const NEAR = 1e-3; // What is left of a place once it was worked out and back, inches or mm.
const degrees = (radians) => radians * 180 / Math.PI;
const radians = (angle) => angle * Math.PI / 180;

// The measures of each shape: where its near sides are, and how large it is. A turned column is
// placed by its corner nearest the edge, from which its width leaves the edge by `turn` degrees.
const SQUARE = ["from", "width", "in", "depth"];
export const asked = (shape) =>
  ({ turned: [...SQUARE, "turn"], round: SQUARE.slice(0, 3) }[shape] ?? SQUARE);

// The corners of a column with these measures, as [[t, n]...].
export function cornersAlong(shape, { from, width, in: near, depth, turn }) {
  if (shape === "round") return around(from + width / 2, near + width / 2, width / 2);
  const angle = shape === "turned" ? radians(turn) : 0;
  const [across, onward] = [[Math.cos(angle), Math.sin(angle)], [-Math.sin(angle), Math.cos(angle)]];
  return [[0, 0], [width, 0], [width, depth], [0, depth]].map(([w, d]) =>
    [from + across[0] * w + onward[0] * d, near + across[1] * w + onward[1] * d]);
}

function around(t, n, radius) {
  const reach = radius / Math.cos(Math.PI / SIDES);
  return Array.from({ length: SIDES }, (_, i) => {
    const angle = Math.PI * (2 * i + 1) / SIDES;
    return [t + reach * Math.cos(angle), n + reach * Math.sin(angle)];
  });
}

// The measures of a column with these corners, {shape, from, ...}; null where it has none of the
// shapes. A rectangle counts as square to the edge wherever it is.
export function measuresOf(corners) {
  const [t, n] = [0, 1].map((axis) => corners.map((each) => each[axis]));
  const [from, to, near, far] = [Math.min(...t), Math.max(...t), Math.min(...n), Math.max(...n)];
  const size = { from, width: to - from, in: near };
  const found = [{ shape: "", ...size, depth: far - near }, { shape: "round", ...size }, turnedOf(corners, n)];
  return found.find((each) => each && isOf(each, corners)) ?? null;
}

// The measures of a turned column, from its corner nearest the edge; its width is the side that
// leaves the edge by less.
function turnedOf(corners, n) {
  if (corners.length !== 4) return null;
  const at = n.indexOf(Math.min(...n));
  const [corner, ...beside] = [0, 1, 3].map((step) => corners[(at + step) % 4]);
  const sides = beside.map((other) => [other[0] - corner[0], other[1] - corner[1]]);
  const [across, onward] = sides[0][0] > sides[1][0] ? sides : sides.toReversed();
  const long = ([dt, dn]) => Math.hypot(dt, dn);
  return { shape: "turned", from: corner[0], width: long(across), in: corner[1], depth: long(onward),
    turn: degrees(Math.atan2(across[1], across[0])) };
}

function isOf(found, corners) {
  const { shape, width, depth = width } = found;
  const again = cornersAlong(shape, found);
  return width > NEAR && depth > NEAR && again.length === corners.length && inOrder(again, corners);
}

// Whether both lists go round the same corners, beginning anywhere and in either direction.
function inOrder(some, others) {
  const first = others.findIndex((other) => isNear(some[0], other));
  const { length } = others;
  return first >= 0 && [1, -1].some((way) =>
    some.every((each, i) => isNear(each, others[(first + way * i + length) % length])));
}

export const isNear = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]) < NEAR;
