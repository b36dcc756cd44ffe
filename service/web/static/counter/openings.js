// Openings and the flights that go down from them, as the form holds them and as the document does.
// Pure: touches nothing but its arguments.

import { blankFlight } from "./model.js";
import { isObject, list, typed } from "./pen.js";

const SIDES = ["left", "right"];

export function opening(row, i, pen) {
  const written = { id: row.id, ...row.rest };
  const at = `/levels/0/openings/${i}`;
  pen.number(written, "edge", at, row.edge, `openings.${i}.edge`);
  pen.length(written, "from", at, row.from, `openings.${i}.from`);
  pen.length(written, "width", at, row.width, `openings.${i}.width`);
  pen.text(written, "use", at, row.use, `openings.${i}.use`);
  for (const name of ["hinge", "opens"]) pen.text(written, name, at, row[name], `openings.${i}.${name}`);
  return written;
}

// In the order of the document that was opened, as posts are numbered by it; new ones come last.
export function flights(form, pen) {
  const shown = form.openings.map((one, i) => ({ one, i, place: one.flight?.place ?? Infinity }))
    .filter(({ one }) => one.flight);
  return [...shown, ...form.kept.stairs]
    .sort((a, b) => (a.place === b.place ? 0 : a.place - b.place))
    .map(({ one, i, entry }, at) => (one ? flight(form, one, i, pen, `/stairs/${at}`) : entry));
}

function flight(form, one, i, pen, at) {
  const { flight: typedIn } = one;
  const field = (name) => `openings.${i}.flight.${name}`;
  const stair = { id: typedIn.id || one.id, ...typedIn.rest };
  pen.put(stair, "opening", at, `${form.levelId}/${one.id}`, `openings.${i}.use`);
  for (const name of ["rise", "going", "nosing"]) pen.length(stair, name, at, typedIn[name], field(name));
  pen.number(stair, "risers", at, typedIn.risers, field("risers"));
  for (const name of ["guards", "handrail"]) {
    const sides = SIDES.filter((side) => typedIn[name][side]);
    pen.put(stair, name, at, sides.length ? sides : undefined, field(`${name}.left`));
  }
  return stair;
}

export function fromOpening(entry) {
  const { id, edge, from, width, use, hinge, opens, ...rest } = isObject(entry) ? entry : {};
  return { id: typed(id), edge: typed(edge), from: typed(from), width: typed(width),
    use: typed(use), hinge: typed(hinge), opens: typed(opens), flight: null, rest };
}

export function takeFlight(form, entry, place) {
  const { id, opening: name, rise, risers, going, nosing, guards, handrail, ...rest } =
    isObject(entry) ? entry : {};
  const one = form.openings.find((each) => `${form.levelId}/${each.id}` === name && !each.flight);
  if (!one) {
    form.kept.stairs.push({ entry, place });
    return;
  }
  const sides = (named) => ({ left: list(named).includes("left"), right: list(named).includes("right") });
  one.flight = { ...blankFlight(), place, id: typed(id), rise: typed(rise), risers: typed(risers),
    going: typed(going), nosing: typed(nosing), guards: sides(guards), handrail: sides(handrail), rest };
}
