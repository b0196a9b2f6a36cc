// Keeps a moving picture flowing: where the device is too slow for it at its
// best, it is drawn with harder edges and then smaller while it moves, and at
// its best again once it rests.

/** Slower than this and the picture is drawn more simply, ms between its frames. */
const SLOW_MS = 36;
/** A frame that comes so late begins another movement. */
const PAUSE_MS = 250;
/** Frames that are looked at before anything changes. */
const AT_ONCE = 4;
/** Frames in time before better is tried again: twice as many each time that this was too much, but not for ever. */
const PATIENCE = 32;
const PATIENCE_MOST = 16 * PATIENCE;

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
  /** Frames in time since it was last changed, and how many are asked for. */
  let inTime = 0;
  let patience = PATIENCE;
  /** Whether this level is a better one that is tried. */
  let trial = false;

  /** @param {number} by levels */
  function slower(by) {
    inTime = 0;
    if (level === levels.length - 1) return;
    level = Math.min(levels.length - 1, level + by);
    if (trial) patience = Math.min(2 * patience, PATIENCE_MOST);
    trial = false;
  }

  function better() {
    inTime = 0;
    if (trial) patience = PATIENCE; // it lasts
    trial = level > 0;
    if (trial) level--;
  }

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
      if (mean > SLOW_MS) return slower(mean > 3 * SLOW_MS ? 3 : 1);
      inTime += AT_ONCE;
      if (inTime >= patience) better();
    },
  };
}
