// Refusals of a place inside a whole kit or code, which came with an opened document and has no
// field here. Pure: touches nothing but its arguments.

import { spaced } from "./plainly.js";

// The words for such a refusal; null for any other. Lengths in it are in the unit of the kit or
// code.
export function ofWhole({ pointer = "", message }) {
  if (!/^\/(kit|code)\//.test(pointer)) return null;
  return `${spaced(message)} It stands in the document at ${pointer}: mend it there, and open that again.`;
}
