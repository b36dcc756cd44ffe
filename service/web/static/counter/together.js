// Joins findings that were not checked for the same reason at the same places: without a code a
// dozen rules say the same. Pure: touches nothing but its arguments.

const UNCHECKED = /^(.+?: )(.+) was not checked([;:,] .+)$/;

// The findings; those that are joined stand in the place of the first of them.
export function together(findings) {
  const groups = new Map();
  for (const each of findings) {
    const [, head, what, why] = UNCHECKED.exec(each.message) ?? [];
    const key = what ? JSON.stringify([head, why, each.cite, each.source, each.where]) : groups.size;
    const group = groups.get(key) ?? { each, head, why, what: [] };
    group.what.push(what);
    groups.set(key, group);
  }
  return [...groups.values()].map(asOne);
}

function asOne({ each, head, why, what }) {
  if (what.length < 2) return each;
  const all = `${what.slice(0, -1).join(", ")} and ${what.at(-1)}`;
  return { ...each, message: `${head}${all} were not checked${why.replace("have it checked", "have them checked")}` };
}
