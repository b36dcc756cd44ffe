// Refusals inside a whole kit or code that came with an opened document, which has no field here. Pure: touches
// nothing but its arguments.

import { spaced } from "./plainly.js";

// null of what is in none. Its lengths are in its own unit.
export function ofWhole({ pointer = "", message }) {
  if (!/^\/(kit|code)\//.test(pointer)) return null;
  return `${spaced(message)} It stands in the document at ${pointer}: mend it there, and open that again.`;
}
