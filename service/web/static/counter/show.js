// Shows a reply as tables and lists: fills the sections of the answer, and touches nothing else.

import { compared, otherWays } from "./compared.js";
import { blocking, cutList, isBest, stock } from "./cuts.js";
import { el, part, say, table } from "./dom.js";
import { tapeText } from "./lengths.js";
import { ownIds, placeWords, plainly, taped } from "./plainly.js";
import { POST } from "./pricing.js";
import { together } from "./together.js";
import { wheres } from "./wheres.js";
import { heedWidths } from "./wide.js";
import {
  broughtBy, codeWords, count, cured, flags, goesBy, partWords, sentence, shortVerdict, solid, sortFindings,
  spans, unbroken, verdict,
} from "./words.js";

const TABLES = ["cuts", "stock", "glass", "quote", "compared", "parts", "marks", "steps", "gates", "blocking", "bays"];

// Fill every section; one with nothing to say is hidden. deck: the document that was answered.
// doubts: [{words, meant, field}], questions about what was hardly meant; they come before the
// verdict, which is of what was typed.
export function showReply(deck, reply, doubts = []) {
  const asked = doubts.map(({ words }) => words);
  say(part("spoken"), `${spaced(asked)}${sentence(reply)}`);
  showSummary(reply, asked.map((words) => words.slice(0, words.indexOf("?") + 1)));
  showDoubts(part("doubts"), doubts);
  const where = wheres(deck);
  showFindings(reply, where);
  const name = partWords(reply);
  const places = (ids) => spans(ids.map((id) => (id.includes("/") ? where.list(id) : id))); // A bay has no level in its name.
  put("cuts", reply.cut_list.length && cutList(reply, name, places));
  put("stock", reply.stock_plan?.length && stock(reply, name));
  showEffort(reply);
  put("glass", reply.glass_order?.length && glass(reply, places));
  put("parts", reply.parts?.length && parts(reply));
  put("quote", reply.quote && quote(reply, name));
  put("compared", reply.comparison?.length && compared(reply, name, where.inside));
  put("marks", reply.runs.length && marks(reply, deck.levels.length > 1));
  put("steps", reply.flights?.length && flights(reply));
  put("gates", reply.gates?.length && gates(reply, places));
  put("blocking", reply.blocking?.length && blocking(reply));
  put("bays", reply.bays.length && bays(reply));
  showJump();
  const told = (caution) => where.inside(plainly(caution, reply.kit, name, ownIds(reply)));
  part("cautions-list").replaceChildren(...reply.cautions.map((each) => el("li", {}, told(each))));
  part("answered-for").textContent = [reply.kit.title, reply.code ? codeWords(reply.code) : "no code"].join(" · ");
  heedWidths(part("answer"));
  part("digest").textContent = `Release ${reply.release}, ${reply.digest}`;
}

function put(id, made) {
  const section = part(id);
  section.hidden = !made;
  if (made) section.querySelector(".fill").replaceChildren(...[made].flat());
}

// Links to the tables that there are.
function showJump() {
  const links = TABLES.filter((id) => !part(id).hidden && part(id).querySelector("caption"))
    .map((id) => el("a", { href: `#${id}` }, part(id).querySelector("caption").textContent));
  part("jump").replaceChildren(...links);
  part("jump").hidden = !links.length;
}

// Say whether the stock plan is proven. A longer search is offered where it is not, and stays in
// sight while it is asked for.
function showEffort(reply) {
  const best = isBest(reply);
  part("stock-told").textContent = best ? "Proven: no other plan takes less." : "Not proven: another plan may take less.";
  part("longer").hidden = best && !part("f.thorough").checked;
}

// Show the doubts. Each that has a field gets a button which puts what was meant into that field.
export function showDoubts(holder, doubts) {
  const yes = ({ meant, field }) =>
    field && el("button", { type: "button", "data-field": field, "data-meant": meant }, `Yes, ${meant}`);
  holder.replaceChildren(...doubts.map((each) => el("li", {}, each.words, yes(each))));
}

const spaced = (sentences) => sentences.map((each) => `${each} `).join("");

