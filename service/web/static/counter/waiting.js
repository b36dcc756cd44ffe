// Limits how long an answer is waited for. Touches nothing: it calls what it is given.

const SLOW = 600; // Milliseconds until the one before is called old, ...
const LATE = 20_000; // ... and until none is waited for any longer.

// Call slow(), then late(), unless the function that is returned has been called, or the signal has
// ended the request, before.
export function watch(signal, { slow, late }) {
  const timers = [setTimeout(slow, SLOW), setTimeout(late, LATE)];
  const stop = () => timers.forEach(clearTimeout);
  signal.addEventListener("abort", stop);
  return stop;
}

// What a promise gives, or null where it takes longer.
export async function within(milliseconds, promised) {
  let timer = 0;
  const late = new Promise((settle) => { timer = setTimeout(settle, milliseconds, null); });
  try {
    return await Promise.race([promised, late]);
  } finally {
    clearTimeout(timer);
  }
}
