// Places where no post may stand, as the form holds them and as the document has them. Pure:
// touches nothing but its arguments.

import { asTyped, inPlace, isHeld, object } from "./pen.js";

// The types of value that a row can hold.
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

// Make a row of each entry; one that a row cannot hold as it is, is kept unseen.
export function takeNoPosts(level, entries) {
  entries.forEach((entry, place) => {
    const { edge, from, width, why, ...rest } = object(entry);
    const row = { ...asTyped({ edge, from, width, why }), rest, opened: entry, place };
    if (isHeld(entry, HELD)) level.no_post.push(row);
    else level.more.no_post.push({ entry, place });
  });
}