// Show the figures and the verdict. questions: those to be answered before the verdict means
// anything.
function showSummary({ summary, findings, unit, precision, quote: priced, comparison }, questions) {
  const [words, tone] = verdict({ summary, findings });
  const told = [["Posts", summary.posts], ["Bays", summary.bays],
    ["Railing", tapeText(summary.railing_length, unit, precision)], ["Pickets", summary.pickets],
    ["Glass panels", summary.glass_panels]];
  if (priced && !isUnpriced(priced)) told.push([totalWords(priced), `${priced.total} ${priced.currency}`]);
  told.push(...otherWays(comparison));
  const tile = ([name, value]) => el("div", {}, el("dt", {}, name), el("dd", {}, String(value)));
  part("tiles").replaceChildren(...told.filter(([, value]) => value !== 0).map(tile));
  part("verdict").textContent = words;
  part("verdict").className = questions.length && tone === "good" ? "mind" : tone;
  part("checked").textContent =
    `${count(summary.checked, "check")} made, ${summary.not_checked} could not be.`;
  part("short").textContent =
    `${spaced(questions)}${count(summary.posts, "post")}, ${count(summary.bays, "bay")}. ${shortVerdict({ summary, findings })}.`;
}

// There is no total while some parts have no price, and no sum at all while none has one.
const totalWords = ({ unpriced }) => (unpriced?.length ? "Priced so far" : "Total");
const isUnpriced = ({ lines, unpriced }) => !lines.length && unpriced?.length > 0;

function showFindings(reply, where) {
  const { failed, unchecked, passed } = sortFindings(reply.findings);
  const flag = flags(reply);
  const [name, own] = [partWords(reply), ownIds(reply)];
  const plain = (message) => plainly(message, reply.kit, name, own);
  const say = { finding: (message) => unbroken(where.finding(plain(message))),
    inside: (message) => unbroken(where.inside(plain(message))),
    places: (ids) => where.list(spans(ids.map((id) => placeWords(id, reply.kit, name)))) };
  const cures = cured(failed, reply.advice);
  const told = (each) => finding(each, reply, { say, flag: flag.get(each), cure: cures.get(each) });
  part("failed").replaceChildren(...failed.map(told));
  part("unchecked-list").replaceChildren(...together(unchecked).map(told));
  part("passed-list").replaceChildren(...passed.map(told));
  part("unchecked").hidden = !unchecked.length;
  part("passed").hidden = !passed.length;
  part("unchecked-head").textContent = `Not checked: ${unchecked.length}`;
  part("passed-head").textContent = `Passed: ${passed.length}`;
}

// A finding with its clause, its place, and what was tried against it. say: puts the service's
// sentences and places in the page's words; flag: the finding's number on the plan; cure: the
// advice that is shown with it.
function finding(each, reply, { say, flag, cure }) {
  const kind = each.result === "fail" ? each.severity : each.result.replace("_", " ");
  const cite = goesBy(each, reply.kit);
  const by = cite && `By ${cite}${each.amended ? ", as the local authority has it" : ""}. `;
  return el("li", { class: kind.replace(" ", "-") },
    el("p", {}, el("strong", {}, `${kind[0].toUpperCase()}${kind.slice(1)}.`), ` ${say.finding(each.message)}`),
    el("p", { class: "place" }, `${by}At ${say.places(each.where)}.`,
      flag && [" ", el("span", { class: "flag" }, flag), " on the plan."]),
    cure && advised(cure, reply, say.inside));
}

// A piece of advice. A change that cures can be made by a button, which has the advice's number in
// the reply; what the change brings is said before it.
function advised(advice, { advice: all, findings, unit }, say) {
  const message = say(taped(advice.message, unit)); // With a refusal's sentence, where it cannot be built.
  if (advice.result !== "cured") return el("p", { class: "tried" }, message);
  const place = all.indexOf(advice);
  const brought = broughtBy(advice, findings);
  const id = brought.length ? `brings-${place}` : null;
  return el("div", {}, el("p", { class: "cure" }, message),
    id && el("p", { class: "brings", id }, brought.join(" ")),
    el("button", { type: "button", "data-cure": place,
      "aria-describedby": [id, "take-why"].filter(Boolean).join(" ") }, "Make this change"));
}

const number = "number";

// The glass order. Glass that is sized from the drawing is not to be ordered yet where the kit
// wants its posts to stand first.
function glass({ glass_order: order, units, findings }, places) {
  const early = findings.filter(({ rule, result }) => rule === "order_before_posts" && result === "not_checked")
    .flatMap(({ where }) => where);
  const anyMeasured = order.some(({ measured }) => measured);
  return [table("Glass order", [
    ["Mark", (row) => row.mark],
    ["Count", (row) => row.count, number],
    ["Width", (row) => row.width_text, number],
    ["Height", (row) => row.height_text, number],
    ["Raked by", (row) => row.edge_rise_text, number],
    ["Glass", (row) => [row.thickness_text, row.type].filter(Boolean).join(", ")],
    ["Each", (row) => `${row.mass} ${units.mass}`, number],
    ["Sized", ({ measured }) => anyMeasured ? (measured ? "as measured" : "as drawn") : ""],
    ["Bays", (row) => places(row.bays)],
  ], order), early.length > 0 && el("p", { class: "mind" },
    `Sized from the drawing at ${places(early)}: order it once the posts stand and these openings are measured.`)].filter(Boolean);
}

