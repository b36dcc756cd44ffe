// Makes a change that the service tried in a deck document. A change is the steps of a JSON Patch
// (RFC 6902; only the operations add, copy and remove). Pure: touches nothing but its arguments.

// A new document with the change made. kits: those that are loaded, since a step into a kit is one
// into its document, which is then sent inline.
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

// The keys of a JSON Pointer (RFC 6901).
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
