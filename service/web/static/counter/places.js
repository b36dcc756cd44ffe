// From the place of a fault in the document to the field it was typed in, and its words.
// Pure: touches nothing but its arguments.

// The field for a JSON pointer. `places` maps pointers to the names of fields, as document.js wrote
// them. Where the pointer itself is no field, the first field inside what it points to is taken,
// else the nearest that holds it; null where the form shows nothing of it.
export function fieldOf(places, pointer) {
  if (places[pointer]) return places[pointer];
  const inside = Object.keys(places).find((each) => each.startsWith(`${pointer}/`));
  if (inside && pointer) return places[inside];
  for (let cut = pointer; cut.lastIndexOf("/") > 0;) {
    cut = cut.slice(0, cut.lastIndexOf("/"));
    if (places[cut]) return places[cut];
  }
  return null;
}

// Every error of a problem document with its field: [{field, pointer, words}]. The width of a
// rectangle is two sides of the document and one field: what is wrong with it is told once.
export function placeErrors(places, problem, unit) {
  const errors = problem.errors ?? [];
  const told = errors.length ? errors : [{ pointer: "", message: problem.detail ?? problem.title }];
  const placed = told.map((error) => ({
    field: fieldOf(places, error.pointer ?? ""),
    pointer: error.pointer ?? "",
    words: words(error, unit),
  }));
  return placed.filter((one, i) => !one.field || i === placed.findIndex((other) =>
    other.field === one.field && other.words === one.words));
}

// The service's sentence, but for three that speak of JSON to a person who filled in a form.
function words({ code, message }, unit) {
  const sent = /^"(.*)" does not fit/.exec(message)?.[1];
  if (code === "missing_member" || message.startsWith("null ")) return "Something is needed here.";
  if (code === "wrong_type" && sent) return `${sent} is no number.`;
  if (code === "not_a_length" && sent) {
    const first = unit === "mm" ? "millimetres" : "inches";
    return `${sent} is no length. Type ${first}, or 12' 6 1/2", 78 3/8", 2400 mm, 2.4 m.`;
  }
  return message;
}
