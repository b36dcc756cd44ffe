// The form written as a deck document, and a deck document read into a form (contract, section 3).
// Pure: touches nothing but its arguments.

import { amendments, takeAmendments } from "./amendments.js";
import { OWN } from "./asked.js";
import { columns, takeColumns } from "./columns.js";
import { compare, takeCompared } from "./comparing.js";
import { signedLength } from "./coordinates.js";
import { blankFraming, framing, takeFraming } from "./framing.js";
import { MOST, overfull } from "./limits.js";
import { measures, takeMeasures } from "./measures.js";
import { DROPS, blankEdge, blankMore, fillEdges, shown, usualCondition } from "./model.js";
import { noPosts, takeNoPosts } from "./nopost.js";
import { onHand, takeOnHand } from "./onhand.js";
import { flights, fromOpening, opening, takeFlight } from "./openings.js";
import { fromOutline, outline } from "./outline.js";
import { Pen, asTyped, isObject, list, object, some, typed } from "./pen.js";
import { blankPrices, prices, takePrices } from "./prices.js";
import { blankSite, site, takeSite } from "./site.js";

const WORDS = ["infill", "wall_end", "open_end", "beneath"]; // Of an edge.
const LISTS = { document: ["stairs", "site_measures", "stock_on_hand"],
  level: ["edges", "openings", "obstructions", "no_post"] };

// The deck document of the form, with `places`: the field that each member came from, by pointer.
export function toDocument(form) {
  const pen = new Pen(form.unit);
  const document = pen.begin({ rest: form.kept.document, opened: form.kept.opened });
  pen.text(document, "title", "", form.title, "title");
  pen.text(document, "unit", "", form.unit, "unit");
  pen.number(document, "precision", "", form.precision, "precision");
  pen.put(document, "kit", "", form.kit === OWN ? form.kept.kit : form.kit, "kit");
  pen.put(document, "code", "", form.code === OWN ? form.kept.code : form.code || undefined, "code");
  pen.text(document, "occupancy", "", form.occupancy, "occupancy");
  pen.number(document, "occupants", "", form.occupants, "occupants");
  pen.tick(document, "advise", "", form.advise, true, "advise");
  pen.tick(document, "plan_effort", "", form.thorough, "thorough", "thorough");
  document.guard = pen.begin({ rest: form.kept.guard, opened: form.kept.opened.guard });
  pen.text(document.guard, "infill", "/guard", form.infill, "infill");
  pen.length(document.guard, "height", "/guard", form.height, "height");
  amendments(form, pen, document);
  document.levels = form.levels.map((level, i) => {
    pen.elsewhere = level === shown(form) ? null : level.id;
    return writeLevel(level, pen, `/levels/${i}`);
  });
  some(document, "stairs", flights(form, pen));
  pen.elsewhere = null;
  some(document, "site_measures", measures(form, pen));
  site(form, pen, document);
  prices(form, pen, document);
  onHand(form, pen, document);
  compare(form, pen, document);
  return { document, places: pen.places };
}

function writeLevel(level, pen, at) {
  const written = { id: level.id, ...pen.begin(level) };
  for (const name of DROPS) pen.length(written, name, at, level[name], name);
  pen.text(written, "beneath", at, level.beneath, "beneath");
  written.outline = outline(level, pen, at);
  some(written, "edges", edges(level, pen, at));
  some(written, "openings", level.openings.map((one, i) => opening(one, i, pen, at)));
  some(written, "obstructions", columns(level, pen, at));
  framing(level, pen, at, written);
  some(written, "no_post", noPosts(level, pen, at));
  return written;
}

// The entries of edges that differ from what is usual.
function edges(level, pen, at) {
  const written = [];
  level.edges.forEach((row, i) => {
    const usual = row.condition === usualCondition(level, i);
    if (usual && !saysMore(row) && !saidAsOpened(row)) return;
    const edge = pen.begin(row);
    const place = `${at}/edges/${written.length}`;
    const field = (name) => `edges.${i}.${name}`;
    const told = usual && !pen.asOpened("condition", row.condition) ? "" : row.condition;
    pen.put(edge, "edge", place, i, field("condition"));
    pen.put(edge, "condition", place, told || undefined, field("condition"));
    for (const name of WORDS) pen.text(edge, name, place, row[name], field(name));
    pen.number(edge, "glass", place, row.glass, field("glass"));
    for (const name of ["height", ...DROPS]) pen.length(edge, name, place, row[name], field(name));
    pen.read(edge, "arc_rise", place, row.bow, field("bow"), (text) => signedLength(text, pen.unit));
    written.push(edge);
  });
  return [...written, ...level.more.edges];
}

const saysMore = (row) =>
  [...WORDS, "glass", "height", "bow", ...DROPS].some((name) => row[name].trim()) || Object.keys(row.rest).length > 0;

// Whether an edge's entry says only what is usual, but was in an opened document and so is written
// again.
const saidAsOpened = ({ opened, condition }) =>
  Boolean(opened) && (opened.condition === condition || Object.keys(opened).length === 1);

