// From the place of a fault in the document to the field it was typed in, and its words.
// Pure: touches nothing but its arguments.

import { ofAmendment } from "./amendments.js";
import { fieldWords } from "./fieldwords.js";
import { taped } from "./plainly.js";
import { ofWhole } from "./whole.js";

const COORDINATE = /^(rectangle|points)\./; // A number in the document, and typed as a length.
const OUTLINE = /^(\/levels\/\d+)(\/outline(\/(sides|points|ties(\/corners)?))?)?$/;
const COLUMN = /^\/levels\/\d+\/obstructions\/\d+\/points\//;
const SIDES = /^\/levels\/\d+\/outline\/sides$/;

const MARKS = [2, 4, 8, 16, 32, 64]; // Into how many parts a tape divides an inch.

// What is wanted of prices, as the service's sentence begins it, and as it is typed.
const PLAIN = [["money as text", "Type an amount with no sign before it, such as 61.50."],
  ["a share from 0 to 1", "Type a percentage from 0 to 100, such as 7 or 8.875."],
  ["a currency's three", "Type a currency's three letters, such as USD."]];

// The field for a JSON pointer. `places` maps pointers to the names of fields, as document.js wrote
// them. Where the pointer itself is no field, the first field inside what it points to is taken,
// else the nearest that holds it; null where the form shows nothing of it. A level and its outline
// are no one field: theirs is of the edge that the message names.
export function fieldOf(places, pointer, message = "") {
  if (places[pointer]) return places[pointer];
  if (pointer === "/levels") return null;
  if (OUTLINE.test(pointer)) return edgeNamed(places, OUTLINE.exec(pointer)[1], message);
  const inside = Object.keys(places).find((each) => each.startsWith(`${pointer}/`));
  if (inside && pointer) return places[inside];
  for (let cut = pointer; cut.lastIndexOf("/") > 0;) {
    cut = cut.slice(0, cut.lastIndexOf("/"));
    if (places[cut]) return places[cut];
  }
  return null;
}

// Where an edge was measured, whichever way: of two tapes at the corner that it leads to, and the
// last one, which is behind all corners, at the house wall.
function edgeNamed(places, level, message) {
  const [, edge] = /\bedges? (\d+)/i.exec(message) ?? [];
  if (!edge) return null;
  const tied = (corner) => places[`${level}/outline/ties/corners/${corner}/from_a`];
  return places[`${level}/outline/sides/${edge}/length`] ?? places[`${level}/outline/points/${edge}/0`]
    ?? tied(edge) ?? tied(edge - 1) ?? places[`${level}/outline/ties/baseline`] ?? null;
}

// Every error of a problem document with its field: [{field, pointer, words, open}]. The width of a
// rectangle is two sides of the document and one field: what is wrong with it is told once. What is
// wrong on a level that is not shown, at/level/field, is told at `at` with the level's name.
// fresh: whether a field is empty and was not left yet; what it lacks is `open`, no fault so far, and
// comes after what is one. asked: doubts, of which one about a field is answered before all else there.
export function placeErrors(places, problem, unit, fresh = () => false, asked = []) {
  const errors = problem.errors ?? [];
  const told = errors.length ? errors.filter((error) => !isEcho(places, error, errors))
    : [{ pointer: "", message: problem.detail ?? problem.title }];
  const placed = told.flatMap((error) => place(places, error, fresh).map((named) => {
    const [field, level, own] = named?.split("/") ?? [null];
    const open = field !== null && fresh(field);
    const pointer = unseen(places, error.pointer ?? "");
    const doubt = field !== null && asked.find((one) => one.field === field);
    const said = doubt ? doubt.words : open ? "Still to type." 
      : ofColumn(error, unit, own ?? field) ?? ofAmendment(error, unit, field) ?? ofWhole(error) ?? words(error, unit, own ?? field);
    if (!level) return { field, pointer, words: said, open };
    return { field, pointer, words: `On ${level}, ${fieldWords(own)}: ${said}`, open, level, own };
  }));
  const once = placed.filter((one, i) => !one.field || i === placed.findIndex((other) =>
    other.field === one.field && other.words === one.words));
  return [...once.filter((one) => !one.open), ...once.filter((one) => one.open)];
}

// A column's corners go by the outline: what cannot be read of that comes again with each of them, and
// is told where it was typed.
function isEcho(places, { pointer }, errors) {
  return COLUMN.test(pointer) && errors.some((other) =>
    !COLUMN.test(other.pointer) && places[other.pointer] && places[other.pointer] === places[pointer]);
}

// What was typed for a column and is none of what is wanted, which stands in place of its corners.
function ofColumn({ pointer, code, message }, unit, field) {
  if (!COLUMN.test(pointer) || code !== "wrong_type" || message.startsWith("null ")) return null;
  if (field.endsWith(".edge")) return "This edge is not there; choose another.";
  if (/\.(width|depth)$/.test(field) && /^"(-|0(\.0*)?")/.test(message)) return ofLength("above 0", unit);
  if (field.endsWith(".turn")) return "Type a number of degrees, such as 45.";
  return noLength(message, unit);
}

