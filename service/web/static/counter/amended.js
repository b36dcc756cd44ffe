// Refusals of what came with an opened document and has no field here: of an amendment, or inside a whole kit or
// code. Pure: touches nothing but its arguments.

import { spaced, taped } from "./plainly.js";

const WHERE = " Mend it in the document, and open that again.";

// null of what is no amendment. What the code has besides is no help here.
export function ofAmendment({ pointer = "", message }, unit) {
  if (!pointer.startsWith("/amendments/")) return null;
  const said = taped(message, unit).replace(/; it states .*$/, ".").replace("unit is in,", "unit is inches,");
  const asked = said.replace(/ Send it as text that names its unit: (.*)\.$/,
    " Write it in the document with its unit, $1, and open that again.");
  return spaced(asked === said ? said + WHERE : asked);
}

// null of what is in no whole kit or code. Its lengths are in its own unit.
export function ofWhole({ pointer = "", message }) {
  if (!/^\/(kit|code)\//.test(pointer)) return null;
  return `${spaced(message)} It stands in the document at ${pointer}: mend it there, and open that again.`;
}
