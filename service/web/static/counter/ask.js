// Requests to the service that served the page, and to nothing else. The key, where one is needed,
// stays in this module's memory: it is stored nowhere and is gone with the page.

let key = "";

export function useKey(typed) {
  key = typed.trim();
}

// Whether a key was typed.
export const hasKey = () => key !== "";

// The reply to a request. path: relative to the page. Throws an AbortError where the request was
// given up, a TypeError where no reply came.
export async function ask(path, { deck, accept = "application/json", signal } = {}) {
  const headers = { Accept: accept };
  if (key) headers.Authorization = `Bearer ${key}`;
  if (deck) headers["Content-Type"] = "application/json";
  const body = deck && JSON.stringify(deck);
  return fetch(path, { method: deck ? "POST" : "GET", headers, body, signal, credentials: "omit" });
}

// The problem document of a refusal. Where the refusal is not the service's own, which always lists
// its errors, but a proxy's, say: a document with the status alone, marked `unheard`.
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
