// The plan, which is fetched after its answer is shown. Touches the figure of the plan, and the
// buttons of the sheets, which are shown where drawings are served.

import { ask } from "./ask.js";
import { part } from "./dom.js";
import { showDrawing, showPosts } from "./plan.js";
import { within } from "./waiting.js";
import { sentence } from "./words.js";

const LONGEST = 20_000; // Milliseconds that a drawing may take.

let sheets = true; // Whether drawings are served here.

// Fetch and show the plan. Drawings are another path of the service; where it is not there, posts
// are shown instead. A drawing that does not come takes nothing from the answer, which is shown
// already.
export async function drawPlan(deck, reply, signal) {
  part("plan").classList.add("old");
  const drawing = sheets && await within(LONGEST, fetchPlan(deck, signal));
  if (signal.aborted) return;
  part("plan").classList.remove("old");
  if (drawing && drawing.status === 404) sheets = false;
  part("sheets").hidden = !sheets;
  const why = sheets ? "the drawing did not come" : "this service draws no sheets";
  if (drawing?.ok) showDrawing(part("plan"), drawing.picture, `Plan. ${sentence(reply)}`);
  else showPosts(part("plan"), reply, why);
}

async function fetchPlan(deck, signal) {
  try {
    const reply = await ask("v1/sheets/plan", { deck, accept: "image/svg+xml", signal });
    return { ok: reply.ok, status: reply.status, picture: await reply.text() };
  } catch {
    return null;
  }
}
