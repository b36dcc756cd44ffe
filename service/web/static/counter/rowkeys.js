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
  return lengths(field.closest("#measured, #measures")).find((other) => isAfter(other, field));
}

const lengths = (list) => [...list.querySelectorAll("input.length")];

const isAfter = (one, other) => other.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING;

// Have the Enter key of a screen's keyboard say what it does: as long as the list's last length is
// still to come, it leads on.
export function sayNext(list) {
  const last = lengths(list).at(-1);
  for (const input of list.querySelectorAll(LISTED)) {
    input.setAttribute("enterkeyhint", isAfter(last, input) ? "next" : "done");
  }
}
