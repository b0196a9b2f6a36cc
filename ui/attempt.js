// Tries one thing at a time, and what has failed not again at once.

/** Wait before what has failed is tried again, ms. */
export const RETRY_MS = 2000;

/** @param {(run: () => void, ms: number) => any} setTimer */
export function createAttempt(setTimer) {
  let waits = false;
  return {
    /** Whether something is under way, or has just failed. */
    get waits() {
      return waits;
    },
    /** @param {Promise<unknown>} task */
    async at(task) {
      waits = true;
      const ok = await task.then(() => true, () => false);
      if (ok) waits = false;
      else setTimer(() => (waits = false), RETRY_MS);
    },
  };
}
