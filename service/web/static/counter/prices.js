// The prices of parts, as the form lists them and as the document has them (contract, section 3).
// Pure: changes the form that it is given and touches nothing else.

import { kitOf } from "./asked.js";
import { goesByUnit } from "./bound.js";
import { pointed } from "./lengths.js";
import { percentOf, shareOf } from "./money.js";
import { escaped, isObject, object, typed } from "./pen.js";
import { BY_MEASURE, SIZED, sizesOf, usualBasis, without } from "./pricing.js";
import { partWords } from "./words.js";

const BASES = ["each", "per_pack", ...SIZED, ...BY_MEASURE];
const CURRENCY = /^[a-z]{3}$/i;

// No prices. more: prices that no row could hold as they are, by role.
export const blankPrices = () => ({ currency: "", tax: "", rows: [], more: {}, rest: {} });

const sized = (sizes) => sizes.map((size) => ({ size, amount: "" }));
const isSized = ({ by }) => SIZED.includes(by);
const isTyped = (row) =>
  Boolean(isSized(row) ? row.sizes.some(({ amount }) => amount.trim()) : row.amount.trim());

// Whether there are prices. Without a currency there are none, even where amounts are typed.
export const arePriced = ({ prices }) => prices.currency.trim() !== "";

export const areBlank = ({ prices }) => !arePriced({ prices }) && !prices.rows.some(isTyped);

// Whether some prices go by the foot or the metre, and so by the document's unit, even while there
// is no currency.
export const goByUnit = (form) => form.prices.rows.some((row) => BY_MEASURE.includes(row.by) && isTyped(row));

// The prices of a deck document with its unit, by which they may go; null where it has none.
export const pricesOf = ({ unit, prices }) => (prices ? { unit, prices } : null);

// Whether these prices mean the same in a deck of another unit.
export const isFor = ({ unit, prices }, other) => unit === other || !goesByUnit("prices", prices);

// List the roles of the answer's parts in their order, then other roles with something typed, and
// those that have no price in a variant, in the order in which they came, so that none moves as it
// gets its price. Returns whether other rows are listed than before.
export function listPrices(form, reply, kits) {
  const kit = kitOf(form, kits);
  const before = form.prices.rows;
  const known = new Map(before.map((row) => [row.role, row]));
  const parts = reply.parts ?? [];
  const name = partWords(reply);
  const own = parts.map(({ role }) => role);
  const unpriced = (reply.comparison ?? []).flatMap((other) => other.unpriced ?? []);
  const stay = before.filter((row) => isTyped(row) || unpriced.includes(row.role)).map(({ role }) => role);
  form.prices.rows = [...new Set([...own, ...stay, ...unpriced])].map((role) => {
    const row = known.get(role) ?? blankRow(role, usualBasis(role, kit, parts.filter((part) => part.role === role)));
    const words = own.includes(role) || unpriced.includes(role) ? name(role) : row.words || name(role);
    return { ...row, words };
  });
  for (const row of form.prices.rows) fillSizes(row, kit);
  return shape(before) !== shape(form.prices.rows);
}

const blankRow = (role, by) => ({ role, words: "", by, amount: "", least: "", sizes: [], rest: {} });

const shape = (rows) => rows.map(({ role, words, sizes }) => [role, words, sizes.map(({ size }) => size)].join()).join(";");

// Give a row the kit's sizes beside those that have an amount; other sizes are dropped.
export function fillSizes(row, kit) {
  const said = row.sizes.filter(({ amount }) => amount.trim());
  const more = without(sizesOf(row.role, row.by, kit), said.map(({ size }) => size), kit?.unit);
  const all = [...said, ...sized(more)];
  row.sizes = isSized(row) ? all.sort((a, b) => Number.parseFloat(a.size) - Number.parseFloat(b.size)) : row.sizes;
}

// Write the prices into the document; nothing where there is no currency.
export function prices(form, pen, document) {
  if (!arePriced(form)) return;
  const { prices: held } = form;
  const written = pen.begin(held);
  pen.read(written, "currency", "/prices", held.currency, "prices.currency", currency);
  const tax = held.opened && percentOf(typed(held.opened.tax_rate)) === held.tax ? held.opened.tax_rate
    : shareOf(held.tax) || undefined;
  pen.put(written, "tax_rate", "/prices", tax, "prices.tax");
  written.parts = Object.fromEntries(held.rows.map((row, i) => [row, i]).filter(([row]) => isTyped(row))
    .map(([row, i]) => [row.role, price(row, pen, `/prices/parts/${row.role}`, `prices.rows.${i}`)]));
  const parts = { ...written.parts, ...held.more };
  document.prices = { ...written, ...(Object.keys(parts).length || !held.odd ? { parts } : held.odd) };
}

const currency = (text) => (CURRENCY.test(text.trim()) ? text.trim().toUpperCase() : text.trim());

const money = (text) => pointed(text.trim());

function price(row, pen, at, field) {
  const written = pen.begin(row);
  pen.place(at, `${field}.by`);
  if (!isSized(row)) {
    pen.read(written, row.by, at, row.amount, `${field}.amount`, money);
    if (hasLeast(row)) pen.read(written, "least", at, row.least, `${field}.least`, (text) => money(text) || undefined);
    return written;
  }
  written[row.by] = {};
  pen.begin({ opened: row.opened?.[row.by] });
  row.sizes.forEach(({ size, amount }, i) => {
    if (!amount.trim()) return;
    pen.place(`${at}/${row.by}/${escaped(size)}`, `${field}.sizes.${i}.amount`);
    written[row.by][size] = pen.asOpened(size, amount) ? pen.opened[size] : money(amount);
  });
  return written;
}

// Take the prices of a document. What a row cannot hold stays with what the form does not show.
export function takePrices(entry) {
  const { currency: money, tax_rate, parts, ...rest } = entry;
  const held = { ...blankPrices(), currency: typed(money), tax: percentOf(typed(tax_rate)), rest,
    opened: { currency: money, tax_rate }, odd: isObject(parts) ? null : asGiven({ parts }) };
  for (const [role, each] of Object.entries(object(parts))) {
    const row = rowOf(role, each);
    if (row) held.rows.push(row);
    else held.more[role] = each;
  }
  return held;
}

// Whether a row may have a least charge, as only prices by a measure do.
export const hasLeast = ({ by }) => BY_MEASURE.includes(by);

const asGiven = ({ parts }) => (parts === undefined ? {} : { parts });

// A row for a price that has exactly one of the known bases; else null.
function rowOf(role, entry) {
  const [by, ...others] = BASES.filter((each) => isObject(entry) && entry[each] !== undefined);
  if (!by || others.length || SIZED.includes(by) !== isObject(entry[by])) return null;
  const { [by]: amount, ...rest } = entry;
  const least = hasLeast({ by }) && typeof rest.least === "string" ? rest.least : "";
  if (least) delete rest.least;
  const sizes = Object.entries(object(amount)).map(([size, each]) => ({ size, amount: typed(each) }));
  const row = { ...blankRow(role, by), amount: isObject(amount) ? "" : typed(amount), least, sizes, rest, opened: entry };
  return isTyped(row) && sizes.every((each) => each.amount.trim()) ? row : null;
}
