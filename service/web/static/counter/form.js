// The form's inputs: drawn from what the form holds, and drawn again as that changes. Touches the
// form's own part of the page and the form object that it is given.

import { drawAmendments, toldId, toldOf } from "./amendmentfields.js";
import { fillKinds } from "./amendments.js";
import { OWN, asksBeneath, asksDrop, asksOccupants, asksSite, kitOf } from "./asked.js";
import { read } from "./changes.js";
import { mayCompare, otherInfill } from "./comparing.js";
import { describe } from "./described.js";
import { el, part, say } from "./dom.js";
import { drawEdgeMore, drawEdges, saysMore } from "./edgefields.js";
import { edgeWords } from "./ends.js";
import { keptWords } from "./fieldwords.js";
import { idOf, length } from "./inputs.js";
import { marks } from "./marks.js";
import { anyMeasured, anyTyped } from "./measures.js";
import { bound, hidden, shown } from "./model.js";
import { drawOpenings } from "./openingfields.js";
import { asksPanes, flightPanes, hasOwnPane, isGlass, paneOfAll } from "./panes.js";
import { drawPrices } from "./pricefields.js";
import { goByUnit } from "./prices.js";
import { showReadings } from "./readings.js";
import { sayNext } from "./rowkeys.js";
import { saysSite } from "./site.js";
import { drawSite } from "./sitefields.js";
import { drawColumns, drawFraming, drawNoPosts, drawOnHand } from "./standfields.js";
import { HOW, drawMeasured } from "./wayfields.js";
import { codeWords, solid } from "./words.js";

const AGAIN = "The number of edges has changed: say again which of them stand against the house. "
  + "Until then those not said are guards.";

// The fields whose change draws the whole form anew, and those whose change shows only some part of
// it anew.
const ALL = /^(at|unit|way|openings\.\d+\.use|(openings|no_post|columns)\.\d+\.edge|columns\.\d+\.shape|edges\.\d+\.condition|framing\.joist_direction)$/;
const BESIDE = [
  [/^sides\.\d+\.length$/, showEdgeNames],
  [/^drop$|\.to_level$/, showOpenings],
  [/^prices\.(currency|rows\.\d+\.by)$/, drawPriceRows],
  [/^(prices\.|precision$)/, drawKept],
  [/^measures\./, showDrawn],
  [/^(code|amendments\.\d+\.figure)$/, drawLocal],
  [/^amendments\.\d+\.value$/, drawKept],
  [/^kit$/, drawKits],
  [/^(code|kit|infill|pane|edges\.\d+\.(infill|glass)|openings\.\d+\.flight\.infill)$/, drawAsked],
  [/^(code|kit)$/, drawPlace],
];

export const redraws = (name) => ALL.test(name);

// Show anew what depends on a field that was changed. loaded: {kits, codes, figures, coverage,
// prices}.
export function showBeside(form, name, loaded) {
  for (const [by, show] of BESIDE) if (by.test(name)) show(form, loaded);
}

// Draw every input of the form; what had the focus keeps it. loaded: {kits, codes}.
export function drawForm(form, loaded) {
  const focused = document.activeElement?.id;
  drawLevels(form);
  drawWay(form);
  part("edges").replaceChildren(...drawEdges(shown(form)));
  say(part("house"), shown(form).askHouse ? AGAIN : "");
  part("no-posts").replaceChildren(...drawNoPosts(shown(form)));
  part("columns").replaceChildren(...drawColumns(shown(form)));
  part("framing").replaceChildren(...drawFraming(shown(form)));
  part("on-hand").replaceChildren(...drawOnHand(form));
  drawMeasures(form);
  drawLocal(form, loaded);
  drawPriceRows(form, loaded);
  drawChoices(form, loaded);
  part("f.precision").replaceChildren(...marks(form.unit, form.precision).map(([value, words]) =>
    el("option", { value }, words)));
  fillFields(part("deck"), form);
  fillFields(part("stock"), form);
  if (focused) part(focused)?.focus();
}

// Show the names of edges with their lengths as they are typed.
function showEdgeNames(form) {
  const level = shown(form);
  for (const legend of part("edges").querySelectorAll("[data-edge]")) {
    legend.textContent = `Edge ${edgeWords(level, Number(legend.dataset.edge))}`;
  }
  for (const option of part("deck").querySelectorAll("select[data-field$='.edge'] option")) {
    option.textContent = edgeWords(level, Number(option.value));
  }
}

// Show what openings hold after another field has changed it.
function showOpenings(form) {
  fillFields(part("openings"), form);
}

