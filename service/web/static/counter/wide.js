// Makes tables that are wider than their room, and so scroll sideways, regions and stops of the Tab
// key, so that the keyboard can scroll them; tables that are seen whole are neither. Touches these
// attributes of the boxes alone.

const boxes = new ResizeObserver((seen) => seen.forEach(({ target }) => mark(target)));

// Watch the boxes of a new answer in place of those before.
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
