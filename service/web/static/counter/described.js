// The descriptions of an input, by the ids in its aria-describedby: a hint that it shares with
// others, how it is read, what is wrong with it. Touches the input that it is given.

export function describe(input, id) {
  const ids = idsOf(input);
  if (!ids.includes(id)) input.setAttribute("aria-describedby", [...ids, id].join(" "));
}

export function undescribe(input, id) {
  const ids = idsOf(input).filter((each) => each !== id);
  if (ids.length) input.setAttribute("aria-describedby", ids.join(" "));
  else input.removeAttribute("aria-describedby");
}

const idsOf = (input) => (input.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean);
