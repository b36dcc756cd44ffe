// The tables for the saw: what is cut, from which sticks, and the blocking. Touches nothing but
// what it makes.

import { el, table } from "./dom.js";
import { FINISHED, RAKED, ends, offcut, pieces } from "./saw.js";
import { solid, spans } from "./words.js";

const number = "number";

// places: gives ids of bays and openings as the page names them.
export function cutList({ cut_list: rows }, name, places) {
  const raked = rows.some((row) => ends(row) !== "square");
  return [table("Cut list", [
    ["Part", (row) => name(row.part)],
    ["Length", (row) => row.length_text, number],
    ["Count", (row) => row.count, number],
    ["Blank", (row) => row.blank_text, number],
    ...(raked ? [["Ends", ends]] : []),
    ["Bays", (row) => places(row.bays ?? [])],
  ], rows), el("p", { class: "hint" }, raked ? `${FINISHED} ${RAKED}` : FINISHED)];
}

export function stock(reply, name) {
  const rows = reply.stock_plan.flatMap(({ part: role, sticks }) =>
    sticks.map((stick) => ({ role, stick })));
  const from = ["From", ({ stick }) => (stick.on_hand ? "on hand" : "buy")];
  const some = rows.some(({ stick }) => stick.on_hand);
  return table(some ? "Sticks" : "Sticks to buy", [
    ["Part", ({ role }) => name(role)],
    [some ? "Count" : "Buy", ({ stick }) => stick.count, number],
    ...(some ? [from] : []),
    ["Stick", ({ stick }) => stick.stock_text, number],
    ["Cut from each", ({ role, stick }) => solid(pieces(reply, role, stick))],
    ["Left of each", ({ stick }) => offcut(reply, stick), number],
  ], rows);
}

export const isBest = ({ stock_plan: plans = [] }) => plans.every(({ optimal }) => optimal);

export function blocking({ blocking: rows }) {
  return table("Blocking between joists", [
    ["Length", (row) => row.length_text, number],
    ["Count", (row) => row.count, number],
    ["Ends", ends],
    ["Posts", (row) => spans(row.posts)],
  ], rows);
}