// The pointer of what the form shows nothing of, which has no other name; else "".
function unseen(places, pointer) {
  return Object.keys(places).some((each) => each.startsWith(pointer)) ? "" : pointer;
}

// The fields that an error is told at: of lengths left out all that are, unless one new row is
// the only one too many. What is wrong with an outline can wait for what is still to be typed of it.
function place(places, error, fresh) {
  const missing = twoLeftOut(error);
  const [, level] = OUTLINE.exec(error.pointer ?? "") ?? [];
  const open = level && !missing ? freshOf(places, `${level}/outline/`, fresh) : [];
  if (open.length) return open;
  if (!missing) return [fieldOf(places, error.pointer ?? "", error.message)];
  const fields = missing.map((side) => places[`${error.pointer}/${side}/length`]);
  const told = fields.filter((field) => !fresh(field));
  return told.length < 2 ? fields.filter(fresh) : fields;
}

function freshOf(places, within, fresh) {
  const fields = Object.keys(places).filter((at) => at.startsWith(within)).map((at) => places[at]);
  return [...new Set(fields)].filter(fresh);
}

// The sides that leave their length out where only one may, as the service's sentence numbers them.
function twoLeftOut({ pointer, code, message }) {
  if (code !== "length_missing" || !SIDES.test(pointer)) return null;
  return /sides? ([\d, and]+) do/.exec(message)?.[1].match(/\d+/g);
}

// The service's sentence, but for the commonest, which speak of JSON to a person at a form.
function words(error, unit, field) {
  const { code, message, pointer } = error;
  if (code === "missing_member" || message.startsWith("null ")) return "Something is needed here.";
  if (twoLeftOut(error)) {
    // The width of a rectangle is two sides of the document, and none to leave out.
    return field.startsWith("rectangle.") ? "Something is needed here." : "Only one side can be left empty.";
  }
  if (["kit", "code"].includes(field) && pointer === `/${field}`) return chosen(message);
  if (code === "length_of_nought") return ofLength("above 0", unit);
  if (code === "length_too_great") return taped(tooLong(message), unit);
  const wanted = / send (.*?)\.?$/.exec(message)?.[1] ?? "";
  const plain = PLAIN.find(([begun]) => wanted.startsWith(begun));
  if (plain) return `${plain[1]}${separated(message)}`;
  const least = /^a number (above 0|from [-\d]+) to .* in the unit of its own document/.exec(wanted)?.[1];
  if (least) return notALength(message, least, unit);
  if (code === "wrong_type" && COORDINATE.test(field)) return noLength(message, unit);
  if (["wrong_type", "out_of_range"].includes(code) && /^a (whole )?number/.test(wanted)) {
    return `Type ${wanted}.`;
  }
  return taped(message, unit).replace(/([:;]) send (?!a list)/, "$1 type ");
}

// Of a list: what no document says, or what is none of it.
const chosen = (message) => (message.startsWith("\"\" ") ? "Choose one." : message);

// Why what was typed is no length, by the value that the service's sentence begins with.
function notALength(message, least, unit) {
  const signed = least.includes("-");
  if (!signed && (/^"?-/.test(message) || /^0(\.0*)? /.test(message))) return ofLength(least, unit);
  if (/^-?\d/.test(message)) return taped(`At most ${/ to (\d+) in the unit/.exec(message)?.[1]} ${unit}.`, unit);
  const [, feet, inches, part = ""] = /^"(\d+)[ -](1[01]|\d)([ -]\d+\/\d+)?(?:\\")?" /.exec(message) ?? [];
  if (feet) {
    return `This may be feet and inches or not. Feet and inches are typed ${feet}' ${inches}${part.replace("-", " ")}".`;
  }
  return noLength(message, unit);
}

function noLength(message, unit) {
  return `This cannot be read as a length.${whyNone(message)} Type it like ${such(unit)}.`;
}

// By what was typed, which the service's sentence begins with.
function whyNone(message) {
  const parted = separated(message);
  if (parted) return parted;
  const [, inches] = /^"-?[1-9]\d*'[ -]?(\d+)(?!\d*\/)/.exec(message) ?? [];
  if (Number(inches) >= 12) return " After feet, inches go to 11 and a fraction.";
  const [, top, under, feet] = /(\d+)\/(\d+)(?:\\"|('))?" /.exec(message) ?? [];
  if (under && !feet && !MARKS.includes(Number(under))) return " A tape has halves, quarters and on to sixty-fourths.";
  return Number(top) >= Number(under) ? " A fraction is less than one." : "";
}

function separated(message) {
  if (/^"\d{1,3}[, ]\d{3}(?!\d)/.test(message)) return " Thousands are typed with nothing between, decimals with a point.";
  return /decimals take a point|^"[-\d]*,/.test(message) ? " Decimals take a point." : "";
}

function tooLong(message) {
  return `${/(at most .*?)\.?$/.exec(message)?.[1].replace("at", "At") ?? message}.`;
}

const such = (unit) => (unit === "mm" ? "2400 mm" : "12' 6 1/2\"");

function ofLength(least, unit) {
  return `Type a length${least && ` ${least}`}, such as ${such(unit)}.`;
}
