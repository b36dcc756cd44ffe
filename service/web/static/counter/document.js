// The form as a deck document, and a deck document as the form (contract, section 3). Pure: touches
// nothing but its arguments.

import { readLength, readNumber } from "./lengths.js";
import { blankCorner, blankEdge, blankFlight, blankPoint, blankSide, fillEdges, usualCondition }
  from "./model.js";

const OWN = "*"; // A kit or code that came whole inside the document.
const SIDES = ["left", "right"];
const FURTHEST = 128; // An edge beyond it is none of any outline: it is kept, not shown.

// The deck document of the form, and which field each of its members came from, by pointer.
export function toDocument(form) {
  const pen = new Pen(form.unit);
  const level = { id: form.levelId };
  const document = { ...form.kept.document };
  pen.text(document, "title", "", form.title, "title");
  pen.text(document, "unit", "", form.unit, "unit");
  pen.put(document, "kit", "", form.kit === OWN ? form.kept.kit : form.kit, "kit");
  pen.put(document, "code", "", form.code === OWN ? form.kept.code : form.code || undefined, "code");
  document.guard = { ...form.kept.guard };
  pen.text(document.guard, "infill", "/guard", form.infill, "infill");
  pen.length(document.guard, "height", "/guard", form.height, "height");
  Object.assign(level, form.kept.level);
  pen.length(level, "drop", "/levels/0", form.drop, "drop");
  level.outline = outline(form, pen);
  some(level, "edges", edges(form, pen));
  some(level, "openings", form.openings.map((one, i) => opening(one, i, pen)));
  document.levels = [level, ...form.kept.levels];
  some(document, "stairs", flights(form, pen));
  if (form.advise) document.advise = true;
  return { document, places: pen.places };
}

// Writes members and remembers the field of each. What was not typed is left out.
class Pen {
  places = {};

  constructor(unit) {
    this.unit = unit;
  }

  put(holder, name, pointer, value, field) {
    this.places[`${pointer}/${name}`] ??= field;
    if (value !== undefined) holder[name] = value;
  }

  text(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, typed || undefined, field);
  }

  length(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, readLength(typed, this.unit), field);
  }

  number(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, readNumber(typed), field);
  }
}

function some(holder, name, list) {
  if (list.length) holder[name] = list;
}

function outline(form, pen) {
  const at = "/levels/0/outline";
  if (form.way === "rectangle") {
    const names = ["width", "depth", "width", "depth"];
    return { sides: names.map((name, i) => {
      const side = {};
      pen.length(side, "length", `${at}/sides/${i}`, form.rectangle[name], `rectangle.${name}`);
      return side;
    }) };
  }
  if (form.way === "sides") return { sides: form.sides.map((row, i) => {
    const side = {};
    pen.length(side, "length", `${at}/sides/${i}`, row.length, `sides.${i}.length`);
    pen.number(side, "turn", `${at}/sides/${i}`, row.turn, `sides.${i}.turn`);
    return side;
  }) };
  if (form.way === "points") return { points: form.points.map((row, i) => ["x", "y"].map((name, k) => {
    pen.places[`${at}/points/${i}/${k}`] = `points.${i}.${name}`;
    return readNumber(row[name]) ?? null;
  })) };
  const ties = {};
  pen.length(ties, "baseline", `${at}/ties`, form.baseline, "baseline");
  ties.corners = form.corners.map((row, i) => {
    const corner = {};
    for (const name of ["from_a", "from_b"]) {
      pen.length(corner, name, `${at}/ties/corners/${i}`, row[name], `corners.${i}.${name}`);
    }
    return corner;
  });
  return { ties };
}

// What differs from the usual, edge by edge.
function edges(form, pen) {
  const written = [];
  form.edges.forEach((row, i) => {
    const guard = row.condition === "guard";
    const told = row.condition !== usualCondition(form, i);
    const more = guard && (row.infill || row.height.trim());
    if (!told && !more && !Object.keys(row.rest).length) return;
    const edge = { ...row.rest };
    const at = `/levels/0/edges/${written.length}`;
    pen.put(edge, "edge", at, i, `edges.${i}.condition`);
    pen.put(edge, "condition", at, told ? row.condition : undefined, `edges.${i}.condition`);
    if (guard) pen.text(edge, "infill", at, row.infill, `edges.${i}.infill`);
    if (guard) pen.length(edge, "height", at, row.height, `edges.${i}.height`);
    written.push(edge);
  });
  return [...written, ...form.kept.edges];
}

