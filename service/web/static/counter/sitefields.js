// The inputs for what the strength check needs to know of the site. Touches nothing but what it
// makes.

import { describe } from "./described.js";
import { el } from "./dom.js";
import { defaulted, field, hint, offered, select, typing } from "./inputs.js";

const WET = [["", "Gets wet, as outdoors"], ["false", "Stays dry"]];
const LASTS = [["", "As long as any live load"], ["ten_minutes", "Ten minutes"]];
const KITS = ["", "As the kit says"];
// The choices of timber by the allowable stress method and by partial factors (the published
// schema's own words).
const SPECIES = [["douglas_fir_larch", "Douglas fir-larch"], ["douglas_fir_larch_north", "Douglas fir-larch, north"],
  ["douglas_fir_south", "Douglas fir, south"], ["hem_fir", "Hem-fir"], ["hem_fir_north", "Hem-fir, north"],
  ["redwood", "Redwood"], ["southern_pine", "Southern pine"], ["spruce_pine_fir", "Spruce-pine-fir"],
  ["spruce_pine_fir_south", "Spruce-pine-fir, south"], ["western_cedars", "Western cedars"]];
const GRADES = ["C14", "C16", "C18", "C24", "C30"];

const RANGE = { in: ["Metal, coldest to hottest, °F", "90"], mm: ["Metal, coldest to hottest, °C", "50"] };

// The inputs for the site. asks: which of them to show, from asked.js.
export function drawSite({ unit, site }, asks) {
  const [label, usual] = RANGE[unit];
  const range = field("site.temperature_range", label, typing("site.temperature_range", { placeholder: usual }));
  describe(range.querySelector("input"), "site-hint");
  const both = (...fields) => fields.some(Boolean) && el("div", { class: "row" }, ...fields);
  return [
    hint("How many degrees lie between the coldest and the hottest that the railing gets"
      + (asks.wet_service ? "; and what its screws go into." : "."), "site-hint"),
    range,
    both(asks.wet_service && select("site.wet_service", "Timber under it", defaulted("true", WET, site.wet_service)),
      asks.load_duration && select("site.load_duration", "A push lasts", defaulted("live", LASTS, site.load_duration))),
    both(asks.species && select("site.species", "Timber", offered([KITS, ...SPECIES], site.species)),
      asks.specific_gravity && field("site.specific_gravity", "or its specific gravity", typing("site.specific_gravity"))),
    asks.grade && select("site.grade", "Timber grade", offered([KITS, ...GRADES.map((each) => [each, each])], site.grade)),
  ].filter(Boolean);
}
