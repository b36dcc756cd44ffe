// A reply in words for people. Pure: touches nothing but its arguments.

import { tapeText } from "./lengths.js";
import { ruleWords } from "./rulewords.js";

// Ids in a row as spans: B1, B2, B3, B7 are "B1 to B3, B7".
export function spans(ids) {
  const told = [];
  for (let i = 0; i < ids.length;) {
    let last = i;
    while (last + 1 < ids.length && follows(ids[last], ids[last + 1])) last += 1;
    if (last - i < 2) told.push(...ids.slice(i, last + 1));
    else told.push(`${ids[i]} to ${ids[last]}`);
    i = last + 1;
  }
  return told.join(", ");
}

function follows(one, next) {
  const [a, b] = [one, next].map((id) => /^([A-Z]+)(\d+)$/.exec(id));
  return a && b && a[1] === b[1] && Number(a[2]) + 1 === Number(b[2]);
}

// Tape texts in a list; none of them breaks at the end of a line.
export function solid(texts) {
  return texts.map((text) => text.replaceAll(" ", "\u00a0")).join(", ");
}

// A sentence in which no tape text breaks at the end of a line, as 3' 0 and 5/16" would be read as
// two.
export const unbroken = (said) => said.replace(/(\d') (?=\d)|(\d) (?=\d+\/\d+")/g, "$1$2\u00a0");

// A function that gives a role in the kit's own words where the parts list has them, else its name.
export function partWords(reply) {
  const known = new Map((reply.parts ?? []).map((part) => [part.role, part.description]));
  const plain = (role) => role[0].toUpperCase() + role.slice(1).replaceAll("_", " ");
  return (role) => known.get(role) ?? plain(role);
}

// A code's title with its year first, so that a narrow list does not cut it off.
export const codeWords = ({ title, edition }) =>
  (/^\d{4}$/.test(edition) ? `${edition} ${title}` : `${title} ${edition}`);

// A pane of a kit as a yard names it: 3/8", tempered.
export const paneWords = ({ nominal, type }, unit) =>
  [tapeText(nominal, unit, unit === "in" ? 1 / 64 : 0.1), type].filter(Boolean).join(", ");

export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}

// What was found, in a few words: [words, "bad" | "mind" | "good"]. Nothing here says approved. A
// place where nobody can say whether a guard is required does not count as good.
export function verdict({ summary: { violations, warnings }, findings }) {
  const unsure = findings.filter(({ rule, result }) =>
    rule === "guard_required" && result === "not_checked").flatMap(({ where }) => where).length;
  const told = [violations && count(violations, "violation"), warnings && count(warnings, "warning"),
    unsure && `${count(unsure, "guard")} not judged`].filter(Boolean);
  if (!violations && !warnings) told.unshift("No violation found");
  return [told.join(", "), violations ? "bad" : told.length > 1 || warnings ? "mind" : "good"];
}

// What a finding goes by: a clause, else its source, as the printed sheets say it; "" where it
// names none.
const sources = { engineering: "engineering", survey: "the survey" };
export function goesBy({ cite = "", source }, kit) {
  return cite === kit.id ? sources[source] ?? "the kit" : cite;
}

// The number of each violation's and warning's flag on the plan: one number for the findings of one
// rule, clause and severity, counted in the reply's order, as the drawing counts them.
export function flags({ findings, kit }) {
  const numbers = new Map();
  const flagged = findings.filter(({ result, severity }) => result === "fail" && severity !== "note");
  return new Map(flagged.map((each) => {
    const key = [each.rule, goesBy(each, kit), each.severity].join();
    if (!numbers.has(key)) numbers.set(key, numbers.size + 1);
    return [each, numbers.get(key)];
  }));
}

// The verdict by itself, with how much could not be checked.
export function shortVerdict(reply) {
  const open = reply.summary.not_checked;
  return `${verdict(reply)[0]}${open ? `, ${open} not checked` : ""}`;
}

// The finding with which each piece of advice is shown: the last one of its rule, as the advice is
// for all places where the rule fails.
export function cured(failed, advice = []) {
  return new Map(advice.map((one) => [failed.findLast(({ rule }) => rule === one.rule), one]));
}

// What a change brings that the deck as it stands does not have, in sentences; an empty list where
// it brings nothing.
export function broughtBy({ still = [], brings = [], warns_more: more = [] }, findings) {
  const broken = findings.filter(({ result, severity }) => result === "fail" && severity === "violation");
  const fresh = still.filter((rule) => !broken.some((each) => each.rule === rule));
  const places = more.map(({ rule, now, then }) => `${ruleWords([rule])}, at ${then} places instead of ${now}`);
  return [fresh.length && `It breaks what is not broken now: ${ruleWords(fresh)}.`,
    brings.length && `It brings a warning, or what cannot be checked: ${ruleWords(brings)}.`,
    places.length && `It brings more of a warning that is there already: ${places.join("; ")}.`].filter(Boolean);
}

// A summary in words, to be spoken.
export function sentence(reply) {
  const { summary, unit, precision } = reply;
  const infill = [
    summary.pickets ? count(summary.pickets, "picket") : "",
    summary.glass_panels ? count(summary.glass_panels, "glass panel") : "",
  ].filter(Boolean);
  const parts = [count(summary.posts, "post"), count(summary.bays, "bay"),
    `${tapeText(summary.railing_length, unit, precision)} of railing`, ...infill];
  return `${parts.join(", ")}. ${shortVerdict(reply)}.`;
}

// The findings, the worst first: violations, warnings, notes; those not checked and those passed
// apart.
export function sortFindings(findings) {
  const of = (result, severity) => findings.filter((each) =>
    each.result === result && (!severity || each.severity === severity));
  const failed = [...of("fail", "violation"), ...of("fail", "warning"), ...of("fail", "note")];
  return { failed, unchecked: of("not_checked"), passed: of("pass") };
}
