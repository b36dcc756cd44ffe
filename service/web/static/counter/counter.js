// The counter page: as something is typed, the deck is sent to /v1/layout and the answer shown
// beside it. Touches the page's own controls, and the rest of the page through the modules that it
// calls.

import { ask, hasKey, problemOf, useKey } from "./ask.js";
import { losing, press } from "./buttons.js";
import { takeIn } from "./changes.js";
import { deckLine } from "./deckline.js";
import { freshForm, toDocument } from "./document.js";
import { part } from "./dom.js";
import { doubts, houses, past } from "./doubts.js";
import { drawPlan } from "./drawing.js";
import { begin, clearFaults, leave, leaveAll, showAgain, showRefusal } from "./faults.js";
import {
  drawChoices, drawForm, drawLocal, drawMeasures, drawPriceRows, redraws, showBeside, showClosing, showDrawn, showLocal,
} from "./form.js";
import { keep, restore } from "./keeping.js";
import { offerMarks } from "./keys.js";
import { loadChoices, loadFigures } from "./loading.js";
import { madeWords, withChange } from "./made.js";
import { listBays } from "./measures.js";
import { shown } from "./model.js";
import { opened } from "./opened.js";
import { closingSide } from "./outline.js";
import { patched } from "./patch.js";
import { arePriced, listPrices, pricesOf } from "./prices.js";
import { afterPress, hearPointers } from "./pressing.js";
import { showReading } from "./readings.js";
import { leadOn } from "./rowkeys.js";
import { showDoubts, showReply } from "./show.js";
import { behind, current, outOfDate, slow, troubled } from "./standing.js";
import { answeredDeck, give, save, wireTaking } from "./take.js";
import { trouble } from "./trouble.js";
import { putAway, remember, stepBack, stepForth } from "./undo.js";
import { watch } from "./waiting.js";
import { wheres } from "./wheres.js";

const PAUSE = 400; // Milliseconds after the last key before the service is asked.

let form = null;
let first = null; // The deck document that a fresh page begins with.
let told = null; // The last answer.
// What was loaded from the service. figures: the published vocabulary of a code's figures, null
// until it is wanted. coverage: that of the last answer. prices, former: those that a fresh page
// begins with, and those of the deck before this one.
const loaded = { kits: [], codes: [], figures: null, coverage: [], prices: null, former: null };
let waiting = 0;
let under = null; // The request under way; a newer one ends it.

// Draw the whole form anew. The answer is marked as another deck's first, so that it does not look
// current even where drawing fails.
function redraw() {
  askLater(0);
  drawForm(form, loaded);
}

// Ask for an answer after a pause. From the first change on, the answer shown is of another deck,
// and so is one that is still on its way.
function askLater(pause) {
  keep(form);
  under?.abort();
  clearTimeout(waiting);
  behind();
  showClosing(null);
  waiting = setTimeout(layOut, pause);
}

async function layOut() {
  under?.abort();
  const mine = new AbortController();
  under = mine;
  const { signal } = mine;
  const { document: deck, places } = toDocument(form);
  part("answer").setAttribute("aria-busy", "true");
  const heed = watch(signal, { slow, late: () => giveUp(mine) });
  try {
    const heard = await hear(deck, signal);
    heed();
    if (heard?.problem) refused(heard, deck, places, signal);
    else if (heard) await answered(deck, heard, places, signal);
  } finally {
    if (!signal.aborted) part("answer").removeAttribute("aria-busy");
  }
}

// The problem document with places in its sentences named as the form names them.
function byPlaces(problem, deck) {
  const { inside } = wheres(deck);
  return { ...problem, errors: problem.errors.map((each) => ({ ...each, message: inside(each.message) })) };
}

// The service's reply to a deck; null where none came or it cannot be read. Errors after that are
// the page's own, and must not be told as the service's.
async function hear(deck, signal) {
  try {
    const reply = await ask("v1/layout", { deck, signal });
    if (!reply.ok) return { reply, problem: await problemOf(reply) };
    const text = await reply.text();
    return { text, told: JSON.parse(text) };
  } catch (error) {
    if (error.name !== "AbortError") unreached();
    return null;
  }
}

function giveUp(request) {
  request.abort();
  part("answer").removeAttribute("aria-busy");
  unreached();
}

