// Sends the newest of many values: no more than one an animation frame, and
// never more than a few without an answer, so that a slow link carries where
// the thumb is and not where it was.

/** Values on their way at once, over what keeps their order. */
const IN_FLIGHT = 2;

/**
 * @template T
 * @param {(value: T) => Promise<unknown>} send
 * @param {(run: () => void) => void} frame next animation frame
 * @param {number} [most] values on their way at once: 1 where a later one could come first
 */
export function createNewest(send, frame, most = IN_FLIGHT) {
  /** @type {{value: T} | null} */
  let pending = null;
  let flying = 0;
  let asked = false;

  function ask() {
    if (asked || !pending || flying >= most) return;
    asked = true;
    frame(() => {
      asked = false;
      fly();
    });
  }

  function fly() {
    if (!pending) return;
    const { value } = pending;
    pending = null;
    flying++;
    send(value).finally(() => {
      flying--;
      ask();
    });
  }

  return {
    /** @param {T} value */
    push(value) {
      pending = { value };
      ask();
    },
    /** Forgets what has not been sent. */
    drop() {
      pending = null;
    },
  };
}
