// Which of the kit's panes stands where: of all edges at once, or edge by edge. Pure: changes the form
// that it is given and touches nothing else.

import { kitOf, says } from "./asked.js";
import { offered } from "./inputs.js";
import { shown } from "./model.js";
import { paneWords } from "./words.js";

const edgesOf = (form) => form.levels.flatMap((level) => level.edges);

// The panes in words, where there is glass and more than one of them, or one that is said; else none.
export function asksPanes(form, kits) {
  const kit = kitOf(form, kits);
  const panes = kit?.glass?.panes ?? [];
  const choice = panes.length > 1 && edgesOf(form).some((edge) => isGlass(form, edge));
  return choice || says(edgesOf(form), "glass") ? panes.map((pane) => paneWords(pane, kit.unit)) : [];
}

export const isGlass = (form, { condition, infill }) =>
  condition === "guard" && (infill || form.infill) === "glass";

// What the flight of an opening can have, as a field offers it: its edge's pane, then the kit's, where it has glass
// and there is more than one of them; and what is said of it.
export function flightPanes(form, { edge, flight: { infill, glass } }, kits) {
  const kit = kitOf(form, kits);
  const panes = (kit?.glass?.panes ?? []).map((pane, at) => [String(at), paneWords(pane, kit.unit)]);
  const choice = panes.length > 1 && (infill || form.infill) === "glass";
  if (!choice && !glass) return [];
  const [, own] = panes[Number(shown(form).edges[edge]?.glass)] ?? [];
  return offered([["", own ? `As its edge, ${own}` : "As its edge"], ...panes], glass);
}

// As a field holds it, where all glass along edges has the same, or all edges have while there is none; else null.
export function paneOfAll(form) {
  const glazed = edgesOf(form).filter((edge) => isGlass(form, edge));
  const panes = new Set((glazed.length ? glazed : edgesOf(form)).map(({ glass }) => (glass === "0" ? "" : glass)));
  return panes.size === 1 ? [...panes][0] : null;
}

// Whether one edge has another than others.
export const hasOwnPane = (form) => paneOfAll(form) === null && says(edgesOf(form), "glass");

// Also of edges that have no glass now, which may get some, and of those that are put by.
export function setPane(form, pane) {
  const putBy = form.levels.flatMap((level) => Object.values(level.putBy ?? {})).flatMap(({ edges }) => edges);
  for (const edge of [...edgesOf(form), ...putBy]) edge.glass = pane;
}

// The edges that are new by a change get what all edges had.
export function edgesAdded(form, change) {
  const pane = paneOfAll(form);
  const before = new Set(edgesOf(form));
  change();
  if (pane) for (const edge of edgesOf(form)) if (!before.has(edge)) edge.glass = pane;
}

// The edges of another way that say none get what all edges had.
export function changeWay(form, change) {
  const pane = paneOfAll(form);
  change();
  const { edges } = shown(form);
  if (pane && !says(edges, "glass")) for (const edge of edges) edge.glass = pane;
}
