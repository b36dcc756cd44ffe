// Shows under each field of a length how a plain number in it is read. Touches the fields of
// lengths that it is given, and adds a line after each that has a reading.

import { describe, undescribe } from "./described.js";
import { el } from "./dom.js";
import { readBack } from "./lengths.js";

export function showReadings(holder, unit) {
  for (const input of holder.querySelectorAll("input.length")) showReading(input, unit);
}

export function showReading(input, unit) {
  const id = `${input.id}.read`;
  const text = readBack(input.value, unit);
  const line = document.getElementById(id);
  if (!text) {
    line?.remove();
    undescribe(input, id);
  } else if (line) {
    line.textContent = text;
  } else {
    input.after(el("p", { class: "read", id }, text));
    describe(input, id);
  }
}
