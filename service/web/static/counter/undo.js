// Takes back steps that remove or change typed things: keeps the form as it was before each, in
// memory. Touches the line that offers them, which lies over the form and can be put away.

import { part } from "./dom.js";

const MOST = 20; // Steps that are kept.

let past = []; // [{form, words}] before each step, the last one last.
let undone = []; // [{form, words}] after each step that was taken back.

// Keep the form, which is about to lose something. words: what it loses, for people.
export function remember(form, words) {
  past = [...past, { form: structuredClone(form), words }].slice(-MOST);
  undone = [];
  say(words);
}

// The form as it was before the last step. The given form is kept too, so that the step can be done
// again.
export function stepBack(form) {
  const { form: before, words } = past.pop();
  undone.push({ form: structuredClone(form), words });
  const more = past.length ? ` Before that: ${past.at(-1).words}` : "";
  say(`Put back as it was.${more}`);
  return before;
}

export function stepForth(form) {
  const { form: after, words } = undone.pop();
  past.push({ form: structuredClone(form), words });
  say(`Done again: ${words}`);
  return after;
}

export function putAway() {
  past = [];
  undone = [];
  part("undo-line").hidden = true;
}

// Show the line. A button that is hidden by this gives the focus to the other.
function say(words) {
  const { activeElement: focused } = document;
  part("undo-line").hidden = false;
  part("undone").textContent = words;
  part("undo").hidden = !past.length;
  part("redo").hidden = !undone.length;
  if (focused?.hidden) part(focused.id === "undo" ? "redo" : "undo").focus();
}
