// Press and hold: an act that must not happen by a brush of the hand.

/** How long kill is held, ms. */
export const HOLD_MS = 800;

/**
 * @param {object} on
 * @param {() => void} on.begin the press has begun
 * @param {() => void} on.stop it ended too early
 * @param {() => void} on.done it was held long enough
 * @param {{setTimer: (run: () => void, ms: number) => any, clearTimer: (t: any) => void}} clock
 */
export function createHold(on, clock) {
  /** @type {any} */
  let timer = null;

  return {
    press() {
      if (timer !== null) return;
      on.begin();
      timer = clock.setTimer(() => {
        timer = null;
        on.done();
      }, HOLD_MS);
    },
    release() {
      if (timer === null) return;
      clock.clearTimer(timer);
      timer = null;
      on.stop();
    },
  };
}
