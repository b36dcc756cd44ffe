// Variants of the deck to compare with: all in the other infill, at another height, with another
// kit. As the form asks for them, and as members of the document's `compare` (contract, section 3).
// Pure: changes the form that it is given and touches nothing else.

import { onTape, readLength } from "./lengths.js";
import { typed } from "./pen.js";

const OTHER = { picket: "glass", glass: "picket" };
const LABELS = { glass: "All in glass", picket: "All in pickets" };
const LONGEST = 40; // Letters that a label may have.

// No variants asked for. called: the label of the variant with another kit.
const blankCompared = () => ({ infill: false, height: "", kit: "", called: "" });

// Whether variants can be added: not where an opened document has a `compare` that is no list.
export const mayCompare = ({ kept: { document: { compare: all = [] } } }) => Array.isArray(all);

// The other infill, which the form offers to compare with; null where there is none.
export const otherInfill = (form) => (mayCompare(form) ? OTHER[form.infill] ?? null : null);

// Label the variant with another kit: by that kit's title up to its first comma.
export function callKit({ compared }, kits) {
  const { title = compared.kit } = kits.find(({ id }) => id === compared.kit) ?? {};
  compared.called = title.split(",")[0].slice(0, LONGEST);
}

const ofInfill = (infill) => ({ label: LABELS[infill], guard: { infill }, edges: "all" });
const ofHeight = (height, unit) => ({ label: `Guards ${heightWords(height, unit)} high`.slice(0, LONGEST),
  guard: { height: readLength(height, unit) }, edges: "all" });
const ofKit = (kit, label) => ({ label, kit });

const heightWords = (height, unit) =>
  (typeof readLength(height, unit) === "number" && unit === "mm" ? `${height.trim()} mm` : onTape(height.trim(), unit));

// Write the form's variants into the document, after those that the form does not show.
export function compare(form, pen, document) {
  if (!mayCompare(form)) return;
  const { infill, height, kit, called } = form.compared;
  const other = otherInfill(form);
  const own = [infill && other && ["infill", ofInfill(other)], height.trim() && ["height", ofHeight(height, form.unit)],
    kit && ["kit", ofKit(kit, called)]].filter(Boolean);
  if (!own.length) return;
  const kept = document.compare ?? [];
  document.compare = [...kept, ...own.map(([, variant]) => variant)];
  own.forEach(([name], i) => pen.place(`/compare/${kept.length + i}`, `compared.${name}`));
  pen.place("/compare", `compared.${own[0][0]}`);
}

// Take the variants of a document. Returns {compared, kept}: those that the form could have
// written, which come last in the list, and the others.
export function takeCompared(all, infill, unit) {
  const compared = blankCompared();
  if (!Array.isArray(all)) return { compared, kept: all };
  const kept = [...all];
  const isLast = (variant) => JSON.stringify(kept.at(-1)) === JSON.stringify(variant);
  const { kit, label } = kept.at(-1) ?? {};
  if (typeof kit === "string" && typeof label === "string" && isLast(ofKit(kit, label))) {
    Object.assign(compared, { kit, called: label });
    kept.pop();
  }
  const height = typed((kept.at(-1) ?? {}).guard?.height);
  if (height && isLast(ofHeight(height, unit))) {
    compared.height = height;
    kept.pop();
  }
  if (OTHER[infill] && isLast(ofInfill(OTHER[infill]))) {
    compared.infill = true;
    kept.pop();
  }
  return { compared, kept: all.length && !kept.length ? undefined : kept };
}
