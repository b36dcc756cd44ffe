// What the strength check needs to know of the site: how hot and cold the metal gets, and the
// timber under the posts, as the form holds it and as the document has it (contract, section 3).
// Pure: touches nothing but its arguments.

import { asTyped, isObject, object } from "./pen.js";
import { readNumber } from "./lengths.js";

const OF_TIMBER = ["species", "specific_gravity", "grade"];
const OWN_DEGREES = { in: /(\d) ?°? ?F$/i, mm: /(\d) ?°? ?[CK]$/i };
const TO_KELVIN = 5 / 9; // Of a difference in degrees Fahrenheit.

// A site of which nothing is said. timber: {rest, opened} of the object that holds three of the
// members.
export const blankSite = () => ({ temperature_range: "", wet_service: "", load_duration: "", species: "",
  specific_gravity: "", grade: "", rest: {}, timber: { rest: {} } });

// Whether something is said of the site.
export const saysSite = ({ site: held }) =>
  ["temperature_range", "wet_service", "load_duration", ...OF_TIMBER].some((name) => held[name].trim());

// Write the site into the document. Where nothing is said it is left out, and so is its timber,
// because timber of its own replaces the kit's.
export function site({ site: held }, pen, document) {
  const written = pen.begin(held);
  const field = (name) => `site.${name}`;
  pen.read(written, "temperature_range", "/site", held.temperature_range, field("temperature_range"),
    (said) => readDegrees(said, pen.unit));
  pen.read(written, "wet_service", "/site", held.wet_service, field("wet_service"), (said) => yes[said] ?? (said || undefined));
  pen.text(written, "load_duration", "/site", held.load_duration, field("load_duration"));
  const timber = pen.begin(held.timber);
  for (const name of OF_TIMBER) {
    const write = name === "specific_gravity" ? "number" : "text";
    pen[write](timber, name, "/site/timber", held[name], field(name));
  }
  put(written, "timber", timber, held.timber.opened);
  put(document, "site", written, held.opened);
}

const yes = { true: true, false: false };

// Write an object that has members, or that an opened document had empty.
function put(holder, name, made, opened) {
  const wasEmpty = isObject(opened) && !Object.keys(opened).length;
  if (Object.keys(made).length || wasEmpty) holder[name] = made;
}

// Take the site of a document. A site that is no object stays with the document, and timber that is
// none with the site.
export function takeSite(form, entry) {
  if (!isObject(entry)) {
    if (entry !== undefined) form.kept.document.site = entry;
    return;
  }
  const { temperature_range, wet_service, load_duration, timber, ...rest } = entry;
  if (timber !== undefined && !isObject(timber)) rest.timber = timber;
  const { species, specific_gravity, grade, ...more } = object(timber);
  form.site = { ...asTyped({ temperature_range, wet_service, load_duration, species, specific_gravity, grade }),
    rest, opened: entry, timber: { rest: more, opened: isObject(timber) ? timber : undefined } };
}

// A number of degrees, which may be typed with the unit that goes with the tape.
const readDegrees = (said, unit) => readNumber(said.replace(OWN_DEGREES[unit], "$1"));

// Convert the difference of degrees, which goes with the tape: Fahrenheit with inches, kelvins with
// millimetres.
export function switchDegrees({ site: held, unit: before }, unit) {
  const value = readDegrees(held.temperature_range, before);
  if (typeof value !== "number") return;
  const [other, digits] = unit === "mm" ? [value * TO_KELVIN, 3] : [value / TO_KELVIN, 2]; // There and back it is the same.
  held.temperature_range = String(Number(other.toFixed(digits)));
}
