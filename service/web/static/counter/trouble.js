// The words for a refusal that is about the service and not about the deck. Pure: touches nothing
// but its arguments.

const KEPT = "Nothing typed is lost.";

// {title, words} for a status that says nothing of the deck; null for one that does. tried: whether
// a key was sent; wait: seconds after which the page asks again, 0 where it does not; heard:
// whether the service itself has said what is wrong, and not a proxy, say.
export function trouble(status, { tried = false, wait = 0, heard = true } = {}) {
  if ([400, 413, 422].includes(status) && heard) return null;
  if (status === 413) {
    return { title: "The deck is too large to be sent", words: `Something on the way to the service took no more (413). ${KEPT}` };
  }
  if (status === 401 && !tried) {
    return { title: "The service asks for a key", words: "Type the key of this service above." };
  }
  if (status === 401) {
    return { title: "This key is not right", words: `Type the key of this service again. ${KEPT}` };
  }
  if ([429, 503].includes(status)) {
    const next = wait ? `It is asked again by itself in ${wait} s.` : "Wait a little, then press Enter in a field.";
    return { title: "The service is busy", words: `${KEPT} ${next}` };
  }
  return { title: "The service does not answer",
    words: `It said only ${status}. ${KEPT} Change anything, or press Enter in a field, to try again.` };
}
