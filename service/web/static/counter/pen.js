// Writing members of a document and reading them as they would be typed. Pure: touches nothing but
// its arguments.

import { readLength, readNumber } from "./lengths.js";

// Writes members and remembers the field of each. What was not typed is left out.
export class Pen {
  places = {};
  elsewhere = null; // The id of the level that is written, where the form shows another one.

  constructor(unit) {
    this.unit = unit;
  }

  // Of another level no field is there; what is wrong with it is told where a level is chosen.
  place(pointer, field) {
    this.places[pointer] ??= this.elsewhere === null ? field : `at/${this.elsewhere}/${field}`;
  }

  put(holder, name, pointer, value, field) {
    this.place(`${pointer}/${name}`, field);
    if (value !== undefined) holder[name] = value;
  }

  text(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, typed || undefined, field);
  }

  length(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, readLength(typed, this.unit), field);
  }

  number(holder, name, pointer, typed, field) {
    this.put(holder, name, pointer, readNumber(typed), field);
  }
}

export function some(holder, name, list) {
  if (list.length) holder[name] = list;
}

export const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
export const list = (value) => (Array.isArray(value) ? value : []);
export const typed = (value) => (value === undefined || value === null ? "" : String(value));
