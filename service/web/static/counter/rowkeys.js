// Enter in a list of lengths leads to the next length, past turns and buttons, so that a sketch is
// typed one side after another; in the last one it does what it does anywhere else. Touches the
// focus.

const LISTED = "#measured .row:has(> button) input, #measures input";

// Let Enter lead on. again: asks the service, even where nothing was changed.
export function leadOn(form, again) {
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches(LISTED)) return;
    const next = nextLength(event.target);
    if (!next) return;
    event.preventDefault();
    next.focus();
    next.select();
    again();
  });
}

function nextLength(field) {
  const after = (other) => field.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING;
  const list = field.closest("#measured, #measures");
  return [...list.querySelectorAll("input.length")].find((other) => after(other));
}

// Have the Enter key of a screen's keyboard say what it does.
export function sayNext(list) {
  for (const input of list.querySelectorAll(LISTED)) {
    input.setAttribute("enterkeyhint", nextLength(input) ? "next" : "done");
  }
}
