// The service's sentences in the words of the page: names of a document's members by their fields,
// and lengths as a tape has them. Pure: touches nothing but its arguments.

import { tapeText } from "./lengths.js";

// What the service asks for, or goes by, where the page has a field for it, with that field's name.
const FIELDS = [
  ["give the level's framing", "type its joists under Joists and rim"],
  ["and lay out again with what was measured", "and type it under After the posts stand"],
  ["give that flight", "tick Lay out its flight of steps"],
  ["whether it is to end on the ground", "what stands under Goes down to"],
  ["another level to go down to", "another level under Goes down to"],
  ["No occupancy is given", "Who uses the deck is not said"],
  ["By the occupancy that is given", "By what is said under Who uses the deck"],
  ["one dwelling's deck", "the deck of one household"],
  ["say beneath: shielded where nobody can", "say so at Below the edges where nobody can"],
  ["end the railing in a post of its own", "choose a post at that wall under Drop, wall ends and more"],
  ["how many people the deck is for (occupants)", "how many people the deck is for (type it under Who uses the deck)"],
  ["give the timber that it goes into, in strength.timber or site.timber", "choose the timber that it goes into under The site"],
  ["give the timber's species or specific_gravity", "choose the Timber under The site, or type its specific gravity"],
  ["give the timber's grade", "choose the Timber grade under The site"],
  ["the kit gives no strength: give it in the kit", "the kit does not tell it; its maker can"],
  ["by the drop, which is not given: give it", "by the drop, which is not given: type it"],
  ["lay the deck out to a finer precision", "choose a finer mark under Smallest mark"],
  ["of the kit or to a finer precision", "of the kit, or choose a finer mark under Smallest mark"],
  ["name a code", "choose a Building code"],
  ["give the drop of the edge or its level", "type the Drop to the ground"],
  ["give the drop of its edge or level", "type the Drop to the ground"],
  ["give that of its edge or level", "type that of its edge or level"],
  ["give both drops", "type both drops"],
  ["give the flight's nosing", "type its Nosing"],
  ["give the clear width between them as the opening's width", "type the clear width between them as its Clear width"],
];
const SLUG = /\b[a-z]{2,}(?:_[a-z]{2,})+\b/g; // site_measures; not k_mod, a factor of timber.
const INCHES = /(-?\d+(?:\.\d+)?) in\b(?! the unit)/g;
const STEPS = [1 / 16, 1 / 64];
// In a finding, inches have decimals only where they are off all marks. The size of a sphere is the
// code's own figure and stays as it is.
const OFF_MARKS = /(at least |at most |)(?<!\ba )\b(\d+\.\d+)"/g;

// The sentence of a finding, of advice or of a caution. name: gives a part's role in words; own:
// ids that the deck's maker gave, which stay as they are.
export function plainly(message, kit, name, own) {
  const ofKit = `${kit.id}: `;
  const said = message.startsWith(ofKit) ? `The kit: ${message.slice(ofKit.length)}` : message;
  return FIELDS.reduce((told, [asked, field]) => told.replace(asked, field), nearly(said))
    .replace(/; give (?=the drops? of (?:the )?level)/, "; type ")
    .replace(/^([a-z_]+): /, (all, role) => (isPart(role) && !own.has(role) ? `${name(role)}: ` : all))
    .replace(/\bstrength\.([a-z_]+)(?:\.([a-z_]+))?/g, (_, ...of) => `the kit's strength, ${words(of)}`)
    .replace(SLUG, (slug) => (own.has(slug) ? slug : slug.replaceAll("_", " ")));
}

const words = ([member, more]) => [member, more].filter(Boolean).join(", ").replaceAll("_", " ");

// A finding's place in words: the kit, or a part by its own name.
export const placeWords = (place, kit, name) =>
  (place === kit.id ? "the kit" : isPart(place) ? name(place) : place);

// Whether a place is a part that is cut; findings name no other parts.
const isPart = (place) => /^((top|bottom)_rail_(picket|glass)|picket|handrail)$/.test(place);

// The single ids in a reply's places: main/edge 0 gives main and edge.
export function ownIds({ findings, kit }) {
  const places = findings.flatMap(({ where }) => where);
  return new Set(places.filter((place) => place !== kit.id && !isPart(place))
    .flatMap((place) => place.split(/[ /]/)));
}

// A finding's sentence with each length that is off all marks given as about what a tape reads, and
// a limit rounded to the side that keeps it. The sentence stays as it is where two lengths would
// read alike.
function nearly(message) {
  const found = [...message.matchAll(OFF_MARKS)].map(([, by, number]) => ({ by, number }));
  const others = message.replace(OFF_MARKS, "");
  const step = STEPS.find((each) => found.every((one) => {
    const read = onMark(one, each);
    return read !== "0\"" && !others.includes(read)
      && !found.some((other) => other.number !== one.number && onMark(other, each) === read);
  }));
  return step ? message.replace(OFF_MARKS, (_, by, number) =>
    `${by || "about "}${onMark({ by, number }, step)}`) : message;
}

function onMark({ by, number }, step) {
  const to = { "at least ": Math.ceil, "at most ": Math.floor }[by] ?? Math.round;
  return tapeText(to(number / step) * step, "in", step);
}

// Names of a document's members as words.
export const spaced = (message) => message.replace(SLUG, (slug) => slug.replaceAll("_", " "));

// A refusal's sentence, which has inches as decimals, with lengths as a tape reads them: to the
// sixteenth; to the sixty-fourth where a length would read like another that is on a mark; else as
// they are.
export function taped(message, unit) {
  if (unit !== "in") return message;
  const lengths = [...new Set([...message.matchAll(INCHES)].map(([, number]) => Number(number)))];
  const step = STEPS.find((each) => lengths.every((value) => tells(value, lengths, each)));
  return step ? message.replace(INCHES, (_, number) => tapeText(Number(number), "in", step)) : message;
}

// Whether a tape's reading of a length is no other length's own reading, and not zero.
function tells(value, lengths, step) {
  const read = tapeText(value, "in", step);
  return !["0\"", ...lengths.filter((other) => other !== value && isOn(other, step))
    .map((other) => tapeText(other, "in", step))].includes(read) || value === 0;
}

const isOn = (value, step) => Number.isInteger(Number((value / step).toFixed(3)));
