// The same deck all in the other infill, to be compared with: as the form asks for it, and among what the
// document compares (contract, section 3). Pure: touches nothing but its arguments.

const OTHER = { picket: "glass", glass: "picket" };
const LABELS = { glass: "All in glass", picket: "All in pickets" };

// What the form offers, by its infill; null of an infill that has no other, and beside what an opened document
// compares and is no list.
export function otherInfill({ infill, kept }) {
  const { compare: compared = [] } = kept.document;
  return Array.isArray(compared) ? OTHER[infill] ?? null : null;
}

const variant = (infill) => ({ label: LABELS[infill], guard: { infill }, edges: "all" });

// After what the form does not show.
export function compare(form, pen, document) {
  const other = otherInfill(form);
  if (!form.other || !other) return;
  const kept = document.compare ?? [];
  document.compare = [...kept, variant(other)];
  pen.place(`/compare/${kept.length}`, "other");
  pen.place("/compare", "other");
}

// {other, kept}: whether the last of what is compared is the form's own, and what else there is.
export function takeCompared(compared, infill) {
  const own = OTHER[infill] && JSON.stringify(variant(OTHER[infill]));
  if (!Array.isArray(compared) || !own || JSON.stringify(compared.at(-1)) !== own) return { other: false, kept: compared };
  const kept = compared.slice(0, -1);
  return { other: true, kept: kept.length ? kept : undefined };
}
