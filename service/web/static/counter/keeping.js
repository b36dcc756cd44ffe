// Keeps what was typed in this tab (sessionStorage): it outlives a reload, is gone when the tab is
// closed, and is in no address, history or other visitor's page. Touches nothing else.

import { toDocument } from "./document.js";

const KEPT = "counter-form-16";

// The form as it was kept in this tab; null where there is none, or it cannot be read.
export function restore() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEPT));
    toDocument(kept);
    return kept;
  } catch {
    return null;
  }
}

export function keep(form) {
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(form));
  } catch {
    // A browser that stores nothing can still ask for answers.
  }
}
