// The inputs for openings: where they are, what they are for, a gate's swing, and the flight that
// goes down from one. Touches nothing but what it makes.

import { edgeChooser, endsOf, fromEnd } from "./alongfields.js";
import { el } from "./dom.js";
import { button, check, defaulted, figure, length, offered, select } from "./inputs.js";
import { shown } from "./model.js";
import { hasFlight } from "./openings.js";

const HEIGHT = "as the railing"; // Its own field says what else: the code's figure, for stairs its own.
const INFILLS = [["", "As the railing"], ["picket", "Picket"], ["glass", "Glass"]];
const OPENS = [["", "Inward"], ["out", "Outward"]];
const FEET = [["", "Lowest tread"], ["ground", "The ground"]];
const USES = [["stair", "Stairs"], ["gate", "Gate"], ["passage", "Passage"]];

// A fieldset for each opening. panesOf: gives [value, words] for each pane that the flight of an
// opening can have.
export function drawOpenings(form, panesOf) {
  const level = shown(form);
  const others = form.levels.filter((each) => each !== level).map(({ id }) => id);
  return level.openings.map((one, i) => el("fieldset", { class: "opening" },
    el("legend", {}, `Opening ${one.id}`),
    el("div", { class: "row" },
      select(`openings.${i}.use`, "For", USES),
      edgeChooser(`openings.${i}`, "In edge", level, one),
      button("remove-opening", i, `Remove opening ${one.id}`, "×")),
    ...place(level, one, i),
    one.use === "passage" && !hasFlight(one) ? null : flight(one, i, others, panesOf)));
}

// The inputs for an opening's place, from a named end of its edge; a gate's hinges are at one of
// the same two ends.
function place(level, one, i) {
  const { at } = endsOf(level, one);
  const hinges = defaulted("near", [["", at[0]], ["far", at[1]]], one.hinge);
  const { from, line } = fromEnd(`openings.${i}`, level, one,
    (told) => `Measured along the edge from ${told} to the near side of the clear width.`);
  return [
    el("div", { class: "row" }, from, length(`openings.${i}.width`, "Clear width")),
    line,
    one.use !== "gate" ? null : el("div", { class: "row" },
      select(`openings.${i}.hinge`, "Hinges at", hinges),
      select(`openings.${i}.opens`, "Opens", defaulted("in", OPENS, one.opens))),
  ];
}

// The inputs for a flight. others: the levels that it may go down to.
function flight(one, i, others, panesOf) {
  const at = `openings.${i}.flight`;
  const box = el("input", { type: "checkbox", id: `has-flight-${i}`, "data-do": "flight", "data-row": i });
  box.checked = hasFlight(one);
  const has = el("label", { class: "check", for: box.id }, box,
    one.use === "gate" ? " Steps go down from this gate" : " Lay out its flight of steps");
  if (!hasFlight(one)) return has;
  const { to_level: named } = one.flight;
  const panes = panesOf(one);
  const onto = [["", "The ground"], ...[...new Set([...others, named])].filter(Boolean).map((id) => [id, id])];
  const both = (name) => ["left", "right"].map((side) => check(`${at}.${name}.${side}`, side));
  return el("div", { class: "flight" }, has,
    el("div", { class: "row" }, length(`${at}.rise`, "Total rise"), figure(`${at}.risers`, "Risers")),
    el("div", { class: "row" }, length(`${at}.going`, "Tread run (going)"),
      length(`${at}.nosing`, "Nosing", "0")),
    el("div", { class: "row" }, length(`${at}.height`, "Guard height", HEIGHT),
      select(`${at}.foot_post`, "Lowest post on",
        defaulted("tread", FEET, one.flight.foot_post))),
    el("div", { class: "row" }, select(`${at}.infill`, "Infill", offered(INFILLS, one.flight.infill)),
      onto.length > 1 ? select(`${at}.to_level`, "Goes down to", onto) : null),
    panes.length > 0 && select(`${at}.glass`, "Glass", panes),
    el("fieldset", { class: "row" }, el("legend", {}, "Guards, going up"), both("guards")),
    el("fieldset", { class: "row" }, el("legend", {}, "Handrails, going up"), both("handrail")));
}
