// Shows whether the answer on the page is of the deck that the form holds, and why where it is not.
// Touches the answer's own marks, its short line, what is spoken and, for the service's own
// troubles, the list of what is to be put right.

import { part, say } from "./dom.js";
import { showRefusal } from "./faults.js";
import { withhold } from "./take.js";

const WORKING = "Working it out\u2026";

// The form has changed since the answer.
export function behind() {
  part("stale").classList.add("behind");
  withhold("Off until the next answer: this one is of an earlier deck.");
  // A refusal's questions lead to fields by the numbers of their rows, which may have changed.
  for (const button of document.querySelectorAll("#faults-meant [data-meant]")) button.disabled = true;
}

// The answer has been of another deck for longer than a moment.
export function slow() {
  part("answer").classList.add("slow");
  part("short").textContent = WORKING;
  say(part("spoken"), WORKING);
}

export function current() {
  stale(false);
}

// The answer is out of date. why: the reason in a few words; said: more on it, in a sentence;
// short: what is to be done first, if there is one such thing.
export function outOfDate(why, said, short = `${why}.`) {
  stale(true);
  withhold("Off while the answer is out of date: these are of the deck it shows, no other.");
  part("short").textContent = short;
  say(part("spoken"), `${why}. ${said}`);
}

// A trouble of the service's, not of the deck.
export function troubled(title, words, unit) {
  const { told } = showRefusal(title, {}, { title: words }, unit);
  part("faults-meant").replaceChildren();
  outOfDate(title, told);
}

function stale(now) {
  part("answer").classList.remove("slow");
  part("answer").classList.toggle("stale", now);
  part("stale").classList.toggle("behind", now);
  part("stale").hidden = !now || part("answer").hidden; // Where none has come yet, none is out of date.
}
