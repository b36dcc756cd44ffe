// One step back from what takes typed things away: the form as it was before. Touches the line that
// offers it, which lies over the form and can be put away, and keeps the form in memory.

const part = (id) => document.getElementById(id);
let former = null;

// The form is about to lose something. words: what, for people.
export function remember(form, words) {
  former = structuredClone(form);
  say(words, "Undo");
}

// The form as it was; the one that it takes the place of can be had back in turn.
export function stepBack(form) {
  const before = former;
  former = structuredClone(form);
  const back = part("undo").textContent === "Undo";
  say(back ? "Put back as it was." : "Done again.", back ? "Redo" : "Undo");
  return before;
}

export function putAway() {
  former = null;
  part("undo-line").hidden = true;
}

function say(words, offer) {
  part("undo-line").hidden = false;
  part("undone").textContent = words;
  part("undo").textContent = offer;
}
