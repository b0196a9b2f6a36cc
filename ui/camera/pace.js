// Keeps a moving picture flowing: where the device is too slow for it at its
// best, it is drawn with harder edges and then smaller while it moves, and at
// its best again once it rests.

/** Slower than this and the picture is drawn more simply, ms between its frames. */
const SLOW_MS = 36;
/** As fast as this, and it may be drawn better again. */
const FAST_MS = 32;
/** A frame that comes so late begins another movement. */
const PAUSE_MS = 250;
/** Frames that are looked at before anything changes, and before it gets better. */
const AT_ONCE = 4;
const PATIENCE = 40;

/**
 * @template T
 * @param {T[]} levels ways to draw, at its best first, each quicker than the one before
 * @returns how to draw, told of each frame when it has been drawn
 */
export function createPace(levels) {
  let level = 0;
  let last = -Infinity;
  let took = 0;
  let seen = 0;
  let fast = 0;

  return {
    /** At its best. */
    best: levels[0],

    /** How to draw while it moves. */
    get moving() {
      return levels[level];
    },

    /** A frame of new light has been drawn. @param {number} now ms */
    drawn(now) {
      const since = now - last;
      last = now;
      if (since > PAUSE_MS) {
        took = seen = 0;
        return;
      }
      took += since;
      if (++seen < AT_ONCE) return;
      const mean = took / seen;
      took = seen = 0;
      fast = mean < FAST_MS ? fast + AT_ONCE : 0;
      if (mean > SLOW_MS) level = Math.min(levels.length - 1, level + (mean > 3 * SLOW_MS ? 3 : 1));
      else if (fast >= PATIENCE && level > 0) {
        level--;
        fast = 0;
      }
    },
  };
}
