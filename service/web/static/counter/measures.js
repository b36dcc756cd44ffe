// Bays measured after the posts stand, as the form lists them and as the document has them
// (contract, section 3). Pure: changes the form that it is given and touches nothing else.

import { tapeText } from "./lengths.js";
import { asTyped, inPlace, list, object } from "./pen.js";

// A row with nothing typed. between, drawn: what the last answer says of the bay, as words beside
// the fields. drawn is empty for a bay laid out as measured, since the answer no longer says how it
// was drawn.
const blankMeasure = (bay) =>
  ({ bay, clear_top: "", clear_bottom: "", between: "", drawn: "", rest: {} });

// Whether something was typed for a bay.
export const anyTyped = (row) =>
  Boolean(row.clear_top.trim() || row.clear_bottom.trim() || Object.keys(row.rest).length);

export const anyMeasured = (form) => form.measures.some(anyTyped);

// List the bays of an answer in its order, with what was typed for each. Bays that no longer exist
// but have something typed come after them, so that it is seen. Returns whether other bays are
// listed than before.
export function listBays(form, { bays, unit, precision }) {
  const before = form.measures;
  const rows = new Map(before.map((row) => [row.bay, row]));
  const listed = bays.map((bay) => ({ ...(rows.get(bay.id) ?? blankMeasure(bay.id)),
    between: `${bay.from ?? "wall"} to ${bay.to ?? "wall"}`,
    drawn: bay.measured ? "" : tapeText(bay.clear_slope ?? bay.clear, unit, precision) }));
  for (const { id } of bays) rows.delete(id);
  form.measures = [...listed, ...[...rows.values()].filter(anyTyped)];
  return names(before) !== names(form.measures);
}

const names = (rows) => rows.map(({ bay }) => bay).join();

// The entries of the bays for which something was typed.
export function measures(form, pen) {
  const told = form.measures.map((row, i) => ({ row, i, place: row.place })).filter(({ row }) => anyTyped(row));
  return inPlace(told, form.kept.measures, ({ row, i }, _, place) => {
    const at = `/site_measures/${place}`;
    const written = pen.begin(row);
    pen.put(written, "bay", at, row.bay, `measures.${i}.clear_top`);
    for (const name of ["clear_top", "clear_bottom"]) {
      pen.length(written, name, at, row[name], `measures.${i}.${name}`);
    }
    return written;
  });
}

// Take the entries of a document. One that names no bay, or a bay that has one already, is kept as
// it is.
export function takeMeasures(form, entries) {
  const taken = new Set();
  list(entries).forEach((entry, place) => {
    const { bay, clear_top, clear_bottom, ...rest } = object(entry);
    if (typeof bay !== "string" || taken.has(bay)) {
      form.kept.measures.push({ entry, place });
    } else {
      taken.add(bay);
      form.measures.push({ ...blankMeasure(bay), ...asTyped({ clear_top, clear_bottom }), rest, opened: entry, place });
    }
  });
}
