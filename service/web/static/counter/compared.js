// The comparison: a table with a row for the deck as typed and one for each variant. Touches
// nothing but what it makes.

import { el, table } from "./dom.js";
import { tapeText } from "./lengths.js";
import { taped } from "./plainly.js";

const number = "number";

// The table, and a line for each variant that lacks something. name: gives a part's role in words;
// inside: gives a sentence of the service with its places as the page names them.
export function compared(reply, name, inside) {
  const { comparison, unit, precision } = reply;
  const rows = [itself(reply), ...comparison];
  return [table("The same deck another way", [
    ["Way", (row) => row.label],
    ["Posts", (row) => row.posts, number],
    ["Bays", (row) => row.bays, number],
    ["Railing", (row) => row.railing_length && tapeText(row.railing_length, unit, precision), number],
    ["Pickets", (row) => row.pickets, number],
    ["Glass panels", (row) => row.glass_panels, number],
    ["Violations", (row) => row.violations, number],
    ["Warnings", (row) => row.warnings, number],
    ["Not checked", (row) => row.not_checked, number],
    ["Total", (row) => (row.total && isPriced(row) ? total(row) : ""), number],
  ], rows), ...comparison.map((row) => lacks(row, reply, name, inside)).filter(Boolean)
    .map((words) => el("p", { class: "mind" }, words))];
}

// [label, total] of each variant that has a total, to be shown among the deck's own figures.
export const otherWays = (comparison = []) => comparison.filter((row) => row.total && isPriced(row))
  .map((row) => [row.label, `${row.total} ${row.currency}${soFar(row)}`]);

const itself = ({ summary, quote }) => ({ label: "As typed", ...summary, ...quote });

// A total in which parts are missing is marked, as it cannot be compared.
const total = (row) => `${row.total}${soFar(row)}`;
const soFar = ({ unpriced }) => (unpriced?.length ? " so far" : "");
const isPriced = ({ total: sum, unpriced }) => Number(sum) > 0 || !unpriced?.length;

// Why a variant cannot be built, or which parts have no price in it, apart from those that have
// none in the deck itself; null where there is neither.
export function lacks({ label, problem, unpriced = [] }, { unit, quote }, name, inside) {
  if (problem) return `${label}: cannot be built. ${inside(taped(problem.message, unit))}`;
  const more = unpriced.filter((role) => !quote?.unpriced?.includes(role));
  return more.length ? `${label}: no price was given for ${more.map(name).join(", ")}.` : null;
}
