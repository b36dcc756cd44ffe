// The local authority's figures, which replace the code's: as the form lists them, as the document
// has them (contract, section 3), and what refusals say of them. Pure: changes the form that it is
// given and touches nothing else.

import { readNumber } from "./lengths.js";
import { isObject, typed } from "./pen.js";
import { spaced, taped } from "./plainly.js";

const WORDED = ["words", "text"];
const UNITED = ["load", ""]; // Kinds that hold the tape's unit: a force is not converted, nor what is not known.

// An empty row. kind: the figure's kind by the published vocabulary; "" until that is loaded.
export const blankAmendment = () => ({ figure: "", value: "", kind: "" });

// Set the kind of each row. figures: as made by figures.js; null until they are loaded.
export function fillKinds(form, figures) {
  for (const row of form.amendments) row.kind = figures?.[row.figure]?.kind ?? row.kind;
}

// The row has another figure now, so its value is cleared.
export function chooseFigure(row, figures) {
  Object.assign(row, { value: "", kind: figures?.[row.figure]?.kind ?? "" });
}

// Write the amendments into the document. An empty one is left out, so that the code's figure
// holds; text that cannot be read is sent as it is, and the service says what is wrong with it.
export function amendments(form, pen, document) {
  const written = pen.begin({ rest: form.kept.amendments, opened: form.kept.opened.amendments });
  form.amendments.forEach(({ figure, value, kind }, i) => {
    if (!figure) return;
    const write = { words: "text", text: "text", length: "length", "": "length" }[kind] ?? "number";
    pen[write](written, figure, "/amendments", value, `amendments.${i}.value`);
  });
  pen.place("/amendments", "amendments.0.figure");
  if (Object.keys(written).length || isObject(form.kept.opened.amendments)) document.amendments = written;
}

// Make a row of each amendment in a document. Values that a row cannot hold are kept unseen, and
// what is no object stays with the document.
export function takeAmendments(form, entry) {
  if (!isObject(entry)) return;
  form.kept.opened.amendments = entry;
  for (const [figure, value] of Object.entries(entry)) {
    if (["number", "string"].includes(typeof value)) form.amendments.push({ ...blankAmendment(), figure, value: typed(value) });
    else form.kept.amendments[figure] = value;
  }
}

// Whether some amendment is a plain number of a kind that goes by the document's unit and cannot be
// converted.
export const bindUnit = ({ amendments: rows }) =>
  rows.some(({ value, kind }) => UNITED.includes(kind) && typeof readNumber(value) === "number");

export const isWorded = ({ kind }) => WORDED.includes(kind);

const OPEN_AGAIN = " Mend it in the document, and open that again.";

// What a refusal of an amendment says, in the form's words. null where the refusal is of something
// else, or where its own sentence is the better one, as for a value that does not fit its kind.
// field: the one that the value was typed in, if any.
export function ofAmendment({ pointer = "", code, message }, unit, field) {
  if (pointer === "/amendments" && code === "amendments_without_code") {
    return "No building code is chosen that this would change: choose one, or take the local changes out.";
  }
  if (!pointer.startsWith("/amendments/")) return null;
  const end = field ? "" : OPEN_AGAIN;
  if (code === "figure_not_in_code") return `The code that is chosen states no such figure.${end || " Take it out, or choose another code."}`;
  if (code === "unknown_member") return `There is no such figure.${end || " Take it out."}`;
  if (code === "amendment_of_other_unit") {
    return spaced(taped(message, unit).replace(/: the document's unit is .*, and the code has \w+/, ": the code has")
      .replace("Send it as text that names its unit", "Type it with its unit")) + end;
  }
  if (code === "half_of_a_pair") return spaced(taped(message, unit)) + end;
  return field ? null : spaced(taped(message, unit)) + end;
}
