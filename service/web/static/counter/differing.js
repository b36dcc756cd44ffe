// How an opened document differs from what the form would save, so that nothing of it changes
// without a word. Pure: touches nothing but its arguments.

import { escaped } from "./pen.js";

// JSON Pointers to members that are lost, changed or added. The order of a level's edges does not
// count, nor does an empty list that is left out.
export function differing(opened, saved, at = "") {
  if (isNothing(opened) && isNothing(saved)) return [];
  if (!areAlike(opened, saved)) return opened === saved ? [] : [at];
  const [was, is] = [opened, saved].map((each) => (/^\/levels\/\d+\/edges$/.test(at) ? byEdge(each) : each));
  const names = [...new Set([...Object.keys(was), ...Object.keys(is)])];
  return names.flatMap((name) => differing(was[name], is[name], `${at}/${escaped(name)}`));
}

const isNothing = (value) => value === undefined || (Array.isArray(value) && !value.length);

const areAlike = (one, other) => [one, other].every((each) => each !== null && typeof each === "object")
  && Array.isArray(one) === Array.isArray(other);

const byEdge = (edges) => [...edges].sort((a, b) => numberOf(a) - numberOf(b));
const numberOf = (entry) => (Number.isInteger(entry?.edge) && entry.edge >= 0 ? entry.edge : Infinity);
