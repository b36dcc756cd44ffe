// Finds, for each fault of a document, the field in which it was typed, and words it for the form.
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

// The end of a sentence that has a number's unit by that of the document: the field's label has it.
const BY_UNIT = /, in .* (?:in millimetre ones|where it is in millimetres)$/;
// What the service wants of a price, as its sentence begins, and how to type it.
const PLAIN = [["money as text", "Type an amount with no sign before it, such as 61.50."],
  ["a share from 0 to 1", "Type a percentage from 0 to 100, such as 7 or 8.875."],
  ["a currency's three", "Type a currency's three letters, such as USD."]];

// The field for a JSON pointer. `places` maps pointers to the names of fields, as document.js wrote
// them. Where the pointer itself has no field, the first field inside what it points to is taken,
// else the nearest around it; null where the form shows nothing of it. A level and its outline have
// no single field: theirs is that of the edge that the message names.
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

// The field where an edge was measured. With two tapes it is at the corner that the edge leads to,
// and for the last edge, behind all corners, at the house wall.
function edgeNamed(places, level, message) {
  const [, edge] = /\bedges? (\d+)/i.exec(message) ?? [];
  if (!edge) return null;
  const tied = (corner) => places[`${level}/outline/ties/corners/${corner}/from_a`];
  return places[`${level}/outline/sides/${edge}/length`] ?? places[`${level}/outline/points/${edge}/0`]
    ?? tied(edge) ?? tied(edge - 1) ?? places[`${level}/outline/ties/baseline`] ?? null;
}

// Every error of a problem document with its field: [{field, pointer, words, open}]. The width of a
// rectangle is two sides of the document but one field, so a fault of it is told once. A fault on a
// level that is not shown, at/level/field, is told at `at` with the level's name. fresh: whether a
// field is empty and was not left yet; an error at such a field is `open`, not yet a fault, and
// comes after the faults. asked: doubts; a doubt about a field is told in place of its errors.
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

// Whether an error only repeats another. A column's corners depend on the outline, so what cannot
// be read in the outline comes again with each corner; it is told where it was typed.
function isEcho(places, { pointer }, errors) {
  return COLUMN.test(pointer) && errors.some((other) =>
    !COLUMN.test(other.pointer) && places[other.pointer] && places[other.pointer] === places[pointer]);
}

// The words for an unsuitable value of a column, which was sent in place of its corners; else null.
function ofColumn({ pointer, code, message }, unit, field) {
  if (!COLUMN.test(pointer) || code !== "wrong_type" || message.startsWith("null ")) return null;
  if (field.endsWith(".edge")) return "This edge is not there; choose another.";
  if (/\.(width|depth)$/.test(field) && /^"(-|0(\.0*)?")/.test(message)) return ofLength("above 0", unit);
  if (field.endsWith(".turn")) return "Type a number of degrees, such as 45.";
  return noLength(message, unit);
}

// The pointer itself, where the form shows nothing of what it points to, so that there is no other
// name; else "".
function unseen(places, pointer) {
  return pointer in places || Object.keys(places).some((each) => each.startsWith(pointer)) ? "" : pointer;
}

// The fields at which an error is told. Where too many lengths are left out it is told at all of
// their fields; but where no more than one of these had been empty before, only at the new ones. A
// fault of an outline waits until nothing of it is still to be typed.
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

// The sides that leave out their length where only one may, numbered as in the service's sentence.
function twoLeftOut({ pointer, code, message }) {
  if (code !== "length_missing" || !SIDES.test(pointer)) return null;
  return /sides? ([\d, and]+) do/.exec(message)?.[1].match(/\d+/g);
}

// The service's sentence; the commonest ones, which speak of JSON, are put in words for a form.
function words(error, unit, field) {
  const { code, message, pointer } = error;
  if (code === "missing_member" || message.startsWith("null ")) return "Something is needed here.";
  if (twoLeftOut(error)) {
    // The width of a rectangle is two sides of the document, of which none may be left out.
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
    return `Type ${wanted.replace(BY_UNIT, "")}.`;
  }
  return taped(message, unit).replace(/([:;]) send (?!a list)/, "$1 type ");
}

// For a list: an empty choice, or the service's sentence.
const chosen = (message) => (message.startsWith("\"\" ") ? "Choose one." : message);

// Why what was typed is not a length, from the value with which the service's sentence begins.
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

// A reason, from what was typed, with which the service's sentence begins; "" where none is known.
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
  return `Type a length${least && ` ${least.replace("from 0", "of 0 or more")}`}, such as ${such(unit)}.`;
}