// The form of a fresh page, from the document that it begins with. On which edges the house stands
// counts as not yet said.
export function freshForm(start) {
  const form = fromDocument(start);
  for (const level of form.levels) for (const edge of level.edges) edge.said = false;
  return form;
}

// The form for a deck document. Throws an Error with the reason where no form can show it.
export function fromDocument(document) {
  check(document);
  const { unit, precision, title, kit, code, occupancy, occupants, guard, levels, stairs, advise, plan_effort: effort, prices: priced,
    amendments: amended, site_measures: measured, site: place, stock_on_hand: sticks, ...rest } = document;
  if (priced !== undefined && !isObject(priced)) rest.prices = priced;
  if (amended !== undefined && !isObject(amended)) rest.amendments = amended;
  const { infill, height, ...restOfGuard } = guard;
  const { compared, kept: compare } = takeCompared(rest.compare, infill, unit);
  if (compare === undefined) delete rest.compare;
  else rest.compare = compare;
  const form = {
    unit, ...asTyped({ precision, title, occupancy, occupants, height }),
    kit: isObject(kit) ? OWN : typed(kit), code: isObject(code) ? OWN : typed(code), infill: typed(infill) || "picket",
    compared, advise: advise === true, thorough: effort === "thorough", at: 0, amendments: [], measures: [], on_hand: [],
    levels: levels.map((level, i) => fromLevel(level, i > 0, unit)),
    prices: isObject(priced) ? takePrices(priced) : blankPrices(), site: blankSite(),
    kept: { document: rest, guard: restOfGuard, amendments: {}, stairs: [], measures: [], on_hand: [],
      opened: { precision, title, occupancy, occupants, advise, plan_effort: effort, guard } },
  };
  if (isObject(kit)) form.kept.kit = kit;
  if (isObject(code)) form.kept.code = code;
  takeAmendments(form, amended);
  list(stairs).forEach((each, place) => takeFlight(form, each, place));
  takeMeasures(form, measured);
  takeSite(form, place);
  takeOnHand(form, sticks);
  return form;
}

function fromLevel(entry, placed, unit) {
  const { id, drop, drop_to_ground, drop_to_next_level, beneath, outline: measured, edges: listed, openings,
    obstructions, no_post: places, framing: timber, ...rest } = entry;
  const said = { drop, drop_to_ground, drop_to_next_level, beneath };
  const level = { id: typed(id) || "main", ...asTyped(said), ...fromOutline(measured, placed),
    edges: [], askHouse: false, openings: list(openings).map(fromOpening), no_post: [], columns: [],
    framing: blankFraming(), rest, opened: said, more: blankMore() };
  fillEdges(level);
  const taken = new Set();
  for (const each of list(listed)) takeEdge(level, each, taken);
  takeColumns(level, list(obstructions), unit);
  takeNoPosts(level, list(places));
  takeFraming(level, timber);
  return level;
}

// The members that the form takes for lists and that are something else.
const unlisted = (holder, names) => names.filter((name) => holder[name] !== undefined && !Array.isArray(holder[name]));

function check(document) {
  const no = (why) => new Error(`This is no deck document: ${why}.`);
  if (!isObject(document)) throw no("it is no JSON object");
  if (!["in", "mm"].includes(document.unit)) throw no("its unit is neither in nor mm");
  if (!isObject(document.guard)) throw no("it has no guard");
  const { levels } = document;
  if (!Array.isArray(levels) || !levels.length || !levels.every(isObject)) throw no("it has no levels");
  const none = [...unlisted(document, LISTS.document), ...levels.flatMap((level) => unlisted(level, LISTS.level))];
  if (none.length) throw no(`its ${none[0]} is no list`);
  for (const { outline: measured } of levels) {
    const { points, sides, ties } = object(measured);
    if ([points, sides, ties?.corners].filter((each) => Array.isArray(each)).length !== 1) {
      throw no("its outline is not one of points, sides, ties");
    }
  }
  const over = overfull(document);
  if (over) throw new Error(`This deck is not opened. ${over}`);
}

// Take an entry of a document's edges. One that is no such entry, or of an edge that has one
// already or that no outline has, is kept as it is.
function takeEdge(level, entry, taken) {
  const { edge, condition, infill, glass, height, drop, drop_to_ground, drop_to_next_level, beneath, wall_end,
    open_end, arc_rise: bow, ...rest } = object(entry);
  if (!Number.isInteger(edge) || edge < 0 || edge >= MOST.corners || taken.has(edge)) {
    level.more.edges.push(entry);
    return;
  }
  taken.add(edge);
  while (level.edges.length < edge) level.edges.push(blankEdge());
  level.edges[edge] = { ...blankEdge(typed(condition) || usualCondition(level, edge)),
    said: condition !== undefined,
    ...asTyped({ infill, glass, height, bow, drop, drop_to_ground, drop_to_next_level, beneath, wall_end, open_end }),
    rest, opened: entry };
}
