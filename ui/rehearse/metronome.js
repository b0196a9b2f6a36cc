// Ticks while a cue is counted in: on every beat until the cue runs. The time
// that remains comes with each state of the daemon; the smallest sum of that and
// now is nearest to the truth, as a message can only be late.

/** @import {Counting} from '../types' */

/** States that differ by more than this are of another count, ms. */
const SAME = 400;

/**
 * @param {{now: () => number, setTimer: (run: () => void, ms: number) => any, clearTimer: (timer: any) => void,
 *   tick: (left: number, of: number) => void, end: () => void}} world tick is told how many beats are left, this one too
 */
export function createMetronome(world) {
  /** @type {{due: number, beat: number, total: number, left: number} | null} */
  let count = null;
  /** @type {any} */
  let timer = null;

  function stop() {
    world.clearTimer(timer);
    if (!count) return;
    count = null;
    world.end();
  }

  function beat() {
    if (!count) return;
    // A timer may be early by a fraction of a millisecond.
    const left = Math.ceil((count.due - world.now()) / count.beat - 0.01);
    if (left <= 0) return; // the daemon says that it is over
    if (left !== count.left) {
      count.left = left;
      world.tick(left, Math.ceil(count.total / count.beat - 0.01));
    }
    wait();
  }

  function wait() {
    if (!count) return;
    world.clearTimer(timer);
    timer = world.setTimer(beat, Math.max(0, count.due - (count.left - 1) * count.beat - world.now()));
  }

  return {
    stop,
    /** Takes what the daemon says of the count; null when there is none. @param {Counting | null | undefined} c */
    follow(c) {
      if (!c || c.remaining_ms <= 0) return stop();
      const due = world.now() + c.remaining_ms;
      if (count && count.total === c.total_ms && Math.abs(due - count.due) < SAME) {
        if (due < count.due) {
          count.due = due;
          wait();
        }
        return undefined;
      }
      count = { due, beat: c.beat_ms, total: c.total_ms, left: 0 };
      beat();
      return undefined;
    },
  };
}