function fillFields(holder, form) {
  for (const input of holder.querySelectorAll("[data-field]:not([data-field=pane])")) {
    const value = read(form, input.dataset.field);
    if (input.type === "radio") input.checked = input.value === value;
    else if (input.type === "checkbox") input.checked = value === true;
    else input.value = value ?? "";
  }
  showReadings(holder, form.unit);
}

// The lists of kits (those of the tape's unit first) and codes that are loaded, by title. An id
// that is not among them stays in the list, so that it is seen.
export function drawChoices(form, { kits, codes }) {
  drawKits(form, { kits });
  choose("code", codes, codeWords, form.code, form.kept.code, [["", "No code"]]);
  drawAsked(form, { kits, codes });
  drawPlace(form, { kits, codes });
}

function drawKits(form, { kits }) {
  const words = (kit) => `${kit.title} (${kit.unit})`;
  const sorted = [...kits].sort((a, b) => (b.unit === form.unit) - (a.unit === form.unit));
  choose("kit", sorted, words, form.kit, form.kept.kit);
  drawCompared(form, sorted, words);
}

// Show those fields that depend on what the code or the kit goes by.
function drawAsked(form, { kits, codes }) {
  drawInfills(form, kitOf(form, kits));
  const [ground, next] = ["drop_to_ground", "drop_to_next_level"].map((name) => asksDrop(form, codes, name));
  const beneath = asksBeneath(form, codes);
  part("people").hidden = !asksOccupants(form, codes);
  part("below").hidden = !beneath;
  part("to-ground").hidden = !ground;
  part("to-next").hidden = !next;
  part("drops").hidden = !ground && !next;
  const panes = asksPanes(form, kits);
  drawPane(form, panes);
  drawFurther(form, { ground, next, beneath, panes, glass: (edge) => isGlass(form, edge) });
  drawFlights(form, kits);
}

// Draw the openings anew, as the panes that a flight can have depend on the kit and on infills.
function drawFlights(form, kits) {
  redrawPart("openings", form, drawOpenings(form, (one) => flightPanes(form, one, kits)));
}

// Draw the fields of the site, as far as the kit and the code go by them.
function drawPlace(form, loaded) {
  redrawPart("site", form, drawSite(form, asksSite(form, loaded)));
  if (saysSite(form)) part("site-more").open = true;
}

// The choice of one pane for all edges, which flights that name none have too (contract, section
// 3).
function drawPane(form, panes) {
  const common = paneOfAll(form);
  const choices = panes.map((words, at) => [at ? String(at) : "", words]);
  const known = choices.some(([value]) => value === common);
  part("pane").hidden = !panes.length;
  part("f.pane").replaceChildren(...[...choices, ...(known ? [] : [["*", "By edge"]])].map(([value, words]) =>
    el("option", { value, disabled: value === "*" }, words)));
  part("f.pane").value = known ? common : "*";
  part("pane-hint").textContent = "Of all edges, and of flights in glass that have none of their own.";
}

function drawFurther(form, asks) {
  redrawPart("edges-more", form, drawEdgeMore(shown(form), asks));
  if (shown(form).edges.some(saysMore) || hasOwnPane(form)) part("edge-more").open = true;
}

function choose(name, documents, words, chosen, own, first = []) {
  const all = [...first, ...documents.map((each) => [each.id, words(each)])];
  if (own) all.push([OWN, `${own.title ?? own.id ?? name} (this deck's own)`]);
  if (!all.some(([id]) => id === chosen)) all.push([chosen, `${chosen} (not loaded here)`]);
  part(idOf(name)).replaceChildren(...all.map(([value, told]) => el("option", { value }, told)));
  part(idOf(name)).value = chosen;
}

// Offer only the infills that the kit has, as the deck's own or to compare with.
function drawInfills(form, kit) {
  const lacks = (infill) => Boolean(kit?.max_centres) && !(infill in kit.max_centres);
  for (const infill of ["picket", "glass"]) part(`f.infill.${infill}`).disabled = lacks(infill);
  const other = otherInfill(form);
  part("compare").hidden = !form.compared.infill && (!other || lacks(other));
  part("compare-words").textContent = `Compare with all in ${other === "picket" ? "pickets" : other}`;
}

// Offer to compare with other kits.
function drawCompared(form, kits, words) {
  part("compare-more").hidden = !mayCompare(form);
  choose("compared.kit", kits.filter(({ id }) => id !== form.kit), words, form.compared.kit, null, [["", "No other"]]);
  if (form.compared.height.trim() || form.compared.kit) part("compare-more").open = true;
}

