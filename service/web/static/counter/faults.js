// What is to be put right: at the field that it is about, and all of it in a list that leads there.
// Touches the list and the fields' marks, never what was typed.

import { el } from "./dom.js";

const part = (id) => document.getElementById(id);

// placed: [{field, pointer, words}] as places.js gives them.
export function showFaults(title, placed) {
  clearFaults();
  part("faults").hidden = false;
  part("faults-title").textContent = title;
  part("faults-list").replaceChildren(...placed.map(({ field, pointer, words }) => {
    const input = field && part(`f.${field}`);
    if (input) mark(input, words);
    const place = pointer ? ` (in the document at ${pointer})` : "";
    const link = input && el("a", { href: `#${input.id}` }, `${nameOf(input)}: ${words}`);
    return el("li", {}, link || `${words}${place}`);
  }));
}

export function clearFaults() {
  part("faults").hidden = true;
  for (const message of document.querySelectorAll(".fault")) message.remove();
  for (const input of document.querySelectorAll("[aria-invalid]")) {
    input.removeAttribute("aria-invalid");
    input.removeAttribute("aria-describedby");
  }
}

// Under the row that the field is in, as wide as the row.
function mark(input, words) {
  const id = `${input.id}.fault`;
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-describedby", id);
  const there = part(id);
  if (there) there.append(` ${words}`);
  else (input.closest(".row") ?? input.closest(".field") ?? input).append(el("p", { class: "fault", id }, words));
}

function nameOf(input) {
  const label = input.labels?.[0]?.textContent ?? input.querySelector?.("legend")?.textContent ?? "";
  const group = input.closest("fieldset.edge, fieldset.opening")?.querySelector("legend");
  return [group?.textContent, label].filter(Boolean).join(", ");
}
