// Names the places in an answer as the form and the drawing do: edge 0, opening A, flight A and,
// where there is more than one level, of which. Pure: touches nothing but its arguments.

import { isObject, list as listOf } from "./pen.js";
import { spans } from "./words.js";

const NUMBERED = /^(.+)\/(edge|corner) (\d+)(?: to (\d+))?$/;
const SPECIAL = /[.*+?^${}()|[\]\\]/g; // What means something else in a pattern.
const OPENING = /^([^/ ]+)\/([^/ ]+)$/;
const LEVEL = /^level (.+)$/; // A level whose id alone is that of something else.
const BUILT = /^[PRB]\d+$/; // A post, a run or a bay.

// For a deck document, {list, finding, inside}: functions from a text of the service to one for the
// counter. Entries of an opened document that are no level, flight or opening get no name.
export function wheres({ levels: listed, stairs }) {
  const levels = listOf(listed).filter(isObject);
  const ids = levels.map(({ id }) => String(id)); // What was opened may be no id: then it is refused, and told of.
  const known = { ids, flights: listOf(stairs).map((each) => each?.id),
    tied: new Set(levels.filter(({ outline }) => outline?.ties).map(({ id }) => id)) };
  const list = (places) => joined(places.split(", ").map((place) => named(place, known)));
  const inside = (sentence) => levels.reduce((told, level) => ofLevel(told, level, ids.length === 1), sentence);
  return { list, inside, finding: (message) => finding(message, list, inside) };
}

// A finding's sentence, which begins with its places, up to a colon.
function finding(message, list, inside) {
  const end = message.indexOf(": ");
  if (end < 0) return inside(message);
  const [head, rest] = [message.slice(0, end), message.slice(end)];
  const told = list(head);
  return (told === head && !LEVEL.test(head) ? head : told[0].toUpperCase() + told.slice(1)) + inside(rest);
}

// A place as {noun, of, names}; one without a noun is named as it is.
function named(place, known) {
  const pair = place.split(" and ");
  if (pair.length > 1) return { names: [pair.map((each) => joined([named(each, known)])).join(" and ")] };
  const [, level, noun, first, last] = NUMBERED.exec(place) ?? [];
  const of = (id) => (known.ids.length > 1 ? id : "");
  if (known.ids.includes(level)) {
    const from = known.tied.has(level) && noun === "corner" ? 1 : 0; // As the form counts corners of two tapes.
    return { noun, of: of(level), names: [[first, last].filter(Boolean).map((each) => Number(each) + from).join(" to ")] };
  }
  const [, holder, id] = OPENING.exec(place) ?? [];
  if (known.ids.includes(holder)) return { noun: "opening", of: of(holder), names: [id] };
  if (BUILT.test(place)) return { names: [place] };
  if (known.flights.includes(place)) return { noun: "flight", of: "", names: [place] };
  const its = LEVEL.exec(place)?.[1] ?? place;
  if (!known.ids.includes(its)) return { names: [place] };
  return known.ids.length > 1 ? { noun: "level", of: "", names: [its] } : { names: ["the deck"] };
}

// Places in words, neighbours of one kind together: edges 0, 1, 3.
function joined(places) {
  const told = [];
  for (const place of places) {
    const last = told.at(-1);
    if (place.noun && last?.noun === place.noun && last.of === place.of) last.names.push(...place.names);
    else told.push({ ...place, names: [...place.names] });
  }
  return told.map(inWords).join(", ");
}

function inWords({ noun, of, names }) {
  if (!noun) return names.join(", ");
  // Three or more numbers in a row are a span: 0 to 2.
  const numbers = names.every((name) => /^\d+$/.test(name))
    ? spans(names.map((name) => `E${name}`)).replaceAll("E", "") : names.join(", ");
  return `${noun}${names.length > 1 || numbers.includes(" to ") ? "s" : ""} ${numbers}${of && ` of ${of}`}`;
}

// A sentence in which this level, or places on it, are named in the page's words. alone: whether it
// is the only level.
function ofLevel(sentence, { id, openings }, alone) {
  const name = String(id).replace(SPECIAL, "\\$&");
  const of = alone ? "" : ` of ${id}`;
  const known = new Set(listOf(openings).map((each) => each?.id));
  const told = sentence.replace(new RegExp(`(?<![\\w.-])([Oo]pening |gate |)${name}/(edge \\d+|corner \\d+|[\\w.-]*\\w)`, "g"),
    (all, kind, place) => {
      if (place.includes(" ")) return `${kind}${place}${of}`;
      return known.has(place) && !/^\d+\/\d+$/.test(all) ? `${kind || "opening "}${place}${of}` : all; // 1/2 is a half.
    });
  if (!alone) return told;
  const itself = (before) => new RegExp(`${before}${name}(?![\\w-])`, "g");
  return told.replace(itself("(\\b[Ee]dges? \\d+(?:, \\d+)*(?: (?:and|to) \\d+)?) of (?:level )?"), "$1")
    .replace(itself("the deck of level "), "the deck").replace(itself("of level "), "of the deck");
}
