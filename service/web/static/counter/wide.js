// Tables wider than their room are scrolled sideways, also by the keyboard, and so are a stop of the Tab
// key and a region; those that are seen whole are neither. Touches these marks of the boxes alone.

const boxes = new ResizeObserver((seen) => seen.forEach(({ target }) => mark(target)));

// The boxes of a new answer take the place of those before.
export function heedWidths(holder) {
  boxes.disconnect();
  for (const box of holder.querySelectorAll(".wide")) boxes.observe(box);
}

function mark(box) {
  const scrolls = box.scrollWidth > box.clientWidth;
  const marks = { tabindex: "0", role: "region", "aria-label": box.dataset.caption };
  for (const [name, value] of Object.entries(marks)) {
    if (scrolls) box.setAttribute(name, value);
    else box.removeAttribute(name);
  }
}
