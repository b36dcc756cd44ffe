// A change that the service tried, as steps of a JSON Patch (RFC 6902; of its operations add, copy and
// remove), made to a deck document. Pure: touches nothing but its arguments.

// The document with the change made; the one that it is given stays. kits: those that are loaded, as
// a step into a kit is into its document, sent inline.
export function patched(deck, steps, kits) {
  const made = structuredClone(deck);
  if (typeof made.kit === "string" && steps.some(({ path }) => path.startsWith("/kit/"))) {
    made.kit = structuredClone(kits.find(({ id }) => id === made.kit));
  }
  for (const { op, path, from, value } of steps) {
    if (op === "remove") takeOut(made, keysOf(path));
    else put(made, keysOf(path), structuredClone(op === "copy" ? at(made, keysOf(from)) : value));
  }
  return made;
}

// RFC 6901.
const keysOf = (pointer) =>
  pointer.split("/").slice(1).map((key) => key.replaceAll("~1", "/").replaceAll("~0", "~"));

const at = (holder, keys) => keys.reduce((held, key) => held[key], holder);

function put(document, keys, value) {
  const [holder, last] = [at(document, keys.slice(0, -1)), keys.at(-1)];
  if (!Array.isArray(holder)) holder[last] = value;
  else holder.splice(last === "-" ? holder.length : Number(last), 0, value);
}

function takeOut(document, keys) {
  const [holder, last] = [at(document, keys.slice(0, -1)), keys.at(-1)];
  if (Array.isArray(holder)) holder.splice(Number(last), 1);
  else delete holder[last];
}
