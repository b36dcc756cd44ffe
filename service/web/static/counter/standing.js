// Whether the answer on the page is of what the form holds, and what is said where it is not. Touches
// the answer's own marks, its short line, what is spoken and, of the service's troubles, the list of
// what is to be put right.

import { part, say } from "./dom.js";
import { showRefusal } from "./faults.js";
import { withhold } from "./take.js";

const WORKING = "Working it out\u2026";

// The form has changed since.
export function behind() {
  part("stale").classList.add("behind");
  withhold("Off until the next answer: this one is of an earlier deck.");
  // What a refusal asked leads to fields by their rows, which may be others now.
  for (const button of document.querySelectorAll("#faults-meant [data-meant]")) button.disabled = true;
}

// It is of another deck for longer than a glance.
export function slow() {
  part("answer").classList.add("slow");
  part("short").textContent = WORKING;
  say(part("spoken"), WORKING);
}

export function current() {
  stale(false);
}

// why: in a few words; said: what of, in a sentence; short: what is to be done first, where there is one thing.
export function outOfDate(why, said, short = `${why}.`) {
  stale(true);
  withhold("Off while the answer is out of date: these are of the deck it shows, no other.");
  part("short").textContent = short;
  say(part("spoken"), `${why}. ${said}`);
}

// What is the service's and not the deck's.
export function troubled(title, words, unit) {
  const { told } = showRefusal(title, {}, { title: words }, unit);
  part("faults-meant").replaceChildren();
  outOfDate(title, told);
}

function stale(now) {
  part("answer").classList.remove("slow");
  part("answer").classList.toggle("stale", now);
  part("stale").classList.toggle("behind", now);
  part("stale").hidden = !now;
}
