// Writes members of a document from what was typed, and reads them as they would be typed. Pure:
// touches nothing but its arguments.

import { readLength, readNumber } from "./lengths.js";

// Writes members, and notes the field of each in `places`. A member for which nothing is typed is
// left out; one whose field still says what was opened is written as it was.
export class Pen {
  places = {};
  opened = {}; // The entry of an opened document that is written again, as it was.
  elsewhere = null; // The id of the level that is written, where the form shows another one.

  constructor(unit) {
    this.unit = unit;
  }

  // Begin a row. Returns what the form does not show of it, to which its members are then written.
  begin({ rest, opened }) {
    this.opened = opened ?? {};
    return { ...rest };
  }

  // Note a member's field. A level that is not shown has no field on the page; what is wrong with
  // it is told where a level is chosen.
  place(pointer, field) {
    this.places[pointer] ??= this.elsewhere === null ? field : `at/${this.elsewhere}/${field}`;
  }

  put(holder, name, pointer, value, field) {
    this.place(`${pointer}/${name}`, field);
    if (value !== undefined) holder[name] = value;
  }

  text(holder, name, pointer, said, field) {
    this.read(holder, name, pointer, said, field, (text) => text || undefined);
  }

  length(holder, name, pointer, said, field) {
    this.read(holder, name, pointer, said, field, (text) => readLength(text, this.unit));
  }

  number(holder, name, pointer, said, field) {
    this.read(holder, name, pointer, said, field, readNumber);
  }

  // A tick box, which writes `ticked` where it is ticked. Any other value of an opened document is
  // written again.
  tick(holder, name, pointer, on, ticked, field) {
    const otherwise = this.opened[name] === ticked ? undefined : this.opened[name];
    this.put(holder, name, pointer, on ? ticked : otherwise, field);
  }

  read(holder, name, pointer, said, field, reader) {
    this.put(holder, name, pointer, this.asOpened(name, said) ? this.opened[name] : reader(said), field);
  }

  asOpened(name, said) {
    return Object.hasOwn(this.opened, name) && typed(this.opened[name]) === said;
  }
}

export function some(holder, name, list) {
  if (list.length) holder[name] = list;
}

// The list of rows and of entries that no row could hold, {entry, place}, in the order of the
// opened document; new rows come last. write: writes a row, given its number and its place in the
// list.
export function inPlace(rows, kept, write) {
  const all = [...rows.map((row, i) => ({ row, i, place: row.place ?? Infinity })), ...kept];
  return all.sort((a, b) => (a.place === b.place ? 0 : a.place - b.place))
    .map(({ row, i, entry }, at) => (row ? write(row, i, at) : entry));
}

export const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
export const object = (value) => (isObject(value) ? value : {});
export const list = (value) => (Array.isArray(value) ? value : []);
export const asTyped = (members) =>
  Object.fromEntries(Object.entries(members).map(([name, value]) => [name, typed(value)]));
export const typed = (value) => (value === undefined || value === null ? "" : String(value));

// Whether an entry is an object whose members, where it has them, are of the types that a row can
// hold. types: lists of types, by member.
export const isHeld = (entry, types) => isObject(entry) && Object.entries(types).every(([name, kinds]) =>
  [...kinds, "undefined"].includes(typeof entry[name]));

// A member's name as a step of a pointer: a size such as 12' 6 1/2" has a slash of its own (RFC
// 6901).
export const escaped = (name) => name.replaceAll("~", "~0").replaceAll("/", "~1");
