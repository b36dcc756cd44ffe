// What the service offers to choose from: kits, codes, and the vocabulary of a code's figures.
// Touches nothing. Each is null where nothing came that can be read; that the service does not
// answer is told by the layout's own request.

import { ask } from "./ask.js";
import { figuresOf } from "./figures.js";

export async function loadChoices() {
  const [kits, codes] = await Promise.all([read("v1/kits", (told) => told.kits ?? []), read("v1/codes", (told) => told.codes ?? [])]);
  return kits && codes && { kits, codes };
}

export const loadFigures = () => read("v1/schemas/deck.json", figuresOf);

async function read(path, take) {
  try {
    const reply = await ask(path);
    return reply.ok ? take(await reply.json()) : null;
  } catch {
    return null;
  }
}
