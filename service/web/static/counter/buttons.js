// The buttons of the form: what each changes in the form, and where the focus goes next. Touches
// the form object that it is given, and nothing of the page.

import { blankAmendment } from "./amendments.js";
import { anyMeasured, listBays } from "./measures.js";
import {
  WAYS, addColumn, addLevel, addNoPost, addOpening, addRow, blankFlight, insertRow, removeLevel, removeRow, shown,
} from "./model.js";
import { addSticks } from "./onhand.js";
import { edgesAdded } from "./panes.js";
import { listPrices, takePrices } from "./prices.js";

// What each button does. Returns how the names of the fields that are new by it begin, if there are
// any.
const DO = {
  "add-row": (form) => {
    const level = shown(form);
    edgesAdded(form, () => addRow(level));
    const { rows } = WAYS[level.way];
    return `${rows}.${level[rows].length - 1}.`;
  },
  "insert-row": (form, row) => {
    const level = shown(form);
    edgesAdded(form, () => insertRow(level, row));
    return `${WAYS[level.way].rows}.${row + 1}.`;
  },
  "remove-row": (form, row) => removeRow(shown(form), row),
  "add-opening": (form) => {
    addOpening(shown(form));
    return `openings.${shown(form).openings.length - 1}.`;
  },
  "remove-opening": (form, row) => {
    shown(form).openings.splice(row, 1);
  },
  "add-no-post": (form) => {
    addNoPost(shown(form));
    return `no_post.${shown(form).no_post.length - 1}.`;
  },
  "remove-no-post": (form, row) => {
    shown(form).no_post.splice(row, 1);
  },
  "add-column": (form) => {
    addColumn(shown(form));
    return `columns.${shown(form).columns.length - 1}.`;
  },
  "remove-column": (form, row) => {
    shown(form).columns.splice(row, 1);
  },
  "add-amendment": (form) => {
    form.amendments.push(blankAmendment());
    return `amendments.${form.amendments.length - 1}.`;
  },
  "remove-amendment": (form, row) => {
    form.amendments.splice(row, 1);
  },
  "add-sticks": (form) => {
    addSticks(form);
    return `on_hand.${form.on_hand.length - 1}.`;
  },
  "remove-sticks": (form, row) => {
    form.on_hand.splice(row, 1);
  },
  "add-level": (form) => {
    edgesAdded(form, () => addLevel(form));
    return "";
  },
  "remove-level": (form) => {
    removeLevel(form);
    return "";
  },
  flight: (form, row) => {
    const { openings, drop } = shown(form);
    const { flight } = openings[row];
    if (flight) flight.off = !flight.off;
    else openings[row].flight = { ...blankFlight(), rise: drop, follows: true };
    return `openings.${row}.flight.`;
  },
  "list-bays": (form, _, reply) => {
    if (reply) listBays(form, reply);
    return "measures.";
  },
  "put-bays-away": (form) => {
    if (!anyMeasured(form)) form.measures = [];
  },
  "yard-prices": (form, _, reply, { kits, prices }) => usePrices(form, prices, reply, kits),
  "former-prices": (form, _, reply, { kits, former }) => usePrices(form, former, reply, kits),
};

function usePrices(form, { prices }, reply, kits) {
  form.prices = takePrices(structuredClone(prices));
  if (reply) listPrices(form, reply, kits);
}

const NEW_ROW = (begun) => `[data-field^="${begun}"]`;
const NEXT = { "add-row": NEW_ROW, "insert-row": NEW_ROW, "remove-row": "#add-row",
  "add-opening": "#openings .opening:last-of-type select", "remove-opening": "#add-opening",
  "add-no-post": "#no-posts .opening:last-of-type select", "remove-no-post": "#add-no-post",
  "add-column": "#columns .opening:last-of-type input", "remove-column": "#add-column",
  "add-amendment": "#amendments .opening:last-of-type select", "remove-amendment": "#add-amendment",
  "add-sticks": "#on-hand .opening:last-of-type select", "remove-sticks": "#add-sticks",
  "add-level": "#measured input", "remove-level": "#measured input",
  "yard-prices": "[id='f.prices.currency']",
  "former-prices": "[id='f.prices.currency']", "list-bays": "#measures input", "put-bays-away": "#list-bays" };

// A row by the name that the form shows: corners by two tapes are counted from 1.
function rowName({ way }, row) {
  return { sides: `Side ${row}`, points: `Corner ${row}`, ties: `Corner ${row + 1}` }[way];
}

// What a button takes out of the form, as a sentence; null where it takes nothing out.
export function losing(form, what, row) {
  const level = shown(form);
  const gone = {
    "remove-row": () => `${rowName(level, row)} was taken out.`,
    "remove-opening": () => `Opening ${level.openings[row].id} was taken out.`,
    "remove-no-post": () => `No-post place ${row + 1} was taken out.`,
    "remove-column": () => `Column ${row + 1} was taken out.`,
    "remove-amendment": () => `Local change ${row + 1} was taken out.`,
    "remove-sticks": () => `Sticks ${row + 1} were taken out.`,
    "remove-level": () => `${level.id} was taken out.`,
  };
  return gone[what]?.() ?? null;
}

// Press a button. Returns {next, begun}: a selector for what gets the focus, null for the button
// itself; and how the names of new fields begin, or null. reply: the last answer, if there is one.
// loaded: {kits, prices, former}, the prices that a fresh page begins with and those of the deck
// before.
export function press(form, what, row, reply, loaded = {}) {
  const begun = DO[what](form, row, reply, loaded) ?? null;
  const next = NEXT[what] ?? null;
  return { begun, next: next === NEW_ROW ? NEW_ROW(begun) : next };
}
