// Inputs with their labels, by the names of the fields that they show. Touches nothing but what it
// makes.

import { el } from "./dom.js";

export const idOf = (name) => `f.${name}`;

export function field(name, label, input, more) {
  return el("div", { class: "field" }, el("label", { for: idOf(name) }, label), input, more);
}

// An input for a length. called: its name where the label alone does not say which row it is of.
export function length(name, label, placeholder, called) {
  return field(name, label, typing(name, { class: "length", placeholder, "aria-label": called }));
}

export function figure(name, label, called) {
  return field(name, label, typing(name, { inputmode: "text", "aria-label": called }));
}

export function words(name, label, placeholder) {
  return field(name, label, typing(name, { placeholder }));
}

export function typing(name, more) {
  return el("input", { id: idOf(name), "data-field": name, type: "text", autocomplete: "off",
    autocapitalize: "off", spellcheck: "false", enterkeyhint: "done", ...more });
}

export function select(name, label, options, called) {
  return field(name, label, el("select", { id: idOf(name), "data-field": name, "aria-label": called },
    options.map(([value, words]) => el("option", { value }, words))));
}

// The choices, with what an opened document says among them.
export const offered = (choices, said) =>
  (choices.some(([value]) => value === said) ? choices : [...choices, [said, said]]);

// The same where the first choice, which is empty, means `usual`: one that an opened document says
// stays said, so that it is saved again.
export const defaulted = (usual, choices, said) =>
  offered(said === usual ? [[usual, choices[0][1]], ...choices.slice(1)] : choices, said);

export function check(name, label) {
  const box = el("input", { type: "checkbox", id: idOf(name), "data-field": name });
  return el("div", { class: "field check" }, box, el("label", { for: box.id }, label));
}

export function button(what, row, label, sign, disabled = false) {
  return el("button", { type: "button", class: "remove", "data-do": what, "data-row": row,
    "aria-label": label, disabled }, sign);
}

export function hint(words, id = null) {
  return el("p", { class: "hint", id }, words);
}
