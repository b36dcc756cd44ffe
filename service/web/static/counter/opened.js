// Opens a text as a deck document. Pure: touches nothing but its arguments.

import { differing } from "./differing.js";
import { fromDocument, toDocument } from "./document.js";

// Returns {form, words, whole}: the form that shows the document, null where none can; what is to
// be said of it; and whether the form has all of it as it is there.
export function opened(text) {
  if (!text.trim()) return { form: null, words: "There is nothing to open." };
  try {
    const document = JSON.parse(text);
    const form = fromDocument(document);
    const changes = differing(document, toDocument(form).document);
    return { form, words: told(changes), whole: !changes.length };
  } catch (error) {
    const words = error instanceof SyntaxError ? `This is no JSON: ${error.message}` : error.message;
    return { form: null, words };
  }
}

function told(changes) {
  if (!changes.length) return "Opened.";
  return `Opened. Not as in the document, so look at it before it is saved: ${changes.join(", ")}.`;
}
