// A thumb on the pad: a tap, or a slide that rides the fade. It knows heights
// and nothing else, so that mouse, pen and finger are one.

/** Movement that is still a tap, px. */
export const SLOP_PX = 12;
/** Shortest way of the thumb from where it went down to the end of a fade, px. */
export const LEAST_TRAVEL_PX = 110;

/**
 * @typedef {object} ThumbEvents
 * @property {() => void} tap
 * @property {() => number} begin a ride begins; gives the progress that it begins at
 * @property {(progress: number) => void} move
 * @property {(progress: number) => void} end
 */

/**
 * Follows one thumb. Where it goes down is the progress that the fade has
 * now, the top of the pad is its end and the bottom its beginning, so a
 * slide never makes the light jump.
 *
 * @param {ThumbEvents} events
 */
export function createThumb(events) {
  /** @type {{y0: number, up: number, down: number} | null} */
  let press = null;
  /** @type {number | null} */
  let from = null;
  let at = 0;

  /** @param {number} y */
  function progressAt(y) {
    const p = /** @type {{y0: number, up: number, down: number}} */ (press);
    const start = /** @type {number} */ (from);
    const rise = p.y0 - y;
    const v = rise >= 0 ? start + (1 - start) * (rise / p.up) : start * (1 + rise / p.down);
    return Math.min(1, Math.max(0, v));
  }

  return {
    /** @param {number} y px @param {number} top of the pad, px @param {number} bottom */
    press(y, top, bottom) {
      press = { y0: y, up: Math.max(LEAST_TRAVEL_PX, y - top), down: Math.max(LEAST_TRAVEL_PX / 2, bottom - y) };
      from = null;
    },

    /** @param {number} y px */
    move(y) {
      if (!press) return;
      if (from === null) {
        if (Math.abs(press.y0 - y) < SLOP_PX) return;
        from = events.begin();
        press.y0 += y < press.y0 ? -SLOP_PX : SLOP_PX;
        press.up = Math.max(LEAST_TRAVEL_PX, press.up - SLOP_PX);
      }
      at = progressAt(y);
      events.move(at);
    },

    lift() {
      if (!press) return;
      press = null;
      if (from === null) events.tap();
      else events.end(at);
      from = null;
    },

    /** The browser took the thumb away: no tap; a ride stays where it is. */
    cancel() {
      if (press && from !== null) events.end(at);
      press = null;
      from = null;
    },
  };
}