// How much of a part is needed: a number, or a length where the row's `unit` is the reply's.
function needed({ quantity, unit: by }, { unit, precision }) {
  return by === unit ? tapeText(quantity, unit, precision) : quantity;
}

// What tells a part from others of its role. A post without a height is higher than any that the
// kit has.
function sizeOf({ role, length_text: long, height_text: high, mark }) {
  return long ?? high ?? mark ?? (POST.test(role) ? "none stocked so high" : undefined);
}

function parts(reply) {
  return table("Parts", [
    ["Part", (row) => row.description ?? row.role],
    ["Needed", (row) => needed(row, reply), number],
    ["Size", sizeOf, number],
    ["Packs", (row) => row.packs, number],
    ["Stock number", (row) => row.number],
  ], reply.parts);
}

function quote({ quote: told }, name) {
  const sums = [["Subtotal", told.subtotal], ["Tax", told.tax], [totalWords(told), told.total]];
  const lines = [...told.lines, ...sums.filter(([, sum]) => sum).map(([role, amount]) =>
    ({ sum: role, amount }))];
  const unpriced = told.unpriced?.length
    ? el("p", { class: "mind" }, `No price covers these, or not all of them: ${told.unpriced.map(name).join(", ")}.`) : null;
  if (isUnpriced(told)) return [unpriced];
  return [table(`Quote, ${told.currency}`, [
    ["Part", (row) => row.sum ?? [name(row.role), row.height_text ?? row.length_text].filter(Boolean).join(", ")],
    ["Quantity", (row) => row.quantity, number],
    ["Price", (row) => row.price, number],
    ["Amount", (row) => row.amount, number],
  ], lines), unpriced].filter(Boolean);
}

const hinted = (made, words) => [made, words && el("p", { class: "hint" }, words)].filter(Boolean);

// The table of marks. Where there are several levels each has an edge 0, so their names stand
// beside the edges.
function marks({ runs }, several) {
  const end = (id) => id ?? "wall";
  return hinted(table("Where the posts go", [
    ["Run", (row) => row.id],
    ["Level", (row) => (several ? row.level : "")],
    ["Edge", (row) => (row.flight ? `flight ${row.flight}` : row.edge ?? ""), number],
    ["From", (row) => end(row.from)],
    ["To", (row) => end(row.to)],
    ["Marks from the run's start, to post centres", (row) => solid(row.marks_text ?? [])],
  ], runs), runs.some(({ flight }) => flight) && "Along a flight marks are level, from its head, not along the slope.");
}

function flights({ flights: all, unit, precision }) {
  const rails = (row) => (row.handrails ?? []).map((rail) => `${rail.side} ${rail.length_text}`);
  return table("Flights", [
    ["Flight", (row) => row.id],
    ["Pitch", (row) => `${Number(row.pitch.toFixed(1))}°`, number],
    ["Risers", (row) => `${row.risers} of ${tapeText(row.riser, unit, precision)}`, number],
    ["Going", (row) => tapeText(row.going, unit, precision), number],
    ["Guard height", (row) => row.height_text, number],
    ["Handrails, as seen going up", (row) => rails(row).join(", ")],
  ], all);
}

function gates({ gates: all }, places) {
  return table("Gates", [
    ["Opening", (row) => places([row.opening]).replace("opening ", "")],
    ["Leaf width", (row) => row.leaf?.width_text, number],
    ["Leaf height", (row) => row.leaf?.height_text, number],
    ["Hinges at", (row) => row.hinge_post],
    ["Latch at", (row) => row.latch_post],
    ["Opens", (row) => row.opens],
  ], all);
}

function bays({ bays: all, unit, precision }) {
  const infill = ({ pickets, glass: pane }) => {
    if (pickets) return `${count(pickets.count, "picket")}, ends ${pickets.end_gap_text}`;
    return pane ? `glass ${pane.width_text} × ${pane.height_text}` : "";
  };
  return hinted(table("Bay by bay", [
    ["Bay", (row) => row.id],
    ["From, to", (row) => `${row.from ?? "wall"}, ${row.to ?? "wall"}`],
    ["Clear", (row) => tapeText(row.clear_slope ?? row.clear, unit, precision), number],
    ["Centres", (row) => tapeText(row.centres_slope ?? row.centres, unit, precision), number],
    ["Top rail", (row) => row.top_rail.cut_text, number],
    ["Bottom rail", (row) => row.bottom_rail.cut_text, number],
    ["Infill", infill],
  ], all), all.some(({ clear_slope: slope }) => slope) && "Of a flight, clear and centres are along the slope.");
}
