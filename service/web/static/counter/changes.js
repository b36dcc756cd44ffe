// What the form holds under the names of its fields, and what else changes when a field is changed.
// Pure: changes the form that it is given and touches nothing else.

import { chooseFigure } from "./amendments.js";
import { kitOf } from "./asked.js";
import { callKit } from "./comparing.js";
import { sayEdge, shown, switchUnit, switchWay } from "./model.js";
import { followDrop } from "./openings.js";
import { changeWay, setPane } from "./panes.js";
import { fillSizes, listPrices } from "./prices.js";

// The value of a field, by a name such as edges.2.condition. A name that is not one of the form's
// own members is one of the level that is shown.
export function read(form, name) {
  return name.split(".").reduce((holder, key) => holder?.[key], holderOf(form, name));
}

export function write(form, name, value) {
  const keys = name.split(".");
  const last = keys.pop();
  keys.reduce((holder, key) => holder[key], holderOf(form, name))[last] = value;
}

const holderOf = (form, name) => (name.split(".")[0] in form ? form : shown(form));

// Fields whose change does more than set their value.
const TAKE = {
  unit: (form, value) => switchUnit(form, value),
  way: (form, value) => changeWay(form, () => switchWay(shown(form), value, form.unit)),
  pane: (form, value) => setPane(form, value),
  at: (form, value) => { form.at = Number(value); },
};
// What is changed besides the value of a field. row: the number in the field's name.
const BESIDE = [
  [/^drop$|\.to_level$/, (form) => followDrop(form)],
  [/^openings\.(\d+)\.flight\.rise$/, (form, row) => { shown(form).openings[row].flight.follows = false; }],
  [/^compared\.kit$/, (form, _, { kits }) => callKit(form, kits)],
  [/^amendments\.(\d+)\.figure$/, (form, row, { figures }) => chooseFigure(form.amendments[row], figures)],
  [/^edges\.(\d+)\.condition$/, (form, row) => sayEdge(shown(form), row)],
  [/^prices\.currency$/, (form, _, { kits, reply }) => reply && listPrices(form, reply, kits)],
  [/^prices\.rows\.(\d+)\.by$/, (form, row, { kits }) => fillSizes(form.prices.rows[row], kitOf(form, kits))],
];

// Take a changed field into the form. known: {kits, figures, reply}, those that are loaded and the
// last answer; null where there is none.
export function takeIn(form, name, value, known) {
  const take = TAKE[name] ?? ((all, text) => write(all, name, text));
  take(form, value);
  for (const [by, change] of BESIDE) if (by.test(name)) change(form, by.exec(name)[1], known);
}
