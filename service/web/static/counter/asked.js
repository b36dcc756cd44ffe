// Which fields are shown only where the deck's code or kit goes by them. Pure: touches nothing but
// its arguments.

import { shown } from "./model.js";

export const OWN = "*"; // In place of the id of a kit or code that came whole inside the document.
const SCREWS = ["lag_screw", "wood_screw"];

// Whether to ask how many people the deck is for: where the code goes by it, or it is said already.
export const asksOccupants = (form, codes) =>
  form.occupants !== "" || decides(codeOf(form, codes), "occupants");

// Whether to ask if people walk below the edges of the level that is shown: where the level has
// glass and the code goes by it, or it is said already.
export function asksBeneath(form, codes) {
  const { beneath, edges } = shown(form);
  const glass = [form, ...edges].some(({ infill }) => infill === "glass");
  return beneath !== "" || says(edges, "beneath") || (glass && decides(codeOf(form, codes), "beneath"));
}

// Whether to ask for drop_to_ground or drop_to_next_level apart from the drop.
export const asksDrop = (form, codes, name) =>
  shown(form)[name] !== "" || says(shown(form).edges, name) || decides(codeOf(form, codes), name);

// Which members of the site to ask for: those of timber where the kit's bases are held by screws,
// the properties of the timber by the code's method, and whatever is said already.
export function asksSite(form, { kits, codes }) {
  const { site: held } = form;
  const screwed = SCREWS.includes(kitOf(form, kits)?.strength?.fixing?.kind);
  const method = codeOf(form, codes)?.figures?.strength_method?.value;
  const stressed = screwed && method === "allowable stress";
  const asks = { wet_service: screwed, load_duration: screwed, species: stressed, specific_gravity: stressed,
    grade: screwed && method === "partial factors" };
  return Object.fromEntries(Object.entries(asks).map(([name, on]) => [name, on || held[name] !== ""]));
}

export const kitOf = (form, kits) => (form.kit === OWN ? form.kept.kit : kits.find(({ id }) => id === form.kit));

export const says = (edges, name) => edges.some((edge) => edge[name] !== "");

export const codeOf = (form, codes) =>
  (form.code === OWN ? form.kept.code : codes.find(({ id }) => id === form.code));

// Whether a case of one of the code's figures goes by this measure.
function decides(code, measure) {
  return Object.values(code?.figures ?? {}).some((figure) =>
    Array.isArray(figure?.when) && figure.when.some((one) => one?.measure === measure));
}
