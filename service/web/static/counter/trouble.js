// What of a refusal is the service's and not the deck's, in words for a counter. Pure: touches nothing
// but its arguments.

const KEPT = "Nothing typed is lost.";

// {title, words} of a status that says nothing of the deck, null of one that does. tried: whether
// a key was sent along.
export function trouble(status, tried) {
  if ([400, 413, 422].includes(status)) return null;
  if (status === 401 && !tried) {
    return { title: "The service asks for a key", words: "Type the key of this service above." };
  }
  if (status === 401) {
    return { title: "This key is not right", words: `Type the key of this service again. ${KEPT}` };
  }
  if ([429, 503].includes(status)) {
    return { title: "The service is busy", words: `${KEPT} Wait a little, then press Enter in a field.` };
  }
  return { title: "The service does not answer",
    words: `It said only ${status}. ${KEPT} Change anything, or press Enter in a field, to try again.` };
}
