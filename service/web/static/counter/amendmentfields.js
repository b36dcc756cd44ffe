// The inputs for the local authority's figures: which figure of the code, and its value here.
// Touches nothing but what it makes.

import { codeOf } from "./asked.js";
import { isWorded } from "./amendments.js";
import { describe } from "./described.js";
import { el } from "./dom.js";
import { figureWords, grouped, ownWords } from "./figures.js";
import { button, field, figure, hint, idOf, length, offered, select, words } from "./inputs.js";

// A fieldset for each amendment. The second argument is what is loaded.
export function drawAmendments(form, { codes, figures }) {
  const code = codeOf(form, codes);
  return form.amendments.map((row, i) => {
    const told = hint("", toldId(i));
    const value = row.figure && valueField(row, i, figures?.[row.figure], form.unit);
    if (value) describe(value.querySelector("input, select"), told.id);
    return el("fieldset", { class: "opening" }, el("legend", {}, `Local change ${i + 1}`),
      chooser(form, i, grouped(code, figures), figures), told,
      el("div", { class: "row" }, value, button("remove-amendment", i, `Remove local change ${i + 1}`, "×")));
  });
}

export const toldId = (i) => `amendments.${i}.told`;

// What the code itself has for an amendment's figure, and why the last answer did not go by the
// amendment, if it did not. coverage: that of the last answer.
export function toldOf(form, i, { codes, figures, coverage = [] }) {
  const { figure: name, value } = form.amendments[i];
  if (!name) return "";
  const idle = value.trim() && coverage.find((one) => one.figure === name && !one.judged);
  return [ownWords(name, codeOf(form, codes), figures, form.unit),
    idle && `The last answer does not go by it${idle.why ? `: ${idle.why}` : ""}.`].filter(Boolean).join(" ");
}

// A chooser of the code's figures, without those that other rows have.
function chooser(form, i, groups, figures) {
  const { figure: chosen } = form.amendments[i];
  const taken = form.amendments.filter((_, k) => k !== i).map((row) => row.figure);
  const option = (name) => el("option", { value: name }, figureWords(name, figures));
  const free = groups.map(([group, names]) => [group, names.filter((name) => !taken.includes(name))]);
  const known = free.some(([, names]) => names.includes(chosen));
  const name = `amendments.${i}.figure`;
  return field(name, "Figure of the code", el("select", { id: idOf(name), "data-field": name },
    el("option", { value: "" }, "Choose one"),
    chosen && !known && option(chosen),
    free.filter(([, names]) => names.length).map(([group, names]) => el("optgroup", { label: group }, names.map(option)))));
}

function valueField(row, i, about, unit) {
  const name = `amendments.${i}.value`;
  if (isWorded(row) && about?.choices.length) {
    const choices = [["", "As the code"], ...about.choices.map((each) => [each, each])];
    return select(name, "Here", offered(choices, row.value));
  }
  if (isWorded(row)) return words(name, "Here");
  if (["length", ""].includes(row.kind)) return length(name, "Here", "as the code");
  return figure(name, about?.units ? `Here, ${about.units[unit]}` : "Here");
}