function opening(row, i, pen) {
  const written = { id: row.id, ...row.rest };
  const at = `/levels/0/openings/${i}`;
  pen.number(written, "edge", at, row.edge, `openings.${i}.edge`);
  pen.length(written, "from", at, row.from, `openings.${i}.from`);
  pen.length(written, "width", at, row.width, `openings.${i}.width`);
  pen.text(written, "use", at, row.use, `openings.${i}.use`);
  return written;
}

// In the order of the document that was opened, as posts are numbered by it; new ones come last.
function flights(form, pen) {
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

// The form that shows a deck document. Throws an Error that says why where none can.
export function fromDocument(document) {
  check(document);
  const { unit, title, kit, code, guard, levels, stairs, advise, ...rest } = document;
  const { infill, height, ...restOfGuard } = guard;
  const { id, drop, outline: measured, edges: listed, openings, ...restOfLevel } = levels[0];
  const form = {
    unit, title: typed(title), kit: isObject(kit) ? OWN : typed(kit), levelId: typed(id) || "main",
    code: isObject(code) ? OWN : typed(code), infill: typed(infill) || "picket",
    height: typed(height), drop: typed(drop), advise: advise === true, ...fromOutline(measured),
    edges: [], openings: [],
    kept: { document: rest, guard: restOfGuard, level: restOfLevel, levels: levels.slice(1),
      edges: [], stairs: [] },
  };
  if (isObject(kit)) form.kept.kit = kit;
  if (isObject(code)) form.kept.code = code;
  fillEdges(form);
  const taken = new Set();
  for (const each of list(listed)) takeEdge(form, each, taken);
  form.openings = list(openings).map(fromOpening);
  list(stairs).forEach((each, place) => takeFlight(form, each, place));
  return form;
}

function check(document) {
  const level = document?.levels?.[0];
  if (!isObject(document)) throw new Error("This is no deck document: it is no JSON object.");
  if (!["in", "mm"].includes(document.unit)) {
    throw new Error("This is no deck document: its unit is neither in nor mm.");
  }
  if (!isObject(document.guard)) throw new Error("This is no deck document: it has no guard.");
  if (!Array.isArray(document.levels) || !isObject(level)) {
    throw new Error("This is no deck document: it has no levels.");
  }
  const { points, sides, ties } = isObject(level.outline) ? level.outline : {};
  const measured = [points, sides, ties?.corners].filter((each) => Array.isArray(each));
  if (measured.length !== 1) {
    throw new Error("This is no deck document: its outline is not one of points, sides, ties.");
  }
}

function fromOutline({ points, sides, ties }) {
  const form = {
    way: points ? "points" : sides ? "sides" : "ties",
    rectangle: { width: "", depth: "" }, baseline: typed(ties?.baseline),
    sides: sides?.map((each) => ({ length: typed(each?.length), turn: typed(each?.turn) }))
      ?? [blankSide(), blankSide(), blankSide(), blankSide()],
    points: points?.map((each) => ({ x: typed(each?.[0]), y: typed(each?.[1]) }))
      ?? [blankPoint(), blankPoint(), blankPoint(), blankPoint()],
    corners: ties?.corners.map((each) => ({ from_a: typed(each?.from_a), from_b: typed(each?.from_b) }))
      ?? [blankCorner(), blankCorner()],
  };
  if (sides && isRectangle(sides)) {
    form.way = "rectangle";
    form.rectangle = { width: form.sides[0].length, depth: form.sides[1].length };
  }
  return form;
}

// A walk of four square turns, the lengths in pairs, with nothing said of the turns.
function isRectangle(sides) {
  const [a, b, c, d] = sides.map((side) => side?.length);
  const plain = sides.every((side) => Object.keys(side ?? {}).join() === "length");
  return sides.length === 4 && plain && a === c && b === d;
}

// An entry of an edge that is none, or that is there already, goes along as it is.
function takeEdge(form, entry, taken) {
  const { edge, condition, infill, height, ...rest } = isObject(entry) ? entry : {};
  if (!Number.isInteger(edge) || edge < 0 || edge >= FURTHEST || taken.has(edge)) {
    form.kept.edges.push(entry);
    return;
  }
  taken.add(edge);
  while (form.edges.length < edge) form.edges.push(blankEdge());
  form.edges[edge] = { ...blankEdge(typed(condition) || usualCondition(form, edge)),
    infill: typed(infill), height: typed(height), rest };
}

function fromOpening(entry) {
  const { id, edge, from, width, use, ...rest } = isObject(entry) ? entry : {};
  return { id: typed(id), edge: typed(edge), from: typed(from), width: typed(width),
    use: typed(use), flight: null, rest };
}

function takeFlight(form, entry, place) {
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

const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
const list = (value) => (Array.isArray(value) ? value : []);
const typed = (value) => (value === undefined || value === null ? "" : String(value));
