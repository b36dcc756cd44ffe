// Documents that fit the deck schema, each member that may be left out there or not, by a series of
// numbers that is the same every time. Touches nothing but its arguments.

const RARE = ["kit", "code"]; // What names or holds a whole document: named here.
const LENGTHS = [48, 0.5, 12.25, 1e-7, 999999, 0.1 + 0.2, "12' 6 1/2\"", "12'-6", "78 3/8\"", "78-3/8\"", "2400 mm",
  "2.4m", "7'", "07\"", "3'4\""];

// A number from 0 up to 1 (mulberry32).
export function series(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export function fitting(schema, next) {
  const some = (list) => list[Math.floor(next() * list.length)];
  const whole = (from, to) => from + Math.floor(next() * (to - from + 1));

  const of = {
    object: (form) => {
      const must = form.required ?? [];
      const named = Object.entries(form.properties ?? {})
        .filter(([name]) => must.includes(name) || next() < 0.5)
        .map(([name, inner]) => [name, RARE.includes(name) ? "some-id" : make(inner)]);
      return { ...Object.fromEntries(named), ...mapped(form) };
    },
    array: (form) => Array.from({ length: whole(form.minItems ?? 0, Math.min(form.maxItems ?? 4, (form.minItems ?? 0) + 3)) },
      () => make(form.items)),
    string: (form) => (form.pattern ? some(form.examples ?? ["a"]) : some(["x", " two  words ", "<b>é</b>"])),
    integer: (form) => whole(form.minimum ?? 0, Math.min(form.maximum ?? 9, (form.minimum ?? 0) + 6)),
    number: (form) => some([0, 90, -22.5, 30.125, 1e-7, 0.55].filter((each) =>
      each >= (form.minimum ?? -1e6) && each <= (form.maximum ?? 1e6))),
    boolean: () => next() < 0.5,
  };

  // Names that a map may have: of a list, or sizes.
  function mapped({ propertyNames, additionalProperties: inner }) {
    if (!propertyNames) return {};
    const names = propertyNames.enum ?? ["36", "12' 6 1/2\"", "12.5"];
    return Object.fromEntries([some(names), some(names)].map((name) => [name, make(inner)]));
  }

  function make(form) {
    if (form.$ref) return named(form.$ref.split("/").at(-1));
    const listed = form.enum ?? form.not?.not?.enum;
    if (listed) return some(listed);
    return of[form.type](form);
  }

  function named(name) {
    const form = schema.$defs[name];
    if (/Length/.test(name)) return some(LENGTHS);
    if (name !== "Outline") return make(form);
    const way = some(Object.keys(form.properties));
    return { [way]: make(form.properties[way]) };
  }

  return make(schema);
}
