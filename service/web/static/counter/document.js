// The form as a deck document, and a deck document as the form (contract, section 3). Pure: touches
// nothing but its arguments.

import { measures, takeMeasures } from "./measures.js";
import { blankEdge, fillEdges, usualCondition } from "./model.js";
import { flights, fromOpening, opening, takeFlight } from "./openings.js";
import { fromOutline, outline } from "./outline.js";
import { Pen, isObject, list, some, typed } from "./pen.js";

const OWN = "*"; // A kit or code that came whole inside the document.
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
  some(document, "site_measures", measures(form, pen));
  if (form.advise) document.advise = true;
  return { document, places: pen.places };
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

// The form as the page begins, from the document that it begins with. Where its house stands nobody
// has said yet.
export function freshForm(start) {
  const form = fromDocument(start);
  for (const edge of form.edges) edge.said = false;
  return form;
}

// The form that shows a deck document. Throws an Error that says why where none can.
export function fromDocument(document) {
  check(document);
  const { unit, title, kit, code, guard, levels, stairs, advise, site_measures: measured, ...rest } =
    document;
  const { infill, height, ...restOfGuard } = guard;
  const { id, drop, outline: outlined, edges: listed, openings, ...restOfLevel } = levels[0];
  const form = {
    unit, title: typed(title), kit: isObject(kit) ? OWN : typed(kit), levelId: typed(id) || "main",
    code: isObject(code) ? OWN : typed(code), infill: typed(infill) || "picket",
    height: typed(height), drop: typed(drop), advise: advise === true, ...fromOutline(outlined),
    edges: [], askHouse: false, openings: [], measures: [],
    kept: { document: rest, guard: restOfGuard, level: restOfLevel, levels: levels.slice(1),
      edges: [], stairs: [], measures: [] },
  };
  if (isObject(kit)) form.kept.kit = kit;
  if (isObject(code)) form.kept.code = code;
  fillEdges(form);
  const taken = new Set();
  for (const each of list(listed)) takeEdge(form, each, taken);
  form.openings = list(openings).map(fromOpening);
  list(stairs).forEach((each, place) => takeFlight(form, each, place));
  takeMeasures(form, measured);
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
    said: condition !== undefined, infill: typed(infill), height: typed(height), rest };
}
