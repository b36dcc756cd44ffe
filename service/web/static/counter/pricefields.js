// The inputs of prices: a tax, and a row for each role of the parts list. Touches nothing but what it
// makes.

import { kitOf } from "./asked.js";
import { el } from "./dom.js";
import { figure, hint, idOf, select, typing } from "./inputs.js";
import { areBlank, arePriced } from "./prices.js";
import { SIZED, basesOf, basisWords, sizeWords } from "./pricing.js";

// yard: whether the page begins with prices that can be had here.
export function drawPrices(form, kits, yard) {
  if (!arePriced(form)) return yard && areBlank(form) ? [yardButton()] : [];
  const { rows } = form.prices;
  const kit = kitOf(form, kits);
  return [
    figure("prices.tax", "Tax, %"),
    hint(rows.length ? "What is left empty is named beside the total, and counts as nothing."
      : "The parts are listed here with the next answer."),
    ...rows.flatMap((row, i) => drawRow(row, i, form.unit, kit)),
  ];
}

const yardButton = () =>
  el("button", { type: "button", id: "yard-prices", "data-do": "yard-prices" }, "Use the yard's prices");

function drawRow(row, i, unit, kit) {
  const at = `prices.rows.${i}`;
  const bases = basesOf(row.role, kit);
  const by = (bases.includes(row.by) ? bases : [...bases, row.by]).map((basis) => [basis, basisWords(basis, unit)]);
  const sized = SIZED.includes(row.by);
  return [
    line(row.words, sized ? null : money(`${at}.amount`, row.words), select(`${at}.by`, `${row.words}, priced`, by)),
    ...(sized ? row.sizes.map(({ size }, k) => {
      const words = sizeWords(size, kit?.unit);
      return line(words, money(`${at}.sizes.${k}.amount`, `${row.words}, ${words}`), null);
    }) : []),
  ];
}

const line = (words, amount, by) =>
  el("div", { class: "row measure price" }, el("p", {}, words), amount ?? el("span", {}), by ?? el("span", {}));

const money = (name, called) => el("div", { class: "field" }, el("label", { for: idOf(name) }, called),
  typing(name, { inputmode: "decimal", class: "number" }));
