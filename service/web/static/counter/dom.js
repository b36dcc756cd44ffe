// Elements, found by their ids or built one by one; text is never read as markup. Touches nothing
// but what it makes or is given.

export const part = (id) => document.getElementById(id);

// An element: el("p", { class: "fault", hidden: true }, "words", el("b", {}, "more")). An attribute
// or child that is false, null or undefined is left out.
export function el(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

// The same for an element of a drawing (SVG).
export function drawn(tag, attributes = {}, ...children) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

function fill(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children.flat().filter((child) => child !== false && child !== null && child !== undefined));
  return made;
}

// Set text that is spoken when it changes. The same text again leaves it alone, so that it is not
// spoken again.
export function say(line, words) {
  if (line.textContent !== words) line.textContent = words;
}

// A table. given: its columns as [heading, cell of a row, "number" for figures that line up]. A
// column with nothing in any row is left out.
export function table(caption, given, rows) {
  const columns = given.filter(([, of]) => rows.some((row) => (of(row) ?? "") !== ""));
  const cell = ([head, of, kind], row, i) =>
    el(i ? "td" : "th", { scope: i ? null : "row", class: kind, "data-head": head }, of(row) ?? "");
  return el("div", { class: "wide", "data-caption": caption },
    el("table", {},
      el("caption", {}, el("h3", {}, caption)),
      el("thead", {}, el("tr", {}, columns.map(([head, , kind]) =>
        el("th", { scope: "col", class: kind }, head)))),
      el("tbody", {}, rows.map((row) =>
        el("tr", {}, columns.map((column, i) => cell(column, row, i)))))));
}
