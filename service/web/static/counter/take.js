// What can be taken along from the answer: the answer itself and its sheets, as long as it is of
// the deck that the form holds. Touches the buttons and lines beside them, and saves files.

import { ask, problemOf } from "./ask.js";
import { part } from "./dom.js";

let held = null; // The deck and its answer that are shown; null while they are out of date.
let fetching = null; // The sheet under way.

// The deck whose answer is shown, while that answer is current; else null.
export const answeredDeck = () => held?.deck ?? null;

// Hand out a deck's answer, which is now shown, and its sheets.
export function give(deck, text) {
  held = { deck, text };
  turn(true, "");
}

// Hand nothing out, as the answer shown is no longer of what the form says, or may not be. A sheet
// that is under way is of that answer's deck, and is not saved either. why: the reason, for people.
export function withhold(why) {
  held = null;
  fetching?.abort();
  turn(false, why);
}

function turn(on, why) {
  for (const button of document.querySelectorAll("#save-answer, [data-sheet], [data-cure], #doubts [data-meant]")) button.disabled = !on;
  part("take-why").textContent = why;
  part("sheet-told").textContent = "";
}

export function save(name, content, type = "application/json") {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([content], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

// Fetch a sheet, which is asked for only when it is wanted.
async function fetchSheet({ target }) {
  const { sheet, media, file } = target.dataset;
  if (!sheet || !held) return;
  fetching?.abort();
  fetching = new AbortController();
  const { signal } = fetching;
  part("sheet-told").textContent = "Fetching.";
  const told = await saveSheet(`v1/sheets/${sheet}`, { deck: held.deck, accept: media, signal }, file);
  if (!signal.aborted) part("sheet-told").textContent = told;
}

async function saveSheet(path, how, file) {
  try {
    const reply = await ask(path, how);
    if (!reply.ok) return (await problemOf(reply)).title;
    const sheet = await reply.blob();
    if (!how.signal.aborted) save(file, sheet, how.accept);
    return `${file} is saved.`;
  } catch {
    return "The service does not answer.";
  }
}

export function wireTaking() {
  part("save-answer").addEventListener("click", () => held && save("layout.json", held.text));
  part("sheets").addEventListener("click", fetchSheet);
}
