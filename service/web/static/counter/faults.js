// What is to be put right: told at the field that it is about, and all of it in a list with links
// to the fields. Touches the list and the marks of fields, never what was typed.

import { describe, undescribe } from "./described.js";
import { el, part } from "./dom.js";
import { placeErrors } from "./places.js";

const left = new Set(); // Fields that were left once: what they lack is a fault from then on.
let refused = null; // What is shown: {title, places, problem, unit, asked, empty}.

// Show a refusal. places: the fields of the refused deck by pointer; asked: the doubts about it.
// Returns {open, told}: whether all faults are fields still to be typed, and the list in short, to
// be spoken.
export function showRefusal(title, places, problem, unit, asked = []) {
  const empty = fields().filter((input) => input.value === "").map((input) => input.dataset.field);
  refused = { title, places, problem, unit, asked, empty: new Set(empty) };
  return show();
}

// Show the refusal at its fields again, after they were drawn anew.
export function showAgain() {
  if (refused) show();
}

function show() {
  const { title, places, problem, unit, asked } = refused;
  const placed = placeErrors(places, problem, unit, fresh, asked);
  const open = placed.every((each) => each.open);
  showFaults(open ? "Still to type" : title, placed);
  part("faults").classList.toggle("open", open);
  return { open, told: inShort() };
}

// The list in short: its first line, and how many more there are.
function inShort() {
  const lines = [...part("faults-list").children].map((item) => item.textContent);
  return lines.length > 1 ? `${lines[0]} And ${lines.length - 1} more.` : lines[0];
}

// Whether a field is not at fault yet: it was empty when the deck was refused, and since then it
// has not been left, or has been typed in.
function fresh(field) {
  return refused.empty.has(field) && (!left.has(field) || part(`f.${field}`)?.value !== "");
}

function fields() {
  return [...document.querySelectorAll("#deck [data-field]")];
}

// Show the faults. placed: [{field, pointer, words, open, level, own}], as places.js gives them.
function showFaults(title, placed) {
  unmark();
  part("faults-title").textContent = title;
  const lines = placed.map(({ field, pointer, words, open, level, own }) => {
    const input = field && part(`f.${field}`);
    if (input) mark(input, words, open);
    const place = pointer ? ` (in the document at ${pointer})` : "";
    const link = input && el("a", { href: `#${input.id}`, "data-level": level, "data-own": own },
      level ? words : `${nameOf(input)}: ${words}`);
    return el("li", { class: open && "open" }, link || `${words}${place}`);
  });
  list(lines);
  part("faults").hidden = false;
}

// Fill the list. Where its links are the same, only their texts are changed: a link that is being
// pressed, by which another field is left, must still be there when it is let go.
function list(lines) {
  const led = (link) => [link?.hash, link?.dataset.level, link?.dataset.own].join();
  const hrefs = (items) => items.map((item) => led(item.querySelector("a"))).join(" ");
  const there = [...part("faults-list").children];
  if (part("faults").hidden || hrefs(there) !== hrefs(lines)) {
    part("faults-list").replaceChildren(...lines);
    return;
  }
  there.forEach((item, i) => {
    item.className = lines[i].className;
    (item.querySelector("a") ?? item).textContent = lines[i].textContent;
  });
}

export function clearFaults() {
  refused = null;
  part("faults").hidden = true;
  unmark();
}

function unmark() {
  for (const message of document.querySelectorAll(".fault")) message.remove();
  for (const input of document.querySelectorAll("[data-marked]")) {
    for (const name of ["aria-invalid", "data-marked"]) input.removeAttribute(name);
    undescribe(input, `${input.id}.fault`);
  }
}

// Note that a field was left: from now on it is at fault if it is empty.
export function leave(field) {
  if (!field || left.has(field)) return;
  left.add(field);
  if (refused?.empty.has(field)) show();
}

export function leaveAll() {
  for (const input of fields()) left.add(input.dataset.field);
}

// Treat the fields whose names begin like this as new, and not as left.
export function begin(name) {
  for (const field of left) if (field.startsWith(name)) left.delete(field);
}

// Mark a field and put the fault's words under it; in a row of narrow fields under the row, with
// the field's name.
function mark(input, words, open) {
  const id = `${input.id}.fault`;
  if (!open) input.setAttribute("aria-invalid", "true");
  describe(input, id);
  input.setAttribute("data-marked", "");
  const there = part(id);
  if (there) {
    there.append(` ${words}`);
    return;
  }
  const row = input.closest(".edge, .measure");
  const told = row ? `${labelOf(input)}: ${words}` : words;
  (row ?? input.closest(".field") ?? input)
    .append(el("p", { class: open ? "fault open" : "fault", id }, told));
}

// A field's name, with that of the edge or opening that it belongs to.
function nameOf(input) {
  const group = input.closest("fieldset.edge, fieldset.opening")?.querySelector("legend");
  return [group?.textContent, labelOf(input)].filter(Boolean).join(", ");
}

// By the label beside it: `labels` of an input looks through the whole page.
function labelOf(input) {
  return input.getAttribute("aria-label") ?? input.closest(".field, .check")?.querySelector("label")?.textContent
    ?? input.querySelector("legend")?.textContent ?? "";
}