// The choice of the level that the form shows, where there is more than one.
function drawLevels(form) {
  part("levels").hidden = form.levels.length < 2;
  part("f.at").replaceChildren(...form.levels.map(({ id }, i) => el("option", { value: i }, id)));
  part("remove-level").textContent = `Take ${shown(form).id} out`;
}

function drawWay(form) {
  const level = shown(form);
  part("measured").replaceChildren(...drawMeasured(level, form.levels[0]));
  // The hint on how to measure describes the first field after it; how lengths are typed describes
  // each.
  const inputs = [...part("measured").querySelectorAll("input")];
  const after = (input) => part(HOW).compareDocumentPosition(input) & Node.DOCUMENT_POSITION_FOLLOWING;
  if (part(HOW)) describe(inputs.find(after), HOW);
  for (const input of inputs) if (input.matches(".length")) describe(input, "lengths-hint");
  sayNext(part("measured"));
}

// Draw the list of bays to be measured.
export function drawMeasures(form) {
  const rows = form.measures.map(({ bay }, i) => el("div", { class: "row measure" },
    el("p", { id: `measures.${i}.drawn` }),
    ...["top", "bottom"].map((rail) =>
      length(`measures.${i}.clear_${rail}`, `${bay}, at the ${rail}`))));
  const heads = ["Bay", "At the top", "At the bottom"].map((words) => el("span", {}, words));
  const head = el("div", { class: "row measure", "aria-hidden": "true" }, heads);
  part("measures").replaceChildren(...(rows.length ? [head, ...rows] : []));
  sayNext(part("measures"));
  showDrawn(form);
  fillFields(part("measures"), form);
}

// Show beside each measure what the last answer has for it. It is not put into the field, where it
// would look typed, and the fields are left alone, as one may be under way. The list can be put
// away only while nothing is typed in it.
export function showDrawn(form) {
  const [, ...rows] = part("measures").children;
  rows.forEach((row, i) => {
    const { bay, between, drawn } = form.measures[i];
    row.firstChild.replaceChildren(el("strong", {}, bay), ` ${between}`, el("br"),
      drawn ? solid([`drawn ${drawn}`]) : anyTyped(form.measures[i]) && "as measured");
    for (const input of row.querySelectorAll("input")) describe(input, row.firstChild.id);
  });
  part("list-bays").hidden = rows.length > 0;
  part("put-bays-away").hidden = !rows.length || anyMeasured(form);
}

// Show in an empty side's field the length that the answer worked out for it. side: null where none
// is known.
export function showClosing(side) {
  for (const input of document.querySelectorAll("[data-worked-out]")) {
    input.placeholder = "";
    input.removeAttribute("data-worked-out");
  }
  const input = side && part(idOf(side.field));
  if (!input) return;
  input.placeholder = side.text;
  input.setAttribute("data-worked-out", "");
}

// Draw the local authority's figures, in the words of the vocabulary once that is loaded. Where
// there is no code there is nothing to change.
export function drawLocal(form, loaded) {
  fillKinds(form, loaded.figures);
  const some = form.amendments.length > 0;
  part("local").hidden = !some && form.code === "";
  if (some) part("local").open = true;
  redrawPart("amendments", form, drawAmendments(form, loaded));
  showLocal(form, loaded);
  drawKept(form);
}

// Show what is said beside each of them.
export function showLocal(form, loaded) {
  form.amendments.forEach((_, i) => say(part(toldId(i)), toldOf(form, i, loaded)));
}

// Draw the rows of prices.
export function drawPriceRows(form, loaded) {
  redrawPart("prices", form, drawPrices(form, loaded));
}

// Draw a part of the form anew with these inputs; what had the focus keeps it.
function redrawPart(id, form, inputs) {
  const { activeElement: before } = document;
  part(id).replaceChildren(...inputs);
  fillFields(part(id), form);
  if (before?.id && document.activeElement?.id !== before.id) part(before.id)?.focus();
}

// Say which members are kept unseen, and which of them fix the tape's unit.
function drawKept(form) {
  const names = hidden(form);
  part("kept").hidden = !names.length;
  part("kept").textContent = `Kept with the deck, and not shown here: ${keptWords(names)}.`;
  const told = [...bound(form), ...(goByUnit(form) ? ["prices"] : [])];
  // The unit that is fixed can still be reached, with the reason why the other cannot.
  for (const unit of ["in", "mm"]) part(`f.unit.${unit}`).disabled = told.length > 0 && unit !== form.unit;
  part("unit-why").textContent = told.length
    ? `Stays ${form.unit === "in" ? "ft-in" : "mm"}: what cannot be converted goes by it: ${keptWords(told)}.` : "";
}
