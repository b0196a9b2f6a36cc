// Small pictures wait for the page to be idle, one at a time, so that the live
// picture never stops for them. Of each place only the newest is drawn.

/** Longest wait for idle time, ms: a page that is never idle still gets them, slowly. */
const LONGEST_MS = 400;

/** @param {() => void} run */
export function whenIdle(run) {
  if (typeof requestIdleCallback === 'function') requestIdleCallback(run, { timeout: LONGEST_MS });
  else setTimeout(run, 50);
}

/** @param {(run: () => void) => void} idle runs something once there is time */
export function createQueue(idle) {
  /** @type {Map<object, () => unknown>} */
  const jobs = new Map();
  let asked = false;

  function ask() {
    if (asked || jobs.size === 0) return;
    asked = true;
    idle(() => void next());
  }

  async function next() {
    const [[place, job]] = jobs;
    jobs.delete(place);
    try {
      await job();
    } catch {
      // it stays as it was
    }
    asked = false;
    ask();
  }

  return {
    /** @param {object} place @param {() => unknown} job may promise its end */
    put(place, job) {
      jobs.delete(place);
      jobs.set(place, job);
      ask();
    },
  };
}
