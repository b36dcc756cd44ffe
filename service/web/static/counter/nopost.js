// Places where no post may stand, as the form holds them and as the document does.
// Pure: touches nothing but its arguments.

import { inPlace, isObject, typed } from "./pen.js";

// As which kinds of value a row holds what was typed.
const HELD = { edge: ["number"], from: ["number", "string"], width: ["number", "string"], why: ["string"] };

export const noPosts = (level, pen, at) =>
  inPlace(level.no_post, level.more.no_post, (row, i, place) => noPost(row, pen, `${at}/no_post/${place}`, `no_post.${i}`));

function noPost(row, pen, at, field) {
  const written = pen.begin(row);
  for (const name of ["from", "width"]) pen.length(written, name, at, row[name], `${field}.${name}`);
  pen.number(written, "edge", at, row.edge, `${field}.edge`);
  pen.text(written, "why", at, row.why, `${field}.why`);
  return written;
}

// Each as a row; what a row could not hold as it is goes along unseen.
export function takeNoPosts(level, entries) {
  entries.forEach((entry, place) => {
    const { edge, from, width, why, ...rest } = isObject(entry) ? entry : {};
    const row = { edge: typed(edge), from: typed(from), width: typed(width), why: typed(why), rest,
      opened: entry, place };
    if (isHeld(entry)) level.no_post.push(row);
    else level.more.no_post.push({ entry, place });
  });
}

function isHeld(entry) {
  return isObject(entry) && Object.entries(HELD).every(([name, kinds]) =>
    [...kinds, "undefined"].includes(typeof entry[name]));
}
