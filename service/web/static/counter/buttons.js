// The buttons of the form: each changes what the form holds, and the focus goes to what is next.
// Touches the form object that it is given, and nothing of the page.

import { WAYS, addOpening, addRow, blankFlight, removeRow } from "./model.js";

// What each does, and the beginning of the names of the fields that are new by it.
const DO = {
  "add-row": (form) => {
    addRow(form);
    const { rows } = WAYS[form.way];
    return `${rows}.${form[rows].length - 1}.`;
  },
  "remove-row": (form, row) => removeRow(form, row),
  "add-opening": (form) => {
    addOpening(form);
    return `openings.${form.openings.length - 1}.`;
  },
  "remove-opening": (form, row) => {
    form.openings.splice(row, 1);
  },
  flight: ({ openings, drop }, row) => {
    openings[row].flight = openings[row].flight ? null : { ...blankFlight(), rise: drop };
    return `openings.${row}.flight.`;
  },
};
const NEXT = { "add-row": "#measured .row:last-of-type input", "remove-row": "#add-row",
  "add-opening": "#openings .opening:last-of-type select", "remove-opening": "#add-opening" };

// {next, begun}: the selector of what gets the focus, null for the button itself, and the names of
// fields that are new.
export function press(form, what, row) {
  return { begun: DO[what](form, row) ?? null, next: NEXT[what] ?? null };
}
