// Writing members of a document and reading them as they would be typed. Pure: touches nothing but
// its arguments.

import { readLength, readNumber } from "./lengths.js";

// Writes members and remembers the field of each. What was not typed is left out; what still reads as
// it was opened goes out as it was written.
export class Pen {
  places = {};
  opened = {}; // The entry of an opened document that is written again, as it was.
  elsewhere = null; // The id of the level that is written, where the form shows another one.

  constructor(unit) {
    this.unit = unit;
  }

  // What the form does not show of a row, to which its members are then written.
  begin({ rest, opened }) {
    this.opened = opened ?? {};
    return { ...rest };
  }

  // Of another level no field is there; what is wrong with it is told where a level is chosen.
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

  // A box: what it says where it is ticked. What a document says otherwise goes out again.
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

// Rows and what no row could hold, {entry, place}, in the order of the document that was opened; new ones
// come last. write: a row by its number and its place in the list.
export function inPlace(rows, kept, write) {
  const all = [...rows.map((row, i) => ({ row, i, place: row.place ?? Infinity })), ...kept];
  return all.sort((a, b) => (a.place === b.place ? 0 : a.place - b.place))
    .map(({ row, i, entry }, at) => (row ? write(row, i, at) : entry));
}

export const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
export const list = (value) => (Array.isArray(value) ? value : []);
export const asTyped = (members) =>
  Object.fromEntries(Object.entries(members).map(([name, value]) => [name, typed(value)]));
export const typed = (value) => (value === undefined || value === null ? "" : String(value));
