// Keys for the marks of a tape under the length that is being typed, where fingers type (the style
// sheet hides them elsewhere). Touches the form that it is given, as a key pressed there would.

import { el } from "./dom.js";

const MARKS = [["'", "feet"], ['"', "inches"], ["/", "of a fraction"], [" ", "space"]];

export function offerMarks(form) {
  const shown = { " ": "\u2423" };
  // No stop of the Tab key: a keyboard has them.
  const keys = el("div", { id: "marks-keys" }, MARKS.map(([mark, words]) =>
    el("button", { type: "button", tabindex: "-1", "data-mark": mark, "aria-label": words },
      shown[mark] ?? mark)));
  let field = null;
  form.addEventListener("focusin", ({ target }) => {
    if (!target.matches("input.length")) return;
    field = target;
    (field.closest(".row") ?? field.closest(".field")).append(keys);
  });
  // Before the focus leaves the field, which would take the screen's keyboard away.
  keys.addEventListener("pointerdown", (event) => event.preventDefault());
  keys.addEventListener("click", ({ target }) => {
    const { mark } = target.dataset;
    if (!mark || !field?.isConnected) return;
    field.setRangeText(mark, field.selectionStart, field.selectionEnd, "end");
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  });
}