// Show an answer. Where it cannot be shown, none is left that looks current.
async function answered(deck, heard, places, signal) {
  if (signal.aborted) return;
  try {
    showAnswer(deck, heard, places);
  } catch (error) {
    const words = "What came cannot be shown as a layout. Nothing typed is lost.";
    troubled("The answer cannot be read", words, form.unit);
    throw error;
  }
  await drawPlan(deck, heard.told, signal);
}

function showAnswer(deck, { text, told: reply }, places) {
  const words = (lines) => lines.map((line) => ({ words: line }));
  showReply(deck, reply, [...doubts(deck, places), ...words(houses(form)), ...words(past(form))]);
  told = reply;
  part("list-bays").disabled = false;
  clearFaults();
  current();
  showClosing(closingSide(shown(form), reply));
  followBays(reply);
  followParts(reply);
  loaded.coverage = reply.coverage;
  showLocal(form, loaded);
  part("deck-line").textContent = deckLine(deck, reply);
  part("answer").hidden = false;
  give(deck, text);
}

// Keep the list of bays to be measured the same as those of the answer.
function followBays(reply) {
  if (!form.measures.length) return;
  if (listBays(form, reply)) drawMeasures(form);
  else showDrawn(form);
  keep(form);
}

// Keep the list of parts to be priced the same as those of the answer.
function followParts(reply) {
  if (!arePriced(form) || !listPrices(form, reply, loaded.kits)) return;
  drawPriceRows(form, loaded);
  keep(form);
}

function refused({ reply, problem }, deck, places, signal) {
  if (signal.aborted) return;
  if (reply.status === 401) {
    part("key").hidden = false;
    part("key-input").focus();
  }
  const wait = Math.ceil(Number(reply.headers.get("Retry-After"))) || 0;
  const other = trouble(reply.status, { tried: hasKey(), wait, heard: !problem.unheard });
  if (other) {
    troubled(other.title, other.words, form.unit);
  } else {
    const asked = doubts(deck, places); // It may be what is wrong.
    const { open, told: said } = showRefusal("To put right", places, byPlaces(problem, deck), form.unit, asked);
    showDoubts(part("faults-meant"), asked);
    const more = asked.map(({ words }) => words).filter((words) => !said.includes(words));
    outOfDate(open ? "Something is still to be typed" : "Something is to be put right", [said, ...more].join(" "),
      asked[0]?.words);
  }
  if (wait) waiting = setTimeout(layOut, wait * 1000);
}

function unreached() {
  const words = "Nothing typed is lost. Change anything, or press Enter in a field, to try again.";
  troubled("The service does not answer", words, form.unit);
}

async function showChoices() {
  Object.assign(loaded, await loadChoices());
  drawChoices(form, loaded);
  drawLocal(form, loaded);
  showAgain();
}

// Load the words, kinds and units of a code's figures when their list is first opened, as few decks
// need them.
async function showFigures() {
  if (loaded.figures || !part("local").open) return;
  loaded.figures = await loadFigures();
  drawLocal(form, loaded);
  showAgain();
}

function changed({ target }) {
  const name = target.dataset.field;
  if (!name) return;
  const value = target.type === "checkbox" ? target.checked : target.value;
  takeIn(form, name, value, { ...loaded, reply: told });
  if (name === "at") begin(""); // None of the fields of another level was left yet.
  if (redraws(name)) redraw();
  else showBeside(form, name, loaded);
  if (target.matches("input.length")) showReading(target, form.unit);
  askLater(target.type === "text" ? PAUSE : 0);
}

function pressed({ target, detail: clicks }) {
  const button = target.closest("[data-do]");
  if (!button || (clicks > 1 && button.matches(".remove"))) return; // The next row has come under the finger.
  const { id } = shown(form);
  if (button.id === "remove-level" && !window.confirm(`Take ${id} out, with all that was typed of it?`)) return;
  const row = Number(button.dataset.row);
  const lost = losing(form, button.dataset.do, row);
  if (lost) remember(form, lost);
  const { next, begun } = press(form, button.dataset.do, row, told, loaded);
  // Done after the field that the press has left was noted as left: it may have had the new field's
  // name.
  if (begun !== null) afterPress(() => begin(begun));
  redraw();
  document.querySelector(next ?? `#${button.id}`)?.focus();
}

