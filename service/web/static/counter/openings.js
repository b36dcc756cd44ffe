// Openings and the flights that go down from them, as the form holds them and as the document has
// them. Pure: touches nothing but its arguments.

import { coordinate } from "./coordinates.js";
import { blankFlight, shown } from "./model.js";
import { asTyped, inPlace, list, object } from "./pen.js";

const SIDES = ["left", "right"];

export function opening(row, i, pen, level) {
  const written = { id: row.id, ...pen.begin(row) };
  const at = `${level}/openings/${i}`;
  pen.number(written, "edge", at, row.edge, `openings.${i}.edge`);
  pen.length(written, "from", at, row.from, `openings.${i}.from`);
  pen.length(written, "width", at, row.width, `openings.${i}.width`);
  pen.text(written, "use", at, row.use, `openings.${i}.use`);
  for (const name of ["hinge", "opens"]) pen.text(written, name, at, row[name], `openings.${i}.${name}`);
  return written;
}

// Whether an opening has a flight that counts. A flight that is switched off, or of an opening that
// is a passage now, is kept but does not count; the flight of a passage in an opened document does,
// and is shown.
export const hasFlight = ({ use, flight }) =>
  Boolean(flight && !flight.off && (use !== "passage" || flight.place !== undefined));

// The flights in the order of the opened document, by which posts are numbered; new ones come last.
export function flights(form, pen) {
  const down = form.levels.flatMap((level) => level.openings.map((one, i) =>
    ({ level, one, i, place: one.flight?.place }))).filter(({ one }) => hasFlight(one));
  return inPlace(down, form.kept.stairs, ({ level, one, i }, _, at) => {
    pen.elsewhere = level === shown(form) ? null : level.id;
    return flight(level, one, i, pen, `/stairs/${at}`);
  });
}

// Set each rise that nobody typed to the drop to the ground, or to the level that the flight goes
// down to.
export function followDrop({ levels, unit }) {
  for (const { openings, drop } of levels) {
    for (const { flight: down } of openings) {
      if (down?.follows) down.rise = riseTo(levels.find(({ id }) => id === down.to_level), drop, unit);
    }
  }
}

function riseTo(level, drop, unit) {
  if (!level) return drop;
  const [from, to] = [drop, level.drop].map((typedIn) => coordinate(typedIn, unit));
  return typeof from === "number" && typeof to === "number" && from > to ? String(Number((from - to).toFixed(4))) : "";
}

function flight(level, one, i, pen, at) {
  const { flight: typedIn } = one;
  const field = (name) => `openings.${i}.flight.${name}`;
  const stair = { id: typedIn.id || one.id, ...pen.begin(typedIn) };
  pen.place(at, field("rise")); // What is wrong with the flight as a whole.
  pen.put(stair, "opening", at, `${level.id}/${one.id}`, `openings.${i}.edge`);
  for (const name of ["rise", "going", "nosing", "height"]) pen.length(stair, name, at, typedIn[name], field(name));
  for (const name of ["risers", "glass"]) pen.number(stair, name, at, typedIn[name], field(name));
  for (const name of ["infill", "foot_post", "to_level"]) pen.text(stair, name, at, typedIn[name], field(name));
  for (const name of ["guards", "handrail"]) {
    pen.put(stair, name, at, sidesOf(typedIn[name], typedIn.opened?.[name]), field(`${name}.left`));
  }
  return stair;
}

// The chosen sides; as the opened document named them, in its order, while they are the same.
function sidesOf(chosen, opened) {
  const sides = SIDES.filter((side) => chosen[side]);
  const same = SIDES.every((side) => chosen[side] === list(opened).includes(side));
  return same ? opened : sides;
}

export function fromOpening(entry) {
  const { id, edge, from, width, use, hinge, opens, ...rest } = object(entry);
  return { ...asTyped({ id, edge, from, width, use, hinge, opens }), flight: null, rest, opened: object(entry) };
}

export function takeFlight(form, entry, place) {
  const { id, opening: name, rise, risers, going, nosing, infill, glass, height, foot_post, to_level, guards,
    handrail, ...rest } = object(entry);
  const one = form.levels.flatMap((level) => level.openings.filter((each) =>
    `${level.id}/${each.id}` === name && !each.flight))[0];
  if (!one) {
    form.kept.stairs.push({ entry, place });
    return;
  }
  const sides = (named) => ({ left: list(named).includes("left"), right: list(named).includes("right") });
  one.flight = { ...blankFlight(), place,
    ...asTyped({ id, rise, risers, going, nosing, infill, glass, height, foot_post, to_level }),
    guards: sides(guards), handrail: sides(handrail), rest, opened: entry };
}
