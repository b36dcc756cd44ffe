// Delays what is done when a field is left until no pointer is down: a message that grows would
// move a button away under the finger that presses it. Touches nothing: it listens to the
// document's pointers.

let down = false;
let waiting = [];

export function hearPointers(page = document) {
  page.addEventListener("pointerdown", () => { down = true; }, true);
  // The click of a press comes after its pointer is up, in the same task.
  for (const end of ["pointerup", "pointercancel"]) {
    page.addEventListener(end, () => setTimeout(release), true);
  }
}

function release() {
  down = false;
  const held = waiting;
  waiting = [];
  held.forEach((act) => act());
}

// Call `act` at once, or, while a pointer is down, when it has been let go and its click was heard.
export function afterPress(act) {
  if (down) waiting.push(act);
  else act();
}
