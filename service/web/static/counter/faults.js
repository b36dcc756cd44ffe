// What is to be put right: at the field that it is about, and all of it in a list that leads there.
// Touches the list and the fields' marks, never what was typed.

import { describe, undescribe } from "./described.js";
import { el, part } from "./dom.js";
import { placeErrors } from "./places.js";

const left = new Set(); // Fields that were left once: what they lack is a fault from then on.
let refused = null; // What is shown: {title, places, problem, unit, asked, empty}.

// A refusal of the deck that `places` leads into. asked: the doubts about it. {open, told}: whether all that it lacks
// is still to be typed, and the list in a sentence for whoever hears the page.
export function showRefusal(title, places, problem, unit, asked = []) {
  const empty = fields().filter((input) => input.value === "").map((input) => input.dataset.field);
  refused = { title, places, problem, unit, asked, empty: new Set(empty) };
  return show();
}

// Fields were drawn anew: what they lack is told at them again.
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

// The first line, and how many more there are.
function inShort() {
  const lines = [...part("faults-list").children].map((item) => item.textContent);
  return lines.length > 1 ? `${lines[0]} And ${lines.length - 1} more.` : lines[0];
}

// Empty when it was refused, and not left since or typed in since.
function fresh(field) {
  return refused.empty.has(field) && (!left.has(field) || part(`f.${field}`)?.value !== "");
}

function fields() {
  return [...document.querySelectorAll("#deck [data-field]")];
}

// placed: [{field, pointer, words, open, level, own}] as places.js gives them.
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

// A link that is being pressed, which leaves the field before, must be there when it is let go.
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

// A field was left: what it lacks is a fault now.
export function leave(field) {
  if (!field || left.has(field)) return;
  left.add(field);
  if (refused?.empty.has(field)) show();
}

export function leaveAll() {
  for (const input of fields()) left.add(input.dataset.field);
}

// Fields whose names begin so are new.
export function begin(name) {
  for (const field of left) if (field.startsWith(name)) left.delete(field);
}

// Under its own field; in a row of narrow ones under the row, with its name.
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

// With the row, the edge or the opening that it belongs to.
function nameOf(input) {
  const group = input.closest("fieldset.edge, fieldset.opening")?.querySelector("legend");
  return [group?.textContent, labelOf(input)].filter(Boolean).join(", ");
}

function labelOf(input) {
  return input.getAttribute("aria-label") ?? input.labels?.[0]?.textContent
    ?? input.querySelector?.("legend")?.textContent ?? "";
}
