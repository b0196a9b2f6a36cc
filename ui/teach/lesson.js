// The first steps, for whoever opens the demo for the first time: five things to do, each
// done when the daemon has done it, whoever asked. Then never again on this device.

/** @import {Live} from '../types' */

/** What is learnt, in order, and the verb that does it. */
export const STEPS = /** @type {const} */ ([['flip', 'cue'], ['ride', 'ride'], ['hold', 'hold'], ['worklight', 'worklight'], ['back', 'back']]);

const KEY = 'first-steps';

/**
 * Whether a verb has just been done between two states.
 *
 * @param {Live | null} before
 * @param {Live} now
 * @param {string} verb
 */
function justDone(before, now, verb) {
  const is = now.last;
  if (!is || !is.ok || wordOf(is) !== verb) return false;
  const was = before?.last;
  return !was || wordOf(was) !== verb || !was.ok || was.ago_ms > is.ago_ms;
}

/** The verb of what was asked: "cue" of "cue 3". @param {{command: string}} asked */
function wordOf(asked) {
  return asked.command.split(' ')[0];
}

/** Only the demo teaches: its lamps are software, and nobody waits for them. @param {Live | null} live */
export function teaches(live) {
  return Boolean(live?.nodes?.some((n) => n.software));
}

/** @param {Pick<Storage, 'getItem' | 'setItem'>} keep */
export function createLesson(keep) {
  let at = over() ? STEPS.length + 1 : 0;
  /** @type {Live | null} */
  let before = null;

  function over() {
    try {
      return keep.getItem(KEY) !== null;
    } catch {
      return true; // what cannot be remembered would come each time
    }
  }

  function end() {
    at = STEPS.length + 1;
    try {
      keep.setItem(KEY, 'done');
    } catch {
      // storage is off
    }
  }

  return {
    /** The step to do now, 0 the first; STEPS.length once all are done, null when it is over. */
    step: () => (at > STEPS.length ? null : at),
    end,
    /** @param {Live | null} now */
    heard(now) {
      const last = before;
      before = now;
      if (!now || !last || at >= STEPS.length) return;
      if (justDone(last, now, STEPS[at][1])) at++;
    },
  };
}

/** @typedef {ReturnType<typeof createLesson>} Lesson */
