// Requests to the service that served the page, and to nothing else. The key, where one is wanted,
// stays in this module's memory: it is written nowhere and gone with the page.

let key = "";

export function useKey(typed) {
  key = typed.trim();
}

// Whether one was typed.
export const hasKey = () => key !== "";

// The reply to a path relative to the page. Throws an AbortError where it was given up, a TypeError
// where no reply came.
export async function ask(path, { deck, accept = "application/json", signal } = {}) {
  const headers = { Accept: accept };
  if (key) headers.Authorization = `Bearer ${key}`;
  if (deck) headers["Content-Type"] = "application/json";
  const body = deck && JSON.stringify(deck);
  return fetch(path, { method: deck ? "POST" : "GET", headers, body, signal, credentials: "omit" });
}

// The problem document of a refusal; of one that is none of the service's, which all list their errors (a proxy's,
// say), what can be told, and that it was not heard.
export async function problemOf(reply) {
  const none = { title: `The service answered ${reply.status}.`, errors: [], unheard: true };
  try {
    const told = await reply.json();
    return told?.title && listsErrors(told) ? told : none;
  } catch {
    return none;
  }
}

const listsErrors = ({ errors }) => Array.isArray(errors) && errors.length > 0
  && errors.every((each) => typeof each?.pointer === "string" && typeof each.message === "string");
