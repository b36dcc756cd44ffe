// The inputs for prices: a tax, and a row for each role of the parts list. Touches nothing but what
// it makes.

import { kitOf } from "./asked.js";
import { el } from "./dom.js";
import { figure, hint, idOf, select, typing } from "./inputs.js";
import { areBlank, arePriced, hasLeast, isFor } from "./prices.js";
import { SIZED, basesOf, basisWords, sizeWords } from "./pricing.js";

// The inputs; where no currency is typed, offers of prices instead. prices, former: those that the
// page begins with and those of the deck before, if there are any.
export function drawPrices(form, { kits, prices, former }) {
  if (!arePriced(form)) return areBlank(form) ? offers(form.unit, prices, former) : [];
  const { rows } = form.prices;
  const kit = kitOf(form, kits);
  return [
    figure("prices.tax", "Tax, %"),
    hint(rows.length ? "What is left empty is named beside the total, and counts as nothing."
      : "The parts are listed here with the next answer."),
    ...rows.flatMap((row, i) => drawRow(row, i, form.unit, kit)),
  ];
}

const offers = (unit, prices, former) => [
  prices && offer("yard-prices", "the yard's prices", prices, unit),
  former && offer("former-prices", "the prices of the deck before", former, unit),
].filter(Boolean);

// An offer of prices. Where some go by the other unit's measure it cannot be taken: a price for a
// foot is none for a metre.
const offer = (id, words, prices, unit) => (isFor(prices, unit)
  ? el("button", { type: "button", id, "data-do": id }, `Use ${words}`)
  : hint(`Not to be had here: ${words}, some of which go by the ${unit === "in" ? "metre" : "foot"}.`));

function drawRow(row, i, unit, kit) {
  const at = `prices.rows.${i}`;
  const bases = basesOf(row.role, kit);
  const by = (bases.includes(row.by) ? bases : [...bases, row.by]).map((basis) => [basis, basisWords(basis, unit)]);
  const sized = SIZED.includes(row.by);
  return [
    line(row.words, sized ? null : money(`${at}.amount`, row.words), select(`${at}.by`, `${row.words}, priced`, by)),
    hasLeast(row) && line(leastWords(row), money(`${at}.least`, `${row.words}, ${leastWords(row)}`), null, "size"),
    ...(sized ? row.sizes.map(({ size }, k) => {
      const words = sizeWords(size, kit?.unit);
      return line(words, money(`${at}.sizes.${k}.amount`, `${row.words}, ${words}`), null, "size");
    }) : []),
  ].filter(Boolean);
}

// A least charge is for each panel, or for all of a part that goes by length (contract, section 3).
const leastWords = ({ by }) => (by === "per_area" ? "at least, each" : "at least, in all");

const line = (words, amount, by, kind = null) =>
  el("div", { class: "row measure price" }, el("p", { class: kind }, words), amount ?? el("span", {}), by ?? el("span", {}));

const money = (name, called) => el("div", { class: "field" }, el("label", { for: idOf(name) }, called),
  typing(name, { inputmode: "decimal", class: "number" }));