// Open a text as a deck document. What is to be said of it is shown beside the files, in sight; where
// there is nothing to say, the focus goes to the deck.
function open(text) {
  const { form: other, words, whole } = opened(text);
  part("opened").textContent = words;
  if (other) {
    putBefore(other);
    redraw();
    leaveAll(); // What a document lacks is not being typed just now.
  }
  if (whole) part("asked-head").focus();
  else part("opened").scrollIntoView({ block: "nearest" });
}

function chooseFile() {
  part("documents").open = true;
  part("file").focus();
  part("file").click();
}

// Put another deck in the form's place. The prices of the former deck are kept to be offered.
function putBefore(other) {
  loaded.former = pricesOf(toDocument(form).document) ?? loaded.former;
  remember(form, "The deck before was put away.");
  form = other;
}

// Make a change that the answer offers in the deck that the answer is of. The form shows the
// change, and Undo takes it back.
function cure({ target }) {
  const deck = answeredDeck();
  if (!deck || !target.dataset.cure) return;
  const advice = told.advice[target.dataset.cure];
  remember(form, madeWords(advice, deck, told));
  form = withChange(form, deck, patched(deck, advice.change, loaded.kits));
  redraw();
  leaveAll();
  part("answer-head").focus();
}

// Follow a link to a field of another level, which is shown first.
function leadTo(event) {
  const { level, own } = event.target.dataset;
  if (!level) return;
  event.preventDefault();
  takeIn(form, "at", form.levels.findIndex(({ id }) => id === level));
  begin("");
  redraw();
  (part(`f.${own}`) ?? part("f.at")).focus();
}

// Answer a question about a value that was hardly meant: what was meant is put into its field.
function meant({ target }) {
  const { field, meant: text } = target.dataset;
  if (!field) return;
  takeIn(form, field, text, { ...loaded, reply: told });
  redraw();
  part(`f.${field}`)?.focus();
}

function wire() {
  window.addEventListener("online", () => answeredDeck() || askLater(0));
  for (const id of ["doubts", "faults-meant"]) part(id).addEventListener("click", meant);
  part("faults-list").addEventListener("click", leadTo);
  part("deck").addEventListener("input", changed);
  part("stock").addEventListener("input", changed);
  part("deck").addEventListener("click", pressed);
  part("failed").addEventListener("click", cure);
  part("local").addEventListener("toggle", showFigures);
  offerMarks(part("deck"));
  leadOn(part("deck"), () => askLater(0));
  hearPointers();
  part("deck").addEventListener("focusout", ({ target }) =>
    afterPress(() => leave(target.dataset.field)));
  part("deck").addEventListener("submit", (event) => {
    event.preventDefault();
    leaveAll();
    askLater(0);
  });
  part("key").addEventListener("submit", (event) => {
    event.preventDefault();
    useKey(part("key-input").value);
    part("key-input").value = "";
    part("key").hidden = true;
    showChoices();
    showFigures();
    askLater(0);
  });
  part("file").addEventListener("change", async ({ target }) => {
    if (target.files[0]) open(await target.files[0].text());
    target.value = "";
  });
  part("use-pasted").addEventListener("click", () => open(part("pasted").value));
  part("choose-file").addEventListener("click", chooseFile);
  for (const id of ["save-deck", "save-file"]) {
    part(id).addEventListener("click", () => save("deck.json", JSON.stringify(toDocument(form).document, null, 2)));
  }
  part("print").addEventListener("click", () => window.print());
  wireTaking();
  part("afresh").addEventListener("click", () => {
    if (!window.confirm("Put away everything that was typed and begin afresh?")) return;
    putBefore(freshForm(first));
    begin("");
    part("pasted").value = "";
    part("opened").textContent = "";
    redraw();
    document.querySelector("#measured input").focus(); // Where the next deck is begun.
  });
  for (const [id, step] of [["undo", stepBack], ["redo", stepForth]]) {
    part(id).addEventListener("click", () => {
      form = step(form);
      redraw();
    });
  }
  part("put-undo-away").addEventListener("click", () => {
    putAway();
    part("asked-head").focus();
  });
}

async function start() {
  try {
    first = await (await ask("counter/start.json")).json();
    loaded.prices = pricesOf(first);
  } catch {
    part("unstarted").hidden = true;
    showRefusal("The service does not answer", {}, { title: "Load the page again." }, "in");
    return;
  }
  const before = restore();
  form = before ?? freshForm(first);
  wire();
  part("unstarted").hidden = true;
  redraw();
  if (before) leaveAll();
  showChoices();
}

start();
