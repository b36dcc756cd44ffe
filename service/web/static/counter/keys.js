// Keys for the marks of a tape, below the length that is being typed, for typing with fingers (the
// style sheet hides them elsewhere). Touches the form that it is given, as a key pressed there
// would.

import { el } from "./dom.js";

const MARKS = [["'", "feet"], ['"', "inches"], ["/", "of a fraction"], [" ", "space"]];

export function offerMarks(form) {
  const shown = { " ": "\u2423" };
  // The Tab key passes these keys over: a keyboard has them itself.
  const keys = el("div", { id: "marks-keys" }, MARKS.map(([mark, words]) =>
    el("button", { type: "button", tabindex: "-1", "data-mark": mark, "aria-label": words },
      shown[mark] ?? mark)));
  let field = null;
  form.addEventListener("focusin", ({ target }) => {
    if (!target.matches("input.length")) return;
    field = target;
    (field.closest(".row") ?? field.closest(".field")).append(keys);
  });
  // Keeps the focus in the field; without it the screen's keyboard would go.
  keys.addEventListener("pointerdown", (event) => event.preventDefault());
  keys.addEventListener("click", ({ target }) => {
    const { mark } = target.dataset;
    if (!mark || !field?.isConnected) return;
    field.setRangeText(mark, field.selectionStart, field.selectionEnd, "end");
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  });
}
