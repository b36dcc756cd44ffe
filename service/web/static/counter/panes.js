// Which of the kit's panes each edge has: chosen for all edges at once, or edge by edge. Pure:
// changes the form that it is given and touches nothing else.

import { kitOf, says } from "./asked.js";
import { offered } from "./inputs.js";
import { shown } from "./model.js";
import { paneWords } from "./words.js";

const edgesOf = (form) => form.levels.flatMap((level) => level.edges);

// The kit's panes in words, where some edge has glass and there is more than one pane, or where a
// pane is said; else none.
export function asksPanes(form, kits) {
  const kit = kitOf(form, kits);
  const panes = kit?.glass?.panes ?? [];
  const choice = panes.length > 1 && edgesOf(form).some((edge) => isGlass(form, edge));
  return choice || says(edgesOf(form), "glass") ? panes.map((pane) => paneWords(pane, kit.unit)) : [];
}

export const isGlass = (form, { condition, infill }) =>
  condition === "guard" && (infill || form.infill) === "glass";

// The choices of pane for the flight of an opening: that of its edge, then the kit's own. None
// unless the flight has glass and there is more than one pane, or a pane is said for it.
export function flightPanes(form, { edge, flight: { infill, glass } }, kits) {
  const kit = kitOf(form, kits);
  const panes = (kit?.glass?.panes ?? []).map((pane, at) => [String(at), paneWords(pane, kit.unit)]);
  const choice = panes.length > 1 && (infill || form.infill) === "glass";
  if (!choice && !glass) return [];
  const [, own] = panes[Number(shown(form).edges[edge]?.glass)] ?? [];
  return offered([["", own ? `As its edge, ${own}` : "As its edge"], ...panes], glass);
}

// The pane, as a field holds it, that all edges in glass have; all edges, where none is in glass.
// null where they differ.
export function paneOfAll(form) {
  const glazed = edgesOf(form).filter((edge) => isGlass(form, edge));
  const panes = new Set((glazed.length ? glazed : edgesOf(form)).map(({ glass }) => (glass === "0" ? "" : glass)));
  return panes.size === 1 ? [...panes][0] : null;
}

// Whether edges have different panes.
export const hasOwnPane = (form) => paneOfAll(form) === null && says(edgesOf(form), "glass");

// Give all edges a pane, also those without glass now, which may get some, and those that are set
// aside.
export function setPane(form, pane) {
  const putBy = form.levels.flatMap((level) => Object.values(level.putBy ?? {})).flatMap(({ edges }) => edges);
  for (const edge of [...edgesOf(form), ...putBy]) edge.glass = pane;
}

// Make a change that adds edges, and give these the pane that all edges had.
export function edgesAdded(form, change) {
  const pane = paneOfAll(form);
  const before = new Set(edgesOf(form));
  change();
  if (pane) for (const edge of edgesOf(form)) if (!before.has(edge)) edge.glass = pane;
}

// Measure a deck another way, and give its edges the pane that all edges had, unless some of them
// say one.
export function changeWay(form, change) {
  const pane = paneOfAll(form);
  change();
  const { edges } = shown(form);
  if (pane && !says(edges, "glass")) for (const edge of edges) edge.glass = pane;
}
